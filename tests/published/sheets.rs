//! Sheets of random jobs: no text on another, none off the page, dimensions that close, true
//! scale. The number of jobs is raised by `SLABLOOM_CASES`.

#![allow(clippy::disallowed_methods, reason = "tests read how many cases to run")]

use slabloom_core::derive::{Results, derive};
use slabloom_core::drawing::page::Role;
use slabloom_core::drawing::{Page, Shape};
use slabloom_core::foam::PieceKind;
use slabloom_core::geometry::Point;
use slabloom_core::job::Job;
use slabloom_core::job::ids::{IdSource, ShotId};
use slabloom_core::job::openings::{Corner, Footprint, Opening, Penetration, PenetrationKind};
use slabloom_core::job::sheet_set::{Paper, Revision};
use slabloom_core::job::subgrade::Shot;
use slabloom_core::sheets;
use slabloom_core::units::{Length, Rounding, parse_length};
use std::sync::{Arc, OnceLock};

/// A small generator of our own (splitmix64), so that the same seed gives the same jobs.
pub struct Dice(pub u64);

impl Dice {
    pub fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^ (z >> 31)
    }

    pub fn below(&mut self, end: u64) -> u64 {
        self.next() % end
    }

    pub fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * (self.below(1 << 30) as f64 / f64::from(1 << 30))
    }

    pub fn sixteenths(&mut self, low: f64, high: f64) -> f64 {
        (self.between(low, high) * 16.0).round() / 16.0
    }
}

const PAPERS: [Paper; 9] = [
    Paper::Letter,
    Paper::Legal,
    Paper::Tabloid,
    Paper::AnsiC,
    Paper::AnsiD,
    Paper::A4,
    Paper::A3,
    Paper::A2,
    Paper::A1,
];

const WORDS: [&str; 6] = [
    "Shower drain",
    "Main",
    "A name so long that it cannot stand beside its pipe without pushing others",
    "X",
    "Water, power and the conduit of the charger",
    "",
];

fn outline(dice: &mut Dice) -> Vec<Point> {
    // Most slabs are small, so that many can be laid out; one in six is a large one.
    let most = if dice.below(6) == 0 { 1100.0 } else { 420.0 };
    let (w, h) = (dice.sixteenths(96.0, most), dice.sixteenths(96.0, most * 0.7));
    let corners = match dice.below(4) {
        0 => vec![(0.0, 0.0), (w, 0.0), (w, h), (0.0, h)],
        1 => {
            let (x, y) = (dice.sixteenths(w * 0.3, w * 0.7), dice.sixteenths(h * 0.3, h * 0.7));
            vec![(0.0, 0.0), (w, 0.0), (w, y), (x, y), (x, h), (0.0, h)]
        }
        2 => {
            let (x0, x1) = (dice.sixteenths(w * 0.2, w * 0.4), dice.sixteenths(w * 0.6, w * 0.8));
            let y = dice.sixteenths(h * 0.5, h * 0.9);
            vec![(0.0, 0.0), (w, 0.0), (w, h), (x1, h), (x1, y), (x0, y), (x0, h), (0.0, h)]
        }
        _ => {
            let cut = dice.sixteenths(20.0, w.min(h) * 0.4);
            vec![(0.0, 0.0), (w - cut, 0.0), (w, cut), (w, h), (0.0, h)]
        }
    };
    let turn = if dice.below(3) == 0 { dice.between(0.0, 1.5) } else { 0.0 };
    corners
        .into_iter()
        .map(|(x, y)| {
            let (sin, cos) = slabloom_core::units::exact_math::sin_cos(turn);
            Point::new(x * cos - y * sin, x * sin + y * cos)
        })
        .collect()
}

