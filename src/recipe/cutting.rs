//! `cut`, `have` and `plan` lines gathered by cloth.

use std::collections::{BTreeMap, BTreeSet};
use std::rc::Rc;

use crate::docket::{Check, ClothPlan, Direction, Tool, figure_text};
use crate::eval::machine::{Halt, Settings};
use crate::eval::words::{self, Operand, whole_count};
use crate::fault::{Code as FaultCode, Fault, Span};
use crate::layout::Kind;
use crate::measure::{Dim, Number, Quantity};
use crate::recipe::bill;
use crate::recipe::cloth::Cloth;
use crate::shape::{Outline, Point, Wrong};
use crate::value::{At, Cause, Value, Want};

/// What is cut from one cloth, and how.
#[derive(Clone, Debug)]
pub(crate) struct Lot {
    pub cloth: Cloth,
    pub pieces: Vec<Cut>,
    pub hands: Vec<InHand>,
    pub wish: Option<Wish>,
}

/// A piece of the cut list.
#[derive(Clone, Debug)]
pub(crate) struct Cut {
    pub label: Rc<str>,
    /// What one of them is called, where that is another word.
    pub alone: Option<Rc<str>>,
    pub count: u64,
    pub across: Quantity,
    pub along: Quantity,
    pub direction: Direction,
    pub mirrored: bool,
    pub settings: Settings,
    pub span: Span,
    pub line: usize,
    /// What is cut from its rectangle: two where two are laid head to tail.
    pub outlines: Vec<Outline>,
}

/// Cloth of a fixed size.
#[derive(Clone, Debug)]
pub(crate) struct InHand {
    pub count: u64,
    pub across: Quantity,
    pub along: Quantity,
    /// The price of one, in whole money and in the smallest coin.
    pub price: Option<(Quantity, i64)>,
    pub settings: Settings,
    pub line: usize,
}

/// What a `plan` line asks for.
#[derive(Clone, Debug)]
pub(crate) struct Wish {
    pub tool: Tool,
    pub kind: Option<Kind>,
    pub folded: bool,
    pub from_hand: bool,
    pub kits: Option<u64>,
    pub on: Option<(Quantity, Span)>,
    pub more: Vec<(Rc<str>, Span)>,
    pub span: Span,
    /// Its line in the recipe.
    pub line: usize,
}

/// So many lines of pieces can be cut together from one cloth.
const MOST_TOGETHER: usize = 10_000;

/// How a size is written.
pub(crate) const SIZES: &str = "write it as `14 in by 48 in`: across the cloth by along it";

/// All lines of a run about cloth.
#[derive(Clone, Debug, Default)]
pub(crate) struct Cutting {
    pub lots: Vec<Lot>,
    /// The line that is being taken in.
    pub line: usize,
    taken: Vec<Taken>,
}

/// What was taken in, for taking it back: which lot, and what of it.
#[derive(Clone, Debug)]
enum Taken {
    Lot,
    Piece(usize),
    Hand(usize),
    Wish(usize, Box<Option<Wish>>),
}

/// How a `cut` line says its piece is placed.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(crate) struct Ways {
    /// `on grain`, `may turn`, `along selvage`, where one is said.
    pub direction: Option<Direction>,
    pub mirrored: bool,
}

impl Cutting {
    /// These lots.
    pub fn of(lots: Vec<Lot>) -> Cutting {
        Cutting { lots, ..Cutting::default() }
    }

