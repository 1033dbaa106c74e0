//! Dimensions: one length along its side, and running (ordinate) figures from a base.
//!
//! Running figures are each rounded once from the base, so errors do not add up along a wall;
//! figures that would stand too close are spread apart and tied to their line by a bent leader
//! (the least total shift, found by merging neighbours that push each other).
//! Figures are readable from the bottom or the right (ISO 129-1, from memory).

use super::mark::Mark;
use super::place::{Label, Placer};
use super::style::{Ink, Layer, Pen};
use super::symbol;
use super::text::{self, Across, CAP_HEIGHT, Face, Text, Upright};
use super::{Spot, Vec2, path};
use std::f64::consts::{FRAC_PI_2, PI};

/// Extension lines start this far from what they measure, in points.
const GAP: f64 = 3.5;
/// Extension lines reach this far beyond the dimension line, in points.
const OVERSHOOT: f64 = 5.0;

/// A length between two places, drawn beside them.
#[derive(Clone, Debug)]
pub struct Dimension {
    /// One end, on paper.
    pub from: Spot,
    /// Other end, on paper.
    pub to: Spot,
    /// Which way the dimension line stands off, as a step of length 1 across the line.
    pub out: Vec2,
    /// How far it stands off, in points.
    pub offset: f64,
    /// What it says.
    pub label: String,
    /// Text size.
    pub size: f64,
    /// Layer.
    pub layer: Layer,
    /// What it measures, for picking.
    pub tag: u64,
}

/// The angle at which text along a line reads from the bottom or the right, radians
/// counter-clockwise as seen; `along` is on paper, y down.
#[must_use]
pub fn readable_angle(along: Vec2) -> f64 {
    let angle = crate::units::exact_math::atan2(-along.y, along.x);
    if angle > FRAC_PI_2 + 1e-6 {
        angle - PI
    } else if angle <= -FRAC_PI_2 + 1e-6 {
        angle + PI
    } else {
        angle
    }
}

impl Dimension {
    /// Draws it where there is room: nearest its side first, then farther out; a figure longer
    /// than its line goes beyond an end or away on a callout. `None` when there is no room at
    /// all.
    #[must_use]
    pub fn draw(&self, placer: &mut Placer) -> Option<Vec<Mark>> {
        let step = self.to - self.from;
        let length = step.hypot();
        if length <= 0.0 || !length.is_finite() {
            return None;
        }
        let along = step / length;
        let mut text =
            Text::new(self.from, self.size, self.label.clone()).turned(readable_angle(along));
        text.across = Across::Middle;
        text.upright = Upright::Middle;
        let (_, up) = text.axes();
        let lift = self.size * (CAP_HEIGHT / 2.0) + 3.0;
        let fits = text.width() + 6.0 <= length;
        for row in 0..4_u8 {
            let offset = self.offset + f64::from(row) * self.size * 1.5;
            let middle = self.from.midpoint(self.to) + self.out * offset;
            text.at = middle + up * lift;
            if fits && placer.is_free(&text) && placer.crossings(&text) == 0 {
                placer.take_text(&text);
                let mut marks = self.lines(offset, along, placer);
                marks.push(Mark::text(self.layer, text).tagged(self.tag));
                return Some(marks);
            }
        }
        let offset = self.offset;
        let middle = self.from.midpoint(self.to) + self.out * offset;
        let beyond = length / 2.0 + text.width() / 2.0 + 6.0;
        let mut label = Label::new(self.layer, Text { at: middle + up * lift, ..text.clone() });
        label.tag = self.tag;
        label.about = Some(middle);
        label.reach = 160.0;
        label.others = vec![
            middle - up * lift,
            middle + along * beyond + up * lift,
            middle - along * beyond + up * lift,
            middle + self.out * (self.size * 1.6) + up * lift,
        ];
        if !fits {
            // The figure is longer than its line: its own spot would stand over the ticks.
            label.text.at = middle + along * beyond;
            label.others = vec![
                middle - along * beyond,
                middle + self.out * (self.size * 1.2),
                middle - self.out * (self.size * 1.2),
            ];
        }
        let figure = placer.place(&label)?;
        let mut marks = self.lines(offset, along, placer);
        marks.extend(figure);
        Some(marks)
    }

