//! Which results of a docket become columns, and which value of a row is in which.

use std::borrow::Cow;
use std::rc::Rc;

use crate::docket::{Buy, ClothPlan, Docket, Figure, FigureValue, Hand};
use crate::measure::{Dim, Manner, Quantity};
use crate::report::value_text;

/// A value and the manner in which it is read.
#[derive(Clone, Debug)]
pub(super) struct Cell<'d> {
    pub value: Cow<'d, FigureValue>,
    pub manner: Manner,
}

impl Cell<'_> {
    pub fn into_owned(self) -> Cell<'static> {
        Cell { value: Cow::Owned(self.value.into_owned()), manner: self.manner }
    }

    /// How many values it holds.
    pub fn weight(&self) -> usize {
        fn of(value: &FigureValue) -> usize {
            match value {
                FigureValue::List(items) => items.iter().map(of).sum::<usize>().saturating_add(1),
                FigureValue::Record(parts) => parts.iter().map(|(_, part)| of(part)).sum(),
                _ => 1,
            }
        }
        of(&self.value)
    }
}

/// What a column holds, wherever it is in the docket of a row.
#[derive(Clone, Copy, Debug)]
enum Key<N> {
    /// What a line shows, buys or is given.
    Line(usize),
    /// A part of what a line shows.
    Part(usize, N),
    /// What is bought of a cloth.
    Cloth(N),
    /// What all of it costs, in one currency.
    Total(Dim),
}

impl Key<Rc<str>> {
    fn is(&self, other: &Key<&str>) -> bool {
        match (self, other) {
            (Key::Line(a), Key::Line(b)) => a == b,
            (Key::Part(a, name), Key::Part(b, other)) => a == b && **name == **other,
            (Key::Cloth(name), Key::Cloth(other)) => **name == **other,
            (Key::Total(a), Key::Total(b)) => a == b,
            _ => false,
        }
    }
}

impl Key<&str> {
    fn owned(&self) -> Key<Rc<str>> {
        match *self {
            Key::Line(line) => Key::Line(line),
            Key::Part(line, name) => Key::Part(line, name.into()),
            Key::Cloth(name) => Key::Cloth(name.into()),
            Key::Total(dim) => Key::Total(dim),
        }
    }
}

/// A result of a row.
struct Entry<'d> {
    key: Key<&'d str>,
    /// Where it is in the text; totals come after all lines.
    line: usize,
    name: Name<'d>,
    cell: Cell<'d>,
}

/// What a result is called.
enum Name<'d> {
    Plain(&'d str),
    Part(&'d str, &'d str),
    Bought(&'d str),
    OfBought(&'d str, &'d str),
    Hand(&'d str, &'d Hand),
}

impl Name<'_> {
    fn text(&self) -> String {
        match self {
            Name::Plain(label) => (*label).to_owned(),
            Name::Part(label, part) => format!("{label}.{part}"),
            Name::Bought(label) => format!("buy {label}"),
            Name::OfBought(label, part) => format!("{label}, {part}"),
            Name::Hand(cloth, hand) => {
                let side = |side: &Figure| value_text(&side.value, &side.manner);
                format!("buy {cloth}, {} by {}", side(&hand.across), side(&hand.along))
            }
        }
    }
}