    /// Takes in a `cut` line.
    pub fn cut(
        &mut self,
        count: Operand<'_>,
        label: Rc<str>,
        cloth: Operand<'_>,
        size: Operand<'_>,
        (ways, outline): (Ways, Option<Outline>),
        settings: &Settings,
    ) -> Result<(), Halt> {
        let counted = whole_count(count, "a count of pieces")?;
        if ways.mirrored && !counted.is_multiple_of(2) {
            let message = format!("mirrored pieces come in pairs, and {counted} is odd");
            let fault = Fault::new(FaultCode::WrongKind, count.span, message);
            return Err(fault.hint("count left and right together").into());
        }
        let (across, along) = sides(size, "a piece")?;
        let line = self.line;
        let lot = self.take(Cloth::read(cloth, settings)?, Taken::Piece)?;
        let usual = if lot.cloth.directional { Direction::OnGrain } else { Direction::AnyWay };
        // On cloth with a nap, and where left and right are counted, no piece is turned about.
        let turns = !lot.cloth.directional && !ways.mirrored && counted > 1;
        let pair = outline.as_ref().filter(|_| turns).map(|outline| head_to_tail(outline, size.span));
        let one = Cut {
            label: label.clone(),
            count: counted,
            across,
            along,
            direction: ways.direction.unwrap_or(usual),
            mirrored: ways.mirrored,
            settings: settings.clone(),
            span: size.span,
            line,
            outlines: outline.into_iter().collect(),
            alone: None,
        };
        let Some((apart, outlines)) = pair.transpose()?.flatten() else {
            lot.pieces.push(one);
            return Ok(());
        };
        let apart = Quantity { number: apart, ..one.across.clone() };
        let across = one.across.add(&apart).map_err(|trouble| wrong_pair(trouble.into(), size.span))?;
        let alone: Rc<str> = format!("pair of {label}, head to tail").into();
        let label =
            if counted < 4 { alone.clone() } else { format!("pairs of {label}, head to tail").into() };
        let alone = Some(alone);
        let pairs = Cut { label, alone, count: counted / 2, across, outlines, ..one.clone() };
        lot.pieces.push(pairs);
        if counted % 2 == 1 {
            let Some(Taken::Piece(at)) = self.taken.last() else { return Ok(()) };
            let at = *at;
            self.taken.push(Taken::Piece(at));
            if let Some(lot) = self.lots.get_mut(at) {
                lot.pieces.push(Cut { count: 1, ..one });
            }
        }
        Ok(())
    }

    /// Takes in a `have` line.
    pub fn have(
        &mut self,
        count: Operand<'_>,
        cloth: Operand<'_>,
        size: Operand<'_>,
        price: Option<Operand<'_>>,
        settings: &Settings,
    ) -> Result<(), Halt> {
        let count = whole_count(count, "a count of cloths in hand")?;
        let (across, along) = sides(size, "a piece of cloth")?;
        let price = price.map(paid).transpose()?;
        let line = self.line;
        let lot = self.take(Cloth::read(cloth, settings)?, Taken::Hand)?;
        lot.hands.push(InHand { count, across, along, price, settings: settings.clone(), line });
        Ok(())
    }

    /// Takes in a `plan` line; with `again` in place of one before it.
    pub fn plan(
        &mut self,
        cloth: Operand<'_>,
        wish: Wish,
        again: bool,
        settings: &Settings,
    ) -> Result<(), Halt> {
        if wish.kind == Some(Kind::Any) && wish.tool == Tool::Rotary {
            let message = "a rotary cutter cuts from edge to edge, not any way";
            let fault = Fault::new(FaultCode::BadLine, wish.span, message);
            return Err(fault.hint("write `tool scissors` on a line above, or plan `edge to edge`").into());
        }
        let at = self.lot(Cloth::read(cloth, settings)?)?;
        let Some(lot) = self.lots.get_mut(at) else { return Ok(()) };
        if let (Some(first), false) = (&lot.wish, again) {
            let message = format!("\"{}\" is planned twice", lot.cloth.name);
            let fault = Fault::new(FaultCode::BadLine, wish.span, message);
            return Err(fault.other(first.span, "it is planned here first").into());
        }
        let before = lot.wish.replace(wish);
        self.taken.push(Taken::Wish(at, before.into()));
        Ok(())
    }

    /// Whether this is one of its cloths.
    pub fn holds(&self, lot: &Lot) -> bool {
        self.lots.iter().any(|known| known.cloth.name == lot.cloth.name)
    }

    /// How much was taken in.
    pub fn mark(&self) -> usize {
        self.taken.len()
    }

