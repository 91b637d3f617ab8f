//! Pieces end to end in columns along the selvage.

use super::job::{Misfit, Piece};
use super::plan::{Part, Share};

/// Columns of pieces that lie end to end along the selvage.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(super) struct Columns {
    /// The columns, from the left.
    columns: Vec<Column>,
}

/// Pieces end to end.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
struct Column {
    across: i64,
    along: i64,
    shares: Vec<Share>,
}

/// So many columns at most: a job with more is laid out one kind of piece a column.
const MOST_PIECES: u64 = 10_000;

impl Columns {
    /// All pieces that lie along the selvage, in columns no longer than `longest` where that can be:
    /// the widest first, each into the first column of its width with room for it.
    pub fn of(pieces: &[Piece], longest: i64) -> Result<Columns, Misfit> {
        let mut order: Vec<(usize, &Piece)> = pieces.iter().enumerate().collect();
        order.retain(|(_, piece)| piece.by_selvage && piece.count > 0);
        order.sort_by_key(|(_, piece)| std::cmp::Reverse(piece.lies(false)));
        let mut columns: Vec<Column> = Vec::new();
        let mut total = 0u64;
        for (at, piece) in order {
            total = total.saturating_add(piece.count);
            if total > MOST_PIECES {
                return Err(Misfit::TooMuch { piece: at });
            }
            for _ in 0..piece.count {
                place(&mut columns, at, piece, longest).ok_or(Misfit::TooMuch { piece: at })?;
            }
        }
        Ok(Columns { columns })
    }

    /// The longest of the pieces.
    pub fn longest_piece(pieces: &[Piece]) -> i64 {
        let by_selvage = pieces.iter().filter(|piece| piece.by_selvage && piece.count > 0);
        by_selvage.map(|piece| piece.lies(false).1).max().unwrap_or(0)
    }

    /// Width that the columns take.
    pub fn across(&self) -> i64 {
        self.columns.iter().fold(0, |sum, column| sum.saturating_add(column.across))
    }

    /// Length of the longest column.
    pub fn along(&self) -> i64 {
        self.columns.iter().map(|column| column.along).max().unwrap_or(0)
    }

    /// The columns beside the rest of the cloth, `width` wide and `length` long in all.
    pub fn beside(self, rest: Part, width: i64, length: i64) -> Part {
        let mut shares: Vec<Share> = Vec::with_capacity(self.columns.len() + 1);
        let free = width.saturating_sub(self.across());
        for mut column in self.columns {
            if column.along < length {
                column.shares.push(Share { times: 1, size: length - column.along, part: Part::Left });
            }
            let share = Share { times: 1, size: column.across, part: Part::Across(column.shares) };
            match shares.last_mut() {
                Some(last) if last.size == share.size && last.part == share.part => last.times += 1,
                _ => shares.push(share),
            }
        }
        if free > 0 {
            shares.push(Share { times: 1, size: free, part: rest });
        }
        Part::Along(shares)
    }
}

/// Puts one piece into the first column of its width that stays within `longest`, or a new one.
fn place(columns: &mut Vec<Column>, at: usize, piece: &Piece, longest: i64) -> Option<()> {
    let (across, along) = piece.lies(false);
    let fits = |column: &&mut Column| {
        column.across == across && column.along.checked_add(along).is_some_and(|long| long <= longest)
    };
    let share = Share { times: 1, size: along, part: Part::Piece { piece: at, turned: false } };
    match columns.iter_mut().find(fits) {
        Some(column) => {
            column.along += along;
            match column.shares.last_mut() {
                Some(last) if last.part == share.part => last.times += 1,
                _ => column.shares.push(share),
            }
        }
        None => {
            i64::MAX.checked_sub(along)?;
            columns.push(Column { across, along, shares: vec![share] });
        }
    }
    Some(())
}
