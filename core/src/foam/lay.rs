//! One layer after the other: area, course axes to try, search, pieces.

use super::area::foam_area;
use super::bound::area_bound;
use super::course_lines::{Lines, lines_by_part, offsets};
use super::courses::Strip;
use super::edge_boards::{Strips, edge_strips};
use super::edge_rips::cut_strips;
use super::end_seams::{check_stagger, seams_over_seams};
use super::fill::{Stock, Task};
use super::frame::Frame;
use super::nest::{join_short_pieces, nest_again};
use super::offcuts::Offcut;
use super::pieces::{Placed, cut_holes, face_pieces, pieces_of, seam_length};
use super::search::{Layout, Wanted, few_boards, fill_freely, search};
use super::strength::{board_of, floor_share};
use super::under_edges::{Face, faces};
use super::{EdgeFoamTakeoff, Foam, FoamLayout, PieceSurface};
use crate::effort::{Budget, Cancel, Cancelled};
use crate::geometry::{Point, Polygon, Vector};
use crate::job::Job;
use crate::job::build_up::{CourseDirection, Coverage, FoamLayer};
use crate::plan::Plan;

/// Steps that the search for one layer may spend; see [`super::search`] for what one is.
const STEPS: u64 = 80_000;
/// Share of them for a layer beneath another, whose direction is given: in tenths.
const TENTHS_BENEATH: u64 = 8;
/// Directions tried at most.
const MOST_DIRECTIONS: usize = 6;
/// End seams of two layers stand this far apart where the boards allow, inches; common practice.
const MOST_APART: f64 = 12.0;
/// The smallest board that is still a board, inches.
const LEAST_BOARD: f64 = 4.0;

type Line = (Point, Point);

/// What the next layer must know of the one above: course axes, a course line, end seams.
struct Above {
    frame: Frame,
    line: f64,
    seams: Vec<Line>,
}

/// The surfaces of a layer, cut from the same boards.
#[derive(Default)]
struct Surfaces {
    floor: Option<Layout>,
    /// The faces under thickened parts.
    under: Option<Layout>,
}

impl Surfaces {
    /// The surface that was cut last, which has what is left of the boards.
    fn last(&self) -> Option<&Layout> {
        self.under.as_ref().or(self.floor.as_ref())
    }

    fn boards(&self) -> u32 {
        self.floor.iter().chain(&self.under).map(|layout| layout.filled.boards).sum()
    }

    fn all(&mut self) -> Vec<&mut Layout> {
        self.floor.iter_mut().chain(&mut self.under).collect()
    }
}

/// Lays every layer and the edge foam.
pub(super) fn lay_all(job: &Job, plan: &Plan, cancel: &Cancel) -> Result<Foam, Cancelled> {
    lay_within(job, plan, (STEPS, cancel))
}

/// The same within so many steps a layer.
pub(super) fn lay_within(
    job: &Job,
    plan: &Plan,
    (steps, cancel): (u64, &Cancel),
) -> Result<Foam, Cancelled> {
    let mut foam = Foam::default();
    let mut above: Option<Above> = None;
    let standing = edge_strips(job, plan);
    let mut donors: [Option<Donor>; 2] = [None, None];
    for (index, layer) in job.build_up.foam_layers.iter().enumerate() {
        let own = if above.is_some() { steps * TENTHS_BENEATH / 10 } else { steps };
        let (laid, surfaces) = lay_layer(job, plan, (layer, above.as_ref()), (own, cancel))?;
        for (donor, strips) in donors.iter_mut().zip(&standing) {
            let is_as_thick = (laid.thickness - strips.thickness).abs() < 1e-6;
            if let Some(last) = surfaces.last().filter(|_| is_as_thick && donor.is_none()) {
                let (stock, offcuts) = (last.task.stock, last.filled.pool.clone());
                *donor = Some(Donor { layer: index, stock, offcuts, boards: laid.boards });
            }
        }
        if let Some(layout) = &surfaces.floor {
            let line = layout.task.strips.first().map_or(0.0, |strip| strip.band.0);
            above = Some(Above { frame: layout.frame, line, seams: seams_of(layout) });
        }
        foam.layers.push(laid);
    }
    let [walls, doors] = standing;
    let [for_walls, for_doors] = donors;
    foam.edge = lay_standing(job, walls, for_walls, cancel)?;
    foam.edge_at_doors = lay_standing(job, doors, for_doors, cancel)?;
    count_bundles(job, &mut foam);
    Ok(foam)
}

