//! The machine that evaluates compiled expressions: slots, settings, and what is left of the limits.

use std::rc::Rc;

use crate::code::node::{Code, Node, Op, Piece, RuleCode, Setting};
use crate::code::walk::{self, by_kind, called};
use crate::docket::Tool;
pub use crate::eval::halt::{Halt, Worked};
use crate::eval::limits::Limits;
use crate::eval::trace::Tracer;
use crate::eval::words;
use crate::fault::{Code as FaultCode, Fault, Span};
use crate::limits::{self, VALUE_DEPTH};
use crate::measure::{Dim, Manner, Quantity};
use crate::value::data::{List, Record, Value};
use crate::value::describe::Operand;

/// What `ruler`, `shop` and `seam` lines have set.
#[derive(Clone, Debug, Default)]
pub struct Settings {
    /// How measures are read.
    pub manner: Manner,
    /// The ruler's step as written.
    pub ruler: Option<Quantity>,
    /// The shop's step.
    pub shop: Option<Quantity>,
    /// The seam allowance.
    pub seam: Option<Quantity>,
    /// What the cloth is cut with.
    pub tool: Tool,
    /// Where the seam allowance was set.
    pub seam_at: Option<Span>,
    /// What all that is bought costs, one sum a currency, on lines that are worked last.
    pub total: Option<Rc<[Quantity]>>,
}

/// What to go back to when a frame is closed.
#[derive(Debug, Default)]
pub struct Frame {
    base: usize,
    top: usize,
    depth: u32,
}

/// Evaluates expressions.
#[derive(Debug)]
pub struct Machine {
    /// The rules, by number.
    pub rules: Vec<Option<Rc<RuleCode>>>,
    /// The recipe's names, by slot.
    pub globals: Vec<Value>,
    /// The settings in force.
    pub settings: Settings,
    /// The last answer.
    pub that: Option<Value>,
    pub(crate) stack: Vec<Value>,
    pub(crate) base: usize,
    pub(crate) depth: u32,
    pub(crate) limits: Limits,
    /// Sources of error made so far: what made one is not read from a slot the next time.
    pub(crate) sources: u64,
    /// The line of the script that is being worked.
    pub(crate) line_now: Option<usize>,
    /// What rules caution of since this was last taken, each once.
    pub(crate) cautions: Vec<Rc<str>>,
    /// Advice since this was last taken, once for each rule.
    pub(crate) advice: Vec<Fault>,
    /// Whether all nodes go by the walk, without short cuts.
    pub(crate) by_walk: bool,
    /// What is traced of the node that is being walked.
    pub(crate) tracer: Option<Tracer>,
    work: u64,
    items: u64,
    /// What is left of the text.
    text: u64,
}

/// How much work is done between two looks at the stop flag.
const LOOK: u64 = 0xfff;

impl Machine {
    /// A machine with its limits whole.
    pub fn new(limits: Limits) -> Machine {
        Machine {
            rules: Vec::new(),
            globals: Vec::new(),
            settings: Settings::default(),
            that: None,
            stack: Vec::new(),
            base: 0,
            depth: 0,
            sources: 0,
            line_now: None,
            cautions: Vec::new(),
            advice: Vec::new(),
            by_walk: false,
            tracer: None,
            work: limits.work,
            items: limits.items,
            text: limits.text,
            limits,
        }
    }

    /// Makes the limits whole again and clears the frames, for another run.
    pub fn refresh(&mut self) {
        self.stack.clear();
        self.cautions.clear();
        self.advice.clear();
        self.base = 0;
        self.depth = 0;
        self.work = self.limits.work;
        self.items = self.limits.items;
        self.text = self.limits.text;
    }

    /// What is left of the limits: steps of work, items, bytes of text.
    pub(crate) fn left(&self) -> [u64; 3] {
        [self.work, self.items, self.text]
    }

    /// So much is left of the limits from here on.
    pub(crate) fn go_on_with(&mut self, left: [u64; 3]) {
        [self.work, self.items, self.text] = left;
    }

