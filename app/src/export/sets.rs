//! The sample jobs' sheet sets through every painter.

use super::{csv, pdf, png, svg};
use slabloom_core::derive::derive;
use slabloom_core::drawing::Page;
use slabloom_core::job::Job;
use slabloom_core::job::sheet_set::Paper;
use slabloom_core::sheets;
use std::path::{Path, PathBuf};
use std::process::Command;
use std::sync::Arc;

fn sample(name: &str, paper: Paper) -> (Job, Vec<Page>) {
    let file = Path::new(env!("CARGO_MANIFEST_DIR")).join("../samples").join(name);
    let text = std::fs::read_to_string(file).unwrap();
    let mut job: Job = ron::from_str(&text).unwrap();
    Arc::make_mut(&mut job.sheet_set).paper = paper;
    let pages = sheets::sheet_set(&job, &derive(&job));
    (job, pages)
}

/// Where a person wants to look at the sheets: set `SLABLOOM_PREVIEW` to a folder.
fn preview_folder() -> Option<PathBuf> {
    std::env::var_os("SLABLOOM_PREVIEW").map(PathBuf::from)
}

#[test]
fn sample_sets_are_sound_on_every_painter() {
    for name in ["house", "studio", "workshop"] {
        for (paper, word) in [(Paper::Letter, "letter"), (Paper::Tabloid, "tabloid")] {
            let (job, pages) = sample(&format!("{name}.ron"), paper);
            assert!(!pages.is_empty());
            for page in &pages {
                assert_eq!(page.faults(), [], "{name} {word} {}", page.title);
                assert!(svg::svg(page).ends_with("</svg>\n"));
            }
            let facts = pdf::DocumentFacts { title: job.facts.title.clone(), ..Default::default() };
            let bytes = pdf::pdf(&pages, &facts);
            assert!(bytes.len() < 2_000_000, "{} bytes", bytes.len());
            check_with_readers(&bytes, &pages);
            for table in sheets::tables(&pages) {
                assert!(csv::csv(table).lines().count() > table.rows.len());
            }
            if let Some(folder) = preview_folder() {
                write_preview(&folder.join(format!("{name}-{word}")), &bytes, &pages);
            }
        }
    }
}

fn check_with_readers(bytes: &[u8], pages: &[Page]) {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("set.pdf");
    std::fs::write(&file, bytes).unwrap();
    if let Ok(output) = Command::new("qpdf").arg("--check").arg(&file).output() {
        assert!(output.status.success(), "{output:?}");
    }
    if let Ok(output) = Command::new("pdftotext").arg("-layout").arg(&file).arg("-").output() {
        let squeeze = |text: &str| text.split_whitespace().collect::<String>();
        let found = squeeze(&String::from_utf8_lossy(&output.stdout));
        for text in pages.iter().flat_map(Page::texts).filter(|text| text.angle == 0.0) {
            // A reader may interleave words of neighbouring columns, never letters of a word.
            for word in text.content.split_whitespace() {
                assert!(found.contains(&squeeze(word)), "{word}");
            }
        }
    }
}

fn write_preview(folder: &Path, bytes: &[u8], pages: &[Page]) {
    std::fs::create_dir_all(folder).unwrap();
    std::fs::write(folder.join("set.pdf"), bytes).unwrap();
    for page in pages {
        let stem = format!("{}-{}", page.number, page.title.replace(' ', "-").to_lowercase());
        std::fs::write(folder.join(format!("{stem}.svg")), svg::svg(page)).unwrap();
        std::fs::write(folder.join(format!("{stem}.png")), png::png(page, 100.0).unwrap()).unwrap();
    }
}
