//! Foam that stands at edges and doors, as the sheets of foam show it: the names of its strips in
//! the plan, tables and cut diagrams; and a sheet of its own for strips that have boards of their
//! own.

use super::cut_diagrams::{self, cut_diagrams};
use super::foam_rows::{Standing, boards_of, cut_list, standing, strip_list};
use super::frame::Draft;
use super::pieces::{Diagram, Piece};
use super::plan_area::{PlanArea, PlanSheet, length, plan_sheets};
use super::plan_marks::{self, FOAM};
use crate::derive::Results;
use crate::drawing::place::Label;
use crate::drawing::text::{NOTE_SIZE, Text};
use crate::drawing::{Dash, Ink, Mark, Pen};
use crate::foam::EdgeStrip;
use crate::geometry::{Point, Segment, Vector};
use crate::job::Job;
use crate::plan::{Plan, RimSide};
use crate::units::{Length, show_inches, show_number};

/// How far in from the form a strip's name stands, inches of plan: in the band of the edge.
const NAME_INSET: f64 = 6.0;
/// Foam in full thickness.
const FULL: Pen = Pen::HEAVY;
/// Foam that is thinner at doors.
const THIN: Pen = Pen::HEAVY.dashed(Dash::Dashed);

/// The sheet of the strips that have boards of their own; empty when there are none.
pub(super) fn sheets(job: &Job, results: &Results) -> Vec<Draft> {
    let own = standing(&results.parts.foam, None);
    if own.is_empty() {
        return Vec::new();
    }
    let strips: usize = own.iter().map(|of| of.edge.strips.len()).sum();
    let boards: u32 = own.iter().map(|of| of.edge.boards).sum();
    let draw = |area: &mut PlanArea<'_>| draw(area, results, &own);
    plan_sheets(
        job,
        &results.parts.plan,
        PlanSheet {
            title: "Edge foam",
            alt: format!("Edge foam: strips along {strips} sides from {boards} boards"),
            band: (22.0, 22.0),
            pieces: pieces(job, &own),
            draw: &draw,
            is_tiled: true,
        },
    )
}

fn draw(area: &mut PlanArea<'_>, results: &Results, own: &[Standing<'_>]) {
    let parts = &results.parts;
    let hidden = Pen::FINE.inked(Ink::MidGray);
    area.beneath(&plan_marks::thickenings(&parts.concrete, hidden));
    area.plan(&plan_marks::slab(&parts.plan, Pen::THIN));
    for of in own {
        let pen = pen_of(*of);
        let line = |strip: &EdgeStrip| side_mark(&parts.plan, strip, pen);
        area.plan(&of.edge.strips.iter().filter_map(line).collect::<Vec<_>>());
    }
    for of in own {
        names(area, &parts.plan, *of);
    }
}

const fn pen_of(of: Standing<'_>) -> Pen {
    if of.is_at_doors { THIN } else { FULL }
}

/// The side that a strip stands along.
fn side_mark(plan: &Plan, strip: &EdgeStrip, pen: Pen) -> Option<Mark> {
    let side = side_of(plan, strip)?;
    Some(Mark::stroke(FOAM, plan_marks::course(&[side.segment]), pen))
}

fn side_of<'a>(plan: &'a Plan, strip: &EdgeStrip) -> Option<&'a RimSide> {
    plan.rim.iter().find(|side| {
        side.segment.start().is_near(strip.from) && side.segment.end().is_near(strip.to)
    })
}

/// The middle of a strip's side, on the arc of a curved one.
fn middle_of(plan: &Plan, strip: &EdgeStrip) -> Point {
    match side_of(plan, strip).map(|side| side.segment) {
        Some(Segment::Arc(arc)) => arc.through,
        _ => strip.from.middle(strip.to),
    }
}

/// The names of strips, each in the middle of its side.
pub(super) fn names(area: &mut PlanArea<'_>, plan: &Plan, of: Standing<'_>) {
    for (place, strip) in of.edge.strips.iter().enumerate() {
        let inward = (strip.to - strip.from).unit().map_or_else(Default::default, Vector::left);
        let at = area.to_paper(middle_of(plan, strip) + inward * NAME_INSET);
        let text = Text::new(at, NOTE_SIZE, of.name(place)).centered();
        let upright = text.clone().turned(std::f64::consts::FRAC_PI_2);
        if !area.label_within(FOAM, text.clone(), 0) && !area.label_within(FOAM, upright, 0) {
            area.put(Label::new(FOAM, text));
        }
    }
}

/// What stands on the sheet of a floor's layer for strips that are cut from its boards: the cut
/// list of the layer says from which.
pub(super) fn beside_floor(job: &Job, of: Standing<'_>) -> Vec<Piece> {
    let mut pieces = vec![Piece::Note(format!(
        "{} boards ({}): {} ft of strip, {} more boards beyond the floor's offcuts.",
        of.word,
        of.letter,
        show_number(of.edge.strip_length / 12.0, 0),
        of.edge.boards
    ))];
    pieces.extend(Piece::table(strip_list(job, of)));
    pieces
}

