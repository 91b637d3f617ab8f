//! `cut` lines gathered by cloth, laid out by the layout room, and what to buy of each cloth.

use std::rc::Rc;

use super::bill;
use super::machine::{Halt, Settings};
use super::run::{measure_figure, whole_count};
use super::value::{Record, Value};
use super::words::{self, Operand};
use crate::docket::{ClothPlan, Held, Piece, Strip};
use crate::fault::{Code as FaultCode, Fault, Span};
use crate::layout::{self, Budget, Job, Kind, Lay, Misfit, Part, Share};
use crate::measure::{Dim, Exact, Number, Quantity, System, UnitId, Way};

/// A cloth as a `cut` line names it.
#[derive(Debug)]
struct Cloth {
    name: Rc<str>,
    usable: Quantity,
    /// The part of a length that the wash leaves, as the library's `cloth` works it out.
    kept: Option<Quantity>,
    price: Option<Quantity>,
    shop: Option<Quantity>,
    directional: bool,
    settings: Settings,
    span: Span,
    pieces: Vec<Cut>,
}

/// A piece of the cut list.
#[derive(Debug)]
struct Cut {
    label: Rc<str>,
    count: u64,
    across: Quantity,
    along: Quantity,
    settings: Settings,
    span: Span,
}

/// All `cut` lines of a run.
#[derive(Debug, Default)]
pub(super) struct Cutting {
    cloths: Vec<Cloth>,
}

impl Cutting {
    /// Takes in a `cut` line.
    pub(super) fn add(
        &mut self,
        count: Operand<'_>,
        label: Rc<str>,
        cloth: Operand<'_>,
        size: Operand<'_>,
        settings: &Settings,
    ) -> Result<(), Halt> {
        let count = whole_count(count, "a count of pieces")?;
        let Value::Size(piece) = size.value else {
            let fault = words::wanted("the size of a piece", size.value, size.span);
            return Err(fault.hint("write it as `14 in by 48 in`: across the cloth by along it").into());
        };
        for side in [&piece.0, &piece.1] {
            if side.is_zero() || side.is_negative() {
                let message = format!(
                    "a piece must measure more than 0 each way, and this is {}",
                    words::short(size.value)
                );
                return Err(Fault::new(FaultCode::DoesNotFit, size.span, message).into());
            }
        }
        let cut = Cut {
            label,
            count,
            across: piece.0.clone(),
            along: piece.1.clone(),
            settings: settings.clone(),
            span: size.span,
        };
        let cloth = read_cloth(cloth, settings)?;
        match self.cloths.iter_mut().find(|known| known.name == cloth.name) {
            Some(known) => {
                if known.usable.compare(&cloth.usable) != Ok(std::cmp::Ordering::Equal) {
                    let message = format!("two cloths are called \"{}\" and differ in width", cloth.name);
                    return Err(Fault::new(FaultCode::BadLine, cloth.span, message)
                        .other(known.span, "the first is cut here")
                        .hint("give each cloth a name of its own")
                        .into());
                }
                known.pieces.push(cut);
            }
            None => self.cloths.push(Cloth { pieces: vec![cut], ..cloth }),
        }
        Ok(())
    }

    /// A plan for each cloth, or what does not fit.
    pub(super) fn plans(&self) -> Result<Vec<ClothPlan>, Vec<Fault>> {
        let mut plans = Vec::with_capacity(self.cloths.len());
        let mut faults = Vec::new();
        for cloth in &self.cloths {
            match cloth.plan() {
                Ok(plan) => plans.push(plan),
                Err(Halt::Fault(fault)) => faults.push(*fault),
                Err(Halt::Silent) => {}
            }
        }
        if faults.is_empty() { Ok(plans) } else { Err(faults) }
    }
}

