//! Shapes of fans that are tried: how many circuits go to each hand, and how they leave the ports.

use crate::tube::fan::{FanShape, Wing};

/// How far leaders go along a wall through a neck, columns.
const NECKS: [usize; 7] = [2, 4, 7, 10, 14, 19, 25];
/// How far a bus may run before the first circuit leaves it, rows.
const BEFORE: [usize; 10] = [0, 1, 2, 3, 5, 8, 12, 18, 26, 36];

/// Fan shapes to try at a step of the search, round the best one so far.
pub(super) fn shapes(count: usize, step: usize, around: Option<&FanShape>) -> Vec<FanShape> {
    let ways = |before: usize| {
        let (ahead, wall) = (Wing::Ahead(before), Wing::AlongWall(before));
        let both = Wing::Both(before);
        [
            (&ahead, &ahead),
            (&ahead, &wall),
            (&wall, &ahead),
            (&wall, &wall),
            (&both, &both),
            (&ahead, &both),
            (&both, &ahead),
            (&wall, &both),
            (&both, &wall),
        ]
        .map(|(left, right)| (left.clone(), right.clone()))
    };
    let with = |to_left: usize, (left, right): &(Wing, Wing)| FanShape {
        to_left,
        left: left.clone(),
        right: right.clone(),
    };
    let hands = || around.map_or_else(|| splits(count), |shape| vec![shape.to_left]);
    let mut found = Vec::new();
    match (step, around) {
        (0, _) => {
            for to_left in splits(count) {
                found.push(with(to_left, &(Wing::Ahead(0), Wing::Ahead(0))));
            }
        }
        (1, _) => {
            for ways in ways(0) {
                found.extend(hands().iter().map(|&to_left| with(to_left, &ways)));
            }
        }
        (_, Some(best)) => {
            let to_left = best.to_left;
            for before in BEFORE {
                let (left, right) = (best.left.after(before), best.right.after(before));
                let one_hand = [
                    (left.clone(), right.clone()),
                    (left, best.right.clone()),
                    (best.left.clone(), right),
                ];
                found.extend(one_hand.iter().map(|ways| with(to_left, ways)));
            }
            for to_left in [to_left + 1, to_left.saturating_sub(1)] {
                let to_left = to_left.min(count);
                found.push(FanShape { to_left, ..best.clone() });
            }
        }
        (_, None) => {
            for before in BEFORE {
                for ways in ways(before) {
                    found.extend(hands().iter().map(|&to_left| with(to_left, &ways)));
                }
            }
        }
    }
    // A hand that no circuit goes to has one shape only.
    for shape in &mut found {
        if shape.to_left == 0 {
            shape.left = Wing::Ahead(0);
        }
        if shape.to_left == count {
            shape.right = Wing::Ahead(0);
        }
    }
    found
}

/// How many circuits may go to the left, the most even splits first.
fn splits(count: usize) -> Vec<usize> {
    let half = count / 2;
    let mut splits = vec![half, count - half];
    for share in 1..=8 {
        let apart = (half * share).div_ceil(8);
        splits.extend([half - apart, count - half + apart]);
    }
    let mut seen = std::collections::BTreeSet::new();
    splits.retain(|&to_left| seen.insert(to_left));
    splits
}

/// Fans of which a part goes along the wall to one hand, the rest ahead to the other.
pub(super) fn through_necks(count: usize) -> Vec<FanShape> {
    let mut found = Vec::new();
    for before in NECKS {
        for eighths in [8, 6, 4] {
            let along = (count * eighths).div_ceil(8);
            let (wall, ahead) = (Wing::AlongWall(before), Wing::Ahead(0));
            let to_left = count - along;
            found.push(FanShape { to_left: along, left: wall.clone(), right: ahead.clone() });
            found.push(FanShape { to_left, left: ahead, right: wall });
        }
    }
    found
}

/// Fans a little different from one.
pub(super) fn neighbours(shape: &FanShape, count: usize) -> Vec<FanShape> {
    let mut found = Vec::new();
    for to_left in [1, 2]
        .into_iter()
        .flat_map(|by| [shape.to_left.saturating_sub(by), (shape.to_left + by).min(count)])
    {
        found.push(FanShape { to_left, ..shape.clone() });
    }
    for by in [1, 2] {
        for is_farther in [true, false] {
            let other = |wing: &Wing| wing.moved(by, is_farther);
            found.push(FanShape { left: other(&shape.left), ..shape.clone() });
            found.push(FanShape { right: other(&shape.right), ..shape.clone() });
        }
    }
    for wing in [Wing::AlongWall(0), Wing::Both(0), Wing::Ahead(0)] {
        if !matches!(shape.left, Wing::AlongWall(1..)) {
            found.push(FanShape { left: wing.clone(), ..shape.clone() });
        }
        if !matches!(shape.right, Wing::AlongWall(1..)) {
            found.push(FanShape { right: wing, ..shape.clone() });
        }
    }
    found
}
