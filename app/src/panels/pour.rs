//! Pour: the order, the trucks, the crew, the weather on the day.

use super::changed;
use super::order::{read_day, read_days_off};
use crate::editor::requests::Requests;
use crate::editor::view_context::ViewContext;
use crate::widgets::{
    choice_field, length_field, note, number_field, quantity_row, section, text_field,
};
use egui::Ui;
use slabloom_core::edit::Edit;
use slabloom_core::job::pour::{LoadSplit, StrikeOff};
use slabloom_core::units::quantity_text::show_volume;
use slabloom_core::units::{Length, Volume, show_inches, show_number};

pub(super) fn pour_ui(cx: &ViewContext<'_>, ui: &mut Ui, ask: &mut Requests) {
    section(ui, "Order", true, |ui| order(cx, ui, ask));
    section(ui, "Ground", false, |ui| super::ground::ground_ui(cx, ui, ask));
    section(ui, "Trucks", true, |ui| trucks(cx, ui, ask));
    section(ui, "Crew", true, |ui| crew(cx, ui, ask));
    section(ui, "Mix", false, |ui| mix(cx, ui, ask));
    section(ui, "Weather on the day", false, |ui| weather(cx, ui, ask));
    let has_tickets = !cx.job.pour.tickets.is_empty();
    section(ui, "Tickets", has_tickets, |ui| super::tickets::tickets_ui(cx, ui, ask));
    section(ui, "Record", false, |ui| super::record::record_ui(cx, ui, ask));
    note(ui, "Wet concrete burns skin: gloves, boots, eye protection, water at hand.");
}

fn order(cx: &ViewContext<'_>, ui: &mut Ui, ask: &mut Requests) {
    let (plan, pour) = (&cx.job.pour, &cx.results.parts.pour);
    let system = cx.system();
    let yards = |yards: f64| show_volume(Volume::cubic_yards(yards), system);
    quantity_row(ui, cx.palette, "Net", &yards(pour.net_yd3), None);
    quantity_row(ui, cx.palette, "Allowance", &yards(pour.allowance_yd3), None);
    quantity_row(ui, cx.palette, "Order", &yards(pour.order_yd3), None);
    let given = text_field(ui, "Day of the pour", &plan.date, read_day);
    changed!(ask, Edit::SetPour, plan, given, |copy, v| copy.date = v);
    let given = text_field(ui, "Days off before it", &plan.days_off.join(", "), read_days_off);
    changed!(ask, Edit::SetPour, plan, given, |copy, v| copy.days_off = v);
    let given = number_field(ui, "Rounded up to", plan.order_step_yd3, "yd³");
    changed!(ask, Edit::SetPour, plan, given, |copy, v| copy.order_step_yd3 = v.clamp(0.0, 5.0));
    let given = number_field(ui, "Allowance over net", plan.allowance * 100.0, "%");
    changed!(ask, Edit::SetPour, plan, given, |copy, v| {
        copy.allowance = (v / 100.0).clamp(0.0, 1.0);
    });
    if let Some(left) = pour.still_to_order_yd3 {
        quantity_row(ui, cx.palette, "Still to order", &yards(left), None);
    }
}

fn trucks(cx: &ViewContext<'_>, ui: &mut Ui, ask: &mut Requests) {
    let (plan, pour) = (&cx.job.pour, &cx.results.parts.pour);
    let given = number_field(ui, "A truck carries", plan.truck_yd3, "yd³");
    changed!(ask, Edit::SetPour, plan, given, |copy, v| copy.truck_yd3 = v.clamp(0.5, 20.0));
    let given = number_field(ui, "A short load is below", plan.short_load_yd3, "yd³");
    changed!(ask, Edit::SetPour, plan, given, |copy, v| copy.short_load_yd3 = v.clamp(0.0, 20.0));
    let splits = [(LoadSplit::FullThenRest, "Full first"), (LoadSplit::Even, "As even as can be")];
    let given = choice_field(ui, "Loads", plan.load_split, &splits);
    changed!(ask, Edit::SetPour, plan, given, |copy, v| copy.load_split = v);
    let given = number_field(ui, "Plant and back", plan.round_trip_minutes, "min");
    changed!(ask, Edit::SetPour, plan, given, |copy, v| {
        copy.round_trip_minutes = v.clamp(0.0, 600.0);
    });
    let given = number_field(ui, "Batched to empty, at most", plan.discharge_limit_minutes, "min");
    changed!(ask, Edit::SetPour, plan, given, |copy, v| {
        copy.discharge_limit_minutes = v.clamp(1.0, 600.0);
    });
    let given = number_field(ui, "Trucks (0: as needed)", f64::from(plan.trucks_given), "");
    changed!(ask, Edit::SetPour, plan, given, |copy, v| {
        copy.trucks_given = v.clamp(0.0, 50.0) as u32;
    });
    let directions = [(0.0, "East"), (90.0, "North"), (180.0, "West"), (270.0, "South")];
    let given = choice_field(ui, "Pour moves", plan.direction_degrees, &directions);
    changed!(ask, Edit::SetPour, plan, given, |copy, v| copy.direction_degrees = v);
    for (index, load) in pour.loads_yd3.iter().enumerate() {
        let at = plan.start_minutes.zip(pour.truck_minutes.get(index));
        let at = at.map_or_else(String::new, |(start, [from, _])| {
            format!(", on site {}", clock(start + from))
        });
        let name = format!("Truck {}{at}", index + 1);
        let shown = show_volume(Volume::cubic_yards(*load), cx.system());
        quantity_row(ui, cx.palette, &name, &shown, None);
    }
    if pour.trucks_needed > 0 {
        let trucks = pour.trucks_needed.to_string();
        quantity_row(ui, cx.palette, "On the road at once", &trucks, None);
        let minutes = format!("{} min", show_number(pour.truck_interval_minutes, 0));
        quantity_row(ui, cx.palette, "From truck to truck", &minutes, None);
        let hours = format!("{} h", show_number(pour.placing_minutes / 60.0, 1));
        quantity_row(ui, cx.palette, "To place all of it", &hours, None);
    }
}

