//! The slab itself: fill, form line, thickenings, openings, what comes through it, dimensions.

use super::{Brush, Dash, Label, Pen, Subject};
use egui::{Align2, Color32, Shape, Stroke, Vec2};
use slabloom_core::concrete::SolidPart;
use slabloom_core::geometry::polygon::{edges, ring_contains};
use slabloom_core::geometry::{Bounds, Point, Segment, Vector};
use slabloom_core::job::ids::RimId;
use slabloom_core::job::openings::PenetrationKind;
use slabloom_core::units::{Length, show_length};

/// Screen points from a side to its dimension line.
const DIMENSION_OFFSET: f32 = 30.0;
/// Screen points from the box round the slab to the overall dimensions.
const OVERALL_OFFSET: f32 = 62.0;

/// Concrete over a plan picture lets it be seen.
fn seen_through(subject: &Subject<'_>, color: Color32) -> Color32 {
    if subject.is_traced { color.gamma_multiply(0.35) } else { color }
}

pub(super) fn slab(subject: &Subject<'_>, brush: &mut Brush<'_>) {
    let color = seen_through(subject, brush.palette.slab);
    brush.fill(subject.plan.region.rings(), color);
}

pub(super) fn rim(subject: &Subject<'_>, brush: &mut Brush<'_>) {
    let pen = Pen::solid(2.6, brush.palette.slab_line);
    for ring in subject.plan.region.rings() {
        brush.ring(ring, pen);
    }
    if subject.plan.is_empty() && subject.job.outline.sides.len() > 1 {
        // An outline that is no slab yet is still shown, so that it can be mended.
        let pen = Pen::solid(2.0, brush.palette.stop).dashed(Dash::Dashed);
        let corners: Vec<Point> = subject.job.outline.sides.iter().map(|side| side.start).collect();
        brush.ring(&corners, pen);
    }
}

pub(super) fn thickenings(subject: &Subject<'_>, brush: &mut Brush<'_>) {
    let palette = brush.palette;
    for cell in &subject.results.parts.concrete.cells {
        let color = match cell.part {
            SolidPart::Floor => continue,
            SolidPart::EdgeFlat | SolidPart::Strip | SolidPart::Pad => palette.slab_thick,
            SolidPart::EdgeHaunch => palette.slab_haunch,
        };
        brush.fill([&cell.corners], seen_through(subject, color));
    }
    let hidden = Pen::solid(1.1, palette.ink_soft).dashed(Dash::Dashed);
    for line in edge_lines(subject) {
        brush.line(&line, hidden);
    }
}

/// Recesses and slopes in the floor's top; strips and pads too until they are cast.
pub(super) fn tops(subject: &Subject<'_>, brush: &mut Brush<'_>) {
    let palette = brush.palette;
    let hidden = Pen::solid(1.1, palette.ink_soft).dashed(Dash::Dashed);
    let is_cast = !subject.results.parts.concrete.cells.is_empty();
    for strip in subject.job.thickenings.strips.iter().filter(|_| !is_cast) {
        let half = strip.flat_width.to_inches() / 2.0;
        for (from, to) in strip.line.iter().zip(strip.line.iter().skip(1)) {
            let Some(along) = (*to - *from).unit() else { continue };
            let across = along.left() * half;
            let ring = [*from + across, *to + across, *to - across, *from - across];
            brush.ring(&ring, hidden);
        }
    }
    for pad in subject.job.thickenings.pads.iter().filter(|_| !is_cast) {
        brush.ring(&pad.shape.outline(pad.at), hidden);
    }
    for recess in &subject.job.thickenings.recesses {
        brush.ring(&recess.corners, Pen::solid(1.2, palette.ink_soft));
        let at = slabloom_core::geometry::polygon::centroid(&recess.corners);
        let text = format!("−{}", length(subject, recess.lowered_by));
        let label = brush.text(brush.at(at), text, 11.0);
        brush.label(label);
    }
    for slope in &subject.job.thickenings.slopes {
        brush.ring(&slope.corners, Pen::solid(1.0, palette.ink_soft).dashed(Dash::Dotted));
    }
}

