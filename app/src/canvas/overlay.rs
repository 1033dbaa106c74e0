//! What is painted over the plan: labels, what is chosen, the tool's own lines, snap marks, and
//! live lengths beside the pointer.

use super::CanvasContext;
use super::hit::{self, Pick};
use super::paint::Label;
use super::snap::{SnapKind, Snapped};
use super::tools::{Ghost, Scene, Tool};
use super::view::Sight;
use crate::editor::theme::bold_font;
use egui::{Align2, FontId, Painter, Pos2, Rect, Shape, Stroke, StrokeKind, Vec2};
use slabloom_core::foam::{FoamLayout, PieceKind};
use slabloom_core::geometry::polygon::centroid;
use slabloom_core::geometry::{Arc, Point};
use slabloom_core::job::ids::{ItemId, SideId};
use slabloom_core::units::{Length, show_length, show_number};

/// Where a dimension that can be typed over stands.
#[derive(Clone, Debug)]
pub struct DimensionBox {
    /// Its side.
    pub side: SideId,
    /// On the screen.
    pub rect: Rect,
    /// As shown.
    pub text: String,
}

/// Paints labels; gives the boxes of dimensions.
pub fn labels(painter: &Painter, labels: &[Label]) -> Vec<DimensionBox> {
    let mut boxes = Vec::new();
    for label in labels {
        let font =
            if label.is_bold { bold_font(label.size) } else { FontId::proportional(label.size) };
        let galley = painter.layout_no_wrap(label.text.clone(), font, label.color);
        let size = galley.size();
        let is_level = label.angle.abs() < 0.01;
        if is_level {
            let rect = label.anchor.anchor_size(label.at, size);
            if let Some(ground) = label.ground {
                painter.rect_filled(rect.expand2(Vec2::new(3.0, 0.0)), 2.0, ground);
            }
            painter.galley(rect.min, galley, label.color);
        } else {
            let turn = egui::emath::Rot2::from_angle(label.angle);
            let corner = |x: f32, y: f32| label.at + turn * Vec2::new(x, y);
            let (x, y) = (size.x / 2.0 + 3.0, size.y / 2.0);
            if let Some(ground) = label.ground {
                let ring = vec![corner(-x, -y), corner(x, -y), corner(x, y), corner(-x, y)];
                painter.add(Shape::convex_polygon(ring, ground, Stroke::NONE));
            }
            let at = corner(-size.x / 2.0, -size.y / 2.0);
            let text = egui::epaint::TextShape::new(at, galley, label.color);
            painter.add(text.with_angle(label.angle));
        }
        if let Some(side) = label.side {
            let (sin, cos) = label.angle.sin_cos();
            let half = Vec2::new(
                (size.x * cos.abs() + size.y * sin.abs()) / 2.0,
                (size.x * sin.abs() + size.y * cos.abs()) / 2.0,
            );
            let least = Vec2::splat(12.0);
            let rect = Rect::from_center_size(label.at, half.max(least) * 2.0);
            boxes.push(DimensionBox { side, rect, text: label.text.clone() });
        }
    }
    boxes
}

/// Paints over the plan.
pub struct Overlay<'a, 'b> {
    /// On what.
    pub painter: &'a Painter,
    /// Where the canvas looks.
    pub sight: Sight,
    /// What the canvas reads.
    pub cx: &'a CanvasContext<'b>,
}

impl Overlay<'_, '_> {
    fn at(&self, point: Point) -> Pos2 {
        self.sight.screen_from_plan(point)
    }

    fn path(&self, points: &[Point], is_closed: bool, stroke: Stroke) {
        let points: Vec<Pos2> = points.iter().map(|point| self.at(*point)).collect();
        self.painter.add(if is_closed {
            Shape::closed_line(points, stroke)
        } else {
            Shape::line(points, stroke)
        });
    }

