//! Undo and redo: named snapshots of jobs.

use super::{Edit, EditError};
use crate::job::Job;
use std::sync::Arc;

/// Every state of the job in this sitting, and where in it we are.
#[derive(Clone, Debug)]
pub struct History {
    past: Vec<Step>,
    now: Arc<Job>,
    future: Vec<Step>,
    open: Option<OpenGesture>,
}

/// A state that can be gone back to, and the name of the change that left it.
#[derive(Clone, Debug)]
struct Step {
    name: &'static str,
    job: Arc<Job>,
}

/// A drag that is still going on: everything since its start becomes one step.
#[derive(Clone, Debug)]
struct OpenGesture {
    name: &'static str,
    before: Arc<Job>,
}

/// Whether a change stands alone or belongs to a drag.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Gesture {
    /// One step of its own.
    Single,
    /// Part of a drag: one step together with what came before and after it.
    Part,
}

impl History {
    /// A history that starts at this job.
    #[must_use]
    pub fn new(job: Job) -> Self {
        Self { past: Vec::new(), now: Arc::new(job), future: Vec::new(), open: None }
    }

    /// The job as it is now.
    #[must_use]
    pub fn job(&self) -> &Arc<Job> {
        &self.now
    }

    /// Makes a change. A part of a drag is worked out from the state at the drag's start, so that
    /// each part replaces the one before.
    ///
    /// # Errors
    /// [`EditError`]; nothing has changed then.
    pub fn apply(&mut self, edit: &Edit, gesture: Gesture) -> Result<(), EditError> {
        match gesture {
            Gesture::Single => {
                self.end_gesture();
                let next = edit.apply(&self.now)?;
                if next != *self.now {
                    self.past.push(Step { name: edit.name(), job: Arc::clone(&self.now) });
                    self.future.clear();
                    self.now = Arc::new(next);
                }
            }
            Gesture::Part => {
                let before = self
                    .open
                    .as_ref()
                    .map_or_else(|| Arc::clone(&self.now), |open| Arc::clone(&open.before));
                self.now = Arc::new(edit.apply(&before)?);
                self.open.get_or_insert(OpenGesture { name: edit.name(), before });
            }
        }
        Ok(())
    }

    /// Ends a drag: what it changed becomes one step.
    pub fn end_gesture(&mut self) {
        if let Some(open) = self.open.take()
            && *open.before != *self.now
        {
            self.past.push(Step { name: open.name, job: open.before });
            self.future.clear();
        }
    }

    /// Gives a drag up: the job is as it was at its start.
    pub fn cancel_gesture(&mut self) {
        if let Some(open) = self.open.take() {
            self.now = open.before;
        }
    }

    /// The job at the start of the drag that is going on.
    #[must_use]
    pub fn before_gesture(&self) -> Option<&Arc<Job>> {
        self.open.as_ref().map(|open| &open.before)
    }

    /// Goes back one step; `false` at the beginning.
    pub fn undo(&mut self) -> bool {
        self.end_gesture();
        let Some(step) = self.past.pop() else {
            return false;
        };
        let undone = std::mem::replace(&mut self.now, step.job);
        self.future.push(Step { name: step.name, job: undone });
        true
    }

    /// Goes forward one step; `false` at the end.
    pub fn redo(&mut self) -> bool {
        self.end_gesture();
        let Some(step) = self.future.pop() else {
            return false;
        };
        let left = std::mem::replace(&mut self.now, step.job);
        self.past.push(Step { name: step.name, job: left });
        true
    }

    /// Names of the steps that can be undone, newest first.
    pub fn undo_names(&self) -> impl Iterator<Item = &'static str> {
        self.past.iter().rev().map(|step| step.name)
    }

    /// Names of the steps that can be redone, next first.
    pub fn redo_names(&self) -> impl Iterator<Item = &'static str> {
        self.future.iter().rev().map(|step| step.name)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::edit::OutlineEdit;
    use crate::geometry::Point;

    fn drawn() -> History {
        let mut history = History::new(Job::default());
        let corners = [(0.0, 0.0), (30.0, 0.0), (30.0, 20.0), (0.0, 20.0)];
        let corners = corners.map(|(x, y)| (Point::feet(x, y), None)).to_vec();
        history.apply(&Edit::Outline(OutlineEdit::Draw(corners)), Gesture::Single).unwrap();
        history
    }

    #[test]
    fn a_drag_is_one_step_and_undo_gives_back_the_same_allocation() {
        let mut history = drawn();
        let before = Arc::clone(history.job());
        let id = before.outline.sides[2].id;
        for inches in 1..50 {
            let to = Point::new(360.0 + f64::from(inches), 240.0);
            history.apply(&Edit::Outline(OutlineEdit::MoveCorner(id, to)), Gesture::Part).unwrap();
        }
        history.end_gesture();
        assert_eq!(history.undo_names().collect::<Vec<_>>(), ["Move corner", "Draw outline"]);
        let after = Arc::clone(history.job());
        assert!(history.undo());
        assert!(Arc::ptr_eq(history.job(), &before));
        assert!(history.redo());
        assert!(Arc::ptr_eq(history.job(), &after));
    }

    #[test]
    fn a_cancelled_drag_leaves_nothing() {
        let mut history = drawn();
        let before = Arc::clone(history.job());
        let id = before.outline.sides[2].id;
        history
            .apply(
                &Edit::Outline(OutlineEdit::MoveCorner(id, Point::feet(31.0, 21.0))),
                Gesture::Part,
            )
            .unwrap();
        history.cancel_gesture();
        assert!(Arc::ptr_eq(history.job(), &before));
        assert_eq!(history.undo_names().count(), 1);
    }
}
