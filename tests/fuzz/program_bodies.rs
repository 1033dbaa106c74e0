//! What the fuzz targets of the program do with their bytes: settings, painters, plan pictures.
//! As with `bodies`, the same functions run daily on seeded bytes.

use slabloom::export::{pdf, png, svg};
use slabloom::files::{Disk, Settings, read_plan_picture};
use slabloom_core::job::file_bytes::FileBytes;
use slabloom_core::job::underlay::PlanPicture;

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

/// The longer side that a plan picture of any bytes may have, pixels.
const LONGEST_SIDE: u16 = 64;

/// A plan picture kept in a job is read within its bounds, or refused in a sentence.
/// Answers whether it was read.
pub fn plan_picture(bytes: &[u8]) -> bool {
    let Some(kept) = FileBytes::new(bytes).filter(|_| !bytes.is_empty()) else { return false };
    let picture = PlanPicture { kept, ..PlanPicture::default() };
    match read_plan_picture(&Disk, (&picture, LONGEST_SIDE), None) {
        Ok(image) => {
            let (width, height) = (image.width, image.height);
            let longest = usize::from(LONGEST_SIDE);
            assert!((1..=longest).contains(&width.max(height)), "{width} by {height}");
            assert_eq!(image.rgba.len(), 4 * width * height);
            assert!(image.height_by_width.is_finite() && image.height_by_width > 0.0);
            true
        }
        Err(why) => {
            assert!(why.len() > 20, "{why}");
            false
        }
    }
}
