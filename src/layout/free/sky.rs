//! The far edge of what is laid so far: steps from the left selvage to the right.

/// A level stretch of the edge; it goes on to where the next one starts.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub(super) struct Step {
    /// Where it starts, from the left.
    pub x: i64,
    /// How far it is from the near end.
    pub y: i64,
}

/// The lowest step, the leftmost of equals.
pub(super) fn lowest(sky: &[Step]) -> usize {
    sky.iter().enumerate().min_by_key(|(_, step)| step.y).map_or(0, |(at, _)| at)
}

/// A step; one at the near left corner where there is none.
pub(super) fn step(sky: &[Step], at: usize) -> Step {
    sky.get(at).copied().unwrap_or_default()
}

/// Where a step ends.
pub(super) fn end(sky: &[Step], at: usize, width: i64) -> i64 {
    sky.get(at + 1).map_or(width, |next| next.x)
}

/// The lower of the walls on both sides of a step; `top` where there are none.
pub(super) fn wall(sky: &[Step], at: usize, top: i64) -> i64 {
    let left = at.checked_sub(1).and_then(|at| sky.get(at)).map_or(top, |step| step.y);
    let right = sky.get(at + 1).map_or(top, |step| step.y);
    left.min(right)
}

/// The edge after something `across` wide has been laid at the left of a step, up to `y`.
pub(super) fn lay(sky: &[Step], at: usize, across: i64, y: i64, width: i64, out: &mut Vec<Step>) {
    out.clear();
    out.extend(sky.iter().take(at));
    let Step { x, y: floor } = step(sky, at);
    if out.last().is_none_or(|last| last.y != y) {
        out.push(Step { x, y });
    }
    let next = x + across;
    let right = end(sky, at, width);
    if next < right {
        out.push(Step { x: next, y: floor });
        out.extend(sky.iter().skip(at + 1));
    } else {
        let same = sky.get(at + 1).is_some_and(|step| step.y == y);
        out.extend(sky.iter().skip(at + 1 + usize::from(same)));
    }
}

/// The edge after something has been laid at the left or the right of a step, up to `y`.
pub(super) fn lay_at(
    sky: &[Step],
    at: usize,
    (x, across): (i64, i64),
    y: i64,
    width: i64,
    out: &mut Vec<Step>,
) {
    if x == step(sky, at).x {
        return lay(sky, at, across, y, width, out);
    }
    out.clear();
    out.extend(sky.iter().take(at + 1));
    out.push(Step { x, y });
    let same = sky.get(at + 1).is_some_and(|step| step.y == y);
    out.extend(sky.iter().skip(at + 1 + usize::from(same)));
}

/// Fills what nothing can go into: steps too near to the far end, `top`, for the lowest piece left,
/// and niches too narrow for the narrowest.
pub(super) fn settle(sky: &mut Vec<Step>, width: i64, top: i64, narrowest: i64, lowest: i64) {
    for step in sky.iter_mut() {
        if step.y + lowest > top {
            step.y = top;
        }
    }
    join(sky);
    let mut at = 0;
    while at < sky.len() {
        let wall = wall(sky, at, top);
        let room = end(sky, at, width) - step(sky, at).x;
        if let Some(step) = sky.get_mut(at).filter(|step| room < narrowest && wall > step.y) {
            step.y = wall;
            join(sky);
            at = at.saturating_sub(2);
        } else {
            at += 1;
        }
    }
}

fn join(sky: &mut Vec<Step>) {
    sky.dedup_by(|next, before| next.y == before.y);
}

/// The same edge seen from the other side.
pub(super) fn mirrored(sky: &[Step], width: i64, out: &mut Vec<Step>) {
    out.clear();
    for at in (0..sky.len()).rev() {
        out.push(Step { x: width - end(sky, at, width), y: step(sky, at).y });
    }
}
