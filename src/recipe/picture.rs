//! What a `draw` line draws: a value as the parts of a picture.

use std::rc::Rc;

use crate::docket::{Figure, Fill, Line, Part};
use crate::eval::as_shape;
use crate::eval::machine::Halt;
use crate::measure::{Dim, Manner, Number, Quantity, Reading};
use crate::shape::{Outline, Point, Run, Wrong};
use crate::value::{At, Cause, Operand, Record, Value};

type Made<T> = Result<T, Halt>;

/// The lengths of edges without a name are told where there are no more edges than this.
const FEW: usize = 12;

const DRAWABLE: &str = "a shape, a size, a list of marks, or a list of the parts of a drawing";

/// The parts of the picture of a value.
pub(crate) fn parts(of: &Operand<'_>, manner: &Manner) -> Made<Vec<Part>> {
    let mut drawing = Drawing { of, manner, parts: Vec::new() };
    drawing.value(of.value)?;
    if drawing.parts.is_empty() {
        return Err(Cause::wanted(DRAWABLE, of).into());
    }
    Ok(drawing.parts)
}

struct Drawing<'a> {
    of: &'a Operand<'a>,
    manner: &'a Manner,
    parts: Vec<Part>,
}

impl Drawing<'_> {
    fn wanted(&self, what: &str, found: &Value) -> Halt {
        Cause::wanted(what, &Operand::new(found, self.of.span)).into()
    }

    fn wrong(&self, wrong: Wrong) -> Halt {
        Cause::At(At::Shape(wrong), self.of.span).into()
    }

    fn value(&mut self, value: &Value) -> Made<()> {
        if let Some(outline) = as_shape(value) {
            let outline = outline.map_err(|wrong| self.wrong(wrong))?;
            return self.shape(&outline);
        }
        match value {
            Value::List(list) => {
                if list.items.iter().all(is_length) {
                    let at: Vec<&Value> = list.items.iter().collect();
                    return self.marks(&[("", at)]);
                }
                match columns(&list.items) {
                    Some(columns) => self.marks(&columns),
                    None => list.items.iter().try_for_each(|item| self.part(item)),
                }
            }
            Value::Record(record) => match record.part("outline") {
                Some(outline) => self.value(outline),
                None => self.part(value),
            },
            other => Err(self.wanted(DRAWABLE, other)),
        }
    }

    /// A part of a drawing as a rule of the library writes it.
    fn part(&mut self, value: &Value) -> Made<()> {
        let Value::Record(record) = value else { return self.value(value) };
        let label = self.text(record, "name")?;
        if let Some(shape) = record.part("shape") {
            let outline = as_shape(shape).ok_or_else(|| self.wanted("a shape", shape))?;
            let outline = outline.map_err(|wrong| self.wrong(wrong))?;
            let at = self.place(record, "at")?.unwrap_or_else(Point::origin);
            let (line, fill) = (self.line(record, Line::Cut)?, self.fill(record)?);
            let outline = Box::new(Outline::clone(&outline));
            self.parts.push(Part::Shape { at, outline, label, line, fill });
            return Ok(());
        }
        if let Some(at) = self.place(record, "spot")? {
            self.parts.push(Part::Spot { at, label });
            return Ok(());
        }
        if let Some(at) = record.part("scale") {
            return self.scale(at, record);
        }
        if let Some(words) = self.text(record, "words")? {
            let at = self.place(record, "at")?.unwrap_or_else(Point::origin);
            self.parts.push(Part::Words { at, words });
            return Ok(());
        }
        let ends = self.place(record, "from")?.zip(self.place(record, "to")?);
        let Some(ends) = ends else { return Err(self.wanted(DRAWABLE, value)) };
        if let Some(distance) = record.part("distance") {
            let reads = self.figure(distance);
            self.parts.push(Part::Distance { ends, reads });
        } else if record.part("grain").is_some() {
            self.parts.push(Part::Grain { ends });
        } else {
            self.parts.push(Part::Straight { ends, line: self.line(record, Line::Mark)?, label });
        }
        Ok(())
    }

    fn scale(&mut self, at: &Value, record: &Record) -> Made<()> {
        let Value::List(list) = at else { return Err(self.wanted("a list of lengths", at)) };
        let names = match record.part("names") {
            Some(Value::List(names)) => names.items.iter().map(text).collect(),
            _ => Vec::new(),
        };
        let marks = list.items.iter().enumerate().map(|(at, length)| {
            if !is_length(length) {
                return Err(self.wanted("a length", length));
            }
            Ok((self.figure(length), names.get(at).cloned().flatten()))
        });
        let at = marks.collect::<Made<Vec<_>>>()?;
        let down = matches!(record.part("down"), Some(Value::YesNo(true)));
        let from = self.place(record, "from")?.unwrap_or_else(Point::origin);
        self.parts.push(Part::Scale { from, down, at });
        Ok(())
    }

    fn figure(&self, value: &Value) -> Figure {
        Figure { value: value.to_figure(), manner: *self.manner }
    }

    fn text(&self, record: &Record, name: &str) -> Made<Option<Rc<str>>> {
        match record.part(name) {
            None => Ok(None),
            Some(value) => text(value).map(Some).ok_or_else(|| self.wanted("text", value)),
        }
    }

    fn place(&self, record: &Record, name: &str) -> Made<Option<Point>> {
        match record.part(name) {
            None => Ok(None),
            Some(Value::Size(size)) => Ok(Some(Point::new(size.0.number.clone(), size.1.number.clone()))),
            Some(other) => Err(self.wanted("a place such as `3 in by 5 in`", other)),
        }
    }

    fn line(&self, record: &Record, usual: Line) -> Made<Line> {
        match self.text(record, "line")?.as_deref() {
            None => Ok(usual),
            Some("cut") => Ok(Line::Cut),
            Some("seam") => Ok(Line::Seam),
            Some("fold") => Ok(Line::Fold),
            Some("mark") => Ok(Line::Mark),
            Some("hidden") => Ok(Line::Hidden),
            Some(_) => {
                let found = record.part("line").unwrap_or(&Value::Unset);
                Err(self
                    .wanted("a kind of line, \"cut\", \"seam\", \"fold\", \"mark\" or \"hidden\",", found))
            }
        }
    }

    fn fill(&self, record: &Record) -> Made<Fill> {
        match self.text(record, "fill")?.as_deref() {
            None | Some("white") => Ok(Fill::White),
            Some("none") => Ok(Fill::None),
            Some("hatched") => Ok(Fill::Hatched),
            Some("dotted") => Ok(Fill::Dotted),
            Some(_) => {
                let found = record.part("fill").unwrap_or(&Value::Unset);
                Err(self.wanted("a fill: \"none\", \"white\", \"hatched\" or \"dotted\"", found))
            }
        }
    }

    /// Marks beside each other on a band, measured from its left edge; each column has its kind of line.
    fn marks(&mut self, columns: &[(&str, Vec<&Value>)]) -> Made<()> {
        let numbers = columns.iter().flat_map(|(_, at)| at).filter_map(|value| number(value));
        let far = numbers
            .max_by(|a, b| a.mid().cmp(&b.mid()))
            .ok_or_else(|| self.wanted(DRAWABLE, self.of.value))?;
        let deep = far.div(&Number::whole(6)).map_err(|trouble| self.wrong(trouble.into()))?;
        let at = |across: &Number, along: &Number| Point::new(across.clone(), along.clone());
        let none = Number::whole(0);
        let straight =
            |from: Point, to: Point, line: Line| Part::Straight { ends: (from, to), line, label: None };
        self.parts.push(straight(at(&none, &none), at(&none, &deep), Line::Cut));
        self.parts.push(straight(at(&none, &none), at(far, &none), Line::Cut));
        self.parts.push(straight(at(&none, &deep), at(far, &deep), Line::Cut));
        for (name, marks) in columns {
            let line = match *name {
                "fold" | "fold_to" => Line::Fold,
                name if name.starts_with("stitch") || name.starts_with("seam") => Line::Seam,
                _ => Line::Mark,
            };
            for across in marks.iter().filter_map(|value| number(value)) {
                self.parts.push(straight(at(across, &none), at(across, &deep), line));
            }
        }
        for (name, marks) in columns {
            let words = (columns.len() > 1).then(|| Rc::from(name.replace('_', " ")));
            let at = marks.iter().map(|value| (self.figure(value), words.clone())).collect();
            self.parts.push(Part::Scale { from: Point::origin(), down: false, at });
        }
        Ok(())
    }

    /// A shape: its cut line, its seam line where that is another, its sizes, folds, notches and grain.
    fn shape(&mut self, outline: &Outline) -> Made<()> {
        let made = self.shape_parts(outline);
        self.parts.extend(made.map_err(|wrong| self.wrong(wrong))?);
        Ok(())
    }

    fn shape_parts(&self, outline: &Outline) -> Result<Vec<Part>, Wrong> {
        let mut parts = Vec::new();
        let cut = outline.cut()?;
        let drawn = |outline: &Outline, line: Line, fill: Fill| Part::Shape {
            at: Point::origin(),
            outline: Box::new(outline.clone()),
            label: None,
            line,
            fill,
        };
        parts.push(drawn(&cut, Line::Cut, Fill::White));
        if outline.has_allowance() {
            parts.push(drawn(outline, Line::Seam, Fill::None));
        }
        for (from, to) in &outline.folds {
            parts.push(Part::Straight { ends: (from.clone(), to.clone()), line: Line::Fold, label: None });
        }
        let (least, most) = cut.bounds()?;
        let size = most.minus(&least)?;
        for notch in &cut.notches {
            parts.push(notch_mark(&cut, notch.edge, &notch.at, &size)?);
        }
        if let Some(way) = &outline.grain {
            let middle = least.plus(&size.times(&quarter(2)?)?)?;
            let half = way.unit()?.times(&size.along.mul(&quarter(1)?)?)?;
            parts.push(Part::Grain { ends: (middle.minus(&half)?, middle.plus(&half)?) });
        }
        let reads = |number: Number| self.length(number, outline.reading);
        let corner = |across: &Number, along: &Number| Point::new(across.clone(), along.clone());
        let ends = (corner(&least.across, &most.along), most.clone());
        parts.push(Part::Distance { ends, reads: reads(size.across.clone()) });
        let ends = (corner(&most.across, &least.along), most.clone());
        parts.push(Part::Distance { ends, reads: reads(size.along.clone()) });
        self.edge_words(&cut, &mut parts)?;
        Ok(parts)
    }

    /// The lengths of edges that run neither across nor along, one of each length, and the names of edges.
    fn edge_words(&self, cut: &Outline, parts: &mut Vec<Part>) -> Result<(), Wrong> {
        let lengths = cut.lengths()?;
        let next = cut.edges.iter().cycle().skip(1);
        let mut told: Vec<String> = Vec::new();
        for ((edge, to), length) in cut.edges.iter().zip(next).zip(lengths) {
            let way = to.from.minus(&edge.from)?;
            let zero = |number: &Number| number.lower().signum() <= 0 && number.upper().signum() >= 0;
            let level = matches!(edge.run, Run::Straight) && (zero(&way.across) || zero(&way.along));
            let reads = crate::docket::figure_text(&self.length(length.clone(), cut.reading));
            let words = match (&edge.name, level || told.contains(&reads)) {
                (Some(name), true) => name.to_string(),
                (Some(name), false) => format!("{name}, {reads}"),
                // A curve from many edges has no length at each of them.
                (None, _) if level || told.contains(&reads) || cut.edges.len() > FEW => continue,
                (None, _) => reads.clone(),
            };
            told.push(reads);
            let at = cut.edges.iter().position(|other| std::ptr::eq(other, edge)).unwrap_or(0);
            let at = cut.on_edge(at, &length.div(&Number::whole(2))?)?;
            parts.push(Part::Words { at, words: words.into() });
        }
        Ok(())
    }

    fn length(&self, number: Number, reading: Reading) -> Figure {
        let value = Value::Measure(Quantity { number, dim: Dim::LENGTH, reading });
        self.figure(&value)
    }
}

