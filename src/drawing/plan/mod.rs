//! The cutting plans as drawings, one a page: the cloth to scale with its pieces, its cuts numbered, and their list
//! beside it.
#![expect(clippy::arithmetic_side_effects, reason = "cuts and rows are counted up to a limit")]

mod description;
mod frame;
mod labelled;
mod list;
mod numbers;
mod row;

use super::clear::{Area, Block, Sheet, thin};
use super::cut_list::{listed, numbered};
use super::head::head;
use super::labels;
use super::lines::{shortened, wrapped};
use super::view::{View, What, breaks};
use super::{Drawing, List};
use crate::docket::{ClothPlan, Docket};
use crate::layout::Spread;
use frame::Frame;
use list::Item;
pub(super) use row::measure;

/// Sizes of letters in mm.
const TITLE: f64 = 3.8;
/// The width of a list beside the cloth.
const BESIDE: f64 = 60.0;
/// A cloth is drawn no wider than this, and no narrower where it may be broken.
const WIDEST: f64 = 150.0;
const NARROWEST: f64 = 42.0;
/// A cloth is broken into so many rows at most.
const MOST_ROWS: f64 = 6.0;
/// The rest of a list that takes less of a page than this makes the cloth smaller, down to this share of its size.
const FEW: f64 = 0.3;
const SMALLEST: f64 = 0.6;

/// The cutting plans of a docket, each on a page of its own and none larger than a room of so many mm, width and
/// height. A list of cuts
/// that is too long for its page goes on in a drawing after it.
pub fn plans(docket: &Docket, room: (f64, f64)) -> Vec<Drawing> {
    drawn(docket, Some(docket), (room, room))
}

/// The same for a document that tells the recipe and its cautions in words of its own. The first has a room of its own.
pub fn bare_plans(docket: &Docket, rooms: ((f64, f64), (f64, f64))) -> Vec<Drawing> {
    drawn(docket, None, rooms)
}

fn drawn(docket: &Docket, head: Option<&Docket>, (first, others): ((f64, f64), (f64, f64))) -> Vec<Drawing> {
    let mut out = Vec::new();
    let mut before = 0;
    for plan in &docket.cloths {
        for spread in &plan.plan.spreads {
            let view = View::of(plan, spread, before);
            let (rows, whole) = listed(plan, spread, before);
            before += numbered(plan, spread);
            if view.across > 0 && view.along > 0 {
                let mut cuts: Vec<Item> = rows.into_iter().map(Item::cut).collect();
                if !whole {
                    cuts.push(Item::plain("and so on"));
                }
                let room = if out.is_empty() { first } else { others };
                Page { head, plan, spread, view, cuts, room }.draw(&mut out);
            }
        }
    }
    out
}

/// One cloth laid out, and the page that it is drawn on.
struct Page<'a> {
    /// Whose name and cautions stand above the cloth.
    head: Option<&'a Docket>,
    plan: &'a ClothPlan,
    spread: &'a Spread,
    view: View,
    cuts: Vec<Item>,
    room: (f64, f64),
}

/// The drawing of a cloth and its list.
struct First {
    sheet: Sheet,
    items: Vec<Item>,
    /// The first row of the list that had no room, and where the others end.
    next: usize,
    end: f64,
    /// How many mm a grid unit is drawn, and whether the list is beside the cloth.
    scale: f64,
    beside: bool,
    /// How many cuts and groups of pieces have no room for their number or their name.
    silent: usize,
}

/// How a cloth lies on its page.
#[derive(Clone, Copy, Debug)]
struct Lying {
    /// Whether its length runs up the page, not to the right.
    turned: bool,
    /// Whether the list is beside it, not below.
    beside: bool,
    /// How many mm a grid unit is drawn.
    scale: f64,
}