/// A random slab with what comes up through it, its shots and its papers.
pub fn job(seed: u64) -> Job {
    let mut dice = Dice(seed);
    let corners: Vec<_> = outline(&mut dice).into_iter().map(|at| (at, None)).collect();
    let mut job = Job::from_corners(&corners);
    let inside = |dice: &mut Dice| {
        let (a, b, c) = (corners[0].0, corners[1].0, corners[corners.len() - 1].0);
        let (s, t) = (dice.between(0.05, 0.45), dice.between(0.05, 0.45));
        Point::new(a.x + (b.x - a.x) * s + (c.x - a.x) * t, a.y + (b.y - a.y) * s + (c.y - a.y) * t)
    };
    job.ids = IdSource(1000);
    let openings = Arc::make_mut(&mut job.openings);
    for number in 0..dice.below(7) {
        openings.penetrations.push(Penetration {
            id: (100 + number as u32).into(),
            name: WORDS[dice.below(6) as usize].to_owned(),
            at: inside(&mut dice),
            kind: if dice.below(3) == 0 { PenetrationKind::Column } else { PenetrationKind::Pipe },
            shape: Footprint::Round { diameter: Length::inches(dice.between(2.0, 8.0)) },
            tube_clearance: Length::inches(6.0),
        });
    }
    if dice.below(4) == 0 {
        let at = inside(&mut dice);
        let corner = |x: f64, y: f64| Corner { at: Point::new(at.x + x, at.y + y), through: None };
        openings.openings.push(Opening {
            id: 150.into(),
            name: "Pit".into(),
            corners: vec![
                corner(-6.0, -6.0),
                corner(6.0, -6.0),
                corner(6.0, 6.0),
                corner(-6.0, 6.0),
            ],
        });
    }
    let subgrade = Arc::make_mut(&mut job.subgrade);
    for number in 0..dice.below(30) {
        subgrade.shots.push(Shot {
            id: ShotId(200 + number as u32),
            name: String::new(),
            at: inside(&mut dice),
            height: Length::inches(dice.between(-2.0, 2.0)),
            note: String::new(),
        });
    }
    let set = Arc::make_mut(&mut job.sheet_set);
    set.paper = PAPERS[dice.below(9) as usize];
    for _ in 0..dice.below(6) {
        set.company_lines.push(WORDS[dice.below(6) as usize].to_owned());
        set.revisions.push(Revision {
            date: "2026-05-04".into(),
            what: WORDS[dice.below(6) as usize].repeat(1 + dice.below(4) as usize),
            by: "B. Carver".into(),
        });
    }
    let facts = Arc::make_mut(&mut job.facts);
    facts.title = WORDS[dice.below(6) as usize].to_owned();
    facts.place = WORDS[dice.below(6) as usize].repeat(1 + dice.below(3) as usize);
    facts.notes = WORDS[dice.below(6) as usize].repeat(dice.below(200) as usize);
    facts.display.north_degrees = dice.between(-180.0, 180.0);
    facts.display.rounding =
        [Rounding::Sixteenth, Rounding::Eighth, Rounding::Quarter, Rounding::Millimeter]
            [dice.below(4) as usize];
    job
}

pub fn cases(usual: u64) -> u64 {
    std::env::var("SLABLOOM_CASES").ok().and_then(|text| text.parse().ok()).unwrap_or(usual)
}

struct Made {
    seed: u64,
    job: Job,
    results: Results,
    pages: Vec<Page>,
}

/// The random jobs with their sheets, made once for all tests.
fn made() -> &'static [Made] {
    static MADE: OnceLock<Vec<Made>> = OnceLock::new();
    MADE.get_or_init(|| {
        (0..cases(12))
            .map(|seed| {
                let job = job(seed);
                let results = derive(&job);
                let pages = sheets::sheet_set(&job, &results);
                Made { seed, job, results, pages }
            })
            .collect()
    })
}

#[test]
fn no_text_stands_on_another_or_leaves_the_page() {
    let (mut sheets, mut texts) = (0, 0);
    for Made { seed, results, pages, .. } in made() {
        assert!(!results.parts.plan.is_empty(), "job {seed} has a slab");
        assert!(pages.iter().any(|page| page.title == "Foam boards"), "job {seed} has foam");
        sheets += pages.len();
        texts += pages.iter().flat_map(Page::texts).count();
        for page in pages {
            assert_eq!(page.faults(), [], "job {seed}, {} {}", page.number, page.title);
        }
    }
    println!("{sheets} sheets, {texts} texts");
    assert!(sheets > 7 * made().len() && texts > 400 * made().len());
}

/// Every side of the outline is said on the forms sheet, in its words or in its tables, and what
/// is said rounds to the side's true length.
#[test]
fn every_side_is_dimensioned_to_its_length() {
    for Made { seed, job, results, pages } in made() {
        let rounding = job.facts.display.rounding;
        let said: Vec<f64> = pages
            .iter()
            .filter(|page| page.title.starts_with("Forms"))
            .flat_map(Page::texts)
            .filter_map(|text| parse_length(&text.content, job.facts.display.bare_unit).ok())
            .map(Length::to_inches)
            .collect();
        for side in &results.parts.plan.rim {
            let length = side.segment.length();
            let step = rounding.step().to_inches();
            let is_said = said.iter().any(|said| (said - length).abs() <= step / 2.0 + 1e-6);
            assert!(is_said, "job {seed}: side of {length} in");
        }
    }
}

