//! Steps of the simplex method: one column into the basis, another out of it.

use super::super::super::work::Work;
use super::{DENSE_A_STEP, End, FRESH, PIVOT, ROWS_A_STEP, Simplex, Stand, TINY, sparse};

impl Simplex {
    /// Brings levels back between their bounds while no column could be cheaper.
    pub(super) fn dual(&mut self, limit: f64, most: usize, work: &mut Work<'_>) -> End {
        for _ in 0..most {
            if !self.paid(work) {
                return End::Stuck;
            }
            let mut worst = (self.slack, None);
            for row in 0..self.rows {
                let off = self.off(row).abs();
                if off > worst.0 {
                    worst = (off, Some(row));
                }
            }
            let Some(row) = worst.1 else { return End::Done };
            if self.total() >= limit {
                return End::Past;
            }
            let off = self.off(row);
            let Some(entering) = self.entering(row, off < 0.0) else {
                let lack = (limit - self.total()).max(0.0);
                self.ray(row, (lack * 1.01 + limit.abs() * 1e-6) / -off);
                return End::Past;
            };
            let leaving = self.basis.get(row).copied().unwrap_or(0);
            self.load(entering);
            let pivot = self.column.get(row).copied().unwrap_or(0.0);
            if pivot.abs() < PIVOT / 10.0 {
                return End::Stuck;
            }
            let to = if off < 0.0 { Stand::Low } else { Stand::High };
            if !self.exchange(row, entering, off / pivot, leaving, to) {
                return End::Stuck;
            }
        }
        End::Stuck
    }

    /// Nothing can bring this row's level between its bounds: duals that say so by a bound as high
    /// as one likes.
    fn ray(&mut self, row: usize, far: f64) {
        let line = self.inverse_row(row).to_vec();
        for (dual, part) in self.duals.iter_mut().zip(line) {
            *dual -= far * part;
        }
    }

    /// The column that takes the place of a level that must rise (or fall).
    fn entering(&mut self, row: usize, rise: bool) -> Option<usize> {
        let line = self.inverse_row(row).to_vec();
        let mut best: Option<(f64, f64, usize)> = None;
        for at in 0..self.cost.len() {
            let low = match self.stand.get(at) {
                Some(Stand::Low) => true,
                Some(Stand::High) => false,
                _ => continue,
            };
            if self.low.get(at) == self.high.get(at) {
                continue;
            }
            let step = sparse(self.entries(at), &line);
            let step = if rise == low { -step } else { step };
            if step < PIVOT {
                continue;
            }
            let ratio = self.slope.get(at).map_or(0.0, |slope| slope.abs()) / step;
            let better = match best {
                None => true,
                Some((least, size, _)) => ratio < least - TINY || (ratio <= least + TINY && step > size),
            };
            if better {
                best = Some((ratio, step, at));
            }
        }
        self.work += self.all_columns() as u64;
        best.map(|(_, _, at)| at)
    }

    /// Works the entering column through the inverse.
    fn load(&mut self, entering: usize) {
        let mut column = std::mem::take(&mut self.column);
        for (row, one) in column.iter_mut().enumerate() {
            *one = sparse(self.entries(entering), self.inverse_row(row));
        }
        self.column = column;
    }

    /// Brings cheaper columns in while all levels stay between their bounds.
    pub(super) fn primal(&mut self, most: usize, work: &mut Work<'_>) -> End {
        for _ in 0..most {
            if !self.paid(work) {
                return End::Stuck;
            }
            let Some((entering, up)) = self.cheapest() else { return End::Done };
            self.load(entering);
            let sign = if up { 1.0 } else { -1.0 };
            let room = self.high.get(entering).copied().unwrap_or(0.0)
                - self.low.get(entering).copied().unwrap_or(0.0);
            let (step, row) = self.leaving(sign, room);
            match row {
                None if step.is_finite() => {
                    for (level, one) in self.level.iter_mut().zip(&self.column) {
                        *level -= sign * step * one;
                    }
                    self.set_stand(entering, if up { Stand::High } else { Stand::Low });
                }
                None => return End::Stuck,
                Some((row, to)) => {
                    let leaving = self.basis.get(row).copied().unwrap_or(0);
                    if !self.exchange(row, entering, sign * step, leaving, to) {
                        return End::Stuck;
                    }
                }
            }
        }
        End::Done
    }

    /// The column that saves most by moving off its end, and whether it goes up.
    fn cheapest(&mut self) -> Option<(usize, bool)> {
        let mut best = (TINY, None);
        for (at, slope) in self.slope.iter().enumerate() {
            let (gain, up) = match self.stand.get(at) {
                Some(Stand::Low) => (-slope, true),
                Some(Stand::High) => (*slope, false),
                _ => continue,
            };
            if gain > best.0 && self.low.get(at) < self.high.get(at) {
                best = (gain, Some((at, up)));
            }
        }
        best.1
    }

    /// How far the entering column can go, and the row that stops it with the end it comes to.
    fn leaving(&self, sign: f64, room: f64) -> (f64, Option<(usize, Stand)>) {
        let mut best = (room, 0.0, None);
        for row in 0..self.rows {
            let step = sign * self.column.get(row).copied().unwrap_or(0.0);
            if step.abs() < PIVOT {
                continue;
            }
            let at = self.basis.get(row).copied().unwrap_or(0);
            let level = self.level.get(row).copied().unwrap_or(0.0);
            let (end, to) =
                if step > 0.0 { (self.low.get(at), Stand::Low) } else { (self.high.get(at), Stand::High) };
            let far = ((level - end.copied().unwrap_or(0.0)) / step).max(0.0);
            if far < best.0 - TINY || (far <= best.0 + TINY && best.2.is_some() && step.abs() > best.1) {
                best = (far.min(best.0), step.abs(), Some((row, to)));
            }
        }
        (best.0, best.2)
    }

    /// One column in, one out.
    fn exchange(&mut self, row: usize, entering: usize, step: f64, leaving: usize, to: Stand) -> bool {
        let value = self.at(entering) + step;
        for (level, one) in self.level.iter_mut().zip(&self.column) {
            *level -= step * one;
        }
        let Some(pivot) = self.column.get(row).copied() else { return false };
        let slope = self.slope.get(entering).copied().unwrap_or(0.0);
        let rows = self.rows;
        let mut line = std::mem::take(&mut self.row);
        line.clear();
        line.extend(self.inverse_row(row).iter().map(|one| one / pivot));
        for (at, target) in self.inverse.chunks_exact_mut(rows.max(1)).enumerate() {
            if at == row {
                target.copy_from_slice(&line);
                continue;
            }
            let factor = self.column.get(at).copied().unwrap_or(0.0);
            if factor != 0.0 {
                for (one, part) in target.iter_mut().zip(&line) {
                    *one -= factor * part;
                }
            }
        }
        for (dual, part) in self.duals.iter_mut().zip(&line) {
            *dual += slope * part;
        }
        self.row = line;
        if let (Some(level), Some(seat)) = (self.level.get_mut(row), self.basis.get_mut(row)) {
            (*level, *seat) = (value, entering);
        }
        self.set_stand(leaving, to);
        self.set_stand(entering, Stand::Basic(row as u16));
        self.work += (rows * rows / DENSE_A_STEP + rows / ROWS_A_STEP) as u64 + 2;
        self.pivots += 1;
        if self.pivots >= FRESH {
            if !self.invert() {
                return false;
            }
            self.measure();
            self.price();
        } else {
            self.slopes();
        }
        true
    }
}
