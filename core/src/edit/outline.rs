//! Changes to the outline.

use super::{EditError, MoveBy};
use crate::geometry::nearest::{crossing, meeting_of_lines};
use crate::geometry::polygon::{edges, signed_area};
use crate::geometry::{Point, Polygon, Vector, clip, tolerance};
use crate::job::ids::SideId;
use crate::job::outline::{Outline, Side};
use crate::job::{Heating, Job};
use crate::units::Length;
use std::sync::Arc;

/// One change to the outline.
#[derive(Clone, Debug, PartialEq)]
pub enum OutlineEdit {
    /// A new outline through these corners, each with an arc's middle point where curved.
    Draw(Vec<(Point, Option<Point>)>),
    /// The corner where a side starts goes to a new place.
    MoveCorner(SideId, Point),
    /// A side moves by a step; its neighbours stay straight and follow.
    MoveSide(SideId, MoveBy),
    /// A new corner on a side.
    AddCorner(SideId, Point),
    /// The corner where a side starts goes away.
    RemoveCorner(SideId),
    /// A side becomes an arc through this point, or straight.
    Bend(SideId, Option<Point>),
    /// A side gets a typed length; the given end moves along the side and what hangs on it keeps
    /// its direction.
    SetLength(SideId, Length, SideEnd),
    /// A rectangle is added to the slab: a bump-out.
    AddRectangle(Point, Point),
    /// A rectangle is taken off the slab.
    TakeRectangle(Point, Point),
    /// The whole outline is moved, turned, mirrored or scaled.
    Reshape(Reshape),
    /// No outline at all.
    Clear,
}

/// Which end of a side moves when its length is typed.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum SideEnd {
    /// The corner where it starts.
    Start,
    /// The corner where it ends.
    #[default]
    End,
}

/// A change to the outline as a whole, about a fixed point.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Reshape {
    /// The point that stays.
    pub about: Point,
    /// Turn counter-clockwise, radians.
    pub turn: f64,
    /// Scale, over zero.
    pub scale: f64,
    /// East and west change places first.
    pub is_mirrored: bool,
    /// A step at the end.
    pub then_move: MoveBy,
}

impl Default for Reshape {
    fn default() -> Self {
        Self {
            about: Point::ORIGIN,
            turn: 0.0,
            scale: 1.0,
            is_mirrored: false,
            then_move: MoveBy::default(),
        }
    }
}

impl OutlineEdit {
    pub(super) const fn name(&self) -> &'static str {
        match self {
            Self::Draw(_) => "Draw outline",
            Self::MoveCorner(..) => "Move corner",
            Self::MoveSide(..) => "Move side",
            Self::AddCorner(..) => "Add corner",
            Self::RemoveCorner(_) => "Remove corner",
            Self::Bend(..) => "Bend side",
            Self::SetLength(..) => "Set side length",
            Self::AddRectangle(..) => "Add rectangle",
            Self::TakeRectangle(..) => "Take rectangle off",
            Self::Reshape(_) => "Move or turn outline",
            Self::Clear => "Clear outline",
        }
    }
}

pub(super) fn is_in_reach(point: Point) -> bool {
    point.is_finite()
        && point.x.abs() <= tolerance::LARGEST_COORDINATE_IN
        && point.y.abs() <= tolerance::LARGEST_COORDINATE_IN
}

