//! How much a recipe may take: a stranger's script ends, and in little memory.

use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};

use crate::limits;

/// The bounds of one run; [`limits`] says what each is for.
#[derive(Clone, Debug)]
pub struct Limits {
    /// Steps of work.
    pub work: u64,
    /// How deep rules may call each other, each call counted with the nesting of its formula.
    pub depth: u32,
    /// Values made in lists and records in one run.
    pub items: u64,
    /// Bytes of text made in one run.
    pub text: u64,
    /// Work on cutting plans in one run, in steps of [`crate::layout::Budget`]. What is beyond it is laid
    /// out at once and is no worse for it than longer.
    pub planning: u64,
    /// Bytes of memory for one document.
    pub document: u64,
    /// Set from outside to stop a run, as Ctrl-C does.
    pub stop: Arc<AtomicBool>,
}

impl Default for Limits {
    fn default() -> Limits {
        Limits {
            work: limits::WORK,
            depth: limits::DEPTH,
            items: limits::ITEMS,
            text: limits::TEXT,
            planning: limits::PLANNING,
            document: limits::DOCUMENT,
            stop: Arc::new(AtomicBool::new(false)),
        }
    }
}

impl Limits {
    /// Whether someone asked the run to stop.
    pub fn stopped(&self) -> bool {
        self.stop.load(Ordering::Relaxed)
    }

    /// Sets the limit of this name; `false` where there is none that can be set.
    pub fn set(&mut self, name: &str, most: u64) -> bool {
        match name {
            "work" => self.work = most,
            "depth" => self.depth = u32::try_from(most).unwrap_or(u32::MAX / 2),
            "items" => self.items = most,
            "text" => self.text = most,
            "planning" => self.planning = most,
            "document" => self.document = most,
            _ => return false,
        }
        true
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_limit_with_an_option_can_be_set_and_no_other() {
        for limit in limits::ALL {
            assert_eq!(Limits::default().set(limit.name, 7), limit.has_option, "{}", limit.name);
        }
    }
}
