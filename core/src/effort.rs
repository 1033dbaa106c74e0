//! How long a search may work, counted in steps, and how it is told to stop.
//!
//! Steps are counted, never timed: a search limited by the clock would lay different boards on
//! a slower machine, and the same job must give the same results everywhere. Cancelling throws
//! a whole result away; it never shortens one.

use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};

/// A flag that another thread raises when nobody waits for the answer any more.
#[derive(Clone, Debug, Default)]
pub struct Cancel(Arc<AtomicBool>);

impl Cancel {
    /// A flag that is not raised.
    #[must_use]
    pub fn new() -> Self {
        Self::default()
    }

    /// Raises the flag: work that sees it gives up and its result is thrown away.
    pub fn raise(&self) {
        self.0.store(true, Ordering::Relaxed);
    }

    /// Whether the work should be given up.
    #[must_use]
    pub fn is_raised(&self) -> bool {
        self.0.load(Ordering::Relaxed)
    }
}

/// The work was given up because its [`Cancel`] flag was raised.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
#[error("The work was given up before it was done")]
pub struct Cancelled;

/// A number of steps that a search may spend.
#[derive(Clone, Debug)]
pub struct Budget {
    left: u64,
    cancel: Cancel,
}

impl Budget {
    /// A budget of `steps`, watched by `cancel`.
    #[must_use]
    pub fn new(steps: u64, cancel: Cancel) -> Self {
        Self { left: steps, cancel }
    }

    /// Spends one step. `Ok(false)` when the budget is used up: keep the best answer so far.
    ///
    /// # Errors
    /// [`Cancelled`] when the flag was raised.
    pub fn step(&mut self) -> Result<bool, Cancelled> {
        if self.cancel.is_raised() {
            return Err(Cancelled);
        }
        if self.left == 0 {
            return Ok(false);
        }
        self.left -= 1;
        Ok(true)
    }

    /// Spends steps of work that is done whole or not at all.
    pub fn spend(&mut self, steps: u64) {
        self.left = self.left.saturating_sub(steps);
    }

    /// Whether nothing is left: keep the best answer so far.
    #[must_use]
    pub fn is_spent(&self) -> bool {
        self.left == 0
    }

    /// The flag that watches this budget.
    #[must_use]
    pub fn cancel(&self) -> &Cancel {
        &self.cancel
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_budget_runs_out_and_a_raised_flag_stops_it() {
        let mut budget = Budget::new(2, Cancel::new());
        assert_eq!(budget.step(), Ok(true));
        assert_eq!(budget.step(), Ok(true));
        assert_eq!(budget.step(), Ok(false));
        budget.cancel().raise();
        assert_eq!(budget.step(), Err(Cancelled));
    }

    #[test]
    fn work_may_overspend_once() {
        let mut budget = Budget::new(5, Cancel::new());
        budget.spend(4);
        assert!(!budget.is_spent());
        budget.spend(4);
        assert!(budget.is_spent());
    }
}
