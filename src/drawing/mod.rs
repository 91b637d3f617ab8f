//! Drawings: a docket's cutting plans and pictures, laid out on a page in mm, for any surface.

mod bounds;
pub mod letters;
mod paper;
mod scene;
mod tiles;

pub use paper::Paper;
pub use scene::{Anchor, Drawing, Fill, Mark, Pen, Place, Step, Stroke, Words};
pub use tiles::{Imprint, tiles};
