//! A floor of cells shared out among circuits: connected parts of about equal length, each with
//! the root that its leaders reach.
//!
//! Start: paths from the roots to seeds spread over the floor that share no cell (a flow of unit
//! capacity), grown cell by cell, the shortest part first. Then annealing: cells at borders change
//! sides while all parts stay in one piece.

#![expect(
    clippy::indexing_slicing,
    reason = "cell and part numbers come from this file's own loops over the same vectors"
)]

mod anneal;
mod runs;

pub use anneal::{Pushing, anneal, push_apart};

use super::cells::{Cells, NONE};

/// Which part each cell belongs to; [`NONE`] for cells out of reach.
pub type Owners = Vec<usize>;

/// The part that a cell belongs to; [`NONE`] where there is no cell.
fn owner(owners: &Owners, cell: usize) -> usize {
    owners.get(cell).map_or(NONE, |&owner| owner)
}

/// The task of sharing out.
#[derive(Clone, Debug)]
pub struct Shares<'a> {
    /// The floor.
    pub cells: &'a Cells,
    /// The root cell of each part.
    pub roots: &'a [usize],
    /// The sides of each cell at which no run should end, a bit for each heading: a bulb would have
    /// no room.
    pub bad_tips: &'a [u8],
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
        let free = cells.beside(cell).iter().copied().find(|&n| n != NONE && owners[n] == NONE);
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
            for next in cells.beside(cell) {
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
        for next in cells.beside(cell) {
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
        for next in cells.beside(cell) {
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
                for next in cells.beside(cell) {
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