    /// Takes back what was taken in since a mark.
    pub fn back(&mut self, mark: usize) {
        while self.taken.len() > mark {
            match self.taken.pop() {
                Some(Taken::Lot) => drop(self.lots.pop()),
                Some(Taken::Piece(at)) => drop(self.lots.get_mut(at).map(|lot| lot.pieces.pop())),
                Some(Taken::Hand(at)) => drop(self.lots.get_mut(at).map(|lot| lot.hands.pop())),
                Some(Taken::Wish(at, before)) => {
                    if let Some(lot) = self.lots.get_mut(at) {
                        lot.wish = *before;
                    }
                }
                None => {}
            }
        }
    }

    /// The lots from which pieces were cut since a mark, with those pieces alone.
    pub fn cut_since(&self, mark: usize) -> Vec<Lot> {
        let mut counts: BTreeMap<usize, usize> = BTreeMap::new();
        for taken in self.taken.iter().skip(mark) {
            if let Taken::Piece(at) = taken {
                let count = counts.entry(*at).or_default();
                *count = count.saturating_add(1);
            }
        }
        let lot = |(at, count): (usize, usize)| {
            let lot = self.lots.get(at)?;
            let pieces = lot.pieces.get(lot.pieces.len().saturating_sub(count)..)?.to_vec();
            Some(Lot { cloth: lot.cloth.clone(), pieces, hands: lot.hands.clone(), wish: lot.wish.clone() })
        };
        counts.into_iter().filter_map(lot).collect()
    }

    /// The lots whose `plan` lines were taken in since a mark.
    pub fn planned_since(&self, mark: usize) -> Cutting {
        let planned = self.taken.iter().skip(mark).filter_map(|taken| match taken {
            Taken::Wish(at, _) => Some(*at),
            _ => None,
        });
        let planned: BTreeSet<usize> = planned.collect();
        Cutting::of(planned.into_iter().filter_map(|at| self.lots.get(at).cloned()).collect())
    }

    /// Takes in all that another run cuts; its pieces carry the name of its size. Cloth in hand and
    /// `plan` lines are those of the first.
    pub fn join(&mut self, other: &Cutting, size: &str) -> Result<(), Halt> {
        for lot in &other.lots {
            let kits = lot.wish.as_ref().and_then(|wish| wish.kits).unwrap_or(1);
            let at = self.lot(lot.cloth.clone())?;
            let Some(all) = self.lots.get_mut(at) else { continue };
            if all.pieces.is_empty() && all.wish.is_none() && all.hands.is_empty() {
                all.hands.clone_from(&lot.hands);
                all.wish = lot.wish.clone().map(|wish| Wish { kits: None, more: Vec::new(), ..wish });
            }
            if all.pieces.len().saturating_add(lot.pieces.len()) > MOST_TOGETHER {
                let message = format!(
                    "these are too many sizes to cut together: at most {MOST_TOGETHER} lines of pieces"
                );
                return Err(Fault::new(FaultCode::TooMuch, lot.cloth.span, message).into());
            }
            let more = lot.wish.iter().flat_map(|wish| &wish.more);
            let more = more.map(|(label, span)| (format!("{label} ({size})").into(), *span));
            if let Some(wish) = &mut all.wish {
                wish.more.extend(more);
            }
            all.pieces.extend(lot.pieces.iter().map(|cut| Cut {
                label: format!("{} ({size})", cut.label).into(),
                count: cut.count.saturating_mul(kits),
                ..cut.clone()
            }));
        }
        Ok(())
    }

    /// Whether the lengths asked about are enough, as checks.
    pub fn enough(&self, plans: &[ClothPlan]) -> Vec<Check> {
        let check = |plan: &ClothPlan| {
            let lot = self.lots.iter().find(|lot| lot.cloth.name == plan.cloth)?;
            let on = plan.planned.as_ref()?.on.as_ref()?;
            let (length, differs) = (figure_text(&on.length), figure_text(&on.differs));
            let name = &plan.cloth;
            let message = match (on.enough, on.never) {
                (true, _) => format!("{length} of {name} is enough, {differs} over"),
                (false, true) => format!("{length} of {name} is not enough: {differs} short"),
                (false, false) => {
                    format!("{length} of {name} is not enough for the plan found: {differs} short")
                }
            };
            let line = lot.wish.as_ref().map_or(0, |wish| wish.line);
            Some(Check { passed: on.enough, open: false, message: message.into(), detail: None, line })
        };
        plans.iter().filter_map(check).collect()
    }

