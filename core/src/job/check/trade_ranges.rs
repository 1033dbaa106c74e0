//! Every number of the trades' choices within range: heating, joints, subgrade, pour, prices,
//! sheets and what was really built.

use super::range::Ranges;
use super::{MOST_SHOTS, MOST_THINGS};
use crate::job::Job;
use crate::job::heating::{Fluid, HeatLoad, Heating, TubeDepth};
use crate::job::joints::JointChoices;
use crate::job::pour::PourPlan;
use crate::job::prices::Prices;
use crate::job::sheet_set::SheetSet;
use crate::job::subgrade::Subgrade;
use crate::job::underlay::WIDTH_RANGE_IN;

/// Heights of a survey datum may be this large, in inches (about 16 miles).
const HIGHEST_IN: f64 = 1e6;

pub(super) fn check(job: &Job, ranges: &mut Ranges<'_>) {
    heating(&job.heating, ranges);
    tube_and_heat(&job.heating, ranges);
    joints(&job.joints, ranges);
    subgrade(&job.subgrade, ranges);
    pour(&job.pour, ranges);
    prices(&job.prices, ranges);
    sheets(&job.sheet_set, ranges);
    as_laid(job, ranges);
    underlay(job, ranges);
}

fn heating(heating: &Heating, ranges: &mut Ranges<'_>) {
    ranges.count(format_args!("heating.zones"), heating.zones.len(), 200);
    ranges.count(format_args!("heating.manifolds"), heating.manifolds.len(), 200);
    ranges.count(format_args!("heating.keep_outs"), heating.keep_outs.len(), MOST_THINGS);
    ranges.count(format_args!("heating.pinned"), heating.pinned.len(), MOST_THINGS);
    for (number, zone) in heating.zones.iter().enumerate() {
        let field = format_args!("heating.zones[{number}]");
        ranges.text(format_args!("{field}.name"), &zone.name);
        ranges.points(format_args!("{field}.corners"), &zone.corners);
        ranges.length(format_args!("{field}.spacing"), zone.spacing, 3.0, 48.0);
        if let Some(band) = zone.edge_band {
            ranges.length(format_args!("{field}.edge_band.width"), band.width, 0.0, 1200.0);
            ranges.length(format_args!("{field}.edge_band.spacing"), band.spacing, 3.0, 48.0);
        }
        if let Some(circuits) = zone.circuits {
            ranges.number(format_args!("{field}.circuits"), f64::from(circuits), 1.0, 500.0);
        }
        if let Some(load) = zone.load_btuh {
            ranges.number(format_args!("{field}.load_btuh"), load, 0.0, 1e8);
        }
    }
    for (number, manifold) in heating.manifolds.iter().enumerate() {
        let field = format_args!("heating.manifolds[{number}]");
        ranges.text(format_args!("{field}.name"), &manifold.name);
        ranges.point(format_args!("{field}.at"), manifold.at);
        if let Some(along) = manifold.along_degrees {
            ranges.angle(format_args!("{field}.along_degrees"), along);
        }
        ranges.length(format_args!("{field}.port_spacing"), manifold.port_spacing, 0.5, 24.0);
    }
    for (number, keep_out) in heating.keep_outs.iter().enumerate() {
        ranges.points(format_args!("heating.keep_outs[{number}].corners"), &keep_out.corners);
    }
    for (number, circuit) in heating.pinned.iter().enumerate() {
        ranges.points(format_args!("heating.pinned[{number}].path"), &circuit.path);
    }
}

