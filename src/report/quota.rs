//! How much memory a document may take while it is made, and whether someone asked to stop.

use std::cell::Cell;
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};
use std::{error, fmt, io};

/// What is left of the memory that a document may take.
pub struct Quota {
    left: Cell<u64>,
    stop: Arc<AtomicBool>,
}

/// Why a document was not finished.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Unfinished {
    /// It would take more memory than it may.
    TooLarge,
    /// Someone asked to stop.
    Stopped,
}

impl fmt::Display for Unfinished {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Unfinished::TooLarge => "the document is too large",
            Unfinished::Stopped => "stopped",
        })
    }
}

impl error::Error for Unfinished {}

impl Unfinished {
    /// The reason that an error holds, if it is one of these.
    pub fn of(error: &io::Error) -> Option<Unfinished> {
        error.get_ref()?.downcast_ref().copied()
    }
}

impl Quota {
    /// So many bytes, until someone sets `stop`.
    pub fn new(bytes: u64, stop: Arc<AtomicBool>) -> Quota {
        Quota { left: Cell::new(bytes), stop }
    }

    /// No bound, for what is known to be small.
    pub fn none() -> Quota {
        Quota::new(u64::MAX, Arc::default())
    }

    /// Takes so many bytes.
    ///
    /// # Errors
    /// [`Unfinished`], where they are not left or someone asked to stop.
    pub fn take(&self, bytes: usize) -> io::Result<()> {
        if self.stop.load(Ordering::Relaxed) {
            return Err(io::Error::other(Unfinished::Stopped));
        }
        let left = self.left.get().checked_sub(u64::try_from(bytes).unwrap_or(u64::MAX));
        self.left.set(left.unwrap_or(0));
        left.map(|_| ()).ok_or_else(|| io::Error::other(Unfinished::TooLarge))
    }
}

/// Writes what is charged.
pub(super) struct Charged<'a> {
    pub out: &'a mut dyn io::Write,
    pub quota: &'a Quota,
}

impl io::Write for Charged<'_> {
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        self.quota.take(bytes.len())?;
        // All of it at once, so that nothing is charged twice.
        self.out.write_all(bytes)?;
        Ok(bytes.len())
    }

    fn flush(&mut self) -> io::Result<()> {
        self.out.flush()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::io::Write;

    fn why(taken: io::Result<()>) -> Option<Unfinished> {
        taken.err().as_ref().and_then(Unfinished::of)
    }

    #[test]
    fn what_is_taken_is_gone_and_a_stop_is_seen_at_once() {
        let stop = Arc::new(AtomicBool::new(false));
        let quota = Quota::new(10, stop.clone());
        let mut out = Vec::new();
        let mut charged = Charged { out: &mut out, quota: &quota };
        assert!(charged.write_all(b"123456").is_ok());
        assert_eq!(why(charged.write_all(b"789ab")), Some(Unfinished::TooLarge));
        assert_eq!(out, b"123456");
        // What did not fit leaves nothing for anything smaller.
        assert_eq!(why(quota.take(1)), Some(Unfinished::TooLarge));
        assert_eq!(why(quota.take(0)), None);
        stop.store(true, Ordering::Relaxed);
        assert_eq!(why(quota.take(0)), Some(Unfinished::Stopped));
        assert_eq!(Unfinished::of(&io::Error::other("full")), None);
    }
}
