//! Shapes: made, changed, and asked for their parts.

use std::rc::Rc;

use crate::code::node::Node;
use crate::eval::halt::{Halt, Worked};
use crate::eval::machine::Machine;
use crate::fault::Span;
use crate::limits::ITEMS;
use crate::measure::{Dim, Number, Quantity, Reading};
use crate::shape::{self, Edge, Finish, Notch, Outline, Point, Wrong};
use crate::value::builtin::{Ask, Builtin};
use crate::value::cause::{At, Cause, Want};
use crate::value::data::{List, Record, Value};
use crate::value::describe::Operand;

/// The arguments of a built-in, each with its place.
struct Arguments<'a> {
    values: &'a [Value],
    nodes: &'a [Node],
    span: Span,
}

const PLACE: &str = "a place such as `3 in by 5 in`";
const EDGE: &str = "the name of an edge, in quotes";

impl<'a> Arguments<'a> {
    fn operand(&self, at: usize) -> Result<Operand<'a>, Halt> {
        let value = self.values.get(at).ok_or(Halt::Silent)?;
        Ok(Operand::new(value, self.nodes.get(at).map_or(self.span, |node| node.span)))
    }

    /// A measure; of one with slack its middle, for a shape is drawn and cut as planned.
    fn measure(&self, at: usize, dim: Dim, want: Want<'_>) -> Result<Quantity, Halt> {
        let operand = self.operand(at)?;
        match operand.value {
            Value::Measure(quantity) if quantity.dim == dim => Ok(quantity.clone()),
            Value::Slack(slack) if slack.dim() == dim => Ok(slack.middle()),
            _ => Err(Cause::wanted(want, &operand).into()),
        }
    }

    fn length(&self, at: usize) -> Result<Quantity, Halt> {
        self.measure(at, Dim::LENGTH, Want::LENGTH)
    }

    fn angle(&self, at: usize) -> Result<Quantity, Halt> {
        self.measure(at, Dim::ANGLE, Ask::Angle.want())
    }

    fn place(&self, at: usize) -> Result<Point, Halt> {
        place(&self.operand(at)?)
    }

    fn text(&self, at: usize, want: &'static str) -> Result<&'a Rc<str>, Halt> {
        let operand = self.operand(at)?;
        match operand.value {
            Value::Text(text) => Ok(text),
            _ => Err(Cause::wanted(want, &operand).into()),
        }
    }

    fn shape(&self, at: usize) -> Result<Rc<Outline>, Halt> {
        let operand = self.operand(at)?;
        as_shape(operand.value)
            .ok_or_else(|| Cause::wanted(Ask::Shape.want(), &operand))?
            .map_err(|wrong| wrong_at(wrong, operand.span))
    }
}

fn wrong_at(wrong: Wrong, span: Span) -> Halt {
    Cause::At(At::Shape(wrong), span).into()
}

fn place(operand: &Operand<'_>) -> Result<Point, Halt> {
    match operand.value {
        Value::Size(size) => Ok(Point::new(size.0.number.clone(), size.1.number.clone())),
        Value::SlackSize(size) => Ok(Point::new(size.0.middle().number, size.1.middle().number)),
        _ => Err(Cause::wanted(PLACE, operand).into()),
    }
}

/// A value as a shape; nothing where it is none. A size is a rectangle.
pub(crate) fn as_shape(value: &Value) -> Option<Result<Rc<Outline>, Wrong>> {
    match value {
        Value::Shape(outline) => Some(Ok(outline.clone())),
        Value::Size(size) => {
            let corner = Point::new(size.0.number.clone(), size.1.number.clone());
            Some(shape::rectangle(&corner, size.0.reading).map(Rc::new))
        }
        Value::SlackSize(size) => {
            let (across, along) = (size.0.middle(), size.1.middle());
            let corner = Point::new(across.number, along.number);
            Some(shape::rectangle(&corner, across.reading).map(Rc::new))
        }
        _ => None,
    }
}

