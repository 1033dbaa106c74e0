//! The picture of a plan on the screen: fetched when the job names another one, decoded off the
//! frame, kept as a texture while it is named.

use super::Editor;
use crate::canvas::Underlaid;
use crate::files::PlanImage;
use egui::{ColorImage, Context, TextureHandle, TextureOptions};
use slabloom_core::edit::{Edit, Gesture};
use slabloom_core::job::underlay::{PlanPicture, Underlay};
use std::path::{Path, PathBuf};
use std::sync::mpsc::{Receiver, TryRecvError};

/// Which file a picture comes from.
#[derive(Clone, Debug, PartialEq, Eq)]
struct Source {
    path: String,
    page: u32,
    job: Option<PathBuf>,
}

/// The picture that is shown, or on its way.
#[derive(Default)]
pub struct ShownPicture {
    source: Option<Source>,
    arriving: Option<Receiver<Result<PlanImage, String>>>,
    texture: Option<(TextureHandle, f64)>,
    problem: Option<String>,
}

/// How the picture of the job stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum PictureStatus<'a> {
    /// It is being read.
    Coming,
    /// It is on the screen, or there is none.
    Ready,
    /// It could not be read, and why.
    Problem(&'a str),
}

impl ShownPicture {
    /// How it stands.
    #[must_use]
    pub fn status(&self) -> PictureStatus<'_> {
        match (&self.problem, &self.arriving) {
            (Some(problem), _) => PictureStatus::Problem(problem),
            (None, Some(_)) => PictureStatus::Coming,
            (None, None) => PictureStatus::Ready,
        }
    }

    /// What the canvas shows under the slab.
    #[must_use]
    pub fn underlaid(&self) -> Option<Underlaid> {
        let (texture, height_by_width) = self.texture.as_ref()?;
        Some(Underlaid { texture: texture.id(), height_by_width: *height_by_width })
    }
}

impl Editor {
    /// Fetches the picture that the job names, and takes it when it is there.
    pub(super) fn poll_picture(&mut self, context: &Context) {
        let job_path = self.state.file.path.clone();
        let named = self.state.job().underlay.picture.as_ref();
        let source = named.map(|picture| Source {
            path: picture.path.clone(),
            page: picture.page,
            job: job_path,
        });
        let shown = &mut self.state.picture;
        if shown.source != source {
            *shown = ShownPicture::default();
            if let Some(source) = &source {
                let job = source.job.as_deref();
                shown.arriving = Some(self.door.read_picture(&source.path, source.page, job));
            }
            shown.source = source;
        }
        let Some(arriving) = &shown.arriving else { return };
        let came = match arriving.try_recv() {
            Ok(came) => came,
            Err(TryRecvError::Empty) => {
                context.request_repaint_after(std::time::Duration::from_millis(50));
                return;
            }
            Err(TryRecvError::Disconnected) => {
                Err("The picture could not be read: it may be damaged".to_owned())
            }
        };
        shown.arriving = None;
        match came {
            Ok(image) => {
                let size = [image.width, image.height];
                let pixels = ColorImage::from_rgba_unmultiplied(size, &image.rgba);
                let texture = context.load_texture("plan picture", pixels, TextureOptions::LINEAR);
                shown.texture = Some((texture, image.height_by_width));
                if self.state.plan.is_empty() {
                    self.state.canvas.wants_fit = true;
                }
            }
            Err(problem) => {
                shown.problem = Some(problem.clone());
                self.state.say_problem(problem);
            }
        }
        context.request_repaint();
    }

    /// Lays a picture under the plan; one that lies there already keeps its place, so that a
    /// better scan of the same page or a moved file needs no new scale.
    pub(super) fn lay_picture(&mut self, path: &Path) {
        let stored = crate::files::stored_path(path, self.state.file.path.as_deref());
        let before = self.state.job().underlay.picture.clone();
        let is_new = before.is_none();
        let picture = match before {
            Some(picture) => PlanPicture { path: stored, page: 1, ..picture },
            None => PlanPicture::new(stored, 1),
        };
        let edit = Edit::SetUnderlay(Underlay { picture: Some(picture) });
        drop(self.state.apply(&edit, Gesture::Single));
        // The same path again is a wish to read it again.
        self.state.picture = ShownPicture::default();
        if is_new {
            let scale = crate::canvas::tools::ToolKind::PictureScale;
            self.state.canvas.tool = crate::canvas::tools::Tool::new(scale);
            self.state.canvas.wants_focus = true;
        }
    }
}
