//! The window: one frame after the other, each in the same order.
//!
//! A frame takes what the worker sent, reads keys, shows the bars, the panels and the plan, and
//! only then carries out what they asked for, in one place and in order ([`carry_out`]). Nothing
//! in a frame derives, reads a file or waits.

pub mod actions;
mod arriving;
mod bars;
pub mod board_count;
mod carry_out;
mod dialogs;
pub mod file_door;
pub mod icons;
mod job_file;
pub mod other_job;
pub mod outside;
pub mod page_chooser;
pub mod picture;
pub mod plan_picture;
pub mod requests;
pub mod sample;
pub mod settings;
mod shortcuts;
pub mod software_paint;
pub mod stages;
pub mod state;
pub mod templates;
pub mod theme;
pub mod view_context;

use crate::canvas::CanvasContext;
use crate::panels;
use crate::widgets::section;
use crate::worker::{Request as WorkRequest, Urgency, Worker};
use egui::{Context, Frame, Margin, Panel, Ui};
use file_door::{DiskDoor, FileDoor};
use requests::{Request, Requests};
use settings::Settings;
use slabloom_core::job::Job;
use state::EditorState;
use std::path::PathBuf;
use std::sync::Arc;
use view_context::ViewContext;

/// Where windows that stay open begin: over the plan, clear of the tools.
const WINDOW_AT: egui::Pos2 = egui::pos2(172.0, 72.0);

/// The editor as an application of the toolkit.
pub struct Editor {
    /// Everything that is kept.
    pub state: EditorState,
    worker: Option<Worker>,
    door: Box<dyn FileDoor>,
    asked_revision: u64,
    dressed: Option<Settings>,
    title: String,
}

/// Opens the window, on a job or on the sample that is built in.
///
/// # Errors
/// One sentence when the job cannot be read or no window can be had.
pub fn run(path: Option<PathBuf>) -> Result<(), String> {
    let door = DiskDoor::default();
    let (job, path) = match path {
        Some(path) => (door.read(&path)?, Some(path)),
        None => (sample::sample(), None),
    };
    let viewport = egui::ViewportBuilder::default()
        .with_app_id("slabloom")
        .with_title("Slabloom")
        .with_inner_size([1280.0, 800.0])
        .with_min_inner_size([900.0, 560.0]);
    let user = door.user_file();
    let found = door.left_over();
    let options = eframe::NativeOptions {
        viewport,
        renderer: eframe::Renderer::Glow,
        ..eframe::NativeOptions::default()
    };
    eframe::run_native(
        "slabloom",
        options,
        Box::new(move |creation| {
            let mut editor = Editor::with_door(&creation.egui_ctx, job, path, Box::new(door));
            editor.state.settings = Settings::from_user(&user);
            editor.state.recent = user.recent;
            editor.offer(found);
            Ok(Box::new(editor))
        }),
    )
    .map_err(|_| {
        "No window could be opened: is there a display? Without one, use the headless commands \
         (slabloom takeoff, sheets, picture; see slabloom --help)"
            .to_owned()
    })
}

impl Editor {
    /// The editor of a job, with files on the disk.
    #[must_use]
    pub fn new(context: &Context, job: Job, path: Option<PathBuf>) -> Self {
        Self::with_door(context, job, path, Box::new(DiskDoor::default()))
    }

    /// Offers unsaved work of an earlier sitting.
    pub fn offer(&mut self, found: Vec<file_door::LeftOver>) {
        if !found.is_empty() {
            self.state.dialog = Some(state::Dialog::Recover(found));
        }
    }

    /// The editor of a job, with files behind this door.
    #[must_use]
    pub fn with_door(
        context: &Context,
        job: Job,
        path: Option<PathBuf>,
        door: Box<dyn FileDoor>,
    ) -> Self {
        theme::install_fonts(context);
        let repaint = context.clone();
        let worker = Worker::start(move || repaint.request_repaint());
        let mut state = EditorState::new(job, path, Settings::default());
        if worker.is_err() {
            state.say_problem("The system gave no thread to work on: figures stay empty");
        }
        theme::apply(context, state.settings.theme);
        let mut editor = Self {
            state,
            worker: worker.ok(),
            door,
            asked_revision: 0,
            dressed: None,
            title: String::new(),
        };
        editor.claim_file();
        editor
    }

