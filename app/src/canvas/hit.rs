//! What on the plan is meant by a place: things that stand at a point first, then corners, lines,
//! and areas last.

use crate::canvas::tools::Scene;
use slabloom_core::geometry::Point;
use slabloom_core::geometry::nearest::distance_to_line;
use slabloom_core::geometry::polygon::{edges, ring_contains};
use slabloom_core::job::Job;
use slabloom_core::job::ids::{ItemId, SideId};

/// Something on the plan that can be chosen.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Pick {
    /// The corner where a side starts.
    Corner(SideId),
    /// A thing of the job; a side too.
    Item(ItemId),
    /// A corner of a thing that has several.
    ItemCorner(ItemId, usize),
    /// A circuit, by its place in the results.
    Circuit(usize),
    /// A contraction joint that the layout found, by its place in the results.
    FoundJoint(usize),
    /// A floor panel between joints.
    SlabPanel(usize),
    /// A piece of board: layer and place in the results.
    BoardPiece(usize, usize),
}

/// Which derived things can be picked: those whose layers are shown.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Pickable {
    /// Circuits.
    pub circuits: bool,
    /// Contraction joints.
    pub joints: bool,
    /// Floor panels.
    pub panels: bool,
    /// Board pieces.
    pub boards: bool,
    /// Survey shots.
    pub shots: bool,
}

/// Things that stand at one place, with the place.
#[must_use]
pub fn placed_items(job: &Job) -> Vec<(ItemId, Point)> {
    let mut items: Vec<(ItemId, Point)> = Vec::new();
    items.extend(job.heating.manifolds.iter().map(|item| (item.id.into(), item.at)));
    items.extend(job.openings.penetrations.iter().map(|item| (item.id.into(), item.at)));
    items.extend(job.thickenings.pads.iter().map(|item| (item.id.into(), item.at)));
    items.extend(job.subgrade.shots.iter().map(|item| (item.id.into(), item.at)));
    items
}

/// Things that have several corners, with the corners and whether they close.
#[must_use]
pub fn cornered_items(job: &Job) -> Vec<(ItemId, Vec<Point>, bool)> {
    let mut items: Vec<(ItemId, Vec<Point>, bool)> = Vec::new();
    let openings = job.openings.openings.iter();
    items.extend(
        openings.map(|item| {
            (item.id.into(), item.corners.iter().map(|corner| corner.at).collect(), true)
        }),
    );
    let thickenings = &job.thickenings;
    items.extend(thickenings.strips.iter().map(|item| (item.id.into(), item.line.clone(), false)));
    items.extend(thickenings.recesses.iter().map(|i| (i.id.into(), i.corners.clone(), true)));
    items.extend(thickenings.slopes.iter().map(|i| (i.id.into(), i.corners.clone(), true)));
    items.extend(
        job.joints.drawn.iter().map(|item| (item.id.into(), vec![item.from, item.to], false)),
    );
    items.extend(job.heating.keep_outs.iter().map(|i| (i.id.into(), i.corners.clone(), true)));
    items.extend(job.heating.zones.iter().map(|item| (item.id.into(), item.corners.clone(), true)));
    items
}

fn nearest<T>(candidates: impl Iterator<Item = (T, f64)>, reach: f64) -> Option<T> {
    candidates
        .filter(|(_, distance)| *distance <= reach)
        .min_by(|a, b| a.1.total_cmp(&b.1))
        .map(|(pick, _)| pick)
}

/// The thing at one place that is meant.
#[must_use]
pub fn pick_placed(at: Point, reach: f64, scene: &Scene<'_>) -> Option<Pick> {
    let shots = scene.pickable.shots;
    let items = placed_items(scene.job)
        .into_iter()
        .filter(|(id, _)| shots || !matches!(id, ItemId::ShotId(_)))
        .map(|(id, place)| {
            (Pick::Item(id), (place.distance(at) - half_size(scene.job, id)).max(0.0))
        });
    nearest(items, reach)
}

/// How far the face of a thing is from its middle, so that large ones are easy to hit.
fn half_size(job: &Job, id: ItemId) -> f64 {
    let widest = match id {
        ItemId::PenetrationId(id) => {
            job.openings.penetrations.iter().find(|item| item.id == id).map(|item| item.shape)
        }
        ItemId::PadId(id) => {
            job.thickenings.pads.iter().find(|item| item.id == id).map(|item| item.shape)
        }
        _ => None,
    };
    widest.map_or(0.0, |shape| shape.widest().to_inches() / 2.0)
}

