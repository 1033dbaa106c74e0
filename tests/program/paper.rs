//! The sheet set on paper, read by programs of others: what the text holds, how long lines are,
//! whether painters agree. Readers that are not installed are passed over.

use crate::command::{Folder, samples, slabloom};
use serde_json::Value;
use slabloom_core::sheets::cover::decimals;
use slabloom_core::units::{Length, Rounding, show_length, show_number};
use std::path::Path;
use std::process::Command;

/// Text of a PDF file by page, without spaces; `None` where the reader is not installed.
fn pages_of(file: &Path) -> Option<Vec<String>> {
    let output = Command::new("pdftotext").arg("-layout").arg(file).arg("-").output().ok()?;
    assert!(output.status.success(), "{output:?}");
    let text = String::from_utf8_lossy(&output.stdout).into_owned();
    let squeeze = |page: &str| page.split_whitespace().collect::<String>();
    Some(text.split('\u{c}').map(squeeze).collect())
}

/// Every dimension and quantity of the results that a sheet has to say, as the sheets write them.
fn expected(results: &Value, rounding: Rounding) -> Vec<String> {
    let number = |value: &Value| value.as_f64().unwrap_or_default();
    let list = |value: &Value| value.as_array().cloned().unwrap_or_default();
    let feet = |value: &Value| show_length(Length::feet(number(value)), rounding);
    let mut said = Vec::new();
    for line in list(&results["takeoff"]) {
        let quantity = number(&line["quantity"]);
        said.push(show_number(quantity, decimals(quantity)));
    }
    for part in list(&results["forms"]["sides"]) {
        said.push(feet(&part["length_ft"]));
    }
    for part in list(&results["forms"]["diagonals"]) {
        said.push(feet(&part["length_ft"]));
    }
    for part in list(&results["joints"]["lines"]) {
        said.push(feet(&part["length_ft"]));
    }
    for part in list(&results["joints"]["panels"]) {
        said.push(feet(&part["long_ft"]));
        said.push(feet(&part["short_ft"]));
    }
    for part in list(&results["tube"]["circuits"]) {
        said.push(show_number(number(&part["length_ft"]), 0));
        said.push(show_number(number(&part["flow_gpm"]), 2));
        said.push(show_number(number(&part["head_ft"]), 1));
    }
    for coil in list(&results["tube"]["coils"]) {
        said.push(show_number(number(&coil["length_ft"]), 0));
        said.push(show_number(number(&coil["left_ft"]), 0));
    }
    for load in list(&results["concrete"]["loads_yd3"]) {
        said.push(show_number(number(&load), 2));
    }
    for key in ["cut_yd3", "fill_yd3", "extra_concrete_yd3"] {
        said.push(show_number(number(&results["subgrade"][key]), 2));
    }
    for line in list(&results["price"]["lines"]) {
        said.push(show_number(number(&line["rate"]), 2));
        said.push(show_number(number(&line["amount"]), 2));
    }
    for key in ["total", "per_ft2"] {
        said.push(show_number(number(&results["price"][key]), 2));
    }
    for other in list(&results["price"]["alternates"]) {
        said.push(show_number(number(&other["total"]), 2));
    }
    said
}

#[test]
fn the_text_holds_every_dimension_and_quantity() {
    let folder = Folder::new();
    for sample in samples() {
        let job = sample.to_str().unwrap();
        let results: Value = serde_json::from_str(&slabloom(&["results", job]).done()).unwrap();
        let text = std::fs::read_to_string(&sample).unwrap();
        let rounding = slabloom_core::job::file::read(&text).unwrap().job.facts.display.rounding;
        for paper in ["letter", "tabloid"] {
            let file = folder.path("set.pdf");
            let to = file.to_str().unwrap();
            slabloom(&["sheets", job, "-o", to, "--paper", paper]).done();
            let Some(pages) = pages_of(&file) else { return };
            let whole = pages.concat();
            for words in expected(&results, rounding) {
                let squeezed: String = words.split_whitespace().collect();
                assert!(whole.contains(&squeezed), "{job} on {paper}: {words} is missing");
            }
            if let Ok(output) = Command::new("qpdf").arg("--check").arg(&file).output() {
                assert!(output.status.success(), "{output:?}");
            }
            if let Ok(output) = Command::new("pdffonts").arg(&file).output() {
                let said = String::from_utf8_lossy(&output.stdout).into_owned();
                assert!(said.lines().skip(2).all(|line| line.contains("yes yes yes")), "{said}");
            }
        }
    }
}

