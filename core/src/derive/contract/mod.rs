//! Results as JSON: a form of its own, so that the rooms inside may change freely.
//!
//! `core/results.schema.json` describes it and a test holds the two together. Coordinates are
//! inches in the job's own axes, rounded to a millionth; arcs are flattened to 0.02 in.

mod foam;
mod form;

use super::Results;
use super::alternates::PricedAlternate;
use crate::findings::{Finding, Severity};
use crate::geometry::{Point, Polygon, tolerance};
use crate::joints::{JointKind, JointLine};
use crate::price::StagePrice;
use crate::units::{Area, Length, Volume};
use form::*;

/// Version of the contract.
pub const SCHEMA: u32 = 1;

/// The results of a job as JSON text, keys in a fixed order, one line break at the end.
#[must_use]
pub fn to_json(results: &Results) -> String {
    to_json_with(results, &[])
}

/// The same with the alternates of the bid beside the price.
#[must_use]
pub fn to_json_with(results: &Results, alternates: &[PricedAlternate]) -> String {
    let mut document = document(results);
    document.price.alternates = alternates.iter().map(alternate).collect();
    // Plain structs of numbers and text always serialise; an empty text would fail every reader.
    let mut text = serde_json::to_string_pretty(&document).unwrap_or_default();
    text.push('\n');
    text
}

fn place(point: Point) -> Place {
    let round = |value: f64| (value * 1e6).round() / 1e6 + 0.0;
    [round(point.x), round(point.y)]
}

fn course(points: &[Point]) -> Course {
    points.iter().map(|&point| place(point)).collect()
}

fn patch(polygon: &Polygon) -> Patch {
    Patch {
        outline_in: course(&polygon.outer),
        holes_in: polygon.holes.iter().map(|hole| course(hole)).collect(),
    }
}

fn feet(inches: f64) -> f64 {
    Length::inches(inches).to_feet()
}

fn square_feet(square_inches: f64) -> f64 {
    Area::square_inches(square_inches).to_square_feet()
}

fn cubic_yards(cubic_inches: f64) -> f64 {
    Volume::cubic_inches(cubic_inches).to_cubic_yards()
}

fn document(results: &Results) -> Document {
    let parts = &results.parts;
    Document {
        schema: SCHEMA,
        slab: Slab {
            area_ft2: square_feet(parts.plan.area),
            perimeter_ft: feet(parts.plan.perimeter),
            outline_in: course(&parts.plan.region.outer),
            openings_in: parts.plan.openings.iter().map(|(_, ring)| course(ring)).collect(),
        },
        concrete: concrete(results),
        forms: forms(results),
        steel: steel(results),
        base: base(results),
        foam: foam::foam(results),
        tube: tube(results),
        heat: heat(results),
        joints: joints(results),
        pour: pour(results),
        subgrade: Subgrade {
            shots: parts.subgrade.shots,
            out_of_tolerance: parts.subgrade.out_of_tolerance.len(),
            cut_yd3: cubic_yards(parts.subgrade.cut),
            fill_yd3: cubic_yards(parts.subgrade.fill),
            extra_concrete_yd3: cubic_yards(parts.subgrade.extra_concrete),
            balance_raise_in: parts.subgrade.balance_raise,
            clear_raise_in: parts.subgrade.clear_raise,
        },
        takeoff: parts
            .takeoff
            .lines
            .iter()
            .map(|line| Quantity {
                key: line.key.clone(),
                item: line.item.clone(),
                quantity: line.quantity,
                unit: line.unit,
            })
            .collect(),
        price: price(results),
        findings: results.findings.iter().map(found).collect(),
    }
}

fn concrete(results: &Results) -> Concrete {
    let volumes = results.parts.concrete.volumes;
    let pour = &results.parts.pour;
    Concrete {
        floor_yd3: cubic_yards(volumes.floor),
        edges_yd3: cubic_yards(volumes.edges),
        strips_yd3: cubic_yards(volumes.strips),
        pads_yd3: cubic_yards(volumes.pads),
        recesses_yd3: cubic_yards(volumes.recesses),
        slopes_yd3: cubic_yards(volumes.slopes),
        displaced_yd3: cubic_yards(volumes.displaced),
        net_yd3: cubic_yards(volumes.net),
        allowance_yd3: pour.allowance_yd3,
        order_yd3: pour.order_yd3,
        loads_yd3: pour.loads_yd3.clone(),
    }
}