fn tube_and_heat(heating: &Heating, ranges: &mut Ranges<'_>) {
    let tube = &heating.tube;
    if let TubeDepth::Axis(depth) = tube.depth {
        ranges.length(format_args!("heating.tube.depth"), depth, 0.0, 60.0);
    }
    if let Some(longest) = tube.longest_circuit {
        ranges.length(format_args!("heating.tube.longest_circuit"), longest, 240.0, 24_000.0);
    }
    if let Some(radius) = tube.least_bend_radius {
        ranges.length(format_args!("heating.tube.least_bend_radius"), radius, 0.5, 60.0);
    }
    ranges.length(format_args!("heating.tube.edge_distance"), tube.edge_distance, 0.0, 120.0);
    ranges.count(format_args!("heating.tube.coil_lengths"), tube.coil_lengths.len(), 50);
    for (number, &coil) in tube.coil_lengths.iter().enumerate() {
        ranges.length(format_args!("heating.tube.coil_lengths[{number}]"), coil, 120.0, 240_000.0);
    }
    ranges.length(format_args!("heating.tube.tail"), tube.tail, 0.0, 1200.0);
    ranges.length(format_args!("heating.tube.leader_spacing"), tube.leader_spacing, 1.0, 24.0);
    if let Fluid::PropyleneGlycol(percent) = heating.fluid {
        ranges.number(format_args!("heating.fluid"), percent, 0.0, 60.0);
    }
    let design = &heating.design;
    ranges.number(format_args!("heating.design.indoor_f"), design.indoor_f, 0.0, 120.0);
    ranges.number(format_args!("heating.design.outdoor_f"), design.outdoor_f, -100.0, 120.0);
    ranges.number(format_args!("heating.design.ground_f"), design.ground_f, -60.0, 120.0);
    if let Some(supply) = design.supply_f {
        ranges.number(format_args!("heating.design.supply_f"), supply, 32.0, 250.0);
    }
    ranges.number(format_args!("heating.design.drop_f"), design.drop_f, 0.5, 100.0);
    ranges.number(
        format_args!("heating.design.surface_limit_f"),
        design.surface_limit_f,
        32.0,
        150.0,
    );
    ranges.number(format_args!("heating.design.concrete_k"), design.concrete_k, 0.05, 5.0);
    ranges.number(format_args!("heating.design.degree_days"), design.degree_days, 0.0, 50_000.0);
    ranges.number(
        format_args!("heating.design.energy_per_million_btu"),
        design.energy_per_million_btu.to_units(),
        0.0,
        10_000.0,
    );
    match design.load {
        HeatLoad::ByArea(load) => {
            ranges.number(format_args!("heating.design.load"), load, 0.0, 1000.0);
        }
        HeatLoad::Total(load) => ranges.number(format_args!("heating.design.load"), load, 0.0, 1e8),
        HeatLoad::RoomAid { envelope_ua, volume_ft3, air_changes } => {
            ranges.number(format_args!("heating.design.load.envelope_ua"), envelope_ua, 0.0, 1e6);
            ranges.number(format_args!("heating.design.load.volume_ft3"), volume_ft3, 0.0, 1e8);
            ranges.number(format_args!("heating.design.load.air_changes"), air_changes, 0.0, 100.0);
        }
    }
}

fn joints(joints: &JointChoices, ranges: &mut Ranges<'_>) {
    ranges.number(format_args!("joints.spacing_multiple"), joints.spacing_multiple, 5.0, 200.0);
    ranges.length(format_args!("joints.spacing_cap"), joints.spacing_cap, 24.0, 1200.0);
    ranges.number(format_args!("joints.aspect_limit"), joints.aspect_limit, 1.0, 10.0);
    ranges.number(format_args!("joints.saw_feet_per_hour"), joints.saw_feet_per_hour, 1.0, 1e4);
    ranges.count(format_args!("joints.drawn"), joints.drawn.len(), MOST_THINGS);
    for (number, drawn) in joints.drawn.iter().enumerate() {
        ranges.point(format_args!("joints.drawn[{number}].from"), drawn.from);
        ranges.point(format_args!("joints.drawn[{number}].to"), drawn.to);
    }
    ranges.length(format_args!("joints.column_gap"), joints.column_gap, 0.0, 48.0);
    let cover = joints.least_cover_over_tube;
    ranges.length(format_args!("joints.least_cover_over_tube"), cover, 0.0, 12.0);
    ranges.length(
        format_args!("joints.thin_slab_allowance"),
        joints.thin_slab_allowance,
        0.0,
        12.0,
    );
}

fn subgrade(subgrade: &Subgrade, ranges: &mut Ranges<'_>) {
    let target = subgrade.target_height;
    ranges.length(format_args!("subgrade.target_height"), target, -HIGHEST_IN, HIGHEST_IN);
    ranges.length(format_args!("subgrade.tolerance"), subgrade.tolerance, 0.0, 120.0);
    ranges.count(format_args!("subgrade.shots"), subgrade.shots.len(), MOST_SHOTS);
    for (number, shot) in subgrade.shots.iter().enumerate() {
        let field = format_args!("subgrade.shots[{number}]");
        ranges.point(format_args!("{field}.at"), shot.at);
        ranges.length(format_args!("{field}.height"), shot.height, -HIGHEST_IN, HIGHEST_IN);
        ranges.text(format_args!("{field}.note"), &shot.note);
    }
}