    /// The lot of a cloth, into which something is taken.
    fn take(&mut self, cloth: Cloth, taken: fn(usize) -> Taken) -> Result<&mut Lot, Halt> {
        let at = self.lot(cloth)?;
        self.taken.push(taken(at));
        self.lots.get_mut(at).ok_or(Halt::Silent)
    }

    /// Which lot holds what is cut from this cloth.
    fn lot(&mut self, cloth: Cloth) -> Result<usize, Halt> {
        let at = self.lots.iter().position(|lot| lot.cloth.name == cloth.name);
        let at = match at {
            Some(at) => at,
            None => {
                let lot = Lot { cloth: cloth.clone(), pieces: Vec::new(), hands: Vec::new(), wish: None };
                self.lots.push(lot);
                self.taken.push(Taken::Lot);
                self.lots.len().saturating_sub(1)
            }
        };
        let Some(lot) = self.lots.get_mut(at) else { return Err(Halt::Silent) };
        if lot.cloth.usable.compare(&cloth.usable) != Ok(std::cmp::Ordering::Equal) {
            let message = format!("two cloths are called \"{}\" and differ in width", cloth.name);
            return Err(Fault::new(FaultCode::BadLine, cloth.span, message)
                .other(lot.cloth.span, "the first is cut here")
                .hint("give each cloth a name of its own")
                .into());
        }
        Ok(at)
    }
}

/// The sides of a size, each more than 0.
fn sides(size: Operand<'_>, what: &str) -> Result<(Quantity, Quantity), Halt> {
    let Value::Size(piece) = size.value else {
        let fault = words::wanted(format!("the size of {what}").as_str(), size.value, size.span);
        return Err(fault.hint(SIZES).into());
    };
    for side in [&piece.0, &piece.1] {
        if side.is_zero() || side.is_negative() {
            let message =
                format!("{what} must measure more than 0 each way, and this is {}", size.value.short());
            return Err(Fault::new(FaultCode::DoesNotFit, size.span, message).into());
        }
    }
    Ok((piece.0.clone(), piece.1.clone()))
}

fn wrong_pair(wrong: Wrong, span: Span) -> Halt {
    Cause::At(At::Shape(wrong), span).into()
}

/// How far apart two of a shape are that are laid head to tail, and the outlines of both; nothing where each
/// needs a rectangle of its own.
fn head_to_tail(outline: &Outline, span: Span) -> Result<Option<(Number, Vec<Outline>)>, Halt> {
    let made = || -> Result<_, Wrong> {
        let Some(apart) = outline.head_to_tail()? else { return Ok(None) };
        let way = Point::new(apart.clone(), Number::whole(0));
        let other = outline.turned(&Number::whole(180))?.to_origin()?.moved(&way)?;
        Ok(Some((apart, vec![outline.clone(), other])))
    };
    made().map_err(|wrong| wrong_pair(wrong, span))
}

/// The price of one cloth, and how many of the smallest coin it is.
fn paid(price: Operand<'_>) -> Result<(Quantity, i64), Halt> {
    let wrong = || Halt::from(words::wanted("the price of one piece of cloth", price.value, price.span));
    let Value::Measure(quantity) = price.value else { return Err(wrong()) };
    let Some(minor) = quantity.to_minor_unit().filter(|_| !quantity.is_negative()) else {
        return Err(wrong());
    };
    let coins = bill::coins(quantity).ok_or_else(wrong)?;
    Ok((minor, coins))
}

/// A length that is more than 0, for `on`.
pub(crate) fn length_on(operand: Operand<'_>) -> Result<(Quantity, Span), Halt> {
    match operand.value {
        Value::Measure(quantity) if quantity.dim == Dim::LENGTH && !quantity.is_negative() => {
            Ok((quantity.clone(), operand.span))
        }
        other => Err(words::wanted(Want::length("a length of cloth"), other, operand.span).into()),
    }
}