/// The layer that strips are cut from, with what is left of its boards.
struct Donor {
    layer: usize,
    stock: Stock,
    offcuts: Vec<Offcut>,
    boards: u32,
}

/// Strips cut from what a layer as thick leaves, else from boards of their own.
fn lay_standing(
    job: &Job,
    strips: Strips,
    donor: Option<Donor>,
    cancel: &Cancel,
) -> Result<EdgeFoamTakeoff, Cancelled> {
    if strips.strips.is_empty() {
        return Ok(EdgeFoamTakeoff::default());
    }
    let own = || job.build_up.foam_layers.first().and_then(|layer| stock_of(job, layer));
    let (stock, offcuts, layer) = match donor {
        Some(donor) => (Some(donor.stock), (donor.offcuts, donor.boards), Some(donor.layer)),
        None => (own().or_else(|| stock_of(job, &FoamLayer::default())), (Vec::new(), 0), None),
    };
    let Some(stock) = stock else { return Ok(EdgeFoamTakeoff::default()) };
    let mut laid = cut_strips(strips.strips, stock, offcuts, cancel)?;
    laid.layer = layer;
    laid.board[2] = strips.thickness;
    Ok(laid)
}

fn stock_of(job: &Job, layer: &FoamLayer) -> Option<Stock> {
    let cutting = &job.build_up.foam_cutting;
    let (a, b) = (layer.board_width.to_inches(), layer.board_length.to_inches());
    let stock = Stock {
        length: a.max(b),
        width: a.min(b),
        kerf: cutting.kerf.to_inches().max(0.0),
        stagger: cutting.least_stagger.to_inches().max(0.0),
        least: cutting.least_piece.to_inches().clamp(0.5, a.min(b) / 2.0),
        apart: cutting.least_stagger.to_inches().clamp(0.0, MOST_APART).min(a.max(b) / 8.0),
    };
    (stock.width >= LEAST_BOARD && stock.length.is_finite()).then_some(stock)
}

