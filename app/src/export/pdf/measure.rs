//! The scale of a page as a PDF reader's measuring tool takes it.
//!
//! A viewport over the drawing carries a rectilinear measure dictionary (ISO 32000-1, 8.8 and
//! tables 260 to 263): points to feet and inches, or to metres, along any direction, and areas.

use pdf_writer::writers::Page as PageWriter;
use pdf_writer::{Finish, Name, Obj, Rect, TextStr};
use slabloom_core::drawing::Page;

/// A step of a measure: unit, how many of it make one of the unit before, digits or a fraction.
struct Step(&'static str, f64, Rounding);

enum Rounding {
    /// Whole ones; what is left goes to the next step.
    Whole,
    /// A fraction with this denominator.
    Fraction(i32),
    /// A decimal in steps of one over this.
    Decimal(i32),
}

/// Writes the viewport of a page that is drawn to a scale.
pub(super) fn write(writer: &mut PageWriter<'_>, page: &Page) {
    let Some((part, scale)) = page.to_scale else { return };
    let height = page.size.height;
    let mut ports = writer.insert(Name(b"VP")).array();
    let mut port = ports.push().dict();
    port.pair(Name(b"Type"), Name(b"Viewport"));
    // Paper y runs down from the top, the file's up from the foot.
    let box_ = Rect::new(
        part.x0 as f32,
        (height - part.y1) as f32,
        part.x1 as f32,
        (height - part.y0) as f32,
    );
    port.pair(Name(b"BBox"), box_);
    port.pair(Name(b"Name"), TextStr(&page.title));
    let mut measure = port.insert(Name(b"Measure")).dict();
    measure.pair(Name(b"Type"), Name(b"Measure"));
    measure.pair(Name(b"Subtype"), Name(b"RL"));
    measure.pair(Name(b"R"), TextStr(&scale.label()));
    let inches = 1.0 / scale.points_per_inch();
    let (along, far, areas) = if scale.is_metric {
        (
            Step("m", inches * 0.0254, Rounding::Decimal(1000)),
            vec![Step("m", 1.0, Rounding::Decimal(1000))],
            Step("sq m", 1.0, Rounding::Decimal(100)),
        )
    } else {
        (
            Step("ft", inches / 12.0, Rounding::Decimal(1000)),
            vec![Step("ft", 1.0, Rounding::Whole), Step("in", 12.0, Rounding::Fraction(16))],
            Step("sq ft", 1.0, Rounding::Decimal(10)),
        )
    };
    formats(measure.insert(Name(b"X")), &[along]);
    formats(measure.insert(Name(b"D")), &far);
    formats(measure.insert(Name(b"A")), &[areas]);
    measure.finish();
    port.finish();
    ports.finish();
}

fn formats(place: Obj<'_>, steps: &[Step]) {
    let mut array = place.array();
    for Step(unit, factor, rounding) in steps {
        let mut format = array.push().dict();
        format.pair(Name(b"Type"), Name(b"NumberFormat"));
        format.pair(Name(b"U"), TextStr(unit));
        format.pair(Name(b"C"), *factor as f32);
        match rounding {
            // How a step that is not the last is shown goes without saying.
            Rounding::Whole => {}
            Rounding::Fraction(parts) => {
                format.pair(Name(b"F"), Name(b"F"));
                format.pair(Name(b"D"), *parts);
            }
            Rounding::Decimal(parts) => {
                format.pair(Name(b"F"), Name(b"D"));
                format.pair(Name(b"D"), *parts);
            }
        }
    }
}