/// The figures of a joint row add up with the figures of the row across from it to the slab's
/// own size, within what two roundings may give.
#[test]
fn joint_figures_from_both_edges_close() {
    for Made { seed, job, results, pages } in made() {
        let step = job.facts.display.rounding.step().to_inches();
        let frame = sheets::plan_area::PlanFrame::of(&results.parts.plan);
        let sizes = [frame.bounds.width(), frame.bounds.height()];
        let page = pages.iter().find(|page| page.title == "Joints");
        let Some(page) = page else { continue };
        let mut by_name: std::collections::BTreeMap<String, Vec<f64>> = Default::default();
        for mark in page.marks() {
            let Shape::Text(text) = &mark.shape else { continue };
            if mark.layer != sheets::plan_marks::DIMENSIONS {
                continue;
            }
            let Some((name, figure)) = text.content.split_once("  ") else { continue };
            if let Ok(length) = parse_length(figure, job.facts.display.bare_unit) {
                by_name.entry(name.to_owned()).or_default().push(length.to_inches());
            }
        }
        for (name, figures) in by_name {
            let &[one, other] = figures.as_slice() else { continue };
            let closes = sizes.iter().any(|size| (one + other - size).abs() <= step + 1e-6);
            assert!(closes, "job {seed} joint {name}: {one} + {other} against {sizes:?}");
        }
    }
}

/// Two corners of the slab on paper are as far apart as the scale in the title block says.
#[test]
fn the_plan_is_drawn_to_its_scale() {
    for Made { seed, results, pages, .. } in made() {
        for page in pages.iter().filter(|page| page.title == "Forms") {
            let scale = page.texts().find(|text| text.content.starts_with("Scale ")).unwrap();
            let ratio = ratio_of(&scale.content);
            let mut longest: Option<f64> = None;
            for mark in page.marks() {
                let Shape::Stroke { path, .. } = &mark.shape else { continue };
                if mark.layer != sheets::plan_marks::SLAB {
                    continue;
                }
                let rings = slabloom_core::drawing::path::flatten(path, 0.01);
                let Some((points, _)) = rings.first() else { continue };
                let length = points[0].distance(points[points.len() - 1]);
                longest = Some(longest.unwrap_or(0.0).max(length));
            }
            let side = results
                .parts
                .plan
                .rim
                .iter()
                .map(|side| side.segment.start().distance(side.segment.end()))
                .fold(0.0, f64::max);
            let measured = longest.unwrap() / 72.0 * ratio;
            assert!((measured / side - 1.0).abs() < 0.002, "job {seed}: {measured} {side}");
        }
    }
}

/// `Scale 1/4" = 1'-0" on Tabloid` is 48.
fn ratio_of(words: &str) -> f64 {
    let words = words.trim_start_matches("Scale ");
    let words = words.split(" on ").next().unwrap();
    if let Some((paper, real)) = words.split_once(" = ") {
        let inches = |text: &str| {
            parse_length(text, slabloom_core::units::LengthUnit::Inches).unwrap().to_inches()
        };
        return inches(real) / inches(paper);
    }
    words.trim_start_matches("1:").parse().unwrap()
}

/// Every board that is cut has a diagram, and on it stands the name of every piece that comes from
/// it.
#[test]
fn every_cut_piece_is_named_on_the_diagram_of_its_board() {
    let mut named = 0;
    for Made { seed, results, pages, .. } in made() {
        let figures: Vec<(&str, Vec<&str>)> = pages
            .iter()
            .filter(|page| page.title.starts_with("Foam boards"))
            .flat_map(|page| &page.blocks)
            .filter_map(|block| {
                let Role::Figure { alt } = &block.role else { return None };
                let texts = block.marks.iter().filter_map(|mark| match &mark.shape {
                    Shape::Text(text) => Some(text.content.as_str()),
                    _ => None,
                });
                Some((alt.split_once(',')?.0, texts.collect()))
            })
            .collect();
        for piece in &results.parts.foam.layers[0].pieces {
            if piece.kind == PieceKind::Whole {
                continue;
            }
            let board = format!("Board {}", piece.board + 1);
            let figure = figures.iter().find(|(name, _)| *name == board);
            let Some((_, texts)) = figure else {
                // Of very many boards those that are only cut across stand in the cut list alone.
                assert!(results.parts.foam.layers[0].boards > 48, "job {seed}: {board}");
                continue;
            };
            let name = piece.number.to_string();
            let is_named =
                texts.iter().any(|text| **text == name || text.starts_with(&format!("{name}: ")));
            assert!(is_named, "job {seed}: piece {name} on {board}: {texts:?}");
            named += 1;
        }
    }
    assert!(named > 5 * made().len(), "{named}");
}
