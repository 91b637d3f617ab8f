//! The docket to be read: 80 columns or as many as a terminal has, nothing to decode.

use std::io::{self, Write};

use anstyle::Style;

use super::between::between_marks;
use super::found::found_rows;
use super::laid::laid_out;
use super::screen::{CAUTION, STRONG, Screen, TROUBLE};
use super::working::write_working;
use super::wrap::{LABEL, column, hang, pad, pad_left, width, wrap};
use super::{figure_text, shown_text, slack_lines};
use crate::docket::{Buy, Check, ClothPlan, Docket, Figure, Found, Given, Picture, Shown};
use crate::drawing::picture::description::rows as picture_rows;
use crate::text::{clean, harmless};

/// Writes the docket to be read.
pub fn text(docket: &Docket, out: &mut dyn Write) -> io::Result<()> {
    text_on(docket, Screen::default(), out)
}

/// Writes the docket to be read on a screen. With colour all words from outside are harmless already, and must
/// not be made so again.
pub fn text_on(docket: &Docket, screen: Screen, out: &mut dyn Write) -> io::Result<()> {
    let columns = screen.prose();
    let mut page = Page { out, columns, screen, begun: false, numbered: 0 };
    page.head(docket)?;
    page.measured(docket)?;
    page.givens(&docket.givens)?;
    page.shows(&docket.shows)?;
    page.finds(&docket.finds)?;
    page.cut_list(&docket.cloths)?;
    page.shopping(docket)?;
    page.drawings(&docket.pictures)?;
    page.steps(docket)?;
    page.between(docket)?;
    page.checks(docket)?;
    match &docket.working {
        Some(working) if !working.roots.is_empty() => {
            page.heading("WHY")?;
            write_working(working, columns, page.out)
        }
        _ => Ok(()),
    }
}

/// The docket as it is being written.
pub(super) struct Page<'a> {
    out: &'a mut dyn Write,
    /// No line is longer.
    pub(super) columns: usize,
    screen: Screen,
    begun: bool,
    /// How many numbers the cuts have taken so far.
    pub(super) numbered: usize,
}

