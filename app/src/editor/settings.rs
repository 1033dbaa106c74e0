//! What the user set for the program, not for a job.

use crate::editor::theme::ThemeChoice;
use crate::files::Settings as UserFile;
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
    /// What was remembered of the user.
    #[must_use]
    pub fn from_user(file: &UserFile) -> Self {
        let theme = match (file.theme.as_deref(), file.is_dark) {
            (Some(name), _) => {
                ThemeChoice::ALL.into_iter().find(|theme| theme.name() == name).unwrap_or_default()
            }
            (None, Some(true)) => ThemeChoice::Dark,
            (None, _) => ThemeChoice::Light,
        };
        Self {
            theme,
            scale: file.zoom.unwrap_or(1.0),
            plan_text: file.plan_text.unwrap_or(1.0),
            ..Self::default()
        }
        .checked()
    }

    /// Puts the settings among what is remembered of the user.
    pub fn write_to(self, file: &mut UserFile) {
        file.theme = Some(self.theme.name().to_owned());
        file.is_dark = Some(self.theme == ThemeChoice::Dark);
        file.zoom = Some(self.scale);
        file.plan_text = Some(self.plan_text);
    }

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
