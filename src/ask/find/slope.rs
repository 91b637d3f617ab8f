//! A formula over a whole span of what is looked for: its bounds and its slope.

use std::collections::HashMap;

use crate::ask::find::loose::Loose;
use crate::ask::find::moving::{Moving, Sym};
use crate::code::node::{BinaryNode, CallNode, Code, EachNode, Link, Node};
use crate::eval::builtins::Builtin;
use crate::eval::machine::{Halt, Machine};
use crate::fault::Code as FaultCode;
use crate::measure::{Exact, Number, Quantity, Reading, Trouble, Way};
use crate::syntax::tree::{self, BinaryOp, CompareOp, UnaryOp};
use crate::value::data::Value;
use crate::value::kind::Kind;

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

type Told = Result<Sym, Stop>;

/// The deepest that rules are followed.
const DEEPEST: u32 = 60;
/// The longest loop that is followed.
const LONGEST: usize = 4_096;

/// Works formulas over a span. Names that move hold a value in the machine that spoils what reads them, so
/// that whatever the machine can work stands still.
pub(crate) struct Span<'m> {
    pub machine: &'m mut Machine,
    /// The recipe's names that move.
    pub names: HashMap<u32, Sym>,
    /// The names of the frame that move.
    pub frame: HashMap<u32, Sym>,
    pub depth: u32,
}

