//! Floor temperatures: a ramp of lightness, lines of one temperature with their figures, the two
//! extremes and the scale.

use super::{Brush, Label, Pen, Subject, clear};
use egui::epaint::Vertex;
use egui::{Color32, Mesh, Pos2, Shape, Stroke, Vec2};
use slabloom_core::geometry::Point;
use slabloom_core::heat::study::main_spacing;
use slabloom_core::heat::{FloorMap, Heat};
use slabloom_core::sheets::floor_temperature::{TemperaturePlan, label_places};
use slabloom_core::units::quantity_text::show_temperature;
use slabloom_core::units::{Temperature, UnitSystem, show_number};

/// Figures of lines stand at least this far apart, screen points.
const FIGURES_APART: f32 = 34.0;
/// Half the size of such a figure, screen points.
const FIGURE: Vec2 = Vec2::new(9.0, 7.0);
/// Length of the scale, screen points.
const SCALE: Vec2 = Vec2::new(220.0, 10.0);

/// The floor's temperatures as lines on a ramp from the coolest to the warmest.
pub(super) fn floor_temperatures(subject: &Subject<'_>, brush: &mut Brush<'_>) {
    let heat = &subject.results.parts.heat;
    let Some(map) = &heat.floor_map else { return };
    let Some(range) = shown_range(map) else { return };
    brush.shape(Shape::mesh(cells(map, range, brush)));
    let system = subject.job.facts.display.rounding.system();
    let spacing = main_spacing(subject.job, &subject.results.parts.tube);
    let limit = subject.job.heating.design.surface_limit_f;
    let plan = TemperaturePlan::of(map, spacing, limit, system == UnitSystem::Metric);
    let extremes = [
        (map.hottest, heat.surface_max_f, "warmest"),
        (map.coldest, heat.surface_min_f, "coolest"),
    ];
    // Figures of lines give way to what comes up and to the words of the extremes.
    let mut kept: Vec<Pos2> = clear::marks(subject, brush);
    for (at, ..) in extremes {
        let words = brush.at(at) - Vec2::new(0.0, 14.0);
        kept.extend([-26.0, 0.0, 26.0].map(|step| words + Vec2::new(step, 0.0)));
    }
    lines(&plan, system, &kept, brush);
    for (at, value, word) in extremes {
        let at = brush.at(at);
        brush.shape(Shape::circle_stroke(at, 5.0, Stroke::new(1.8, brush.palette.ink)));
        let text = format!("{word} {}", degrees(value, system));
        let ground = Some(brush.palette.raised);
        let label =
            Label { is_bold: true, ground, ..brush.text(at - Vec2::new(0.0, 14.0), text, 11.0) };
        brush.label(label);
    }
    if let Some(bounds) = subject.plan.bounds() {
        let below = brush.at(Point::new(bounds.min.x, bounds.min.y)) + Vec2::new(0.0, 22.0);
        scale(below, range, (heat, system), brush);
    }
}

fn degrees(fahrenheit: f64, system: UnitSystem) -> String {
    show_temperature(Temperature::fahrenheit(fahrenheit), system)
}

/// Coolest and warmest of the picture: the coldest hundredth, corners mostly, takes the ramp's
/// foot, so that the rest is told apart.
fn shown_range(map: &FloorMap) -> Option<(f32, f32)> {
    let mut known: Vec<f32> = map.surface_f.iter().copied().filter(|t| t.is_finite()).collect();
    known.sort_by(f32::total_cmp);
    let low = *known.get(known.len() / 100)?;
    let high = *known.last()?;
    Some((low, high.max(low + 0.1)))
}

fn cells(map: &FloorMap, (low, high): (f32, f32), brush: &Brush<'_>) -> Mesh {
    let mut mesh = Mesh::default();
    for (index, value) in map.surface_f.iter().enumerate().filter(|(_, value)| value.is_finite()) {
        let (column, row) = (index % map.columns.max(1), index / map.columns.max(1));
        let corner = |dx: usize, dy: usize| -> Pos2 {
            brush.at(Point::new(
                map.origin.x + (column + dx) as f64 * map.cell,
                map.origin.y + (row + dy) as f64 * map.cell,
            ))
        };
        let color = ramp((value - low) / (high - low), brush.palette.is_dark);
        let base = mesh.vertices.len() as u32;
        for at in [corner(0, 0), corner(1, 0), corner(1, 1), corner(0, 1)] {
            mesh.vertices.push(Vertex::untextured(at, color));
        }
        mesh.indices.extend([base, base + 1, base + 2, base, base + 2, base + 3]);
    }
    mesh
}