fn lay_layer(
    job: &Job,
    plan: &Plan,
    (layer, above): (&FoamLayer, Option<&Above>),
    (steps, cancel): (u64, &Cancel),
) -> Result<(FoamLayout, Surfaces), Cancelled> {
    let region = foam_area(job, plan, layer);
    let area: f64 = region.iter().map(Polygon::area).sum();
    let per_inch = board_of(layer.foam_type).r_per_inch;
    let mut laid = FoamLayout {
        board_width: layer.board_width.to_inches().min(layer.board_length.to_inches()),
        board_length: layer.board_width.to_inches().max(layer.board_length.to_inches()),
        kerf: job.build_up.foam_cutting.kerf.to_inches().max(0.0),
        stagger: job.build_up.foam_cutting.least_stagger.to_inches().max(0.0),
        thickness: layer.thickness.to_inches(),
        r_value: per_inch * layer.thickness.to_inches(),
        resistance: board_of(layer.foam_type).compressive_psi,
        strength_used: floor_share(&job.build_up, layer.foam_type),
        area,
        least_stagger: f64::INFINITY,
        ..FoamLayout::default()
    };
    let Some(stock) = stock_of(job, layer) else {
        laid.region = region;
        return Ok((laid, Surfaces::default()));
    };
    let faces = if layer.goes_under_edges {
        faces(job, plan, &floor_of(job, plan, layer))
    } else {
        Vec::new()
    };
    laid.area += faces.iter().map(Face::area).sum::<f64>();
    let board_area = stock.length * stock.width;
    laid.area_bound = area_bound(laid.area - pipe_area(plan, &region), board_area);
    let wanted = Wanted {
        area: &region,
        stock,
        frames: frames_of(layer, &region, &stock, (above, job.build_up.foam_layers.len() == 1)),
        above: above.map_or(&[], |above| above.seams.as_slice()),
        start_corner: layer.start_corner,
        locked: &layer.locked,
        bound: area_bound(area - pipe_area(plan, &region), board_area),
    };
    let floors = search(&wanted, &mut Budget::new(steps, cancel.clone()))?;
    let no_floor = floors.is_empty().then_some(None);
    let mut surfaces = Surfaces::default();
    for floor in floors.into_iter().map(Some).chain(no_floor) {
        // A later floor is better to lay: it is taken when all in all it needs no more boards.
        let mut tried = Surfaces { floor, under: None };
        let mut own = Budget::new(steps / 4, cancel.clone());
        tried.under = lay_faces((&faces, stock), tried.floor.as_mut(), &mut own)?;
        nest_again(&mut tried.all(), &stock, laid.area_bound, &mut own)?;
        if surfaces.last().is_none() || tried.boards() <= surfaces.boards() {
            surfaces = tried;
        }
    }
    join_short_pieces(&mut surfaces.all(), &stock, &mut Budget::new(steps / 4, cancel.clone()))?;
    let mut placed = Vec::new();
    for layout in surfaces.all() {
        laid.boards += layout.filled.boards;
        laid.cuts += layout.filled.cuts;
    }
    if let Some(layout) = &surfaces.floor {
        placed = pieces_of(layout, PieceSurface::Floor);
        cut_holes(&mut placed, plan, |_, at| layout.frame.course_from_plan(at));
        laid.direction = layout.frame.along.angle();
        laid.seam = seam_length(&placed, &region);
        (laid.least_stagger, laid.close_seams) = check_stagger(layout);
        laid.seams_over_seams = seams_over_seams(layout);
        laid.course_line = layout.task.strips.first().map_or(0.0, |strip| strip.band.0);
        let line = |strip: &Strip| (u32::try_from(strip.course).unwrap_or(u32::MAX), strip.band.0);
        laid.course_lines = layout.task.strips.iter().map(line).collect();
    }
    if let Some(layout) = &surfaces.under {
        placed.extend(pieces_under(layout, &faces, plan));
    }
    laid.bound = match &surfaces.floor {
        // Pieces cut askew from a slanted offcut are beyond the linear program.
        Some(layout) if laid.boards > laid.area_bound => {
            let first = (&layout.frame, laid.course_line);
            let others: Vec<Strip> =
                faces.iter().flat_map(|face| face.strips(stock.width)).collect();
            wanted.proven((laid.area_bound, laid.boards), first, &others)
        }
        _ => laid.area_bound,
    };
    take_over(&mut laid, placed, (job, board_area));
    laid.region = region;
    Ok((laid, surfaces))
}

/// Lays the faces under thickened parts from the floor's offcuts and new boards.
fn lay_faces(
    (faces, stock): (&[Face], Stock),
    floor: Option<&mut Layout>,
    budget: &mut Budget,
) -> Result<Option<Layout>, Cancelled> {
    let mut rows = Vec::new();
    for (index, face) in faces.iter().enumerate() {
        for mut strip in face.strips(stock.width) {
            (strip.course, strip.surface, strip.is_staggered) = (rows.len(), index + 1, false);
            rows.push(strip);
        }
    }
    let Some(frame) = Frame::of(Vector::new(1.0, 0.0)).filter(|_| !rows.is_empty()) else {
        return Ok(None);
    };
    let mut task = Task::new(rows, stock);
    if let Some(floor) = floor {
        task.first_board = floor.filled.boards;
        task.pool = std::mem::take(&mut floor.filled.pool);
    }
    fill_freely(task, frame, &[few_boards], budget)
}