/// Where flat and slope of thickenings end: sides of cells that another part lies beyond.
fn edge_lines(subject: &Subject<'_>) -> Vec<Vec<Point>> {
    let cells = &subject.results.parts.concrete.cells;
    let boxes: Vec<Option<Bounds>> =
        cells.iter().map(|cell| Bounds::of(cell.corners.iter().copied())).collect();
    let part_at = |at: Point| {
        cells
            .iter()
            .zip(&boxes)
            .find(|(cell, bounds)| {
                bounds.is_some_and(|bounds| bounds.contains(at)) && ring_contains(&cell.corners, at)
            })
            .map(|(cell, _)| cell.part)
    };
    let mut lines = Vec::new();
    for cell in cells.iter().filter(|cell| cell.part != SolidPart::Floor) {
        for (from, to) in edges(&cell.corners) {
            let Some(along) = (to - from).unit() else { continue };
            // Cells run counter-clockwise, so that the other part is on the right.
            let beyond = part_at(from.middle(to) - along.left() * BESIDE_IN);
            // Each line is drawn once, by the deeper of the two parts.
            if beyond.is_some_and(|part| rank(part) < rank(cell.part)) {
                lines.push(vec![from, to]);
            }
        }
    }
    lines
}

/// How far beside the side of a cell its neighbour is looked for, inches.
const BESIDE_IN: f64 = 0.2;

const fn rank(part: SolidPart) -> u8 {
    match part {
        SolidPart::Floor => 0,
        SolidPart::EdgeHaunch => 1,
        SolidPart::EdgeFlat => 2,
        SolidPart::Strip => 3,
        SolidPart::Pad => 4,
    }
}

pub(super) fn steel(subject: &Subject<'_>, brush: &mut Brush<'_>) {
    let steel = &subject.results.parts.concrete.steel;
    let mesh = Pen::solid(0.8, brush.palette.ink_soft).dashed(Dash::Dotted);
    for piece in &steel.mesh_pieces {
        brush.ring(piece, mesh);
    }
    let bar = Pen::solid(1.6, brush.palette.ink);
    for run in &steel.bar_runs {
        brush.line(&run.line, bar);
    }
}

pub(super) fn openings(subject: &Subject<'_>, brush: &mut Brush<'_>) {
    let palette = brush.palette;
    for (id, ring) in &subject.plan.openings {
        brush.fill([ring], palette.paper);
        if let [a, b, c, d] = ring.as_slice() {
            let thin = Pen::solid(0.8, palette.ink_soft);
            brush.line(&[*a, *c], thin);
            brush.line(&[*b, *d], thin);
        }
        let name = subject.job.openings.openings.iter().find(|opening| opening.id == *id);
        let text = name.map(|opening| opening.name.clone()).filter(|name| !name.is_empty());
        let at = brush.at(slabloom_core::geometry::polygon::centroid(ring));
        let label = Label {
            ground: Some(palette.paper),
            ..brush.text(at, text.unwrap_or_else(|| "Opening".to_owned()), 11.0)
        };
        brush.label(label);
    }
    for item in &subject.plan.penetrations {
        let fill = match item.kind {
            PenetrationKind::Column => palette.ink_soft,
            _ => palette.paper,
        };
        brush.fill([&item.outline], fill);
        brush.ring(&item.outline, Pen::solid(1.5, palette.slab_line));
        let at = brush.at(item.at);
        if item.kind == PenetrationKind::Drain {
            let arm = brush.length(item.widest * 0.35);
            let thin = Pen::solid(1.0, palette.slab_line);
            for step in [Vec2::new(arm, arm), Vec2::new(arm, -arm)] {
                brush.screen_line(vec![at - step, at + step], thin);
            }
        }
    }
}

fn length(subject: &Subject<'_>, value: Length) -> String {
    show_length(value, subject.job.facts.display.rounding)
}

/// One dimension string: from, to, how far off to the right, and its text.
struct DimensionLine {
    from: Point,
    to: Point,
    offset: f32,
    label: Label,
}

