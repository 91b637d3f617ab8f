//! Shapes: outlines of straight edges and arcs, exact where their points are.

mod arc;
mod corner;
mod crossing;
mod cut;
mod make;
mod measures;
mod outline;
mod pair;
mod place;
mod point;

pub use make::{circle, polygon, rectangle, regular, ring, sector};
pub use outline::{Edge, Finish, Notch, Outline, Run, Wrong};
pub use point::Point;

/// What comes of a construction, or what is wrong with it.
type Made<T> = Result<T, Wrong>;