    /// Whether results of the newest change are still to come.
    #[must_use]
    pub fn is_working(&self) -> bool {
        let is_picture_coming = self.state.picture.status() == plan_picture::PictureStatus::Coming;
        self.asked_revision != self.state.revision || self.state.is_behind() || is_picture_coming
    }

    /// Takes what the worker has sent, and asks it for what is new.
    fn exchange(&mut self) {
        let Some(worker) = &self.worker else { return };
        for reply in worker.replies() {
            self.state.take(reply);
        }
        if self.asked_revision != self.state.revision {
            self.asked_revision = self.state.revision;
            let urgency = match self.state.history.before_gesture() {
                Some(_) => Urgency::AfterRunning,
                None => Urgency::Replace,
            };
            let request =
                WorkRequest { revision: self.state.revision, job: Arc::clone(self.state.job()) };
            worker.ask(request, urgency);
        }
    }

    /// Puts the look and the size on, when they have changed.
    fn dress(&mut self, context: &Context) {
        let settings = self.state.settings;
        if self.dressed != Some(settings) {
            self.dressed = Some(settings);
            theme::apply(context, settings.theme);
            if (context.zoom_factor() - settings.scale).abs() > 0.01 {
                context.set_zoom_factor(settings.scale);
            }
        }
        let mark = if self.state.is_changed() { "* " } else { "" };
        let name = self.state.job().facts.title.as_str();
        let name = if name.is_empty() { "Untitled job" } else { name };
        let title = format!("{mark}{name} – Slabloom");
        if title != self.title {
            context.send_viewport_cmd(egui::ViewportCommand::Title(title.clone()));
            self.title = title;
        }
    }

    /// One frame.
    pub fn frame(&mut self, ui: &mut Ui) {
        self.exchange();
        let context = ui.ctx().clone();
        self.dress(&context);
        let mut ask = Requests::default();
        self.guard_closing(&context);
        shortcuts::read(&self.state, &context, &mut ask);
        self.bars_and_panels(ui, &mut ask);
        self.plan(ui, &mut ask);
        self.windows(ui, &mut ask);
        self.state.highlight = self.state.lit_shapes();
        crate::widgets::forget_refusal(&context);
        for request in ask.0 {
            self.carry_out(&context, request);
        }
        self.poll_path_dialog(&context);
        self.poll_sheets(&context);
        self.poll_picture(&context);
        self.poll_keeping(&context);
        self.poll_pages(&context);
        self.poll_other(&context);
        self.poll_boards(&context);
        self.poll_outside(&context);
        self.keep_aside(&context);
        self.exchange();
    }

    fn bars_and_panels(&self, ui: &mut Ui, ask: &mut Requests) {
        let palette = self.state.settings.theme.palette();
        let bar = |x, y| Frame::new().fill(palette.panel).inner_margin(Margin::symmetric(x, y));
        let state = &self.state;
        let job = Arc::clone(state.job());
        let cx = view_context(state, &job);
        Panel::top("top").frame(bar(8, 4)).exact_size(44.0).show(ui, |ui| {
            bars::top_bar(state, palette, ui, ask);
        });
        Panel::bottom("status").frame(bar(10, 3)).exact_size(40.0).show(ui, |ui| {
            bars::status_bar(state, &cx, ui, ask);
        });
        Panel::left("tools").frame(bar(6, 6)).exact_size(158.0).resizable(false).show(ui, |ui| {
            bars::tool_rail(state, palette, ui, ask);
        });
        let side = Panel::right("panel").frame(bar(10, 8)).default_size(322.0);
        side.size_range(280.0..=520.0).show(ui, |ui| side_panel(&cx, ui, ask));
        Panel::bottom("figures").frame(bar(4, 5)).exact_size(66.0).show(ui, |ui| {
            panels::live_figures_ui(&cx, ui, ask);
        });
    }

    fn plan(&mut self, ui: &mut Ui, ask: &mut Requests) {
        let palette = self.state.settings.theme.palette();
        let state = &mut self.state;
        let (job, plan, results) =
            (Arc::clone(state.job()), Arc::clone(&state.plan), Arc::clone(&state.results));
        let layers = state.shown_layers();
        let is_free = state.dialog.is_none() && state.commands.is_none();
        let has_keys = is_free && !ui.ctx().text_edit_focused();
        let cx = CanvasContext {
            job: &job,
            plan: &plan,
            results: &results,
            revision: state.revision,
            results_revision: state.results_revision,
            selection: &state.selection,
            layers,
            highlight: &state.highlight,
            palette,
            text_scale: state.settings.plan_text,
            is_snapping: state.is_snapping,
            has_keys,
            underlaid: state.picture.underlaid(),
            said_at: state.boards.words(),
            is_picture_coming: state.picture.is_coming(),
        };
        let canvas = &mut state.canvas;
        let answer = egui::CentralPanel::no_frame().show(ui, |ui| canvas.show(&cx, ui)).inner;
        carry_out::translate(answer, &job, ask);
    }