    /// What is chosen, with handles, and what is under the pointer.
    pub fn chosen(&self, scene: &Scene<'_>, hovered: Option<Pick>) {
        let accent = self.cx.palette.accent;
        if let Some(pick) = hovered.filter(|pick| !scene.selection.contains(pick)) {
            self.pick(scene, pick, Stroke::new(2.0, accent.gamma_multiply(0.55)));
            if let Pick::BoardPiece(layer, index) = pick
                && let Some(layer) = scene.results.parts.foam.layers.get(layer)
                && let Some((at, words)) = said_of_piece(layer, index)
            {
                self.tag(self.at(at) + Vec2::new(0.0, 24.0), &words);
            }
        }
        for pick in scene.selection {
            self.pick(scene, *pick, Stroke::new(3.0, accent));
        }
        self.handles(scene);
    }

    fn pick(&self, scene: &Scene<'_>, pick: Pick, stroke: Stroke) {
        let job = scene.job;
        let parts = &scene.results.parts;
        match pick {
            Pick::Corner(id) => {
                if let Some(side) = job.outline.sides.iter().find(|side| side.id == id) {
                    self.painter.circle_stroke(self.at(side.start), 7.0, stroke);
                }
            }
            Pick::Item(ItemId::SideId(id)) => {
                if let Some((_, side)) = job.outline.segments().find(|(own, _)| *own == id) {
                    let mut points = vec![side.start()];
                    points.extend(side.flatten(0.5));
                    self.path(&points, false, Stroke::new(stroke.width + 2.0, stroke.color));
                }
            }
            Pick::Item(id) | Pick::ItemCorner(id, _) => self.item(scene, id, stroke),
            Pick::Circuit(index) => {
                if let Some(circuit) = parts.tube.circuits.get(index) {
                    let points = circuit.points(self.sight.inches(0.5));
                    self.path(&points, false, Stroke::new(stroke.width + 1.0, stroke.color));
                }
            }
            Pick::FoundJoint(index) => {
                if let Some(line) = parts.joints.layout.lines.get(index) {
                    self.path(&[line.from, line.to], false, stroke);
                }
            }
            Pick::SlabPanel(index) => {
                if let Some(panel) = parts.joints.layout.panels.get(index) {
                    self.path(&panel.outline, true, stroke);
                }
            }
            Pick::BoardPiece(layer, index) => {
                let Some(layer) = parts.foam.layers.get(layer) else { return };
                if let Some(piece) = layer.pieces.get(index) {
                    self.path(&piece.outline, true, stroke);
                }
                // What comes from the same board lies elsewhere in the floor.
                for sibling in layer.siblings(index) {
                    let first = sibling.outline.first();
                    let ring: Vec<Pos2> =
                        sibling.outline.iter().chain(first).map(|at| self.at(*at)).collect();
                    self.painter.extend(Shape::dashed_line(&ring, stroke, 6.0, 4.0));
                }
            }
        }
    }

    fn item(&self, scene: &Scene<'_>, id: ItemId, stroke: Stroke) {
        for (item, corners, is_closed) in hit::cornered_items(scene.job) {
            if item == id {
                self.path(&corners, is_closed, stroke);
            }
        }
        for (item, at) in hit::placed_items(scene.job) {
            if item == id {
                self.painter.circle_stroke(self.at(at), 17.0, stroke);
            }
        }
    }

    /// Corners that can be dragged, while the first tool is in hand or something is chosen.
    fn handles(&self, scene: &Scene<'_>) {
        let palette = self.cx.palette;
        let handle = |at: Pos2| {
            let rect = Rect::from_center_size(at, Vec2::splat(8.0));
            self.painter.rect_filled(rect, 1.0, palette.raised);
            let stroke = Stroke::new(1.6, palette.accent);
            self.painter.rect_stroke(rect, 1.0, stroke, StrokeKind::Inside);
        };
        let touches_outline = scene
            .selection
            .iter()
            .any(|pick| matches!(pick, Pick::Corner(_) | Pick::Item(ItemId::SideId(_))));
        if touches_outline {
            for side in &scene.job.outline.sides {
                handle(self.at(side.start));
            }
        }
        for (item, corners, _) in hit::cornered_items(scene.job) {
            let is_chosen = scene.selection.iter().any(|pick| match pick {
                Pick::Item(id) | Pick::ItemCorner(id, _) => *id == item,
                _ => false,
            });
            if is_chosen {
                corners.into_iter().for_each(|corner| handle(self.at(corner)));
            }
        }
    }

