//! The plan on the screen: pan and zoom, painting, picking, and tools that turn clicks into edits.
//!
//! Order of a frame: the view follows the pointer, the plan is painted (from a cache), what the
//! person did is turned into tool input at a snapped place, and what the tool shows is painted on
//! top. Only this file, `input`, `view`, `paint` and `overlay` know the toolkit.

mod empty;
pub mod hit;
mod input;
pub mod layers;
pub mod menu;
mod overlay;
pub mod paint;
pub mod snap;
pub mod tools;
pub mod view;

use crate::editor::actions::Action;
use crate::editor::theme::Palette;
use egui::{Key, Role, Sense, Ui, WidgetInfo};
use hit::Pick;
use input::Fingers;
use layers::{Layer, Layers};
use paint::{PaintCache, PaintRequest, Subject};
use slabloom_core::derive::Results;
use slabloom_core::geometry::{Bounds, Point};
use slabloom_core::job::Job;
use slabloom_core::job::ids::SideId;
use slabloom_core::plan::Plan;
use snap::{SnapKind, Snapped};
use tools::{Ask, Scene, Tool};
use view::{Sight, View};

/// The name of the canvas for screen readers and driver tests.
pub const CANVAS_NAME: &str = "Plan";

/// What the canvas may read in a frame.
#[derive(Clone, Copy, Debug)]
pub struct CanvasContext<'a> {
    /// The job.
    pub job: &'a Job,
    /// Its checked slab.
    pub plan: &'a Plan,
    /// The newest results.
    pub results: &'a Results,
    /// Counts changes of the job.
    pub revision: u64,
    /// Counts arrivals of results.
    pub results_revision: u64,
    /// What is chosen.
    pub selection: &'a [Pick],
    /// What is shown.
    pub layers: Layers,
    /// Shapes to show in the accent.
    pub highlight: &'a [Vec<Point>],
    /// The colours.
    pub palette: &'static Palette,
    /// Larger than one for larger text on the plan.
    pub text_scale: f32,
    /// Snapping is on.
    pub is_snapping: bool,
    /// Keys go to the canvas: nothing else is open.
    pub has_keys: bool,
    /// The picture that is traced, once it is read.
    pub underlaid: Option<Underlaid>,
    /// What is said of a place while it is pointed at.
    pub said_at: Option<(Point, &'a str)>,
    /// The picture to trace is still being read.
    pub is_picture_coming: bool,
}

/// A picture that lies under the plan.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Underlaid {
    /// Its pixels.
    pub texture: egui::TextureId,
    /// How many times as high as wide it is.
    pub height_by_width: f64,
}

/// A dimension that is being typed over.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct DimensionEntry {
    /// Its side.
    pub side: SideId,
    /// What is typed.
    pub text: String,
    /// The field has had the focus.
    pub has_focus: bool,
}

/// What the canvas keeps between frames.
#[derive(Debug, Default)]
pub struct Canvas {
    /// Where it looks.
    pub view: View,
    /// The next frame shows all of the slab.
    pub wants_fit: bool,
    /// The next frame gives the canvas the keyboard.
    pub wants_focus: bool,
    /// The tool in hand.
    pub tool: Tool,
    /// What was typed for the tool.
    pub typed: String,
    /// Where the pointer is and why there.
    pub pointer: Option<Snapped>,
    /// A dimension that is being typed over.
    pub dimension: Option<DimensionEntry>,
    /// Where the context menu was asked for, and what is meant there.
    menu_at: Option<(Point, Option<Pick>)>,
    /// Where the plan was shown in the last frame.
    pub sight: Option<Sight>,
    hovered: Option<Pick>,
    fingers: Fingers,
    cache: PaintCache,
}

/// What came of a frame of the canvas.
#[derive(Debug, Default)]
pub struct CanvasAnswer {
    /// What the tool asks for, in order.
    pub asks: Vec<Ask>,
    /// A side was given this length by typing over its dimension.
    pub typed_length: Option<(SideId, String)>,
    /// An action chosen in the context menu.
    pub action: Option<Action>,
}

impl Canvas {
    /// A canvas that will show all of the slab.
    #[must_use]
    pub fn fitting() -> Self {
        Self { wants_fit: true, ..Self::default() }
    }