impl Machine {
    /// A built-in that makes a shape.
    pub(crate) fn shape(&mut self, builtin: Builtin, values: &[Value], nodes: &[Node], span: Span) -> Worked {
        let args = Arguments { values, nodes, span };
        let before: u64 = values.iter().map(Value::weight).fold(1, u64::saturating_add);
        // The edges are compared with their neighbours, and numbers of arcs are long.
        self.spend(before.saturating_mul(50), span)?;
        let made = match builtin {
            Builtin::Polygon => self.polygon(&args)?,
            Builtin::Regular => {
                let sides = args.measure(0, Dim::NONE, Ask::Number.want())?;
                let count = sides.whole_count().and_then(|count| u32::try_from(count).ok()).unwrap_or(0);
                let side = args.length(1)?;
                shape::regular(count, &side.number, side.reading)
            }
            Builtin::Circle => args.length(0).map(|across| shape::circle(&across.number, across.reading))?,
            Builtin::Ring => {
                let (outer, inner) = (args.length(0)?, args.length(1)?);
                shape::ring(&outer.number, &inner.number, outer.reading)
            }
            Builtin::Sector => {
                let (outer, angle) = (args.length(0)?, args.angle(1)?);
                let inner = if values.len() > 2 { args.length(2)?.number } else { Number::whole(0) };
                shape::sector(&outer.number, &inner, &angle.number, outer.reading)
            }
            Builtin::Attached => {
                let (edge, its) = (args.text(1, EDGE)?, args.text(3, EDGE)?);
                {
                    let other = args.shape(2)?;
                    args.shape(0)?.attached(edge, &other, its)
                }
            }
            Builtin::Moved => args.shape(0)?.moved(&args.place(1)?),
            Builtin::Turned => args.shape(0)?.turned(&args.angle(1)?.number),
            Builtin::Mirrored => args.shape(0)?.mirrored(),
            Builtin::Unfolded => args.shape(0)?.unfolded(args.text(1, EDGE)?),
            Builtin::Edged => edged(&args)?,
            Builtin::Notched => notched(&args)?,
            Builtin::Creased => {
                let mut outline = Outline::clone(&*args.shape(0)?);
                outline.folds.push((args.place(1)?, args.place(2)?));
                Ok(outline)
            }
            Builtin::Grained => grained(&args)?,
            _ => Ok(Outline::clone(&*args.shape(0)?)),
        };
        let made = made.map_err(|wrong| wrong_at(wrong, span))?;
        self.spend_items(made.weight(), span)?;
        Ok(Value::Shape(Rc::new(made)))
    }

    /// A part of a value, which may be a shape: much is to be calculated for one.
    pub(crate) fn shape_part(&mut self, of: Operand<'_>, name: &Rc<str>, place: Span) -> Worked {
        if let Value::Shape(outline) = of.value {
            self.spend(outline.weight().saturating_mul(50), place)?;
        }
        Machine::part(of, name, place)
    }

    fn polygon(&mut self, args: &Arguments<'_>) -> Result<Result<Outline, Wrong>, Halt> {
        let corners = args.operand(0)?;
        let Value::List(list) = corners.value else {
            return Err(Cause::wanted("a list of places", &corners).into());
        };
        let places: Vec<Point> = list
            .items
            .iter()
            .map(|item| place(&Operand::new(item, corners.span)))
            .collect::<Result<_, _>>()?;
        let sides = |item: &Value| match item {
            Value::Size(size) => Some([size.0.clone(), size.1.clone()]),
            Value::SlackSize(size) => Some([size.0.middle(), size.1.middle()]),
            _ => None,
        };
        let mut sides = list.items.iter().filter_map(sides).flatten();
        let reading = sides.find(|side| !side.is_zero()).map(|side| side.reading);
        let mut names: Vec<Rc<str>> = Vec::new();
        if args.values.len() > 1 {
            names = texts(&args.operand(1)?)?;
        }
        Ok(shape::polygon(places, &names, reading.unwrap_or(Reading::Plain)))
    }
}

/// A text, or a list of texts.
fn texts(operand: &Operand<'_>) -> Result<Vec<Rc<str>>, Halt> {
    let text = |value: &Value| match value {
        Value::Text(text) => Ok(text.clone()),
        other => Err(Halt::from(Cause::wanted(EDGE, &Operand::new(other, operand.span)))),
    };
    match operand.value {
        Value::List(list) => list.items.iter().map(text).collect(),
        other => Ok(vec![text(other)?]),
    }
}

