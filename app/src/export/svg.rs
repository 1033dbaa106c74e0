//! A page as SVG: inches outside, points inside, real text, true curves.
//!
//! Text keeps the length it has in the embedded face (`textLength`), so that a viewer without
//! that face draws it no wider than the page was laid out for.

use slabloom_core::drawing::page::{Block, Role};
use slabloom_core::drawing::{
    Across, BezPath, Dash, Face, Ink, Mark, Page, PathEl, Pen, Shape, Text,
};
use std::fmt::Write as _;

/// The page as an SVG document.
#[must_use]
pub fn svg(page: &Page) -> String {
    let (width, height) = (page.size.width, page.size.height);
    let mut out = format!(
        "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<svg xmlns=\"http://www.w3.org/2000/svg\" \
         width=\"{}in\" height=\"{}in\" viewBox=\"0 0 {} {}\">\n<title>{}</title>\n\
         <rect width=\"100%\" height=\"100%\" fill=\"#ffffff\"/>\n",
        number(width / 72.0),
        number(height / 72.0),
        number(width),
        number(height),
        escaped(&format!("{} {}", page.number, page.title)),
    );
    for block in &page.blocks {
        paint_block(&mut out, block);
    }
    out.push_str("</svg>\n");
    out
}

fn paint_block(out: &mut String, block: &Block) {
    match &block.role {
        Role::Figure { alt } => {
            let _ = writeln!(out, "<g role=\"img\" aria-label=\"{}\">", escaped(alt));
        }
        Role::Artifact => out.push_str("<g aria-hidden=\"true\">\n"),
        _ => out.push_str("<g>\n"),
    }
    let mut layer = None;
    for mark in &block.marks {
        if layer != Some(mark.layer) {
            if layer.is_some() {
                out.push_str("</g>\n");
            }
            let _ = writeln!(out, "<g data-layer=\"{}\">", escaped(mark.layer.0));
            layer = Some(mark.layer);
        }
        paint_mark(out, mark);
    }
    if layer.is_some() {
        out.push_str("</g>\n");
    }
    out.push_str("</g>\n");
}

fn paint_mark(out: &mut String, mark: &Mark) {
    match &mark.shape {
        Shape::Stroke { path, pen } => stroke(out, path, *pen),
        Shape::Fill { path, ink } => {
            let _ = writeln!(
                out,
                "<path d=\"{}\" fill=\"{}\" fill-rule=\"evenodd\"/>",
                data(path),
                color(*ink)
            );
        }
        Shape::Hatch { .. } => {
            if let Some((lines, pen)) = mark.hatch_lines() {
                stroke(out, &lines, pen);
            }
        }
        Shape::Text(text) => words(out, text),
    }
}

fn stroke(out: &mut String, path: &BezPath, pen: Pen) {
    let _ = write!(
        out,
        "<path d=\"{}\" fill=\"none\" stroke=\"{}\" stroke-width=\"{}\" stroke-linejoin=\"round\"",
        data(path),
        color(pen.ink),
        number(pen.width),
    );
    if pen.dash != Dash::Solid {
        let pattern: Vec<String> = pen.dash.pattern(pen.width).into_iter().map(number).collect();
        let _ = write!(out, " stroke-dasharray=\"{}\"", pattern.join(" "));
    }
    out.push_str("/>\n");
}

fn words(out: &mut String, text: &Text) {
    if text.content.trim().is_empty() {
        return;
    }
    // Only a level text of plain start is anchored by the page; the origin holds for all.
    let at = Text { across: Across::Start, ..text.clone() };
    let origin = text.origin();
    let _ = write!(
        out,
        "<text x=\"{}\" y=\"{}\" font-family=\"'DejaVu Sans', Verdana, sans-serif\" \
         font-size=\"{}\" textLength=\"{}\" lengthAdjust=\"spacingAndGlyphs\" fill=\"{}\" \
         xml:space=\"preserve\"",
        number(origin.x),
        number(origin.y),
        number(text.size),
        number(at.width()),
        color(text.ink),
    );
    if text.face == Face::Bold {
        out.push_str(" font-weight=\"bold\"");
    }
    if text.angle != 0.0 {
        let _ = write!(
            out,
            " transform=\"rotate({} {} {})\"",
            number(-text.angle.to_degrees()),
            number(origin.x),
            number(origin.y)
        );
    }
    let _ = writeln!(out, ">{}</text>", escaped(&text.content));
}

fn data(path: &BezPath) -> String {
    let mut d = String::new();
    for element in path.elements() {
        let spots = match *element {
            PathEl::MoveTo(p) => ('M', vec![p]),
            PathEl::LineTo(p) => ('L', vec![p]),
            PathEl::QuadTo(a, p) => ('Q', vec![a, p]),
            PathEl::CurveTo(a, b, p) => ('C', vec![a, b, p]),
            PathEl::ClosePath => ('Z', Vec::new()),
        };
        d.push(spots.0);
        for (place, spot) in spots.1.iter().enumerate() {
            let gap = if place == 0 { "" } else { " " };
            let _ = write!(d, "{gap}{} {}", number(spot.x), number(spot.y));
        }
    }
    d
}

/// Thousandths of a point, without needless digits.
fn number(value: f64) -> String {
    let rounded = (value * 1000.0).round() / 1000.0;
    // Minus zero prints as 0.
    format!("{}", rounded + 0.0)
}

fn color(ink: Ink) -> String {
    let [r, g, b] = ink.rgb();
    format!("#{r:02x}{g:02x}{b:02x}")
}

fn escaped(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            // XML has no way to write other control characters.
            c if c.is_control() && c != '\t' => out.push(' '),
            c => out.push(c),
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::super::sample;
    use super::*;

    #[test]
    fn a_page_is_in_inches_with_its_texts_and_curves() {
        let text = svg(&sample::page());
        assert!(text.contains("width=\"11in\" height=\"8.5in\" viewBox=\"0 0 792 612\""));
        assert!(text.contains(">26'-0&quot; &lt;north&gt;</text>"));
        assert!(text.contains('C'), "circles stay curves");
        assert!(text.contains("stroke-dasharray"));
        assert_eq!(text.matches("<g").count(), text.matches("</g>").count());
        assert!(!text.contains("NaN"));
    }
}
