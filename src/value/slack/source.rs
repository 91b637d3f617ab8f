//! Sources of error.

use std::rc::Rc;
use std::sync::atomic::{AtomicU64, Ordering};

/// One source of error: a literal with `±`, evaluated once.
#[derive(Debug)]
pub struct Source {
    /// Told apart by this; a later one is larger.
    pub(crate) serial: u64,
    /// What it is called: the name of its line, or as it is written.
    pub(crate) words: Rc<str>,
    /// Its line in the script, where it has one.
    pub(crate) line: Option<usize>,
}

impl Source {
    /// A source unlike any before.
    pub fn new(words: Rc<str>, line: Option<usize>) -> Rc<Source> {
        static NEXT: AtomicU64 = AtomicU64::new(0);
        let serial = NEXT.fetch_add(1, Ordering::Relaxed);
        Rc::new(Source { serial, words, line })
    }
}
