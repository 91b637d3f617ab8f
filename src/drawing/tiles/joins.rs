//! The lines on which the sheets of a true-size drawing meet, for what should lie off them.

use super::{OVERLAP, Tiling, count};
use crate::drawing::clear::Area;
use crate::drawing::paper::Paper;

/// How far off a join an area lies, before it and after it.
type Off = Option<(f64, f64)>;

/// On one sheet only, also off the marks of the join: the halves of diamonds reach so far to one side.
const STRIP: Off = Some((4.0, OVERLAP));
/// Whole on one side of the line.
const LINE: Off = Some((0.5, 0.5));
/// The best first; the last is anywhere.
pub(in crate::drawing) const OFF: [Off; 3] = [STRIP, LINE, None];

/// Where sheets meet.
#[derive(Clone, Copy, Debug)]
pub(in crate::drawing) struct Joins {
    step: (f64, f64),
    /// How many joins there are across and along.
    counts: (f64, f64),
}

impl Joins {
    /// Those of a drawing so wide and high.
    pub fn of((width, height): (f64, f64), paper: Paper) -> Joins {
        let window = Tiling::window_of(paper);
        let counts = (count(width, window.0) - 1.0, count(height, window.1) - 1.0);
        Joins { step: (window.0 - OVERLAP, window.1 - OVERLAP), counts }
    }

    /// Whether an area is so far off all joins.
    pub fn clear(&self, area: &Area, off: Off) -> bool {
        let Some((before, after)) = off else { return true };
        let free = |from: f64, to: f64, step: f64, joins: f64| {
            // The first join whose strip ends behind the beginning.
            let next = ((from - after) / step).floor() + 1.0;
            let next = next.max(1.0);
            next > joins || to <= next * step - before
        };
        free(area.left, area.right, self.step.0, self.counts.0)
            && free(area.top, area.bottom, self.step.1, self.counts.1)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn areas_on_joins_are_known() {
        let joins = Joins::of((500.0, 100.0), Paper::A4);
        let step = Tiling::window_of(Paper::A4).0 - OVERLAP;
        let at = |from: f64, to: f64| Area { left: from, top: 10.0, right: to, bottom: 20.0 };
        for n in [1.0, 2.0] {
            assert!(!joins.clear(&at(n * step - 5.0, n * step + 5.0), LINE));
            assert!(joins.clear(&at(n * step + 1.0, n * step + 9.0), LINE));
            assert!(!joins.clear(&at(n * step + 1.0, n * step + 9.0), STRIP));
            assert!(joins.clear(&at(n * step + OVERLAP, n * step + 90.0), STRIP));
            assert!(joins.clear(&at(n * step - 90.0, n * step - 4.0), STRIP));
        }
        // Behind the last sheet is no join, and a drawing on one sheet has none.
        assert!(joins.clear(&at(3.0 * step - 5.0, 3.0 * step + 5.0), STRIP));
        assert!(Joins::of((100.0, 100.0), Paper::A4).clear(&at(step - 5.0, step + 5.0), STRIP));
    }
}
