//! Where the places of a picture lie on the page.

use crate::docket::{Figure, FigureValue, Part, Picture};
use crate::drawing::Place;
use crate::drawing::clear::Area;
use crate::drawing::edges::{Drawn, edges, mm, place};
use crate::shape::Point;

/// How a picture lies on the page.
#[derive(Clone, Copy, Debug)]
pub(super) struct View {
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
}

/// A length in mm.
pub(super) fn length(figure: &Figure) -> Option<f64> {
    match &figure.value {
        FigureValue::Measure(quantity) => Some(mm(&quantity.number)),
        FigureValue::Slack(slack) => Some(mm(&slack.middle.number)),
        _ => None,
    }
}

/// What a picture takes in, in mm of cloth; nothing where it is empty.
pub(super) fn bounds(picture: &Picture) -> Option<Area> {
    let mut places: Vec<Place> = Vec::new();
    for part in &picture.parts {
        match part {
            Part::Shape { at, outline, .. } => {
                places.extend(edges(at, outline).iter().flat_map(Drawn::places));
            }
            Part::Straight { ends, .. } | Part::Distance { ends, .. } | Part::Grain { ends } => {
                places.extend([place(&ends.0), place(&ends.1)]);
            }
            Part::Spot { at, .. } | Part::Words { at, .. } => places.push(place(at)),
            Part::Scale { from, down, at } => {
                let (x, y) = place(from);
                places.push((x, y));
                let far = at.iter().filter_map(|(figure, _)| length(figure));
                places.extend(far.map(|far| if *down { (x, y + far) } else { (x + far, y) }));
            }
        }
    }
    places.retain(|(x, y)| x.is_finite() && y.is_finite());
    let first = *places.first()?;
    let area = places.iter().fold(Area::of(first, first), |area, (x, y)| Area {
        left: area.left.min(*x),
        top: area.top.min(*y),
        right: area.right.max(*x),
        bottom: area.bottom.max(*y),
    });
    (area.wide() > 0.0 || area.high() > 0.0).then_some(area)
}