/// What is meant by a place, if anything.
#[must_use]
pub fn pick(at: Point, reach: f64, scene: &Scene<'_>) -> Option<Pick> {
    let job = scene.job;
    pick_placed(at, reach, scene)
        .or_else(|| {
            let corners = job
                .outline
                .sides
                .iter()
                .map(|side| (Pick::Corner(side.id), side.start.distance(at)));
            nearest(corners, reach)
        })
        .or_else(|| {
            let corners = cornered_items(job).into_iter().flat_map(|(id, corners, _)| {
                corners
                    .into_iter()
                    .enumerate()
                    .map(move |(index, corner)| (Pick::ItemCorner(id, index), corner.distance(at)))
            });
            nearest(corners, reach)
        })
        .or_else(|| nearest(lines(at, scene), reach))
        .or_else(|| area(at, scene))
}

/// Lines and their distance: sides, joints, strips, circuits, rims of areas.
fn lines<'a>(at: Point, scene: &Scene<'a>) -> impl Iterator<Item = (Pick, f64)> + 'a {
    let pickable = scene.pickable;
    let sides = scene.job.outline.segments().map(move |(id, segment)| {
        let course = segment.flatten(0.5);
        let start = segment.start();
        let ends = std::iter::once(start).chain(course.iter().copied());
        let distance = ends
            .zip(course.iter().copied())
            .map(|(from, to)| distance_to_line(at, from, to))
            .fold(f64::INFINITY, f64::min);
        (Pick::Item(id.into()), distance)
    });
    let rims = cornered_items(scene.job).into_iter().flat_map(move |(id, corners, is_closed)| {
        let count = if is_closed { corners.len() } else { corners.len().saturating_sub(1) };
        edges(&corners)
            .take(count)
            .map(|(from, to)| (Pick::Item(id), distance_to_line(at, from, to)))
            .collect::<Vec<_>>()
    });
    let joints = &scene.results.parts.joints.layout.lines;
    let joints = joints.iter().enumerate().filter(move |_| pickable.joints).filter_map(
        move |(index, line)| {
            let pick = match line.drawn {
                Some(_) => return None,
                None => Pick::FoundJoint(index),
            };
            Some((pick, distance_to_line(at, line.from, line.to)))
        },
    );
    let circuits = &scene.results.parts.tube.circuits;
    let circuits = circuits.iter().enumerate().filter(move |_| pickable.circuits).map(
        move |(index, circuit)| {
            let points = circuit.points(1.0);
            let distance = points
                .iter()
                .zip(points.iter().skip(1))
                .map(|(from, to)| distance_to_line(at, *from, *to))
                .fold(f64::INFINITY, f64::min);
            // Joints and sides over a circuit are meant before it.
            (Pick::Circuit(index), distance + 0.25)
        },
    );
    sides.chain(rims).chain(joints).chain(circuits)
}

/// The smallest area over a place.
fn area(at: Point, scene: &Scene<'_>) -> Option<Pick> {
    let items = cornered_items(scene.job)
        .into_iter()
        .filter(|(_, corners, is_closed)| *is_closed && ring_contains(corners, at))
        .filter(|(id, ..)| !matches!(id, ItemId::ZoneId(_)))
        .map(|(id, ..)| Pick::Item(id))
        .next();
    let parts = &scene.results.parts;
    let board = || {
        parts.foam.layers.iter().enumerate().find_map(|(layer, layout)| {
            let piece = layout.pieces.iter().position(|piece| ring_contains(&piece.outline, at))?;
            Some(Pick::BoardPiece(layer, piece))
        })
    };
    let panel = || {
        let panels = &parts.joints.layout.panels;
        panels.iter().position(|panel| ring_contains(&panel.outline, at)).map(Pick::SlabPanel)
    };
    items
        .or_else(|| scene.pickable.boards.then(board).flatten())
        .or_else(|| scene.pickable.panels.then(panel).flatten())
}

#[cfg(test)]
mod tests {
    use super::*;
    use slabloom_core::derive::derive;

    #[test]
    fn corners_win_over_sides_and_sides_over_nothing() {
        let corners = [(0.0, 0.0), (40.0, 0.0), (40.0, 28.0), (0.0, 28.0)];
        let job = Job::from_corners(&corners.map(|(x, y)| (Point::feet(x, y), None)));
        let results = derive(&job);
        let scene = Scene {
            job: &job,
            plan: &results.parts.plan,
            results: &results,
            selection: &[],
            pickable: Pickable::default(),
        };
        let ids: Vec<SideId> = job.outline.sides.iter().map(|side| side.id).collect();
        assert_eq!(pick(Point::feet(0.2, 0.1), 6.0, &scene), Some(Pick::Corner(ids[0])));
        assert_eq!(
            pick(Point::feet(5.0, 0.2), 6.0, &scene),
            Some(Pick::Item(ItemId::SideId(ids[0])))
        );
        assert_eq!(pick(Point::feet(12.0, 14.0), 6.0, &scene), None);
        let manifold = job.heating.manifolds[0].at;
        assert_eq!(
            pick(manifold, 6.0, &scene),
            Some(Pick::Item(job.heating.manifolds[0].id.into()))
        );
    }
}
