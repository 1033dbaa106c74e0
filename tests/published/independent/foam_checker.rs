//! A checker of foam that reads the results as JSON and nothing else, by scan lines and
//! distances: it shares no code and no types with the layout.
//!
//! It holds that floor pieces tile the layer's area, that every piece is a turned and shifted
//! image of its outline on the board with its holes, that outlines on a board stay inside it, keep
//! the kerf and come apart with straight cuts from edge to edge, and that the stagger is kept or a
//! finding stands at the place where it is not.

use serde_json::Value;

/// A point in the plan or on a board, inches.
type At = (f64, f64);
/// A ring of points.
type Ring = Vec<At>;

/// A round pipe of the job: its axis and radius.
pub type Pipe = (At, f64);

/// Areas closer than this are the same, square inches: 0.01 ft2.
const AREA: f64 = 1.44;
/// Places nearer than this are the same, inches.
const PLACE: f64 = 2e-3;

/// Everything wrong with the foam of a results document, in words.
pub fn faults(document: &Value) -> Vec<String> {
    let mut faults = Vec::new();
    let foam = &document["foam"];
    let layers = foam["layers"].as_array().unwrap();
    for (number, layer) in layers.iter().enumerate() {
        let mut found = tiling(layer);
        found.extend(rigid(layer["pieces"].as_array().unwrap(), true));
        found.extend(stagger(layer, document["findings"].as_array().unwrap()));
        found.extend(counts(layer));
        let mut cut: Vec<&Value> = layer["pieces"].as_array().unwrap().iter().collect();
        let mut boards = layer["boards"].as_u64().unwrap();
        for (_, edge) in standing(foam) {
            if edge["layer"].as_u64() == Some(number as u64) {
                cut.extend(edge["pieces"].as_array().unwrap());
                boards += edge["boards"].as_u64().unwrap();
            }
        }
        found.extend(on_boards(&cut, layer, boards));
        faults.extend(found.into_iter().map(|fault| format!("layer {number}: {fault}")));
    }
    for (name, edge) in standing(foam) {
        let strips = edge["pieces"].as_array().unwrap();
        let mut found = rigid(strips, true);
        found.extend(strip_lengths(edge));
        if edge["layer"].is_null() && !strips.is_empty() {
            let cut: Vec<&Value> = strips.iter().collect();
            found.extend(on_boards(&cut, edge, edge["boards"].as_u64().unwrap()));
        }
        faults.extend(found.into_iter().map(|fault| format!("{name}: {fault}")));
    }
    faults
}

/// The foam that stands, with its name: along walls, and at doors where it is thinner there.
fn standing(foam: &Value) -> impl Iterator<Item = (&'static str, &Value)> {
    ["edge", "edge_at_doors"].into_iter().filter_map(|name| {
        let edge = &foam[name];
        (!edge.is_null()).then_some((name, edge))
    })
}

/// Pipes of the job that are not cut out of the floor's pieces as they should be: a pipe that
/// stands in a piece is a hole of it, one on a seam takes its share out of each, and nothing else
/// is a hole.
pub fn pipe_faults(document: &Value, pipes: &[Pipe]) -> Vec<String> {
    let mut faults = Vec::new();
    for (number, layer) in document["foam"]["layers"].as_array().unwrap().iter().enumerate() {
        let floor = || layer["pieces"].as_array().unwrap().iter();
        for piece in floor() {
            let outline = ring(&piece["outline_in"]);
            let holes = rings(&piece["holes_in"]);
            for hole in &holes {
                let stands_at =
                    |pipe: &&Pipe| hole.iter().all(|at| apart(*at, pipe.0) < pipe.1 * 1.02 + PLACE);
                if !pipes.iter().any(|pipe| stands_at(&pipe)) {
                    faults.push(format!(
                        "layer {number}: a hole in {} without pipe",
                        piece["number"]
                    ));
                }
            }
            for pipe in pipes.iter().filter(|pipe| is_all_inside(pipe, |at| holds(&outline, at))) {
                // All of it: pipes of a random house may stand in one another.
                let own =
                    |hole: &&Ring| hole.iter().all(|at| apart(*at, pipe.0) < pipe.1 * 1.02 + PLACE);
                let cut: f64 = holes.iter().filter(own).map(|hole| area(hole).abs()).sum();
                if (cut / (std::f64::consts::PI * pipe.1 * pipe.1) - 1.0).abs() > 0.05 {
                    let name = &piece["number"];
                    faults.push(format!(
                        "layer {number}: pipe {pipe:?} takes {cut:.2} in2 of {name}"
                    ));
                }
            }
        }
        // On seams: what all pieces give up is the pipe.
        let outlines: Vec<Ring> = floor().map(|piece| ring(&piece["outline_in"])).collect();
        let in_any = |at: At| outlines.iter().any(|outline| holds(outline, at));
        for pipe in pipes.iter().filter(|pipe| is_all_inside(pipe, in_any)) {
            let near =
                |hole: &Ring| hole.iter().all(|at| apart(*at, pipe.0) < pipe.1 * 1.02 + PLACE);
            let holes = floor().flat_map(|piece| rings(&piece["holes_in"]));
            let cut: f64 = holes.filter(near).map(|hole| area(&hole).abs()).sum();
            if (cut / (std::f64::consts::PI * pipe.1 * pipe.1) - 1.0).abs() > 0.05 {
                faults.push(format!(
                    "layer {number}: pipe {pipe:?} takes {cut:.2} in2 of all pieces"
                ));
            }
        }
    }
    faults
}

