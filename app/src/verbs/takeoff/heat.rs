//! Heat in the whole takeoff: where the water's heat goes, and what other depths, spacings and
//! foams would do.

use slabloom_core::derive::Results;
use slabloom_core::heat::compare::{FloorChoice, FoamChoice};
use slabloom_core::heat::study::HeatStudy;
use slabloom_core::job::Job;
use slabloom_core::sheets::heat::{cost_or, depth_name, season};
use slabloom_core::units::{UnitSystem, show_number};
use std::io::{self, Write};

/// Writes it as text; nothing for a floor that is not heated.
pub(super) fn write(job: &Job, results: &Results, out: &mut dyn Write) -> io::Result<()> {
    let (heat, study): (_, &HeatStudy) = (&results.parts.heat, &results.parts.heat_study);
    if study.floors.is_empty() {
        return Ok(());
    }
    writeln!(out, "\nHeat (an aid to layout, not a design)")?;
    if heat.supply_f > 0.0 {
        writeln!(
            out,
            "  water gives {} Btu/h: {} up, {} into the ground, {} out at the edge",
            whole(heat.water_btuh),
            whole(heat.up_btuh),
            whole(heat.down_btuh - heat.edge_btuh),
            whole(heat.edge_btuh)
        )?;
        writeln!(
            out,
            "  supply {} °F, return {} °F; floor {} °F in the mean, {} °F at the warmest",
            whole(heat.supply_f),
            whole(heat.return_f),
            show_number(heat.surface_mean_f, 1),
            show_number(heat.surface_max_f, 1)
        )?;
    }
    writeln!(out, "  tube               supply °F  EN 1264 °F  down %  swing °F  hours to 90 %")?;
    for floor in &study.floors {
        write_floor(floor, out)?;
    }
    writeln!(
        out,
        "  foam                 R        boards    loss at design    loss a year  its cost"
    )?;
    let system = job.facts.display.rounding.system();
    for foam in results.parts.foam_costs.iter() {
        write_foam(foam, system, out)?;
    }
    Ok(())
}

fn whole(value: f64) -> String {
    show_number(value, 0)
}

fn own(is_own: bool) -> &'static str {
    if is_own { "  this job" } else { "" }
}

fn write_floor(floor: &FloorChoice, out: &mut dyn Write) -> io::Result<()> {
    writeln!(
        out,
        "  {:<18} {:>9}  {:>10}  {:>6}  {:>8}  {:>13}{}",
        format!("{} {} in", depth_name(floor.depth), show_number(floor.spacing_in, 1)),
        whole(floor.supply_f),
        whole(floor.standard_supply_f),
        whole(floor.down_share * 100.0),
        show_number(floor.ripple_f, 1),
        show_number(floor.warm_up_h, 1),
        own(floor.is_own)
    )
}

fn write_foam(foam: &FoamChoice, system: UnitSystem, out: &mut dyn Write) -> io::Result<()> {
    writeln!(
        out,
        "  {:<17} {:>4} {:>13} {:>11} Btu/h {:>14} {:>9}{}",
        format!("{} in", show_number(foam.thickness_in, 1)),
        whole(foam.r_value),
        cost_or(foam.cost, "no rate"),
        whole(foam.loss.iso_13370_btuh),
        season(foam.loss.season_btu, system),
        cost_or(foam.season_cost, "no price"),
        own(foam.is_own)
    )
}