impl Page<'_> {
    fn draw(&self, out: &mut Vec<Drawing>) {
        let First { sheet, items, mut next, end, .. } = self.first();
        let title = labels::title(self.plan, self.spread);
        let above = description::above(self.head, self.plan, &self.view);
        let description = description::whole(&title, &above, &items);
        // Where there is no picture, its letters say nothing.
        let list = Some(List { above, rows: self.cuts.iter().map(|item| item.row.clone()).collect() });
        let (width, height) = (self.room.0, (end + 1.5).min(self.room.1));
        out.push(Drawing { width, height, title: title.clone(), description, list, marks: sheet.finish() });
        while next < items.len() {
            let mut sheet = Sheet::new(self.room);
            let words = format!("{}, goes on", shortened(&title, TITLE, true, self.room.0 - 25.0));
            sheet.write((0.0, TITLE), &words, TITLE, true);
            let columns = list::columns(self.room.0, 2, TITLE * 2.0, self.room.1);
            let rest = items.get(next..).unwrap_or_default();
            let (more, end) = list::flow(&mut sheet, rest, &columns);
            if more == 0 {
                break;
            }
            let description = description::rest(rest.get(..more).unwrap_or_default());
            next += more;
            let (width, height) = (self.room.0, (end + 1.5).min(self.room.1));
            let list = Some(List::default());
            out.push(Drawing { width, height, title: words, description, list, marks: sheet.finish() });
        }
    }

    /// The drawing of the cloth. It is made smaller where its list would otherwise go on in a drawing of its own for a few
    /// rows.
    fn first(&self) -> First {
        const TRIES: usize = 5;
        let mut free = 0.0;
        let mut best = self.within(free);
        let whole = best.scale;
        for _ in 0..TRIES {
            let rest = best.items.get(best.next..).unwrap_or_default();
            let more = list::height(rest, self.column(&best.items));
            if rest.is_empty() || best.beside || more > self.room.1 * FEW {
                break;
            }
            free += more / self.count(&best.items) as f64 + 1.0;
            let smaller = self.within(free);
            if smaller.scale < whole * SMALLEST || smaller.silent > best.silent {
                break;
            }
            best = smaller;
        }
        best
    }

    /// The drawing of the cloth with so much left free for its list, besides what the list is thought to take.
    fn within(&self, free: f64) -> First {
        let mut sheet = Sheet::new(self.room);
        let top = self.head.map_or(0.0, |docket| head(docket, &mut sheet, self.room));
        let lying = self.lying(self.room.1 - top, free);
        let top = self.title(&mut sheet, top, lying.turned);
        let mut drawn = row::Drawn::default();
        let bottom = self.rows(&mut sheet, top, &lying, &mut drawn);
        let items = self.items(&drawn);
        let (next, end) = self.beside(&mut sheet, &items, &lying, top, bottom);
        let silent = drawn.unnamed.saturating_add(drawn.unnumbered);
        First { sheet, items, next, end: end.max(bottom), scale: lying.scale, beside: lying.beside, silent }
    }

    /// The width of the columns of a list below the cloth: a short list has one.
    fn column(&self, items: &[Item]) -> f64 {
        let columns = list::columns(self.room.0, self.count(items), 0.0, 0.0);
        columns.first().map_or(self.room.0, |column| column.width)
    }

    fn count(&self, items: &[Item]) -> usize {
        if list::height(items, self.room.0) > list::STEP * 6.5 { 2 } else { 1 }
    }

    /// What the picture shows, and which way the grain or the nap runs; tells where it ends.
    fn title(&self, sheet: &mut Sheet, top: f64, turned: bool) -> f64 {
        const ARROW: f64 = 16.0;
        let words = if self.plan.directional { "nap: all one way" } else { "grain" };
        let block = Block::line(words, 2.6);
        let (long, tall) = block.extent();
        let right = self.room.0 - 1.0;
        let height = if turned { ARROW } else { TITLE * 1.4 };
        let (from, to) = match turned {
            true => ((right - 1.5, top + ARROW), (right - 1.5, top)),
            false => ((right - ARROW, top + height / 2.0), (right, top + height / 2.0)),
        };
        let middle = match turned {
            true => (right - 4.0 - long / 2.0, top + height / 2.0),
            false => (right - ARROW - 2.0 - long / 2.0, top + height / 2.0 - tall * 0.05),
        };
        sheet.put(&block, middle);
        sheet.line((from, to), thin(0.35));
        sheet.arrow(from, to);
        if !self.plan.directional {
            sheet.arrow(to, from);
        }
        let room = middle.0 - long / 2.0 - 4.0;
        let title = labels::title(self.plan, self.spread);
        let lines = wrapped(&title, TITLE, true, room, 3);
        let count = lines.len() as f64;
        for (at, line) in lines.iter().enumerate() {
            sheet.write((0.0, top + TITLE * (1.0 + 1.25 * at as f64)), line, TITLE, true);
        }
        top + height.max(count * TITLE * 1.25) + 2.0
    }

    /// The way of lying in which the cloth is largest.
    fn lying(&self, high: f64, free: f64) -> Lying {
        let wide = self.room.0;
        // A long title takes several lines.
        let high = high - self.title(&mut Sheet::new(self.room), 0.0, false);
        let [near, far, first, second] = frame::gutters(&self.view);
        let (across, along) = (self.view.across as f64, self.view.along as f64);
        let fits = |wide: f64, high: f64, turned: bool| {
            let (along_room, across_room) = if turned { (high, wide) } else { (wide, high) };
            let scale = ((along_room - near - far) / along).min((across_room - first - second) / across);
            scale.min(WIDEST / across)
        };
        let list = list::height(&self.cuts, self.column(&self.cuts));
        let below = list / self.count(&self.cuts) as f64 + 8.0 + free;
        let left_over = high - below.min(high * 0.45);
        let ways = [
            Lying { turned: false, beside: false, scale: fits(wide, left_over, false) },
            Lying { turned: false, beside: true, scale: fits(wide - BESIDE - 4.0, high, false) },
            Lying { turned: true, beside: true, scale: fits(wide - BESIDE - 4.0, high - 14.0, true) },
        ];
        let [plain, ..] = ways;
        let best = ways.into_iter().max_by(|one, other| one.scale.total_cmp(&other.scale)).unwrap_or(plain);
        if best.scale * across >= NARROWEST {
            return if plain.scale >= 0.85 * best.scale { plain } else { best };
        }
        // Too narrow in one row: broken into several.
        let row = wide - near - far;
        let mut scale = (NARROWEST / across).min(MOST_ROWS * 0.9 * row / along).max(plain.scale);
        for _ in 0..60 {
            let rows = breaks(&self.view, (row / scale) as i128).len() as f64;
            if rows * (across * scale + first + second) <= left_over || scale <= plain.scale {
                break;
            }
            scale = (scale * 0.95).max(plain.scale);
        }
        if scale < best.scale { best } else { Lying { scale, ..plain } }
    }

    /// The cloth, in one row or in several; tells where it ends.
    fn rows(&self, sheet: &mut Sheet, top: f64, lying: &Lying, drawn: &mut row::Drawn) -> f64 {
        let [near, far, first, second] = frame::gutters(&self.view);
        let wide = if lying.beside { self.room.0 - BESIDE - 4.0 } else { self.room.0 };
        let scale = lying.scale;
        let most = if lying.turned { self.view.along } else { ((wide - near - far) / scale) as i128 };
        // A hair of rounding must not break what fits.
        let whole = lying.turned || self.view.along as f64 * scale <= wide - near - far + 0.01;
        let parts = if whole { vec![(0, self.view.along)] } else { breaks(&self.view, most) };
        let mut y = top;
        for (from, to) in parts {
            let (left, upper) = if lying.turned { (first, y + far) } else { (near, y + first) };
            let across = self.view.across;
            let frame = Frame { turned: lying.turned, left, top: upper, scale, from, to, across };
            let high = if lying.turned {
                (to - from) as f64 * scale + near + far
            } else {
                across as f64 * scale + first + second
            };
            sheet.within(Area { left: 0.0, top: y, right: wide, bottom: y + high });
            let row = row::Row { plan: self.plan, spread: self.spread, view: &self.view, frame };
            row.draw(sheet);
            numbers::put(&row, sheet, drawn);
            labelled::put(&row, sheet, drawn);
            y += high;
        }
        y
    }

    /// All that is listed beside the picture: its letters, its cuts, what is not drawn.
    fn items(&self, drawn: &row::Drawn) -> Vec<Item> {
        let mut items = Vec::new();
        let mut keys = drawn.keys.clone();
        keys.sort_unstable();
        keys.dedup();
        items.extend(keys.into_iter().map(|piece| Item::plain(labels::explained(self.plan, piece))));
        items.extend(self.cuts.iter().cloned());
        match drawn.unnumbered {
            0 => {}
            1 => items.push(Item::plain("One cut has no room for its number in the picture.")),
            count => items
                .push(Item::plain(format!("{count} cuts have no room for their numbers in the picture."))),
        }
        match drawn.unnamed {
            0 => {}
            1 => items.push(Item::plain("One group of pieces has no room for its name in the picture.")),
            count => {
                let words = format!("{count} groups of pieces have no room for their names in the picture.");
                items.push(Item::plain(words));
            }
        }
        if self.view.shapes.iter().any(|shape| matches!(shape.what, What::Gap(_))) {
            items.push(Item::plain("Strips that repeat are left out of the picture."));
        }
        if !self.view.whole {
            items.push(Item::plain("Not all pieces are drawn."));
        }
        items
    }

    /// The list beside the picture or below it; tells how much of it there was room for, and where it ends.
    fn beside(
        &self,
        sheet: &mut Sheet,
        items: &[Item],
        lying: &Lying,
        top: f64,
        bottom: f64,
    ) -> (usize, f64) {
        let (wide, high) = self.room;
        if lying.beside {
            let column = list::Column { left: wide - BESIDE, width: BESIDE, top: top + 2.0, bottom: high };
            return list::flow(sheet, items, &[column]);
        }
        let mut columns = list::columns(wide, self.count(items), bottom + 2.0, high);
        // Both columns end at about the same height.
        let all = list::height(items, columns.first().map_or(wide, |column| column.width));
        if let [first, _] = columns.as_mut_slice() {
            let half = (all / 2.0 + list::STEP * 1.5).max(list::STEP * 8.5);
            first.bottom = first.bottom.min(first.top + half);
        }
        list::flow(sheet, items, &columns)
    }
}