/// Whether the pipe's rim, and a little around it, lies inside.
fn is_all_inside(pipe: &Pipe, inside: impl Fn(At) -> bool) -> bool {
    (0..48).all(|step| {
        let (sin, cos) = (f64::from(step) * std::f64::consts::TAU / 48.0 + 0.01).sin_cos();
        let out = pipe.1 * 1.01;
        inside((pipe.0.0 + out * cos, pipe.0.1 + out * sin))
    })
}

/// Whether a place lies inside a ring.
fn holds(ring: &[At], at: At) -> bool {
    spans(std::iter::once(&ring.to_vec()), at.1).iter().any(|s| s.0 < at.0 && at.0 < s.1)
}

fn number(value: &Value) -> f64 {
    value.as_f64().unwrap()
}

fn ring(value: &Value) -> Ring {
    value.as_array().unwrap().iter().map(|at| (number(&at[0]), number(&at[1]))).collect()
}

fn rings(value: &Value) -> Vec<Ring> {
    value.as_array().unwrap().iter().map(ring).collect()
}

fn sides(ring: &[At]) -> impl Iterator<Item = (At, At)> + '_ {
    ring.iter().enumerate().map(|(index, at)| (*at, ring[(index + 1) % ring.len()]))
}

fn area(ring: &[At]) -> f64 {
    sides(ring).map(|(a, b)| (a.0 * b.1 - b.0 * a.1) / 2.0).sum()
}

fn apart(a: At, b: At) -> f64 {
    (a.0 - b.0).hypot(a.1 - b.1)
}

/// Spans of the inside of some rings on the level line at `y`.
fn spans<'a>(rings: impl Iterator<Item = &'a Ring>, y: f64) -> Vec<(f64, f64)> {
    let mut xs: Vec<f64> = rings
        .flat_map(|ring| sides(ring))
        .filter(|(a, b)| (a.1 > y) != (b.1 > y))
        .map(|(a, b)| a.0 + (b.0 - a.0) * (y - a.1) / (b.1 - a.1))
        .collect();
    xs.sort_by(f64::total_cmp);
    xs.chunks_exact(2).map(|pair| (pair[0], pair[1])).collect()
}

/// Sorted spans made into ones that do not overlap, and the length that was covered twice.
fn merged(mut all: Vec<(f64, f64)>) -> (Vec<(f64, f64)>, f64) {
    all.sort_by(|a, b| a.0.total_cmp(&b.0));
    let (mut kept, mut twice): (Vec<(f64, f64)>, f64) = (Vec::new(), 0.0);
    for span in all {
        match kept.last_mut() {
            Some(last) if span.0 <= last.1 => {
                twice += last.1.min(span.1) - span.0;
                last.1 = last.1.max(span.1);
            }
            _ => kept.push(span),
        }
    }
    (kept, twice)
}

/// Length that both have.
fn common(a: &[(f64, f64)], b: &[(f64, f64)]) -> f64 {
    a.iter().flat_map(|p| b.iter().map(|q| (p.1.min(q.1) - p.0.max(q.0)).max(0.0))).sum()
}

fn length(spans: &[(f64, f64)]) -> f64 {
    spans.iter().map(|span| span.1 - span.0).sum()
}