    /// Shapes that a row of a panel points at.
    pub fn highlight(&self) {
        let stroke = Stroke::new(3.0, self.cx.palette.accent);
        for shape in self.cx.highlight {
            self.path(shape, shape.len() > 2, stroke);
        }
    }

    /// The tool's own lines with their lengths.
    pub fn ghosts(&self, tool: &Tool, pointer: Option<&Snapped>) {
        let accent = self.cx.palette.accent;
        let line = Stroke::new(2.4, accent);
        for ghost in tool.ghosts(pointer.map(|snapped| snapped.at)) {
            match ghost {
                Ghost::Line(from, to) => {
                    self.path(&[from, to], false, line);
                    self.line_length(from, to);
                }
                Ghost::Thin(from, to) => {
                    let points = [self.at(from), self.at(to)];
                    let thin = Stroke::new(1.2, accent);
                    self.painter.extend(Shape::dashed_line(&points, thin, 5.0, 5.0));
                }
                Ghost::Arc(from, through, to) => {
                    let arc = Arc { from, through, to };
                    let mut points = vec![from];
                    points.extend(arc.flatten(0.5));
                    self.path(&points, false, line);
                    let middle = self.at(arc.point_at(0.5));
                    let text = format!("arc {}", self.length(arc.length()));
                    self.tag(middle - Vec2::new(0.0, 14.0), &text);
                }
                Ghost::Rectangle(a, b) => {
                    let corners = [a, Point::new(b.x, a.y), b, Point::new(a.x, b.y)];
                    self.path(&corners, true, line);
                    let (width, height) = ((b.x - a.x).abs(), (b.y - a.y).abs());
                    let low = Point::new((a.x + b.x) / 2.0, a.y.min(b.y));
                    let side = Point::new(a.x.max(b.x), (a.y + b.y) / 2.0);
                    self.tag(self.at(low) + Vec2::new(0.0, 15.0), &self.length(width));
                    self.tag(self.at(side) + Vec2::new(38.0, 0.0), &self.length(height));
                }
                Ghost::Dot(at) => {
                    self.painter.circle_filled(self.at(at), 4.0, accent);
                }
                Ghost::Marquee(a, b) => {
                    let rect = Rect::from_two_pos(self.at(a), self.at(b));
                    self.painter.rect_filled(rect, 0.0, accent.gamma_multiply(0.12));
                    let stroke = Stroke::new(1.2, accent);
                    self.painter.rect_stroke(rect, 0.0, stroke, StrokeKind::Inside);
                }
            }
        }
    }

    fn length(&self, inches: f64) -> String {
        show_length(Length::inches(inches), self.cx.job.facts.display.rounding)
    }

    /// Length and direction of a line, beside its middle.
    fn line_length(&self, from: Point, to: Point) {
        let step = to - from;
        if step.length() < 1.0 {
            return;
        }
        let (start, end) = (self.at(from), self.at(to));
        let along = (end - start).normalized();
        let across = Vec2::new(along.y, -along.x);
        let across = if across.y > 0.0 { -across } else { across };
        let degrees = step.angle().to_degrees().rem_euclid(360.0);
        let text = match compass(degrees) {
            Some(word) => format!("{} {word}", self.length(step.length())),
            None => format!("{} < {}°", self.length(step.length()), show_number(degrees, 1)),
        };
        self.tag(start + (end - start) * 0.5 + across * 18.0, &text);
    }

    /// Text in a box that can be read over anything.
    fn tag(&self, at: Pos2, text: &str) {
        let palette = self.cx.palette;
        let font = bold_font(13.0 * self.cx.text_scale);
        let galley = self.painter.layout_no_wrap(text.to_owned(), font, palette.ink);
        let rect = Align2::CENTER_CENTER.anchor_size(at, galley.size());
        self.painter.rect_filled(rect.expand2(Vec2::new(6.0, 3.0)), 3.0, palette.raised);
        let stroke = Stroke::new(1.0, palette.accent);
        let frame = rect.expand2(Vec2::new(6.0, 3.0));
        self.painter.rect_stroke(frame, 3.0, stroke, StrokeKind::Outside);
        self.painter.galley(rect.min, galley, palette.ink);
    }