/// Hands out the results of a docket.
fn entries<'d>(docket: &'d Docket, with_givens: bool, mut out: impl FnMut(Entry<'d>)) {
    let mut whole = |key, line, name, figure: &'d Figure| {
        let cell = Cell { value: Cow::Borrowed(&figure.value), manner: figure.manner };
        out(Entry { key, line, name, cell });
    };
    for given in docket.givens.iter().filter(|_| with_givens) {
        whole(Key::Line(given.line), given.line, Name::Plain(&given.name), &given.value);
    }
    for buy in docket.buys.iter().filter(|buy| !of_hand(docket, buy)) {
        whole(Key::Line(buy.line), buy.line, Name::Bought(&buy.label), &buy.buy);
        let packs = buy
            .packs
            .iter()
            .flat_map(|packs| [("packs", &packs.count), ("needed", &buy.needed), ("left over", &packs.left)]);
        for (part, figure) in packs {
            whole(Key::Part(buy.line, part), buy.line, Name::OfBought(&buy.label, part), figure);
        }
    }
    for cloth in &docket.cloths {
        whole(Key::Cloth(&cloth.cloth), cloth.line, Name::Bought(&cloth.cloth), &cloth.buy);
    }
    for total in &docket.totals {
        let dim = total.value.as_measure().map_or(Dim::NONE, |sum| sum.dim);
        whole(Key::Total(dim), usize::MAX, Name::Plain("total"), total);
    }
    for shown in &docket.shows {
        let (line, manner) = (shown.line, shown.value.manner);
        let mut put = |key, name, value| {
            out(Entry { key, line, name, cell: Cell { value: Cow::Borrowed(value), manner } });
        };
        match &shown.value.value {
            FigureValue::Record(parts) => parts.iter().for_each(|(part, value)| {
                put(Key::Part(line, part), Name::Part(&shown.label, part), value);
            }),
            value => put(Key::Line(line), Name::Plain(&shown.label), value),
        }
    }
    for (cloth, hand) in paid(docket) {
        let used = Quantity::whole(i64::try_from(hand.used).unwrap_or(i64::MAX));
        let value = Cow::Owned(FigureValue::Measure(used));
        let cell = Cell { value, manner: hand.across.manner };
        let name = Name::Hand(&cloth.cloth, hand);
        out(Entry { key: Key::Line(hand.line), line: hand.line, name, cell });
    }
}

/// Cloth of a fixed size that is paid for, used or not.
fn paid(docket: &Docket) -> impl Iterator<Item = (&ClothPlan, &Hand)> {
    let hands = docket.cloths.iter().flat_map(|cloth| cloth.hands.iter().map(move |hand| (cloth, hand)));
    hands.filter(|(_, hand)| hand.paid)
}

/// Whether a line of the bill is for cloth of a fixed size.
fn of_hand(docket: &Docket, buy: &Buy) -> bool {
    paid(docket).any(|(_, hand)| hand.line == buy.line)
}

/// The columns of results, in the order in which rows bring them.
#[derive(Debug, Default)]
pub(super) struct Results {
    columns: Vec<Column>,
    with_givens: bool,
    /// Whether no more columns come in: they are in order of their places in the text then.
    settled: bool,
}

#[derive(Debug)]
struct Column {
    key: Key<Rc<str>>,
    line: usize,
    name: String,
}

impl Results {
    /// With the givens among them where the table does not hold them.
    pub fn new(with_givens: bool) -> Results {
        Results { with_givens, ..Results::default() }
    }

    /// The cells of a row; a result that has no column makes one, or is reported where the columns are settled.
    pub fn take<'d>(&mut self, docket: &'d Docket, lost: &mut dyn FnMut(String)) -> Vec<Option<Cell<'d>>> {
        let mut cells: Vec<Option<Cell<'d>>> = Vec::with_capacity(self.columns.len());
        // Nearly every result is in the column after that of the one before.
        let mut next = 0;
        let Results { columns, with_givens, settled } = self;
        entries(docket, *with_givens, |entry| {
            let near = columns.get(next).is_some_and(|column| column.key.is(&entry.key));
            let known =
                if near { Some(next) } else { columns.iter().position(|column| column.key.is(&entry.key)) };
            let at = match known {
                Some(at) => at,
                None if *settled => {
                    let value = value_text(&entry.cell.value, &entry.cell.manner);
                    return lost(format!("the table has no column `{}`: {value}", entry.name.text()));
                }
                None => {
                    let (key, line, name) = (entry.key.owned(), entry.line, entry.name.text());
                    let at = columns.len();
                    columns.push(Column { key, line, name });
                    at
                }
            };
            if !*settled
                && known.is_some()
                && let Some(column) = columns.get_mut(at)
            {
                column.name = shared(&column.name, &entry.name.text());
            }
            next = at.saturating_add(1);
            while cells.len() < next {
                cells.push(None);
            }
            if let Some(cell) = cells.get_mut(at) {
                *cell = Some(entry.cell);
            }
        });
        // A row that could not be made has none, rather than empty ones.
        if *settled && !cells.is_empty() {
            cells.resize(columns.len(), None);
        }
        cells
    }

    /// From here on no column comes in; they get their order, and so do the cells of the rows that came before. The
    /// names of the columns, in that order.
    pub fn settle<'r, 'd: 'r>(
        &mut self,
        rows: impl Iterator<Item = &'r mut Vec<Option<Cell<'d>>>>,
    ) -> Vec<String> {
        let mut order: Vec<usize> = (0..self.columns.len()).collect();
        order.sort_by_key(|at| self.columns.get(*at).map(|column| column.line));
        for cells in rows.filter(|cells| !cells.is_empty()) {
            *cells = order.iter().map(|at| cells.get_mut(*at).and_then(Option::take)).collect();
        }
        self.columns.sort_by_key(|column| column.line);
        self.settled = true;
        self.columns.iter().map(|column| column.name.clone()).collect()
    }
}