/// Gap, overlap and excess of pieces over a region, square inches: exact, since between the
/// heights of two corners every length is linear.
fn cover(region: &[Ring], pieces: &[Ring]) -> (f64, f64, f64) {
    let mut levels: Vec<f64> = region.iter().chain(pieces).flatten().map(|at| at.1).collect();
    levels.sort_by(f64::total_cmp);
    levels.dedup_by(|b, a| *b - *a < 1e-7);
    let (mut gap, mut overlap, mut excess) = (0.0, 0.0, 0.0);
    for pair in levels.windows(2) {
        let (y, step) = (f64::midpoint(pair[0], pair[1]), pair[1] - pair[0]);
        let wanted = spans(region.iter(), y);
        let all = pieces.iter().flat_map(|piece| spans(std::iter::once(piece), y)).collect();
        let (covered, twice) = merged(all);
        let both = common(&wanted, &covered);
        gap += (length(&wanted) - both) * step;
        excess += (length(&covered) - both) * step;
        overlap += twice * step;
    }
    (gap, overlap, excess)
}

fn is_floor(piece: &Value) -> bool {
    piece["surface"] == "floor"
}

fn tiling(layer: &Value) -> Vec<String> {
    let pieces = layer["pieces"].as_array().unwrap();
    let mut region: Vec<Ring> = Vec::new();
    for part in layer["area_in"].as_array().unwrap() {
        region.push(ring(&part["outline_in"]));
        region.extend(rings(&part["holes_in"]));
    }
    let floor: Vec<Ring> =
        pieces.iter().filter(|p| is_floor(p)).map(|piece| ring(&piece["outline_in"])).collect();
    let (gap, overlap, excess) = cover(&region, &floor);
    let mut faults = Vec::new();
    for (what, size) in [("gaps", gap), ("overlaps", overlap), ("beyond the floor", excess)] {
        // Slivers of seven places of rounding along every seam are no fault.
        if size > AREA / 4.0 {
            faults.push(format!("{what} of {size:.3} in2"));
        }
    }
    // Pieces under thickened parts overlap nothing in plan.
    let all: Vec<Ring> = pieces.iter().map(|piece| ring(&piece["outline_in"])).collect();
    let (_, overlap, _) = cover(&[], &all);
    if overlap > AREA {
        faults.push(format!("all pieces overlap by {overlap:.3} in2"));
    }
    // Every surface in its true size adds up to the area said.
    let truly: f64 = pieces.iter().map(|piece| area(&true_outline(piece))).sum();
    let said = number(&layer["area_ft2"]) * 144.0;
    if (truly - said).abs() > AREA {
        faults.push(format!("pieces of {truly:.2} in2, {said:.2} said"));
    }
    faults
}

/// The outline in true size: what lies on a slope is foreshortened in plan.
fn true_outline(piece: &Value) -> Ring {
    ring(if piece["face_in"].is_null() { &piece["outline_in"] } else { &piece["face_in"] })
}

/// Each outline is a turned and shifted image of the one on the board, never turned over.
fn rigid(pieces: &[Value], is_exact: bool) -> Vec<String> {
    let mut faults = Vec::new();
    let slack = if is_exact { PLACE } else { 0.02 };
    for piece in pieces {
        let name = &piece["number"];
        let (mut plan, mut board) = (true_outline(piece), ring(&piece["on_board_in"]));
        if plan.len() != board.len() || plan.len() < 3 {
            faults.push(format!("piece {name}: {} corners for {}", plan.len(), board.len()));
            continue;
        }
        if area(&plan) <= 0.0 || area(&board) <= 0.0 {
            faults.push(format!("piece {name}: clockwise or empty"));
        }
        if piece["surface"] != "slope" && piece["surface"] != "edge" {
            let (holes, cut) = (rings(&piece["holes_in"]), rings(&piece["holes_on_board_in"]));
            if holes.len() != cut.len() {
                faults.push(format!("piece {name}: {} holes for {}", holes.len(), cut.len()));
            }
            plan.extend(holes.into_iter().flatten());
            board.extend(cut.into_iter().flatten());
        }
        let is_off = plan.len() != board.len()
            || (0..plan.len()).any(|i| {
                (0..i).any(|j| (apart(plan[i], plan[j]) - apart(board[i], board[j])).abs() > slack)
            });
        if is_off {
            faults.push(format!("piece {name}: not the same shape on the board"));
        }
    }
    faults
}

fn counts(layer: &Value) -> Vec<String> {
    let mut faults = Vec::new();
    let (boards, bound) = (layer["boards"].as_u64().unwrap(), layer["bound"].as_u64().unwrap());
    if bound > boards {
        faults.push(format!("bound {bound} over {boards} boards"));
    }
    for (place, piece) in layer["pieces"].as_array().unwrap().iter().enumerate() {
        if piece["number"].as_u64() != Some(place as u64 + 1) {
            faults.push(format!("piece at {place} has number {}", piece["number"]));
        }
    }
    faults
}

