//! Symbols: arrow heads, ticks, north, scale bar, the square that checks the printer.

use super::mark::Mark;
use super::style::{Ink, Layer, Pen};
use super::text::{NOTE_SIZE, Text};
use super::view::Scale;
use super::{Rect, Spot, Vec2, path};

/// A filled arrow head whose point is at `tip`, coming from the direction of `from`.
#[must_use]
pub fn arrow_head(layer: Layer, from: Spot, tip: Spot, length: f64, ink: Ink) -> Vec<Mark> {
    let step = tip - from;
    let far = step.hypot();
    if far <= 0.0 {
        return Vec::new();
    }
    let along = step / far;
    let across = Vec2::new(-along.y, along.x);
    let back = tip - along * length;
    let head =
        path::polygon(&[tip, back + across * (length * 0.3), back - across * (length * 0.3)]);
    vec![Mark::fill(layer, head, ink)]
}

/// An oblique stroke at 45 degrees to a dimension line, about 1/10 in long.
#[must_use]
pub fn tick(layer: Layer, at: Spot, along: Vec2) -> Mark {
    let across = Vec2::new(-along.y, along.x);
    let half = (along - across) * 2.6;
    Mark::stroke(layer, path::line(at - half, at + half), Pen::WIDE)
}

/// A short text in a circle, or in a box with round ends when it is longer than two letters.
#[must_use]
pub fn balloon(layer: Layer, at: Spot, size: f64, say: &str) -> Vec<Mark> {
    let text = Text::new(at, size, say).bold().centered();
    let (half_width, radius) = balloon_size(size, say);
    let reach = half_width - radius;
    let mut rim = path::polyline(&[Spot::new(at.x - reach, at.y - radius)]);
    rim.line_to((at.x + reach, at.y - radius));
    let half_turn = std::f64::consts::PI;
    path::arc_to(&mut rim, Spot::new(at.x + reach, at.y), radius, -half_turn / 2.0, half_turn);
    rim.line_to((at.x - reach, at.y + radius));
    path::arc_to(&mut rim, Spot::new(at.x - reach, at.y), radius, half_turn / 2.0, half_turn);
    rim.close_path();
    vec![
        Mark::fill(layer, rim.clone(), Ink::Paper),
        Mark::stroke(layer, rim, Pen::THIN),
        Mark::text(layer, text),
    ]
}

/// Half the width and half the height of a [`balloon`].
#[must_use]
pub fn balloon_size(size: f64, say: &str) -> (f64, f64) {
    let half = Text::new(Spot::ZERO, size, say).bold().width() / 2.0;
    let radius = size * 0.8;
    ((half + size * 0.32).max(radius), radius)
}

/// A north arrow in a square of side `size` about `at`; `north_degrees` clockwise from plan up.
#[must_use]
pub fn north(layer: Layer, at: Spot, size: f64, north_degrees: f64) -> Vec<Mark> {
    let turned = if north_degrees.is_finite() { north_degrees.to_radians() } else { 0.0 };
    // Clockwise from up on paper, where y points down.
    let up = path::direction(turned - std::f64::consts::FRAC_PI_2);
    let across = Vec2::new(-up.y, up.x);
    let (reach, text_size) = (size * 0.30, (size * 0.24).max(NOTE_SIZE));
    let (tip, tail) = (at + up * reach, at - up * reach);
    let half = |side: f64| {
        path::polygon(&[tip, tail + across * (reach * 0.55 * side), at - up * (reach * 0.55)])
    };
    vec![
        Mark::fill(layer, half(1.0), Ink::Black),
        Mark::stroke(layer, half(1.0), Pen::THIN),
        Mark::stroke(layer, half(-1.0), Pen::THIN),
        Mark::text(
            layer,
            Text::new(at + up * (reach + text_size * 0.6), text_size, "N").bold().centered(),
        ),
    ]
}

