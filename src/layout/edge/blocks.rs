//! Rectangles made of pieces, cut apart edge to edge: what a search lays in one go.

use std::collections::HashSet;

use super::super::free::task::Task;

/// A rectangle made of pieces.
#[derive(Clone, Debug)]
pub(super) struct Block {
    /// Across.
    pub across: i64,
    /// Along.
    pub along: i64,
    /// Area of its pieces.
    pub area: i64,
    /// Kinds and how many of each.
    pub holds: Vec<(usize, u32)>,
    make: Make,
}

/// What makes two blocks the same: sides, and what they hold.
type Alike = (i64, i64, Vec<(usize, u32)>);

/// How a block is made.
#[derive(Clone, Copy, Debug)]
enum Make {
    /// Equal pieces, so many side by side and so many along.
    Grid { kind: usize, way: usize, columns: u32, rows: u32 },
    /// Two blocks side by side.
    Beside(usize, usize),
    /// Two blocks that follow each other along the cloth.
    Along(usize, usize),
}

/// A piece within a block or on the cloth: kind, way and place.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Spot {
    pub kind: usize,
    pub way: usize,
    pub x: i64,
    pub y: i64,
}

/// Blocks of a task.
#[derive(Clone, Debug, Default)]
pub(super) struct Blocks {
    pub list: Vec<Block>,
    /// How wide a part may be cut off beside the blocks in it: sums of few sides across.
    pub across: Vec<i64>,
    /// How long a part may be: sums of few sides along.
    pub along: Vec<i64>,
    /// Work done, in steps of search.
    pub work: u64,
}

/// Grids of one kind, one way, at most.
const GRIDS: usize = 60;

/// So many different sides make up where parts are cut off.
const MOST_SIDES: usize = 12;

/// A block joined from two may waste one part in so many.
const TIGHT: i64 = 80;

impl Blocks {
    /// At most so many blocks for a task: grids of equal pieces first, then what can be joined of two
    /// blocks without much waste, the smaller first.
    pub fn of(task: &Task, most: usize) -> Blocks {
        let mut blocks = Blocks::default();
        let mut seen: HashSet<Alike> = HashSet::new();
        let ways: usize = task.kinds.iter().map(|kind| kind.ways.len()).sum();
        let each = (most / 2 / ways.max(1)).clamp(1, GRIDS);
        for (kind, sort) in task.kinds.iter().enumerate() {
            for (way, sides) in sort.ways.iter().enumerate() {
                for (columns, rows) in grids(task, *sides, sort.count, each) {
                    let block = Block {
                        across: sides.0 * i64::from(columns),
                        along: sides.1 * i64::from(rows),
                        area: sides.0 * sides.1 * i64::from(columns * rows),
                        holds: vec![(kind, columns * rows)],
                        make: Make::Grid { kind, way, columns, rows },
                    };
                    if seen.insert((block.across, block.along, block.holds.clone())) {
                        blocks.list.push(block);
                    }
                }
            }
        }
        blocks.list.sort_by_key(|block| (block.area, block.across));
        let mut at = 0;
        while at < blocks.list.len() && blocks.list.len() < most && blocks.work < 64 * most as u64 {
            for other in 0..=at {
                blocks.work += 1;
                for beside in [true, false] {
                    if blocks.list.len() < most
                        && let Some(block) = blocks.joined(task, at, other, beside)
                        && seen.insert((block.across, block.along, block.holds.clone()))
                    {
                        blocks.list.push(block);
                    }
                }
            }
            at += 1;
        }
        blocks.work /= 4;
        blocks.across = parts(task, task.width, |way| way.0);
        blocks.along = parts(task, task.top, |way| way.1);
        blocks
    }