/// Minutes after midnight as `7:30`.
pub(super) fn clock(minutes: f64) -> String {
    let minutes = minutes.clamp(0.0, 24.0 * 60.0) as u32;
    format!("{}:{:02}", minutes / 60, minutes % 60)
}

pub(super) fn read_clock(text: &str) -> Result<Option<f64>, String> {
    let text = text.trim();
    if text.is_empty() {
        return Ok(None);
    }
    let (hours, minutes) = text.split_once(':').unwrap_or((text, "0"));
    match (hours.trim().parse::<u32>(), minutes.trim().parse::<u32>()) {
        (Ok(hours), Ok(minutes)) if hours < 24 && minutes < 60 => {
            Ok(Some(f64::from(hours * 60 + minutes)))
        }
        _ => Err("Write a time of day such as 7:30".to_owned()),
    }
}

fn crew(cx: &ViewContext<'_>, ui: &mut Ui, ask: &mut Requests) {
    let plan = &cx.job.pour;
    let shown = plan.start_minutes.map(clock).unwrap_or_default();
    let given = text_field(ui, "First truck at", &shown, read_clock);
    changed!(ask, Edit::SetPour, plan, given, |copy, v| copy.start_minutes = v);
    let given = number_field(ui, "The crew places", plan.placing_rate, "yd³/h");
    changed!(ask, Edit::SetPour, plan, given, |copy, v| copy.placing_rate = v.clamp(1.0, 200.0));
    let given = length_field(ui, "Screed strip", plan.screed_strip, cx.display());
    changed!(ask, Edit::SetPour, plan, given, |copy, v| copy.screed_strip = v);
    let ways = [
        (StrikeOff::Straightedge, "Straightedge"),
        (StrikeOff::VibratingBoard, "Vibrating board"),
        (StrikeOff::RollerTube, "Roller tube"),
        (StrikeOff::LaserScreed, "Laser screed"),
    ];
    let given = choice_field(ui, "Struck off by", plan.strike_off, &ways);
    changed!(ask, Edit::SetPour, plan, given, |copy, v| copy.strike_off = v);
    let tool = slabloom_core::pour::tool(plan);
    let inches = |inches| show_inches(Length::inches(inches), cx.display().rounding);
    let range = format!("{} to {}", inches(tool.least_slump_in), inches(tool.most_slump_in));
    let is_within = tool.works_with(plan.mix.slump.to_inches());
    let mark = if is_within { "" } else { "▲ " };
    quantity_row(ui, cx.palette, "It works with a slump of", &format!("{mark}{range}"), None);
    if !is_within {
        let slump = inches(plan.mix.slump.to_inches());
        note(ui, format!("The mix has {slump}: agree it with the plant, by admixture, not water."));
    }
}

fn mix(cx: &ViewContext<'_>, ui: &mut Ui, ask: &mut Requests) {
    let plan = &cx.job.pour;
    let given = number_field(ui, "Strength", plan.mix.strength_psi, "psi");
    changed!(ask, Edit::SetPour, plan, given, |copy, v| copy.mix.strength_psi = v.max(0.0));
    let given = length_field(ui, "Slump", plan.mix.slump, cx.display());
    changed!(ask, Edit::SetPour, plan, given, |copy, v| copy.mix.slump = v);
    let given = number_field(ui, "Air", plan.mix.air_percent, "%");
    changed!(ask, Edit::SetPour, plan, given, |copy, v| copy.mix.air_percent = v.clamp(0.0, 20.0));
}

fn weather(cx: &ViewContext<'_>, ui: &mut Ui, ask: &mut Requests) {
    let plan = &cx.job.pour;
    let weather = plan.weather;
    let given = number_field(ui, "Air", weather.air_f, "°F");
    changed!(ask, Edit::SetPour, plan, given, |copy, v| copy.weather.air_f = v);
    let given = number_field(ui, "Concrete", weather.concrete_f, "°F");
    changed!(ask, Edit::SetPour, plan, given, |copy, v| copy.weather.concrete_f = v);
    let given = number_field(ui, "Humidity", weather.humidity_percent, "%");
    changed!(ask, Edit::SetPour, plan, given, |copy, v| {
        copy.weather.humidity_percent = v.clamp(0.0, 100.0);
    });
    let given = number_field(ui, "Wind", weather.wind_mph, "mph");
    changed!(ask, Edit::SetPour, plan, given, |copy, v| copy.weather.wind_mph = v.max(0.0));
    if let Some(rate) = cx.results.parts.pour.evaporation {
        let shown = format!("{} lb/ft²·h", show_number(rate, 2));
        quantity_row(ui, cx.palette, "Evaporation", &shown, None);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn times_of_day_are_read_as_they_are_shown() {
        assert_eq!(read_clock("7:30"), Ok(Some(450.0)));
        assert_eq!(read_clock("7"), Ok(Some(420.0)));
        assert_eq!(read_clock(""), Ok(None));
        assert!(read_clock("25:00").is_err());
        assert_eq!(clock(450.0), "7:30");
    }
}