/// A gray picture of one page at a resolution; `None` where the reader is not installed.
fn picture(file: &Path, page: usize, dpi: u32) -> Option<image::GrayImage> {
    let root = file.with_extension("");
    let page = page.to_string();
    let output = Command::new("pdftoppm")
        .args(["-singlefile", "-gray", "-png", "-r", &dpi.to_string(), "-f", &page, "-l", &page])
        .args([file, &root])
        .output()
        .ok()?;
    assert!(output.status.success(), "{output:?}");
    let bytes = std::fs::read(root.with_extension("png")).unwrap();
    Some(image::load_from_memory(&bytes).unwrap().to_luma8())
}

/// Lengths in pixels of solid dark runs along rows that are as thick as a heavy line, between the
/// middles of the lines that end them.
fn runs(page: &image::GrayImage, least: u32) -> Vec<f64> {
    let is_dark = |x: u32, y: u32| page.get_pixel(x, y).0[0] < 128;
    let mut found = Vec::new();
    for y in 1..page.height() {
        let mut x = 0;
        while x < page.width() {
            let start = x;
            while x < page.width() && is_dark(x, y) {
                x += 1;
            }
            // Only the first row of a line counts: the row above is bare.
            // Off the middle, where a joint may meet the line.
            let middle = start + (x - start) * 37 / 100;
            if x - start >= least && !is_dark(middle, y - 1) {
                let thick = (y..page.height()).take_while(|&below| is_dark(middle, below)).count();
                found.push(f64::from(x - start) - thick as f64);
            }
            x = x.max(start) + 1;
        }
    }
    found
}

/// The house is 38 ft by 26 ft at its longest sides: both, measured on the picture of the cover,
/// are what the scale in the title block makes of them within 0.2 per cent.
#[test]
fn two_known_lengths_are_to_scale() {
    let folder = Folder::new();
    let file = folder.path("set.pdf");
    let job = samples()[0].to_str().unwrap().to_owned();
    for (paper, dpi) in [("letter", 400), ("tabloid", 300)] {
        slabloom(&["sheets", &job, "-o", file.to_str().unwrap(), "--paper", paper]).done();
        let (Some(pages), Some(level)) = (pages_of(&file), picture(&file, 1, dpi)) else { return };
        let ratio = [
            ("1/2\"=1'", 24.0),
            ("3/8\"=1'", 32.0),
            ("1/4\"=1'", 48.0),
            ("3/16\"=1'", 64.0),
            ("1/8\"=1'", 96.0),
            ("3/32\"=1'", 128.0),
        ]
        .into_iter()
        .find(|(words, _)| pages[0].contains(&format!("Scale{words}")))
        .unwrap_or_else(|| panic!("no scale in {}", pages[0]))
        .1;
        let upright = image::imageops::rotate90(&level);
        for (page, inches) in [(&level, 38.0 * 12.0), (&upright, 26.0 * 12.0)] {
            let expected = inches / ratio * f64::from(dpi);
            let found = runs(page, (expected * 0.9) as u32);
            let nearest = found
                .iter()
                .copied()
                .min_by(|a, b| (a - expected).abs().total_cmp(&(b - expected).abs()))
                .unwrap_or_default();
            let off = (nearest / expected - 1.0).abs();
            println!("{paper}: {nearest} px for {expected} px, off by {:.3} %", off * 100.0);
            assert!(off < 0.002, "{paper}: {nearest} against {expected} of {found:?}");
        }
    }
}