/// What the strips of a side add up to.
fn strip_lengths(edge: &Value) -> Vec<String> {
    let mut faults = Vec::new();
    for (index, strip) in edge["strips"].as_array().unwrap().iter().enumerate() {
        let cut: f64 = edge["pieces"]
            .as_array()
            .unwrap()
            .iter()
            .filter(|piece| piece["strip"].as_u64() == Some(index as u64))
            .map(|piece| area(&ring(&piece["on_board_in"])))
            .sum();
        let asked = number(&strip["length_ft"]) * 12.0 * number(&strip["height_in"]);
        if (cut - asked).abs() > AREA / 10.0 {
            faults.push(format!("strip {index}: {cut:.2} in2 cut for {asked:.2}"));
        }
    }
    faults
}

fn on_boards(cut: &[&Value], layer: &Value, count: u64) -> Vec<String> {
    let mut faults = Vec::new();
    let size = ring_of_board(layer);
    let kerf = number(&layer["kerf_in"]);
    let mut boards: Vec<Vec<Ring>> = vec![Vec::new(); usize::try_from(count).unwrap()];
    for piece in cut {
        let outline = ring(&piece["on_board_in"]);
        let inside = |at: &At| {
            (-1e-4..=size.0 + 1e-4).contains(&at.0) && (-1e-4..=size.1 + 1e-4).contains(&at.1)
        };
        if !outline.iter().all(inside) {
            faults.push(format!("piece {} stands over its board", piece["number"]));
        }
        match boards.get_mut(usize::try_from(piece["board"].as_u64().unwrap()).unwrap()) {
            Some(board) => board.push(outline),
            None => faults.push(format!("piece {} is cut from no board", piece["number"])),
        }
    }
    for (number, pieces) in boards.iter().enumerate() {
        if pieces.is_empty() {
            faults.push(format!("board {number} is bought for nothing"));
        }
        let (_, overlap, _) = cover(&[], pieces);
        if overlap > 0.05 {
            faults.push(format!("board {number}: pieces overlap by {overlap:.3} in2"));
        }
        for (i, a) in pieces.iter().enumerate() {
            for b in &pieces[..i] {
                let gap = clear_between(a, b);
                if gap < kerf - PLACE {
                    faults.push(format!("board {number}: {gap:.4} in between pieces"));
                }
            }
        }
        let hulls: Vec<Ring> = pieces.iter().map(|piece| hull(piece)).collect();
        if !comes_apart(&hulls, kerf) {
            faults.push(format!("board {number}: no straight cuts part {hulls:?}"));
        }
    }
    faults
}

/// Length and width of a board.
fn ring_of_board(layer: &Value) -> At {
    (number(&layer["board_in"][1]), number(&layer["board_in"][0]))
}

/// The least distance between two rings that do not overlap.
fn clear_between(a: &[At], b: &[At]) -> f64 {
    let from_side = |at: At, (from, to): (At, At)| {
        let (dx, dy) = (to.0 - from.0, to.1 - from.1);
        let long = dx * dx + dy * dy;
        let share = ((at.0 - from.0) * dx + (at.1 - from.1) * dy) / long.max(1e-12);
        let share = share.clamp(0.0, 1.0);
        apart(at, (from.0 + dx * share, from.1 + dy * share))
    };
    let one_way = |a: &[At], b: &[At]| {
        a.iter()
            .flat_map(|at| sides(b).map(move |side| from_side(*at, side)))
            .fold(f64::INFINITY, f64::min)
    };
    one_way(a, b).min(one_way(b, a))
}

fn hull(ring: &[At]) -> Ring {
    let mut sorted = ring.to_vec();
    sorted.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.total_cmp(&b.1)));
    let half = |points: &mut dyn Iterator<Item = At>| {
        let mut kept: Ring = Vec::new();
        for at in points {
            while let [.., a, b] = kept.as_slice() {
                if (b.0 - a.0) * (at.1 - b.1) - (b.1 - a.1) * (at.0 - b.0) > 1e-9 {
                    break;
                }
                kept.pop();
            }
            kept.push(at);
        }
        kept.pop();
        kept
    };
    let mut kept = half(&mut sorted.iter().copied());
    kept.extend(half(&mut sorted.iter().rev().copied()));
    kept
}

