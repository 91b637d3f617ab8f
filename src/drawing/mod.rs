//! Drawings: a docket's cutting plans and pictures, laid out on a page in mm, for any surface.

mod bounds;
mod clear;
pub(crate) mod cut_list;
mod cuts;
mod edges;
mod guide;
pub(crate) mod labels;
pub mod letters;
pub mod lines;
mod paper;
mod picture;
mod plan;
mod ruled;
mod scene;
mod tiles;
pub(crate) mod view;

pub use bounds::{bounds, centre as arc_turn};
pub use guide::{Layer, SIZE_LINES, guide};
pub use paper::Paper;
pub use picture::picture;
pub use plan::plans;
pub use scene::{Anchor, Drawing, Fill, Mark, Pen, Place, Step, Stroke, Words};
pub use tiles::{Imprint, Tiling};

use crate::docket::Docket;

/// All drawings of a docket on a paper: its cutting plans. Where there is none, one says so.
pub fn drawings(docket: &Docket, paper: Paper) -> Vec<Drawing> {
    let drawings = plans(docket, paper);
    if !drawings.is_empty() {
        return drawings;
    }
    let width = paper.room().0;
    let words = |y: f64, text: String, bold: bool| {
        let (at, size) = ((0.0, y), 3.8);
        Mark::Words(Words { at, text, size, anchor: Anchor::Start, turned: 0.0, halo: false, bold })
    };
    let recipe = lines::shortened(docket.recipe.as_deref().unwrap_or("A recipe"), 3.8, true, width);
    let none = "It cuts nothing from cloth, so there is nothing to draw.".to_owned();
    let marks = vec![words(4.0, recipe.clone(), true), words(10.0, none.clone(), false)];
    vec![Drawing { width, height: 14.0, title: recipe, description: none, marks }]
}