pub(super) fn apply(edit: &OutlineEdit, job: &mut Job) -> Result<(), EditError> {
    let old = Arc::clone(&job.outline);
    let sides = match edit {
        OutlineEdit::Clear => Vec::new(),
        OutlineEdit::Draw(corners) => Outline::from_corners(corners, &mut job.ids).sides,
        OutlineEdit::MoveCorner(id, to) => moved_corner(&old.sides, *id, *to)?,
        OutlineEdit::MoveSide(id, by) => moved_side(&old.sides, *id, *by)?,
        OutlineEdit::AddCorner(id, at) => {
            let index = index_of(&old.sides, *id)?;
            let mut sides = old.sides.clone();
            if let Some(side) = sides.get_mut(index) {
                side.through = None;
            }
            sides.insert(index + 1, Side { id: job.ids.fresh(), start: *at, through: None });
            sides
        }
        OutlineEdit::RemoveCorner(id) => {
            let index = index_of(&old.sides, *id)?;
            let mut sides = old.sides.clone();
            sides.remove(index);
            if sides.len() < 3 {
                return Err(EditError::TooFewCorners);
            }
            sides
        }
        OutlineEdit::Bend(id, through) => {
            let mut sides = old.sides.clone();
            let index = index_of(&sides, *id)?;
            if let Some(side) = sides.get_mut(index) {
                side.through = *through;
            }
            sides
        }
        OutlineEdit::SetLength(id, length, end) => stretched(&old.sides, *id, *length, *end)?,
        OutlineEdit::AddRectangle(a, b) => with_rectangle(job, *a, *b, clip::union)?,
        OutlineEdit::TakeRectangle(a, b) => with_rectangle(job, *a, *b, clip::difference)?,
        OutlineEdit::Reshape(reshape) => reshaped(&old.sides, *reshape)?,
    };
    if !sides.iter().all(|side| is_in_reach(side.start) && side.through.is_none_or(is_in_reach)) {
        return Err(EditError::OutOfReach);
    }
    let outline = Outline { sides };
    if let Some(at) = first_crossing(&outline) {
        return Err(EditError::Crossing(at));
    }
    let known = |id: &SideId| outline.sides.iter().any(|side| side.id == *id);
    if job.edges.by_side.keys().any(|id| !known(id)) {
        Arc::make_mut(&mut job.edges).by_side.retain(|id, _| known(id));
    }
    if job.joints.isolated_sides.iter().any(|id| !known(id)) {
        Arc::make_mut(&mut job.joints).isolated_sides.retain(|id| known(id));
    }
    let is_first = old.sides.is_empty();
    job.outline = Arc::new(outline);
    // A first outline gets a zone and a manifold, so that every number is there at once.
    if is_first && job.heating.zones.is_empty() && job.heating.manifolds.is_empty() {
        let started = Heating::with_manifold_on_longest_side(&job.outline, &mut job.ids);
        let heating = Arc::make_mut(&mut job.heating);
        heating.zones = started.zones;
        heating.manifolds = started.manifolds;
    }
    Ok(())
}

fn index_of(sides: &[Side], id: SideId) -> Result<usize, EditError> {
    sides.iter().position(|side| side.id == id).ok_or(EditError::Missing)
}

fn start_of(sides: &[Side], index: usize) -> Point {
    sides.get(index % sides.len().max(1)).map_or(Point::ORIGIN, |side| side.start)
}

fn moved_corner(sides: &[Side], id: SideId, to: Point) -> Result<Vec<Side>, EditError> {
    let index = index_of(sides, id)?;
    let mut sides = sides.to_vec();
    if let Some(side) = sides.get_mut(index) {
        side.start = to;
    }
    Ok(sides)
}

/// The side's line moves; each straight neighbour is cut or drawn out to meet it. A neighbour that
/// is curved, or parallel to the side, has its own end carried along instead.
fn moved_side(sides: &[Side], id: SideId, by: MoveBy) -> Result<Vec<Side>, EditError> {
    let index = index_of(sides, id)?;
    let count = sides.len();
    let step = Vector::new(by.x, by.y);
    let (start, end) = (start_of(sides, index), start_of(sides, index + 1));
    let line = (start + step, end + step);
    let meets = |neighbour: usize, own: Point| {
        let straight = sides.get(neighbour % count).is_some_and(|side| side.through.is_none());
        let neighbour_line = (start_of(sides, neighbour), start_of(sides, neighbour + 1));
        straight.then(|| meeting_of_lines(line, neighbour_line)).flatten().unwrap_or(own + step)
    };
    let new_start = meets(index + count - 1, start);
    let new_end = meets(index + 1, end);
    let mut moved = sides.to_vec();
    if let Some(side) = moved.get_mut(index) {
        side.start = new_start;
        side.through = side.through.map(|through| through + step);
    }
    if let Some(side) = moved.get_mut((index + 1) % count) {
        side.start = new_end;
    }
    Ok(moved)
}

/// Parallel wall move: the side keeps its line and its fixed end; the wall at its moving end is
/// carried along parallel to itself until it meets the wall after it.
fn stretched(
    sides: &[Side],
    id: SideId,
    length: Length,
    end: SideEnd,
) -> Result<Vec<Side>, EditError> {
    let index = index_of(sides, id)?;
    let count = sides.len();
    let (start, finish) = (start_of(sides, index), start_of(sides, index + 1));
    let along = (finish - start).unit().ok_or(EditError::CannotStretch)?;
    let wanted = length.to_inches();
    let is_straight = sides.get(index).is_some_and(|side| side.through.is_none());
    if !(is_straight && wanted.is_finite() && wanted >= tolerance::SHORTEST_SIDE_IN) {
        return Err(EditError::CannotStretch);
    }
    let growth = along * (wanted - start.distance(finish));
    let mut moved = sides.to_vec();
    let (carried_wall, near, far, shift) = match end {
        SideEnd::End => (index + 1, index + 1, index + 2, growth),
        SideEnd::Start => (index + count - 1, index, index + count - 1, -growth),
    };
    let new_near = start_of(sides, near) + shift;
    // The wall beyond the carried one keeps its line; the carried one is cut by it.
    let beyond = match end {
        SideEnd::End => (start_of(sides, index + 2), start_of(sides, index + 3)),
        SideEnd::Start => (start_of(sides, index + count - 2), start_of(sides, index + count - 1)),
    };
    let carried =
        (start_of(sides, carried_wall) + shift, start_of(sides, carried_wall + 1) + shift);
    let new_far = meeting_of_lines(carried, beyond).ok_or(EditError::CannotStretch)?;
    if let Some(side) = moved.get_mut(near % count) {
        side.start = new_near;
    }
    if let Some(side) = moved.get_mut(far % count) {
        side.start = new_far;
    }
    Ok(moved)
}

