//! The tree inside a part: which cells the ribbon of tube joins, and so the pattern.
//!
//! A comb gives a serpentine, a path that winds inward a counterflow spiral. Right-angle bends of
//! the tube are counted by cell: 2 at a leaf, 0 straight through, 2 at a bent or three-way cell,
//! 4 at a four-way or lone one; a stub that is used counts as a join.

#![expect(
    clippy::indexing_slicing,
    reason = "cell numbers and headings come from this file's own loops over the same vectors"
)]

use super::bends::strain;
use super::blocks::there_and_back;
use super::cells::{Cells, NONE};
use super::field::Heading;
use super::frame::Frame;
use super::random::Dice;
use super::walk::walk_into;
use crate::geometry::{Point, Vector};

/// What a bulb costs beside its two corners: its neck bends it outward and back a little, and where it
/// crowds its neighbours it takes floor.
const BULB_COST: f64 = 0.5;
const CROWDING_BULB_COST: f64 = 8.0;
/// What a leg too short for its bends costs: a cell will have to be left out.
const SHORT_LEG_COST: f64 = 8.0;

/// What a bulb costs that has no room where it is, and each further cell that its tooth would be
/// drawn back, so many at most.
const BAD_TIP_COST: f64 = 16.0;
const DRAWN_BACK_COST: f64 = 0.5;
const MOST_DRAWN_BACK: usize = 40;

/// Lists kept from one look at a course to the next.
#[derive(Default)]
pub struct Spare {
    /// Legs of a course, or of a stretch of it.
    pub legs: Vec<Point>,
    /// The corners among them.
    pub corners: Vec<Point>,
}

/// Joins of each cell, a bit for each heading.
pub type Joins = Vec<u8>;

/// How a tree should look.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Look {
    /// The fewest bends.
    FewBends,
    /// Winding inward.
    Spiral,
    /// Back and forth in runs along this direction.
    Along(Vector),
}

impl Look {
    /// The same in turned axes.
    #[must_use]
    pub fn in_frame(self, frame: &Frame) -> Self {
        match self {
            Self::Along(step) => Self::Along(frame.local_step(step)),
            other => other,
        }
    }
}

/// A tree to be grown.
#[derive(Clone, Copy, Debug)]
pub struct Ground<'a> {
    /// The floor.
    pub cells: &'a Cells,
    /// Whose cell is whose.
    pub owners: &'a [usize],
    /// The part.
    pub part: usize,
    /// Its root.
    pub root: usize,
    /// The side of the root that must stay open.
    pub opening: Heading,
    /// Shortest leg that two opposite bends can share, inches.
    pub shortest_leg: f64,
    /// Stubs that turned out not to fit.
    pub no_stub: &'a [u8],
    /// Spacing, inches.
    pub spacing: f64,
    /// Returns are bulbs, for which a tooth of one cell is too short.
    pub is_tight: bool,
    /// Bulbs crowd their neighbours.
    pub is_crowded: bool,
    /// Bend radius, inches.
    pub radius: f64,
    /// How far bulbs are drawn back from their cell, inches: at a leaf by the side of its tip, in
    /// the valley between two teeth by the join at its bottom, seen from the first of them.
    pub pulls: &'a [[f64; 4]],
    /// The sides of each cell at which a bulb would bow over the rim, a bit for each heading.
    pub bad_tips: &'a [u8],
    /// The last two points of each leader before it reaches the root.
    pub leaders: [[Point; 2]; 2],
}

