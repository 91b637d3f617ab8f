//! Words in a guide: off its lines, and for large shapes near an edge, so that a sheet that is printed anyway shows them.

use super::{LARGE, Laid};
use crate::docket::{Line, Part};
use crate::drawing::Place;
use crate::drawing::clear::{Area, Block, Sheet};
use crate::drawing::edges::{Drawn, edges};
use crate::drawing::lines::wrapped;
use crate::drawing::picture::parts::{middle, near};
use crate::drawing::tiles::OFF;

/// Letters of names, and of smaller things.
const NAME: f64 = 4.5;
const SMALL: f64 = 3.0;
/// Letters of a size on its line.
const SIZE: f64 = 2.8;

impl Laid<'_> {
    pub(super) fn words(&self, sheet: &mut Sheet) {
        for part in &self.picture.parts {
            if let (Part::Shape { at, outline, line: Line::Cut, .. }, Some((size, _))) = (part, self.nested) {
                self.size_on(&edges(at, outline), size, sheet);
            }
        }
        let named = |part: &&Part| matches!(part, Part::Shape { label: Some(_), .. });
        // Where no shape says what it is, the first one has the picture's name.
        let mut unnamed =
            (!self.picture.parts.iter().any(|part| named(&part))).then_some(&self.picture.title);
        for part in &self.picture.parts {
            match part {
                Part::Shape { at, outline, label, .. } => {
                    let edges = edges(at, outline);
                    edges.iter().filter(|edge| edge.on_fold).for_each(|edge| self.fold(edge, sheet));
                    if let Some(label) = label.as_ref().or_else(|| unnamed.take()) {
                        self.name(&edges, &self.sized(label), sheet);
                    }
                }
                Part::Straight { ends, label: Some(label), .. } => {
                    let (a, b) = self.view.line(ends);
                    let at = |share: f64| (a.0 + (b.0 - a.0) * share, a.1 + (b.1 - a.1) * share);
                    let along = [0.5, 0.4, 0.6, 0.3, 0.7].map(at);
                    self.worded(label).into_iter().for_each(|words| self.beside(sheet, &words, &along));
                }
                Part::Spot { at, label: Some(label) } => {
                    let at = self.view.point(at);
                    self.worded(label).into_iter().for_each(|words| self.beside(sheet, &words, &[at]));
                }
                Part::Grain { ends } if self.is_first => {
                    let (a, b) = self.view.line(ends);
                    self.beside(sheet, "grain", &[middle(a, b)]);
                }
                Part::Words { at, words } => {
                    let Some(words) = self.worded(words) else { continue };
                    let (block, at) = (block(&words, SMALL, 60.0), self.view.point(at));
                    let tries = std::iter::once(at).chain(round(at, block.extent())).collect();
                    self.place_one(sheet, &[(block, tries)]);
                }
                _ => {}
            }
        }
    }

    /// What a thing is called, with its size where there are several.
    fn sized(&self, label: &str) -> String {
        self.nested.map_or_else(|| label.to_owned(), |(size, _)| format!("{size}: {label}"))
    }

    /// Words at a line or a place: once where every size has them, else with their size.
    fn worded(&self, words: &str) -> Option<String> {
        match self.common.contains(words) {
            true => self.is_first.then(|| words.to_owned()),
            false => Some(self.sized(words)),
        }
    }

    /// The size on the first edge that is not on the fold; every size further along.
    fn size_on(&self, edges: &[Drawn], size: &str, sheet: &mut Sheet) {
        // A little further along where sheets meet.
        const MOVED: [f64; 5] = [0.0, 0.05, -0.05, 0.1, -0.1];
        let block = block(size, SIZE, 30.0);
        let at = |edge: &Drawn, share: f64| {
            let places = edge.places();
            let at = ((places.len().saturating_sub(1)) as f64 * share) as usize;
            let (from, to) = (places.get(at)?, places.get(at.saturating_add(1))?);
            let share = if places.len() == 2 { share } else { 0.5 };
            Some(self.view.place((from.0 + (to.0 - from.0) * share, from.1 + (to.1 - from.1) * share)))
        };
        for off in OFF {
            for edge in edges.iter().filter(|edge| !edge.on_fold) {
                for share in MOVED.map(|by| (self.share + by).clamp(0.02, 0.98)) {
                    let Some(at) = at(edge, share) else { continue };
                    let area = Area::around(at, block.extent());
                    if self.joins.clear(&area, off) && !sheet.worded(&area) {
                        return sheet.put(&block, at);
                    }
                }
            }
        }
    }

    fn fold(&self, edge: &Drawn, sheet: &mut Sheet) {
        let (from, to) = (self.view.place(edge.from), self.view.place(edge.to));
        let (dx, dy) = (edge.to.0 - edge.from.0, edge.to.1 - edge.from.1);
        let block = block("place on the fold", SMALL, 60.0).turned(dy.abs() > dx.abs());
        let (wide, high) = block.extent();
        let long = dx.hypot(dy).max(1e-9);
        // Edges go round clockwise, so that inside is to their right.
        let (right, down) = (-dy / long, dx / long);
        let off = (wide * right.abs() + high * down.abs()) / 2.0 + 1.0;
        let share = |share: f64| (from.0 + (to.0 - from.0) * share, from.1 + (to.1 - from.1) * share);
        let tries = [0.5, 0.4, 0.6, 0.25, 0.75].into_iter().flat_map(|along| {
            let at = share(along);
            [1.0, 2.0, -1.0].map(|n| (at.0 + right * off * n, at.1 + down * off * n))
        });
        self.place_one(sheet, &[(block, tries.collect())]);
    }

    /// The name of a shape inside it: in its middle, or near its edges where it is large.
    fn name(&self, edges: &[Drawn], label: &str, sheet: &mut Sheet) {
        let lines: Vec<(Place, Place)> =
            edges.iter().flat_map(|edge| edge.lines(|at| self.view.place(at))).collect();
        let Some(area) = Area::of_all(lines.iter().flat_map(|(from, to)| [*from, *to])) else { return };
        let target = match area.wide().max(area.high()) > LARGE {
            true => (area.left + area.wide().min(80.0) / 2.0, area.top + area.high().min(40.0) / 2.0),
            false => area.middle(),
        };
        let mut ways = Vec::new();
        for size in [NAME, SMALL] {
            for turned in [false, true] {
                let room = if turned { area.high() } else { area.wide() };
                let block = block(label, size, (room - 3.0).clamp(12.0, 90.0)).turned(turned);
                let (wide, high) = block.extent();
                let mut tries = spread(&area, (wide, high));
                tries.retain(|at| inside(*at, &lines));
                let far = |at: &Place| (at.0 - target.0).hypot(at.1 - target.1);
                tries.sort_by(|a, b| far(a).total_cmp(&far(b)));
                ways.push((block, tries));
            }
        }
        if !self.place_one(sheet, &ways) {
            self.beside(sheet, label, &[area.middle()]);
        }
    }

    /// Words near one of these places, where they are free to lie.
    fn beside(&self, sheet: &mut Sheet, words: &str, at: &[Place]) {
        let mut ways = Vec::new();
        for room in [60.0, 30.0] {
            let block = block(words, SMALL, room);
            for block in [block.clone(), block.turned(true)] {
                let tries = at.iter().flat_map(|at| round(*at, block.extent())).collect();
                ways.push((block, tries));
            }
        }
        self.place_one(sheet, &ways);
    }

    /// Writes one of these blocks at a place where no line and no other words are: whole on one sheet, if there is such a
    /// place.
    fn place_one(&self, sheet: &mut Sheet, ways: &[(Block, Vec<Place>)]) -> bool {
        for off in OFF {
            for (block, places) in ways {
                for at in places {
                    let area = Area::around(*at, block.extent());
                    if self.joins.clear(&area, off) && sheet.free(&area, |_, _| false) {
                        sheet.put(block, *at);
                        return true;
                    }
                }
            }
        }
        false
    }
}

