//! What the forms, section and steel sheets have to say of strips, pads, arcs and bars, held
//! against the samples' own figures.

use crate::pour_day::samples;
use slabloom_core::concrete::BarPlace;
use slabloom_core::derive::derive;
use slabloom_core::drawing::Page;
use slabloom_core::job::Job;
use slabloom_core::job::edges::EdgeProfile;
use slabloom_core::plan::Plan;
use slabloom_core::sheets::{Subject, sheet_set_of};
use slabloom_core::units::{Length, show_inches, show_length};

/// All words on the sheets of a subject.
fn words(job: &Job, subject: Subject) -> Vec<String> {
    let pages: Vec<Page> = sheet_set_of(job, &derive(job), &[subject]);
    pages.iter().flat_map(Page::texts).map(|text| text.content.clone()).collect()
}

fn says(words: &[String], what: &str) -> bool {
    words.iter().any(|text| text.contains(what))
}

#[test]
fn every_kind_of_edge_strip_and_pad_has_its_section_with_its_sizes() {
    for job in samples() {
        let words = words(&job, Subject::Edges);
        let inches = |length: Length| show_inches(length, job.facts.display.rounding);
        let title = &job.facts.title;
        for side in &job.outline.sides {
            let wanted = match job.edges.of_side(side.id) {
                EdgeProfile::Plain => "Plain edge",
                EdgeProfile::Thickened(_) => "Thickened edge",
                EdgeProfile::FrostWall => "Edge at a frost wall",
                EdgeProfile::Threshold(_) => "Door threshold",
            };
            assert!(says(&words, wanted), "{title}: {wanted}");
        }
        for strip in &job.thickenings.strips {
            for what in [strip.name.clone(), inches(strip.total_depth), inches(strip.flat_width)] {
                assert!(says(&words, &what), "{title}, strip {}: {what}", strip.name);
            }
        }
        for pad in &job.thickenings.pads {
            for what in [pad.name.clone(), inches(pad.total_depth)] {
                assert!(says(&words, &what), "{title}, pad {}: {what}", pad.name);
            }
        }
    }
}

#[test]
fn strips_and_pads_are_located_from_the_base_lines() {
    for job in samples() {
        let words = words(&job, Subject::Forms);
        let base = Plan::of(&job).region.bounds().unwrap().min;
        let long = |inches: f64| show_length(Length::inches(inches), job.facts.display.rounding);
        for strip in &job.thickenings.strips {
            for at in &strip.line {
                let what = format!("{}, {}", long(at.x - base.x), long(at.y - base.y));
                assert!(says(&words, &what), "{}: {what}", job.facts.title);
            }
        }
        for pad in &job.thickenings.pads {
            let here = words.iter().position(|text| *text == pad.name).unwrap();
            let row = &words[here..here + 3];
            assert_eq!(
                row[1..],
                [long(pad.at.x - base.x), long(pad.at.y - base.y)],
                "{}",
                pad.name
            );
        }
    }
}

/// Bars as laid are those bought less their laps: no longer, and as long where none is spliced.
#[test]
fn bars_as_laid_are_those_bought_less_their_laps() {
    for job in samples() {
        let steel = &derive(&job).parts.concrete.steel;
        let stock = job.build_up.steel.stock_bar.to_inches();
        for bar in &steel.bars {
            let runs = steel.bar_runs.iter().filter(|run| run.size == bar.size);
            let laid: f64 = runs.clone().map(|run| run.length * f64::from(run.count)).sum();
            let is_spliced = runs.clone().any(|run| run.length > stock);
            assert!(laid <= bar.length + 1e-6, "{}: #{}", job.facts.title, bar.size);
            assert!(is_spliced || (laid - bar.length).abs() < 1e-6, "{}", job.facts.title);
        }
        for pad in &job.thickenings.pads {
            let in_pads = steel.bar_runs.iter().filter(|run| run.place == BarPlace::Pad);
            let own = in_pads.filter(|run| run.line.iter().all(|at| at.distance(pad.at) < 60.0));
            assert_eq!(own.count(), 2 * job.build_up.steel.pad_bars as usize, "{}", pad.name);
        }
    }
}
