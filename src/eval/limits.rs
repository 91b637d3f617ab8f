//! How much a recipe may take: a stranger's script ends, and in little memory.

use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};

/// The bounds of one run. The defaults are far above any real recipe.
#[derive(Clone, Debug)]
pub struct Limits {
    /// Steps of work; one operation is about one step, an operation on huge numbers more.
    pub work: u64,
    /// How deep rules may call each other, each call counted with the nesting of its formula.
    pub depth: u32,
    /// List items and record parts made in one run.
    pub items: u64,
    /// Bytes of text made in one run.
    pub text: u64,
    /// Work on cutting plans in one run, in steps of [`crate::layout::Budget`]. What lies beyond it is laid
    /// out at once and is no worse for it than longer.
    pub planning: u64,
    /// Set from outside to stop a run, as Ctrl-C does.
    pub stop: Arc<AtomicBool>,
}

impl Default for Limits {
    fn default() -> Limits {
        Limits {
            work: 50_000_000,
            depth: 20_000,
            items: 4_000_000,
            text: 16 << 20,
            planning: 100_000_000,
            stop: Arc::new(AtomicBool::new(false)),
        }
    }
}

impl Limits {
    /// Whether someone asked the run to stop.
    pub fn stopped(&self) -> bool {
        self.stop.load(Ordering::Relaxed)
    }
}
