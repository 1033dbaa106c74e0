//! What the fuzz targets of the program do with their bytes: settings, painters.
//! As with `bodies`, the same functions run daily on seeded bytes.

use slabloom::export::{pdf, png, svg};
use slabloom::files::Settings;

#[path = "bodies/mod.rs"]
#[allow(dead_code, reason = "the bodies of the core's own targets stand there too")]
mod bodies;

/// Settings are read or the usual ones are taken; what was read is written and read back.
pub fn settings(bytes: &[u8]) {
    let (read, note) = Settings::from_text(&String::from_utf8_lossy(bytes));
    assert!(note.is_none() || read == Settings::default());
    let (again, note) = Settings::from_text(&read.to_text());
    assert!(again == read && note.is_none(), "{}", read.to_text());
}

/// The sheets of any job that may be built are painted: as PDF, as SVG, as a small picture.
/// Answers how many pages were painted.
pub fn painters(bytes: &[u8]) -> usize {
    let pages = bodies::any_pages(bytes);
    let document = pdf::pdf(&pages, &pdf::DocumentFacts::default());
    assert!(document.starts_with(b"%PDF-"));
    for page in &pages {
        let drawn = svg::svg(page);
        assert!(!drawn.contains("NaN") && !drawn.contains("\"inf"), "{}", page.title);
        assert!(png::png(page, 20.0).is_ok(), "{}", page.title);
    }
    pages.len()
}
