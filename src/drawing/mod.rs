//! Drawings: a docket's cutting plans and pictures, laid out on a page in mm, for any surface.

mod bounds;
mod clear;
pub(crate) mod cut_list;
mod cuts;
mod edges;
mod guide;
mod head;
pub(crate) mod labels;
pub mod letters;
pub mod lines;
mod paper;
pub(crate) mod picture;
mod plan;
mod ruled;
mod scene;
mod tiles;
pub(crate) mod view;

pub use bounds::{bounds, centre as arc_turn};
pub use guide::{Layer, SIZE_LINES, Small, as_one, guide, shared};
pub use paper::Paper;
pub use picture::{bare_pictures, picture, pictures};
pub use plan::{bare_plans, plans};
pub use scene::{Anchor, Drawing, Fill, List, Listed, Mark, Pen, Place, Step, Stroke, Words};
pub use tiles::{Imprint, SCALE, Tiling};

use crate::docket::Docket;

/// All drawings of a docket on a paper: its cutting plans, then what it draws. Where there is none, one says so.
pub fn drawings(docket: &Docket, paper: Paper) -> Vec<Drawing> {
    let mut drawings = plans(docket, paper.room());
    drawings.extend(pictures(docket, paper.room(), drawings.is_empty()));
    if !drawings.is_empty() {
        return drawings;
    }
    let mut sheet = clear::Sheet::new(paper.room());
    let top = head::head(docket, &mut sheet, paper.room());
    let none = "It cuts nothing from cloth and draws nothing, so there is nothing to show.".to_owned();
    sheet.write((0.0, top + 4.0), &none, 3.8, false);
    let title = lines::shortened(docket.recipe.as_deref().unwrap_or("A recipe"), 3.8, true, paper.room().0);
    let description = format!("{}{none}", head::cautions(docket));
    let (width, height) = (paper.room().0, top + 8.0);
    vec![Drawing { width, height, title, description, list: None, marks: sheet.finish() }]
}
