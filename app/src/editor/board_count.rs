//! How many boards a start corner would take, counted off the frame while it is pointed at.

use super::Editor;
use super::file_door::on_thread;
use crate::canvas::tools::{Tool, start_corner::LAYER};
use egui::Context;
use slabloom_core::effort::Cancel;
use slabloom_core::foam::by_hand;
use slabloom_core::geometry::Point;
use slabloom_core::job::Job;
use std::sync::Arc;
use std::sync::mpsc::{Receiver, TryRecvError};

/// The count for the corner that is meant, there or on its way.
#[derive(Default)]
pub struct BoardCount {
    corner: Option<Point>,
    arriving: Option<(Receiver<Option<u32>>, Cancel)>,
    /// What is said beside the corner.
    words: Option<(Point, String)>,
}

impl BoardCount {
    /// The corner and what is said of it.
    #[must_use]
    pub fn words(&self) -> Option<(Point, &str)> {
        self.words.as_ref().map(|(corner, words)| (*corner, words.as_str()))
    }
}

impl Editor {
    /// Counts for a corner that is newly meant, and takes the count when it is there.
    pub(super) fn poll_boards(&mut self, context: &Context) {
        let state = &mut self.state;
        let meant = match &state.canvas.tool {
            Tool::StartCorner(tool) => tool.meant,
            _ => None,
        };
        if state.boards.corner != meant {
            if let Some((_, cancel)) = state.boards.arriving.take() {
                cancel.raise();
            }
            state.boards = BoardCount { corner: meant, ..BoardCount::default() };
            if let Some(corner) = meant {
                let cancel = Cancel::new();
                let (job, plan) = (Arc::clone(state.job()), Arc::clone(&state.plan));
                let flag = cancel.clone();
                let count = on_thread("count boards", move |sender| {
                    let mut job: Job = (*job).clone();
                    let started = by_hand::with_start_corner(&job.build_up, LAYER, Some(corner));
                    job.build_up = Arc::new(started);
                    let foam = by_hand::count_while_dragging(&job, &plan, &flag).ok();
                    let layer = foam.and_then(|foam| foam.layers.get(LAYER).map(|l| l.boards));
                    // Nobody listens any more when another corner is meant.
                    sender.send(layer).unwrap_or_default();
                });
                state.boards.arriving = Some((count, cancel));
            }
        }
        let Some((arriving, _)) = &state.boards.arriving else { return };
        let came = match arriving.try_recv() {
            Ok(came) => came,
            Err(TryRecvError::Empty) => {
                context.request_repaint_after(std::time::Duration::from_millis(16));
                return;
            }
            Err(TryRecvError::Disconnected) => None,
        };
        state.boards.arriving = None;
        if let (Some(count), Some(corner)) = (came, state.boards.corner) {
            let now = state.results.parts.foam.layers.get(LAYER).map(|layer| layer.boards);
            state.boards.words = Some((corner, said(count, now)));
        }
        context.request_repaint();
    }
}

/// A count, held against the boards as they lie now.
fn said(count: u32, now: Option<u32>) -> String {
    match now {
        Some(now) if count > now => format!("{count} boards, {} more than now", count - now),
        Some(now) if count < now => format!("{count} boards, {} fewer than now", now - count),
        Some(_) => format!("{count} boards, as many as now"),
        None => format!("{count} boards"),
    }
}

#[cfg(test)]
mod tests {
    use super::said;

    #[test]
    fn a_count_is_held_against_the_boards_as_they_lie() {
        assert_eq!(said(36, Some(34)), "36 boards, 2 more than now");
        assert_eq!(said(33, Some(34)), "33 boards, 1 fewer than now");
        assert_eq!(said(34, Some(34)), "34 boards, as many as now");
        assert_eq!(said(34, None), "34 boards");
    }
}