    /// The snap mark with its word, and what was typed.
    pub fn pointer(&self, pointer: Option<&Snapped>, tool: &Tool, typed: &str) {
        let palette = self.cx.palette;
        let is_drawing = tool.takes_text() || tool.is_under_way();
        if let (Some(snapped), true) = (pointer, is_drawing) {
            let at = self.at(snapped.at);
            for (from, to) in &snapped.guides {
                let points = [self.at(*from), self.at(*to)];
                let thin = Stroke::new(1.0, palette.accent);
                self.painter.extend(Shape::dashed_line(&points, thin, 3.0, 4.0));
            }
            self.snap_mark(at, snapped.kind);
            if !matches!(snapped.kind, SnapKind::Free | SnapKind::Even) {
                let at = at + Vec2::new(12.0, 14.0);
                let font = FontId::proportional(11.5);
                let galley =
                    self.painter.layout_no_wrap(snapped.kind.word().to_owned(), font, palette.ink);
                let rect = Rect::from_min_size(at, galley.size());
                self.painter.rect_filled(rect.expand(2.0), 2.0, palette.raised);
                self.painter.galley(at, galley, palette.ink);
            }
        }
        if !typed.is_empty() {
            let middle = self.sight.rect.center_bottom() - Vec2::new(0.0, 36.0);
            let at = pointer.map_or(middle, |snapped| self.at(snapped.at) + Vec2::new(0.0, -30.0));
            let unit = self.cx.job.facts.display.bare_unit;
            let shown = format!("{typed}▏");
            self.tag(at, &shown);
            if let Err(problem) = super::tools::typed::read(typed, unit) {
                let font = FontId::proportional(11.5);
                let at = at - Vec2::new(0.0, 22.0);
                self.painter.text(at, Align2::CENTER_CENTER, problem, font, palette.ink_soft);
            }
        }
    }

    fn snap_mark(&self, at: Pos2, kind: SnapKind) {
        let stroke = Stroke::new(1.8, self.cx.palette.accent);
        let arm = 5.5;
        let line = |a: Vec2, b: Vec2| {
            self.painter.line_segment([at + a, at + b], stroke);
        };
        match kind {
            SnapKind::Corner => {
                let rect = Rect::from_center_size(at, Vec2::splat(arm * 2.0));
                self.painter.rect_stroke(rect, 0.0, stroke, StrokeKind::Middle);
            }
            SnapKind::Middle => {
                let points = vec![
                    at + Vec2::new(0.0, -arm),
                    at + Vec2::new(arm, arm),
                    at + Vec2::new(-arm, arm),
                ];
                self.painter.add(Shape::closed_line(points, stroke));
            }
            SnapKind::Crossing => {
                line(Vec2::new(-arm, -arm), Vec2::new(arm, arm));
                line(Vec2::new(-arm, arm), Vec2::new(arm, -arm));
            }
            SnapKind::Square | SnapKind::SquareAndInLine => {
                line(Vec2::new(-arm, -arm), Vec2::new(-arm, arm));
                line(Vec2::new(-arm, arm), Vec2::new(arm, arm));
            }
            SnapKind::Parallel => {
                line(Vec2::new(-arm, arm * 0.4), Vec2::new(arm * 0.4, -arm));
                line(Vec2::new(-arm * 0.4, arm), Vec2::new(arm, -arm * 0.4));
            }
            SnapKind::Perpendicular => {
                line(Vec2::new(-arm, arm), Vec2::new(arm, arm));
                line(Vec2::new(0.0, arm), Vec2::new(0.0, -arm));
            }
            SnapKind::InLine | SnapKind::Side => {
                self.painter.circle_stroke(at, arm * 0.9, stroke);
            }
            SnapKind::Even => {
                line(Vec2::new(-arm, 0.0), Vec2::new(arm, 0.0));
                line(Vec2::new(0.0, -arm), Vec2::new(0.0, arm));
            }
            SnapKind::Free => {
                self.painter.circle_filled(at, 2.0, stroke.color);
            }
        }
    }