/// The pieces of the faces, with their holes.
fn pieces_under(layout: &Layout, faces: &[Face], plan: &Plan) -> Vec<Placed> {
    let owner = |strip: &Strip| faces.get(strip.surface.saturating_sub(1));
    let owners: Vec<&Face> = layout.task.strips.iter().filter_map(owner).collect();
    let mut pieces = face_pieces(layout, &owners);
    cut_holes(&mut pieces, plan, |laid, at| {
        owners.get(laid.strip).map_or(at, |face| face.face_from_plan(at))
    });
    pieces
}

/// The floor that a layer could cover: its area, were it to cover all of the floor.
fn floor_of(job: &Job, plan: &Plan, layer: &FoamLayer) -> Vec<Polygon> {
    foam_area(job, plan, &FoamLayer { coverage: Coverage::Full, ..layer.clone() })
}

/// Area of pipes and columns inside the region, which no board need cover.
fn pipe_area(plan: &Plan, region: &[Polygon]) -> f64 {
    plan.penetrations
        .iter()
        .filter(|pipe| region.iter().any(|part| part.contains(pipe.at)))
        .map(|pipe| crate::geometry::polygon::signed_area(&pipe.outline).abs())
        .sum()
}

/// What follows from the pieces and the count.
fn take_over(laid: &mut FoamLayout, placed: Vec<Placed>, (job, board_area): (&Job, f64)) {
    let cutting = &job.build_up.foam_cutting;
    laid.tape_rolls = whole(laid.seam / cutting.tape_roll.to_inches());
    let bought = f64::from(laid.boards) * board_area;
    laid.waste = if bought > 0.0 { 1.0 - laid.area / bought } else { 0.0 };
    laid.pieces = placed.into_iter().map(|placed| placed.piece).collect();
    for (number, piece) in (1..).zip(&mut laid.pieces) {
        piece.number = number;
    }
}

/// Bundles hold the boards of a layer and those for edge strips that are cut from the same kind.
fn count_bundles(job: &Job, foam: &mut Foam) {
    let bundle = job.build_up.foam_cutting.boards_in_bundle;
    for (index, layer) in foam.layers.iter_mut().enumerate() {
        let standing = [&foam.edge, &foam.edge_at_doors];
        let of_layer = standing.into_iter().filter(|edge| edge.layer == Some(index));
        let strips: u32 = of_layer.map(|edge| edge.boards).sum();
        layer.bundles =
            if bundle > 0 { layer.boards.saturating_add(strips).div_ceil(bundle) } else { 0 };
    }
}

/// A share rounded up to whole things; zero when it is no number.
fn whole(share: f64) -> u32 {
    if share.is_finite() { (share - 1e-9).ceil().clamp(0.0, 1e9) as u32 } else { 0 }
}

/// Directions to try with the course lines to try in each.
fn frames_of(
    layer: &FoamLayer,
    region: &[Polygon],
    stock: &Stock,
    (above, is_only): (Option<&Above>, bool),
) -> Vec<(Frame, Vec<Lines>)> {
    if let Some(piece) = layer.locked.first()
        && let Some(frame) = Frame::of(piece.to - piece.from)
    {
        return vec![(frame, vec![Lines::one(frame.course_from_plan(piece.from).y)])];
    }
    if let Some(above) = above
        && layer.direction == CourseDirection::Automatic
        && layer.start_corner.is_none()
    {
        // Seams of the two layers stay apart both ways: course lines in between, end seams
        // kept off by the stagger.
        let between = |offset: f64| (offset - above.line).rem_euclid(stock.width) / stock.width;
        let mut lines: Vec<f64> = [12.0, 8.0, 16.0, 6.0, 18.0, 9.0, 15.0, 10.0, 14.0]
            .map(|part| above.line + stock.width * part / 24.0)
            .to_vec();
        let along_walls = offsets(&above.frame.into_course(region), stock);
        lines.extend(along_walls.into_iter().filter(|at| (0.25..=0.75).contains(&between(*at))));
        return vec![(above.frame, lines.into_iter().map(Lines::one).collect())];
    }
    directions(layer, region)
        .into_iter()
        .map(|frame| {
            let lines = layer.start_corner.map_or_else(
                || {
                    let turned = frame.into_course(region);
                    let all = offsets(&turned, stock).into_iter().map(Lines::one);
                    // A layer beneath would have to be shifted against every part's own lines.
                    all.chain(lines_by_part(&turned, stock).filter(|_| is_only)).collect()
                },
                |corner| vec![Lines::one(frame.course_from_plan(corner).y)],
            );
            (frame, lines)
        })
        .collect()
}