impl Ground<'_> {
    /// The free end of a leaf: the side away from its only join. `None` for other cells.
    #[must_use]
    pub fn tip(&self, cell: usize, joins: u8) -> Option<Heading> {
        let is_leaf = joins.count_ones() == 1 && cell != self.root;
        is_leaf.then(|| Heading(joins.trailing_zeros() as usize).back())
    }

    /// Whether the tube goes round a valley between two teeth to the right of the join `heading`.
    #[must_use]
    pub fn is_valley(&self, cell: usize, joins: &Joins, heading: Heading) -> bool {
        let aside = 1 << heading.right().0;
        joins[cell] & (1 << heading.0) != 0
            && joins[cell] & aside != 0
            && joins[self.cells.next(cell, heading.0)] & aside != 0
    }

    /// What the whole course costs: its corners, the bulbs and above all legs too short to bend,
    /// and floor that a stub could have served.
    pub fn whole_cost(&self, members: &[usize], joins: &Joins, spare: &mut Spare) -> f64 {
        spare.legs.clear();
        spare.legs.extend(self.leaders[0]);
        walk_into(self, joins, self.radius, &mut spare.legs);
        spare.legs.extend(self.leaders[1].iter().rev());
        self.strained(spare) + members.iter().map(|&cell| self.left_bare(cell, joins)).sum::<f64>()
    }

    /// What the corners of legs cost: the bulbs among them, and above all legs too short to bend.
    pub fn strained(&self, spare: &mut Spare) -> f64 {
        let strain = strain(&spare.legs, self.radius, &mut spare.corners);
        let bulb_cost = if self.is_crowded { CROWDING_BULB_COST } else { BULB_COST };
        strain.corners as f64
            + bulb_cost * strain.bulbs as f64
            + SHORT_LEG_COST * strain.short_legs as f64
    }

    /// What a cell costs beside its corners: floor that a stub could have served, and a bulb that
    /// has no room.
    pub fn left_bare(&self, cell: usize, joins: &Joins) -> f64 {
        let tip = self.tip(cell, joins[cell]);
        let bad = tip.map_or(0, |tip| self.bad_reach(cell, tip, joins));
        let drawn_back = DRAWN_BACK_COST * bad.saturating_sub(1) as f64;
        let cost = if bad > 0 { BAD_TIP_COST + drawn_back } else { 0.0 };
        self.unserved(cell, joins[cell]) + cost
    }

    /// How many cells of a tooth would be drawn back until its tip has room for a bulb.
    fn bad_reach(&self, mut cell: usize, tip: Heading, joins: &Joins) -> usize {
        let (bit, onward) = (1 << tip.0, tip.back());
        let mut bad = 0;
        while self.bad_tips[cell] & bit != 0 && bad < MOST_DRAWN_BACK {
            bad += 1;
            let next = self.cells.next(cell, onward.0);
            let is_straight = joins[cell] & (1 << onward.0) != 0
                && next != NONE
                && next != self.root
                && joins[next] == bit | 1 << onward.0;
            if !is_straight {
                break;
            }
            cell = next;
        }
        bad
    }

    /// Floor beside a cell that a stub could have served, as a cost.
    fn unserved(&self, cell: usize, joins: u8) -> f64 {
        let shape = &self.cells.list[cell];
        if shape.stubs == [[0.0; 2]; 4] {
            return 0.0;
        }
        let used = self.stubs_used(cell, joins);
        Heading::ALL
            .into_iter()
            .filter(|heading| {
                (joins | used) & (1 << heading.0) == 0
                    && !(cell == self.root && *heading == self.opening)
            })
            .map(|heading| 2.5 * (shape.stubs[heading.0][0] + shape.stubs[heading.0][1]))
            .sum::<f64>()
            / self.spacing
    }

    /// The sides of a cell at which its stub is used, given its joins.
    #[must_use]
    pub fn stubs_used(&self, cell: usize, joins: u8) -> u8 {
        let mut used = 0;
        for heading in Heading::ALL {
            if self.is_stub_used(cell, joins, heading) {
                used |= 1 << heading.0;
            }
        }
        used
    }

    fn is_stub_used(&self, cell: usize, joins: u8, heading: Heading) -> bool {
        let bit = 1 << heading.0;
        if joins & bit != 0
            || self.no_stub[cell] & bit != 0
            || !self.cells.list[cell].has_stub(heading)
            || (cell == self.root && heading == self.opening)
        {
            return false;
        }
        // A stub lane that starts at a bend needs room for two bends on it.
        let [first, last] = self.cells.list[cell].stubs[heading.0];
        let bends_first = joins & (1 << heading.right().0) != 0;
        let bends_last = joins & (1 << heading.left().0) != 0;
        (!bends_first || first >= self.shortest_leg) && (!bends_last || last >= self.shortest_leg)
    }

    /// What a cell costs with these joins: its bends, and floor that a stub could have served.
    pub fn cost(&self, cell: usize, all: &Joins) -> f64 {
        self.cost_with(cell, all[cell])
    }

    /// The same for a cell with other joins than it has.
    pub fn cost_with(&self, cell: usize, joins: u8) -> f64 {
        let used = self.stubs_used(cell, joins);
        f64::from(bends(joins | used))
            + 2.0 * f64::from(used.count_ones())
            + self.unserved(cell, joins)
    }
}

fn bends(joins: u8) -> u8 {
    match joins {
        0 | 15 => 4,
        5 | 10 => 0,
        _ => 2,
    }
}

