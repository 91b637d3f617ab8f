//! Where the places of a picture lie on the page.

use crate::docket::{Figure, FigureValue, Part, Picture};
use crate::drawing::Place;
use crate::drawing::clear::Area;
use crate::drawing::edges::{Drawn, edges, mm, place};
use crate::shape::Point;

/// How a picture lies on the page.
#[derive(Clone, Copy, Debug)]
pub(in crate::drawing) struct View {
    bounds: Area,
    /// The same on the page.
    pub on_page: Area,
    /// Mm on the page for each mm of cloth.
    pub scale: f64,
}

impl View {
    pub fn new(bounds: Area, corner: Place, scale: f64) -> View {
        let (right, bottom) = (corner.0 + bounds.wide() * scale, corner.1 + bounds.high() * scale);
        View { bounds, on_page: Area { left: corner.0, top: corner.1, right, bottom }, scale }
    }

    /// What it takes in, in mm of cloth.
    pub fn bounds(&self) -> &Area {
        &self.bounds
    }

    pub fn place(&self, (x, y): Place) -> Place {
        (
            self.on_page.left + (x - self.bounds.left) * self.scale,
            self.on_page.top + (y - self.bounds.top) * self.scale,
        )
    }

    pub fn point(&self, point: &Point) -> Place {
        self.place(place(point))
    }

    pub fn line(&self, ends: &(Point, Point)) -> (Place, Place) {
        (self.point(&ends.0), self.point(&ends.1))
    }
}

/// A length in mm.
pub(in crate::drawing) fn length(figure: &Figure) -> Option<f64> {
    match &figure.value {
        FigureValue::Measure(quantity) => Some(mm(&quantity.number)),
        FigureValue::Slack(slack) => Some(mm(&slack.middle.number)),
        _ => None,
    }
}

/// What a picture takes in, in mm of cloth; nothing where it is empty.
pub(super) fn bounds(picture: &Picture) -> Option<Area> {
    let area = Area::of_all(picture.parts.iter().flat_map(places))?;
    (area.wide() > 0.0 || area.high() > 0.0).then_some(area)
}

/// The places of a part, in mm of cloth.
pub(in crate::drawing) fn places(part: &Part) -> Vec<Place> {
    match part {
        Part::Shape { at, outline, .. } => edges(at, outline).iter().flat_map(Drawn::places).collect(),
        Part::Straight { ends, .. } | Part::Distance { ends, .. } | Part::Grain { ends } => {
            vec![place(&ends.0), place(&ends.1)]
        }
        Part::Spot { at, .. } | Part::Words { at, .. } => vec![place(at)],
        Part::Scale { from, down, at } => {
            let far = at.iter().filter_map(|(figure, _)| length(figure));
            far.chain([0.0]).map(|far| along(place(from), *down, far)).collect()
        }
    }
}

/// A place so far along a chain of distances.
pub(in crate::drawing) fn along((x, y): Place, down: bool, far: f64) -> Place {
    if down { (x, y + far) } else { (x + far, y) }
}
