//! The picture of a plan on the screen: fetched when the job names another one, decoded off the
//! frame, kept as a texture while it is named.

use super::Editor;
use super::arriving::arrived;
use crate::canvas::Underlaid;
use crate::files::{PlanImage, SHOWN_SIDE, rebased_path, stored_path};
use egui::{ColorImage, Context, TextureHandle, TextureOptions};
use slabloom_core::edit::{Edit, Gesture};
use slabloom_core::job::file_bytes::FileBytes;
use slabloom_core::job::underlay::{PlanPicture, Underlay};
use std::path::{Path, PathBuf};
use std::sync::mpsc::Receiver;

/// Which file a picture comes from.
#[derive(Clone, Debug, PartialEq, Eq)]
struct Source {
    path: String,
    page: u32,
    kept: FileBytes,
    job: Option<PathBuf>,
}

impl Source {
    fn of(picture: &PlanPicture, job: Option<PathBuf>) -> Self {
        let PlanPicture { path, page, kept, .. } = picture.clone();
        // What is kept in the job needs no folder to be found from.
        let job = job.filter(|_| kept.is_empty());
        Self { path, page, kept, job }
    }
}

/// The picture that is shown, or on its way.
#[derive(Default)]
pub struct ShownPicture {
    source: Option<Source>,
    arriving: Option<Receiver<Result<PlanImage, String>>>,
    texture: Option<(TextureHandle, f64)>,
    facts: ShownFacts,
    keeping: Option<Receiver<Result<FileBytes, String>>>,
    offers_pages: bool,
    problem: Option<String>,
}

/// What is known of a picture once it is read.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct ShownFacts {
    /// How many pages its file has; none while no picture is there.
    pub pages: u32,
    /// Some of the page could not be drawn.
    pub has_gaps: bool,
}