fn forms(results: &Results) -> Forms {
    let forms = &results.parts.concrete.forms;
    Forms {
        length_ft: feet(forms.sides.iter().map(|side| side.length).sum()),
        board_height_in: forms.board_height,
        boards: forms
            .stock
            .iter()
            .map(|&(length, count)| StockCount { length_ft: feet(length), count })
            .collect(),
        stakes: forms.stakes,
        kickers: forms.kickers,
        sides: forms
            .sides
            .iter()
            .map(|side| FormSide {
                from_in: place(side.from),
                to_in: place(side.to),
                length_ft: feet(side.length),
                boards_ft: side.boards.iter().map(|&board| feet(board)).collect(),
                stakes: side.stakes,
            })
            .collect(),
        diagonals: forms
            .diagonals
            .iter()
            .map(|diagonal| Diagonal {
                from_in: place(diagonal.from),
                to_in: place(diagonal.to),
                length_ft: feet(diagonal.length),
                of: diagonal.of.clone(),
            })
            .collect(),
    }
}

fn steel(results: &Results) -> Steel {
    let steel = &results.parts.concrete.steel;
    Steel {
        mesh: steel.mesh_name.clone(),
        mesh_count: steel.mesh_count,
        mesh_lb: steel.mesh_lb,
        bars: steel
            .bars
            .iter()
            .map(|bars| Bars {
                size: bars.size,
                length_ft: feet(bars.length),
                stock_bars: bars.stock_bars,
                weight_lb: bars.weight_lb,
            })
            .collect(),
        chairs: steel.chairs,
        ties: steel.ties,
        fibre_lb: steel.fibre_lb,
    }
}

fn base(results: &Results) -> Base {
    let base = &results.parts.concrete.base;
    Base {
        stone_in_place_yd3: cubic_yards(base.stone_in_place),
        stone_loose_yd3: base.stone_loose_yd3,
        stone_tons: base.stone_tons,
        membrane_ft2: square_feet(base.membrane),
        membrane_rolls: base.membrane_rolls,
    }
}

fn tube(results: &Results) -> Tube {
    let tube = &results.parts.tube;
    let water = &results.parts.heat.circuits;
    let circuits = tube.circuits.iter().enumerate().map(|(index, circuit)| {
        let water = water.get(index).cloned().unwrap_or_default();
        Circuit {
            name: circuit.name.clone(),
            zone: circuit.zone.0,
            manifold: circuit.manifold.0,
            path_in: course(&circuit.points(tolerance::ARC_CHORD_IN)),
            length_ft: feet(circuit.length),
            leader_ft: feet(circuit.leader),
            supply_leader_ft: feet(circuit.leader_ends.0),
            return_leader_ft: feet(circuit.leader_ends.1),
            is_pinned: circuit.is_pinned,
            is_edge_band: circuit.is_edge_band,
            limit_ft: feet(circuit.limit),
            least_radius_in: circuit.least_radius.is_finite().then_some(circuit.least_radius),
            flow_gpm: water.flow_gpm,
            head_ft: water.head_ft,
            output_btuh: water.output_btuh,
        }
    });
    let name = |index: usize| {
        tube.circuits.get(index).map(|circuit| circuit.name.clone()).unwrap_or_default()
    };
    Tube {
        circuits: circuits.collect(),
        coils: results
            .parts
            .coils
            .coils
            .iter()
            .map(|coil| Coil {
                length_ft: feet(coil.length_in),
                cuts: coil.cuts.iter().map(|&(circuit, _)| name(circuit)).collect(),
                left_ft: feet(coil.left_in),
            })
            .collect(),
        spacing_in: tube.zones.first().map_or(0.0, |zone| zone.spacing),
        heated_ft2: square_feet(tube.zones.iter().map(|zone| zone.heated_area).sum()),
        zones: zones(tube),
        manifolds: manifolds(&results.parts.tube),
    }
}

/// The zones, each with its edge band.
fn zones(tube: &crate::tube::Tube) -> Vec<Zone> {
    let band_of = |zone: &crate::tube::RoutedZone| {
        tube.zones.iter().find(|band| band.is_edge_band && band.id == zone.id)
    };
    let has_other_floor = |band: &crate::tube::RoutedZone| {
        tube.zones.iter().any(|zone| !zone.is_edge_band && zone.id == band.id)
    };
    let shown = tube.zones.iter().filter(|zone| !zone.is_edge_band || !has_other_floor(zone));
    shown
        .map(|zone| {
            // A band that takes all of its zone is the zone.
            let other = band_of(zone).filter(|_| !zone.is_edge_band);
            let parts: Vec<_> = std::iter::once(zone).chain(other).collect();
            let heated: f64 = parts.iter().map(|part| part.heated_area).sum();
            let covered = parts.iter().map(|part| part.covered * part.heated_area).sum::<f64>();
            Zone {
                id: zone.id.0,
                name: zone.name.clone(),
                spacing_in: zone.spacing,
                laid_spacing_in: zone.laid_spacing,
                heated_ft2: square_feet(heated),
                covered: if parts.len() > 1 { covered / heated.max(1.0) } else { zone.covered },
                area_in: parts.iter().flat_map(|part| &part.area).map(patch).collect(),
                edge_band: band_of(zone).and_then(|band| edge_band(tube, band)),
            }
        })
        .collect()
}

