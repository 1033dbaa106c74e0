//! What others do with the job's file: someone else has it open, or has changed or taken it.
//!
//! Nothing is forbidden. The job is claimed while it is open here, the file is looked at every
//! two seconds on a thread of its own, and what is found is told; only a save that would bury the
//! work of another asks first.

use super::Editor;
use super::file_door::Standing;
use super::state::Dialog;
use egui::Context;
use std::path::Path;
use std::sync::mpsc::{Receiver, TryRecvError};

/// Seconds between two looks at the file.
const LOOK_EVERY_S: f64 = 2.0;

/// What is known of others.
#[derive(Debug, Default)]
pub struct Outside {
    /// Who else has the job open, in words.
    pub held_by: Option<String>,
    /// How the file stands against what was last read or saved here.
    pub standing: Standing,
    looking: Option<Receiver<Standing>>,
    next_look_s: f64,
}

impl Editor {
    /// Claims the job's file after it was opened or saved, and tells who else has it.
    pub(super) fn claim_file(&mut self) {
        let path = self.state.file.path.clone();
        let held_by = self.door.claim(path.as_deref());
        if let Some(holder) = &held_by {
            self.state.say_problem(format!(
                "This job is open elsewhere as well ({holder}). Who saves last wins: use Save as \
                 to keep both"
            ));
        }
        self.state.outside = Outside { held_by, ..Outside::default() };
    }

    /// Looks at the job's file now and then.
    pub(super) fn poll_outside(&mut self, context: &Context) {
        let Some(path) = self.state.file.path.clone() else { return };
        let now = context.input(|input| input.time);
        let outside = &mut self.state.outside;
        match &outside.looking {
            Some(looking) => match looking.try_recv() {
                Ok(standing) => {
                    outside.looking = None;
                    outside.next_look_s = now + LOOK_EVERY_S;
                    self.file_stands(standing);
                }
                Err(TryRecvError::Empty) => {}
                Err(TryRecvError::Disconnected) => {
                    outside.looking = None;
                    outside.next_look_s = now + LOOK_EVERY_S;
                }
            },
            None if now >= outside.next_look_s => outside.looking = Some(self.door.look(&path)),
            None => {}
        }
        context.request_repaint_after(std::time::Duration::from_secs_f64(LOOK_EVERY_S));
    }

    /// Tells once how the file stands, when that is new.
    fn file_stands(&mut self, standing: Standing) {
        if standing == self.state.outside.standing {
            return;
        }
        self.state.outside.standing = standing;
        match standing {
            Standing::AsSeen => {}
            Standing::Changed => self.state.say_problem(
                "Someone else changed the job's file. File, Reload shows their version; a save \
                 here asks first",
            ),
            Standing::Gone => self.state.say_problem(
                "The job's file is gone, or its drive is. The job is still here: save it",
            ),
        }
    }

    /// Whether a save to `path` must ask first, since it would bury what another saved there.
    pub(super) fn asks_before_burying(&mut self, path: &Path) -> bool {
        let is_own = self.state.file.path.as_deref() == Some(path);
        if is_own && self.door.standing(path) == Standing::Changed {
            self.state.outside.standing = Standing::Changed;
            self.state.dialog = Some(Dialog::Buries(path.to_owned()));
            return true;
        }
        false
    }
}