/// What stands on the strips' own sheet.
fn pieces(job: &Job, own: &[Standing<'_>]) -> Vec<Piece> {
    let mut pieces = Vec::new();
    let mut diagrams: Vec<Diagram> = Vec::new();
    let mut cut = 0;
    for of in own {
        let [width, long, thick] = of.edge.board;
        let inches = |value: f64| show_inches(Length::inches(value), job.facts.display.rounding);
        pieces.push(Piece::Heading(format!(
            "{} boards: {} of {} × {} × {} thick",
            of.word,
            of.edge.boards,
            length(job, width),
            length(job, long),
            inches(thick)
        )));
        pieces.push(Piece::Note(format!(
            "{} ft of strip stand along the sides marked {}, each from the side's start with the \
             slab on its left.",
            show_number(of.edge.strip_length / 12.0, 0),
            of.letter
        )));
        pieces.extend(Piece::table(strip_list(job, *of)));
        let boards = boards_of(job, *of);
        let title = format!("Cut list of {} boards", of.word.to_lowercase());
        pieces.extend(Piece::table(cut_list(&title, &boards)));
        let name = format!("{} board", of.word);
        diagrams.extend(cut_diagrams(job, &name, &boards, ((long, width), of.edge.kerf)));
        cut += boards.len();
    }
    let mut legend: Vec<_> =
        own.iter().map(|of| (pen_of(*of), format!("{} foam", of.word.to_lowercase()))).collect();
    legend.push((Pen::THIN, "slab edge without foam of this sheet".to_owned()));
    pieces.push(Piece::Legend(legend));
    pieces.push(caution());
    pieces.extend(cut_diagrams::pieces(diagrams, cut));
    pieces
}

/// What foam can do to people.
pub(super) fn caution() -> Piece {
    Piece::Caution(
        "CAUTION".to_owned(),
        vec![
            "Foam burns: keep flame and hot work away, and store it tied down against wind."
                .to_owned(),
            "Do not leave foam in long sunlight; cutting with hot wire gives off fumes.".to_owned(),
        ],
    )
}

#[cfg(test)]
mod tests {
    use super::super::set::{Subject, sheet_set_of};
    use super::*;
    use crate::derive::derive;
    use crate::drawing::Page;
    use crate::job::edges::{EdgeProfile, Threshold};
    use std::sync::Arc;

    /// A floor of 24 x 16 ft, foam of 2 in at its edges and a door along its first side.
    fn shop() -> Job {
        let corners = [(0.0, 0.0), (24.0, 0.0), (24.0, 16.0), (0.0, 16.0)];
        let mut job = Job::from_corners(&corners.map(|(x, y)| (Point::feet(x, y), None)));
        let side = job.outline.sides[0].id;
        let door = EdgeProfile::Threshold(Threshold::default());
        Arc::make_mut(&mut job.edges).by_side.insert(side, door);
        job
    }

    fn foam_sheets(job: &Job) -> Vec<Page> {
        sheet_set_of(job, &derive(job), &[Subject::Foam])
    }

    fn titles(pages: &[Page]) -> Vec<&str> {
        pages.iter().map(|page| page.title.as_str()).collect()
    }

    fn rows(pages: &[Page], title: &str) -> Vec<Vec<String>> {
        let tables = pages.iter().flat_map(|page| &page.tables);
        tables.filter(|table| table.title == title).flat_map(|table| table.rows.clone()).collect()
    }

    #[test]
    fn edge_foam_alone_has_a_sheet_with_strips_and_cut_list() {
        let mut job = shop();
        Arc::make_mut(&mut job.build_up).foam_layers.clear();
        let pages = foam_sheets(&job);
        assert_eq!(titles(&pages), ["Edge foam"]);
        // Worked by hand: sides of 16, 24, 16 ft, the two after a wall shorter by a lap of 2 in.
        let sides = rows(&pages, "Edge boards by side");
        let lengths: Vec<&str> = sides.iter().map(|row| row[1].as_str()).collect();
        assert_eq!(lengths, ["16'-0\"", "23'-10\"", "15'-10\""]);
        assert!(!rows(&pages, "Cut list of edge boards").is_empty());
        assert!(rows(&pages, "Door boards by side").is_empty());
    }

    #[test]
    fn strips_of_the_floors_boards_stand_on_its_sheet_and_thinner_ones_on_their_own() {
        let mut job = shop();
        assert_eq!(titles(&foam_sheets(&job)), ["Foam boards"]);
        Arc::make_mut(&mut job.edges).edge_foam.at_doors = Length::inches(1.0);
        let pages = foam_sheets(&job);
        assert_eq!(titles(&pages), ["Foam boards", "Edge foam"]);
        let own = &pages[1..];
        assert_eq!(rows(own, "Door boards by side")[0][..2], ["D1", "23'-10\""]);
        assert!(!rows(own, "Cut list of door boards").is_empty());
        assert!(rows(own, "Edge boards by side").is_empty());
    }
}
