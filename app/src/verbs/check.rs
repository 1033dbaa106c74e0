//! `slabloom check`: the findings of a job, worst first.

use super::args::Check;
use super::failure::{Exit, Failure};
use slabloom_core::derive::derive;
use slabloom_core::findings::{Finding, Severity};
use slabloom_core::geometry::Point;
use slabloom_core::job::check::faults;
use slabloom_core::units::{Length, Rounding, show_length};
use std::io::{self, Write};

pub(super) fn run(check: &Check, out: &mut dyn Write) -> Result<Exit, Failure> {
    let job = super::open(&check.job)?;
    for fault in faults(&job) {
        writeln!(out, "note  {fault}")?;
    }
    let findings = derive(&job).findings;
    write_findings(&findings, job.facts.display.rounding, out)?;
    let stops = findings.iter().filter(|finding| finding.severity == Severity::Stop).count();
    if findings.is_empty() {
        writeln!(out, "No findings")?;
    }
    Ok(if stops > 0 { Exit::Stop } else { Exit::Done })
}

/// Findings, a paragraph each.
pub(super) fn write_findings(
    findings: &[Finding],
    rounding: Rounding,
    out: &mut dyn Write,
) -> io::Result<()> {
    for finding in findings {
        let level = match finding.severity {
            Severity::Stop => "STOP",
            Severity::Warn => "warn",
            Severity::Note => "note",
        };
        let place =
            finding.at.map_or_else(String::new, |at| format!(" (at {})", words(at, rounding)));
        writeln!(out, "{level}  {}{place}", finding.message)?;
        if !finding.remedy.is_empty() {
            writeln!(out, "      {}", finding.remedy)?;
        }
        writeln!(out, "      [{}; {}]", finding.rule, finding.source)?;
    }
    Ok(())
}

/// A place as people read it.
fn words(at: Point, rounding: Rounding) -> String {
    let show = |inches| show_length(Length::inches(inches), rounding);
    format!("{} east, {} north", show(at.x), show(at.y))
}
