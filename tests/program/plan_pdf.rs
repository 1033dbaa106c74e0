//! Pages of a PDF to trace over: read from files that our own exporter writes, and from damaged
//! ones.

use slabloom::export::pdf::{DocumentFacts, pdf};
use slabloom::files::{Disk, PlanImage, SHOWN_SIDE, draw_thumbnails, read_plan_picture};
use slabloom_core::drawing::page::{Page, PaperSize, Role};
use slabloom_core::drawing::{Layer, Mark, Pen, Rect, path};
use slabloom_core::job::underlay::PlanPicture;
use std::path::Path;

/// Width and height of the paper of the test's pages, points.
const PAPER: (f64, f64) = (792.0, 612.0);

/// A PDF of so many pages. Each has a square frame whose left side lies a page number of half
/// inches from the left edge.
pub fn plan_pdf(pages: u32) -> Vec<u8> {
    let pages: Vec<Page> = (1..=pages)
        .map(|number| {
            let size = PaperSize::inches("Letter", PAPER.0 / 72.0, PAPER.1 / 72.0);
            let mut page = Page::new(size, format!("Plan {number}"));
            page.number = format!("A{number}");
            let left = f64::from(number) * 36.0;
            let square = path::rectangle(Rect::new(left, 100.0, left + 300.0, 400.0));
            let mark = Mark::stroke(Layer("Plan"), square, Pen::HEAVY);
            page.add(Role::Figure { alt: "A square".to_owned() }, vec![mark]);
            page
        })
        .collect();
    pdf(&pages, &DocumentFacts { title: "Plans".to_owned(), ..DocumentFacts::default() })
}

fn read(path: &Path, page: u32) -> Result<PlanImage, String> {
    read_within(path, page, SHOWN_SIDE)
}

fn read_within(path: &Path, page: u32, most: u16) -> Result<PlanImage, String> {
    let stored = path.to_string_lossy().into_owned();
    read_plan_picture(&Disk, (&PlanPicture::new(stored, page), most), None)
}

/// The first dark pixel of the row that lies this far down the paper, as a share of the width.
fn first_dark(image: &PlanImage, points_down: f64) -> Option<f64> {
    let row = (points_down / PAPER.1 * image.height as f64) as usize;
    let dark =
        (0..image.width).find(|column| image.rgba[(row * image.width + column) * 4] < 128)?;
    Some(dark as f64 / image.width as f64)
}

#[test]
fn a_page_lies_as_it_was_drawn() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("plans.pdf");
    std::fs::write(&path, plan_pdf(3)).unwrap();
    for page in 1..=3 {
        let image = read(&path, page).unwrap();
        assert_eq!((image.pages, image.has_gaps), (3, false));
        // 11 in at the finest that is drawn, 300 dots an inch.
        assert_eq!((image.width, image.height), (3300, 2550));
        assert!((image.height_by_width - PAPER.1 / PAPER.0).abs() < 1e-9);
        assert_eq!(image.rgba[..4], [255; 4], "the paper is white");
        let left = first_dark(&image, 250.0).expect("the frame is there") * PAPER.0;
        // Half the heavy pen to the left of the line's middle.
        let wanted = f64::from(page) * 36.0;
        assert!((left - wanted).abs() < 1.5, "page {page}: {left} against {wanted}");
    }
    let told = read(&path, 4).unwrap_err();
    assert!(told.contains("no page 4") && told.contains("1 to 3"), "{told}");
    assert!(read(&path, 0).is_err());
}

#[test]
fn small_pages_come_in_order_and_stop_when_nobody_wants_more() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("plans.pdf");
    std::fs::write(&path, plan_pdf(5)).unwrap();
    let picture = PlanPicture::new(path.to_string_lossy().into_owned(), 1);
    let mut seen = Vec::new();
    draw_thumbnails(&Disk, &picture, None, |page, drawn| {
        let image = drawn.unwrap();
        assert_eq!((image.width, image.height), (240, 185));
        assert!(image.rgba.chunks(4).any(|pixel| pixel[0] < 200), "page {page} is empty");
        seen.push(page);
        page < 4
    });
    assert_eq!(seen, [1, 2, 3, 4]);
}

#[test]
fn a_pdf_with_bytes_changed_or_cut_off_gives_a_picture_or_a_sentence() {
    let folder = tempfile::tempdir().unwrap();
    let whole = plan_pdf(2);
    let path = folder.path().join("plans.pdf");
    let mut state = 0x2545_F491_4F6C_DD1D_u64;
    let mut below = |most: usize| {
        state ^= state << 13;
        state ^= state >> 7;
        state ^= state << 17;
        (state % most as u64) as usize
    };
    for case in 0..60 {
        let mut bytes = whole.clone();
        if case % 3 == 0 {
            bytes.truncate(below(whole.len()));
        } else {
            for _ in 0..=case {
                let at = below(bytes.len());
                bytes[at] = below(256) as u8;
            }
        }
        std::fs::write(&path, &bytes).unwrap();
        match read_within(&path, 1, 400) {
            Ok(image) => assert_eq!(image.rgba.len(), image.width * image.height * 4),
            Err(told) => assert!(told.len() > 20 && told.contains("plans.pdf"), "{told}"),
        }
    }
}
