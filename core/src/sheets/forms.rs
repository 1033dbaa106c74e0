//! The forms sheet: every side, squaring diagonals, corners from two base lines, what comes up.
//!
//! Sides are dimensioned to the form face. Corner offsets run from the base corner (the lower left
//! corner of the slab's box) along the first base line and square off it; diagonals close the
//! check. Penetrations are located from the west and the south edge of the box.

use super::frame::Draft;
use super::pieces::Piece;
use super::plan_area::{PlanArea, PlanFrame, PlanSheet, built_size, length, plan_sheets};
use super::plan_marks::{self, DIMENSIONS, NOTES};
use super::tags::Shown;
use crate::derive::Results;
use crate::drawing::table::{Column, Table};
use crate::drawing::text::NOTE_SIZE;
use crate::drawing::{Dash, Ink, Mark, Pen, Vec2};
use crate::geometry::{Point, Segment, Vector};
use crate::job::Job;
use crate::job::ids::{ItemId, RimId};
use crate::job::openings::Footprint;
use crate::plan::{Plan, RimSide};
use crate::units::show_number;

/// The forms sheet; empty without a slab.
#[must_use]
pub fn sheets(job: &Job, results: &Results) -> Vec<Draft> {
    let plan = &results.parts.plan;
    if plan.is_empty() {
        return Vec::new();
    }
    let draw = |area: &mut PlanArea<'_>| draw(area, results);
    plan_sheets(
        job,
        plan,
        PlanSheet {
            title: "Forms",
            alt: format!(
                "Form plan: {} sides, {} ft round, {} square feet",
                plan.rim.len(),
                show_number(plan.perimeter / 12.0, 1),
                show_number(plan.area / 144.0, 0)
            ),
            band: (55.0, 55.0),
            pieces: pieces(job, results),
            draw: &draw,
            is_tiled: true,
        },
    )
}

fn draw(area: &mut PlanArea<'_>, results: &Results) {
    let parts = &results.parts;
    let thickenings = plan_marks::thickenings(&parts.concrete, Pen::MEDIUM.inked(Ink::DarkGray));
    area.beneath(&thickenings);
    for diagonal in &parts.concrete.forms.diagonals {
        let course = plan_marks::line(&[diagonal.from, diagonal.to]);
        let pen = Pen::FINE.dashed(Dash::LongDashDot).inked(Ink::DarkGray);
        area.plan(&[Mark::stroke(DIMENSIONS, course, pen)]);
    }
    area.plan(&plan_marks::slab(&parts.plan, Pen::HEAVY));
    area.plan(&plan_marks::penetrations(&parts.plan, Pen::MEDIUM));
    for side in &parts.plan.rim {
        dimension_side(area, side);
    }
    overall(area, &parts.plan);
    for (place, corner) in parts.plan.corners.iter().enumerate() {
        // Corners are lettered inside the slab, on the middle of the slab's own angle.
        let inward = inward(&parts.plan, place);
        let k = area.view.scale.points_per_inch().max(1e-9);
        let near = |points: f64| corner.at + inward * (points / k);
        let say = corner_name(place);
        let beside = |points: f64, aside: f64| {
            let step = (inward + inward.left() * aside).unit().unwrap_or(inward);
            corner.at + step * (points / k)
        };
        let others = [
            beside(15.0, 0.6),
            beside(15.0, -0.6),
            near(24.0),
            beside(24.0, 0.6),
            beside(24.0, -0.6),
            near(34.0),
            near(48.0),
        ];
        area.balloon(near(15.0), (&say, NOTE_SIZE), &others, 0);
    }
    // Letters in their rings may stand on a thickening's line, words may not.
    area.keep_clear(&thickenings);
    for diagonal in &parts.concrete.forms.diagonals {
        diagonal_label(area, diagonal.from, diagonal.to, diagonal.length);
    }
    for item in &parts.plan.penetrations {
        let name = penetration_name(area.job, item.id.0);
        let tag = Shown::Item(item.id.into()).tag();
        area.label(NOTES, item.at, (&name, NOTE_SIZE), tag);
    }
}

/// A step of length 1 into the slab from a corner, half way between its sides.
fn inward(plan: &Plan, place: usize) -> Vector {
    let Some(corner) = plan.corners.get(place) else { return Vector::default() };
    let leaving = plan
        .rim
        .iter()
        .find(|side| side.segment.start().is_near(corner.at))
        .and_then(|side| crate::plan::direction_at_start(side.segment))
        .unwrap_or_default();
    // The slab is on the left of the side that leaves: turn to it by half the slab's angle.
    let (sin, cos) = crate::units::exact_math::sin_cos(corner.angle / 2.0);
    Vector::new(leaving.x * cos - leaving.y * sin, leaving.x * sin + leaving.y * cos)
}