/// Words with a white edge, over whatever fills the shape.
fn block(words: &str, size: f64, room: f64) -> Block {
    Block { lines: wrapped(words, size, false, room, 3), size, halo: true, ..Block::default() }
}

/// Places round a target, the nearest first.
fn round(target: Place, extent: (f64, f64)) -> impl Iterator<Item = Place> {
    [1.2, 3.6, 6.0, 10.0].into_iter().flat_map(move |free| near(target, extent, free))
}

/// Places in an area for words of an extent.
fn spread(area: &Area, (wide, high): (f64, f64)) -> Vec<Place> {
    const STEPS: u32 = 14;
    let (x, y) = area.middle();
    let (spare_x, spare_y) = ((area.wide() - wide).max(0.0), (area.high() - high).max(0.0));
    let share = |n: u32| f64::from(n) / f64::from(STEPS) - 0.5;
    (0..=STEPS)
        .flat_map(|down| (0..=STEPS).map(move |right| (right, down)))
        .map(|(right, down)| (x + share(right) * spare_x, y + share(down) * spare_y))
        .collect()
}

/// Whether a place is inside an outline: a line from it to the right crosses the outline an odd number of times.
fn inside((x, y): Place, outline: &[(Place, Place)]) -> bool {
    let crossings = outline
        .iter()
        .filter(|(a, b)| (a.1 > y) != (b.1 > y) && x < a.0 + (b.0 - a.0) * (y - a.1) / (b.1 - a.1));
    crossings.count() % 2 == 1
}
