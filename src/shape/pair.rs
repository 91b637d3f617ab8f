//! Two of a shape laid head to tail: one turned by half a turn beside the other.

use super::Made;
use super::measures::edge_length;
use super::outline::{Outline, Run, ends};
use super::point::{Point, larger, sign};
use crate::measure::Number;

/// An arc is taken as so many straight lines outside it.
const PARTS: i64 = 24;

impl Outline {
    /// How far to the right the second of two lies that are laid head to tail in one row, so that they do not
    /// overlap; nothing where that saves no cloth, or where the shape has hollows. The shape begins at 0.
    pub fn head_to_tail(&self) -> Made<Option<Number>> {
        if !self.holes.is_empty() || !self.is_convex()? {
            return Ok(None);
        }
        let corners = self.corners_outside()?;
        let size = self.size()?;
        // At each height, the right side of one and the left side of the other, which is its own right side
        // turned about. Between corners both are straight, so that the widest place is at one of them.
        let mut widest: Option<Number> = None;
        for corner in &corners {
            let other = size.along.sub(&corner.along)?;
            for height in [&corner.along, &other] {
                let across = size.along.sub(height)?;
                let (Some(a), Some(b)) = (right_at(&corners, height)?, right_at(&corners, &across)?) else {
                    continue;
                };
                let both = a.add(&b)?;
                widest = Some(widest.map_or(both.clone(), |widest| larger(&widest, &both)));
            }
        }
        let Some(widest) = widest else { return Ok(None) };
        let apart = widest.sub(&size.across)?;
        Ok((sign(&size.across.sub(&apart)?) > 0).then_some(apart))
    }

    /// Whether it turns clockwise at every corner and along every edge.
    fn is_convex(&self) -> Made<bool> {
        let corners = self.corners_outside()?;
        let count = corners.len();
        for (at, corner) in corners.iter().enumerate() {
            let place = |step: usize| corners.get(at.saturating_add(step).checked_rem(count).unwrap_or(0));
            let (Some(next), Some(last)) = (place(1), place(2)) else { return Ok(false) };
            if sign(&next.minus(corner)?.cross(&last.minus(next)?)?) < 0 {
                return Ok(false);
            }
        }
        let hollow =
            self.edges.iter().any(|edge| matches!(&edge.run, Run::Arc { sweep, .. } if sign(sweep) < 0));
        Ok(!hollow)
    }

    /// The corners of a polygon that it fits in: its own, and those of lines outside its arcs.
    fn corners_outside(&self) -> Made<Vec<Point>> {
        let mut out = Vec::new();
        for (edge, to) in ends(&self.edges) {
            out.push(edge.from.clone());
            let Run::Arc { centre, sweep } = &edge.run else { continue };
            if sign(&edge_length(edge, to)?) <= 0 {
                continue;
            }
            let part = sweep.div(&Number::whole(PARTS))?;
            let half = part.div(&Number::whole(2))?;
            let way = edge.from.minus(centre)?.times(&Number::whole(1).div(&half.cos_deg()?)?)?;
            for number in 0..PARTS {
                let angle = half.add(&part.mul(&Number::whole(number))?)?;
                out.push(centre.plus(&way.turned((&angle.sin_deg()?, &angle.cos_deg()?))?)?);
            }
        }
        Ok(out)
    }
}

/// The rightmost place of a polygon at a height; nothing above or below it.
fn right_at(corners: &[Point], height: &Number) -> Made<Option<Number>> {
    let mut best: Option<Number> = None;
    for (a, b) in corners.iter().zip(corners.iter().cycle().skip(1)) {
        let (above, below) = (height.sub(&a.along)?, height.sub(&b.along)?);
        let rise = b.along.sub(&a.along)?;
        let across = match (sign(&above), sign(&below)) {
            (0, _) => a.across.clone(),
            (_, 0) => b.across.clone(),
            (x, y) if x != y && sign(&rise) != 0 => {
                let share = above.div(&rise)?;
                a.across.add(&b.across.sub(&a.across)?.mul(&share)?)?
            }
            _ => continue,
        };
        best = Some(best.map_or(across.clone(), |best| larger(&best, &across)));
    }
    Ok(best)
}
