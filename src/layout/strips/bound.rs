//! Bounds that cost nothing.

use crate::layout::kinds::Kinds;

/// No strips are shorter than the pieces' area over the width, nor than what the pieces wider than
/// half the cloth take one above the other.
pub(super) fn quick(kinds: &Kinds) -> i64 {
    let width = i128::from(kinds.width.max(1));
    let (mut area, mut stacked, mut alone) = (0i128, 0i128, 0i128);
    for item in &kinds.items {
        let count = i128::from(item.count);
        area = area.saturating_add((i128::from(item.across) * i128::from(item.along)).saturating_mul(count));
        let lies = || item.ways(kinds.width).map(|way| item.lies(way));
        let low = i128::from(lies().map(|(_, along)| along).min().unwrap_or(0));
        let narrow = lies().map(|(across, _)| across).min().unwrap_or(1).max(1);
        let beside = i128::from(kinds.width / narrow).max(1);
        alone = alone.max(low * (count / beside + i128::from(count % beside != 0)));
        if beside == 1 {
            stacked += low * count;
        }
    }
    let area = area / width + i128::from(area % width != 0);
    i64::try_from(area.max(stacked).max(alone)).unwrap_or(0)
}
