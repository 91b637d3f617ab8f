//! Shapes: outlines of straight edges and arcs, exact where their points are.

mod outline;

pub use outline::{Edge, Finish, Outline, Point, Run};
