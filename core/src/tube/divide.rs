//! A floor of cells shared out among circuits: connected parts of about equal length, each with
//! the root that its leaders reach.
//!
//! Start: paths from the roots to seeds spread over the floor that share no cell (a flow of unit
//! capacity), grown cell by cell, the shortest part first. Then annealing: a cell at a border
//! changes sides when both parts stay in one piece; the energy weighs unequal length, long borders
//! and, later, corners of borders, since every corner of a border is a bend of tube.

#![expect(
    clippy::indexing_slicing,
    reason = "cell and part numbers come from this file's own loops over the same vectors"
)]

use super::cells::{Cells, NONE};
use super::random::Dice;
use crate::effort::{Cancel, Cancelled};

/// Which part each cell belongs to; [`NONE`] for cells out of reach.
pub type Owners = Vec<usize>;

/// The task of sharing out.
#[derive(Clone, Debug)]
pub struct Shares<'a> {
    /// The floor.
    pub cells: &'a Cells,
    /// The root cell of each part.
    pub roots: &'a [usize],
    /// Tube that each part should get, inches.
    pub targets: Vec<f64>,
    /// Tube in a usual cell, inches.
    pub usual: f64,
}

/// Paths from all roots that share no cell, each as far as its part may begin to grow.
#[derive(Clone, Debug)]
pub struct Ways {
    paths: Vec<Vec<usize>>,
    /// Roots that no path leads from to floor that is left for them: their parts will be small.
    pub shut_in: usize,
}

/// The ways from the roots to floor that is set aside for each of them; `None` when some root is
/// hemmed in by others. `way_cost` is how much of the floor that a part crosses on its way is
/// counted as its own when work is set aside for it.
#[must_use]
pub fn ways(shares: &Shares, way_cost: f64) -> Option<Ways> {
    let cells = shares.cells;
    let seeds = far_seeds(shares, way_cost);
    // Where not all get that far, a way out of the crowd at the bus is enough.
    let steps = steps_from(cells, shares.roots);
    let farther: Vec<usize> =
        (0..steps.len()).filter(|&cell| steps[cell] != NONE && steps[cell] >= 3).collect();
    disjoint_paths(cells, shares.roots, [&seeds, &farther])
}

/// A first division: the shortest part grows first, from all of its way.
#[must_use]
pub fn first_division(shares: &Shares, ways: &Ways) -> Owners {
    let cells = shares.cells;
    let paths = &ways.paths;
    let mut owners = vec![NONE; cells.list.len()];
    let mut sizes = vec![0.0; shares.roots.len()];
    let mut fronts: Vec<std::collections::VecDeque<usize>> = vec![Default::default(); sizes.len()];
    for (part, path) in paths.iter().enumerate() {
        for &cell in path {
            owners[cell] = part;
            sizes[part] += cells.list[cell].tube;
            fronts[part].push_back(cell);
        }
    }
    loop {
        let next = (0..sizes.len()).filter(|&part| !fronts[part].is_empty()).min_by(|&a, &b| {
            (sizes[a] - shares.targets[a]).total_cmp(&(sizes[b] - shares.targets[b]))
        });
        let Some(part) = next else { break };
        let Some(&cell) = fronts[part].front() else { break };
        let free =
            cells.list[cell].beside.iter().copied().find(|&n| n != NONE && owners[n] == NONE);
        if let Some(free) = free {
            owners[free] = part;
            sizes[part] += cells.list[free].tube;
            fronts[part].push_back(free);
        } else {
            fronts[part].pop_front();
        }
    }
    owners
}