fn pour(pour: &PourPlan, ranges: &mut Ranges<'_>) {
    ranges.number(format_args!("pour.allowance"), pour.allowance, 0.0, 1.0);
    ranges.number(format_args!("pour.order_step_yd3"), pour.order_step_yd3, 0.01, 10.0);
    ranges.number(format_args!("pour.truck_yd3"), pour.truck_yd3, 0.5, 20.0);
    ranges.number(format_args!("pour.short_load_yd3"), pour.short_load_yd3, 0.0, 20.0);
    ranges.angle(format_args!("pour.direction_degrees"), pour.direction_degrees);
    ranges.length(format_args!("pour.screed_strip"), pour.screed_strip, 24.0, 1200.0);
    ranges.number(format_args!("pour.placing_rate"), pour.placing_rate, 0.1, 1000.0);
    ranges.number(format_args!("pour.round_trip_minutes"), pour.round_trip_minutes, 1.0, 1440.0);
    let limit = pour.discharge_limit_minutes;
    ranges.number(format_args!("pour.discharge_limit_minutes"), limit, 1.0, 1440.0);
    ranges.text(format_args!("pour.date"), &pour.date);
    ranges.count(format_args!("pour.days_off"), pour.days_off.len(), 60);
    for (number, day) in pour.days_off.iter().enumerate() {
        ranges.text(format_args!("pour.days_off[{number}]"), day);
    }
    ranges.number(format_args!("pour.trucks_given"), f64::from(pour.trucks_given), 0.0, 1000.0);
    if let Some(start) = pour.start_minutes {
        ranges.number(format_args!("pour.start_minutes"), start, 0.0, 2880.0);
    }
    let mix = &pour.mix;
    ranges.number(format_args!("pour.mix.strength_psi"), mix.strength_psi, 0.0, 20_000.0);
    ranges.length(format_args!("pour.mix.aggregate"), mix.aggregate, 0.1, 6.0);
    ranges.number(format_args!("pour.mix.air_percent"), mix.air_percent, 0.0, 20.0);
    ranges.length(format_args!("pour.mix.slump"), mix.slump, 0.0, 14.0);
    ranges.text(format_args!("pour.mix.admixtures"), &mix.admixtures);
    let weather = &pour.weather;
    ranges.number(format_args!("pour.weather.air_f"), weather.air_f, -60.0, 140.0);
    ranges.number(format_args!("pour.weather.concrete_f"), weather.concrete_f, 0.0, 200.0);
    ranges.number(
        format_args!("pour.weather.humidity_percent"),
        weather.humidity_percent,
        0.0,
        100.0,
    );
    ranges.number(format_args!("pour.weather.wind_mph"), weather.wind_mph, 0.0, 200.0);
    ranges.count(format_args!("pour.tickets"), pour.tickets.len(), MOST_THINGS);
    for (number, ticket) in pour.tickets.iter().enumerate() {
        let field = format_args!("pour.tickets[{number}]");
        ranges.number(format_args!("{field}.yards"), ticket.yards, 0.0, 20.0);
        if let Some(reached) = ticket.reached {
            ranges.point(format_args!("{field}.reached"), reached);
        }
        if let Some(batched) = ticket.batched_minutes {
            ranges.number(format_args!("{field}.batched_minutes"), batched, 0.0, 2880.0);
        }
    }
}