    /// Works an expression of a recipe's line, whose frame needs `slots`.
    pub fn line(&mut self, node: &Node, slots: u32) -> Worked {
        self.clear_frames(slots);
        self.eval(node)
    }

    /// What rules cautioned of since this was last taken.
    pub fn cautions(&self) -> &[Rc<str>] {
        &self.cautions
    }

    /// Drops all frames and opens one of so many slots.
    pub(crate) fn clear_frames(&mut self, slots: u32) {
        self.base = 0;
        self.depth = 0;
        self.stack.clear();
        if slots > 0 {
            self.stack.resize(slots as usize, Value::Unset);
        }
    }

    /// Makes a frame of so many slots beside the one at hand; gives what [`Machine::close_frame`] goes back to.
    #[inline]
    pub(crate) fn open_frame(&mut self, slots: u32) -> Frame {
        let frame = Frame { base: self.base, top: self.stack.len(), depth: self.depth };
        self.stack.resize_with(frame.top.saturating_add(slots as usize), || Value::Unset);
        frame
    }

    /// Fills a slot of a frame that is not entered yet.
    #[inline]
    pub(crate) fn bind(&mut self, frame: &Frame, slot: u32, value: Value) {
        if let Some(place) = self.stack.get_mut(frame.top.saturating_add(slot as usize)) {
            *place = value;
        }
    }

    /// Enters a frame.
    #[inline]
    pub(crate) fn enter_frame(&mut self, frame: &Frame) {
        self.base = frame.top;
    }

    /// Closes a frame.
    #[inline]
    pub(crate) fn close_frame(&mut self, frame: &Frame) {
        self.stack.truncate(frame.top);
        (self.base, self.depth) = (frame.base, frame.depth);
    }

    /// Takes work from what is left.
    #[inline]
    pub(crate) fn spend(&mut self, work: u64, span: Span) -> Result<(), Halt> {
        let before = self.work;
        self.work = before.saturating_sub(work);
        if self.work == 0 || (before ^ self.work) & !LOOK != 0 {
            return self.look(span);
        }
        Ok(())
    }

    #[cold]
    fn look(&self, span: Span) -> Result<(), Halt> {
        if self.limits.stopped() {
            return Err(Fault::new(FaultCode::Stopped, span, "stopped").into());
        }
        if self.work == 0 {
            return Err(words::too_much(span, "this calculation is longer than a recipe may make it")
                .hint("look for a rule that never stops calling itself, or a range far too long")
                .hint(limits::hint("work", self.limits.work))
                .into());
        }
        Ok(())
    }

    /// Takes list items or record parts from what is left.
    pub(crate) fn spend_items(&mut self, items: u64, span: Span) -> Result<(), Halt> {
        take(&mut self.items, items, || {
            let fault = words::too_much(span, "this makes more list items than a recipe may make");
            fault.hint(limits::hint("items", self.limits.items))
        })
    }

    /// Takes bytes of text from what is left.
    pub(crate) fn spend_text(&mut self, bytes: usize, span: Span) -> Result<(), Halt> {
        take(&mut self.text, bytes as u64, || {
            let fault = words::too_much(span, "this makes more text than a recipe may make");
            fault.hint(limits::hint("text", self.limits.text))
        })
    }

    #[inline]
    pub(crate) fn local(&self, slot: u32) -> Option<&Value> {
        self.stack.get(self.base.saturating_add(slot as usize))
    }

    #[inline]
    pub(crate) fn set_local(&mut self, slot: u32, value: Value) {
        if let Some(place) = self.stack.get_mut(self.base.saturating_add(slot as usize)) {
            *place = value;
        }
    }

    /// The value of a leaf, without taking it.
    #[inline(always)]
    pub(crate) fn leaf<'a>(&'a self, node: &'a Node) -> Result<&'a Value, Halt> {
        let value = match &node.code {
            Code::Const(value) => return Ok(value),
            Code::Local(slot) => self.local(*slot),
            Code::Global(slot) => self.globals.get(*slot as usize),
            Code::Once(slot, _) => self.local(*slot),
            _ => None,
        };
        readable(value, node.span)
    }

