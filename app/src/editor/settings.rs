//! What the user set for the program, not for a job.

use crate::editor::theme::ThemeChoice;
use serde::{Deserialize, Serialize};

/// Settings of the program.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(default)]
pub struct Settings {
    /// The look.
    pub theme: ThemeChoice,
    /// Everything larger or smaller: 1 is as designed.
    pub scale: f32,
    /// Text on the plan larger or smaller.
    pub plan_text: f32,
    /// The first-run hints were put away.
    pub are_hints_read: bool,
}

impl Default for Settings {
    fn default() -> Self {
        Self { theme: ThemeChoice::Light, scale: 1.0, plan_text: 1.0, are_hints_read: false }
    }
}

impl Settings {
    /// The same with every number in its range.
    #[must_use]
    pub fn checked(self) -> Self {
        let within = |value: f32, low: f32, high: f32| {
            if value.is_finite() { value.clamp(low, high) } else { 1.0 }
        };
        Self {
            scale: within(self.scale, 0.75, 2.0),
            plan_text: within(self.plan_text, 0.8, 2.0),
            ..self
        }
    }
}