    /// Extension lines, dimension line and ticks.
    fn lines(&self, offset: f64, along: Vec2, placer: &mut Placer) -> Vec<Mark> {
        let (from, to) = (self.from + self.out * offset, self.to + self.out * offset);
        let mut marks = Vec::new();
        let mut draw = |course: super::BezPath| {
            placer.avoid(&course);
            marks.push(Mark::stroke(self.layer, course, Pen::FINE).tagged(self.tag));
        };
        if offset > GAP * 2.0 {
            for end in [self.from, self.to] {
                draw(path::line(end + self.out * GAP, end + self.out * (offset + OVERSHOOT)));
            }
        }
        draw(path::line(from - along * OVERSHOOT, to + along * OVERSHOOT));
        marks.push(symbol::tick(self.layer, from, along).tagged(self.tag));
        marks.push(symbol::tick(self.layer, to, along).tagged(self.tag));
        marks
    }
}

/// On which side of a drawing a row of running figures stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum RowSide {
    /// West of it: figures level, one above the other.
    Left,
    /// East of it.
    Right,
    /// North of it: figures upright, side by side.
    Above,
    /// South of it.
    Below,
}

/// One place on a running row.
#[derive(Clone, Debug, PartialEq)]
pub struct Station {
    /// Where along the row, in points on paper (x for rows above and below, else y).
    pub at: f64,
    /// Where its extension line starts, in points across the row.
    pub from: f64,
    /// What it says.
    pub label: String,
    /// What it is about, for picking.
    pub tag: u64,
}

/// A row of running figures.
#[derive(Clone, Debug)]
pub struct RunningRow {
    /// Its side.
    pub side: RowSide,
    /// Where the row stands, in points across it.
    pub row: f64,
    /// Between which points along it figures may stand.
    pub span: (f64, f64),
    /// Text size.
    pub size: f64,
    /// Layer.
    pub layer: Layer,
    /// Pen of the extension lines.
    pub pen: Pen,
    /// How figures of rows above and below stand; rows left and right are always level.
    pub figures: Figures,
}

/// How figures above and below a drawing stand.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Figures {
    /// Along their extension lines, read from the right: the densest row.
    #[default]
    Upright,
    /// Level: read without turning the sheet, for rows with few figures.
    Level,
}

/// Room between the row and its figures, for bent leaders, in points.
const BEND: f64 = 12.0;
/// Space between level figures of a row, in points.
const APART: f64 = 9.0;

impl RunningRow {
    /// How deep a row of figures this long is, in points.
    #[must_use]
    pub fn depth(longest: f64, size: f64, figures: Figures) -> f64 {
        match figures {
            Figures::Upright => longest + BEND + 4.0,
            Figures::Level => size + BEND + 4.0,
        }
    }

    /// Whether figures read level or take too much of the row for that.
    #[must_use]
    pub fn figures_for(widths: impl Iterator<Item = f64>, room: f64) -> Figures {
        let needed: f64 = widths.map(|width| width + APART).sum();
        if needed <= room { Figures::Level } else { Figures::Upright }
    }

    fn is_level(&self) -> bool {
        matches!(self.side, RowSide::Left | RowSide::Right) || self.figures == Figures::Level
    }

