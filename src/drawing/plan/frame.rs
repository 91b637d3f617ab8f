//! Where a row of cloth lies on the page.

use crate::drawing::Place;
use crate::drawing::clear::Area;
use crate::drawing::view::View;
use crate::layout::Rect;

/// A row of cloth: its length runs to the right, or up the page where it is turned.
#[derive(Clone, Copy, Debug)]
pub(super) struct Frame {
    pub turned: bool,
    /// The upper left corner of what is drawn of the cloth.
    pub left: f64,
    pub top: f64,
    /// How many mm a grid unit is drawn.
    pub scale: f64,
    /// From where to where along the cloth.
    pub from: i128,
    pub to: i128,
    /// The width of the cloth.
    pub across: i128,
}

impl Frame {
    /// A place so far along the cloth and so far across it. The picture is turned, never mirrored.
    pub fn place(&self, along: f64, across: f64) -> Place {
        let (from, to) = (self.from as f64, self.to as f64);
        if self.turned {
            (self.left + across * self.scale, self.top + (to - along) * self.scale)
        } else {
            (self.left + (along - from) * self.scale, self.top + across * self.scale)
        }
    }

    /// So many mm along the cloth and across it.
    pub fn vector(&self, along: f64, across: f64) -> Place {
        if self.turned { (across, -along) } else { (along, across) }
    }

    pub fn area(&self, at: Rect) -> Area {
        let (x, y) = (at.x as f64, at.y as f64);
        Area::of(self.place(y, x), self.place(y + at.along as f64, x + at.across as f64))
    }
}

/// A place moved by a vector so many times.
pub(super) fn moved((x, y): Place, (dx, dy): Place, times: f64) -> Place {
    (x + dx * times, y + dy * times)
}

/// What is left free round the cloth, in mm: at the near end, the far end, the first selvage, the second.
pub(super) fn gutters(view: &View) -> [f64; 4] {
    let from_edge = view.cuts.iter().filter(|cut| cut.across && cut.off.x == 0).count();
    let from_end = view.cuts.iter().filter(|cut| !cut.across && cut.off.y == 0).count();
    let rings = |count: usize| match count {
        0 => 8.0,
        1..=12 => 10.0,
        _ => 15.0,
    };
    [rings(from_end), 10.0, rings(from_edge), 17.0]
}