/// A, B … Z, AA, AB …, without I and O.
#[must_use]
pub fn corner_name(place: usize) -> String {
    const LETTERS: &[u8] = b"ABCDEFGHJKLMNPQRSTUVWXYZ";
    let letter =
        |place: usize| LETTERS.get(place % LETTERS.len()).map_or('?', |&letter| char::from(letter));
    if place < LETTERS.len() {
        letter(place).to_string()
    } else {
        format!("{}{}", letter(place / LETTERS.len() - 1), letter(place))
    }
}

fn penetration_name(job: &Job, id: u32) -> String {
    let found = job.openings.penetrations.iter().find(|item| item.id.0 == id);
    match found {
        Some(item) if !item.name.is_empty() => crate::drawing::text::fitted(
            &item.name,
            crate::drawing::Face::Regular,
            NOTE_SIZE,
            110.0,
        ),
        _ => format!("P{id}"),
    }
}

/// A step of length 1 on paper, square to the right of a side of the plan: out of the slab.
fn outward(area: &PlanArea<'_>, from: Point, to: Point) -> Option<Vec2> {
    let along = area.to_paper(to) - area.to_paper(from);
    let length = along.hypot();
    // The slab is on the left where y points up, so on paper the right hand is at +90 degrees.
    (length > 0.0).then(|| Vec2::new(-along.y, along.x) / length)
}

fn dimension_side(area: &mut PlanArea<'_>, side: &RimSide) {
    let (from, to) = (side.segment.start(), side.segment.end());
    let Some(out) = outward(area, from, to) else { return };
    let item = match side.id {
        RimId::Side(id) => ItemId::from(id),
        RimId::Opening(id) => ItemId::from(id),
    };
    let tag = Shown::Item(item).tag();
    let words = match side.segment {
        Segment::Line(..) => area.length(side.segment.length()),
        Segment::Arc(arc) => {
            let radius = arc.circle().map_or(0.0, |circle| circle.radius);
            format!("R {}  arc {}", area.length(radius), area.length(side.segment.length()))
        }
    };
    let is_bowed = matches!(side.segment, Segment::Arc(_));
    // An arc that bows outward needs its dimension beyond the bow.
    let bow = if is_bowed {
        let middle = area.to_paper(side.segment.point_at(0.5));
        let chord = area.to_paper(from).midpoint(area.to_paper(to));
        (middle - chord).dot(out).max(0.0)
    } else {
        0.0
    };
    area.dimension((from, to), out, 18.0 + bow, (&words, built_size(area.job), tag));
}

/// The whole width and height of the slab's box, outside the sides' own figures, when no side
/// says them already.
fn overall(area: &mut PlanArea<'_>, plan: &Plan) {
    let (frame, bounds) = (area.frame, area.frame.bounds);
    let says = |wanted: f64| {
        plan.rim.iter().any(|side| {
            let along = frame.turned(side.segment.end()) - frame.turned(side.segment.start());
            matches!(side.segment, Segment::Line(..))
                && (side.segment.length() - wanted).abs() < 1.0 / 64.0
                && (along.x.abs() < 0.1 || along.y.abs() < 0.1)
        })
    };
    let plan_point = |x: f64, y: f64| {
        Point::new(frame.turn.x * x + frame.turn.y * y, -frame.turn.y * x + frame.turn.x * y)
    };
    let corners = [
        plan_point(bounds.x0, bounds.y0),
        plan_point(bounds.x1, bounds.y0),
        plan_point(bounds.x0, bounds.y1),
    ];
    let [base, east, north] = corners;
    if !says(bounds.width()) {
        let words = area.length(bounds.width());
        area.dimension((base, east), Vec2::new(0.0, 1.0), 40.0, (&words, built_size(area.job), 0));
    }
    if !says(bounds.height()) {
        let words = area.length(bounds.height());
        area.dimension(
            (base, north),
            Vec2::new(-1.0, 0.0),
            40.0,
            (&words, built_size(area.job), 0),
        );
    }
}