fn edge_band(tube: &crate::tube::Tube, band: &crate::tube::RoutedZone) -> Option<EdgeBand> {
    let laid = tube.bands.iter().find(|laid| laid.zone == band.id)?;
    Some(EdgeBand {
        width_in: laid.width,
        spacing_in: laid.spacing,
        outside_wall_ft: feet(laid.wall),
        along_ft: feet(laid.along),
        heated_ft2: square_feet(band.heated_area),
        covered: band.covered,
        area_in: band.area.iter().map(patch).collect(),
    })
}

fn manifolds(tube: &crate::tube::Tube) -> Vec<Manifold> {
    let ports = |id| {
        let own = tube.circuits.iter().filter(move |circuit| circuit.manifold == id);
        own.filter_map(|circuit| {
            Some(Ports {
                circuit: circuit.name.clone(),
                supply_in: place(circuit.path.first()?.start()),
                return_in: place(circuit.path.last()?.end()),
            })
        })
        .collect()
    };
    tube.manifolds
        .iter()
        .map(|manifold| Manifold {
            id: manifold.id.0,
            name: manifold.name.clone(),
            at_in: place(manifold.at),
            ports: ports(manifold.id),
            leader_corridor_in: manifold.leader_corridor.iter().map(patch).collect(),
        })
        .collect()
}

fn heat_choice(choice: &crate::heat::compare::FloorChoice) -> HeatChoice {
    use crate::job::heating::TubeDepth;
    HeatChoice {
        depth: match choice.depth {
            TubeDepth::Bottom => "bottom",
            TubeDepth::Middle => "middle",
            TubeDepth::Top => "top",
            TubeDepth::Axis(_) => "axis",
        },
        axis_in: choice.axis_in,
        spacing_in: choice.spacing_in,
        supply_f: choice.supply_f,
        en_1264_supply_f: choice.standard_supply_f,
        down_share: choice.down_share,
        ripple_f: choice.ripple_f,
        surface_max_f: choice.surface_max_f,
        warm_up_h: choice.warm_up_h,
        time_constant_h: choice.time_constant_h,
        is_own: choice.is_own,
    }
}

fn foam_alternative(choice: &crate::heat::compare::FoamChoice) -> FoamAlternative {
    FoamAlternative {
        thickness_in: choice.thickness_in,
        r_value: choice.r_value,
        boards_cost: choice.cost.map(crate::units::Cents::to_units),
        loss_btuh: choice.loss.iso_13370_btuh,
        season_btu: choice.loss.season_btu,
        season_cost: choice.season_cost.map(crate::units::Cents::to_units),
        is_own: choice.is_own,
    }
}

fn heat(results: &Results) -> Heat {
    let (heat, study) = (&results.parts.heat, &results.parts.heat_study);
    Heat {
        load_btuh: heat.load_btuh,
        supply_f: heat.supply_f,
        return_f: heat.return_f,
        up_btuh: heat.up_btuh,
        down_btuh: heat.down_btuh,
        edge_btuh: heat.edge_btuh,
        water_btuh: heat.water_btuh,
        surface_mean_f: heat.surface_mean_f,
        surface_max_f: heat.surface_max_f,
        surface_min_f: heat.surface_min_f,
        pump_gpm: heat.pump_gpm,
        pump_head_ft: heat.pump_head_ft,
        fluid_gal: heat.fluid_gallons,
        ground_iso_13370_btuh: study.ground.iso_13370_btuh,
        ground_edge_factor_btuh: study.ground.edge_factor_btuh,
        ground_season_btu: study.ground.season_btu,
        floors: study.floors.iter().map(heat_choice).collect(),
        foams: results.parts.foam_costs.iter().map(foam_alternative).collect(),
    }
}

