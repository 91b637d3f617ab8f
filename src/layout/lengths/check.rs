//! Whether strips are cut into what was wanted: it shares nothing with the planners but the data.

use std::collections::BTreeMap;

use super::{Cutting, Lengths};

/// Pieces by item and length that are not a whole length yet.
type Pieces = BTreeMap<(usize, i64), u128>;

/// What is wrong with a cutting of lengths, if anything: a length missing or too many, a strip
/// that is cut past its end or that nobody has, joined pieces that are too short or do not add up.
pub fn check_lengths(job: &Lengths, cutting: &Cutting) -> Result<(), String> {
    let (mut pieces, fresh) = cut(job, cutting)?;
    let mut whole = vec![0u128; job.wanted.len()];
    join(job, cutting, &mut pieces, &mut whole)?;
    for ((item, length), count) in pieces.into_iter().filter(|(_, count)| *count > 0) {
        let wanted = job.wanted.get(item).ok_or("a length that nobody asked for")?;
        if wanted.length.max(1) != length {
            return Err(format!("{count} pieces of {length} of {wanted:?} are joined to nothing"));
        }
        *whole.get_mut(item).ok_or("a length that nobody asked for")? += count;
    }
    for (wanted, got) in job.wanted.iter().zip(&whole) {
        if u128::from(wanted.count) != *got {
            return Err(format!("{got} of {wanted:?}"));
        }
    }
    let counted = fresh == u128::from(cutting.strips)
        && cutting.bound <= cutting.strips
        && cutting.proved == (cutting.bound == cutting.strips);
    if counted { Ok(()) } else { Err(format!("{fresh} strips, not {cutting:?}")) }
}

/// The pieces that come off the strips, and how many strips are new; all of a strip is cut or left over.
fn cut(job: &Lengths, cutting: &Cutting) -> Result<(Pieces, u128), String> {
    let mut used = vec![0u128; job.hand.len()];
    let mut fresh = 0u128;
    let mut pieces = Pieces::new();
    for strip in &cutting.cuts {
        let long = match strip.hand {
            None => {
                fresh += u128::from(strip.times);
                job.strip
            }
            Some(at) => {
                *used.get_mut(at).ok_or("a strip that nobody has")? += u128::from(strip.times);
                job.hand.get(at).ok_or("a strip that nobody has")?.length
            }
        };
        let mut taken = i128::from(strip.left);
        for piece in &strip.pieces {
            taken += i128::from(piece.length) * i128::from(piece.count);
            *pieces.entry((piece.item, piece.length)).or_default() +=
                u128::from(piece.count) * u128::from(strip.times);
            if piece.length <= 0 || piece.count == 0 {
                return Err(format!("{piece:?} is nothing"));
            }
        }
        if taken != i128::from(long) || strip.left < 0 || strip.times == 0 {
            return Err(format!("{strip:?} of {long}"));
        }
    }
    for (hand, used) in job.hand.iter().zip(&used) {
        if u128::from(hand.count) < *used {
            return Err(format!("{used} of {hand:?}"));
        }
    }
    Ok((pieces, fresh))
}

/// Takes the pieces that are joined, and counts what they make up.
fn join(job: &Lengths, cutting: &Cutting, pieces: &mut Pieces, whole: &mut [u128]) -> Result<(), String> {
    for joined in &cutting.joined {
        let join = job.join.ok_or("joined where nothing may be joined")?;
        let wanted = job.wanted.get(joined.item).ok_or("a length that nobody asked for")?;
        let mut sum = i128::from(join.loss);
        for piece in &joined.pieces {
            sum += i128::from(*piece) - i128::from(join.loss);
            let have = pieces.get_mut(&(joined.item, *piece)).ok_or("a piece that is not cut")?;
            *have = have.checked_sub(u128::from(joined.times)).ok_or("a piece that is not cut")?;
            if *piece < join.shortest {
                return Err(format!("a piece of {piece} in {joined:?}"));
            }
        }
        if sum != i128::from(wanted.length.max(1)) || joined.pieces.len() < 2 {
            return Err(format!("{joined:?} is not {wanted:?}"));
        }
        *whole.get_mut(joined.item).ok_or("a length that nobody asked for")? += u128::from(joined.times);
    }
    Ok(())
}