/// What two names of one column have in common: `zip … cm` of `zip 30 cm` and `zip 35 cm`. No word or number is cut.
fn shared(name: &str, other: &str) -> String {
    if name == other {
        return name.to_owned();
    }
    let (name, other): (Vec<char>, Vec<char>) = (name.chars().collect(), other.chars().collect());
    let begin = name.iter().zip(&other).take_while(|(a, b)| a == b).count();
    let shorter = name.len().min(other.len()).saturating_sub(begin);
    let end = name.iter().rev().zip(other.iter().rev()).take(shorter).take_while(|(a, b)| a == b).count();
    let is_apart = |count: &usize| !goes_on(&name, *count) && !goes_on(&other, *count);
    let begin = (0..=begin).rev().find(is_apart).unwrap_or(0);
    let last = |text: &[char], count: usize| text.len().saturating_sub(count);
    let is_apart =
        |count: &usize| !goes_on(&name, last(&name, *count)) && !goes_on(&other, last(&other, *count));
    let end = (0..=end).rev().find(is_apart).unwrap_or(0);
    let start: String = name.iter().take(begin).collect();
    let rest: String = name.iter().skip(last(&name, end)).collect();
    format!("{start}…{rest}")
}

/// Whether a word or a number, such as `7 1/2` or `35.4`, goes on at this place of a text.
fn goes_on(text: &[char], at: usize) -> bool {
    let here = text.get(at..).unwrap_or_default();
    let before = text.get(..at).unwrap_or_default();
    match (before, here) {
        ([.., digit, '.' | ',' | '/' | ' '], [next, ..]) if digit.is_ascii_digit() => next.is_ascii_digit(),
        ([.., digit], ['.' | ',' | '/' | ' ', next, ..]) if digit.is_ascii_digit() => next.is_ascii_digit(),
        ([.., last], [next, ..]) => last.is_alphanumeric() && next.is_alphanumeric(),
        _ => false,
    }
}

#[cfg(test)]
mod tests {
    use super::shared;

    #[test]
    fn names_of_one_column_share_what_they_have_in_common() {
        assert_eq!(shared("zip 30 cm", "zip 35 cm"), "zip … cm");
        assert_eq!(shared("zip … cm", "zip 45 cm"), "zip … cm");
        assert_eq!(shared("box 1.count", "box 12.count"), "box ….count");
        assert_eq!(shared("10 in", "20 in"), "… in");
        assert_eq!(shared("zip", "zip long"), "zip…");
        assert_eq!(shared("ä", "ö"), "…");
        assert_eq!(shared("board, 27.4 cm by 9.4 cm", "board, 35.4 cm by 11.4 cm"), "board, … cm");
        assert_eq!(shared("board, … cm", "board, 47.4 cm by 19.4 cm"), "board, … cm");
        assert_eq!(shared("tape, 10.5 mm", "tape, 10.8 mm"), "tape, … mm");
        assert_eq!(shared("tape, 1 1/2 in", "tape, 2 1/2 in"), "tape, … in");
        assert_eq!(shared("tape, 1 1/2 in", "tape, 1 1/4 in"), "tape, … in");
    }
}
