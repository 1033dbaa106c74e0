//! Sections to scale: one through each kind of edge in use, each kind of strip and of pad.
//!
//! Each section is cut square to its side or strip: concrete hatched, foam crossed, stone below,
//! with the sizes that the job gives. Local code and the project's engineer decide structural
//! sizes.

mod cut;
mod draw;

use super::forms::called;
use super::frame::Draft;
use super::pieces;
use crate::derive::Results;
use crate::drawing::page::Role;
use crate::drawing::text::{Face, NOTE_SIZE};
use crate::drawing::{Rect, Scale, Spot, text};
use crate::job::Job;
use crate::job::edges::{EdgeFoam, EdgeProfile};
use crate::job::openings::Footprint;
use crate::units::{Length, UnitSystem, show_inches};
use cut::Cut;

/// Height of the heading of a section and the line below it, in points.
const HEADING: f64 = 30.0;
/// Space between sections, in points.
const GUTTER: f64 = 12.0;
/// Room for the note at the foot of a sheet, in points.
const FOOT: f64 = 14.0;
/// Scales that sections are wanted at, an inch to the foot, and that are still read, half of it.
const READABLE: [f64; 2] = [12.0, 24.0];

/// The section sheets; empty without a slab.
#[must_use]
pub fn sheets(job: &Job, results: &Results) -> Vec<Draft> {
    if results.parts.plan.is_empty() {
        return Vec::new();
    }
    let cuts = cuts(job, results);
    let mut drafts: Vec<Draft> = Vec::new();
    let mut waiting = cuts.iter().enumerate().peekable();
    while waiting.peek().is_some() {
        let title = if drafts.is_empty() { "Sections" } else { "Sections, continued" };
        let mut draft = Draft::new(job, title);
        let body = draft.body();
        let rest = cuts.get(cuts.len() - waiting.len()..).unwrap_or_default();
        let is_metric = job.facts.display.rounding.system() == UnitSystem::Metric;
        let (across, down, scale) = arrangement(rest, body, is_metric);
        let (wide, high) = (body.width() / across, (body.height() - FOOT) / down);
        let mut cell = 0.0;
        while cell < across * down {
            let Some((place, cut)) = waiting.next() else { break };
            let (column, row) = (cell % across, (cell / across).floor());
            let at = Spot::new(body.x0 + wide * column, body.y0 + high * row);
            let room = Rect::from_origin_size(at, (wide - GUTTER, high - GUTTER));
            section(&mut draft, job, (place, cut), room, scale);
            cell += 1.0;
        }
        let note = "Structural sizes and steel are for local code and the project's engineer to \
                    decide. Heights of steel and tube are shown, not designed.";
        let note = text::fitted(note, Face::Regular, NOTE_SIZE, body.width());
        let at = Spot::new(body.x0, body.y1 - FOOT + 2.0);
        let (marks, _) = pieces::lines(&note, Face::Regular, NOTE_SIZE, at, body.width());
        draft.page.add(Role::Paragraph, marks);
        draft.scale = Some(scale);
        drafts.push(draft);
    }
    drafts
}

/// Columns, rows and the scale for the cuts on a sheet: all of them at the largest scale, or as
/// many as stay readable.
fn arrangement(cuts: &[Cut], body: Rect, is_metric: bool) -> (f64, f64, Scale) {
    let mut all: Vec<(f64, f64, Scale)> = Vec::new();
    for across in [1_u8, 2, 3, 4] {
        for down in [1_u8, 2, 3, 4] {
            // Only what would stand on this sheet has a say in its scale.
            let here = cuts.iter().take(usize::from(across) * usize::from(down));
            let most = |of: fn(&Cut) -> f64| here.clone().map(of).fold(1.0, f64::max);
            let (wide, deep) = (most(|cut| cut.extent.width()), most(|cut| cut.extent.height()));
            let words_wide = most(|cut| draw::room_for_words(cut).0);
            let words_high = most(|cut| draw::room_for_words(cut).1);
            let (across, down) = (f64::from(across), f64::from(down));
            let room = Rect::new(
                0.0,
                0.0,
                body.width() / across - GUTTER - words_wide,
                (body.height() - FOOT) / down - GUTTER - HEADING - words_high,
            );
            if room.width() > 60.0 && room.height() > 24.0 {
                all.push((across, down, Scale::to_fit(wide, deep, room, is_metric)));
            }
        }
    }
    let count = cuts.len() as f64;
    let cells = |(across, down, _): &(f64, f64, Scale)| (across * down).min(count);
    for coarsest in READABLE {
        let readable = all.iter().filter(|(.., scale)| scale.ratio <= coarsest);
        let best = readable.copied().max_by(|one, other| {
            cells(one).total_cmp(&cells(other)).then(other.2.ratio.total_cmp(&one.2.ratio))
        });
        // One section on a sheet is worth a smaller scale that brings two together.
        if let Some(best) = best
            && (cells(&best) >= count.min(2.0) || coarsest >= READABLE[1])
        {
            return best;
        }
    }
    let first = cuts.first().map_or(Rect::ZERO, |cut| cut.extent);
    (1.0, 1.0, Scale::to_fit(first.width(), first.height(), body.inset(-80.0), is_metric))
}

