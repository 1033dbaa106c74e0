//! A small page with every kind of mark, for the painters' tests.

use slabloom_core::drawing::page::{Page, PaperSize, Role};
use slabloom_core::drawing::table::{self, Column, Table, TableStyle};
use slabloom_core::drawing::{
    Dash, Hatch, Ink, Layer, Mark, Pen, Rect, Scale, Spot, Text, path, symbol,
};

pub const PLAN: Layer = Layer("Plan");
pub const TUBE: Layer = Layer("Heating tube");
pub const NOTES: Layer = Layer("Notes");

/// A letter page: a 10 in square, a circle, hatching, dashes, text every way and a table.
pub fn page() -> Page {
    let mut page = Page::new(PaperSize::inches("Letter", 11.0, 8.5), "Painter test");
    page.number = "S1".to_owned();
    let square = Rect::new(36.0, 36.0, 36.0 + 360.0, 36.0 + 360.0);
    let figure = vec![
        Mark::stroke(PLAN, path::rectangle(square), Pen::HEAVY),
        Mark::hatch(PLAN, path::rectangle(Rect::new(50.0, 50.0, 150.0, 120.0)), Hatch::CUT),
        Mark::hatch(PLAN, path::circle(Spot::new(300.0, 100.0), 40.0), Hatch::FOAM),
        Mark::fill(PLAN, path::rectangle(Rect::new(50.0, 140.0, 150.0, 200.0)), Ink::LightGray),
        Mark::stroke(
            TUBE,
            path::circle(Spot::new(220.0, 260.0), 60.0),
            Pen::MEDIUM.inked(Ink::Red),
        ),
        Mark::stroke(
            TUBE,
            path::line(Spot::new(50.0, 340.0), Spot::new(390.0, 340.0)),
            Pen::MEDIUM.dashed(Dash::LongDashDot),
        ),
    ];
    page.add(Role::Figure { alt: "A square of five inches".to_owned() }, figure);
    let words = vec![
        Mark::text(NOTES, Text::new(Spot::new(420.0, 60.0), 12.5, "26'-0\" <north>")),
        Mark::text(NOTES, Text::new(Spot::new(420.0, 80.0), 12.5, "Ø 1/2\" → 3 ½ ′″ ≤ é").bold()),
        Mark::text(
            NOTES,
            Text::new(Spot::new(410.0, 396.0), 12.5, "upright").turned(std::f64::consts::FRAC_PI_2),
        ),
    ];
    page.add(Role::Paragraph, words);
    let scale = Scale { ratio: 48.0, is_metric: false };
    page.add(Role::Artifact, symbol::scale_bar(NOTES, Spot::new(36.0, 420.0), scale, 200.0));
    page.add(Role::Artifact, symbol::north(NOTES, Spot::new(300.0, 480.0), 60.0, 30.0));
    page.add(
        Role::Artifact,
        symbol::check_square(NOTES, Spot::new(36.0, 480.0), &["this square", "is 1 in"]),
    );
    let mut list = Table::new("Cuts", vec![Column::words("Joint"), Column::numbers("Feet")]);
    list.row(["A", "26.0"]);
    list.row(["B", "13.5"]);
    let style = TableStyle { size: 9.3, layer: NOTES, number: 0 };
    let part = table::draw(&list, 0, Rect::new(420.0, 120.0, 700.0, 500.0), style);
    page.blocks.extend(part.blocks);
    page.tables.push(list);
    page
}

#[test]
fn the_sample_page_is_sound() {
    assert_eq!(page().faults(), []);
}