impl Span<'_> {
    /// Works a formula in a frame of its own.
    pub fn line(&mut self, node: &Node, slots: u32) -> Told {
        self.frame.clear();
        self.machine.base = 0;
        self.machine.depth = 0;
        self.machine.stack.clear();
        self.machine.stack.resize(slots as usize, Value::Unset);
        self.eval(node)
    }

    fn eval(&mut self, node: &Node) -> Told {
        match &node.code {
            Code::Local(slot) if self.frame.contains_key(slot) => {
                return self.frame.get(slot).cloned().ok_or(Stop::Open);
            }
            Code::Global(slot) if self.names.contains_key(slot) => {
                return self.names.get(slot).cloned().ok_or(Stop::Open);
            }
            _ => {}
        }
        match self.machine.eval(node) {
            Ok(value) => return Ok(Sym::Plain(value)),
            Err(Halt::Fault(fault)) => {
                return Err(match fault.code {
                    FaultCode::Refused | FaultCode::NoSuchNumber | FaultCode::DivisionByZero => Stop::Refused,
                    _ => Stop::Halt(Halt::Fault(fault)),
                });
            }
            Err(Halt::Silent) => {}
        }
        stacker::maybe_grow(256 << 10, 4 << 20, || self.moving(node))
    }

    fn moving(&mut self, node: &Node) -> Told {
        match &node.code {
            Code::Once(_, inner) => self.eval(inner),
            Code::Binary(binary) => self.binary(binary),
            Code::Unary(UnaryOp::Minus, inner) => {
                let made = self.eval(inner)?;
                if let Sym::Loose(loose) = &made {
                    return Ok(Sym::Loose(Box::new(loose.neg())));
                }
                match (made.measure(), made.size()) {
                    (Some(x), _) => Ok(Sym::Moving(x.neg())),
                    (_, Some(size)) => Ok(Sym::Size(Box::new((size.0.neg(), size.1.neg())))),
                    _ => Err(Stop::Open),
                }
            }
            Code::Unary(UnaryOp::Not, inner) => Ok(answer(self.condition(inner)?.map(|yes| !yes))),
            Code::Compare(first, links) => Ok(answer(self.compare(first, links)?)),
            Code::Size(pair) => Ok(Sym::Size(Box::new((self.measure(&pair.0)?, self.measure(&pair.1)?)))),
            Code::Round(way, pair) => self.round(*way, &pair.0, &pair.1),
            Code::ShownInUnit(inner, _) => self.eval(inner),
            Code::ShownInStep(pair) => self.eval(&pair.0),
            Code::WithUnit(inner, unit) => {
                let x = self.measure(inner)?;
                let slope = x.slope.as_ref().map(|slope| unit.apply(slope).number);
                Ok(Sym::Moving(Moving { at: unit.apply(&x.at.number), slope, ..x }))
            }
            Code::Call(call) => self.call(call),
            Code::Builtin(Builtin::WithCaution, nodes) => self.eval(nodes.first().ok_or(Stop::Open)?),
            Code::Builtin(builtin, nodes) => self.builtin(*builtin, nodes),
            Code::Block(names, value) => {
                for (slot, inner) in names {
                    let made = self.eval(inner)?;
                    self.set(*slot, made);
                }
                self.eval(value)
            }
            Code::Part(of, name, _) => {
                let of = self.eval(of)?;
                part(&of, name).ok_or(Stop::Open)
            }
            Code::Index(pair) => {
                let items = self.eval(&pair.0)?.items().ok_or(Stop::Open)?;
                let at = self.measure(&pair.1)?.at.whole_count().and_then(|n| usize::try_from(n - 1).ok());
                at.and_then(|at| items.get(at)).cloned().ok_or(Stop::Open)
            }
            Code::If(choice) => match self.condition(&choice.0)? {
                Some(true) => self.eval(&choice.1),
                Some(false) => self.eval(&choice.2),
                None => self.either(&choice.1, &choice.2),
            },
            Code::List(nodes) => Ok(Sym::List(self.all(nodes)?)),
            Code::Record(names, nodes) => Ok(Sym::Record(names.clone(), self.all(nodes)?)),
            Code::Each(each) => self.each(each),
            Code::HowMany(pair) => self.how_many(&pair.0, &pair.1),
            Code::Slack(slack) => self.slack(&slack.middle, &slack.amount),
            Code::Separate(separate) => {
                let count = self.measure(&separate.count)?;
                let each = self.eval(&separate.each)?.loose().filter(|_| count.is_count());
                Ok(Sym::Loose(Box::new(each.ok_or(Stop::Open)?.separate(&count)?)))
            }
            _ => Err(Stop::Open),
        }
    }

    fn all(&mut self, nodes: &[Node]) -> Result<Vec<Sym>, Stop> {
        nodes.iter().map(|node| self.eval(node)).collect()
    }

    fn set(&mut self, slot: u32, made: Sym) {
        match made {
            Sym::Plain(value) => {
                self.frame.remove(&slot);
                self.machine.set_local(slot, value);
            }
            moving => {
                self.machine.set_local(slot, Value::Failed);
                self.frame.insert(slot, moving);
            }
        }
    }

    /// `x ± 1/32 in`
    fn slack(&mut self, middle: &Node, amount: &Node) -> Told {
        let (middle, amount) = (self.measure(middle)?, self.measure(amount)?);
        let percent = amount.at.reading == Reading::Percent && middle.at.reading != Reading::Percent;
        let amount = if percent { middle.abs().mul(&amount)? } else { amount };
        Ok(Sym::Loose(Box::new(Loose::plain(middle).with(amount))))
    }

    /// A measure.
    pub fn measure(&mut self, node: &Node) -> Result<Moving, Stop> {
        self.eval(node)?.measure().ok_or(Stop::Open)
    }

    fn condition(&mut self, node: &Node) -> Result<Option<bool>, Stop> {
        match self.eval(node)? {
            Sym::Plain(Value::YesNo(yes)) => Ok(Some(yes)),
            _ => Ok(None),
        }
    }

    fn binary(&mut self, node: &BinaryNode) -> Told {
        if matches!(node.op, BinaryOp::And | BinaryOp::Or) {
            let decides = node.op == BinaryOp::Or;
            let left = self.condition(&node.left)?;
            if left == Some(decides) {
                return Ok(answer(left));
            }
            let right = self.condition(&node.right)?;
            return Ok(answer(match (left, right) {
                (_, Some(right)) if right == decides => Some(right),
                (Some(_), right) => right,
                _ => None,
            }));
        }
        let (left, right) = (self.eval(&node.left)?, self.eval(&node.right)?);
        if left.is_loose() || right.is_loose() {
            return loose_operation(node.op, &left, &right);
        }
        if let (Some(x), Some(y)) = (left.measure(), right.measure()) {
            return Ok(Sym::Moving(operation(node.op, &x, &y)?));
        }
        let pair = |a: Moving, b: Moving| Ok(Sym::Size(Box::new((a, b))));
        match (left.size(), right.size(), left.measure(), right.measure()) {
            (Some(x), Some(y), ..) => pair(operation(node.op, &x.0, &y.0)?, operation(node.op, &x.1, &y.1)?),
            (Some(x), _, _, Some(n)) => pair(operation(node.op, &x.0, &n)?, operation(node.op, &x.1, &n)?),
            (_, Some(y), Some(n), _) => pair(operation(node.op, &n, &y.0)?, operation(node.op, &n, &y.1)?),
            _ => Err(Stop::Open),
        }
    }

    fn compare(&mut self, first: &Node, links: &[Link]) -> Result<Option<bool>, Stop> {
        let mut left = self.eval(first)?;
        let mut all = Some(true);
        for link in links {
            let right = self.eval(&link.operand)?;
            let holds = match (left.measure(), right.measure()) {
                (Some(x), Some(y)) => holds(link.op, &x, &y)?,
                _ => None,
            };
            all = match (all, holds) {
                (Some(false), _) | (_, Some(false)) => Some(false),
                (Some(true), Some(true)) => Some(true),
                _ => None,
            };
            left = right;
        }
        Ok(all)
    }

    fn round(&mut self, way: tree::Way, value: &Node, step: &Node) -> Told {
        let step = self.measure(step)?;
        if !step.at.is_exact() {
            return Err(Stop::Open);
        }
        let way = match way {
            tree::Way::Nearest => Way::Nearest,
            tree::Way::Up => Way::Up,
            tree::Way::Down => Way::Down,
        };
        let value = self.eval(value)?;
        match (value.measure(), value.size()) {
            (Some(x), _) => Ok(Sym::Moving(x.rounded(&step.at, way)?)),
            (_, Some(size)) => {
                Ok(Sym::Size(Box::new((size.0.rounded(&step.at, way)?, size.1.rounded(&step.at, way)?))))
            }
            _ => Err(Stop::Open),
        }
    }

    /// Both ways of a choice that changes within the span; one that is refused is left out.
    fn either(&mut self, yes: &Node, no: &Node) -> Told {
        let (yes, no) = match (self.eval(yes), self.eval(no)) {
            (Ok(one), Err(Stop::Refused)) | (Err(Stop::Refused), Ok(one)) => {
                let mut moving = one.measure().ok_or(Stop::Open)?;
                moving.jumps = true;
                moving.holes = true;
                return Ok(Sym::Moving(moving));
            }
            (yes, no) => (yes?, no?),
        };
        either(&yes, &no)
    }

    fn call(&mut self, call: &CallNode) -> Told {
        let rule = self.machine.rules.get(call.rule as usize).cloned().flatten().ok_or(Stop::Open)?;
        if self.depth >= DEEPEST {
            return Err(Stop::Open);
        }
        let mut given = Vec::with_capacity(call.args.len());
        for (slot, arg) in &call.args {
            let made = self.eval(arg)?;
            let counted = rule.params.get(*slot as usize).is_some_and(|param| param.kind == Kind::Count);
            if counted && matches!(&made, Sym::Moving(moving) if !moving.is_count()) {
                return Err(Stop::Open);
            }
            given.push((*slot, made));
        }
        let (base, top) = (self.machine.base, self.machine.stack.len());
        self.machine.stack.resize(top + rule.slots as usize, Value::Unset);
        self.machine.base = top;
        let caller = std::mem::take(&mut self.frame);
        self.depth += 1;
        for (slot, made) in given {
            self.set(slot, made);
        }
        let made = self.body(&rule);
        self.depth -= 1;
        self.frame = caller;
        self.machine.base = base;
        self.machine.stack.truncate(top);
        made
    }

    fn body(&mut self, rule: &crate::code::node::RuleCode) -> Told {
        for (slot, param) in rule.params.iter().enumerate() {
            let slot = u32::try_from(slot).unwrap_or(u32::MAX);
            let unset = matches!(self.machine.local(slot), Some(Value::Unset));
            if let (true, Some(default)) = (unset, &param.default) {
                let made = self.eval(default)?;
                self.set(slot, made);
            }
        }
        self.eval(&rule.body)
    }

    fn each(&mut self, each: &EachNode) -> Told {
        for slot in &each.once {
            self.machine.set_local(*slot, Value::Unset);
        }
        let source = match &each.source.code {
            Code::Range(range) => match self.machine.range_list(range, each.source.span) {
                Ok(list) => Sym::Plain(list),
                Err(_) => return Err(Stop::Open),
            },
            _ => self.eval(&each.source)?,
        };
        let items = source.items().filter(|items| items.len() <= LONGEST).ok_or(Stop::Open)?;
        let mut made = Vec::with_capacity(items.len());
        for item in items {
            self.set(each.slot, item);
            made.push(self.eval(&each.body)?);
        }
        Ok(Sym::List(made))
    }

    fn how_many(&mut self, piece: &Node, whole: &Node) -> Told {
        let (piece, whole) = (self.measure(piece)?, self.measure(whole)?);
        if whole.at.number.lower().is_negative() {
            return Err(Stop::Open);
        }
        let count = whole.div(&piece)?.rounded(&Quantity::whole(1), Way::Down)?;
        let left = whole.sub(&piece.mul(&count)?)?;
        let names = ["count".into(), "left".into()].into();
        Ok(Sym::Record(names, vec![Sym::Moving(count), Sym::Moving(left)]))
    }

    fn builtin(&mut self, builtin: Builtin, nodes: &[Node]) -> Told {
        // Its words change nothing of the value.
        if let (Builtin::WithCaution, Some(value)) = (builtin, nodes.first()) {
            return self.eval(value);
        }
        let mut args = self.all(nodes)?;
        if matches!(builtin, Builtin::Sum | Builtin::Largest | Builtin::Smallest | Builtin::Count)
            && args.len() == 1
            && let Some(items) = args.first().and_then(Sym::items)
        {
            args = items;
        }
        if builtin == Builtin::Count {
            return Ok(Sym::Plain(Value::count(i64::try_from(args.len()).unwrap_or(i64::MAX))));
        }
        if builtin == Builtin::Sum && args.iter().any(Sym::is_loose) {
            let mut items = args.iter().map(|arg| arg.loose().ok_or(Stop::Open));
            let first = items.next().ok_or(Stop::Open)??;
            let sum = items.try_fold(first, |sum, item| Ok::<_, Stop>(sum.add(&item?)?))?;
            return Ok(Sym::Loose(Box::new(sum)));
        }
        let mut measures = args.iter().map(|arg| arg.measure().ok_or(Stop::Open));
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
        Ok(Sym::Moving(made))
    }
}