fn diagonal_label(area: &mut PlanArea<'_>, from: Point, to: Point, inches: f64) {
    use crate::drawing::dimension::readable_angle;
    use crate::drawing::place::Label;
    use crate::drawing::{Text, symbol};
    let (start, end) = (area.to_paper(from), area.to_paper(to));
    let along = end - start;
    let length = along.hypot();
    if length < 60.0 || !area.shows(start) || !area.shows(end) {
        return;
    }
    let angle = readable_angle(along);
    let words = format!("diagonal {}", area.length(inches));
    let size = built_size(area.job);
    let text = Text::new(start.lerp(end, 0.36), size, words).centered().turned(angle);
    let (_, up) = text.axes();
    let lift = size * 0.75;
    let spots = [0.36, 0.62, 0.28, 0.72, 0.5, 0.2, 0.8];
    let mut label = Label::new(DIMENSIONS, text);
    label.text.at += up * lift;
    label.others = spots
        .iter()
        .flat_map(|&far| [start.lerp(end, far) + up * lift, start.lerp(end, far) - up * lift])
        .collect();
    label.about = Some(start.lerp(end, 0.36));
    area.put(label);
    for (tail, tip) in [(end, start), (start, end)] {
        let head = symbol::arrow_head(DIMENSIONS, tail, tip, 7.0, Ink::Black);
        area.marks.extend(head);
    }
}

fn pieces(job: &Job, results: &Results) -> Vec<Piece> {
    let parts = &results.parts;
    let frame = PlanFrame::of(&parts.plan);
    let forms = &parts.concrete.forms;
    let mut pieces = vec![Piece::Note(
        "Dimensions are to the form face (outside of concrete). Sides are numbered as the slab is \
         walked with the concrete on the left. Verify on site before ordering."
            .to_owned(),
    )];
    pieces.extend(Piece::table(offset_table(job, results, frame)));
    pieces.extend(Piece::table(arc_table(job, results, frame)));
    pieces.extend(Piece::table(diagonal_table(job, results)));
    pieces.push(Piece::Note(
        "Base lines: the south and the west edge of the slab's box. Forms are square when both \
         diagonals of a rectangle tape equal."
            .to_owned(),
    ));
    pieces.extend(Piece::table(penetration_table(job, results, frame)));
    pieces.extend(Piece::table(strip_table(job, frame)));
    pieces.extend(Piece::table(pad_table(job, frame)));
    pieces.extend(Piece::table(form_table(job, results)));
    if parts.plan.rim.iter().any(|side| matches!(side.segment, Segment::Arc(_))) {
        pieces.push(Piece::Note(
            "Boards marked bent follow an arc: use thin stock in layers or boards sawn on the \
             back, and stake them closer (common practice)."
                .to_owned(),
        ));
    }
    if forms.stakes > 0 {
        pieces.push(Piece::Note(format!(
            "Form boards {} high; {} stakes, {} kickers.",
            crate::units::show_inches(
                crate::units::Length::inches(forms.board_height),
                job.facts.display.rounding
            ),
            forms.stakes,
            forms.kickers
        )));
    }
    pieces.push(Piece::Legend(vec![
        (Pen::HEAVY, "form face".to_owned()),
        (Pen::MEDIUM.inked(Ink::DarkGray).dashed(Dash::Dashed), "thickening below".to_owned()),
        (Pen::FINE.dashed(Dash::LongDashDot).inked(Ink::DarkGray), "squaring diagonal".to_owned()),
    ]));
    pieces.push(Piece::Note(
        "Local code and the project's engineer govern every structural size.".to_owned(),
    ));
    pieces
}

fn offset_table(job: &Job, results: &Results, frame: PlanFrame) -> Table {
    let mut table = Table::new(
        "Corners from the base lines",
        vec![Column::words("Corner"), Column::numbers("Along south"), Column::numbers("Off it")],
    );
    for (place, corner) in results.parts.plan.corners.iter().enumerate() {
        let (east, north) = frame.from_edges(corner.at);
        table.row([corner_name(place), length(job, east), length(job, north)]);
    }
    table
}

/// Where the middle of every arc is struck from, and its radius.
fn arc_table(job: &Job, results: &Results, frame: PlanFrame) -> Table {
    let mut table = Table::new(
        "Arcs from the base lines",
        vec![
            Column::numbers("Side"),
            Column::numbers("Radius"),
            Column::numbers("Middle along south"),
            Column::numbers("Off it"),
        ],
    );
    for (place, side) in results.parts.plan.rim.iter().enumerate() {
        if let Segment::Arc(arc) = side.segment
            && let Some(circle) = arc.circle()
        {
            let (east, north) = frame.from_edges(circle.center);
            let number = (place + 1).to_string();
            table.row([number, length(job, circle.radius), length(job, east), length(job, north)]);
        }
    }
    table
}

