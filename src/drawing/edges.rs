//! The edges of outlines in mm, as numbers that are near enough to draw.

use num_traits::ToPrimitive;

use super::{Place, Step};
use crate::measure::Number;
use crate::shape::{Edge, Finish, Outline, Point, Run};

/// Base units of length in a mm.
const UNITS: f64 = 5.0;

fn number(number: &Number) -> f64 {
    number.mid().to_big().to_f64().filter(|value| value.is_finite()).unwrap_or(0.0)
}

/// A number of base units in mm.
pub(super) fn mm(length: &Number) -> f64 {
    number(length) / UNITS
}

pub(super) fn place(point: &Point) -> Place {
    (mm(&point.across), mm(&point.along))
}

/// An edge of an outline in mm, moved.
#[derive(Clone, Copy, Debug)]
pub(super) struct Drawn {
    pub from: Place,
    pub to: Place,
    /// The centre, and the angle that it turns clockwise, in radians.
    pub arc: Option<(Place, f64)>,
    pub on_fold: bool,
}

/// The edges of an outline, moved to where it lies.
pub(super) fn edges(at: &Point, outline: &Outline) -> Vec<Drawn> {
    let at = place(at);
    let moved = |point: &Point| {
        let (x, y) = place(point);
        (x + at.0, y + at.1)
    };
    let row = |edges: &[Edge]| -> Vec<Drawn> {
        let next = edges.iter().cycle().skip(1);
        let drawn = |(edge, next): (&Edge, &Edge)| {
            let arc = match &edge.run {
                Run::Straight => None,
                Run::Arc { centre, sweep } => Some((moved(centre), number(sweep).to_radians())),
            };
            Drawn {
                from: moved(&edge.from),
                to: moved(&next.from),
                arc,
                on_fold: edge.finish == Finish::Fold,
            }
        };
        edges.iter().zip(next).map(drawn).collect()
    };
    outline.rows().flat_map(|edges| row(edges)).collect()
}

pub(super) fn on_fold(outline: &Outline) -> bool {
    outline.edges.iter().any(|edge| edge.finish == Finish::Fold)
}

impl Drawn {
    /// An arc's radius, its first angle and how far it turns.
    fn sweep(&self) -> Option<(f64, f64, f64)> {
        let (centre, sweep) = self.arc?;
        let radius = (self.from.0 - centre.0).hypot(self.from.1 - centre.1);
        // Along falls down the page, so that angles grow clockwise.
        Some((radius, (self.from.1 - centre.1).atan2(self.from.0 - centre.0), sweep))
    }

    /// Places along the edge, near enough to each other for any picture.
    pub fn places(&self) -> Vec<Place> {
        let (Some((radius, first, turn)), Some((centre, _))) = (self.sweep(), self.arc) else {
            return vec![self.from, self.to];
        };
        let count = ((turn.abs() / 0.05).ceil() as u32).clamp(2, 200);
        let at = |n: u32| {
            let angle = first + turn * f64::from(n) / f64::from(count);
            (centre.0 + radius * angle.cos(), centre.1 + radius * angle.sin())
        };
        (0..=count).map(at).collect()
    }

    /// The same as lines, moved to where places lie on the page.
    pub fn lines(&self, place: impl Fn(Place) -> Place) -> Vec<(Place, Place)> {
        let places: Vec<Place> = self.places().into_iter().map(place).collect();
        places.iter().copied().zip(places.iter().copied().skip(1)).collect()
    }

    /// How it is drawn where places lie on the page, so many times its size, from where the pen is.
    pub fn steps(&self, place: impl Fn(Place) -> Place, scale: f64) -> Vec<Step> {
        let (Some((radius, first, turn)), Some((centre, _))) = (self.sweep(), self.arc) else {
            return vec![Step::Line(place(self.to))];
        };
        // In halves, so that a full circle is one too.
        let clockwise = turn >= 0.0;
        let half = first + turn / 2.0;
        let middle = (centre.0 + radius * half.cos(), centre.1 + radius * half.sin());
        let arc = |to: Place| Step::Arc { radius: radius * scale, large: false, clockwise, to: place(to) };
        vec![arc(middle), arc(self.to)]
    }
}