/// A graphic scale no longer than `room` points, in feet or metres, with its left end at `at`
/// (top of the bar). It stays true on a copy that was made larger or smaller.
#[must_use]
pub fn scale_bar(layer: Layer, at: Spot, scale: Scale, room: f64) -> Vec<Mark> {
    let (unit_in, unit) = if scale.is_metric { (1000.0 / 25.4, "m") } else { (12.0, "ft") };
    let per_unit = scale.points_per_inch() * unit_in;
    const STEPS: [f64; 14] =
        [0.1, 0.2, 0.5, 1.0, 2.0, 5.0, 10.0, 20.0, 50.0, 100.0, 200.0, 500.0, 1000.0, 2000.0];
    let size = NOTE_SIZE;
    let end_room = super::text::width(&format!("000 {unit}"), super::Face::Regular, size);
    let fits = |step: &f64| step * 2.0 * per_unit + end_room <= room;
    let Some(step) = STEPS.iter().rev().copied().find(fits) else {
        return Vec::new();
    };
    let long = step * per_unit;
    if !(long.is_finite() && long > 0.0) {
        return Vec::new();
    }
    let bar =
        |from: f64, to: f64| path::rectangle(Rect::new(at.x + from, at.y, at.x + to, at.y + 5.0));
    let mut marks = vec![
        Mark::fill(layer, bar(0.0, long / 2.0), Ink::Black),
        Mark::fill(layer, bar(long, long * 2.0), Ink::Black),
        Mark::stroke(layer, bar(0.0, long), Pen::THIN),
        Mark::stroke(layer, bar(long, long * 2.0), Pen::THIN),
    ];
    let below = at.y + 7.5 + size * super::text::CAP_HEIGHT;
    let number =
        |value: f64| if value < 1.0 { format!("{value:.1}") } else { format!("{value:.0}") };
    let mut say = |far: f64, words: String| {
        let text = Text::new(Spot::new(at.x + far, below), size, words);
        marks.push(Mark::text(layer, text));
    };
    say(0.0, "0".to_owned());
    let middle = number(step);
    let width = super::text::width(&middle, super::Face::Regular, size);
    if long - width / 2.0 > size {
        say(long - width / 2.0, middle);
    }
    say(long * 2.0 - width / 2.0, format!("{} {unit}", number(step * 2.0)));
    marks
}

/// A square of exactly 1 in (72 points) a side with its upper left corner at `at`, which tells
/// whether a printer kept the scale.
#[must_use]
pub fn check_square(layer: Layer, at: Spot, words: &[&str]) -> Vec<Mark> {
    let square = Rect::new(at.x, at.y, at.x + 72.0, at.y + 72.0);
    let mut marks = vec![Mark::stroke(layer, path::rectangle(square), Pen::THIN)];
    let pitch = NOTE_SIZE * 1.12;
    let top = square.center().y - pitch * (words.len() as f64 - 1.0) / 2.0;
    for (line, say) in words.iter().enumerate() {
        let at = Spot::new(square.center().x, top + pitch * line as f64);
        marks.push(Mark::text(layer, Text::new(at, NOTE_SIZE, *say).centered()));
    }
    marks
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_check_square_is_an_inch() {
        let marks = check_square(Layer("Frame"), Spot::new(10.0, 20.0), &["1 in"]);
        let bounds = marks[0].bounds().unwrap();
        assert!((bounds.width() - 72.0).abs() < 1e-9 && (bounds.height() - 72.0).abs() < 1e-9);
    }

    #[test]
    fn the_scale_bar_measures_what_it_says() {
        let scale = Scale { ratio: 48.0, is_metric: false };
        let marks = scale_bar(Layer("Frame"), Spot::ZERO, scale, 260.0);
        // 5 and 10 ft at 18 points a foot.
        assert!((marks[3].bounds().unwrap().x1 - 180.0).abs() < 1e-9);
    }

    #[test]
    fn north_to_the_right_points_right() {
        let marks = north(Layer("Frame"), Spot::ZERO, 50.0, 90.0);
        let bounds = marks[3].bounds().unwrap();
        assert!(bounds.center().x > 10.0 && bounds.center().y.abs() < 5.0);
    }
}