/// Strips to dig, by the ends of their middle lines.
fn strip_table(job: &Job, frame: PlanFrame) -> Table {
    let mut table = Table::new(
        "Thickened strips, middle line (from west, from south)",
        vec![
            Column::words("Strip"),
            Column::numbers("From"),
            Column::numbers("To"),
            Column::numbers("Bottom"),
            Column::numbers("Depth"),
        ],
    );
    let spot = |at: Point| {
        let (east, north) = frame.from_edges(at);
        format!("{}, {}", length(job, east), length(job, north))
    };
    for (place, strip) in job.thickenings.strips.iter().enumerate() {
        for (&from, &to) in strip.line.iter().zip(strip.line.iter().skip(1)) {
            table.row([
                called("strip", place, &strip.name),
                spot(from),
                spot(to),
                length(job, strip.flat_width.to_inches()),
                length(job, strip.total_depth.to_inches()),
            ]);
        }
    }
    table
}

/// Pads to dig, by their middles.
fn pad_table(job: &Job, frame: PlanFrame) -> Table {
    let mut table = Table::new(
        "Pads, to the centre",
        vec![
            Column::words("Pad"),
            Column::numbers("From west"),
            Column::numbers("From south"),
            Column::words("Bottom"),
            Column::numbers("Depth"),
        ],
    );
    for (place, pad) in job.thickenings.pads.iter().enumerate() {
        let (east, north) = frame.from_edges(pad.at);
        let bottom = match pad.shape {
            Footprint::Round { diameter } => {
                format!("{} round", length(job, diameter.to_inches()))
            }
            Footprint::Rectangle { length: long, width, .. } => {
                format!("{} × {}", length(job, long.to_inches()), length(job, width.to_inches()))
            }
        };
        table.row([
            called("pad", place, &pad.name),
            length(job, east),
            length(job, north),
            bottom,
            length(job, pad.total_depth.to_inches()),
        ]);
    }
    table
}

/// The name of a thing, or its kind and number.
pub(super) fn called(kind: &str, place: usize, name: &str) -> String {
    if name.is_empty() { format!("{kind} {}", place + 1) } else { name.to_owned() }
}

fn diagonal_table(job: &Job, results: &Results) -> Table {
    let mut table =
        Table::new("Squaring", vec![Column::words("Diagonal of"), Column::numbers("Tape")]);
    // Both diagonals of a rectangle are the same tape: they share a row.
    let mut rows: Vec<[String; 2]> = Vec::new();
    for diagonal in &results.parts.concrete.forms.diagonals {
        let row = [diagonal.of.clone(), length(job, diagonal.length)];
        match rows.last_mut().filter(|last| **last == row) {
            Some([of, _]) => of.push_str(", both"),
            None => rows.push(row),
        }
    }
    rows.into_iter().for_each(|row| table.row(row));
    table
}

fn penetration_table(job: &Job, results: &Results, frame: PlanFrame) -> Table {
    let mut table = Table::new(
        "What comes up, to its centre",
        vec![Column::words("What"), Column::numbers("From west"), Column::numbers("From south")],
    );
    for item in &results.parts.plan.penetrations {
        let (east, north) = frame.from_edges(item.at);
        let name = job
            .openings
            .penetrations
            .iter()
            .find(|known| known.id == item.id)
            .map_or_else(String::new, |known| known.name.clone());
        let name = if name.is_empty() { format!("P{}", item.id.0) } else { name };
        table.row([name, length(job, east), length(job, north)]);
    }
    table
}

fn form_table(job: &Job, results: &Results) -> Table {
    let forms = &results.parts.concrete.forms;
    let mut table = Table::new(
        "Form boards by side",
        vec![Column::numbers("Side"), Column::numbers("Length"), Column::words("Boards")],
    );
    let rim = &results.parts.plan.rim;
    for side in &forms.sides {
        // Sides at a frost wall have no form, but keep their number.
        let place = rim.iter().position(|known| known.segment.start() == side.from);
        let is_bent = place
            .and_then(|place| rim.get(place))
            .is_some_and(|known| matches!(known.segment, Segment::Arc(_)));
        let number = place.map_or_else(String::new, |place| (place + 1).to_string());
        let bent = if is_bent { " bent" } else { "" };
        let feet: Vec<String> = side
            .boards
            .iter()
            .map(|board| {
                let feet = board / 12.0;
                if (feet - feet.round()).abs() < 1e-6 {
                    format!("{feet:.0}'")
                } else {
                    length(job, *board)
                }
            })
            .collect();
        let boards = feet.join(" + ") + bent;
        table.row([number, length(job, side.length), boards]);
    }
    table
}
