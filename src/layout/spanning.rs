//! Pieces that can only lie right across the cloth: the rest is planned without them. They come first,
//! or last where the rest has pieces by the selvage, which are cut before all else.

use super::job::{Job, Piece};
use super::plan::{Lay, Part, Placed, Plan, Rect, Share, Spread};

/// Such pieces of a job on a roll, and the job without them.
#[derive(Clone, Debug)]
pub(super) struct Spanning {
    width: i64,
    /// Each with its place among the pieces, and whether it lies turned.
    first: Vec<(usize, bool, Piece)>,
    pub rest: Job,
}

impl Spanning {
    /// `None` where there are none, or nothing else.
    pub fn of(job: &Job, width: i64) -> Option<Spanning> {
        let mut rest = job.clone();
        let mut first = Vec::new();
        for (at, piece) in rest.pieces.iter_mut().enumerate().filter(|(_, piece)| piece.count > 0) {
            let ways = [Some(false), piece.may_turn.then_some(true)].into_iter().flatten();
            let mut ways = ways.filter(|turned| piece.lies(*turned).0 <= width);
            let (Some(turned), None) = (ways.next(), ways.next()) else { continue };
            if piece.lies(turned).0 == width && !piece.by_selvage {
                first.push((at, turned, *piece));
                piece.count = 0;
            }
        }
        let some = !first.is_empty() && rest.pieces.iter().any(|piece| piece.count > 0);
        some.then_some(Spanning { width, first, rest })
    }

    /// The length that they take.
    pub fn length(&self) -> i64 {
        let each = |(_, turned, piece): &(usize, bool, Piece)| {
            piece.lies(*turned).1.saturating_mul(i64::try_from(piece.count).unwrap_or(i64::MAX))
        };
        self.first.iter().map(each).fold(0, i64::saturating_add)
    }

    /// A plan of the rest with them before or after it.
    pub fn with(&self, rest: Plan) -> Plan {
        let own = self.length();
        let lay = rest.spreads.into_iter().next().map(|spread| (spread.along, spread.lay));
        let lay = match lay {
            Some((_, Lay::Free { pieces, left })) => Lay::Free {
                pieces: self.placed().chain(pieces.into_iter().map(|one| moved(one, own))).collect(),
                left: left.into_iter().map(|at| Rect { y: at.y + own, ..at }).collect(),
            },
            Some((_, Lay::Cut(Part::Across(shares)))) => self.joined(shares),
            Some((along, Lay::Cut(part))) => self.joined(vec![Share { times: 1, size: along, part }]),
            None => self.joined(Vec::new()),
        };
        let length = own.saturating_add(rest.length);
        let spread = Spread { sheet: None, count: 1, across: self.width, along: length, lay };
        Plan { spreads: vec![spread], length, bound: own.saturating_add(rest.bound), ..rest }
    }

    fn joined(&self, rest: Vec<Share>) -> Lay {
        let by_selvage = self.rest.pieces.iter().any(|piece| piece.by_selvage && piece.count > 0);
        let shares = if by_selvage {
            rest.into_iter().chain(self.shares()).collect()
        } else {
            self.shares().chain(rest).collect()
        };
        Lay::Cut(Part::Across(shares))
    }

    fn shares(&self) -> impl Iterator<Item = Share> + '_ {
        self.first.iter().map(|(at, turned, piece)| Share {
            times: piece.count,
            size: piece.lies(*turned).1,
            part: Part::Piece { piece: *at, turned: *turned },
        })
    }

    fn placed(&self) -> impl Iterator<Item = Placed> + '_ {
        let mut y = 0;
        self.first.iter().flat_map(|one| (0..one.2.count).map(move |_| one)).map(
            move |(at, turned, piece)| {
                let (across, along) = piece.lies(*turned);
                let rect = Rect { x: 0, y, across, along };
                y += along;
                Placed { piece: *at, turned: *turned, at: rect }
            },
        )
    }
}

fn moved(one: Placed, by: i64) -> Placed {
    Placed { at: Rect { y: one.at.y + by, ..one.at }, ..one }
}
