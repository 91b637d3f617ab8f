//! A formula over a whole span of what is looked for: the domain of intervals under the one walk.

use std::collections::HashMap;
use std::rc::Rc;

use crate::ask::find::image::{Image, SlackInterval, operation};
use crate::ask::find::interval::Interval;
use crate::ask::find::point::refuses;
use crate::code::node::{BinaryNode, CallNode, Link, Node, Op, Piece, RuleCode, Setting};
use crate::code::walk::{Domain, Truth, walk};
use crate::eval::machine::{Frame, Halt, Machine};
use crate::fault::Span;
use crate::measure::{Exact, Number, Quantity, Reading, Trouble, Way};
use crate::syntax::tree::CompareOp;
use crate::value::builtin::Builtin;
use crate::value::data::Value;
use crate::value::kind::Kind;
use crate::value::sides::Sides;

/// Why a formula tells nothing over a span.
#[derive(Debug)]
pub(crate) enum Stop {
    /// Nothing can be said of the whole span; parts of it may do.
    Open,
    /// A rule refuses all of it.
    Refused,
    /// Something is wrong, or the run has taken too much.
    Halt(Halt),
}

impl From<Trouble> for Stop {
    fn from(trouble: Trouble) -> Stop {
        match trouble {
            // There is no such number anywhere in the span.
            Trouble::NoSuchNumber | Trouble::DivisionByZero => Stop::Refused,
            _ => Stop::Open,
        }
    }
}

type Walked = Result<Image, Stop>;

/// The deepest that rules are followed.
const DEEPEST: u32 = 60;
/// The longest loop that is followed.
const LONGEST: usize = 4_096;

/// Evaluates formulas over a span. Names that change hold a value in the machine that spoils what reads them,
/// so that whatever the machine can evaluate stays the same.
pub(crate) struct Intervals<'m> {
    pub machine: &'m mut Machine,
    /// The recipe's names that change.
    pub names: HashMap<u32, Image>,
    /// The names of the frame that change.
    frame: HashMap<u32, Image>,
    depth: u32,
}

/// The frame of a call: before it is entered its own names that change, afterwards its caller's.
#[derive(Default)]
pub(crate) struct Caller {
    names: HashMap<u32, Image>,
    opened: Frame,
    entered: bool,
}

impl<'m> Intervals<'m> {
    /// Nothing changes yet.
    pub fn new(machine: &'m mut Machine) -> Intervals<'m> {
        Intervals { machine, names: HashMap::new(), frame: HashMap::new(), depth: 0 }
    }

    /// Evaluates a formula in a frame of its own.
    pub fn line(&mut self, node: &Node, slots: u32) -> Walked {
        self.frame.clear();
        self.machine.clear_frames(slots);
        walk(self, node)
    }

    /// A name of the recipe over the span; one that changes spoils what the machine reads of it.
    pub fn set_global(&mut self, slot: u32, image: Image) {
        let Some(place) = self.machine.globals.get_mut(slot as usize) else { return };
        match image {
            Image::Same(value) => *place = value,
            changing => {
                *place = Value::Failed;
                self.names.insert(slot, changing);
            }
        }
    }
}

impl Intervals<'_> {
    /// An operation on two images.
    fn pair(&mut self, op: &Op, first: &Image, second: &Image) -> Walked {
        let measure = |image: &Image| image.measure().ok_or(Stop::Open);
        match op {
            Op::Size => Ok(Image::Measure(Sides::Two(measure(first)?, measure(second)?))),
            Op::Round(way) => {
                let step = measure(second)?.at;
                let sides = first.sides().filter(|_| step.is_exact()).ok_or(Stop::Open)?;
                Ok(Image::Measure(sides.each(|side| side.rounded(&step, *way))?))
            }
            Op::Index => {
                let items = first.items().ok_or(Stop::Open)?;
                let at = measure(second)?.at.whole_count().and_then(|n| usize::try_from(n).ok());
                at.and_then(|at| items.get(at.checked_sub(1)?)).cloned().ok_or(Stop::Open)
            }
            Op::HowMany => how_many(&measure(first)?, &measure(second)?),
            Op::Slack(name) => {
                let (middle, amount) = (measure(first)?, measure(second)?);
                let percent = amount.at.reading == Reading::Percent && middle.at.reading != Reading::Percent;
                let amount = if percent { middle.abs().mul(&amount)? } else { amount };
                let source = self.machine.source(&name.words, name.line);
                Ok(SlackInterval::certain(middle).with(source, amount).into())
            }
            Op::Separate(name) => {
                let count = measure(first)?;
                let each = second.slack().filter(|_| count.is_count()).ok_or(Stop::Open)?;
                let source = self.machine.source(&name.words, name.line);
                let made = SlackInterval::certain(each.middle.mul(&count)?);
                Ok(made.with(source, each.half_width()?.mul(&count)?).into())
            }
            _ => Err(Stop::Open),
        }
    }
}

