//! How wide the columns of a table are.

use super::Flow;
use crate::drawing::letters::width;
use crate::drawing::lines::longest;
use crate::measure::glued;
use crate::report::pages::Table;

/// By so many rows it is decided how a table is the lowest, and by so much it must be lower.
const SEEN: usize = 50;
const CLEARLY: f64 = 0.8;

impl Flow<'_> {
    /// How wide each column is: as its words where there is room, else the long ones share what is left.
    pub(super) fn columns(&self, table: &Table) -> Vec<f64> {
        let cells = |at: usize| {
            let plain = table.rows.iter().filter_map(move |row| row.get(at)).map(|cell| (cell, false));
            let bold =
                table.head.get(at).into_iter().chain(table.foot.iter().filter_map(move |row| row.get(at)));
            plain.chain(bold.map(|cell| (cell, true)))
        };
        let widest = |of: &dyn Fn(&str, bool) -> f64| -> Vec<f64> {
            let column = |at: usize| cells(at).map(|(cell, bold)| of(cell, bold)).fold(2.0, f64::max) + 0.1;
            (0..table.head.len()).map(column).collect()
        };
        let lacking = |least: &[f64], natural: &[f64]| -> Vec<f64> {
            natural.iter().zip(least).map(|(wide, least)| wide - least).collect()
        };
        let with = |least: &[f64], more: Vec<f64>| -> Vec<f64> {
            least.iter().zip(more).map(|(least, more)| least + more).collect()
        };
        let natural = widest(&|cell, bold| width(cell, self.size, bold));
        let room = self.width - self.gap() * (natural.len().saturating_sub(1)) as f64;
        if natural.iter().sum::<f64>() <= room {
            return natural;
        }
        // Where there is room for the longest words of each column, those that lack little get all of it,
        // or each a share of what it lacks, where the table is then clearly lower.
        let least = widest(&|cell, bold| longest(cell, self.size, bold));
        let taken = least.iter().sum::<f64>();
        if taken <= room {
            let lacks = lacking(&least, &natural);
            let share = (room - taken) / lacks.iter().sum::<f64>().max(0.1);
            let whole = with(&least, shares(&lacks, room - taken, true));
            let shared = with(&least, lacks.iter().map(|lack| lack * share).collect());
            // A very long cell beside many short ones needs more than they leave.
            let taken = |widths: &[f64]| {
                table.rows.iter().take(SEEN).map(|row| self.height(row, widths, false)).sum::<f64>()
            };
            return if taken(&shared) < taken(&whole) * CLEARLY { shared } else { whole };
        }
        // Else a unit goes below its number before a word is broken.
        let least = widest(&|cell, bold| self.tightest(cell, bold));
        let taken = least.iter().sum::<f64>();
        if taken <= room {
            return with(&least, shares(&lacking(&least, &natural), room - taken, false));
        }
        // Columns narrower than a fair share keep their width; the others share the rest.
        shares(&natural, room, true).into_iter().map(|wide| wide.max(6.0)).collect()
    }

    /// The width of the longest part of a cell that is not broken: a word, a number, a measure with a fraction.
    fn tightest(&self, cell: &str, bold: bool) -> f64 {
        let wide = |part: &str| width(part, self.size, bold);
        let widest = |word: &str| {
            // `1` with `5/8 yd` below it would be read wrong.
            let is_whole = word.contains('/') && word.split(' ').filter(|part| is_number(part)).count() > 1;
            if is_whole { wide(word) } else { word.split(' ').map(wide).fold(0.0, f64::max) }
        };
        glued(cell).iter().map(|word| widest(word)).fold(0.0, f64::max)
    }
}

fn is_number(word: &str) -> bool {
    word.starts_with(|c: char| c.is_ascii_digit())
}

/// A share of the room for each; what asks for little comes first and gets it. Where that is to be fair, the others share
/// what is left; else they get all that they ask for, as far as there is room.
fn shares(asked: &[f64], room: f64, fair: bool) -> Vec<f64> {
    let mut order: Vec<usize> = (0..asked.len()).collect();
    let asks = |at: usize| asked.get(at).copied().unwrap_or(0.0);
    order.sort_by(|a, b| asks(*a).total_cmp(&asks(*b)));
    let mut shares = vec![0.0; asked.len()];
    let mut rest = room.max(0.0);
    for (done, at) in order.iter().enumerate() {
        let most = if fair { rest / (asked.len() - done) as f64 } else { rest };
        let share = asks(*at).min(most);
        rest -= share;
        if let Some(place) = shares.get_mut(*at) {
            *place = share;
        }
    }
    shares
}
