//! Findings: what to look at before the truck is ordered, worst first; a click shows the place.

use crate::canvas::hit::Pick;
use crate::canvas::layers::Layer;
use crate::editor::requests::{Request, Requests};
use crate::editor::view_context::ViewContext;
use crate::widgets::{finding_row, note};
use egui::Ui;

/// The list of findings.
pub fn findings_ui(cx: &ViewContext<'_>, ui: &mut Ui, ask: &mut Requests) {
    if cx.awaits_first {
        note(ui, "The slab is being worked out…");
        return;
    }
    if cx.results.findings.is_empty() {
        note(ui, "Nothing to report about this slab.");
        return;
    }
    for (index, finding) in cx.results.findings.iter().enumerate() {
        let is_clicked = ui.push_id(index, |ui| finding_row(ui, cx.palette, finding)).inner;
        if is_clicked {
            ask.0.extend(layer_of(finding.rule).map(Request::Reveal));
            if let Some(item) = finding.item {
                ask.push(Request::Select(vec![Pick::Item(item)]));
            }
            if let Some(at) = finding.at {
                ask.push(Request::LookAt(at));
            }
        }
    }
}

/// The layer that shows what a rule speaks about, by the subject its id begins with.
fn layer_of(rule: &str) -> Option<Layer> {
    let (subject, _) = rule.split_once('.')?;
    match subject {
        "foam" => Some(Layer::Foam),
        "tube" | "heat" | "safety" => Some(Layer::Tube),
        "joints" => Some(Layer::Joints),
        "pour" => Some(Layer::Subgrade),
        "concrete" => Some(Layer::Thickenings),
        _ => None,
    }
}
