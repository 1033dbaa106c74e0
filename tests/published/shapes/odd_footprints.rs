//! Footprints beyond the usual ones: clipped and splayed wings, parallelograms, curved walls, slabs
//! turned off the axes.

use super::footprints::{Dice, finished};
use slabloom_core::geometry::Point;
use slabloom_core::job::Job;

/// A corner in feet, and a point that the side from it bows through.
type Corner = ((f64, f64), Option<(f64, f64)>);

/// Corners and what kind it is.
fn footprint(dice: &mut Dice) -> (&'static str, Vec<Corner>) {
    let area = 400.0 * (25.0_f64).powf(dice.roll());
    let aspect = dice.between(1.0, 2.2);
    let (w, h) = ((area * aspect).sqrt().round(), (area / aspect).sqrt().round());
    let straight = |corners: Vec<(f64, f64)>| corners.into_iter().map(|at| (at, None)).collect();
    match dice.below(7) {
        0 => {
            let (a, b) = (dice.length(0.3 * w, 0.6 * w), dice.length(0.3 * h, 0.6 * h));
            let clip = dice.length(3.0, 0.5 * b);
            let corners =
                vec![(0.0, 0.0), (w - clip, 0.0), (w, clip), (w, b), (a, b), (a, h), (0.0, h)];
            ("clipped L", straight(corners))
        }
        1 => {
            let lean = dice.length(0.05 * w, 0.3 * w);
            ("parallelogram", straight(vec![(0.0, 0.0), (w, 0.0), (w + lean, h), (lean, h)]))
        }
        2 => {
            let clip = |dice: &mut Dice| dice.length(3.0, 0.4 * h);
            let [a, b, c] = [clip(dice), clip(dice), clip(dice)];
            let rise = dice.between(0.5, 1.0);
            let corners = vec![
                (a, 0.0),
                (w - b, 0.0),
                (w, b * rise),
                (w, h - c),
                (w - c, h),
                (0.0, h),
                (0.0, a * rise),
            ];
            ("three clips", straight(corners))
        }
        3 => {
            let (a, c) = (dice.length(0.25 * w, 0.35 * w), dice.length(0.65 * w, 0.75 * w));
            let (b, splay) = (dice.length(0.3 * h, 0.6 * h), dice.length(0.0, 0.12 * w));
            let corners = vec![
                (0.0, 0.0),
                (w, 0.0),
                (w + splay, h),
                (c + splay, h),
                (c, b),
                (a, b),
                (a - splay, h),
                (-splay, h),
            ];
            ("splayed U", straight(corners))
        }
        4 => {
            let bow = dice.length(0.03 * w, 0.2 * w);
            let through = (w + bow, h / 2.0);
            let corners = vec![
                ((0.0, 0.0), None),
                ((w, 0.0), Some(through)),
                ((w, h), None),
                ((0.0, h), None),
            ];
            ("bowed wall", corners)
        }
        5 => {
            let width = dice.length(8.0, 14.0).min(w - 4.0);
            let at = dice.length(2.0, w - width - 2.0);
            let through = (at + width / 2.0, -dice.between(0.2, 0.45) * width);
            let corners = vec![
                ((0.0, 0.0), None),
                ((at, 0.0), Some(through)),
                ((at + width, 0.0), None),
                ((w, 0.0), None),
                ((w, h), None),
                ((0.0, h), None),
            ];
            ("round bay", corners)
        }
        _ => {
            let (a, b) = (dice.length(0.3 * w, 0.6 * w), dice.length(0.3 * h, 0.6 * h));
            let (sin, cos) = dice.between(0.1, 1.4).sin_cos();
            let turned = |(x, y): (f64, f64)| (cos * x - sin * y, sin * x + cos * y);
            let corners = [(0.0, 0.0), (w, 0.0), (w, b), (a, b), (a, h), (0.0, h)];
            ("turned L", straight(corners.map(turned).to_vec()))
        }
    }
}

/// A job on an odd footprint with 0 to 8 columns and a floor of 4 to 8 in.
pub fn odd_job(seed: u64) -> (&'static str, Job) {
    let dice = &mut Dice::new(seed + 310_000);
    let (kind, corners) = footprint(dice);
    let place = |(x, y)| Point::feet(x, y);
    let corners: Vec<_> =
        corners.iter().map(|&(at, through)| (place(at), through.map(place))).collect();
    (kind, finished(dice, &corners))
}