/// The parts of a cloth that cutting needs.
fn read_cloth(operand: Operand<'_>, settings: &Settings) -> Result<Cloth, Halt> {
    let Value::Record(record) = operand.value else {
        return Err(words::wanted("a cloth", operand.value, operand.span)
            .hint("name one first: `linen = cloth(\"linen\", width: 54 in)`")
            .into());
    };
    let Some(Value::Text(name)) = record.part("name") else {
        return Err(bad_cloth(operand.span, "a cloth needs `.name`, in words"));
    };
    let Some(usable) = measure_part(record, "usable", Dim::LENGTH) else {
        return Err(bad_cloth(operand.span, "a cloth needs `.usable`, the width that can be cut"));
    };
    if usable.is_zero() || usable.is_negative() {
        return Err(bad_cloth(operand.span, "this cloth has no usable width"));
    }
    let kept = measure_part(record, "kept", Dim::NONE);
    let shrinks = measure_part(record, "shrink", Dim::NONE).is_some_and(|shrink| !shrink.is_zero());
    if shrinks && kept.is_none() {
        return Err(bad_cloth(
            operand.span,
            "a cloth that shrinks needs `.kept`, the part that the wash leaves",
        ));
    }
    let price = match record.part("price") {
        Some(Value::Measure(price)) if price.dim.is_money() => Some(price.clone()),
        _ => None,
    };
    Ok(Cloth {
        name: name.clone(),
        usable,
        kept,
        price,
        shop: measure_part(record, "shop", Dim::LENGTH).or_else(|| settings.shop.clone()),
        directional: matches!(record.part("directional"), Some(Value::YesNo(true))),
        settings: settings.clone(),
        span: operand.span,
        pieces: Vec::new(),
    })
}

fn bad_cloth(span: Span, message: &str) -> Halt {
    let fault = Fault::new(FaultCode::WrongKind, span, message);
    fault.hint("`cloth(…)` of the library makes one with all its parts").into()
}

fn measure_part(record: &Record, name: &str, dim: Dim) -> Option<Quantity> {
    match record.part(name) {
        Some(Value::Measure(quantity)) if quantity.dim == dim => Some(quantity.clone()),
        _ => None,
    }
}

impl Cloth {
    fn plan(&self) -> Result<ClothPlan, Halt> {
        let grid = Grid::of(self);
        let pieces = self.pieces.iter().map(|cut| {
            Some(layout::Piece {
                count: cut.count,
                across: grid.up(&cut.across)?,
                along: grid.up(&cut.along)?,
                may_turn: !self.directional,
                by_selvage: false,
            })
        });
        let too_much =
            || Halt::from(Fault::new(FaultCode::TooMuch, self.span, "these pieces are too large to lay out"));
        let pieces = pieces.collect::<Option<Vec<_>>>().ok_or_else(too_much)?;
        let width = grid.down(&self.usable).ok_or_else(too_much)?;
        let job = Job { roll: Some(width), sheets: Vec::new(), pieces };
        let plan = layout::plan(&job, Kind::Strips, Budget::USUAL).map_err(|misfit| self.misfit(misfit))?;
        let length = grid.back(plan.length, &self.first_along());
        let buy = self.to_buy(&length)?;
        let cost = self.price.as_ref().map(|price| bill::cost(&buy, price, self.span)).transpose()?;
        Ok(ClothPlan {
            cloth: self.name.clone(),
            usable: measure_figure(self.usable.clone(), &self.settings),
            pieces: self.pieces.iter().map(Cut::listed).collect(),
            strips: strips(&plan).iter().map(|share| self.strip(share, &grid)).collect(),
            length: measure_figure(length, &self.settings),
            buy: measure_figure(buy, &self.settings),
            step: self.shop.as_ref().map(|step| measure_figure(as_typed(step), &self.settings)),
            price: self.price.clone().map(|price| measure_figure(price, &self.settings)),
            cost: cost.map(|cost| measure_figure(cost, &self.settings)),
        })
    }

    /// Lengths of this cloth are read as its first piece is.
    fn first_along(&self) -> Quantity {
        self.pieces.first().map_or_else(|| self.usable.clone(), |cut| cut.along.clone())
    }

    fn strip(&self, strip: &Share, grid: &Grid) -> Strip {
        let columns = match &strip.part {
            Part::Along(columns) => columns.as_slice(),
            _ => &[],
        };
        Strip {
            count: strip.times,
            width: measure_figure(grid.back(strip.size, &self.first_along()), &self.settings),
            holds: columns.iter().filter_map(held).collect(),
        }
    }

    /// Shrinkage put back, then up to the shop's step.
    fn to_buy(&self, length: &Quantity) -> Result<Quantity, Halt> {
        let words = |trouble| words::alone(trouble, self.span);
        let mut buy = length.clone();
        if let Some(kept) = &self.kept {
            if kept.is_zero() || kept.is_negative() {
                return Err(bad_cloth(self.span, "a cloth cannot shrink by all of its length"));
            }
            buy = buy.div(kept).map_err(words)?;
        }
        match &self.shop {
            Some(step) => Ok(bill::as_sold(buy.round_to(step, Way::Up).map_err(words)?, step)),
            None => Ok(buy),
        }
    }

