//! Rulers that all sizes are near the marks of.

use std::collections::BTreeMap;

use super::super::work::Work;

/// A size counts as near a mark within this part of the way to the next.
const NEAR: u64 = u64::MAX / 6;

/// And within this part of the cloth: a ruler with few marks is coarse.
const NEAR_ON_CLOTH: u64 = u64::MAX / 1536;

/// Rulers with fewer marks on the cloth than this tell too little.
const LEAST_MARKS: i128 = 64;

/// So many rulers at most are proposed.
const MOST_RULERS: usize = 6;

/// Proposes sizes as marks of rulers that they are all near to, the coarsest ruler first, until one
/// serves. `sizes` are in order, each above 0; the cloth has no more than `most` marks.
pub(super) fn rulers(
    sizes: &[i128],
    (cloth, most): (i128, i128),
    work: &mut Work<'_>,
    serves: &mut dyn FnMut(BTreeMap<i128, i64>, &mut Work<'_>) -> bool,
) {
    let mut proposed = 0;
    let Some(longest) = sizes.last().copied().filter(|longest| cloth > 0 && *longest > 0) else {
        return;
    };
    for whole in if longest == cloth { vec![longest] } else { vec![longest, cloth] } {
        let parts: Option<Vec<(u64, u64)>> = sizes.iter().map(|size| part(*size, whole)).collect();
        let Some(parts) = parts else { continue };
        // So many marks on `whole` are as many on the cloth as there may be.
        let (Some(first), Some(last)) = (scaled(LEAST_MARKS, whole, cloth), scaled(most, whole, cloth))
        else {
            continue;
        };
        for marks in first.max(1)..=last {
            if !work.spend(1 + sizes.len() as u64 / 256) || proposed >= MOST_RULERS {
                return;
            }
            let on_cloth = u64::try_from(i128::from(marks).saturating_mul(cloth) / whole).unwrap_or(u64::MAX);
            let limit = NEAR.min(NEAR_ON_CLOTH.saturating_mul(on_cloth));
            let near = |part: &(u64, u64)| {
                let off = part.1.wrapping_mul(marks);
                off.min(off.wrapping_neg()) <= limit
            };
            if parts.iter().all(near)
                && let Some(steps) =
                    parts.iter().map(|part| nearest(*part, marks)).collect::<Option<Vec<i64>>>()
            {
                proposed += 1;
                if serves(sizes.iter().copied().zip(steps).collect(), work) {
                    return;
                }
            }
        }
    }
}

/// A size as so many wholes and 2^64ths of one.
fn part(size: i128, whole: i128) -> Option<(u64, u64)> {
    let wholes = u64::try_from(size / whole).ok().filter(|wholes| *wholes < 1 << 32)?;
    let (mut rest, mut whole) = (size % whole, whole);
    // Bits that do not matter at this scale are let go.
    while whole >= 1 << 62 {
        (rest, whole) = (rest >> 1, whole >> 1);
    }
    let part = (u128::try_from(rest).ok()? << 64) / u128::try_from(whole).ok()?;
    Some((wholes, u64::try_from(part).unwrap_or(u64::MAX)))
}

/// The mark nearest to a size; none where that is the very beginning.
fn nearest((wholes, part): (u64, u64), marks: u64) -> Option<i64> {
    let rest = (u128::from(part) * u128::from(marks) + (1 << 63)) >> 64;
    let all = u128::from(wholes) * u128::from(marks) + rest;
    i64::try_from(all).ok().filter(|steps| *steps > 0)
}

fn scaled(marks: i128, whole: i128, cloth: i128) -> Option<u64> {
    u64::try_from(marks.checked_mul(whole)? / cloth).ok()
}