fn reshaped(sides: &[Side], reshape: Reshape) -> Result<Vec<Side>, EditError> {
    if !(reshape.scale.is_finite() && reshape.scale > 0.0 && reshape.turn.is_finite()) {
        return Err(EditError::OutOfReach);
    }
    let turn = Vector::from_angle(reshape.turn);
    let map = |point: Point| {
        let arm = point - reshape.about;
        let arm = if reshape.is_mirrored { Vector::new(-arm.x, arm.y) } else { arm };
        let turned = Vector::new(arm.x * turn.x - arm.y * turn.y, arm.x * turn.y + arm.y * turn.x);
        reshape.about
            + turned * reshape.scale
            + Vector::new(reshape.then_move.x, reshape.then_move.y)
    };
    Ok(sides
        .iter()
        .map(|side| Side { id: side.id, start: map(side.start), through: side.through.map(map) })
        .collect())
}

/// The outline joined with, or cut by, an upright rectangle. Sides that are found again keep
/// their ids (and so their edges); new ones get fresh ids.
fn with_rectangle(
    job: &mut Job,
    a: Point,
    b: Point,
    operation: fn(&[Polygon], &[Polygon]) -> Vec<Polygon>,
) -> Result<Vec<Side>, EditError> {
    let min = Point::new(a.x.min(b.x), a.y.min(b.y));
    let max = Point::new(a.x.max(b.x), a.y.max(b.y));
    let old = Arc::clone(&job.outline);
    let rectangle = Polygon::rectangle(min, max);
    if !(is_in_reach(a) && is_in_reach(b)) {
        return Err(EditError::OutOfReach);
    }
    if rectangle.area() < 1.0 {
        return Err(EditError::NotOneSlab);
    }
    if old.sides.is_empty() {
        let corners: Vec<_> = rectangle.outer.iter().map(|&corner| (corner, None)).collect();
        return Ok(Outline::from_corners(&corners, &mut job.ids).sides);
    }
    if old.sides.iter().any(|side| side.through.is_some()) {
        // The boolean engine has straight sides only; arcs would come back as chords.
        return Err(EditError::NotOneSlab);
    }
    let slab = Polygon::new(old.sides.iter().map(|side| side.start).collect(), Vec::new());
    let mut parts = operation(&[slab], &[rectangle]);
    let result = match (parts.pop(), parts.is_empty()) {
        (Some(part), true) if part.holes.is_empty() => part,
        _ => return Err(EditError::NotOneSlab),
    };
    let known: Vec<Point> =
        old.sides.iter().map(|side| side.start).chain(Polygon::rectangle(min, max).outer).collect();
    let snapped: Vec<Point> = result.outer.iter().map(|&corner| snap(corner, &known)).collect();
    let clean = without_straight_corners(&snapped);
    let on_side = |from: Point, to: Point| {
        edges(&old.sides.iter().map(|side| side.start).collect::<Vec<_>>())
            .zip(&old.sides)
            .find(|((start, end), _)| lies_on(from, to, *start, *end))
            .map(|(_, side)| side.id)
    };
    let mut used = Vec::new();
    Ok(edges(&clean)
        .map(|(from, to)| {
            let id = on_side(from, to).filter(|id| !used.contains(id));
            let id = id.unwrap_or_else(|| job.ids.fresh());
            used.push(id);
            Side { id, start: from, through: None }
        })
        .collect())
}

/// The engine's grid moves corners a little: known corners come back as they were, others to the
/// nearest 1/64 in.
fn snap(corner: Point, known: &[Point]) -> Point {
    let round = |value: f64| (value * 64.0).round() / 64.0;
    known
        .iter()
        .copied()
        .find(|old| old.is_near(corner))
        .unwrap_or_else(|| Point::new(round(corner.x), round(corner.y)))
}

fn without_straight_corners(ring: &[Point]) -> Vec<Point> {
    let count = ring.len();
    let at = |index: usize| ring.get(index % count).copied().unwrap_or_default();
    (0..count)
        .filter(|&index| {
            let (before, here, after) = (at(index + count - 1), at(index), at(index + 1));
            let bend = (here - before).cross(after - here);
            bend.abs() > tolerance::SAME_POINT_IN * (after - before).length().max(1.0)
        })
        .map(at)
        .collect()
}