    fn misfit(&self, misfit: Misfit) -> Halt {
        let cut = self.pieces.get(misfit.piece());
        let span = cut.map_or(self.span, |cut| cut.span);
        let label = cut.map_or("", |cut| &cut.label);
        let fault = match misfit {
            Misfit::TooWide { .. } => {
                let usable = self.usable.show(&self.settings.manner);
                let size = cut.map_or(String::new(), |cut| {
                    format!("it is {} across, and ", cut.across.show(&self.settings.manner))
                });
                let message =
                    format!("\"{label}\" does not fit: {size}{} has {usable} of usable width", self.name);
                let turned = if self.directional { "turn it along the grain, or " } else { "" };
                Fault::new(FaultCode::DoesNotFit, span, message)
                    .hint(format!("{turned}join it from narrower pieces, or choose a wider cloth"))
            }
            Misfit::TooMuch { .. } | Misfit::NoRoom { .. } => Fault::new(
                FaultCode::TooMuch,
                span,
                format!("\"{label}\" is too much to lay out: too many or too large"),
            ),
        };
        fault.into()
    }
}

/// The strips of a plan in strips.
fn strips(plan: &layout::Plan) -> &[Share] {
    match plan.spreads.first().map(|spread| &spread.lay) {
        Some(Lay::Cut(Part::Across(strips))) => strips,
        _ => &[],
    }
}

/// The piece that a column of a strip holds.
fn held(column: &Share) -> Option<Held> {
    let mut part = &column.part;
    while let Part::Across(shares) = part {
        part = &shares.first()?.part;
    }
    match part {
        Part::Piece { piece, turned } => Some(Held { piece: *piece, count: column.times, turned: *turned }),
        _ => None,
    }
}

/// A shop's step is read in its own unit: `1/8 yd`.
fn as_typed(step: &Quantity) -> Quantity {
    step.shown_by(step).unwrap_or_else(|_| step.clone())
}

impl Cut {
    fn listed(&self) -> Piece {
        Piece {
            label: self.label.clone(),
            count: self.count,
            across: measure_figure(self.across.clone(), &self.settings),
            along: measure_figure(self.along.clone(), &self.settings),
        }
    }
}

/// The whole numbers that a job is laid out in: a common step of all its measures where there is
/// one of a sensible size, else a step finer than any ruler, pieces rounded up and the cloth down.
struct Grid {
    /// The length of one grid unit, in base units.
    step: Exact,
}

impl Grid {
    /// Beyond this a common step serves no one.
    const FINEST: i64 = 1_000_000;

    fn of(cloth: &Cloth) -> Grid {
        let sides = cloth.pieces.iter().flat_map(|cut| [&cut.across, &cut.along]);
        let mut common = 1i64;
        for quantity in sides.chain([&cloth.usable]) {
            let denominator =
                quantity.number.exact().map(Exact::reduced).and_then(|exact| exact.small()).map(|(_, d)| d);
            let next = denominator.and_then(|d| {
                let gcd = num_integer::gcd(common, d);
                common.checked_mul(d / gcd.max(1))
            });
            match next {
                Some(next) if next <= Grid::FINEST => common = next,
                _ => return Grid::fallback(cloth),
            }
        }
        Grid { step: Exact::ratio(1, common).unwrap_or(Exact::ONE) }
    }

    /// Sixty-fourths of an inch or tenths of a millimetre, as the pieces are read.
    fn fallback(cloth: &Cloth) -> Grid {
        let metric = cloth.first_along().reading.system() == Some(System::Metric);
        let unit = if metric { UnitId::MM } else { UnitId::IN };
        let parts = if metric { 10 } else { 64 };
        Grid { step: unit.factor().checked_div(&Exact::whole(parts)).unwrap_or(Exact::ONE) }
    }

    fn count(&self, bound: &Exact) -> Exact {
        bound.checked_div(&self.step).unwrap_or(Exact::ZERO)
    }

    fn up(&self, quantity: &Quantity) -> Option<i64> {
        self.count(quantity.number.upper()).ceil().to_i64()
    }

    fn down(&self, quantity: &Quantity) -> Option<i64> {
        self.count(quantity.number.lower()).floor().to_i64()
    }

    /// A length in grid units as a measure, read like another.
    fn back(&self, units: i64, like: &Quantity) -> Quantity {
        let exact = &Exact::whole(units) * &self.step;
        Quantity { number: Number::Exact(exact.reduced()), dim: Dim::LENGTH, reading: like.reading }
    }
}