fn joints(results: &Results) -> Joints {
    let settled = &results.parts.joints;
    let line = |line: &JointLine| Joint {
        name: line.name.clone(),
        kind: match line.kind {
            JointKind::Contraction => "contraction",
            JointKind::Isolation => "isolation",
            JointKind::Construction => "construction",
        },
        from_in: place(line.from),
        to_in: place(line.to),
        length_ft: feet(line.length()),
        saw_depth_in: line.saw_depth,
    };
    Joints {
        lines: settled
            .layout
            .lines
            .iter()
            .chain(&results.parts.moving_joints.lines)
            .map(line)
            .collect(),
        panels: settled
            .layout
            .panels
            .iter()
            .map(|panel| Panel {
                outline_in: course(&panel.outline),
                long_ft: feet(panel.long),
                short_ft: feet(panel.short),
                aspect: if panel.short > 0.0 { panel.aspect() } else { 0.0 },
            })
            .collect(),
        max_spacing_ft: feet(settled.layout.max_spacing),
        saw_ft: feet(settled.layout.saw_length),
        saw_bound_ft: feet(settled.layout.saw_bound),
        tees: settled.layout.tees,
        proposals: settled
            .layout
            .proposals
            .iter()
            .map(|other| JointProposal {
                name: other.name.clone(),
                spacing_ft: feet(other.spacing),
                saw_ft: feet(other.saw_length),
                tees: other.tees,
                panels: other.panels,
                worst_aspect: if other.worst_aspect.is_finite() { other.worst_aspect } else { 0.0 },
            })
            .collect(),
        crossings: settled
            .crossings
            .iter()
            .map(|crossing| Crossing {
                joint: crossing.joint.clone(),
                circuit: crossing.circuit.clone(),
                at_in: place(crossing.at),
                clearance_in: crossing.clearance,
                needs_sleeve: crossing.needs_sleeve,
            })
            .collect(),
    }
}

fn pour(results: &Results) -> Pour {
    let pour = &results.parts.pour;
    Pour {
        truck_lines: pour
            .truck_lines
            .iter()
            .map(|line| TruckLine {
                truck: line.truck,
                line_in: line.line.iter().map(|&[from, to]| [place(from), place(to)]).collect(),
                placed_yd3: line.placed_yd3,
            })
            .collect(),
        truck_interval_min: pour.truck_interval_minutes,
        trucks_needed: pour.trucks_needed,
        placing_min: pour.placing_minutes,
        evaporation_lb_ft2_h: pour.evaporation,
        still_to_order_yd3: pour.still_to_order_yd3,
        even_loads_yd3: pour.even_loads_yd3.clone(),
        live_edge_min: pour.live_edge_minutes,
    }
}

fn price(results: &Results) -> Price {
    let price = &results.parts.price;
    let area = square_feet(results.parts.plan.area);
    let total = price.total.to_units();
    Price {
        lines: price
            .lines
            .iter()
            .map(|line| PriceLine {
                item: line.item.clone(),
                quantity: line.quantity,
                unit: line.unit.clone(),
                rate: line.rate.to_units(),
                amount: line.amount.to_units(),
            })
            .collect(),
        stages: price.stages.iter().map(stage).collect(),
        alternates: Vec::new(),
        cost: price.cost.to_units(),
        overhead: price.overhead.to_units(),
        margin: price.margin.to_units(),
        tax: price.tax.to_units(),
        total,
        per_ft2: if area > 0.0 { total / area } else { 0.0 },
    }
}

fn stage(stage: &StagePrice) -> Stage {
    Stage { stage: stage.stage, amount: stage.amount.to_units() }
}

fn alternate(alternate: &PricedAlternate) -> Alternate {
    Alternate {
        name: alternate.name.clone(),
        total: alternate.price.total.to_units(),
        difference: alternate.difference.to_units(),
        stages: alternate.price.stages.iter().map(stage).collect(),
        changed: alternate
            .changed
            .iter()
            .map(|line| ChangedLine {
                item: line.item.clone(),
                own: line.own.to_units(),
                alternate: line.alternate.to_units(),
            })
            .collect(),
        unpriced: alternate.unpriced.clone(),
        down_btuh: alternate.down_btuh,
    }
}

fn found(finding: &Finding) -> FoundHere {
    FoundHere {
        level: match finding.severity {
            Severity::Stop => "stop",
            Severity::Warn => "warn",
            Severity::Note => "note",
        },
        rule: finding.rule,
        at_in: finding.at.map(place),
        message: finding.message.clone(),
        source: finding.source,
        remedy: finding.remedy.clone(),
    }
}