/// Whether straight cuts from edge to edge, each eating the kerf, part the pieces.
fn comes_apart(pieces: &[Ring], kerf: f64) -> bool {
    if pieces.len() < 2 {
        return true;
    }
    for (from, to) in pieces.iter().flat_map(|ring| sides(ring)) {
        let long = apart(from, to);
        if long < 0.01 {
            continue;
        }
        // Left of the side is this piece; right of it lies what the cut takes off.
        let height = |at: &At| {
            ((to.0 - from.0) * (at.1 - from.1) - (to.1 - from.1) * (at.0 - from.0)) / long
        };
        let (mut left, mut right) = (Vec::new(), Vec::new());
        let parts = pieces.iter().all(|ring| {
            let (low, high) = ring
                .iter()
                .map(height)
                .fold((f64::INFINITY, f64::NEG_INFINITY), |(l, h), y| (l.min(y), h.max(y)));
            if low > -PLACE {
                left.push(ring.clone());
            } else if high < PLACE - kerf {
                right.push(ring.clone());
            } else {
                return false;
            }
            true
        });
        if parts && !right.is_empty() && comes_apart(&left, kerf) && comes_apart(&right, kerf) {
            return true;
        }
    }
    false
}

/// Seams along the courses: where one starts and ends, and how high.
fn level_seams(pieces: &[Ring]) -> Vec<(f64, f64, f64)> {
    let mut level: Vec<(f64, f64, f64, bool)> = pieces
        .iter()
        .flat_map(|ring| sides(ring))
        .filter(|(a, b)| (a.1 - b.1).abs() < 0.01 && (b.0 - a.0).abs() > 0.1)
        .map(|(a, b)| (a.1, a.0.min(b.0), a.0.max(b.0), b.0 > a.0))
        .collect();
    level.sort_by(|a, b| a.0.total_cmp(&b.0));
    let mut seams = Vec::new();
    for (index, a) in level.iter().enumerate() {
        for b in level[index + 1..].iter().take_while(|b| b.0 < a.0 + 0.01) {
            let (from, to) = (a.1.max(b.1), a.2.min(b.2));
            if a.3 != b.3 && to - from > 0.1 {
                seams.push((from, to, a.0));
            }
        }
    }
    seams
}

/// End seams that meet one course line nearer than the stagger without a finding there.
fn stagger(layer: &Value, findings: &[Value]) -> Vec<String> {
    let asked = number(&layer["stagger_in"]);
    let turn = number(&layer["direction_deg"]).to_radians();
    let course =
        |at: At| (turn.cos() * at.0 + turn.sin() * at.1, turn.cos() * at.1 - turn.sin() * at.0);
    let pieces: Vec<Ring> = layer["pieces"]
        .as_array()
        .unwrap()
        .iter()
        .filter(|piece| is_floor(piece))
        .map(|piece| ring(&piece["outline_in"]).into_iter().map(course).collect())
        .collect();
    // Sides across the courses: place, lower and upper end, and on which side the foam lies.
    let mut across: Vec<(f64, f64, f64, bool)> = Vec::new();
    for (a, b) in pieces.iter().flat_map(|ring| sides(ring)) {
        if (a.0 - b.0).abs() < 0.01 && (a.1 - b.1).abs() > 0.1 {
            across.push((a.0, a.1.min(b.1), a.1.max(b.1), b.1 > a.1));
        }
    }
    across.sort_by(|a, b| a.0.total_cmp(&b.0));
    let mut seams: Vec<(f64, f64, f64)> = Vec::new();
    for (index, a) in across.iter().enumerate() {
        for b in across[index + 1..].iter().take_while(|b| b.0 < a.0 + 0.01) {
            let (low, high) = (a.1.max(b.1), a.2.min(b.2));
            if a.3 != b.3 && high - low > 0.1 {
                seams.push((a.0, low, high));
            }
        }
    }
    let level = level_seams(&pieces);
    let flagged: Vec<At> = findings
        .iter()
        .filter(|finding| finding["rule"] == "foam.close-seams" && !finding["at_in"].is_null())
        .map(|finding| course((number(&finding["at_in"][0]), number(&finding["at_in"][1]))))
        .collect();
    let mut faults = Vec::new();
    for (index, a) in seams.iter().enumerate() {
        for b in seams[index + 1..].iter().take_while(|b| b.0 < a.0 + asked - 0.02) {
            let line = if (a.2 - b.1).abs() < 0.05 {
                a.2
            } else if (b.2 - a.1).abs() < 0.05 {
                a.1
            } else {
                continue;
            };
            let middle = (f64::midpoint(a.0, b.0), line);
            // Without a seam along the courses there, one straight seam passes a wall's corner.
            let meets = |side: &(f64, f64, f64)| {
                (side.2 - line).abs() < 0.05 && side.0 < b.0 + 0.05 && side.1 > a.0 - 0.05
            };
            if level.iter().any(meets) && !flagged.iter().any(|at| apart(*at, middle) < 1.0) {
                faults.push(format!(
                    "end seams {:.2} in apart at {middle:.2?} in course axes, no finding there",
                    b.0 - a.0
                ));
            }
        }
    }
    faults
}
