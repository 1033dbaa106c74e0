//! Pages of a PDF file as pictures, to choose from and to trace over.
//!
//! The file comes from anywhere, so the reader is held: a size for the file, a number of pages to
//! look through, a number of pixels for a page whatever its paper, and a panic within the reader
//! ends in a sentence and not in the end of the program. What is not held is the memory that a
//! page's own scans unpack to.

use super::plan_picture::PlanImage;
use hayro::hayro_interpret::InterpreterSettings;
use hayro::hayro_syntax::{LoadPdfError, Pdf};
use hayro::vello_cpu::color::palette::css::WHITE;
use hayro::{PixmapSettings, RenderCache, RenderSettings, render};
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};

/// The largest PDF file that is read, in bytes.
pub const LARGEST_PDF: usize = 100_000_000;
/// The most pages that are offered to choose from.
pub const MOST_PAGES: u32 = 400;
/// Finer than this nobody traces, dots an inch; larger paper is drawn coarser.
const FINEST_DPI: f64 = 300.0;
/// Points an inch, the unit of a PDF page.
const POINTS_PER_INCH: f64 = 72.0;
/// The longest paper that is taken for one, points: 200 in, as ISO 32000-1, annex C.2, has it.
const LONGEST_PAPER: f64 = 14_400.0;

/// Whether these are the bytes of a PDF file, by how it begins. Some writers put a few bytes
/// before the header, which readers are to look for within the first kilobyte.
#[must_use]
pub fn is_pdf(bytes: &[u8]) -> bool {
    bytes.iter().take(1024).enumerate().any(|(at, _)| bytes[at..].starts_with(b"%PDF-"))
}

/// A PDF file that was opened.
pub struct PdfPages {
    pdf: Pdf,
    count: u32,
}

impl PdfPages {
    /// Opens a file.
    ///
    /// # Errors
    /// One sentence that says what is wrong and what to do about it.
    pub fn open(bytes: Vec<u8>) -> Result<Self, String> {
        if bytes.len() > LARGEST_PDF {
            return Err(format!(
                "The PDF is larger than {} megabytes: save the page that you need on its own",
                LARGEST_PDF / 1_000_000
            ));
        }
        let pdf = guarded(|| Pdf::new(bytes))?.map_err(|error| match error {
            LoadPdfError::Decryption(_) => {
                "The PDF is locked with a password: print it to a new PDF without one".to_owned()
            }
            LoadPdfError::Invalid => CANNOT_BE_READ.to_owned(),
        })?;
        let count = guarded(|| pdf.pages().len())?;
        if count == 0 {
            return Err("The PDF has no pages: it may be cut off, save it again".to_owned());
        }
        Ok(Self { pdf, count: u32::try_from(count).unwrap_or(u32::MAX) })
    }

    /// How many pages it has.
    #[must_use]
    pub const fn count(&self) -> u32 {
        self.count
    }

    /// A page, counted from 1, on white paper; its longer side has at most this many pixels.
    ///
    /// # Errors
    /// One sentence that says what is wrong and what to do about it.
    pub fn picture(&self, page: u32, longest_side: u16) -> Result<PlanImage, String> {
        let place = page.checked_sub(1).filter(|place| *place < self.count);
        let Some(place) = place else {
            let pages = if self.count == 1 { "1 page" } else { "pages 1 to" };
            let last = if self.count == 1 { String::new() } else { format!(" {}", self.count) };
            return Err(format!("There is no page {page}: the PDF has {pages}{last}"));
        };
        guarded(|| self.drawn(place as usize, longest_side))?
    }

    fn drawn(&self, place: usize, longest_side: u16) -> Result<PlanImage, String> {
        let page = self.pdf.pages().get(place).ok_or(CANNOT_BE_READ)?;
        let (width, height) = page.render_dimensions();
        let paper = (f64::from(width), f64::from(height));
        let longest = paper.0.max(paper.1);
        if !(paper.0 >= 1.0 && paper.1 >= 1.0 && longest <= LONGEST_PAPER) {
            return Err(
                "The page has no size that paper has: save it again, or as a picture".to_owned()
            );
        }
        let scale = (f64::from(longest_side) / longest).min(FINEST_DPI / POINTS_PER_INCH);
        // A little over the whole pixel: the reader cuts the fraction off.
        let pixels = |side: f64| (side * scale).round().max(1.0) + 0.01;
        let has_gaps = Arc::new(AtomicBool::new(false));
        let sink = Arc::clone(&has_gaps);
        let reading = InterpreterSettings {
            warning_sink: Arc::new(move |_| sink.store(true, Ordering::Relaxed)),
            ..InterpreterSettings::default()
        };
        let shown = PixmapSettings {
            x_scale: (pixels(paper.0) / paper.0) as f32,
            y_scale: (pixels(paper.1) / paper.1) as f32,
            bg_color: WHITE,
        };
        let cache = RenderCache::new();
        let pixmap = render(page, &cache, &reading, &RenderSettings::default(), &shown);
        Ok(PlanImage {
            width: usize::from(pixmap.width()),
            height: usize::from(pixmap.height()),
            // On white paper nothing is clear, so premultiplied colours are the plain ones.
            rgba: pixmap.data_as_u8_slice().to_vec(),
            height_by_width: paper.1 / paper.0,
            pages: self.count,
            has_gaps: has_gaps.load(Ordering::Relaxed),
        })
    }
}

const CANNOT_BE_READ: &str = "The PDF cannot be read: print it to a new PDF, or save the page as \
                              a PNG picture at 150 dots an inch";

/// Lets the reader work; should it panic, that is one more way to say that it cannot.
fn guarded<T>(work: impl FnOnce() -> T) -> Result<T, String> {
    // Nothing that it leaves half done is used again.
    catch_unwind(AssertUnwindSafe(work)).map_err(|_| CANNOT_BE_READ.to_owned())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_panic_of_the_reader_becomes_a_sentence() {
        let told = guarded(|| [1, 2, 3].iter().map(|n| 6 / (n - 2)).sum::<i32>()).unwrap_err();
        assert!(told.contains("PNG"), "{told}");
    }

    #[test]
    fn a_header_is_found_a_little_way_in_and_nowhere_else() {
        assert!(is_pdf(b"%PDF-1.7"));
        assert!(is_pdf(&[&[0_u8; 900][..], b"%PDF-1.4\n"].concat()));
        assert!(!is_pdf(&[&[0_u8; 2000][..], b"%PDF-1.4\n"].concat()));
        assert!(!is_pdf(b"PDF") && !is_pdf(b""));
    }

    #[test]
    fn what_is_no_pdf_inside_is_refused_with_a_remedy() {
        for bytes in [&b"%PDF-1.7"[..], b"%PDF-1.7\ntrailer << /Root 1 0 R >>\n%%EOF", b""] {
            let told = PdfPages::open(bytes.to_vec()).err().expect("it has no pages");
            assert!(told.contains("save") || told.contains("print"), "{told}");
        }
        let large = PdfPages::open(vec![0; LARGEST_PDF + 1]).err().expect("too large");
        assert!(large.contains("100 megabytes"), "{large}");
    }
}