/// One cell for each part, so that as many ways lead into every reach of the floor as it has work
/// for: the farthest floor is set aside first, as much as one part can serve beside its way there,
/// with that way; then the farthest of what is left, and so on.
fn far_seeds(shares: &Shares, way_cost: f64) -> Vec<usize> {
    let (cells, roots) = (shares.cells, shares.roots);
    let steps = steps_from(cells, roots);
    let mut is_free: Vec<bool> = steps.iter().map(|&steps| steps != NONE && steps > 0).collect();
    let mut left: f64 =
        (0..is_free.len()).filter(|&cell| is_free[cell]).map(|cell| cells.list[cell].tube).sum();
    let mut seeds = Vec::with_capacity(roots.len());
    for parts in (1..=roots.len()).rev() {
        let share = left / parts as f64;
        let farthest = (0..is_free.len())
            .filter(|&cell| is_free[cell])
            .max_by_key(|&cell| (steps[cell], NONE - cell));
        let Some(farthest) = farthest else { break };
        let mut queue = std::collections::VecDeque::from([farthest]);
        is_free[farthest] = false;
        let (mut taken, mut seed) = (0.0, farthest);
        while let Some(cell) = queue.pop_front() {
            if taken + way_cost * steps[seed] as f64 * shares.usual >= share && taken > 0.0 {
                is_free[cell] = true;
                continue;
            }
            taken += cells.list[cell].tube;
            if steps[cell] < steps[seed] {
                seed = cell;
            }
            for &next in &cells.list[cell].beside {
                if next != NONE && is_free[next] {
                    is_free[next] = false;
                    queue.push_back(next);
                }
            }
        }
        seeds.push(seed);
        for cell in way_down(cells, &steps, &is_free, seed) {
            is_free[cell] = false;
            taken += cells.list[cell].tube;
        }
        left -= taken;
    }
    seeds
}

/// The free cells on the shortest way through free floor from a cell to some root, or as far
/// toward it as there is one.
fn way_down(cells: &Cells, steps: &[usize], is_free: &[bool], from: usize) -> Vec<usize> {
    let mut came = vec![NONE; steps.len()];
    came[from] = from;
    let mut queue = std::collections::VecDeque::from([from]);
    let mut lowest = from;
    while let Some(cell) = queue.pop_front() {
        if steps[cell] < steps[lowest] {
            lowest = cell;
        }
        if steps[lowest] <= 1 {
            break;
        }
        for &next in &cells.list[cell].beside {
            if next != NONE && is_free[next] && came[next] == NONE {
                came[next] = cell;
                queue.push_back(next);
            }
        }
    }
    let mut way = Vec::new();
    while lowest != from {
        way.push(lowest);
        lowest = came[lowest];
    }
    way
}

/// Steps from the nearest of some cells; [`NONE`] where there is no way.
#[must_use]
pub fn steps_from(cells: &Cells, from: &[usize]) -> Vec<usize> {
    let mut steps = vec![NONE; cells.list.len()];
    let mut queue: std::collections::VecDeque<usize> = from.iter().copied().collect();
    for &cell in from {
        steps[cell] = 0;
    }
    while let Some(cell) = queue.pop_front() {
        for &next in &cells.list[cell].beside {
            if next != NONE && steps[next] == NONE {
                steps[next] = steps[cell] + 1;
                queue.push_back(next);
            }
        }
    }
    steps
}

/// Paths from the roots, no two through one cell (augmenting paths over cells split into an entry
/// and an exit): as many as can be to a cell of the first choice, the others to one of the second.
fn disjoint_paths(cells: &Cells, roots: &[usize], [seeds, others]: [&[usize]; 2]) -> Option<Ways> {
    let count = cells.list.len();
    // onward[c]: where the path through c goes; coming[c]: where it comes from.
    let (mut onward, mut coming) = (vec![NONE; count], vec![NONE; count]);
    let mut used = vec![false; count];
    let mut ended = vec![false; count];
    let mut is_root = vec![false; count];
    for &root in roots {
        is_root[root] = true;
    }
    let mut is_seed = vec![false; count];
    for &seed in seeds {
        is_seed[seed] = true;
    }
    let mut waiting: std::collections::VecDeque<usize> = roots.iter().copied().collect();
    let mut tries = roots.len();
    let mut shut_in = 0;
    while let Some(root) = waiting.pop_front() {
        if used[root] {
            return None;
        }
        if tries == 0 {
            for &seed in others {
                is_seed[seed] = true;
            }
        }
        // States: 2c the entry of c, 2c+1 its exit. An occupied cell may only be entered by
        // pushing back the path that goes through it.
        let mut from = vec![NONE; 2 * count];
        let mut queue = std::collections::VecDeque::from([2 * root + 1]);
        from[2 * root + 1] = 2 * root + 1;
        let mut end = NONE;
        while let Some(state) = queue.pop_front() {
            let cell = state / 2;
            if state % 2 == 1 {
                if is_seed[cell] && !ended[cell] {
                    end = state;
                    break;
                }
                for &next in &cells.list[cell].beside {
                    if next == NONE || onward[cell] == next || is_root[next] {
                        continue;
                    }
                    if from[2 * next] == NONE {
                        from[2 * next] = state;
                        queue.push_back(2 * next);
                    }
                }
                // Undo the passage through this cell: back to its entry.
                if used[cell] && from[2 * cell] == NONE && !is_root[cell] {
                    from[2 * cell] = state;
                    queue.push_back(2 * cell);
                }
            } else if used[cell] {
                let previous = coming[cell];
                if previous != NONE && from[2 * previous + 1] == NONE {
                    from[2 * previous + 1] = state;
                    queue.push_back(2 * previous + 1);
                }
            } else if from[2 * cell + 1] == NONE {
                from[2 * cell + 1] = state;
                queue.push_back(2 * cell + 1);
            }
        }
        let is_first_try = tries > 0;
        tries = tries.saturating_sub(1);
        if end == NONE && is_first_try {
            shut_in += 1;
            waiting.push_back(root);
            continue;
        }
        if end == NONE {
            return None;
        }
        augment(&from, end, root, (&mut onward, &mut coming, &mut used, &mut ended));
    }
    let path = |&root: &usize| {
        let mut path = vec![root];
        let mut cell = root;
        while onward[cell] != NONE && path.len() <= count {
            cell = onward[cell];
            path.push(cell);
        }
        path
    };
    Some(Ways { paths: roots.iter().map(path).collect(), shut_in })
}