impl Domain for Intervals<'_> {
    type Value = Image;
    type Stop = Stop;
    type Frame = Caller;

    /// What the machine can evaluate is the same all over.
    fn known(&mut self, node: &Node) -> Result<Option<Image>, Stop> {
        match self.machine.eval(node) {
            Ok(value) => Ok(Some(Image::Same(value))),
            Err(Halt::Fault(fault)) if refuses(fault.code) => Err(Stop::Refused),
            Err(Halt::Fault(fault)) => Err(Stop::Halt(Halt::Fault(fault))),
            Err(Halt::Silent) => Ok(None),
        }
    }

    fn constant(&mut self, value: &Value) -> Image {
        Image::Same(value.clone())
    }

    fn local(&mut self, slot: u32, _span: Span) -> Walked {
        self.frame.get(&slot).cloned().ok_or(Stop::Open)
    }

    fn set_local(&mut self, slot: u32, image: Image, _from: Option<Span>) {
        match image {
            Image::Same(value) => {
                self.frame.remove(&slot);
                self.machine.set_local(slot, value);
            }
            changing => {
                self.machine.set_local(slot, Value::Failed);
                self.frame.insert(slot, changing);
            }
        }
    }

    fn filled(&mut self, slot: u32) -> Option<Image> {
        self.frame.get(&slot).cloned()
    }

    fn empty(&mut self, slots: &[u32]) {
        self.machine.forget(slots);
        slots.iter().for_each(|slot| drop(self.frame.remove(slot)));
    }

    fn global(&mut self, slot: u32, _span: Span) -> Walked {
        self.names.get(&slot).cloned().ok_or(Stop::Open)
    }

    fn setting(&mut self, _setting: Setting, _span: Span) -> Walked {
        Err(Stop::Open)
    }

    fn that(&mut self, _span: Span) -> Walked {
        Err(Stop::Open)
    }

    fn total(&mut self, _span: Span) -> Walked {
        Err(Stop::Open)
    }

    fn broken(&mut self) -> Walked {
        Err(Stop::Open)
    }

    fn text(&mut self, _pieces: &[Piece], _filled: Vec<Image>, _span: Span) -> Walked {
        Err(Stop::Open)
    }

    fn apply(&mut self, op: &Op, _nodes: &[Node], operands: Vec<Image>, _span: Span) -> Walked {
        match op {
            Op::List => return Ok(Image::List(operands)),
            Op::Record(names) => return Ok(Image::Record(names.clone(), operands)),
            // A shape that changes: what asks for its parts cannot be told over a span.
            Op::Builtin(builtin) if builtin.makes_shape() => return Ok(Image::Open),
            Op::Builtin(builtin) => return builtin_over(*builtin, &operands),
            _ => {}
        }
        let mut operands = operands.into_iter();
        let first = operands.next().ok_or(Stop::Open)?;
        match (op, operands.next()) {
            (Op::ShownInUnit(_) | Op::ShownInStep, _) => Ok(first),
            (Op::Part(name, _), _) => first.part(name).ok_or(Stop::Open),
            (Op::Minus, _) => match &first {
                Image::Slack(slack) => Ok(slack.neg().into()),
                image => {
                    let sides = image.sides().ok_or(Stop::Open)?;
                    sides.each(|side| Ok(side.neg())).map(Image::Measure)
                }
            },
            (Op::WithUnit(unit), _) => {
                let x = first.measure().ok_or(Stop::Open)?;
                let slope = x.slope.as_ref().map(|slope| unit.apply(slope).number);
                Ok(Interval { at: unit.apply(&x.at.number), slope, ..x }.into())
            }
            (op, Some(second)) => self.pair(op, &first, &second),
            _ => Err(Stop::Open),
        }
    }

    fn binary(&mut self, node: &BinaryNode, left: Image, right: Image) -> Walked {
        operation(node.op, &left, &right)?.ok_or(Stop::Open)
    }

    fn compare(&mut self, link: &Link, left: (&Image, &Node), right: &Image) -> Truth<Self> {
        let holds = match (left.0.measure(), right.measure()) {
            (Some(x), Some(y)) => holds(link.op, &x, &y)?,
            _ => None,
        };
        Ok((Image::answer(holds), holds))
    }

    fn truth(&mut self, value: Image, _node: &Node) -> Truth<Self> {
        let known = if let Image::Same(Value::YesNo(yes)) = value { Some(yes) } else { None };
        Ok((Image::answer(known), known))
    }

    /// Both ways of a choice that changes within the span; one that is refused is left out.
    fn either(&mut self, ways: [Walked; 2], _parts: &(Node, Node, Node), _span: Span) -> Walked {
        match ways {
            [Ok(one), Err(Stop::Refused)] | [Err(Stop::Refused), Ok(one)] => {
                let interval = one.measure().ok_or(Stop::Open)?;
                Ok(Interval { jumps: true, holes: true, ..interval }.into())
            }
            [yes, no] => yes?.either(&no?).ok_or(Stop::Open),
        }
    }

    fn items(&mut self, source: Image, _node: &Node) -> Result<Vec<Image>, Stop> {
        source.items().filter(|items| items.len() <= LONGEST).ok_or(Stop::Open)
    }

    fn list(&mut self, items: Vec<Image>, _span: Span) -> Walked {
        Ok(Image::List(items))
    }

    fn sources(&self) -> u64 {
        self.machine.sources
    }

    /// Words of caution change nothing of the value.
    fn cautions(&self) -> bool {
        false
    }

    fn caution(&mut self, _words: Image, _node: &Node, _span: Span) -> Result<(), Stop> {
        Ok(())
    }

    fn rule(&mut self, call: &CallNode, _span: Span) -> Result<Option<Rc<RuleCode>>, Stop> {
        if self.depth >= DEEPEST {
            return Err(Stop::Open);
        }
        self.machine.rule_code(call.rule).map(Some).map_err(|_| Stop::Open)
    }

    fn signature(&mut self, _call: &CallNode, _args: Vec<Image>, _span: Span) -> Walked {
        Err(Stop::Open)
    }

    /// A limit of the heading ends the span: what lies beyond it is refused.
    fn argument(&mut self, rule: &RuleCode, slot: u32, value: &mut Image, _node: &Node) -> Result<(), Stop> {
        let Some(param) = rule.params.get(slot as usize) else { return Ok(()) };
        let counted = param.kind == Kind::Count;
        for side in value.varying_sides() {
            if counted && !side.is_count() {
                return Err(Stop::Open);
            }
            let (low, high) = (side.at.number.lower().clone(), side.at.number.upper().clone());
            for bound in &param.guard.limits {
                if bound.refuses(&low, &high) {
                    return Err(Stop::Refused);
                }
                side.holes |= bound.refuses(&low, &low) || bound.refuses(&high, &high);
            }
        }
        Ok(())
    }

    /// What the library gives is 0 or more unless its heading says `signed`.
    fn result(&mut self, rule: &RuleCode, value: &mut Image) -> Result<(), Stop> {
        for side in value.varying_sides().filter(|_| rule.unsigned) {
            side.holes |= side.at.number.lower().is_negative();
            if side.at.is_negative() {
                return Err(Stop::Refused);
            }
        }
        Ok(())
    }

    fn open(&mut self, rule: &RuleCode) -> Caller {
        Caller { opened: self.machine.open_frame(rule.slots), ..Caller::default() }
    }

    fn bind(&mut self, frame: &mut Caller, slot: u32, image: Image) {
        let value = match image {
            Image::Same(value) => value,
            changing => {
                frame.names.insert(slot, changing);
                Value::Failed
            }
        };
        self.machine.bind(&frame.opened, slot, value);
    }

    fn enter(&mut self, frame: &mut Caller, _rule: &RuleCode, _span: Span) -> Result<(), Stop> {
        self.machine.enter_frame(&frame.opened);
        std::mem::swap(&mut self.frame, &mut frame.names);
        (self.depth, frame.entered) = (self.depth.saturating_add(1), true);
        Ok(())
    }

    fn close(&mut self, frame: Caller) {
        self.machine.close_frame(&frame.opened);
        if frame.entered {
            self.depth = self.depth.saturating_sub(1);
            self.frame = frame.names;
        }
    }
}

