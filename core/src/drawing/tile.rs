//! Tiles: a plan too large for its paper, over several sheets that overlap by a strip.

use super::Rect;

/// One sheet's part of a large drawing.
#[derive(Clone, Debug, PartialEq)]
pub struct Tile {
    /// Column letter and row number from the upper left: `A1`.
    pub name: String,
    /// Its part in the drawing's own points (from the drawing's upper left corner).
    pub part: Rect,
    /// Column from 0.
    pub column: u32,
    /// Row from 0.
    pub row: u32,
}

/// Most tiles along one side: letters run out, and so does the trailer wall.
const MOST: f64 = 26.0;

/// How many tiles of `usable` points cover `length` points when neighbours share `overlap`.
#[must_use]
pub fn count(length: f64, usable: f64, overlap: f64) -> u32 {
    let step = (usable - overlap).max(1.0);
    #[expect(clippy::cast_possible_truncation, reason = "clamped to 26")]
    #[expect(clippy::cast_sign_loss, reason = "clamped to 1 and more")]
    {
        ((length - overlap) / step - 1e-9).ceil().clamp(1.0, MOST) as u32
    }
}

/// The tiles of a drawing of `width` by `height` points on sheets with `room` for a part,
/// row by row. All have the size of the room, so the outer ones reach beyond the drawing evenly.
#[must_use]
pub fn tiles(width: f64, height: f64, room: Rect, overlap: f64) -> Vec<Tile> {
    let (columns, rows) =
        (count(width, room.width(), overlap), count(height, room.height(), overlap));
    let covered = |count: u32, size: f64| f64::from(count) * (size - overlap) + overlap;
    let (slack_x, slack_y) =
        (covered(columns, room.width()) - width, covered(rows, room.height()) - height);
    let mut all = Vec::new();
    for row in 0..rows {
        for column in 0..columns {
            let x0 = f64::from(column) * (room.width() - overlap) - slack_x / 2.0;
            let y0 = f64::from(row) * (room.height() - overlap) - slack_y / 2.0;
            let letter = char::from_u32(u32::from('A') + column).unwrap_or('Z');
            all.push(Tile {
                name: format!("{letter}{}", row + 1),
                part: Rect::new(x0, y0, x0 + room.width(), y0 + room.height()),
                column,
                row,
            });
        }
    }
    all
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn counts_of_the_worked_examples() {
        // 15 x 10 in on 10 x 7.5 and 7.5 x 10 usable with half an inch shared: 4 and 3 sheets.
        let sheets = |w: f64, h: f64, a: f64, b: f64| count(w, a, 0.5) * count(h, b, 0.5);
        assert_eq!(sheets(15.0, 10.0, 10.0, 7.5), 4);
        assert_eq!(sheets(15.0, 10.0, 7.5, 10.0), 3);
        assert_eq!(sheets(35.0, 23.0, 10.0, 7.5), 16);
        assert_eq!(sheets(35.0, 23.0, 7.5, 10.0), 15);
    }

    #[test]
    fn tiles_cover_and_share_the_overlap() {
        let all = tiles(1000.0, 500.0, Rect::new(0.0, 0.0, 400.0, 300.0), 36.0);
        assert_eq!(all.len(), 6);
        assert!(all[0].part.x0 <= 0.0 && all[5].part.x1 >= 1000.0 && all[5].part.y1 >= 500.0);
        assert!((all[0].part.x1 - all[1].part.x0 - 36.0).abs() < 1e-9);
        assert_eq!(all[4].name, "B2");
    }
}
