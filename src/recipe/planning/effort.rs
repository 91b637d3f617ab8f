//! How much work planning may take.

use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering as AtomicOrdering};

use crate::eval::limits::Limits;
use crate::layout::Budget;

/// How much work planning may take.
#[derive(Clone, Debug)]
pub(crate) struct Effort {
    /// For each kind of a `plan` line.
    pub each: Budget,
    /// What is left for all of a run.
    pub left: u64,
    /// How many times the cut list is made, where the command line says so.
    pub kits: Option<u64>,
    /// Whether cloths are laid out later, those of several sizes together.
    pub later: bool,
    /// Set from outside to stop.
    pub stop: Arc<AtomicBool>,
}

impl Effort {
    /// The usual effort, or a thorough one: a few seconds for each kind of a `plan` line.
    pub fn of(limits: &Limits, thorough: bool) -> Effort {
        let each = if thorough { Budget::THOROUGH } else { Budget::USUAL };
        let times = if thorough { Budget::THOROUGH.0 / Budget::USUAL.0 } else { 1 };
        let left = limits.planning.saturating_mul(times);
        Effort { each, left, kits: None, later: false, stop: Arc::clone(&limits.stop) }
    }

    pub fn stopped(&self) -> bool {
        self.stop.load(AtomicOrdering::Relaxed)
    }

    /// A budget of at most so much, less where little is left.
    pub fn take(&mut self, wanted: Budget) -> Budget {
        let taken = wanted.0.min(self.left);
        self.left = self.left.saturating_sub(taken);
        Budget(taken)
    }
}
