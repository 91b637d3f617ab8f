//! A picture of a docket as a drawing.

use super::Drawing;
use crate::docket::Picture;

/// A picture in a room of so many mm, width and height; the drawing is no higher than it needs.
pub fn picture(picture: &Picture, room: (f64, f64)) -> Drawing {
    Drawing { width: room.0, height: 0.0, title: picture.title.to_string(), ..Drawing::default() }
}