impl Page<'_> {
    pub(super) fn line(&mut self, text: &str) -> io::Result<()> {
        self.begun = true;
        if width(text) > self.columns {
            let words = text.trim_start();
            let indent = text.get(..text.len().saturating_sub(words.len())).unwrap_or("");
            let lines = hang(indent, words, self.columns);
            return lines.iter().try_for_each(|line| self.whole_line(line));
        }
        self.whole_line(text)
    }

    /// A line that fits.
    fn whole_line(&mut self, text: &str) -> io::Result<()> {
        match self.screen.colour {
            true => writeln!(self.out, "{}", harmless(text.trim_end())),
            false => writeln!(self.out, "{}", text.trim_end()),
        }
    }

    /// A line that stands out where there is colour.
    fn styled(&mut self, style: Style, text: &str) -> io::Result<()> {
        if !self.screen.colour {
            return self.line(text);
        }
        self.begun = true;
        writeln!(self.out, "{}", self.screen.ink(style, &harmless(text.trim_end())))
    }

    /// Words that stand out after something that does too.
    fn styled_hanging(&mut self, style: Style, lead: &str, words: &str) -> io::Result<()> {
        hang(lead, words, self.columns).iter().try_for_each(|line| self.styled(style, line))
    }

    /// Words after something that is on their first line only.
    pub(super) fn hanging(&mut self, lead: &str, words: &str) -> io::Result<()> {
        hang(lead, words, self.columns).iter().try_for_each(|line| self.line(line))
    }

    pub(super) fn heading(&mut self, words: &str) -> io::Result<()> {
        self.gap()?;
        self.styled(STRONG, words)
    }

    pub(super) fn gap(&mut self) -> io::Result<()> {
        if self.begun { self.line("") } else { Ok(()) }
    }

    /// Title, notes, and what must be seen before the first cut.
    fn head(&mut self, docket: &Docket) -> io::Result<()> {
        let title = docket.title();
        if !title.is_empty() {
            let lines = wrap(&title, self.columns);
            let rule = lines.iter().map(|line| width(line)).max().unwrap_or(0);
            lines.iter().try_for_each(|line| self.styled(STRONG, line))?;
            self.styled(STRONG, &"=".repeat(rule))?;
        }
        for note in &docket.notes {
            self.hanging("", note)?;
        }
        let failed: Vec<_> = docket.checks.iter().filter(|check| !check.passed).collect();
        if !docket.cautions.is_empty() || !failed.is_empty() {
            self.gap()?;
        }
        for check in failed {
            let (lead, words) = trouble_words(check);
            let mark = if check.open { "??" } else { "!!" };
            self.styled_hanging(TROUBLE, &format!("{mark} {lead}: "), &words)?;
        }
        docket.cautions.iter().try_for_each(|words| self.styled_hanging(CAUTION, "!! CAUTION: ", words))
    }

    fn givens(&mut self, givens: &[Given]) -> io::Result<()> {
        if givens.is_empty() {
            return Ok(());
        }
        self.heading("GIVEN")?;
        let values: Vec<String> = givens.iter().map(|given| figure_text(&given.value)).collect();
        let names = column(givens.iter().map(|given| &*given.name), 24);
        let measures = column(values.iter().map(String::as_str), 28);
        for (given, value) in givens.iter().zip(&values) {
            let mark = if given.set { "* " } else { "  " };
            let lead = format!("{mark}{}  ", pad(&given.name, names));
            match given.words.as_deref() {
                Some(words) if width(value) <= measures && width(&given.name) <= names => {
                    self.hanging(&format!("{lead}{}  ", pad(value, measures)), words)?;
                }
                words => {
                    self.labelled(&lead, value)?;
                    words
                        .map_or(Ok(()), |words| self.hanging(&" ".repeat(names.saturating_add(4)), words))?;
                }
            }
        }
        if givens.iter().any(|given| given.set) {
            self.line("  (* set for this docket)")?;
        }
        Ok(())
    }

    /// A lead and a value; where the lead is long the value is below it.
    pub(super) fn labelled(&mut self, lead: &str, value: &str) -> io::Result<()> {
        if width(lead) <= self.columns / 2 {
            return self.hanging(lead, value);
        }
        // A long label keeps its place, and what belongs to it is below.
        let words = lead.trim_start();
        let indent = lead.get(..lead.len().saturating_sub(words.len())).unwrap_or("  ");
        self.hanging(indent, words)?;
        self.hanging(&format!("{indent}    "), value)
    }

    /// What was looked for, and what was found.
    fn finds(&mut self, finds: &[Found]) -> io::Result<()> {
        if finds.is_empty() {
            return Ok(());
        }
        self.heading("FOUND")?;
        for found in finds {
            for (at, row) in found_rows(found).iter().enumerate() {
                self.hanging(if at == 0 { "  " } else { "      " }, row)?;
            }
        }
        Ok(())
    }

    fn shows(&mut self, shows: &[Shown]) -> io::Result<()> {
        if shows.is_empty() {
            return Ok(());
        }
        self.heading("WORKED OUT")?;
        let labels: Vec<String> = shows.iter().map(|shown| clean(&shown.label)).collect();
        let longest = column(labels.iter().map(String::as_str), LABEL);
        for (shown, label) in shows.iter().zip(&labels) {
            if !self.several(label, &shown.value)? {
                let value = shown_text(&shown.value.value, &shown.value.manner);
                self.labelled(&format!("  {}  ", pad(label, longest)), &value)?;
                for line in slack_lines(&shown.value) {
                    self.hanging(&" ".repeat(longest.saturating_add(6)), &line)?;
                }
            }
        }
        Ok(())
    }

    /// What is drawn, in words: the pictures themselves are in the other formats.
    fn drawings(&mut self, pictures: &[Picture]) -> io::Result<()> {
        if pictures.is_empty() {
            return Ok(());
        }
        self.heading("DRAWINGS")?;
        for picture in pictures {
            self.hanging("  ", &harmless(&picture.title))?;
            picture_rows(picture).iter().try_for_each(|row| self.hanging("    ", row))?;
        }
        self.line("  To see them: `--as svg`, `html` or `pdf`.")
    }

    /// A list as a table or item by item, a record part by part; `false` for what fits one line.
    fn several(&mut self, label: &str, figure: &Figure) -> io::Result<bool> {
        let room = self.columns.saturating_sub(4);
        let Some(lines) = laid_out(&figure.value, &figure.manner, room) else { return Ok(false) };
        self.hanging("  ", label)?;
        for line in &lines {
            if width(line) <= room { self.line(&format!("    {line}"))? } else { self.hanging("    ", line)? }
        }
        Ok(true)
    }

    fn shopping(&mut self, docket: &Docket) -> io::Result<()> {
        if docket.cloths.is_empty() && docket.buys.is_empty() {
            return Ok(());
        }
        self.heading("BUY")?;
        let lines = shopping_lines(docket);
        let labels = column(lines.iter().map(|line| line.label.as_str()), 26);
        let amounts = column(lines.iter().map(|line| line.amount.as_str()), 22);
        let totals: Vec<String> = docket.totals.iter().map(figure_text).collect();
        let costs =
            column(lines.iter().map(|line| line.cost.as_str()).chain(totals.iter().map(String::as_str)), 24);
        for line in &lines {
            let left =
                format!("  {}  {}  {}", pad(&line.label, labels), pad(&line.amount, amounts), line.price);
            self.bill_line(&left, &line.cost, costs)?;
            if !line.because.is_empty() {
                self.hanging(&" ".repeat(labels.saturating_add(4)), &line.because)?;
            }
        }
        for total in &totals {
            self.bill_line(
                &pad_left("total", self.columns.saturating_sub(costs).saturating_sub(2)),
                total,
                costs,
            )?;
        }
        Ok(())
    }

    /// Words on the left, money flush on the right; on a line of its own where there is no room.
    fn bill_line(&mut self, left: &str, cost: &str, costs: usize) -> io::Result<()> {
        let room = self.columns.saturating_sub(costs).saturating_sub(2);
        let cost = pad_left(cost, costs);
        if width(left) <= room {
            return self.line(&format!("{}  {cost}", pad(left, room)));
        }
        self.hanging("  ", left)?;
        if cost.trim().is_empty() { Ok(()) } else { self.line(&pad_left(&cost, self.columns)) }
    }

    fn steps(&mut self, docket: &Docket) -> io::Result<()> {
        if docket.steps.is_empty() {
            return Ok(());
        }
        self.heading("SEW")?;
        let digits = docket.steps.len().to_string().len();
        for (number, step) in (1u64..).zip(&docket.steps) {
            self.hanging(&format!("  {}. ", pad_left(&number.to_string(), digits)), step)?;
        }
        Ok(())
    }

    fn between(&mut self, docket: &Docket) -> io::Result<()> {
        let Some(told) = between_marks(docket) else { return Ok(()) };
        self.gap()?;
        self.hanging("", &told)
    }

    fn checks(&mut self, docket: &Docket) -> io::Result<()> {
        let Some(words) = checks_words(docket) else { return Ok(()) };
        self.gap()?;
        self.line(&words)
    }
}