/// How the picture of the job stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum PictureStatus<'a> {
    /// It is being read.
    Coming,
    /// It is on the screen, or there is none.
    Ready(ShownFacts),
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
            (None, None) => PictureStatus::Ready(self.facts),
        }
    }

    /// Whether it is still being read.
    #[must_use]
    pub const fn is_coming(&self) -> bool {
        self.arriving.is_some()
    }

    /// How many pages its file has.
    #[must_use]
    pub const fn pages(&self) -> u32 {
        self.facts.pages
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
        let picture = self.state.job().underlay.picture.clone();
        let source = picture.as_ref().map(|picture| Source::of(picture, job_path));
        let shown = &mut self.state.picture;
        if shown.source != source {
            let last = std::mem::take(shown);
            shown.offers_pages = last.offers_pages;
            if let (Some(picture), Some(source)) = (&picture, &source) {
                // The same page from another place: it stays in sight until it is read again.
                let is_same =
                    |last: &Source| (&last.path, last.page) == (&source.path, source.page);
                if last.source.as_ref().is_some_and(is_same) {
                    shown.texture = last.texture;
                }
                let most = context.input(|input| input.max_texture_side);
                let most = u16::try_from(most).map_or(SHOWN_SIDE, |most| most.min(SHOWN_SIDE));
                let job = source.job.as_deref();
                shown.arriving = Some(self.door.read_picture((picture, most), job));
            }
            shown.source = source;
        }
        let Some(arriving) = &shown.arriving else { return };
        let Some(came) =
            arrived(arriving, context, "The picture could not be read: it may be damaged")
        else {
            return;
        };
        shown.arriving = None;
        match came {
            Ok(image) => {
                let size = [image.width, image.height];
                let pixels = ColorImage::from_rgba_unmultiplied(size, &image.rgba);
                // Seen from afar its lines stay whole.
                let options = TextureOptions {
                    mipmap_mode: Some(egui::TextureFilter::Linear),
                    ..TextureOptions::LINEAR
                };
                let texture = context.load_texture("plan picture", pixels, options);
                shown.texture = Some((texture, image.height_by_width));
                shown.facts = ShownFacts { pages: image.pages, has_gaps: image.has_gaps };
                let offers_pages = std::mem::take(&mut shown.offers_pages) && image.pages > 1;
                if self.state.plan.is_empty() {
                    self.state.canvas.wants_fit = true;
                }
                if offers_pages {
                    self.choose_page();
                }
            }
            Err(problem) => {
                shown.problem = Some(problem.clone());
                shown.texture = None;
                self.state.say_problem(problem);
            }
        }
        context.request_repaint();
    }

    /// Lays a picture under the plan; one that lies there already keeps its place, so that a
    /// better scan of the same page or a moved file needs no new scale.
    pub(super) fn lay_picture(&mut self, path: &Path) {
        let stored = stored_path(path, self.state.file.path.as_deref());
        let before = self.state.job().underlay.picture.clone();
        let is_new = before.is_none();
        let picture = match before {
            Some(picture) => {
                let page = if picture.path == stored { picture.page } else { 1 };
                PlanPicture { path: stored, page, kept: FileBytes::default(), ..picture }
            }
            None => PlanPicture::new(stored, 1),
        };
        self.set_picture(picture);
        // The same path again is a wish to read it again.
        self.state.picture = ShownPicture { offers_pages: true, ..ShownPicture::default() };
        if is_new {
            let scale = crate::canvas::tools::ToolKind::PictureScale;
            self.state.canvas.tool = crate::canvas::tools::Tool::new(scale);
            self.state.canvas.wants_focus = true;
        }
    }

    fn set_picture(&mut self, picture: PlanPicture) {
        let edit = Edit::SetUnderlay(Underlay { picture: Some(picture) });
        // A refusal was told; the picture stays as it was.
        drop(self.state.apply(&edit, Gesture::Single));
    }

    /// Takes the picture's file into the job, so that the job goes anywhere as one file.
    pub(super) fn keep_picture(&mut self) {
        let Some(picture) = &self.state.job().underlay.picture else {
            self.state.say("Lay a plan picture first");
            return;
        };
        if picture.kept.is_empty() {
            let job = self.state.file.path.as_deref();
            self.state.picture.keeping = Some(self.door.read_to_keep(picture, job));
        }
    }

    /// Takes the picture's file out of the job again: it lies beside it. One that lies nowhere
    /// else stays in.
    pub(super) fn leave_picture(&mut self) {
        let Some(picture) = &self.state.job().underlay.picture else { return };
        if picture.kept.is_empty() {
            return;
        }
        let beside = PlanPicture { kept: FileBytes::default(), ..picture.clone() };
        let job = self.state.file.path.as_deref();
        if self.door.is_there(&beside, job) {
            self.set_picture(beside);
        } else {
            let text = format!(
                "{} is not beside the job: it stays in, so that it is not lost",
                beside.path
            );
            self.state.say_problem(text);
        }
    }

    /// Puts the picture's file into the job when it is read.
    pub(super) fn poll_keeping(&mut self, context: &Context) {
        let Some(keeping) = &self.state.picture.keeping else { return };
        let Some(came) = arrived(keeping, context, "The picture could not be read") else { return };
        self.state.picture.keeping = None;
        match (came, self.state.job().underlay.picture.clone()) {
            (Ok(kept), Some(picture)) => {
                let megabytes = kept.bytes().len() as f64 / 1e6;
                self.set_picture(PlanPicture { kept, ..picture });
                self.state.say(format!("The plan picture is in the job now: {megabytes:.1} MB"));
            }
            (Ok(_), None) => {}
            (Err(problem), _) => self.state.say_problem(problem),
        }
        context.request_repaint();
    }

    /// Before the job is saved at `path`: its picture is named from there.
    pub(super) fn rebase_picture(&mut self, path: &Path) {
        let Some(picture) = &self.state.job().underlay.picture else { return };
        let stored = rebased_path(picture, self.state.file.path.as_deref(), path);
        if stored != picture.path {
            self.set_picture(PlanPicture { path: stored, ..picture.clone() });
        }
    }
}