/// Every cut: edges in the order in which the sides first have them, then strips, then pads.
fn cuts(job: &Job, results: &Results) -> Vec<Cut> {
    let mut cuts: Vec<Cut> = grouped(rim_profiles(job))
        .into_iter()
        .map(|((profile, foam), rims)| {
            cut::of_edge(job, results, (&profile, foam), rims_said(&rims))
        })
        .collect();
    let inches = |length: Length| show_inches(length, job.facts.display.rounding);
    let strips = job.thickenings.strips.iter().enumerate().map(|(place, strip)| {
        let name = called("strip", place, &strip.name);
        ((strip.flat_width, strip.total_depth, strip.haunch_run), (name, strip))
    });
    for (_, found) in grouped(strips) {
        let names: Vec<String> = found.iter().map(|(name, _)| name.clone()).collect();
        if let Some((_, strip)) = found.first() {
            cuts.push(cut::of_strip(job, results, strip, sentence(&names)));
        }
    }
    let pads = job.thickenings.pads.iter().enumerate().map(|(place, pad)| {
        let shape = match pad.shape {
            Footprint::Round { diameter } => (diameter, Length::ZERO),
            Footprint::Rectangle { length, width, .. } => (length, width),
        };
        let name = called("pad", place, &pad.name);
        ((shape, pad.total_depth, pad.haunch_run), (name, pad))
    });
    for (((length, width), ..), found) in grouped(pads) {
        let names: Vec<String> = found.iter().map(|(name, _)| name.clone()).collect();
        let size = if width == Length::ZERO {
            format!("{} across", inches(length))
        } else {
            format!("{} by {}", inches(length), inches(width))
        };
        if let Some((_, pad)) = found.first() {
            let said = format!("{}; {size}", sentence(&names));
            cuts.push(cut::of_pad(job, results, pad, said));
        }
    }
    cuts
}

/// A side of the outline or the rim of an opening, by its place in the job.
#[derive(Clone, Copy)]
enum Rim {
    Side(usize),
    Opening(usize),
}

/// Each side and opening with its profile and its edge foam; openings have none.
fn rim_profiles(job: &Job) -> impl Iterator<Item = ((EdgeProfile, Option<EdgeFoam>), Rim)> {
    let sides = job.outline.sides.iter().enumerate();
    let sides = sides.map(move |(place, side)| {
        let profile = job.edges.of_side(side.id);
        ((profile, Some(job.edges.edge_foam.along(&profile))), Rim::Side(place))
    });
    let holes = job.openings.openings.iter().enumerate();
    let holes =
        holes.map(|(place, hole)| ((job.edges.of_opening(hole.id), None), Rim::Opening(place)));
    sides.chain(holes)
}

/// `Sides 1, 2; opening 1`.
fn rims_said(rims: &[Rim]) -> String {
    let numbers = |of: fn(Rim) -> Option<usize>| -> Vec<String> {
        rims.iter().filter_map(|&rim| of(rim)).map(|place| (place + 1).to_string()).collect()
    };
    let sides = numbers(|rim| if let Rim::Side(place) = rim { Some(place) } else { None });
    let holes = numbers(|rim| if let Rim::Opening(place) = rim { Some(place) } else { None });
    let said = [("Side", sides), ("Opening", holes)]
        .into_iter()
        .filter(|(_, places)| !places.is_empty())
        .map(|(word, places)| {
            let plural = if places.len() > 1 { "s" } else { "" };
            format!("{word}{plural} {}", places.join(", "))
        });
    said.collect::<Vec<_>>().join("; ")
}

/// Things by what they share, in the order in which it first comes.
fn grouped<K: PartialEq, T>(things: impl Iterator<Item = (K, T)>) -> Vec<(K, Vec<T>)> {
    let mut groups: Vec<(K, Vec<T>)> = Vec::new();
    for (key, thing) in things {
        match groups.iter_mut().find(|(known, _)| *known == key) {
            Some((_, found)) => found.push(thing),
            None => groups.push((key, vec![thing])),
        }
    }
    groups
}

/// Names in a row, the first with a capital.
fn sentence(names: &[String]) -> String {
    let all = names.join(", ");
    let mut letters = all.chars();
    letters.next().map_or_else(String::new, |first| {
        first.to_uppercase().collect::<String>() + letters.as_str()
    })
}

fn section(draft: &mut Draft, job: &Job, (place, cut): (usize, &Cut), room: Rect, scale: Scale) {
    let heading = format!("Section {}: {}", place + 1, cut.title);
    let (marks, y) = pieces::lines(
        &heading,
        Face::Bold,
        NOTE_SIZE * 1.2,
        Spot::new(room.x0, room.y0),
        room.width(),
    );
    draft.page.add(Role::Heading, marks);
    let said = text::fitted(&cut.said, Face::Regular, NOTE_SIZE, room.width());
    let (marks, _) =
        pieces::lines(&said, Face::Regular, NOTE_SIZE, Spot::new(room.x0, y), room.width());
    draft.page.add(Role::Paragraph, marks);
    let room = Rect::new(room.x0, room.y0 + HEADING, room.x1, room.y1);
    let alt = format!("{heading}, cut square");
    draft.page.add(Role::Figure { alt }, draw::draw(job, cut, room, scale));
}
