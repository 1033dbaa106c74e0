//! Dates of plans: YYYY-MM-DD (ISO 8601), and working days before one.
//!
//! Method: dates become day numbers of the proleptic Gregorian calendar and back by whole-number
//! arithmetic on 400-year cycles. Working days are Monday to Friday; holidays differ from place to
//! place, so they are given.

/// Days from 1970-01-01, of a date written YYYY-MM-DD; `None` when it is no date.
#[must_use]
pub fn day_number(text: &str) -> Option<i64> {
    let mut fields = text.trim().splitn(3, '-');
    let (year, month, day) = (fields.next()?, fields.next()?, fields.next()?);
    if year.len() != 4 || month.len() != 2 || day.len() != 2 {
        return None;
    }
    let (year, month, day): (i64, i64, i64) =
        (year.parse().ok()?, month.parse().ok()?, day.parse().ok()?);
    let number = days(year, month, day);
    // The calendar says whether there is such a day: 30 February comes back as another one.
    (number_fields(number) == (year, month, day)).then_some(number)
}

/// A day number as YYYY-MM-DD.
#[must_use]
pub fn show_day(number: i64) -> String {
    let (year, month, day) = number_fields(number);
    format!("{year:04}-{month:02}-{day:02}")
}

/// The day so many working days before a day; nobody works on the weekend and on `days_off`.
#[must_use]
pub fn working_days_before(number: i64, count: u32, days_off: &[i64]) -> i64 {
    let mut day = number;
    for _ in 0..count {
        day -= 1;
        // A list without end would leave no working day: it is finite, so this ends.
        while is_weekend(day) || days_off.contains(&day) {
            day -= 1;
        }
    }
    day
}

/// Saturday or Sunday: 1970-01-01 was a Thursday.
fn is_weekend(number: i64) -> bool {
    matches!((number + 4).rem_euclid(7), 0 | 6)
}

fn days(year: i64, month: i64, day: i64) -> i64 {
    // Years start in March, so that the leap day is a year's last.
    let year = if month <= 2 { year - 1 } else { year };
    let (cycle, of_cycle) = (year.div_euclid(400), year.rem_euclid(400));
    let of_year = (153 * ((month + 9) % 12) + 2) / 5 + day - 1;
    cycle * 146_097 + of_cycle * 365 + of_cycle / 4 - of_cycle / 100 + of_year - 719_468
}

fn number_fields(number: i64) -> (i64, i64, i64) {
    let from_march = number + 719_468;
    let (cycle, of_cycle) = (from_march.div_euclid(146_097), from_march.rem_euclid(146_097));
    let year = (of_cycle - of_cycle / 1460 + of_cycle / 36_524 - of_cycle / 146_096) / 365;
    let of_year = of_cycle - (365 * year + year / 4 - year / 100);
    let month = (5 * of_year + 2) / 153;
    let day = of_year - (153 * month + 2) / 5 + 1;
    let month = if month < 10 { month + 3 } else { month - 9 };
    (cycle * 400 + year + i64::from(month <= 2), month, day)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn known_days() {
        assert_eq!(day_number("1970-01-01"), Some(0));
        // The Unix second 951,782,400 is 2000-02-29 00:00 UTC.
        assert_eq!(day_number("2000-02-29"), Some(951_782_400 / 86_400));
        for wrong in ["2023-02-29", "2024-13-01", "2024-00-10", "24-01-01", "soon", "", "2024-1-1"]
        {
            assert_eq!(day_number(wrong), None, "{wrong}");
        }
    }

    #[test]
    fn days_come_back() {
        for number in (-800_000..800_000).step_by(37) {
            let shown = show_day(number);
            if shown.len() == 10 && !shown.starts_with('-') {
                assert_eq!(day_number(&shown), Some(number), "{shown}");
            }
        }
    }

    #[test]
    fn weekends_are_stepped_over() {
        // 2026-05-04 was a Monday.
        let monday = day_number("2026-05-04").unwrap();
        assert_eq!(show_day(working_days_before(monday, 1, &[])), "2026-05-01");
        assert_eq!(show_day(working_days_before(monday, 6, &[])), "2026-04-24");
        assert_eq!(working_days_before(monday, 0, &[]), monday);
    }

    #[test]
    fn days_off_are_stepped_over() {
        // Tuesday 2026-05-26 after Memorial Day, with the Friday before it off too.
        let tuesday = day_number("2026-05-26").unwrap();
        let off = ["2026-05-25", "2026-05-22"].map(|day| day_number(day).unwrap());
        assert_eq!(show_day(working_days_before(tuesday, 1, &off)), "2026-05-21");
        assert_eq!(show_day(working_days_before(tuesday, 2, &off)), "2026-05-20");
        assert_eq!(show_day(working_days_before(tuesday, 1, &off[..1])), "2026-05-22");
    }
}