fn lines(plan: &TemperaturePlan, system: UnitSystem, kept: &[Pos2], brush: &mut Brush<'_>) {
    let mut taken: Vec<Pos2> = Vec::new();
    let mut longest: Vec<_> = plan.lines.iter().collect();
    longest.sort_by(|a, b| b.length().total_cmp(&a.length()));
    for line in longest {
        let points: Vec<Point> = line.points.iter().map(|&(x, y)| Point::new(x, y)).collect();
        let is_fifth = (line.level / plan.step_f.max(1e-6) / 5.0).fract().abs() < 1e-6;
        brush.line(&points, Pen::solid(if is_fifth { 1.6 } else { 0.9 }, brush.palette.ink));
        let places = label_places(line);
        let free = places.iter().map(|place| brush.at(*place)).find(|at| {
            line.length() > 36.0
                && taken.iter().all(|other| other.distance(*at) > FIGURES_APART)
                && !clear::hides(*at, FIGURE, kept)
        });
        if let Some(at) = free {
            taken.push(at);
            let ground = Some(brush.palette.slab);
            let label =
                Label { ground, ..brush.text(at, level(line.level, plan.step_f, system), 10.0) };
            brush.label(label);
        }
    }
}

fn level(level_f: f64, step_f: f64, system: UnitSystem) -> String {
    let (value, step) = match system {
        UnitSystem::Us => (level_f, step_f),
        UnitSystem::Metric => ((level_f - 32.0) / 1.8, step_f / 1.8),
    };
    show_number(value, if step < 0.4 { 2 } else { u32::from(step < 0.9) })
}

/// The ramp with its ends and the mean of the heated floor.
fn scale(
    at: Pos2,
    (low, high): (f32, f32),
    (heat, system): (&Heat, UnitSystem),
    brush: &mut Brush<'_>,
) {
    let mean_f = heat.surface_mean_f;
    let mut mesh = Mesh::default();
    let steps = 32_u32;
    for step in 0..=steps {
        let share = step as f32 / steps as f32;
        let x = at.x + SCALE.x * share;
        let color = ramp(share, brush.palette.is_dark);
        mesh.vertices.push(Vertex::untextured(Pos2::new(x, at.y), color));
        mesh.vertices.push(Vertex::untextured(Pos2::new(x, at.y + SCALE.y), color));
        if step > 0 {
            let base = 2 * step;
            mesh.indices.extend([base - 2, base - 1, base, base, base - 1, base + 1]);
        }
    }
    brush.shape(Shape::mesh(mesh));
    let ink = brush.palette.ink;
    let frame = egui::Rect::from_min_size(at, SCALE);
    brush.shape(Shape::rect_stroke(frame, 0.0, Stroke::new(1.0, ink), egui::StrokeKind::Outside));
    let share = ((mean_f as f32 - low) / (high - low)).clamp(0.0, 1.0);
    let mean = Pos2::new(at.x + SCALE.x * share, at.y);
    brush.screen_line(
        vec![mean - Vec2::new(0.0, 4.0), mean + Vec2::new(0.0, 14.0)],
        Pen::solid(2.0, ink),
    );
    // A few cold cells at a corner would leave no colours for the floor: they share the lowest.
    let cooler = if heat.surface_min_f < f64::from(low) - 1.0 { " or cooler" } else { "" };
    let marks = [
        (at.x, degrees(f64::from(low), system) + cooler, false),
        (mean.x, format!("mean {}", degrees(mean_f, system)), true),
        (at.x + SCALE.x, degrees(f64::from(high), system), false),
    ];
    for (x, words, is_bold) in marks {
        let label = Label { is_bold, ..brush.text(Pos2::new(x, at.y + 24.0), words, 10.5) };
        brush.label(label);
    }
}

/// A ramp whose lightness alone tells cool from warm, so that it survives grey and colour
/// blindness.
fn ramp(share: f32, is_dark: bool) -> Color32 {
    let stops: [(f32, f32, f32); 3] = if is_dark {
        [(38.0, 48.0, 74.0), (150.0, 84.0, 70.0), (250.0, 208.0, 120.0)]
    } else {
        [(250.0, 244.0, 226.0), (240.0, 178.0, 122.0), (176.0, 72.0, 40.0)]
    };
    let share = share.clamp(0.0, 1.0) * 2.0;
    let (from, to, part) =
        if share < 1.0 { (stops[0], stops[1], share) } else { (stops[1], stops[2], share - 1.0) };
    let mix = |a: f32, b: f32| (a + (b - a) * part) as u8;
    Color32::from_rgb(mix(from.0, to.0), mix(from.1, to.1), mix(from.2, to.2))
}