/// Either of two values; of a record either of each part.
fn either(yes: &Sym, no: &Sym) -> Told {
    if let (Some(x), Some(y)) = (yes.measure(), no.measure()) {
        return Ok(Sym::Moving(x.either(&y)?));
    }
    if let (Some(x), Some(y)) = (yes.size(), no.size()) {
        return Ok(Sym::Size(Box::new((x.0.either(&y.0)?, x.1.either(&y.1)?))));
    }
    match (yes, no) {
        (Sym::Record(names, xs), Sym::Record(others, ys)) if names == others => {
            let parts: Result<Vec<Sym>, Stop> = xs.iter().zip(ys).map(|(x, y)| either(x, y)).collect();
            Ok(Sym::Record(names.clone(), parts?))
        }
        _ => Err(Stop::Open),
    }
}

fn loose_operation(op: BinaryOp, left: &Sym, right: &Sym) -> Told {
    let (Some(x), Some(y)) = (left.loose(), right.loose()) else { return Err(Stop::Open) };
    let plain = |side: &Sym| if side.is_loose() { None } else { side.measure() };
    let made = match (op, plain(left), plain(right)) {
        (BinaryOp::Add, ..) => x.add(&y)?,
        (BinaryOp::Subtract, ..) => x.sub(&y)?,
        (BinaryOp::Multiply | BinaryOp::Of, Some(factor), _) => y.times(&factor)?,
        (BinaryOp::Multiply | BinaryOp::Of, _, Some(factor)) => x.times(&factor)?,
        (BinaryOp::Divide, _, Some(factor)) => x.over(&factor)?,
        _ => return Err(Stop::Open),
    };
    Ok(Sym::Loose(Box::new(made)))
}