pub(super) fn dimensions(subject: &Subject<'_>, brush: &mut Brush<'_>) {
    let plan = subject.plan;
    for side in &plan.rim {
        let RimId::Side(id) = side.id else { continue };
        let text = length(subject, Length::inches(side.segment.length()));
        let label = Label { side: Some(id), ..brush.text(egui::Pos2::ZERO, text, 12.0) };
        match side.segment {
            Segment::Line(from, to) => {
                // The slab is on the left, so the dimension stands on the right.
                dimension(brush, DimensionLine { from, to, offset: DIMENSION_OFFSET, label });
            }
            Segment::Arc(arc) => {
                let out = (arc.to - arc.from)
                    .unit()
                    .map_or(Vector::new(0.0, -1.0), |along| -along.left());
                let middle = brush.at(arc.point_at(0.5));
                let step = Vec2::new(out.x as f32, -out.y as f32) * 20.0;
                brush.label(Label {
                    at: middle + step,
                    text: format!("arc {}", label.text),
                    ..label
                });
            }
        }
    }
    let sides = plan.rim.iter().filter(|side| matches!(side.id, RimId::Side(_))).count();
    if let (Some(bounds), true) = (plan.bounds(), sides > 4) {
        let (low, high) = (bounds.min, bounds.max);
        let sizes = [
            (low, Point::new(high.x, low.y), bounds.width()),
            (Point::new(low.x, high.y), low, bounds.height()),
        ];
        for (from, to, size) in sizes {
            let text = length(subject, Length::inches(size));
            let label = Label { is_bold: true, ..brush.text(egui::Pos2::ZERO, text, 12.0) };
            dimension(brush, DimensionLine { from, to, offset: OVERALL_OFFSET, label });
        }
    }
}

/// Drafting practice: thin line, 45 degree ticks, extension lines with a gap, the figure on the
/// line and readable from below or from the right.
fn dimension(brush: &mut Brush<'_>, line: DimensionLine) {
    let palette = brush.palette;
    let (from, to) = (brush.at(line.from), brush.at(line.to));
    let along = (to - from).normalized();
    if (to - from).length() < 26.0 {
        return;
    }
    // Screen y is down: turning clockwise on the screen is to the right of the way.
    let out = Vec2::new(-along.y, along.x);
    let thin = Pen::solid(0.8, palette.ink_soft);
    let shift = out * line.offset;
    let (start, end) = (from + shift, to + shift);
    brush.screen_line(vec![start - along * 6.0, end + along * 6.0], thin);
    for (corner, at) in [(from, start), (to, end)] {
        brush.screen_line(vec![corner + out * 6.0, at + out * 7.0], thin);
        let tick = (along + out) * 4.0;
        brush.shape(Shape::line_segment([at - tick, at + tick], Stroke::new(1.8, palette.ink)));
    }
    // Figures read from below or from the right: upright ones run from the foot to the head.
    let mut angle = along.y.atan2(along.x);
    let quarter = std::f32::consts::FRAC_PI_2;
    if angle > quarter - 0.01 {
        angle -= std::f32::consts::PI;
    } else if angle < -quarter - 0.01 {
        angle += std::f32::consts::PI;
    }
    brush.label(Label {
        at: start + (end - start) * 0.5,
        anchor: Align2::CENTER_CENTER,
        angle,
        ground: Some(palette.paper),
        ..line.label
    });
}

/// A grid of feet, with a stronger line every ten, drawn apart from the plan since it fills the
/// canvas whatever the view.
pub fn grid(
    painter: &egui::Painter,
    sight: &crate::canvas::view::Sight,
    fine: Color32,
    strong: Color32,
) {
    let zoom = sight.view.zoom;
    let step = [12.0, 60.0, 120.0, 600.0, 1200.0].into_iter().find(|step| step * zoom >= 9.0);
    let Some(step) = step else { return };
    let (low, high) = (
        sight.plan_from_screen(sight.rect.left_bottom()),
        sight.plan_from_screen(sight.rect.right_top()),
    );
    let strong_every = if step < 60.0 { 120.0 } else { step * 10.0 };
    let is_strong =
        |value: f64| (value / strong_every - (value / strong_every).round()).abs() < 1e-6;
    let lines = |low: f64, high: f64| {
        let first = (low / step).ceil();
        let count = ((high / step).floor() - first).clamp(-1.0, 2000.0) as i64 + 1;
        (0..count.max(0)).map(move |index| (first + index as f64) * step)
    };
    for pass in [false, true] {
        let stroke = Stroke::new(1.0, if pass { strong } else { fine });
        for x in lines(low.x, high.x).filter(|x| is_strong(*x) == pass) {
            let at = sight.screen_from_plan(Point::new(x, low.y));
            painter.vline(at.x.round() + 0.5, sight.rect.y_range(), stroke);
        }
        for y in lines(low.y, high.y).filter(|y| is_strong(*y) == pass) {
            let at = sight.screen_from_plan(Point::new(low.x, y));
            painter.hline(sight.rect.x_range(), at.y.round() + 0.5, stroke);
        }
    }
}