    /// Draws the row. Figures are spread so that none stands on another; gives the marks and how
    /// many stations at the far end found no room.
    #[must_use]
    pub fn draw(&self, stations: &[Station], placer: &mut Placer) -> (Vec<Mark>, usize) {
        let mut stations: Vec<&Station> = stations.iter().collect();
        stations.sort_by(|a, b| a.at.total_cmp(&b.at));
        let high = self.size * (CAP_HEIGHT + text::DESCENT) + 3.2;
        let pitch = match self.side {
            RowSide::Above | RowSide::Below if self.is_level() => {
                let widths =
                    stations.iter().map(|at| text::width(&at.label, Face::Regular, self.size));
                widths.fold(0.0, f64::max) + APART
            }
            _ => high,
        };
        let room = (self.span.1 - self.span.0).max(pitch);
        #[expect(clippy::cast_possible_truncation, reason = "a share of a sheet of paper")]
        #[expect(clippy::cast_sign_loss, reason = "at least one")]
        let most = (room / pitch).floor().clamp(1.0, 10_000.0) as usize;
        let left_out = stations.len().saturating_sub(most);
        stations.truncate(most);
        let half = pitch / 2.0;
        let wishes: Vec<f64> = stations.iter().map(|station| station.at).collect();
        let places = spread(&wishes, pitch, self.span.0 + half, self.span.1 - half);
        let mut marks = Vec::new();
        let mut left_out = left_out;
        for (station, place) in stations.iter().zip(places) {
            let (drawn, is_shown) = self.one(station, place, placer);
            marks.extend(drawn);
            left_out += usize::from(!is_shown);
        }
        (marks, left_out)
    }

    fn one(&self, station: &Station, place: f64, placer: &mut Placer) -> (Vec<Mark>, bool) {
        let sign = match self.side {
            RowSide::Left | RowSide::Above => -1.0,
            RowSide::Right | RowSide::Below => 1.0,
        };
        let spot = |along: f64, across: f64| match self.side {
            RowSide::Left | RowSide::Right => Spot::new(across, along),
            RowSide::Above | RowSide::Below => Spot::new(along, across),
        };
        let course = path::polyline(&[
            spot(station.at, station.from + sign * GAP),
            spot(station.at, self.row),
            spot(place, self.row + sign * (BEND - 4.0)),
            spot(place, self.row + sign * (BEND - 1.5)),
        ]);
        let text = Text {
            at: spot(place, self.row + sign * BEND),
            content: station.label.clone(),
            size: self.size,
            face: Face::Regular,
            ink: Ink::Black,
            across: match self.side {
                RowSide::Above | RowSide::Below if self.is_level() => Across::Middle,
                RowSide::Left | RowSide::Below => Across::End,
                RowSide::Right | RowSide::Above => Across::Start,
            },
            upright: match self.side {
                RowSide::Above if self.is_level() => Upright::Baseline,
                RowSide::Below if self.is_level() => Upright::Top,
                _ => Upright::Middle,
            },
            angle: if self.is_level() { 0.0 } else { FRAC_PI_2 },
        };
        let mut marks =
            vec![Mark::stroke(self.layer, course.clone(), self.pen).tagged(station.tag)];
        placer.avoid(&course);
        let is_free = placer.is_free(&text);
        if is_free {
            placer.take_text(&text);
            marks.push(Mark::text(self.layer, text).tagged(station.tag));
        }
        (marks, is_free)
    }
}

/// Places near the wishes (which rise), at least `pitch` apart and within `low..=high`, so that
/// the sum of squared shifts is least: neighbours that push each other move as one.
#[must_use]
pub fn spread(wishes: &[f64], pitch: f64, low: f64, high: f64) -> Vec<f64> {
    // With the pitch taken out, "at least apart" becomes "not falling": pool what falls.
    let mut pools: Vec<(f64, usize)> = Vec::new();
    for (place, &wish) in wishes.iter().enumerate() {
        let mut pool = (wish - pitch * place as f64, 1_usize);
        while let Some(&(mean, count)) = pools.last() {
            if mean <= pool.0 {
                break;
            }
            let total = count + pool.1;
            pool = ((mean * count as f64 + pool.0 * pool.1 as f64) / total as f64, total);
            pools.pop();
        }
        pools.push(pool);
    }
    let last = wishes.len().saturating_sub(1) as f64;
    let top = (high - pitch * last).max(low);
    pools
        .into_iter()
        .flat_map(|(mean, count)| std::iter::repeat_n(mean.clamp(low, top), count))
        .enumerate()
        .map(|(place, mean)| mean + pitch * place as f64)
        .collect()
}

