//! Axes turned by quarters, so that what is made for a bus running north serves any heading.

use super::cells::Cells;
use super::fan::Root;
use super::field::Heading;
use crate::geometry::{Point, Polygon};

/// So many quarter turns to the left.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Turn(usize);

impl Turn {
    /// The turn that makes a heading lead north.
    #[must_use]
    pub const fn to_north(heading: Heading) -> Self {
        Self((5 - heading.0) % 4)
    }

    const fn back(self) -> Self {
        Self((4 - self.0) % 4)
    }

    /// A place in the turned axes.
    #[must_use]
    pub fn there(self, at: Point) -> Point {
        match self.0 {
            0 => at,
            1 => Point::new(-at.y, at.x),
            2 => Point::new(-at.x, -at.y),
            _ => Point::new(at.y, -at.x),
        }
    }

    /// Regions in the turned axes.
    #[must_use]
    pub fn regions(self, regions: &[Polygon]) -> Vec<Polygon> {
        let turn = |ring: &Vec<Point>| ring.iter().map(|&at| self.there(at)).collect();
        let region = |region: &Polygon| Polygon {
            outer: turn(&region.outer),
            holes: region.holes.iter().map(turn).collect(),
        };
        regions.iter().map(region).collect()
    }

    /// The lanes of cells in the turned axes, in the same pairs.
    #[must_use]
    pub fn lanes(self, cells: &Cells) -> (Vec<f64>, Vec<f64>) {
        let paired = |lanes: &[f64]| lanes.iter().copied().take(lanes.len() / 2 * 2).collect();
        let (xs, ys): (Vec<f64>, Vec<f64>) = (paired(&cells.xs), paired(&cells.ys));
        let mirrored = |lanes: &[f64]| lanes.iter().rev().map(|at| -at).collect();
        match self.0 {
            0 => (xs, ys),
            1 => (mirrored(&ys), xs),
            2 => (mirrored(&xs), mirrored(&ys)),
            _ => (ys, mirrored(&xs)),
        }
    }

    /// A root of the turned axes where it was before; `size` is how many columns and rows there
    /// were.
    #[must_use]
    pub fn root_back(self, root: Root, (columns, rows): (usize, usize)) -> Option<Root> {
        let (column, row) = root.at;
        let at = match self.0 {
            0 => (column, row),
            1 => (row, (rows).checked_sub(column + 1)?),
            2 => (columns.checked_sub(column + 1)?, rows.checked_sub(row + 1)?),
            _ => (columns.checked_sub(row + 1)?, column),
        };
        let back = self.back();
        let leader = |leader: Vec<Point>| leader.into_iter().map(|at| back.there(at)).collect();
        Some(Root {
            at,
            opening: Heading((root.opening.0 + back.0) % 4),
            into: leader(root.into),
            out_of: leader(root.out_of),
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::tube::cells::CellRules;
    use crate::tube::field::Field;

    #[test]
    fn a_root_comes_back_to_its_own_cell() {
        let floor = [Polygon::rectangle(Point::new(0.0, 0.0), Point::new(84.0, 60.0))];
        let rules = CellRules { spacing: 12.0, least: 9.6, tubes: 1.0, may_push: true };
        let lanes = |count: u32| (0..count).map(|lane| 6.0 + 12.0 * f64::from(lane)).collect();
        let cells = Cells::new(&Field::new(&floor).unwrap(), (lanes(7), lanes(5)), rules);
        for heading in Heading::ALL {
            let turn = Turn::to_north(heading);
            let field = Field::new(&turn.regions(&floor)).unwrap();
            let turned = Cells::new(&field, turn.lanes(&cells), rules);
            assert_eq!(turned.list.len(), 6);
            for cell in &turned.list {
                let opening = Heading(1);
                let into = vec![cell.middle(), cell.last(opening)];
                let root = Root { at: cell.at, opening, into, out_of: Vec::new() };
                let root = turn.root_back(root, cells.size()).unwrap();
                assert_eq!(root.opening, heading);
                let own = &cells.list[cells.at(root.at.0, root.at.1).unwrap()];
                assert_eq!(root.into, [own.middle(), own.last(root.opening)]);
            }
        }
    }
}
