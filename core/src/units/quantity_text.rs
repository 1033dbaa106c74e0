//! Areas, volumes, temperatures, flows, heat, weights and pressures as people write them.
//!
//! Every quantity is a number and a unit from a table of spellings; blanks, case, full stops and
//! the way a power or a quotient is written (`ft²`, `ft2`, `sq ft`; `Btu/h`, `btuh`, `Btu/hr`)
//! make no difference. A bare number is in the usual unit of the chosen [`UnitSystem`].

use super::scan::Scanner;
use super::show::show_number;
use super::{
    Area, Flow, HeatFlow, HeatFlux, ParseError, Pressure, Temperature, ThermalResistance,
    UnitSystem, Volume, Weight,
};

/// A spelling of a unit without blanks and in small letters, and what a number of it is.
type Spelling<Quantity> = (&'static str, fn(f64) -> Quantity);

/// Reads a number and a unit of `spellings`; the first of them names the unit of a bare number.
fn read<Quantity>(
    text: &str,
    bare: fn(f64) -> Quantity,
    spellings: &[Spelling<Quantity>],
) -> Result<Quantity, ParseError> {
    let mut scanner = Scanner::new(text)?;
    scanner.skip_blanks();
    let is_negative = matches!(scanner.peek(), Some('-' | '−' | '–'));
    if is_negative || scanner.peek() == Some('+') {
        scanner.skip();
        scanner.skip_blanks();
    }
    let (number, _) = scanner.number()?;
    let value = if is_negative { 0.0 - number } else { number };
    scanner.skip_blanks();
    let at = scanner.at();
    let unit: String = scanner
        .take_while(|_| true)
        .chars()
        .filter(|character| !character.is_whitespace() && !matches!(character, '.' | '°' | '·'))
        .flat_map(char::to_lowercase)
        .map(|character| match character {
            '²' => '2',
            '³' => '3',
            'º' => ' ',
            other => other,
        })
        .filter(|&character| character != ' ')
        .collect();
    if unit.is_empty() {
        return Ok(bare(value));
    }
    match spellings.iter().find(|(spelling, _)| *spelling == unit) {
        Some((_, make)) => Ok(make(value)),
        None => {
            let known: Vec<_> = spellings.iter().map(|&(spelling, _)| spelling).collect();
            Err(scanner.mistake(
                at,
                format!("That unit is not known here: write one of {}", known.join(", ")),
            ))
        }
    }
}

/// Shows `value` in a unit.
fn show(value: f64, decimals: u32, unit: &str) -> String {
    format!("{} {unit}", show_number(value, decimals))
}

/// Reads an area: `1,008 ft²`, `93.6 m2`, `1008 sq ft`.
///
/// # Errors
/// [`ParseError`] with the place of the mistake.
pub fn parse_area(text: &str, bare: UnitSystem) -> Result<Area, ParseError> {
    let bare = by_system(bare, Area::square_feet, Area::square_meters);
    read(
        text,
        bare,
        &[
            ("ft2", Area::square_feet),
            ("m2", Area::square_meters),
            ("in2", Area::square_inches),
            ("sqft", Area::square_feet),
            ("sf", Area::square_feet),
            ("squarefeet", Area::square_feet),
            ("sqm", Area::square_meters),
            ("sqin", Area::square_inches),
        ],
    )
}

/// Shows an area: `1,008 ft²` or `93.6 m²`.
#[must_use]
pub fn show_area(area: Area, system: UnitSystem) -> String {
    match system {
        UnitSystem::Us => show(area.to_square_feet(), 0, "ft²"),
        UnitSystem::Metric => show(area.to_square_meters(), 1, "m²"),
    }
}

/// Reads a volume: `16.25 yd³`, `12.4 m3`, `440 cu ft`, `5 gal`.
///
/// # Errors
/// [`ParseError`] with the place of the mistake.
pub fn parse_volume(text: &str, bare: UnitSystem) -> Result<Volume, ParseError> {
    let bare = by_system(bare, Volume::cubic_yards, Volume::cubic_meters);
    read(
        text,
        bare,
        &[
            ("yd3", Volume::cubic_yards),
            ("m3", Volume::cubic_meters),
            ("ft3", Volume::cubic_feet),
            ("gal", Volume::gallons),
            ("l", Volume::liters),
            ("cuyd", Volume::cubic_yards),
            ("cy", Volume::cubic_yards),
            ("yd", Volume::cubic_yards),
            ("yards", Volume::cubic_yards),
            ("cubicyards", Volume::cubic_yards),
            ("cuft", Volume::cubic_feet),
            ("cf", Volume::cubic_feet),
            ("cum", Volume::cubic_meters),
            ("gallons", Volume::gallons),
            ("liters", Volume::liters),
            ("litres", Volume::liters),
        ],
    )
}

/// Shows a volume of concrete or stone: `16.25 yd³` or `12.42 m³`.
#[must_use]
pub fn show_volume(volume: Volume, system: UnitSystem) -> String {
    match system {
        UnitSystem::Us => show(volume.to_cubic_yards(), 2, "yd³"),
        UnitSystem::Metric => show(volume.to_cubic_meters(), 2, "m³"),
    }
}

/// Shows a volume of fluid: `6.1 gal` or `23.1 L`.
#[must_use]
pub fn show_fluid(volume: Volume, system: UnitSystem) -> String {
    match system {
        UnitSystem::Us => show(volume.to_gallons(), 1, "gal"),
        UnitSystem::Metric => show(volume.to_liters(), 1, "L"),
    }
}

/// Reads a temperature: `104 °F`, `40 C`, `-5 deg F`.
///
/// # Errors
/// [`ParseError`] with the place of the mistake.
pub fn parse_temperature(text: &str, bare: UnitSystem) -> Result<Temperature, ParseError> {
    let bare = by_system(bare, Temperature::fahrenheit, Temperature::celsius);
    read(
        text,
        bare,
        &[
            ("f", Temperature::fahrenheit),
            ("c", Temperature::celsius),
            ("degf", Temperature::fahrenheit),
            ("degc", Temperature::celsius),
        ],
    )
}

/// Shows a temperature: `104 °F` or `40.0 °C`.
#[must_use]
pub fn show_temperature(temperature: Temperature, system: UnitSystem) -> String {
    match system {
        UnitSystem::Us => show(temperature.to_fahrenheit(), 0, "°F"),
        UnitSystem::Metric => show(temperature.to_celsius(), 1, "°C"),
    }
}

/// Reads a flow: `0.85 gpm`, `3.2 L/min`.
///
/// # Errors
/// [`ParseError`] with the place of the mistake.
pub fn parse_flow(text: &str, bare: UnitSystem) -> Result<Flow, ParseError> {
    let bare = by_system(bare, Flow::gallons_per_minute, Flow::liters_per_minute);
    read(
        text,
        bare,
        &[
            ("gpm", Flow::gallons_per_minute),
            ("l/min", Flow::liters_per_minute),
            ("gal/min", Flow::gallons_per_minute),
            ("lpm", Flow::liters_per_minute),
        ],
    )
}

/// Shows a flow: `0.85 gpm` or `3.22 L/min`.
#[must_use]
pub fn show_flow(flow: Flow, system: UnitSystem) -> String {
    match system {
        UnitSystem::Us => show(flow.to_gallons_per_minute(), 2, "gpm"),
        UnitSystem::Metric => show(flow.to_liters_per_minute(), 2, "L/min"),
    }
}

/// Reads a flow of heat: `12,300 Btu/h`, `12.3 MBH`, `3.6 kW`.
///
/// # Errors
/// [`ParseError`] with the place of the mistake.
pub fn parse_heat(text: &str, bare: UnitSystem) -> Result<HeatFlow, ParseError> {
    let bare = by_system(bare, HeatFlow::btu_per_hour, HeatFlow::watts);
    read(
        text,
        bare,
        &[
            ("btu/h", HeatFlow::btu_per_hour),
            ("w", HeatFlow::watts),
            ("kw", |kilowatts| HeatFlow::watts(kilowatts * 1000.0)),
            ("mbh", |thousands| HeatFlow::btu_per_hour(thousands * 1000.0)),
            ("btuh", HeatFlow::btu_per_hour),
            ("btu/hr", HeatFlow::btu_per_hour),
        ],
    )
}

/// Shows a flow of heat: `12,300 Btu/h` or `3,605 W`.
#[must_use]
pub fn show_heat(heat: HeatFlow, system: UnitSystem) -> String {
    match system {
        UnitSystem::Us => show(heat.to_btu_per_hour(), 0, "Btu/h"),
        UnitSystem::Metric => show(heat.to_watts(), 0, "W"),
    }
}

/// Reads heat through an area: `20 Btu/(h·ft²)`, `20 btuh/ft2`, `63 W/m²`.
///
/// # Errors
/// [`ParseError`] with the place of the mistake.
pub fn parse_heat_flux(text: &str, bare: UnitSystem) -> Result<HeatFlux, ParseError> {
    let bare =
        by_system(bare, HeatFlux::btu_per_hour_square_foot, HeatFlux::watts_per_square_meter);
    read(
        text,
        bare,
        &[
            ("btu/(hft2)", HeatFlux::btu_per_hour_square_foot),
            ("w/m2", HeatFlux::watts_per_square_meter),
            ("btu/h/ft2", HeatFlux::btu_per_hour_square_foot),
            ("btu/hft2", HeatFlux::btu_per_hour_square_foot),
            ("btuh/ft2", HeatFlux::btu_per_hour_square_foot),
            ("btu/(hrft2)", HeatFlux::btu_per_hour_square_foot),
        ],
    )
}

/// Shows heat through an area: `20.0 Btu/(h·ft²)` or `63.1 W/m²`.
#[must_use]
pub fn show_heat_flux(flux: HeatFlux, system: UnitSystem) -> String {
    match system {
        UnitSystem::Us => show(flux.to_btu_per_hour_square_foot(), 1, "Btu/(h·ft²)"),
        UnitSystem::Metric => show(flux.to_watts_per_square_meter(), 1, "W/m²"),
    }
}

/// Reads a weight: `1,250 lb`, `3.2 tons` (short tons), `567 kg`.
///
/// # Errors
/// [`ParseError`] with the place of the mistake.
pub fn parse_weight(text: &str, bare: UnitSystem) -> Result<Weight, ParseError> {
    let bare = by_system(bare, Weight::pounds, Weight::kilograms);
    read(
        text,
        bare,
        &[
            ("lb", Weight::pounds),
            ("kg", Weight::kilograms),
            ("ton", Weight::short_tons),
            ("lbs", Weight::pounds),
            ("pounds", Weight::pounds),
            ("tons", Weight::short_tons),
        ],
    )
}

/// Shows a weight: `1,250 lb` or `567 kg`.
#[must_use]
pub fn show_weight(weight: Weight, system: UnitSystem) -> String {
    match system {
        UnitSystem::Us => show(weight.to_pounds(), 0, "lb"),
        UnitSystem::Metric => show(weight.to_kilograms(), 0, "kg"),
    }
}

/// Reads a pressure: `50 psi`, `345 kPa`, `3.4 bar`.
///
/// # Errors
/// [`ParseError`] with the place of the mistake.
pub fn parse_pressure(text: &str, bare: UnitSystem) -> Result<Pressure, ParseError> {
    let bare = by_system(bare, Pressure::psi, Pressure::kilopascals);
    read(
        text,
        bare,
        &[
            ("psi", Pressure::psi),
            ("kpa", Pressure::kilopascals),
            ("bar", |bar| Pressure::kilopascals(bar * 100.0)),
        ],
    )
}

/// Shows a pressure: `50.0 psi` or `345 kPa`.
#[must_use]
pub fn show_pressure(pressure: Pressure, system: UnitSystem) -> String {
    match system {
        UnitSystem::Us => show(pressure.to_psi(), 1, "psi"),
        UnitSystem::Metric => show(pressure.to_kilopascals(), 0, "kPa"),
    }
}

/// Reads a thermal resistance: `R-10`, `R10`, `10`, `1.76 m²·K/W`.
///
/// # Errors
/// [`ParseError`] with the place of the mistake.
pub fn parse_r_value(text: &str, bare: UnitSystem) -> Result<ThermalResistance, ParseError> {
    let bare = by_system(
        bare,
        ThermalResistance::r_value,
        ThermalResistance::square_meter_kelvin_per_watt,
    );
    // The R stands in front; it is replaced by blanks so that places still count from the text.
    let marked = text.trim_start().strip_prefix(['R', 'r']);
    let Some(rest) = marked else {
        return read(
            text,
            bare,
            &[
                ("hft2f/btu", ThermalResistance::r_value),
                ("m2k/w", ThermalResistance::square_meter_kelvin_per_watt),
            ],
        );
    };
    let number = rest.trim_start().strip_prefix('-').unwrap_or(rest);
    let before = text.chars().count() - number.chars().count();
    let blanked: String = std::iter::repeat_n(' ', before).chain(number.chars()).collect();
    read(&blanked, ThermalResistance::r_value, &[])
        .map_err(|error| ParseError { text: text.to_owned(), ..error })
}

/// Shows a thermal resistance: `R-10.0` or `1.76 m²·K/W`.
#[must_use]
pub fn show_r_value(resistance: ThermalResistance, system: UnitSystem) -> String {
    match system {
        UnitSystem::Us => format!("R-{}", show_number(resistance.to_r_value(), 1)),
        UnitSystem::Metric => show(resistance.to_square_meter_kelvin_per_watt(), 2, "m²·K/W"),
    }
}

fn by_system<Quantity>(
    system: UnitSystem,
    us: fn(f64) -> Quantity,
    metric: fn(f64) -> Quantity,
) -> fn(f64) -> Quantity {
    match system {
        UnitSystem::Us => us,
        UnitSystem::Metric => metric,
    }
}

#[cfg(test)]
mod tests {
    use super::UnitSystem::{Metric, Us};
    use super::*;

    #[test]
    fn what_is_shown_is_read_back() {
        for system in [Us, Metric] {
            for number in [0.0, 0.5, 12.0, 345.6, 12_345.0] {
                let area = Area::square_feet(number);
                let read = parse_area(&show_area(area, system), Us).unwrap();
                assert!((read.to_square_feet() - number).abs() <= 0.54);
                let volume = Volume::cubic_yards(number);
                let read = parse_volume(&show_volume(volume, system), Us).unwrap();
                assert!((read.to_cubic_yards() - number).abs() <= 0.0066);
                let read = parse_volume(&show_fluid(volume, system), Us).unwrap();
                assert!((read.to_gallons() - volume.to_gallons()).abs() <= 0.051);
                let heat = HeatFlow::btu_per_hour(number);
                let read = parse_heat(&show_heat(heat, system), Us).unwrap();
                assert!((read.to_btu_per_hour() - number).abs() <= 1.8);
                let flux = HeatFlux::btu_per_hour_square_foot(number);
                let read = parse_heat_flux(&show_heat_flux(flux, system), Us).unwrap();
                assert!((read.to_btu_per_hour_square_foot() - number).abs() <= 0.051);
                let flow = Flow::gallons_per_minute(number);
                let read = parse_flow(&show_flow(flow, system), Us).unwrap();
                assert!((read.to_gallons_per_minute() - number).abs() <= 0.0051);
                let weight = Weight::pounds(number);
                let read = parse_weight(&show_weight(weight, system), Us).unwrap();
                assert!((read.to_pounds() - number).abs() <= 1.11);
                let pressure = Pressure::psi(number);
                let read = parse_pressure(&show_pressure(pressure, system), Us).unwrap();
                assert!((read.to_psi() - number).abs() <= 0.073);
                let resistance = ThermalResistance::r_value(number);
                let read = parse_r_value(&show_r_value(resistance, system), Us).unwrap();
                assert!((read.to_r_value() - number).abs() <= 0.051);
                let temperature = Temperature::fahrenheit(number - 40.0);
                let read = parse_temperature(&show_temperature(temperature, system), Us).unwrap();
                assert!((read.to_fahrenheit() - temperature.to_fahrenheit()).abs() <= 0.51);
            }
        }
    }

    #[test]
    fn spellings_and_bare_numbers() {
        assert_eq!(parse_area("1,008 sq. ft.", Us).unwrap(), Area::square_feet(1008.0));
        assert_eq!(parse_area("93.6 m²", Us).unwrap(), Area::square_meters(93.6));
        assert_eq!(parse_area("93.6", Metric).unwrap(), Area::square_meters(93.6));
        assert_eq!(parse_volume("16.25 cu yd", Us).unwrap(), Volume::cubic_yards(16.25));
        assert_eq!(parse_volume("5 gal", Metric).unwrap(), Volume::gallons(5.0));
        assert_eq!(parse_temperature("40 °C", Us).unwrap(), Temperature::celsius(40.0));
        assert_eq!(parse_temperature("−5°F", Us).unwrap(), Temperature::fahrenheit(-5.0));
        assert_eq!(parse_heat("12.3 MBH", Us).unwrap(), HeatFlow::btu_per_hour(12_300.0));
        assert_eq!(parse_weight("1.5 tons", Us).unwrap(), Weight::pounds(3000.0));
        assert_eq!(parse_r_value("R-10", Metric).unwrap(), ThermalResistance::r_value(10.0));
        assert_eq!(parse_r_value(" r 10.5", Us).unwrap(), ThermalResistance::r_value(10.5));
        assert_eq!(show_area(Area::square_feet(1008.0), Us), "1,008 ft²");
        assert_eq!(show_r_value(ThermalResistance::r_value(10.0), Us), "R-10.0");
    }

    #[test]
    fn mistakes_have_a_place() {
        assert_eq!(parse_area("12 acres", Us).unwrap_err().at, 3);
        assert_eq!(parse_area("", Us).unwrap_err().at, 0);
        assert_eq!(parse_r_value("R-x", Us).unwrap_err().at, 2);
        assert_eq!(parse_volume("1,5 m3", Us).unwrap_err().at, 1);
    }
}
