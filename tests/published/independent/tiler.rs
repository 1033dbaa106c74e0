//! A plain check of a foam layout, by scan lines and distances: it shares no code with the layout.

use slabloom_core::foam::FoamLayout;
use slabloom_core::geometry::Point;

/// Where a horizontal line crosses the rings, sorted: the inside lies between pairs.
fn crossings<'a>(rings: impl Iterator<Item = &'a Vec<Point>>, y: f64) -> Vec<f64> {
    let mut xs = Vec::new();
    for ring in rings {
        for (index, a) in ring.iter().enumerate() {
            let b = &ring[(index + 1) % ring.len()];
            if (a.y > y) != (b.y > y) {
                xs.push(a.x + (b.x - a.x) * (y - a.y) / (b.y - a.y));
            }
        }
    }
    xs.sort_by(f64::total_cmp);
    xs
}

/// Heights at odd places between the lowest and the highest.
fn heights(low: f64, high: f64, count: usize) -> impl Iterator<Item = f64> {
    (0..count).map(move |i| low + (high - low) * (i as f64 + 0.381_966) / count as f64)
}

/// Area of a ring, positive counter-clockwise.
pub fn area(ring: &[Point]) -> f64 {
    (0..ring.len())
        .map(|i| {
            let (a, b) = (ring[i], ring[(i + 1) % ring.len()]);
            (a.x * b.y - b.x * a.y) / 2.0
        })
        .sum()
}

/// Floor pieces tile the region: areas add up, and no scan line meets a gap or an overlap.
pub fn tiling_faults(layout: &FoamLayout) -> Vec<String> {
    let mut faults = Vec::new();
    let pieces: f64 = layout.pieces.iter().map(|piece| area(&piece.outline)).sum();
    let region: f64 = layout
        .region
        .iter()
        .map(|part| area(&part.outer) + part.holes.iter().map(|hole| area(hole)).sum::<f64>())
        .sum();
    if (pieces - region).abs() > 0.01 * 144.0 {
        faults.push(format!("pieces have {pieces:.3} in2, the region {region:.3}"));
    }
    let ys = || layout.region.iter().flat_map(|part| &part.outer).map(|p| p.y);
    let (low, high) = (ys().fold(f64::MAX, f64::min), ys().fold(f64::MIN, f64::max));
    for y in heights(low, high, 211) {
        let wanted = crossings(
            layout.region.iter().flat_map(|part| std::iter::once(&part.outer).chain(&part.holes)),
            y,
        );
        let mut spans: Vec<(f64, f64)> = Vec::new();
        for piece in &layout.pieces {
            let xs = crossings(std::iter::once(&piece.outline), y);
            spans.extend(xs.chunks(2).map(|pair| (pair[0], pair[1])));
        }
        spans.sort_by(|a, b| a.0.total_cmp(&b.0));
        let mut merged: Vec<(f64, f64)> = Vec::new();
        for span in spans.into_iter().filter(|span| span.1 - span.0 > 1e-7) {
            match merged.last_mut() {
                Some(last) if span.0 < last.1 - 0.002 => {
                    faults.push(format!("overlap at ({:.3}, {y:.3})", span.0));
                    last.1 = last.1.max(span.1);
                }
                Some(last) if span.0 < last.1 + 0.002 => last.1 = span.1,
                _ => merged.push(span),
            }
        }
        let ends: Vec<f64> = merged.iter().flat_map(|span| [span.0, span.1]).collect();
        // A sliver thinner than a hair may be cut by one and missed by the other.
        let is_same = ends.len() == wanted.len()
            && ends.iter().zip(&wanted).all(|(a, b)| (a - b).abs() < 0.01);
        if !is_same {
            faults.push(format!("at y {y:.3} covered {ends:?}, wanted {wanted:?}"));
        }
    }
    faults.truncate(5);
    faults
}