    /// Evaluates a node as [`crate::code::walk`] does, names, arithmetic, operations and loops over a range on a
    /// way of their own for speed.
    pub fn eval(&mut self, node: &Node) -> Worked {
        match &node.code {
            Code::Const(_) | Code::Local(_) | Code::Global(_) => self.leaf(node).cloned(),
            Code::Binary(binary) => self.binary(binary),
            Code::Once(slot, inner) => {
                self.once(*slot, inner)?;
                self.leaf(node).cloned()
            }
            Code::Call(call) => called(self, call, node.span),
            Code::Apply(op, nodes) => self.operation(op, nodes, node.span),
            Code::Each(each) => self.each(each, node),
            _ => by_kind(self, node),
        }
    }

    /// Evaluates the operands of an operation, then the operation.
    #[inline(never)]
    fn operation(&mut self, op: &Op, nodes: &[Node], span: Span) -> Worked {
        match (op, nodes) {
            (Op::Part(name, place), [of]) if of.is_leaf() => {
                let value = self.leaf(of)?;
                if let Value::Shape(_) = value {
                    let value = value.clone();
                    return self.shape_part(Operand::new(&value, of.span), name, *place);
                }
                Machine::part(Operand::new(value, of.span), name, *place)
            }
            (Op::Size, [across, along]) => match (self.eval(across)?, self.eval(along)?) {
                (Value::Measure(x), Value::Measure(y)) if x.dim == Dim::LENGTH && y.dim == Dim::LENGTH => {
                    Ok(Value::size(x, y))
                }
                (x, y) => self.operate(op, nodes, &[x, y], span),
            },
            (Op::List | Op::Record(_) | Op::Builtin(_), _) => {
                let values = nodes.iter().map(|node| self.eval(node)).collect::<Result<Vec<_>, _>>()?;
                self.gather(op, nodes, values, span)
            }
            (_, [one]) => {
                let values = [self.eval(one)?];
                self.operate(op, nodes, &values, span)
            }
            (_, [one, two]) => {
                let values = [self.eval(one)?, self.eval(two)?];
                self.operate(op, nodes, &values, span)
            }
            _ => {
                let values = nodes.iter().map(|node| self.eval(node)).collect::<Result<Vec<_>, _>>()?;
                self.operate(op, nodes, &values, span)
            }
        }
    }

    /// Fills the slot of what is worked once, unless it is filled.
    #[inline]
    pub(crate) fn once(&mut self, slot: u32, inner: &Node) -> Result<(), Halt> {
        if matches!(self.local(slot), Some(Value::Unset)) {
            let value = self.eval(inner)?;
            self.set_local(slot, value);
        }
        Ok(())
    }

    /// The last answer.
    pub(crate) fn last_answer(&self, span: Span) -> Worked {
        self.that.clone().ok_or_else(|| {
            Fault::new(FaultCode::TooEarly, span, "there is no answer yet for `that`")
                .hint("`that` is the last answer at the prompt; in a recipe give the value a name")
                .into()
        })
    }

    /// What all that is bought costs.
    #[inline(never)]
    pub(crate) fn total_cost(&self, span: Span) -> Worked {
        let fault = match self.settings.total.as_deref() {
            Some([total]) => return Ok(Value::Measure(total.clone())),
            None | Some([]) => Fault::new(
                FaultCode::BadLine,
                span,
                "there is no `total`: nothing that is bought has a price",
            )
            .hint("a price is written `cloth(…, price: 14.50 EUR/m)` or `buy 3 m \"tape\" at 1.20 EUR/m`"),
            Some(several) => {
                let sums: Vec<String> = several.iter().map(|sum| sum.show(&self.settings.manner)).collect();
                let message = format!("there is no one `total`: it is {}", sums.join(" and "));
                Fault::new(FaultCode::MoneyMix, span, message)
                    .hint("write all prices in one currency, or leave `total` out")
            }
        };
        Err(fault.into())
    }