/// How a check that does not hold is called, and what is wrong.
pub(super) fn trouble_words(check: &Check) -> (&'static str, String) {
    let detail = check.detail.as_deref().map_or(String::new(), |detail| format!("{detail}; "));
    let lead = if check.open { "NOT SURE" } else { "NOT RIGHT" };
    (lead, format!("{} ({detail}line {})", check.message, check.line))
}

/// How all checks turned out; nothing where there are none.
pub(super) fn checks_words(docket: &Docket) -> Option<String> {
    let all = docket.checks.len();
    let holding = docket.checks.iter().filter(|check| check.passed).count();
    match holding == all {
        true if all == 0 => None,
        true if all == 1 => Some("CHECKS ok: the one check is right.".into()),
        true if all == 2 => Some("CHECKS ok: both are right.".into()),
        true => Some(format!("CHECKS ok: all {all} are right.")),
        false => {
            let open = docket.checks.iter().filter(|check| check.open).count();
            let open_words = if open == 0 { String::new() } else { format!(", {open} not sure") };
            let head = if holding == all.saturating_sub(open) { "CHECKS not sure" } else { "CHECKS NOT ok" };
            Some(format!("{head}: {holding} of {all} right{open_words}; see the top."))
        }
    }
}

/// All lines of the bill.
pub(super) fn shopping_lines(docket: &Docket) -> Vec<Bought> {
    docket.cloths.iter().map(bought_cloth).chain(docket.buys.iter().map(bought)).collect()
}

/// A line of the bill.
pub(super) struct Bought {
    pub label: String,
    pub amount: String,
    pub price: String,
    pub cost: String,
    pub because: String,
}

fn bought_cloth(plan: &ClothPlan) -> Bought {
    let line = priced(&plan.cloth, &plan.buy, plan.price.as_ref(), plan.cost.as_ref());
    if plan.plan.length == 0 && !plan.hands.is_empty() {
        return Bought { amount: "none".into(), because: "what is in hand is enough".into(), ..line };
    }
    let length = figure_text(&plan.length);
    let because = match &plan.step {
        Some(step) => format!("for {length}, sold by {}", figure_text(step)),
        None if line.amount == length => String::new(),
        None => format!("for {length}"),
    };
    Bought { because, ..line }
}

fn bought(buy: &Buy) -> Bought {
    let (needed, amount) = (figure_text(&buy.needed), figure_text(&buy.buy));
    let because = if needed == amount { String::new() } else { format!("for {needed}") };
    let line = priced(&buy.label, &buy.buy, buy.price.as_ref(), buy.cost.as_ref());
    let Some(packs) = &buy.packs else { return Bought { because, ..line } };
    let count = packs.words(&figure_text(&packs.count));
    let each = if packs.priced { " a pack" } else { "" };
    let left = if packs.left.is_zero() { "none".into() } else { figure_text(&packs.left) };
    Bought {
        amount: format!("{count} of {}", figure_text(&packs.of)),
        price: format!("{}{each}", line.price),
        because: format!("for {needed}, {left} left over"),
        ..line
    }
}

fn priced(label: &str, amount: &Figure, price: Option<&Figure>, cost: Option<&Figure>) -> Bought {
    Bought {
        label: clean(label),
        amount: figure_text(amount),
        price: price.map_or(String::new(), |price| format!("at {}", figure_text(price))),
        cost: cost.map_or(String::new(), figure_text),
        because: String::new(),
    }
}
