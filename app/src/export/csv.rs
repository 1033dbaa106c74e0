//! Tables as comma-separated values.
//!
//! RFC 4180: lines end in CR LF, a heading line, a field with a comma, quote or line break is
//! quoted and quotes are doubled, every line has the same number of fields (from memory).
//! UTF-8, dot decimals. A field that a spreadsheet would take for a formula (`=`, `+`, `-`, `@`,
//! tab or CR at its start) gets an apostrophe before it unless it is a plain number: feet and
//! inches such as `-3'-2"` are text.

use slabloom_core::drawing::Table;

/// A table as RFC 4180 text: headings, then rows.
#[must_use]
pub fn csv(table: &Table) -> String {
    let mut text = String::new();
    let headings = table.columns.iter().map(|column| column.heading.as_str());
    line(&mut text, headings, table.columns.len());
    for row in &table.rows {
        line(&mut text, row.iter().map(String::as_str), table.columns.len());
    }
    text
}

fn line<'a>(text: &mut String, cells: impl Iterator<Item = &'a str>, width: usize) {
    let fields: Vec<String> = cells.chain(std::iter::repeat("")).take(width).map(field).collect();
    text.push_str(&fields.join(","));
    text.push_str("\r\n");
}

fn field(cell: &str) -> String {
    let looks_like_formula =
        cell.starts_with(['=', '+', '-', '@', '\t', '\r']) && !is_plain_number(cell);
    let cell = if looks_like_formula { format!("'{cell}") } else { cell.to_owned() };
    if cell.contains([',', '"', '\n', '\r']) {
        format!("\"{}\"", cell.replace('"', "\"\""))
    } else {
        cell
    }
}

fn is_plain_number(cell: &str) -> bool {
    cell.chars().all(|c| c.is_ascii_digit() || c == '-' || c == '.') && cell.parse::<f64>().is_ok()
}

#[cfg(test)]
mod tests {
    use super::*;
    use slabloom_core::drawing::Column;

    #[test]
    fn fields_are_quoted_and_formulas_guarded() {
        let mut table = Table::new("x", vec![Column::words("piece"), Column::numbers("length_ft")]);
        table.row(["12'-6\"", "-3.25"]);
        table.row(["a, b", "=1+1"]);
        table.row(["-3'-2\""]);
        let expected =
            "piece,length_ft\r\n\"12'-6\"\"\",-3.25\r\n\"a, b\",'=1+1\r\n\"'-3'-2\"\"\",\r\n";
        assert_eq!(csv(&table), expected);
    }
}