fn directions(layer: &FoamLayer, region: &[Polygon]) -> Vec<Frame> {
    if let CourseDirection::Degrees(degrees) = layer.direction {
        return Frame::of(Vector::from_angle(degrees.to_radians())).into_iter().collect();
    }
    let quarter = std::f64::consts::FRAC_PI_2;
    let mut groups: Vec<(f64, f64)> = vec![(0.0, 0.0)];
    for (from, to) in region.iter().flat_map(Polygon::edges) {
        let side = to - from;
        let angle = side.angle().rem_euclid(quarter);
        let near = |a: f64| (a - angle).abs().min(quarter - (a - angle).abs()) < 2e-4;
        match groups.iter_mut().find(|(a, _)| near(*a)) {
            Some((_, length)) => *length += side.length(),
            None => groups.push((angle, side.length())),
        }
    }
    // Walls at least two boards long are worth following; east goes first among equals.
    let mut kept: Vec<(f64, f64)> = groups.split_off(1);
    kept.retain(|(_, length)| *length >= 192.0);
    kept.sort_by(|a, b| b.1.total_cmp(&a.1).then(a.0.total_cmp(&b.0)));
    groups
        .into_iter()
        .chain(kept)
        .flat_map(|(angle, _)| [angle, angle + quarter])
        .take(MOST_DIRECTIONS)
        .filter_map(|angle| Frame::of(Vector::from_angle(angle)))
        .collect()
}

/// Seams of a layout, as lines in plan: end seams and course lines are enough to keep the next
/// layer's end seams off.
fn seams_of(layout: &Layout) -> Vec<Line> {
    let to_plan = |x: f64, y: f64| layout.frame.plan_from_course(Point::new(x, y));
    layout
        .filled
        .laid
        .iter()
        .filter_map(|piece| {
            let strip = layout.task.strips.get(piece.strip)?;
            if piece.to >= strip.end() - 0.01 {
                return None;
            }
            let (low, high) = strip.side_at(piece.to);
            Some((to_plan(piece.to, low), to_plan(piece.to, high)))
        })
        .collect()
}

impl Task {
    /// Keeps end seams off the lines of another layer that run across the courses.
    pub(super) fn avoid(&mut self, frame: &Frame, lines: &[Line]) {
        if lines.is_empty() {
            return;
        }
        let mut bands: Vec<Option<(f64, f64)>> = vec![None; self.avoided.len()];
        for strip in &self.strips {
            if let Some(band) = bands.get_mut(strip.course) {
                *band = Some(strip.band);
            }
        }
        for (from, to) in lines {
            let (a, b) = (frame.course_from_plan(*from), frame.course_from_plan(*to));
            if (a.x - b.x).abs() > 0.01 {
                // It does not run across these courses.
                continue;
            }
            let (low, high) = (a.y.min(b.y), a.y.max(b.y));
            for (avoided, band) in self.avoided.iter_mut().zip(&bands) {
                if band.is_some_and(|(start, end)| low < end && high > start) {
                    avoided.push(a.x);
                }
            }
        }
    }
}