    /// Two blocks as one, where they go together well and there are pieces enough.
    fn joined(&self, task: &Task, at: usize, other: usize, beside: bool) -> Option<Block> {
        let (one, two) = (self.list.get(at)?, self.list.get(other)?);
        let (across, along) = if beside {
            (one.across + two.across, one.along.max(two.along))
        } else {
            (one.across.max(two.across), one.along + two.along)
        };
        let area = one.area + two.area;
        if across > task.width || along > task.top || (across * along - area) * TIGHT > across * along {
            return None;
        }
        let mut holds = one.holds.clone();
        for (kind, count) in &two.holds {
            match holds.iter_mut().find(|held| held.0 == *kind) {
                Some(held) => held.1 += count,
                None => holds.push((*kind, *count)),
            }
        }
        if holds.iter().any(|(kind, count)| task.kinds.get(*kind).is_none_or(|sort| sort.count < *count)) {
            return None;
        }
        holds.sort_unstable();
        let make = if beside { Make::Beside(at, other) } else { Make::Along(at, other) };
        Some(Block { across, along, area, holds, make })
    }

    /// The pieces of a block that lies at a place.
    pub fn spots(&self, task: &Task, block: usize, x: i64, y: i64, out: &mut Vec<Spot>) {
        let Some(one) = self.list.get(block) else { return };
        match one.make {
            Make::Grid { kind, way, columns, rows } => {
                let Some(sides) = task.kinds.get(kind).and_then(|sort| sort.ways.get(way)) else {
                    return;
                };
                for row in 0..i64::from(rows) {
                    for column in 0..i64::from(columns) {
                        out.push(Spot { kind, way, x: x + column * sides.0, y: y + row * sides.1 });
                    }
                }
            }
            Make::Beside(first, second) => {
                self.spots(task, first, x, y, out);
                let across = self.list.get(first).map_or(0, |block| block.across);
                self.spots(task, second, x + across, y, out);
            }
            Make::Along(first, second) => {
                self.spots(task, first, x, y, out);
                let along = self.list.get(first).map_or(0, |block| block.along);
                self.spots(task, second, x, y + along, out);
            }
        }
    }
}

/// Columns and rows of grids of equal pieces, the smallest first; of many, single rows and columns
/// and those that use most of the pieces.
fn grids(task: &Task, sides: (i64, i64), count: u32, most: usize) -> Vec<(u32, u32)> {
    let fit = |whole: i64, side: i64| u32::try_from(whole / side.max(1)).unwrap_or(u32::MAX).min(count);
    let (wide, long) = (fit(task.width, sides.0), fit(task.top, sides.1));
    let mut grids = Vec::new();
    for columns in 1..=wide {
        for rows in 1..=long.min(count / columns) {
            grids.push((columns, rows));
        }
        if grids.len() > 4000 {
            break;
        }
    }
    let full = |(columns, rows): &(u32, u32)| {
        let fullest = *columns == wide || *rows == long || (columns + 1) * rows > count;
        let line = *columns == 1 || *rows == 1;
        (u32::from(!(line && columns * rows <= 8)) + u32::from(!fullest && !line), columns * rows, *columns)
    };
    grids.sort_by_key(full);
    grids.truncate(most);
    grids
}

/// Sums of one side a few times, and of two sides.
fn parts(task: &Task, whole: i64, side: impl Fn(&(i64, i64)) -> i64) -> Vec<i64> {
    let mut sides: Vec<i64> = task.kinds.iter().flat_map(|sort| sort.ways.iter().map(&side)).collect();
    sides.sort_unstable();
    sides.dedup();
    sides.truncate(MOST_SIDES);
    let mut parts: Vec<i64> = sides.iter().flat_map(|side| [1, 2, 3].map(|times| side * times)).collect();
    for (at, one) in sides.iter().enumerate() {
        parts.extend(sides.iter().skip(at + 1).map(|other| one + other));
    }
    let beyond: Vec<i64> = parts.iter().map(|part| whole - part).collect();
    parts.extend(beyond);
    parts.retain(|part| *part > 0 && *part < whole);
    parts.sort_unstable();
    parts.dedup();
    parts
}