    fn windows(&mut self, ui: &mut Ui, ask: &mut Requests) {
        let palette = self.state.settings.theme.palette();
        if let Some(decision) = dialogs::show(&mut self.state, ui, ask) {
            self.decide(ui.ctx(), decision);
        }
        self.compare_window(ui);
        self.other_window(ui);
        self.pages_window(ui, ask);
        if let Some(mut list) = self.state.commands.take() {
            let (chosen, is_closed) = dialogs::command_list(&mut list, palette, ui);
            if let Some(action) = chosen {
                ask.push(Request::Action(action));
            } else if !is_closed {
                self.state.commands = Some(list);
            }
        }
    }

    /// The alternates side by side, in a window that stays while work goes on.
    fn compare_window(&mut self, ui: &Ui) {
        if !self.state.is_comparing {
            return;
        }
        let mut is_open = true;
        let job = Arc::clone(self.state.job());
        egui::Window::new("Alternates side by side")
            .open(&mut is_open)
            .collapsible(false)
            .default_pos(WINDOW_AT)
            .default_width(620.0)
            .show(ui.ctx(), |ui| panels::compare_ui(&view_context(&self.state, &job), ui));
        self.state.is_comparing = is_open;
    }
}

fn view_context<'a>(state: &'a EditorState, job: &'a Job) -> ViewContext<'a> {
    ViewContext {
        job,
        plan: &state.plan,
        results: &state.results,
        before_drag: state.before_drag.as_deref(),
        is_behind: state.is_behind(),
        awaits_first: state.awaits_first(),
        selection: &state.selection,
        stage: state.stage,
        settings: state.settings,
        palette: state.settings.theme.palette(),
        picture: state.picture.status(),
        traced: state.lit.quantity.as_deref(),
        alternates: state.alternates.as_ref().map(|list| list.as_slice()),
    }
}

/// What is chosen and the stage's own choices, with the findings below them.
fn side_panel(cx: &ViewContext<'_>, ui: &mut Ui, ask: &mut Requests) {
    let count = cx.results.findings.len();
    let frame = Frame::new().fill(cx.palette.panel).inner_margin(Margin { top: 6, ..Margin::ZERO });
    Panel::bottom("findings").frame(frame).resizable(true).default_size(190.0).show(ui, |ui| {
        let name = if count == 0 { "Findings".to_owned() } else { format!("Findings: {count}") };
        ui.label(egui::RichText::new(name).font(theme::bold_font(14.0)));
        egui::ScrollArea::vertical().auto_shrink(false).show(ui, |ui| {
            panels::findings_ui(cx, ui, ask);
        });
    });
    egui::CentralPanel::no_frame().show(ui, |ui| {
        egui::ScrollArea::vertical().auto_shrink(false).show(ui, |ui| {
            if !cx.selection.is_empty() {
                let frame = Frame::new()
                    .fill(cx.palette.raised)
                    .stroke(egui::Stroke::new(1.0, cx.palette.accent))
                    .corner_radius(4.0)
                    .inner_margin(8.0);
                frame.show(ui, |ui| {
                    ui.set_width(ui.available_width());
                    panels::properties_ui(cx, ui, ask);
                });
                ui.add_space(6.0);
            }
            panels::stage_ui(cx, ui, ask);
            section(ui, "About these figures", false, |ui| {
                crate::widgets::note(
                    ui,
                    "Layout and quantities to build by, after a person has checked them. Local \
                     code and licensed practice decide.",
                );
            });
        });
    });
}

impl eframe::App for Editor {
    fn ui(&mut self, ui: &mut Ui, _frame: &mut eframe::Frame) {
        self.frame(ui);
    }

    fn on_exit(&mut self, _gl: Option<&eframe::glow::Context>) {
        // A window that was closed in order leaves nothing to recover.
        self.door.forget_aside(self.state.file.path.as_deref());
        self.remember_user();
    }

    fn clear_color(&self, _visuals: &egui::Visuals) -> [f32; 4] {
        self.state.settings.theme.palette().panel.to_normalized_gamma_f32()
    }
}