    #[inline(never)]
    pub(crate) fn setting(&self, setting: Setting, span: Span) -> Worked {
        let (value, example) = match setting {
            Setting::Seam => (&self.settings.seam, "seam 1/4 in"),
            Setting::Ruler => (&self.settings.ruler, "ruler 1/8 in"),
            Setting::Shop => (&self.settings.shop, "shop 1/8 yd"),
        };
        match value {
            Some(quantity) => Ok(Value::Measure(quantity.clone())),
            None => Err(Fault::new(FaultCode::BadSetting, span, format!("no `{}` is set", setting.words()))
                .hint(format!("write `{example}` on a line above, or `scant work --{example}`"))
                .into()),
        }
    }

    /// A text with its values filled in, read by the ruler in force.
    pub fn text(&mut self, pieces: &[Piece], span: Span) -> Result<Rc<str>, Halt> {
        match walk::text(self, pieces, span)? {
            Value::Text(text) => Ok(text),
            _ => Err(Halt::Silent),
        }
    }

    /// Puts a text together from its pieces and the values that fill it.
    pub(crate) fn put_together(&mut self, pieces: &[Piece], filled: Vec<Value>, span: Span) -> Worked {
        let mut out = String::new();
        let mut filled = filled.into_iter();
        for piece in pieces {
            match piece {
                Piece::Plain(plain) => out.push_str(plain),
                Piece::Filled(_) => {
                    let before = out.len();
                    filled.next().unwrap_or(Value::Unset).write_in_text(&self.settings.manner, &mut out);
                    self.spend(out.len().saturating_sub(before) as u64, span)?;
                }
            }
            if out.len() as u64 > self.text {
                break;
            }
        }
        self.spend_text(out.len(), span)?;
        Ok(Value::Text(out.into()))
    }

    /// Makes a list or a record, or calls a built-in.
    pub(crate) fn gather(&mut self, op: &Op, nodes: &[Node], values: Vec<Value>, span: Span) -> Worked {
        match op {
            Op::Builtin(builtin) => return self.builtin(*builtin, nodes, &values, span),
            _ => self.spend_items(nodes.len() as u64, span)?,
        }
        match op {
            Op::Record(names) => match Record::new(names.clone(), values, self.limits.items) {
                Some(record) => Ok(Value::Record(Rc::new(record))),
                None => Err(holds_too_much(self.limits.items, span)),
            },
            _ => self.made_list(values, span),
        }
    }

    /// A list of these items.
    pub(crate) fn made_list(&self, items: Vec<Value>, span: Span) -> Worked {
        match List::new(items, self.limits.items) {
            Some(list) => Ok(Value::List(Rc::new(list))),
            None => Err(holds_too_much(self.limits.items, span)),
        }
    }
}

/// Takes so much from what is left of a limit.
#[inline]
fn take(left: &mut u64, amount: u64, too_much: impl FnOnce() -> Fault) -> Result<(), Halt> {
    *left = left.checked_sub(amount).ok_or_else(too_much)?;
    Ok(())
}

/// A slot that holds a value.
#[inline]
pub(crate) fn readable(value: Option<&Value>, span: Span) -> Result<&Value, Halt> {
    match value {
        Some(Value::Unset) | None => Err(unset(span)),
        Some(Value::Failed) => Err(Halt::Silent),
        Some(value) => Ok(value),
    }
}

fn holds_too_much(most: u64, span: Span) -> Halt {
    let message =
        format!("this list holds too many values, or lists inside lists more than {VALUE_DEPTH} deep");
    let fault = words::too_much(span, message).hint("a long text or number counts as several values");
    fault.hint(limits::hint("items", most)).into()
}

#[cold]
fn unset(span: Span) -> Halt {
    Fault::new(FaultCode::TooEarly, span, "this name is used before its own line gives it a value")
        .hint("move the line that names it above the first line that calls this rule")
        .into()
}