fn edged(args: &Arguments<'_>) -> Result<Result<Outline, Wrong>, Halt> {
    let mut outline = Outline::clone(&*args.shape(0)?);
    let names = texts(&args.operand(1)?)?;
    let word = args.text(2, "a finish, in quotes")?;
    let finish = Finish::NAMES.iter().find(|(name, _)| **name == **word).map(|(_, finish)| *finish);
    let Some(finish) = finish else {
        let known = Finish::NAMES.map(|(name, _)| format!("`\"{name}\"`")).join(", ");
        return Err(Cause::wanted(&*format!("one of {known}"), &args.operand(2)?).into());
    };
    let mut allowance = Number::whole(0);
    if args.values.len() > 3 {
        let length = args.length(3)?;
        if length.is_negative() {
            return Err(Cause::wanted("a length of 0 or more", &args.operand(3)?).into());
        }
        if !finish.has_allowance() && !length.is_zero() {
            let want = format!("an allowance of 0 for an edge on the {word}");
            return Err(Cause::wanted(&*want, &args.operand(3)?).into());
        }
        allowance = length.number;
    }
    for name in names {
        let edges = match &*name {
            "all" => 0..outline.edges.len(),
            name => match outline.find(name) {
                Ok(at) => at..at.saturating_add(1),
                Err(wrong) => return Ok(Err(wrong)),
            },
        };
        edges.for_each(|at| outline.finish(at, finish, &allowance));
        if &*name == "all" {
            for edge in outline.holes.iter_mut().flatten() {
                edge.finish = finish;
                edge.allowance = allowance.clone();
            }
        }
    }
    Ok(Ok(outline))
}

fn notched(args: &Arguments<'_>) -> Result<Result<Outline, Wrong>, Halt> {
    let mut outline = Outline::clone(&*args.shape(0)?);
    let at = args.length(2)?;
    let notch = outline.find(args.text(1, EDGE)?).and_then(|edge| {
        outline.on_edge(edge, &at.number)?;
        Ok(Notch { edge, at: at.number.clone() })
    });
    Ok(notch.map(|notch| {
        outline.notches.push(notch);
        outline
    }))
}

fn grained(args: &Arguments<'_>) -> Result<Result<Outline, Wrong>, Halt> {
    let mut outline = Outline::clone(&*args.shape(0)?);
    let angle = &args.angle(1)?.number;
    let turned = || -> Result<Point, Wrong> {
        let down = Point::new(Number::whole(0), Number::whole(1));
        down.turned((&angle.sin_deg()?, &angle.cos_deg()?))
    };
    Ok(turned().map(|way| {
        outline.grain = Some(way);
        outline
    }))
}

/// A part of a shape; nothing where it has none of this name.
pub(crate) fn part(outline: &Rc<Outline>, name: &str) -> Result<Option<Value>, Wrong> {
    let length = |number: Number| Quantity { number, dim: Dim::LENGTH, reading: outline.reading };
    let size = |place: Point| Value::size(length(place.across), length(place.along));
    Ok(Some(match name {
        "area" => {
            let reading = length(Number::whole(1)).mul(&length(Number::whole(1)))?.reading;
            Value::Measure(Quantity { number: outline.area()?, dim: Dim::AREA, reading })
        }
        "perimeter" => Value::Measure(length(outline.perimeter()?)),
        "across" => Value::Measure(length(outline.size()?.across)),
        "along" => Value::Measure(length(outline.size()?.along)),
        "size" => size(outline.size()?),
        "cut" => Value::Shape(Rc::new(outline.cut()?)),
        "corners" => list(outline.edges.iter().map(|edge| size(edge.from.clone())).collect()),
        "edges" => {
            let names: Rc<[Rc<str>]> = ["name", "length", "finish", "allowance"].map(Rc::from).into();
            let lengths = outline.lengths()?;
            let edge = |(at, (edge, long)): (usize, (&Edge, Number))| {
                let values = vec![
                    Value::Text(outline.edge_name(at).into()),
                    Value::Measure(length(long)),
                    Value::Text(edge.finish.name().into()),
                    Value::Measure(length(edge.allowance.clone())),
                ];
                let record = Record::new(names.clone(), values, ITEMS);
                record.map_or(Value::Unset, |record| Value::Record(Rc::new(record)))
            };
            list(outline.edges.iter().zip(lengths).enumerate().map(edge).collect())
        }
        _ => return Ok(None),
    }))
}

/// A list that is known to be short.
fn list(items: Vec<Value>) -> Value {
    List::new(items, ITEMS).map_or(Value::Unset, |list| Value::List(Rc::new(list)))
}
