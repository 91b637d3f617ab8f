//! Lengths on a ruler: at a mark, and what is said when the true value is off it.

use crate::measure::{Exact, Manner, Number, Quantity, Reading, Ruler, System, UnitId};

use super::figures::{denominator, places, places_reduced, push_about, push_mixed_reduced, push_places};

/// How finely a length is read, all in base units.
pub(super) struct Scale {
    unit: UnitId,
    /// How many of the unit a base unit is.
    per_base: Exact,
    system: System,
    /// Between two marks; none for yards and feet that were not rounded to a step.
    step: Option<Exact>,
    /// Whether it has marks that are read whatever the ruler: yards and feet have none.
    on_ruler: bool,
}

impl Scale {
    /// The scale on which a length is read in that unit.
    pub(super) fn of(quantity: &Quantity, unit: UnitId, manner: &Manner) -> Scale {
        let system = unit.system().unwrap_or(System::Inch);
        let on_ruler = system == System::Metric || unit == UnitId::IN;
        let forced = manner.ruler.filter(|_| on_ruler);
        let ruler = match quantity.reading {
            Reading::Step(own) => Some(own),
            Reading::Rounded(own) => forced.or(Some(own)),
            _ => forced,
        };
        let ruler = ruler.filter(|ruler| ruler.system() == system && (on_ruler || ruler.unit == unit));
        let step = ruler.or(on_ruler.then(|| Ruler::usual(system))).map(Ruler::step);
        let per_base = Exact::ONE.checked_div(unit.factor()).unwrap_or(Exact::ONE);
        Scale { unit, per_base, system, step, on_ruler }
    }

    /// Between two marks that are read whatever the ruler: 1/16 in, 1 mm.
    fn usual(&self) -> Option<Exact> {
        self.on_ruler.then(|| Ruler::usual(self.system).step())
    }

    /// So far from a mark a length is still scant or generous of it: 1/32 in, 1 mm.
    fn near(&self) -> Exact {
        match self.system {
            System::Inch => Exact::fraction(127, 32),
            System::Metric => UnitId::MM.factor().clone(),
        }
    }

    /// How many of the unit.
    fn count(&self, number: &Number) -> Number {
        number.scaled(&self.per_base)
    }

    /// Whether a length is read as it is: on a mark, halfway between two, on a sixteenth, or a whole
    /// number of tenths of a millimetre.
    fn reads_as_it_is(&self, exact: &Exact) -> bool {
        let half = |step: &Exact| exact.checked_div(step).is_some_and(|n| (n * Exact::whole(2)).is_whole());
        let step = self.step.as_ref();
        match self.system {
            System::Metric => {
                let ends =
                    || self.count(&exact.clone().into()).exact().is_some_and(|n| places(n, 6).is_some());
                (exact * Exact::whole(2)).is_whole() || self.is_on_mark(exact) && ends()
            }
            System::Inch if self.on_ruler => {
                let usual = || self.usual().and_then(|usual| exact.checked_div(&usual));
                step.is_some_and(half) || usual().is_some_and(|n| n.is_whole())
            }
            System::Inch => self
                .count(&exact.clone().into())
                .exact()
                .is_some_and(|n| denominator(n).is_some_and(|d| d <= 64)),
        }
    }

    fn is_on_mark(&self, exact: &Exact) -> bool {
        self.step.as_ref().and_then(|step| exact.checked_div(step)).is_some_and(|n| n.is_whole())
    }

    /// The mark that a length off all of them is read at, without its sign.
    fn mark(&self, size: &Exact) -> Option<Exact> {
        let step = self.step.clone();
        let half = step.as_ref().filter(|_| self.system == System::Inch && self.on_ruler);
        let half = half.and_then(|step| step.checked_div(&Exact::whole(2)));
        let near = [step, half].into_iter().flatten().map(|step| (step, true));
        let mut all = near.chain(self.usual().map(|step| (step, false)));
        all.find_map(|(step, near)| {
            let mark = size.checked_div(&step)?.round() * &step;
            let off = (size - &mark).abs();
            // 0 is a mark only for what is less than a hair.
            let fits = if mark.is_zero() { off < self.near() } else { !near || off <= self.near() };
            fits.then_some(mark)
        })
    }
}

/// Whether a length is read as a fraction that is between the marks of the ruler in force.
pub(super) fn is_between_marks(quantity: &Quantity, unit: UnitId, manner: &Manner) -> bool {
    let scale = Scale::of(quantity, unit, manner);
    let between = |exact: &Exact| scale.reads_as_it_is(exact) && !scale.is_on_mark(exact);
    scale.system == System::Inch && scale.on_ruler && quantity.number.exact().is_some_and(between)
}

/// Appends a length; in brackets the true value where that is not what is read.
pub(super) fn write(quantity: &Quantity, unit: UnitId, manner: &Manner, brackets: bool, out: &mut String) {
    let scale = Scale::of(quantity, unit, manner);
    let number = &quantity.number;
    if let Some(exact) = number.exact().filter(|exact| scale.reads_as_it_is(exact)) {
        return push_mark(exact, &scale, out);
    }
    let size = number.abs();
    // Whether the bounds of an approximate length reach over the mark.
    let mut over = false;
    match scale.mark(&size.mid()) {
        Some(mark) if mark.is_zero() && *size.upper() < scale.near() => {
            out.push_str(if scale.system == System::Inch { "under 1/32 in" } else { "under 1 mm" });
        }
        Some(mark) if !mark.is_zero() => {
            over = *size.lower() <= mark && mark <= *size.upper();
            out.push_str(match (over, *size.upper() < mark) {
                (true, _) => "about ",
                (_, true) => "scant ",
                _ => "generous ",
            });
            push_mark(&if number.mid().is_negative() { -mark } else { mark }, &scale, out);
        }
        _ => return push_true(number, &scale, out),
    }
    if brackets && !over {
        out.push_str(" (");
        push_true(number, &scale, out);
        out.push(')');
    }
}

fn push_mark(value: &Exact, scale: &Scale, out: &mut String) {
    let number = (value * &scale.per_base).reduced();
    let places = if scale.system == System::Metric { places_reduced(&number, 6) } else { None };
    match places {
        Some(places) => push_places(&number, places, out),
        None => push_mixed_reduced(&number, out),
    }
    out.push(' ');
    scale.unit.push_symbol(out);
}

/// Appends the true value: as far as a mark goes and three places more, or as a common fraction of an
/// inch.
fn push_true(number: &Number, scale: &Scale, out: &mut String) {
    let of_mark = |step: Option<Exact>| places(&step?.checked_div(scale.unit.factor())?, 6);
    let most = match scale.system {
        System::Metric => of_mark(scale.step.clone()).max(of_mark(scale.usual())).unwrap_or(0),
        System::Inch => 0,
    };
    let most = most.saturating_add(3);
    let count = scale.count(number);
    push_common(&count, scale.system, most, out);
    out.push(' ');
    scale.unit.push_symbol(out);
}

/// Appends a decimal that ends within `most` places, in inches also a fraction of up to twelfths,
/// 32nds or 64ths, else `about` and so many places.
fn push_common(number: &Number, system: System, most: u32, out: &mut String) {
    let exact = number.exact().map(Exact::reduced);
    match exact.as_ref().map(|exact| (exact, places_reduced(exact, most), exact.small())) {
        Some((exact, Some(places), _)) => push_places(exact, places, out),
        Some((exact, None, Some((_, 1..=12 | 16 | 32 | 64)))) if system == System::Inch => {
            push_mixed_reduced(exact, out);
        }
        _ => push_about(number, most, 1, out),
    }
}