#[cfg(test)]
mod tests {
    use super::super::{Rect, Shape};
    use super::*;

    const LAYER: Layer = Layer("Dimensions");

    #[test]
    fn spread_keeps_distance_order_and_bounds() {
        let wishes = [10.0, 11.0, 12.0, 80.0, 99.0, 99.5];
        let places = spread(&wishes, 8.0, 4.0, 100.0);
        for pair in places.windows(2) {
            assert!(pair[1] - pair[0] >= 8.0 - 1e-9);
        }
        assert!(places[0] >= 4.0 && places[5] <= 100.0 + 1e-9);
        assert!((places[3] - 80.0).abs() < 1e-9);
        // Three that push each other stay about their own middle.
        assert!((places[1] - 12.0).abs() < 1.01, "{places:?}");
    }

    #[test]
    fn a_row_of_cuts_reads_without_overlap() {
        let mut placer = Placer::new(Rect::new(0.0, 0.0, 400.0, 300.0));
        let row = RunningRow {
            side: RowSide::Below,
            row: 220.0,
            span: (20.0, 380.0),
            size: 10.0,
            layer: LAYER,
            pen: Pen::FINE,
            figures: Figures::Upright,
        };
        let stations: Vec<Station> = (0..20)
            .map(|place| Station {
                at: 40.0 + f64::from(place * place % 13) * 20.0,
                from: 200.0,
                label: format!("{place}'-0 1/2\""),
                tag: 0,
            })
            .collect();
        let (marks, left_out) = row.draw(&stations, &mut placer);
        let texts: Vec<_> = marks
            .iter()
            .filter_map(|mark| match &mark.shape {
                Shape::Text(text) => Some(text.corners()),
                _ => None,
            })
            .collect();
        assert_eq!((texts.len(), left_out), (20, 0));
        for (place, one) in texts.iter().enumerate() {
            for other in &texts[place + 1..] {
                assert!(!super::super::place::boxes_overlap(one, other, 0.0));
            }
        }
    }

    #[test]
    fn figures_read_from_the_bottom_or_the_right() {
        assert!(readable_angle(Vec2::new(1.0, 0.0)).abs() < 1e-9);
        assert!(readable_angle(Vec2::new(-1.0, 0.0)).abs() < 1e-9);
        assert!((readable_angle(Vec2::new(0.0, 1.0)) - FRAC_PI_2).abs() < 1e-9);
        assert!((readable_angle(Vec2::new(0.0, -1.0)) - FRAC_PI_2).abs() < 1e-9);
    }

    #[test]
    fn a_short_side_gets_its_figure_beyond_the_end() {
        let mut placer = Placer::new(Rect::new(0.0, 0.0, 300.0, 300.0));
        let dimension = Dimension {
            from: Spot::new(140.0, 150.0),
            to: Spot::new(160.0, 150.0),
            out: Vec2::new(0.0, 1.0),
            offset: 20.0,
            label: "1'-4 1/2\"".into(),
            size: 10.0,
            layer: LAYER,
            tag: 7,
        };
        let marks = dimension.draw(&mut placer).unwrap();
        let text = marks
            .iter()
            .find_map(|mark| match &mark.shape {
                Shape::Text(text) => Some(text.bounds()),
                _ => None,
            })
            .unwrap();
        assert!(text.x0 >= 160.0 || text.x1 <= 140.0 || text.y0 > 172.0);
        assert!(marks.iter().all(|mark| mark.tag == 7));
    }
}