    /// Shows the canvas in all of the room that is left.
    pub fn show(&mut self, cx: &CanvasContext<'_>, ui: &mut Ui) -> CanvasAnswer {
        let (rect, response) = ui.allocate_exact_size(ui.available_size(), Sense::click_and_drag());
        response.widget_info(|| WidgetInfo::labeled(Role::Canvas, true, CANVAS_NAME));
        if std::mem::take(&mut self.wants_focus) {
            response.request_focus();
        }
        // Arrow keys move what is chosen; Tab still leaves the canvas.
        let arrows = egui::EventFilter {
            horizontal_arrows: true,
            vertical_arrows: true,
            ..egui::EventFilter::default()
        };
        ui.memory_mut(|memory| memory.set_focus_lock_filter(response.id, arrows));
        let focus = ui.memory(|memory| memory.focused());
        let has_keys = cx.has_keys && focus.is_none_or(|id| id == response.id);
        let cx = &CanvasContext { has_keys, ..*cx };
        if std::mem::take(&mut self.wants_fit) {
            self.fit(cx, rect.size());
        }
        self.fingers.follow(ui);
        input::move_view(&mut self.view, ui, &response);
        let sight = Sight { view: self.view, rect };
        self.sight = Some(sight);
        let painter = ui.painter_at(rect);
        painter.rect_filled(rect, 0.0, cx.palette.paper);
        let is_traced = self.underlay(cx, &painter, &sight);
        if cx.layers.shows(Layer::Grid) {
            paint::ground::grid(&painter, &sight, cx.palette.grid, cx.palette.grid_major);
        }
        let subject = Subject {
            job: cx.job,
            plan: cx.plan,
            results: cx.results,
            layers: cx.layers,
            is_traced,
        };
        let labels = self.cache.show(
            &PaintRequest {
                subject,
                revision: cx.revision,
                results_revision: cx.results_revision,
                sight,
                palette: cx.palette,
                text_scale: cx.text_scale,
            },
            &painter,
        );
        let mut answer = CanvasAnswer::default();
        let dimensions = overlay::labels(&painter, &labels);
        let scene = Scene {
            job: cx.job,
            plan: cx.plan,
            results: cx.results,
            selection: cx.selection,
            pickable: cx.layers.pickable(),
        };
        self.dimension_fields(cx, ui, &dimensions, &mut answer);
        let frame = input::Frame { ui, response: &response, sight, scene, cx };
        let inputs = input::read(self, &frame);
        for one in inputs {
            answer.asks.extend(self.tool.handle(&one, &scene));
        }
        let raw = input::pointer_place(ui, &response, &sight);
        self.hovered = raw.and_then(|raw| hit::pick(raw, sight.inches(input::REACH), &scene));
        self.context_menu(&frame, raw, &mut answer);
        let over = overlay::Overlay { painter: &painter, sight, cx };
        over.chosen(&scene, self.hovered.filter(|_| matches!(self.tool, Tool::Select(_))));
        over.highlight();
        let is_empty = cx.job.outline.sides.is_empty() && cx.job.underlay.picture.is_none();
        match (&self.tool, is_empty && !self.tool.is_under_way()) {
            (Tool::Select(_), true) => {
                answer.action = answer.action.or(empty::ways_to_start(cx, ui, rect));
            }
            (tool, true) => over.what_to_do(tool.hint()),
            _ if cx.is_picture_coming => over.what_to_do("The plan picture is being read…"),
            _ => {}
        }
        over.ghosts(&self.tool, self.pointer.as_ref());
        over.pointer(self.pointer.as_ref(), &self.tool, &self.typed);
        over.said_at();
        if response.has_focus() {
            over.focus(rect);
        }
        answer
    }

    /// Shows a place in the middle, near enough to see what is there.
    pub fn look_at(&mut self, at: Point) {
        const NEAR_IN: f64 = 22.0 * 12.0;
        self.view.center = at;
        if let Some(sight) = self.sight {
            let size = f64::from(sight.rect.width().min(sight.rect.height()));
            self.view.zoom = self.view.zoom.max(size / NEAR_IN);
        }
    }

    fn fit(&mut self, cx: &CanvasContext<'_>, size: egui::Vec2) {
        let corners = cx.job.outline.sides.iter().map(|side| side.start);
        let all = cx.plan.bounds().or_else(|| Bounds::of(corners));
        let all = all.or_else(|| {
            let picture = cx.job.underlay.picture.as_ref()?;
            Bounds::of(picture.corners(cx.underlaid?.height_by_width))
        });
        match all {
            Some(bounds) => self.view.fit(bounds, size),
            None => self.view = View::default(),
        }
    }

    /// Paints the picture that is traced; whether one is in sight.
    fn underlay(&self, cx: &CanvasContext<'_>, painter: &egui::Painter, sight: &Sight) -> bool {
        let picture = cx.job.underlay.picture.as_ref();
        let (Some(picture), Some(underlaid), true) =
            (picture, cx.underlaid, cx.layers.shows(Layer::Picture))
        else {
            return false;
        };
        const CORNERS: [(f32, f32); 4] = [(0.0, 1.0), (1.0, 1.0), (1.0, 0.0), (0.0, 0.0)];
        let mut mesh = egui::Mesh::with_texture(underlaid.texture);
        let color = egui::Color32::WHITE.gamma_multiply(picture.strength as f32);
        for (at, (right, down)) in picture.corners(underlaid.height_by_width).iter().zip(CORNERS) {
            let (pos, uv) = (sight.screen_from_plan(*at), egui::pos2(right, down));
            mesh.vertices.push(egui::epaint::Vertex { pos, uv, color });
        }
        mesh.add_triangle(0, 1, 2);
        mesh.add_triangle(0, 2, 3);
        painter.add(egui::Shape::mesh(mesh));
        true
    }