/// Every piece is a turned and shifted image of its outline on the board; outlines on a board
/// stay inside it and apart by the kerf.
pub fn board_faults(layout: &FoamLayout, kerf: f64) -> Vec<String> {
    let mut faults = Vec::new();
    let (length, width) =
        (layout.board_length.max(layout.board_width), layout.board_length.min(layout.board_width));
    let mut boards: Vec<Vec<&Vec<Point>>> = vec![Vec::new(); layout.boards as usize];
    for piece in &layout.pieces {
        let (plan, board) = (&piece.outline, &piece.on_board);
        if plan.len() != board.len() || area(plan) <= 0.0 || area(board) <= 0.0 {
            faults.push(format!("piece {}: unlike outlines", piece.number));
            continue;
        }
        for i in 0..plan.len() {
            for j in 0..i {
                if (plan[i].distance(plan[j]) - board[i].distance(board[j])).abs() > 1e-4 {
                    faults.push(format!("piece {}: not rigid", piece.number));
                }
            }
        }
        let inside = |p: &Point| {
            (-1e-4..=length + 1e-4).contains(&p.x) && (-1e-4..=width + 1e-4).contains(&p.y)
        };
        if !board.iter().all(inside) {
            faults.push(format!("piece {}: off its board", piece.number));
        }
        match boards.get_mut(piece.board as usize) {
            Some(list) => list.push(board),
            None => faults.push(format!("piece {}: no such board", piece.number)),
        }
    }
    for (number, pieces) in boards.iter().enumerate() {
        if pieces.is_empty() {
            faults.push(format!("board {number} is bought for nothing"));
        }
        for y in heights(0.0, width, 37) {
            let mut spans: Vec<(f64, f64)> = pieces
                .iter()
                .flat_map(|ring| {
                    let xs = crossings(std::iter::once(*ring), y);
                    xs.chunks(2).map(|pair| (pair[0], pair[1])).collect::<Vec<_>>()
                })
                .collect();
            spans.sort_by(|a, b| a.0.total_cmp(&b.0));
            if spans.windows(2).any(|pair| pair[1].0 < pair[0].1 + kerf - 1e-3) {
                faults.push(format!("board {number}: pieces closer than the kerf at {y:.2}"));
            }
        }
    }
    faults.truncate(5);
    faults
}

/// End seams of neighbouring courses nearer than `stagger` and not named by the layout.
pub fn stagger_faults(layout: &FoamLayout, stagger: f64) -> Vec<String> {
    let (sin, cos) = (layout.direction.sin(), layout.direction.cos());
    let turned = |p: &Point| Point::new(cos * p.x + sin * p.y, cos * p.y - sin * p.x);
    let pieces: Vec<(u32, Vec<Point>)> = layout
        .pieces
        .iter()
        .map(|piece| (piece.course, piece.outline.iter().map(turned).collect()))
        .collect();
    // A seam: where a piece has a side across the course at the same place as another's.
    let mut seams: Vec<(u32, f64, f64, f64)> = Vec::new();
    let upright = |ring: &[Point]| -> Vec<(f64, f64, f64)> {
        (0..ring.len())
            .filter_map(|i| {
                let (a, b) = (ring[i], ring[(i + 1) % ring.len()]);
                ((a.x - b.x).abs() < 0.01 && (a.y - b.y).abs() > 0.1)
                    .then(|| (a.x, a.y.min(b.y), a.y.max(b.y)))
            })
            .collect()
    };
    for (i, (course, ring)) in pieces.iter().enumerate() {
        for (other, next) in &pieces[..i] {
            if course != other {
                continue;
            }
            for (x, low, high) in upright(ring) {
                for (nx, nlow, nhigh) in upright(next) {
                    let (l, h) = (low.max(nlow), high.min(nhigh));
                    if (x - nx).abs() < 0.01 && h - l > 0.1 {
                        seams.push((*course, x, l, h));
                    }
                }
            }
        }
    }
    let mut faults = Vec::new();
    for (course, x, _, high) in &seams {
        for (next, nx, low, _) in &seams {
            let meets = *next == course + 1 && (high - low).abs() < 0.05;
            if meets && (x - nx).abs() < stagger - 0.02 {
                let named = layout
                    .close_seams
                    .iter()
                    .map(turned)
                    .any(|p| (p.x - (x + nx) / 2.0).abs() < 0.5 && (p.y - high).abs() < 0.5);
                if !named {
                    faults.push(format!("seams at {x:.2} and {nx:.2} of course {course}"));
                }
            }
        }
    }
    faults
}