/// Grows the tree of a part; cells of other parts keep their joins in `joins`.
pub fn grow(ground: &Ground, look: Look, joins: &mut Joins) {
    let members: Vec<usize> =
        (0..ground.owners.len()).filter(|&cell| ground.owners[cell] == ground.part).collect();
    let mut spare = Spare::default();
    let mut total = |joins: &Joins| -> f64 {
        if ground.is_tight {
            return ground.whole_cost(&members, joins, &mut spare);
        }
        members.iter().map(|&cell| ground.cost(cell, joins)).sum()
    };
    let mut best: Option<(f64, Vec<u8>)> = None;
    let looks: &[usize] = match look {
        Look::FewBends if ground.is_tight => &[0, 1, 2, 3, 4, 5, 6, 7, 8, 9],
        Look::FewBends => &[0, 1, 2, 3, 4, 5],
        Look::Spiral => &[6, 7],
        // Even kinds run level.
        Look::Along(step) => match (step.x.abs() >= step.y.abs(), ground.is_tight) {
            (true, false) => &[0, 2, 4],
            (true, true) => &[0, 2, 4, 8],
            (false, false) => &[1, 3, 5],
            (false, true) => &[1, 3, 5, 9],
        },
    };
    for &kind in looks {
        for &cell in &members {
            joins[cell] = 0;
        }
        match kind {
            0..6 => scan(ground, &members, kind, joins),
            6 | 7 => wind(ground, kind == 6, joins),
            _ => there_and_back(ground, &members, kind == 8, joins),
        }
        let cost = total(joins);
        if best.as_ref().is_none_or(|(least, _)| cost < *least) {
            best = Some((cost, members.iter().map(|&cell| joins[cell]).collect()));
        }
    }
    if let Some((_, kept)) = best {
        for (&cell, &mask) in members.iter().zip(&kept) {
            joins[cell] = mask;
        }
    }
}

/// Rows (or columns) joined through, linked to each other as near as can be to one line.
fn scan(ground: &Ground, members: &[usize], kind: usize, joins: &mut Joins) {
    let cells = ground.cells;
    let is_level = kind.is_multiple_of(2);
    let place = |cell: usize| {
        let (column, row) = cells.list[cell].at;
        if is_level { column } else { row }
    };
    let (low, high) = members
        .iter()
        .fold((usize::MAX, 0), |(low, high), &cell| (low.min(place(cell)), high.max(place(cell))));
    let spine = [low, high, place(ground.root)][kind / 2];
    let mut edges: Vec<(usize, usize, usize)> = Vec::new();
    for &cell in members {
        for heading in [Heading(0), Heading(1)] {
            let other = cells.next(cell, heading.0);
            if other == NONE
                || ground.owners[other] != ground.part
                || !may_join(ground, cell, heading)
            {
                continue;
            }
            let along = (heading.0 == 0) == is_level;
            let weight = if along { 0 } else { 1 + place(cell).abs_diff(spine) };
            edges.push((weight, cell, heading.0));
        }
    }
    edges.sort_unstable();
    let mut leader: Vec<usize> = (0..cells.list.len()).collect();
    for (_, cell, heading) in edges {
        let other = cells.next(cell, heading);
        let (a, b) = (find(&mut leader, cell), find(&mut leader, other));
        if a != b {
            leader[a] = b;
            join(joins, cell, other, Heading(heading));
        }
    }
}

/// Whether the tree may go from a cell in a heading: not through the root's open side.
pub fn may_join(ground: &Ground, cell: usize, heading: Heading) -> bool {
    let other = ground.cells.next(cell, heading.0);
    let is_opening = cell == ground.root && heading == ground.opening;
    let is_opening_from_outside = other == ground.root && heading.back() == ground.opening;
    !is_opening && !is_opening_from_outside
}

/// The leader of a cell's group, each cell being led by another until one leads itself.
pub fn find(leader: &mut [usize], mut cell: usize) -> usize {
    while leader[cell] != cell {
        leader[cell] = leader[leader[cell]];
        cell = leader[cell];
    }
    cell
}

/// Joins two neighbours.
pub fn join(joins: &mut Joins, cell: usize, other: usize, heading: Heading) {
    joins[cell] |= 1 << heading.0;
    joins[other] |= 1 << heading.back().0;
}

/// A depth-first walk that keeps to one hand, so that the path winds inward.
fn wind(ground: &Ground, right_hand: bool, joins: &mut Joins) {
    let cells = ground.cells;
    let mut seen = vec![false; cells.list.len()];
    seen[ground.root] = true;
    let mut stack = vec![(ground.root, ground.opening.back(), 0_u8)];
    while let Some((cell, facing, tried)) = stack.pop() {
        if tried >= 3 {
            continue;
        }
        stack.push((cell, facing, tried + 1));
        let heading = match (tried, right_hand) {
            (0, true) | (2, false) => facing.right(),
            (1, _) => facing,
            _ => facing.left(),
        };
        let other = cells.next(cell, heading.0);
        if other == NONE
            || seen[other]
            || ground.owners[other] != ground.part
            || !may_join(ground, cell, heading)
        {
            continue;
        }
        seen[other] = true;
        join(joins, cell, other, heading);
        stack.push((other, heading, 0));
    }
}

/// Which join of a way round to cut: one of its two ends, or any.
pub fn pick(count: usize, dice: &mut Dice) -> usize {
    match dice.below(3) {
        0 => 0,
        1 => count.saturating_sub(1),
        _ => dice.below(count),
    }
}

/// Cuts a join.
pub fn cut_join(joins: &mut Joins, cell: usize, other: usize, heading: Heading) {
    joins[cell] &= !(1 << heading.0);
    joins[other] &= !(1 << heading.back().0);
}
