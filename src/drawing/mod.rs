//! Drawings: a docket's cutting plans and pictures, laid out on a page in mm, for any surface.

mod clear;
pub(crate) mod cut_list;
mod cuts;
mod edges;
pub(crate) mod labels;
pub mod letters;
mod lines;
mod paper;
mod picture;
mod plan;
mod ruled;
mod scene;
pub(crate) mod view;

pub use paper::Paper;
pub use picture::picture;
pub use plan::plans;
pub use scene::{Anchor, Drawing, Fill, Mark, Pen, Place, Step, Stroke, Words};

use crate::docket::Docket;

/// All drawings of a docket on a paper: its cutting plans.
pub fn drawings(docket: &Docket, paper: Paper) -> Vec<Drawing> {
    plans(docket, paper)
}