fn lies_on(from: Point, to: Point, start: Point, end: Point) -> bool {
    use crate::geometry::nearest::distance_to_line;
    // Same line, and the same or the opposite direction (the engine turns rings).
    distance_to_line(from, start, end) <= tolerance::SAME_POINT_IN
        && distance_to_line(to, start, end) <= tolerance::SAME_POINT_IN
}

/// The first place where the outline crosses or touches itself.
fn first_crossing(outline: &Outline) -> Option<Point> {
    if outline.sides.len() < 3 {
        return None;
    }
    let ring = outline.ring().flatten(tolerance::ARC_CHORD_IN);
    let sides: Vec<(Point, Point)> = edges(&ring).collect();
    let count = sides.len();
    for (first, &a) in sides.iter().enumerate() {
        for (second, &b) in sides.iter().enumerate().skip(first + 1) {
            let are_neighbours = second == first + 1 || (first == 0 && second == count - 1);
            if are_neighbours {
                continue;
            }
            if let Some((share, _)) = crossing(a, b) {
                return Some(a.0.toward(a.1, share));
            }
        }
    }
    (signed_area(&ring).abs() < tolerance::CRUMB_IN2).then(|| start_of(&outline.sides, 0))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::edit::Edit;
    use crate::plan::Plan;

    fn house() -> Job {
        Job::from_corners(&[
            (Point::feet(0.0, 0.0), None),
            (Point::feet(40.0, 0.0), None),
            (Point::feet(40.0, 28.0), None),
            (Point::feet(0.0, 28.0), None),
        ])
    }

    fn area_ft2(job: &Job) -> f64 {
        Plan::of(job).area / 144.0
    }

    fn edit(job: &Job, edit: OutlineEdit) -> Result<Job, EditError> {
        Edit::Outline(edit).apply(job)
    }

    #[test]
    fn a_bump_out_in_one_edit_keeps_the_ids_of_old_sides() {
        let before = house();
        let after = edit(
            &before,
            OutlineEdit::AddRectangle(Point::feet(10.0, 28.0), Point::feet(20.0, 32.0)),
        )
        .unwrap();
        assert!((area_ft2(&after) - 1160.0).abs() < 1e-9);
        assert_eq!(after.outline.sides.len(), 8);
        let kept = before
            .outline
            .sides
            .iter()
            .filter(|old| after.outline.sides.iter().any(|new| new.id == old.id));
        assert_eq!(kept.count(), 4);
        let taken = edit(
            &after,
            OutlineEdit::TakeRectangle(Point::feet(-1.0, -1.0), Point::feet(8.0, 6.0)),
        )
        .unwrap();
        assert!((area_ft2(&taken) - 1112.0).abs() < 1e-9);
        assert_eq!(
            edit(
                &before,
                OutlineEdit::TakeRectangle(Point::feet(10.0, -1.0), Point::feet(20.0, 29.0))
            ),
            Err(EditError::NotOneSlab)
        );
    }

    #[test]
    fn a_typed_length_moves_the_far_wall_and_keeps_every_direction() {
        let before = house();
        let id = before.outline.sides[0].id;
        let after =
            edit(&before, OutlineEdit::SetLength(id, Length::feet(36.5), SideEnd::End)).unwrap();
        assert!((area_ft2(&after) - 36.5 * 28.0).abs() < 1e-9);
        let start =
            edit(&before, OutlineEdit::SetLength(id, Length::feet(36.5), SideEnd::Start)).unwrap();
        assert!((area_ft2(&start) - 36.5 * 28.0).abs() < 1e-9);
        assert_eq!(start.outline.sides[1].start, Point::feet(40.0, 0.0));
    }

    #[test]
    fn a_side_moves_and_its_neighbours_follow() {
        let before = house();
        let id = before.outline.sides[1].id;
        let after = edit(&before, OutlineEdit::MoveSide(id, MoveBy { x: 24.0, y: 7.0 })).unwrap();
        assert!((area_ft2(&after) - 42.0 * 28.0).abs() < 1e-9);
    }

    #[test]
    fn a_crossing_outline_is_refused_with_the_place() {
        let before = house();
        let id = before.outline.sides[2].id;
        let refused = edit(&before, OutlineEdit::MoveCorner(id, Point::feet(20.0, -10.0)));
        assert!(matches!(refused, Err(EditError::Crossing(at)) if at.y.abs() < 1e-9));
    }

    #[test]
    fn turning_and_mirroring_keep_the_area() {
        let after = edit(
            &house(),
            OutlineEdit::Reshape(Reshape {
                turn: 0.7,
                is_mirrored: true,
                about: Point::feet(3.0, 4.0),
                ..Reshape::default()
            }),
        )
        .unwrap();
        assert!((area_ft2(&after) - 1120.0).abs() < 1e-9);
    }
}