fn how_many(piece: &Interval, whole: &Interval) -> Walked {
    if whole.at.number.lower().is_negative() {
        return Err(Stop::Open);
    }
    let count = whole.div(piece)?.rounded(&Quantity::whole(1), Way::Down)?;
    let left = whole.sub(&piece.mul(&count)?)?;
    let names = ["count".into(), "left".into()].into();
    Ok(Image::Record(names, vec![count.into(), left.into()]))
}

fn builtin_over(builtin: Builtin, operands: &[Image]) -> Walked {
    let held = match operands {
        [one] => one.items(),
        _ => None,
    };
    let operands = held.as_deref().unwrap_or(operands);
    if builtin == Builtin::Count {
        let count = i64::try_from(operands.len()).unwrap_or(i64::MAX);
        return Ok(Image::Same(Value::count(count)));
    }
    if builtin == Builtin::Sum && operands.iter().any(Image::has_slack) {
        let mut items = operands.iter().map(|operand| operand.slack().ok_or(Stop::Open));
        let first = items.next().ok_or(Stop::Open)??;
        return Ok(items.try_fold(first, |sum, item| Ok::<_, Stop>(sum.add(&item?)?))?.into());
    }
    let mut measures = operands.iter().map(|operand| operand.measure().ok_or(Stop::Open));
    let first = measures.next().ok_or(Stop::Open)??;
    let one = Quantity::whole(1);
    let made = match builtin {
        Builtin::Sum => measures.try_fold(first, |sum, item| Ok::<_, Stop>(sum.add(&item?)?))?,
        Builtin::Largest | Builtin::Smallest => {
            let wanted = match builtin {
                Builtin::Largest => std::cmp::Ordering::Greater,
                _ => std::cmp::Ordering::Less,
            };
            measures.try_fold(first, |best, item| Ok::<_, Stop>(best.extreme(&item?, wanted)?))?
        }
        Builtin::Sqrt => first.sqrt()?,
        Builtin::Abs => first.abs(),
        Builtin::Sin => first.curve(first.at.sin(), |x| Ok(x.cos()?.number))?,
        Builtin::Cos => first.curve(first.at.cos(), |x| Ok(x.sin()?.number.neg()))?,
        Builtin::Tan => {
            first.curve(first.at.tan(), |x| Number::Exact(Exact::ONE).div(&x.cos()?.number.powi(2)?))?
        }
        Builtin::Floor if first.is_bare() => first.rounded(&one, Way::Down)?,
        Builtin::Ceil if first.is_bare() => first.rounded(&one, Way::Up)?,
        Builtin::Round if first.is_bare() => first.rounded(&one, Way::Nearest)?,
        _ => return Err(Stop::Open),
    };
    Ok(made.into())
}

/// Whether a comparison holds all over the span, nowhere in it, or changes.
fn holds(op: CompareOp, x: &Interval, y: &Interval) -> Result<Option<bool>, Stop> {
    match x.at.compare(&y.at) {
        Ok(order) => Ok(Some(op.holds(order))),
        Err(Trouble::TooClose) => Ok(None),
        Err(_) => Err(Stop::Open),
    }
}
