//! Another job that this one is held against: read and worked out off the frame, shown beside
//! this one in a window that stays while work goes on.

use super::Editor;
use super::arriving::arrived;
use super::file_door::OtherJob;
use crate::panels;
use egui::{Context, Ui};
use std::path::Path;
use std::sync::mpsc::Receiver;

/// Another job, there or on its way.
pub struct Other {
    arriving: Option<Receiver<Result<OtherJob, String>>>,
    job: Option<OtherJob>,
    shows_all: bool,
}

impl Other {
    /// The job, once it is there.
    #[must_use]
    pub const fn job(&self) -> Option<&OtherJob> {
        self.job.as_ref()
    }
}

impl Editor {
    /// Holds the job against the one of a file.
    pub(super) fn compare_with(&mut self, path: &Path) {
        let arriving = Some(self.door.work_out(path));
        self.state.other = Some(Other { arriving, job: None, shows_all: false });
    }

    /// Takes the other job when it is worked out.
    pub(super) fn poll_other(&mut self, context: &Context) {
        let Some(other) = &mut self.state.other else { return };
        let Some(arriving) = &other.arriving else { return };
        let Some(came) = arrived(arriving, context, "The other job could not be worked out") else {
            return;
        };
        other.arriving = None;
        match came {
            Ok(job) => other.job = Some(job),
            Err(problem) => {
                self.state.other = None;
                self.state.say_problem(problem);
            }
        }
        context.request_repaint();
    }

    /// The window with both, while another job is there.
    pub(super) fn other_window(&mut self, ui: &Ui) {
        let Some(mut other) = self.state.other.take() else { return };
        let mut is_open = true;
        egui::Window::new("This job beside another")
            .open(&mut is_open)
            .collapsible(false)
            .default_pos(super::WINDOW_AT)
            .default_width(660.0)
            .show(ui.ctx(), |ui| {
                let job = self.state.job();
                let cx = super::view_context(&self.state, job);
                panels::side_by_side_ui(&cx, other.job.as_ref(), &mut other.shows_all, ui);
            });
        self.state.other = is_open.then_some(other);
    }
}