    /// What is said of a place while it is pointed at.
    pub fn said_at(&self) {
        if let Some((place, words)) = self.cx.said_at {
            // Towards the middle of the canvas, so that the words stay within it.
            let at = self.at(place);
            let inward = (self.sight.rect.center() - at).normalized() * Vec2::new(96.0, 28.0);
            self.tag(at + inward, words);
        }
    }

    /// What the tool in hand waits for, where the eye is while the plan is still empty.
    pub fn what_to_do(&self, hint: &str) {
        let at = self.sight.rect.center_top() + Vec2::new(0.0, 40.0);
        self.tag(at, hint);
    }

    /// The canvas has the focus of the keyboard.
    pub fn focus(&self, rect: Rect) {
        let stroke = Stroke::new(2.0, self.cx.palette.accent);
        self.painter.rect_stroke(rect.shrink(1.0), 0.0, stroke, StrokeKind::Inside);
    }
}

/// Where a piece of board lies and which board it comes from, with what else.
fn said_of_piece(layer: &FoamLayout, index: usize) -> Option<(Point, String)> {
    let piece = layer.pieces.get(index)?;
    let others: Vec<String> =
        layer.siblings(index).map(|sibling| sibling.number.to_string()).collect();
    let board = piece.board + 1;
    let words = match (piece.kind, others.as_slice()) {
        (PieceKind::Whole, _) => format!("Piece {}: board {board}, whole", piece.number),
        (_, []) => format!("Piece {}: from board {board}", piece.number),
        (_, others) => {
            format!("Piece {}: from board {board}, with {}", piece.number, others.join(", "))
        }
    };
    Some((centroid(&piece.outline), words))
}

/// The word of a direction that is one.
fn compass(degrees: f64) -> Option<&'static str> {
    const WORDS: [&str; 8] = ["E", "NE", "N", "NW", "W", "SW", "S", "SE"];
    let eighth = degrees / 45.0;
    let is_near = (eighth - eighth.round()).abs() < 1e-6;
    WORDS.get(eighth.round() as usize % 8).copied().filter(|_| is_near)
}

#[cfg(test)]
mod tests {
    use super::{compass, said_of_piece};
    use slabloom_core::foam::{BoardPiece, FoamLayout, PieceKind};
    use slabloom_core::geometry::{Point, Polygon};

    #[test]
    fn a_piece_says_its_board_and_what_else_comes_from_it() {
        let outline = Polygon::rectangle(Point::ORIGIN, Point::new(48.0, 24.0)).outer;
        let piece = |number, board, kind| BoardPiece {
            number,
            board,
            kind,
            outline: outline.clone(),
            ..BoardPiece::default()
        };
        let pieces = vec![
            piece(1, 0, PieceKind::Whole),
            piece(2, 1, PieceKind::Cut),
            piece(3, 2, PieceKind::Cut),
            piece(4, 1, PieceKind::Offcut),
        ];
        let layer = FoamLayout { pieces, ..FoamLayout::default() };
        let said = |index| said_of_piece(&layer, index).map(|(_, words)| words);
        assert_eq!(said(0).as_deref(), Some("Piece 1: board 1, whole"));
        assert_eq!(said(1).as_deref(), Some("Piece 2: from board 2, with 4"));
        assert_eq!(said(2).as_deref(), Some("Piece 3: from board 3"));
        assert_eq!(said(3).as_deref(), Some("Piece 4: from board 2, with 2"));
        assert_eq!(said(4), None);
    }

    #[test]
    fn directions_have_words() {
        assert_eq!(compass(0.0), Some("E"));
        assert_eq!(compass(90.0), Some("N"));
        assert_eq!(compass(315.0), Some("SE"));
        assert_eq!(compass(360.0), Some("E"));
        assert_eq!(compass(30.0), None);
    }
}