/// Every third page by the program's own painter, and by other programs from the PDF and the SVG: as
/// pictures of 36 dots an inch no two of the three differ by more than the smoothing of lines and
/// letters does. That grows with what is on a page, so it is held against the page's ink; a page that
/// lies a 72nd of an inch off would be found.
#[test]
fn painters_agree() {
    use slabloom::export::{png, svg};
    let folder = Folder::new();
    let text = std::fs::read_to_string(&samples()[0]).unwrap();
    let job = slabloom_core::job::file::read(&text).unwrap().job;
    let pages = slabloom_core::sheets::sheet_set(&job, &slabloom_core::derive::derive(&job));
    let file = folder.path("set.pdf");
    slabloom(&["sheets", samples()[0].to_str().unwrap(), "-o", file.to_str().unwrap()]).done();
    for (number, page) in pages.iter().enumerate().step_by(3) {
        let Some(theirs) = picture(&file, number + 1, 144) else { return };
        let own = image::load_from_memory(&png::png(page, 144.0).unwrap()).unwrap().to_luma8();
        agree(&page.title, &own, &theirs);
        let shifted = image::imageops::crop_imm(&own, 2, 2, own.width() - 2, own.height() - 2);
        let off = Difference::of(&own, &shifted.to_image());
        println!("{} shifted: {:.3} of the ink, {off:?}", page.title, off.share());
        let is_found = off.share() > 3.0 * MOST_SMOOTHING && off.far > 3.0 * MOST_FAR;
        assert!(is_found, "{}: {off:?}", page.title);
        let drawn = folder.file("page.svg", svg::svg(page));
        let out = folder.path("svg.png");
        let call = Command::new("rsvg-convert")
            .args(["-d", "144", "-p", "144", "-b", "white", "-o"])
            .args([&out, &drawn])
            .output();
        if let Ok(output) = call {
            assert!(output.status.success(), "{output:?}");
            let bytes = std::fs::read(&out).unwrap();
            let drawn = image::load_from_memory(&bytes).unwrap().to_luma8();
            agree(&format!("{}, SVG and PDF", page.title), &drawn, &theirs);
            agree(&format!("{}, SVG and PNG", page.title), &drawn, &own);
        }
    }
}

/// Smoothing may change this share of a page's ink. Off by a 72nd of an inch, pages change 0.85.
const MOST_SMOOTHING: f64 = 0.25;
/// And this share of the inked squares by more than 96 grays; off by a 72nd of an inch, 0.15.
const MOST_FAR: f64 = 0.01;

/// How far two pictures of a page are apart, by the means of squares of four dots.
#[derive(Debug)]
struct Difference {
    /// Mean difference, grays of 255.
    mean: f64,
    /// Mean darkness of the darker one, grays of 255.
    ink: f64,
    /// Share of the inked squares that differ by more than 96 grays.
    far: f64,
}

impl Difference {
    fn of(one: &image::GrayImage, other: &image::GrayImage) -> Self {
        let (width, height) =
            (one.width().min(other.width()) / 4, one.height().min(other.height()) / 4);
        let gray = |picture: &image::GrayImage, x: u32, y: u32| -> f64 {
            let all = (0..4).flat_map(|i| (0..4).map(move |j| (i, j)));
            all.map(|(i, j)| f64::from(picture.get_pixel(x * 4 + i, y * 4 + j).0[0])).sum::<f64>()
                / 16.0
        };
        let (mut sum, mut inks, mut far, mut inked) = (0.0, [0.0, 0.0], 0_u32, 0_u32);
        for (x, y) in (0..height).flat_map(|y| (0..width).map(move |x| (x, y))) {
            let (a, b) = (gray(one, x, y), gray(other, x, y));
            sum += (a - b).abs();
            inks[0] += 255.0 - a;
            inks[1] += 255.0 - b;
            inked += u32::from(a.min(b) < 239.0);
            far += u32::from((a - b).abs() > 96.0);
        }
        let squares = f64::from(width * height);
        Self {
            mean: sum / squares,
            ink: inks[0].max(inks[1]) / squares,
            far: f64::from(far) / f64::from(inked.max(1)),
        }
    }

    fn share(&self) -> f64 {
        self.mean / self.ink
    }
}

/// Holds two pictures of a page against each other.
fn agree(title: &str, one: &image::GrayImage, other: &image::GrayImage) {
    let near = |a: u32, b: u32| a.abs_diff(b) <= 2;
    assert!(near(one.width(), other.width()) && near(one.height(), other.height()), "{title}");
    let off = Difference::of(one, other);
    println!("{title}: {:.3} of the ink, {off:?}", off.share());
    assert!(off.share() < MOST_SMOOTHING && off.far < MOST_FAR, "{title}: {off:?}");
}
