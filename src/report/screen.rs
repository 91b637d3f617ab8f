//! Where something is read: how wide it may be, and what stands out there.

use anstyle::{AnsiColor, Style};

use super::wrap::{COLUMNS, LEAST_COLUMNS};

/// Where something is read.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Screen {
    /// How many columns there are; fewer than 40 are taken for 40.
    pub columns: usize,
    /// Whether headings and cautions stand out, by escape sequences of ECMA-48.
    pub colour: bool,
}

impl Default for Screen {
    fn default() -> Screen {
        Screen { columns: COLUMNS, colour: false }
    }
}

/// Titles and headings.
pub(crate) const STRONG: Style = Style::new().bold();
/// What must be seen before the first cut.
pub(crate) const CAUTION: Style = AnsiColor::Yellow.on_default().bold();
/// What is not right.
pub(crate) const TROUBLE: Style = AnsiColor::Red.on_default().bold();

impl Screen {
    /// The columns of a line of words: long lines are hard to read, however wide the screen is.
    pub(crate) fn prose(self) -> usize {
        self.columns.clamp(LEAST_COLUMNS, COLUMNS)
    }

    /// The columns of a table, which is the easier to compare the wider it is.
    pub(crate) fn table(self) -> usize {
        self.columns.max(LEAST_COLUMNS)
    }

    /// A line that stands out where there is colour.
    pub(crate) fn ink(self, style: Style, line: &str) -> String {
        if self.colour { format!("{style}{line}{style:#}") } else { line.to_owned() }
    }
}