fn answer(holds: Option<bool>) -> Sym {
    holds.map_or(Sym::Open, |yes| Sym::Plain(Value::YesNo(yes)))
}

fn operation(op: BinaryOp, x: &Moving, y: &Moving) -> Result<Moving, Trouble> {
    match op {
        BinaryOp::Add => x.add(y),
        BinaryOp::Subtract => x.sub(y),
        BinaryOp::Multiply | BinaryOp::Of => x.mul(y),
        BinaryOp::Divide => x.div(y),
        _ => x.pow(&y.at),
    }
}

fn part(of: &Sym, name: &str) -> Option<Sym> {
    if let Some(size) = of.size() {
        return Some(Sym::Moving(if name == "across" { size.0 } else { size.1 }));
    }
    match of {
        Sym::Loose(loose) => loose.part(name).map(Sym::Moving),
        Sym::Moving(moving) if matches!(name, "middle" | "least" | "most") => {
            Some(Sym::Moving(moving.clone()))
        }
        Sym::Record(names, values) => values.get(names.iter().position(|known| &**known == name)?).cloned(),
        Sym::Plain(Value::Record(record)) => record.part(name).cloned().map(Sym::Plain),
        _ => None,
    }
}

/// Whether a comparison holds all over the span, nowhere in it, or changes.
fn holds(op: CompareOp, x: &Moving, y: &Moving) -> Result<Option<bool>, Stop> {
    use std::cmp::Ordering::{Equal, Greater, Less};
    let order = match x.at.compare(&y.at) {
        Ok(order) => order,
        Err(Trouble::TooClose) => return Ok(None),
        Err(_) => return Err(Stop::Open),
    };
    Ok(Some(match op {
        CompareOp::Is => order == Equal,
        CompareOp::IsNot => order != Equal,
        CompareOp::Less => order == Less,
        CompareOp::AtMost => order != Greater,
        CompareOp::More => order == Greater,
        CompareOp::AtLeast => order != Less,
    }))
}
