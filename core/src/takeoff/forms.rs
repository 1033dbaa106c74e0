//! Forms, stone and the floor itself.

use super::{Counted, QuantityLine, QuantityPart, Subject, feet, square_feet};
use crate::units::{Length, Rounding, show_inches, show_length};

pub(super) fn lines(counted: &Counted<'_>) -> Vec<QuantityLine> {
    let forms = &counted.concrete.forms;
    let base = &counted.concrete.base;
    let slab_places = counted.plan.region.rings().cloned().collect();
    let mut lines = vec![
        QuantityLine::measured(
            "slab.area",
            Subject::Forms,
            "Slab",
            square_feet(counted.plan.area),
            "ft2",
        )
        .with_parts(vec![
            QuantityPart::new("Slab", square_feet(counted.plan.area)).at(slab_places),
        ]),
        QuantityLine::measured(
            "forms.length",
            Subject::Forms,
            "Forms",
            feet(forms.sides.iter().map(|side| side.length).sum()),
            "ft",
        )
        .with_parts(
            forms
                .sides
                .iter()
                .map(|side| {
                    let name = show_length(Length::inches(side.length), Rounding::Sixteenth);
                    QuantityPart::new(name, feet(side.length)).at(vec![vec![side.from, side.to]])
                })
                .collect(),
        ),
    ];
    for &(length, count) in &forms.stock {
        let name = format!(
            "Form boards {} high, {} long",
            show_inches(Length::inches(forms.board_height), Rounding::Quarter),
            show_length(Length::inches(length), Rounding::Quarter)
        );
        let key = format!("forms.board-{:.0}", feet(length));
        lines.push(QuantityLine::bought(&key, Subject::Forms, &name, f64::from(count), "each"));
    }
    lines.extend([
        QuantityLine::bought(
            "forms.stakes",
            Subject::Forms,
            "Stakes",
            f64::from(forms.stakes),
            "each",
        ),
        QuantityLine::bought(
            "forms.kickers",
            Subject::Forms,
            "Kickers",
            f64::from(forms.kickers),
            "each",
        ),
        QuantityLine::bought(
            "base.stone",
            Subject::Forms,
            "Stone, loose",
            base.stone_loose_yd3,
            "yd3",
        ),
        QuantityLine::measured(
            "base.stone-tons",
            Subject::Forms,
            "Stone, loose",
            base.stone_tons,
            "tons",
        ),
        QuantityLine::measured(
            "base.membrane",
            Subject::Forms,
            "Vapor retarder with laps and waste",
            square_feet(base.membrane),
            "ft2",
        ),
        QuantityLine::bought(
            "base.membrane-rolls",
            Subject::Forms,
            "Vapor retarder",
            f64::from(base.membrane_rolls),
            "rolls",
        ),
    ]);
    lines
}