fn prices(prices: &Prices, ranges: &mut Ranges<'_>) {
    ranges.count(format_args!("prices.rates"), prices.rates.len(), MOST_THINGS);
    for (number, rate) in prices.rates.iter().enumerate() {
        ranges.cents(format_args!("prices.rates[{number}].rate"), rate.rate);
    }
    ranges.count(format_args!("prices.extras"), prices.extras.len(), MOST_THINGS);
    for (number, extra) in prices.extras.iter().enumerate() {
        ranges.number(format_args!("prices.extras[{number}].quantity"), extra.quantity, -1e6, 1e6);
        ranges.cents(format_args!("prices.extras[{number}].rate"), extra.rate);
    }
    ranges.number(format_args!("prices.overhead"), prices.overhead, -1.0, 10.0);
    ranges.number(format_args!("prices.margin"), prices.margin, -1.0, 10.0);
    ranges.number(format_args!("prices.tax"), prices.tax, 0.0, 1.0);
    ranges.count(format_args!("prices.alternates"), prices.alternates.len(), 50);
    for (number, alternate) in prices.alternates.iter().enumerate() {
        let field = format_args!("prices.alternates[{number}]");
        if let Some(floor) = alternate.floor_thickness {
            ranges.length(format_args!("{field}.floor_thickness"), floor, 1.0, 60.0);
        }
        if let Some(foam) = alternate.foam_thickness {
            ranges.length(format_args!("{field}.foam_thickness"), foam, 0.0, 24.0);
        }
        if let Some(spacing) = alternate.tube_spacing {
            ranges.length(format_args!("{field}.tube_spacing"), spacing, 3.0, 48.0);
        }
        if let Some(fibre) = alternate.fibre_instead_of_steel {
            ranges.number(format_args!("{field}.fibre_instead_of_steel"), fibre, 0.0, 200.0);
        }
        ranges.count(format_args!("{field}.rates"), alternate.rates.len(), MOST_THINGS);
        for (place, rate) in alternate.rates.iter().enumerate() {
            ranges.cents(format_args!("{field}.rates[{place}].rate"), rate.rate);
        }
    }
    ranges.count(format_args!("prices.versions"), prices.versions.len(), MOST_THINGS);
    for (number, version) in prices.versions.iter().enumerate() {
        let field = format_args!("prices.versions[{number}]");
        ranges.text(format_args!("{field}.date"), &version.date);
        ranges.text(format_args!("{field}.note"), &version.note);
        ranges.cents(format_args!("{field}.total"), version.total);
    }
}

fn sheets(sheets: &SheetSet, ranges: &mut Ranges<'_>) {
    if let Some(scale) = sheets.scale {
        ranges.number(format_args!("sheet_set.scale"), scale.0, 1.0, 2400.0);
    }
    ranges.count(format_args!("sheet_set.moved_labels"), sheets.moved_labels.len(), MOST_THINGS);
    for (number, label) in sheets.moved_labels.iter().enumerate() {
        ranges.number(
            format_args!("sheet_set.moved_labels[{number}].right"),
            label.right,
            -5e3,
            5e3,
        );
        ranges.number(format_args!("sheet_set.moved_labels[{number}].down"), label.down, -5e3, 5e3);
    }
    ranges.count(format_args!("sheet_set.revisions"), sheets.revisions.len(), 100);
    ranges.count(format_args!("sheet_set.company_lines"), sheets.company_lines.len(), 20);
}

fn as_laid(job: &Job, ranges: &mut Ranges<'_>) {
    ranges.count(format_args!("as_laid.circuits"), job.as_laid.circuits.len(), MOST_THINGS);
    for (number, circuit) in job.as_laid.circuits.iter().enumerate() {
        let field = format_args!("as_laid.circuits[{number}]");
        ranges.number(format_args!("{field}.start_mark_ft"), circuit.start_mark_ft, 0.0, 1e6);
        ranges.number(format_args!("{field}.end_mark_ft"), circuit.end_mark_ft, 0.0, 1e6);
    }
    ranges.count(format_args!("as_laid.tests"), job.as_laid.tests.len(), MOST_THINGS);
    for (number, test) in job.as_laid.tests.iter().enumerate() {
        let field = format_args!("as_laid.tests[{number}]");
        ranges.number(format_args!("{field}.start_psi"), test.start_psi, 0.0, 1000.0);
        ranges.number(format_args!("{field}.end_psi"), test.end_psi, 0.0, 1000.0);
        ranges.number(format_args!("{field}.hours"), test.hours, 0.0, 1e4);
        ranges.number(format_args!("{field}.air_f"), test.air_f, -60.0, 200.0);
    }
}

fn underlay(job: &Job, ranges: &mut Ranges<'_>) {
    let Some(picture) = &job.underlay.picture else { return };
    ranges.text(format_args!("underlay.picture.path"), &picture.path);
    ranges.point(format_args!("underlay.picture.at"), picture.at);
    let (least, most) = WIDTH_RANGE_IN;
    ranges.length(format_args!("underlay.picture.width"), picture.width, least, most);
    ranges.angle(format_args!("underlay.picture.turn_degrees"), picture.turn_degrees);
    ranges.number(format_args!("underlay.picture.strength"), picture.strength, 0.05, 1.0);
    ranges.number(format_args!("underlay.picture.page"), f64::from(picture.page), 1.0, 10_000.0);
}