type Marks<'a> = (&'a mut Vec<usize>, &'a mut Vec<usize>, &'a mut Vec<bool>, &'a mut Vec<bool>);

fn augment(from: &[usize], end: usize, root: usize, marks: Marks) {
    let (onward, coming, used, ended) = marks;
    ended[end / 2] = true;
    let mut states = vec![end];
    let mut state = end;
    while from[state] != state {
        state = from[state];
        states.push(state);
    }
    states.reverse();
    used[root] = true;
    let mut added = Vec::new();
    let mut removed = Vec::new();
    let mut freed = Vec::new();
    for pair in states.windows(2) {
        let (a, b) = (pair[0], pair[1]);
        let (cell_a, cell_b) = (a / 2, b / 2);
        if cell_a == cell_b {
            if a % 2 == 1 {
                freed.push(cell_a);
            }
        } else if a % 2 == 1 {
            added.push((cell_a, cell_b));
        } else {
            removed.push((cell_b, cell_a));
        }
    }
    for (a, b) in removed {
        if onward[a] == b {
            onward[a] = NONE;
        }
        if coming[b] == a {
            coming[b] = NONE;
        }
    }
    for &cell in &freed {
        used[cell] = false;
    }
    for (a, b) in added {
        onward[a] = b;
        coming[b] = a;
        used[a] = true;
        used[b] = true;
    }
}

/// Anneals a division for `steps` steps, starting at heat `start` (1 for a new division, less to
/// touch up an old one).
///
/// # Errors
/// [`Cancelled`] when nobody waits for it any more.
pub fn anneal(
    shares: &Shares,
    owners: &mut Owners,
    (steps, start): (usize, f64),
    dice: &mut Dice,
    cancel: &Cancel,
) -> Result<(), Cancelled> {
    let mut table = Table::new(shares, owners);
    if shares.roots.len() < 2 || table.movable.is_empty() {
        return Ok(());
    }
    for step in 0..steps {
        if step % 1024 == 0 && cancel.is_raised() {
            return Err(Cancelled);
        }
        let done = step as f64 / steps as f64;
        let left = 1.0 - done;
        let heat = 3.0 * start * left * left.sqrt() + 0.02;
        let corner_weight =
            if start < 1.0 { 0.9 } else { 0.9 * ((done - 0.35) / 0.4).clamp(0.0, 1.0) };
        let cell = table.movable[dice.below(table.movable.len())];
        let to = shares.cells.list[cell].beside[dice.below(4)];
        if to == NONE || owners[to] == NONE || owners[to] == owners[cell] {
            continue;
        }
        let (old, new) = (owners[cell], owners[to]);
        let change = table.change(owners, cell, new, corner_weight);
        let luck = dice.share();
        if change > 0.0 && luck >= crate::units::exact_math::exp(-change / heat) {
            continue;
        }
        if !table.stays_whole(owners, cell) {
            continue;
        }
        owners[cell] = new;
        let tube = shares.cells.list[cell].tube;
        table.sizes[old] -= tube;
        table.sizes[new] += tube;
    }
    Ok(())
}