fn quarter(parts: i64) -> Result<Number, Wrong> {
    Ok(Number::whole(parts).div(&Number::whole(4))?)
}

/// A short line from the edge into the cloth.
fn notch_mark(cut: &Outline, edge: usize, at: &Number, size: &Point) -> Result<Part, Wrong> {
    let place = cut.on_edge(edge, at)?;
    let middle = cut.bounds()?.0.plus(&size.times(&quarter(2)?)?)?;
    let inward = middle.minus(&place)?;
    let long = size.length()?.div(&Number::whole(30))?;
    let to = place.plus(&inward.unit()?.times(&long)?)?;
    Ok(Part::Straight { ends: (place, to), line: Line::Cut, label: Some("notch".into()) })
}

fn text(value: &Value) -> Option<Rc<str>> {
    if let Value::Text(text) = value { Some(text.clone()) } else { None }
}

fn is_length(value: &Value) -> bool {
    value.dim() == Some(Dim::LENGTH)
}

fn number(value: &Value) -> Option<&Number> {
    match value {
        Value::Measure(quantity) if quantity.dim == Dim::LENGTH => Some(&quantity.number),
        Value::Slack(slack) if slack.dim() == Dim::LENGTH => Some(&slack.middle.number),
        _ => None,
    }
}

/// The columns of lengths of a list of records that have the same parts; nothing for any other list.
fn columns(items: &[Value]) -> Option<Vec<(&str, Vec<&Value>)>> {
    let Some(Value::Record(first)) = items.first() else { return None };
    let mut columns: Vec<(&str, Vec<&Value>)> = first
        .parts()
        .filter(|(_, value)| is_length(value))
        .map(|(name, _)| (&**name, Vec::with_capacity(items.len())))
        .collect();
    for item in items {
        let Value::Record(record) = item else { return None };
        if record.names != first.names {
            return None;
        }
        for (name, column) in &mut columns {
            column.push(record.part(name).filter(|value| is_length(value))?);
        }
    }
    let written = ["shape", "spot", "scale", "words", "from"];
    let is_drawing = written.iter().any(|name| first.part(name).is_some());
    (!columns.is_empty() && !is_drawing).then_some(columns)
}
