//! Sheets of paper, and how much of them a drawing may take.

use clap::ValueEnum;

/// A sheet of paper, taller than wide; that of A4 is of ISO 216.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, ValueEnum)]
pub enum Paper {
    /// 210 by 297 mm
    #[default]
    #[value(name = "a4")]
    A4,
    /// 8 1/2 by 11 in
    Letter,
}

/// What is left free at each side of a sheet, in mm.
const SIDE: f64 = 15.0;
/// What is left free above and below together, for a head line and a page number.
const ENDS: f64 = 40.0;

impl Paper {
    /// Its width and height in mm.
    pub fn size(self) -> (f64, f64) {
        match self {
            Paper::A4 => (210.0, 297.0),
            Paper::Letter => (215.9, 279.4),
        }
    }

    /// The width and height in mm that a drawing may take of it.
    pub fn room(self) -> (f64, f64) {
        let (width, height) = self.size();
        (width - 2.0 * SIDE, height - ENDS)
    }
}
