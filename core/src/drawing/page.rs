//! Pages: a paper size with blocks of marks in reading order.

use super::Rect;
use super::mark::{Mark, Shape};
use super::place::boxes_overlap;
use super::table::Table;
use super::text::Text;
use super::view::Scale;

/// A sheet of paper in points of 1/72 in.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PaperSize {
    /// What it is called.
    pub name: &'static str,
    /// Width in points.
    pub width: f64,
    /// Height in points.
    pub height: f64,
}

impl PaperSize {
    /// A size in inches.
    #[must_use]
    pub const fn inches(name: &'static str, width: f64, height: f64) -> Self {
        Self { name, width: width * 72.0, height: height * 72.0 }
    }

    /// A size in millimetres.
    #[must_use]
    pub const fn millimeters(name: &'static str, width: f64, height: f64) -> Self {
        Self { name, width: width * 72.0 / 25.4, height: height * 72.0 / 25.4 }
    }

    /// The same sheet, long side across.
    #[must_use]
    pub fn landscape(self) -> Self {
        let (long, short) = (self.width.max(self.height), self.width.min(self.height));
        Self { width: long, height: short, ..self }
    }

    /// The whole sheet.
    #[must_use]
    pub const fn rect(self) -> Rect {
        Rect::new(0.0, 0.0, self.width, self.height)
    }
}

/// What a block is to a reader who hears the page.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub enum Role {
    /// Decoration: frames and rules.
    #[default]
    Artifact,
    /// A drawing, with what it shows in words.
    Figure {
        /// What it shows.
        alt: String,
    },
    /// A heading.
    Heading,
    /// Running text.
    Paragraph,
    /// A cell of a table.
    Cell {
        /// Which table of the page, from 0.
        table: u32,
        /// Which row, headings being row 0.
        row: u32,
        /// It heads a column.
        is_heading: bool,
    },
}

/// Marks that belong together.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Block {
    /// What they are to a reader.
    pub role: Role,
    /// The marks in painting order.
    pub marks: Vec<Mark>,
}

/// A page: what every painter walks.
#[derive(Clone, Debug, PartialEq)]
pub struct Page {
    /// Its paper.
    pub size: PaperSize,
    /// Its number in the set, such as `S3`.
    pub number: String,
    /// What it is called.
    pub title: String,
    /// What stands on it, in painting and reading order.
    pub blocks: Vec<Block>,
    /// Tables that stand on it, whole, for export as plain rows.
    pub tables: Vec<Table>,
    /// The part that is drawn to a scale, for readers that measure on it.
    pub to_scale: Option<(Rect, Scale)>,
}

/// Something wrong with a page's text.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum PageFault {
    /// Two texts stand on one another.
    Overlap(String, String),
    /// A text leaves the paper.
    OffPage(String),
}

impl Page {
    /// An empty page.
    #[must_use]
    pub fn new(size: PaperSize, title: impl Into<String>) -> Self {
        Self {
            size,
            number: String::new(),
            title: title.into(),
            blocks: Vec::new(),
            tables: Vec::new(),
            to_scale: None,
        }
    }

    /// Adds a block, unless it has no marks.
    pub fn add(&mut self, role: Role, marks: Vec<Mark>) {
        if !marks.is_empty() {
            self.blocks.push(Block { role, marks });
        }
    }

    /// Every mark in painting order.
    pub fn marks(&self) -> impl Iterator<Item = &Mark> {
        self.blocks.iter().flat_map(|block| &block.marks)
    }

    /// Every text.
    pub fn texts(&self) -> impl Iterator<Item = &Text> {
        self.marks().filter_map(|mark| match &mark.shape {
            Shape::Text(text) => Some(text),
            _ => None,
        })
    }

    /// Texts that stand on one another or leave the paper: none on a sound page.
    #[must_use]
    pub fn faults(&self) -> Vec<PageFault> {
        let texts: Vec<&Text> =
            self.texts().filter(|text| !text.content.trim().is_empty()).collect();
        let mut faults = Vec::new();
        for (place, text) in texts.iter().enumerate() {
            let bounds = text.bounds();
            let paper = self.size.rect();
            if !(bounds.x0 >= paper.x0
                && bounds.y0 >= paper.y0
                && bounds.x1 <= paper.x1
                && bounds.y1 <= paper.y1)
            {
                faults.push(PageFault::OffPage(text.content.clone()));
            }
            for other in texts.iter().skip(place + 1) {
                if boxes_overlap(&text.corners(), &other.corners(), 0.0) {
                    faults.push(PageFault::Overlap(text.content.clone(), other.content.clone()));
                }
            }
        }
        faults
    }
}

#[cfg(test)]
mod tests {
    use super::super::{Layer, Spot};
    use super::*;

    #[test]
    fn a_page_sees_its_own_faults() {
        let mut page = Page::new(PaperSize::inches("letter", 8.5, 11.0), "Test");
        let text =
            |x, y, say: &str| Mark::text(Layer("Notes"), Text::new(Spot::new(x, y), 12.0, say));
        page.add(Role::Paragraph, vec![text(72.0, 72.0, "first"), text(72.0, 100.0, "second")]);
        assert!(page.faults().is_empty());
        page.add(Role::Paragraph, vec![text(80.0, 74.0, "over"), text(600.0, 300.0, "off")]);
        let faults = page.faults();
        assert!(faults.contains(&PageFault::Overlap("first".into(), "over".into())));
        assert!(faults.contains(&PageFault::OffPage("off".into())));
        assert_eq!(faults.len(), 2);
    }

    #[test]
    fn a4_in_points() {
        let a4 = PaperSize::millimeters("A4", 210.0, 297.0);
        assert!((a4.width - 595.276).abs() < 0.001 && (a4.height - 841.890).abs() < 0.001);
    }
}