/// What annealing keeps up to date.
struct Table<'a> {
    shares: &'a Shares<'a>,
    sizes: Vec<f64>,
    movable: Vec<usize>,
    /// The eight cells round each cell, counter-clockwise from the east.
    round: Vec<[usize; 8]>,
}

impl<'a> Table<'a> {
    fn new(shares: &'a Shares<'a>, owners: &Owners) -> Self {
        let cells = shares.cells;
        let mut sizes = vec![0.0; shares.roots.len()];
        for (cell, &owner) in owners.iter().enumerate() {
            if owner != NONE {
                sizes[owner] += cells.list[cell].tube;
            }
        }
        let mut is_root = vec![false; cells.list.len()];
        for &root in shares.roots {
            is_root[root] = true;
        }
        let movable =
            (0..cells.list.len()).filter(|&cell| owners[cell] != NONE && !is_root[cell]).collect();
        let around = [(1, 0), (1, 1), (0, 1), (-1, 1), (-1, 0), (-1, -1), (0, -1), (1, -1)];
        let round = cells
            .list
            .iter()
            .map(|cell| {
                around.map(|(dx, dy): (isize, isize)| {
                    let column = cell.at.0.checked_add_signed(dx);
                    let row = cell.at.1.checked_add_signed(dy);
                    column.zip(row).and_then(|(column, row)| cells.at(column, row)).unwrap_or(NONE)
                })
            })
            .collect();
        Self { shares, sizes, movable, round }
    }

    fn owner(owners: &Owners, cell: usize) -> usize {
        if cell == NONE { NONE } else { owners[cell] }
    }

    fn change(&self, owners: &Owners, cell: usize, new: usize, corner_weight: f64) -> f64 {
        let (old, shares) = (owners[cell], self.shares);
        let tube = shares.cells.list[cell].tube / shares.usual;
        let over = |part: usize| (self.sizes[part] - shares.targets[part]) / shares.usual;
        let size = 2.0 * tube * (over(new) - over(old)) + 2.0 * tube * tube;
        let mut border = 0.0;
        for &next in &shares.cells.list[cell].beside {
            let owner = Self::owner(owners, next);
            if owner == old {
                border += 1.0;
            } else if owner == new {
                border -= 1.0;
            }
        }
        let mut corners = 0.0;
        if corner_weight > 0.0 {
            let ring = self.round[cell].map(|cell| Self::owner(owners, cell));
            for quarter in 0..4 {
                let (a, b, c) =
                    (ring[2 * quarter], ring[2 * quarter + 1], ring[(2 * quarter + 2) % 8]);
                corners += corner(new, a, b, c) - corner(old, a, b, c);
            }
        }
        0.25 * size + 0.6 * border + corner_weight * corners
    }

    /// Whether the part that a cell leaves stays in one piece, judged by the eight cells round it.
    fn stays_whole(&self, owners: &Owners, cell: usize) -> bool {
        let list = &self.shares.cells.list;
        let own = owners[cell];
        let round = &self.round[cell];
        let is_own = |at: usize| round[at] != NONE && owners[round[at]] == own;
        // Joined through the diagonal cell between two neighbours.
        let mut groups = 0;
        let mut any = false;
        for quarter in 0..4 {
            let side = 2 * quarter;
            if !is_own(side) || list[cell].beside[quarter] == NONE {
                continue;
            }
            any = true;
            let (diagonal, next) = (side + 1, (side + 2) % 8);
            let joined = is_own(diagonal)
                && is_own(next)
                && list[cell].beside[(quarter + 1) % 4] != NONE
                && list[round[side]].beside.contains(&round[diagonal])
                && list[round[diagonal]].beside.contains(&round[next]);
            if !joined {
                groups += 1;
            }
        }
        any && groups <= 1
    }
}

/// 1 where four cells round a point are neither all of one part nor split straight.
fn corner(own: usize, beside: usize, opposite: usize, other: usize) -> f64 {
    let is_even = (own == beside && opposite == other) || (own == other && opposite == beside);
    f64::from(u8::from(!is_even))
}