    /// A right click chooses what is under it and offers what can be done there.
    fn context_menu(
        &mut self,
        frame: &input::Frame<'_, '_>,
        raw: Option<Point>,
        answer: &mut CanvasAnswer,
    ) {
        if self.tool.is_under_way() {
            self.menu_at = None;
        } else if frame.response.secondary_clicked()
            && let Some(raw) = raw
        {
            let pick = hit::pick(raw, frame.sight.inches(input::REACH), &frame.scene);
            let at = self.pointer.as_ref().map_or(raw, |snapped| snapped.at);
            self.menu_at = Some((at, pick));
            answer.asks.push(tools::Ask::Select(pick.into_iter().collect()));
        }
        let Some((at, pick)) = self.menu_at else { return };
        frame.response.context_menu(|ui| {
            ui.set_min_width(210.0);
            ui.spacing_mut().interact_size.y = 28.0;
            for entry in menu::entries(pick, at, &frame.scene) {
                if ui.button(entry.name).clicked() {
                    ui.close();
                    match entry.choice {
                        menu::Choice::Asks(asks) => answer.asks.extend(asks),
                        menu::Choice::Act(action) => answer.action = Some(action),
                        menu::Choice::TypeLength(side) => {
                            self.dimension = Some(DimensionEntry { side, ..Default::default() });
                        }
                    }
                }
            }
        });
    }

    /// Dimensions can be clicked, and what is typed then is the side's new length.
    fn dimension_fields(
        &mut self,
        cx: &CanvasContext<'_>,
        ui: &mut Ui,
        dimensions: &[overlay::DimensionBox],
        answer: &mut CanvasAnswer,
    ) {
        let is_free = matches!(self.tool, Tool::Select(_)) && !self.tool.is_under_way();
        for (index, dimension) in dimensions.iter().enumerate() {
            let is_open = self.dimension.as_ref().is_some_and(|entry| entry.side == dimension.side);
            if is_open {
                self.dimension_field(ui, dimension, answer);
                continue;
            }
            if !is_free {
                continue;
            }
            let id = ui.scope_id().with(("dimension", dimension.side));
            let rect = dimension.rect.expand2(egui::vec2(2.0, 4.0));
            let response = ui.interact(rect, id, Sense::click());
            response.widget_info(|| {
                let name = format!("Length of side {}: {}", index + 1, dimension.text);
                WidgetInfo::labeled(Role::Button, true, name)
            });
            if response.hovered() || response.has_focus() {
                let stroke = egui::Stroke::new(1.5, cx.palette.accent);
                ui.painter().rect_stroke(rect, 3.0, stroke, egui::StrokeKind::Outside);
                ui.ctx().set_cursor_icon(egui::CursorIcon::Text);
            }
            if response.clicked() {
                self.dimension = Some(DimensionEntry {
                    side: dimension.side,
                    text: String::new(),
                    has_focus: false,
                });
            }
        }
    }

    fn dimension_field(
        &mut self,
        ui: &mut Ui,
        dimension: &overlay::DimensionBox,
        answer: &mut CanvasAnswer,
    ) {
        let Some(entry) = &mut self.dimension else { return };
        let rect = egui::Rect::from_center_size(dimension.rect.center(), egui::vec2(112.0, 28.0));
        let field = egui::TextEdit::singleline(&mut entry.text)
            .hint_text(dimension.text.clone())
            .margin(egui::Margin::symmetric(6, 4));
        let response = ui.put(rect, field).accessible_name("New length of the side");
        if !entry.has_focus {
            entry.has_focus = true;
            response.request_focus();
            return;
        }
        if response.lost_focus() {
            let is_given = ui.input(|input| input.key_pressed(Key::Enter));
            let entry = self.dimension.take().unwrap_or_default();
            if is_given && !entry.text.trim().is_empty() {
                answer.typed_length = Some((entry.side, entry.text));
            }
        }
    }

    /// The word for where the pointer is.
    #[must_use]
    pub fn snap_word(&self) -> &'static str {
        self.pointer.as_ref().map_or("", |snapped| match snapped.kind {
            SnapKind::Free => "",
            kind => kind.word(),
        })
    }
}
