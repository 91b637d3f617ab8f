//! Drawings: a docket's cutting plans and pictures, laid out on a page in mm, for any surface.

pub mod letters;
mod paper;
mod picture;
mod plan;
mod scene;

pub use paper::Paper;
pub use picture::picture;
pub use plan::plans;
pub use scene::{Anchor, Drawing, Fill, Mark, Pen, Place, Step, Stroke, Words};
