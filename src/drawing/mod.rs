//! Drawings: a docket's cutting plans and pictures, laid out on a page in mm, for any surface.

pub mod letters;
mod scene;

pub use scene::{Anchor, Drawing, Fill, Mark, Pen, Place, Step, Stroke, Words};
