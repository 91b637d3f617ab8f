//! Columns on sheets of a workbook.

use rust_xlsxwriter::{Format, FormatAlign, Formula, Workbook, Worksheet, XlsxError};

use super::cells::{Cell, Columns};
use crate::drawing::Paper;
use crate::report::quota::Quota;
use crate::text::harmless;

/// The most letters that a cell, and the name of a sheet, may have.
const CELL: usize = 32_000;
const NAME: usize = 31;
/// The most letters of a title in a foot line, which holds 255 signs.
const TITLE: usize = 100;
/// The most rows that a sheet may have.
const ROWS: usize = 1_048_576;
/// A column is as wide as its words, up to so many letters; then they are wrapped.
const WIDEST: usize = 60;
/// A heading of more letters is wrapped where the column needs no more.
const HEADING: usize = 14;
/// The height of a line of words, and the highest row, in points.
const LINE: f64 = 15.0;
const HIGHEST: f64 = 409.0;
/// Columns of so many letters together are printed side by side, made smaller where needed; more go on other pages.
const ABREAST: usize = 180;
/// What a cell takes in memory, in bytes: measured over tables of a hundred thousand rows.
const A_CELL: usize = 350;
/// A sheet whose columns are wider than a screen keeps its first one in sight, if that has no more than so many letters.
const SCREEN: usize = 140;
const NAMES: usize = 40;

/// The sheets of a workbook, one added after the other.
pub(super) struct Sheets<'a> {
    book: &'a mut Workbook,
    paper: Paper,
    title: String,
    quota: &'a Quota,
    names: Vec<String>,
    head: Format,
    plain: Format,
}

impl<'a> Sheets<'a> {
    pub fn new(book: &'a mut Workbook, title: &str, (paper, quota): (Paper, &'a Quota)) -> Sheets<'a> {
        let plain = Format::new().set_align(FormatAlign::Top).set_text_wrap();
        let head = plain.clone().set_bold().set_align(FormatAlign::Left).set_indent(1);
        Sheets { book, paper, title: title.to_owned(), quota, names: Vec::new(), head, plain }
    }

    /// A sheet with these columns; none where they have no rows.
    pub fn add(&mut self, name: &str, columns: &Columns) -> Result<(), XlsxError> {
        if columns.rows.is_empty() {
            return Ok(());
        }
        if columns.rows.len() >= ROWS {
            return Err(XlsxError::RowColumnLimitError);
        }
        let cells = columns.rows.iter().map(Vec::len).sum::<usize>();
        self.quota.take(cells.saturating_mul(A_CELL))?;
        let columns = columns.in_numbers();
        let name = self.name(name);
        let (head, plain) = (self.head.clone(), self.plain.clone());
        let (foot, paper) = (foot(&self.title), number(self.paper));
        let sheet = self.book.add_worksheet();
        sheet.set_name(&name)?.set_paper_size(paper).set_landscape();
        sheet.set_footer(foot);
        // The cost of what has no price yet is nothing, not 0.
        sheet.set_formula_result_default("");
        sheet.set_repeat_rows(0, 0)?;
        for (at, heading) in (0u16..).zip(&columns.headings) {
            sheet.write_string_with_format(0, at, shortened(&harmless(heading), CELL), &head)?;
        }
        for (row, cells) in (1u32..).zip(&columns.rows) {
            for (at, cell) in (0u16..).zip(cells) {
                put(sheet, (row, at), cell, &plain)?;
            }
        }
        let widths: Vec<usize> = (0..columns.headings.len()).map(|at| width(&columns, at)).collect();
        for (at, width) in (0u16..).zip(&widths) {
            sheet.set_column_width(at, width.saturating_add(3) as f64)?;
        }
        // Programs do not all make a row as high as its words by themselves.
        let headings: Vec<Cell> = columns.headings.iter().cloned().map(Cell::Text).collect();
        for (row, cells) in (0u32..).zip(std::iter::once(&headings).chain(&columns.rows)) {
            let lines = cells.iter().zip(&widths).map(|(cell, width)| lines(cell, *width)).max();
            if let Some(lines) = lines.filter(|lines| *lines > 1) {
                sheet.set_row_height(row, (lines as f64 * LINE).min(HIGHEST))?;
            }
        }
        let first = widths.first().copied().unwrap_or(0);
        let whole = widths.iter().map(|width| width.saturating_add(3)).sum::<usize>();
        // What scrolls sideways keeps the names of its rows in sight.
        let named = whole > SCREEN && first <= NAMES;
        sheet.set_freeze_panes(1, named.into())?;
        if whole <= ABREAST || !named {
            sheet.set_print_fit_to_pages(1, 0);
        } else {
            // Each page has the names of the rows, and no more columns than can be read.
            sheet.set_repeat_columns(0, 0)?;
            sheet.set_print_fit_to_pages(abreast(whole, first), 0);
        }
        Ok(())
    }

    /// A name that no sheet has yet, without the signs that names of sheets may not have.
    fn name(&mut self, wanted: &str) -> String {
        let fit = |c: char| if "[]:*?/\\'".contains(c) { ' ' } else { c };
        let plain: String = harmless(wanted).chars().map(fit).collect();
        let plain = plain.trim();
        let plain = if plain.is_empty() { "Sheet" } else { plain };
        let taken = |name: &str| self.names.iter().any(|known| known.to_lowercase() == name.to_lowercase());
        let mut name = shortened(plain, NAME);
        let mut next = 2_u64;
        while taken(&name) {
            let end = format!(" {next}");
            name = format!("{}{end}", shortened(plain, NAME.saturating_sub(end.len())));
            next = next.saturating_add(1);
        }
        self.names.push(name.clone());
        name
    }
}

/// The size of paper in the numbering of workbooks.
fn number(paper: Paper) -> u8 {
    match paper {
        Paper::Letter => 1,
        Paper::A4 => 9,
    }
}

/// On how many pages side by side columns of so many letters are printed, the first of them on each.
fn abreast(whole: usize, first: usize) -> u16 {
    let first = first.saturating_add(3);
    let pages = whole.saturating_sub(first).div_ceil(ABREAST.saturating_sub(first).max(1));
    u16::try_from(pages).unwrap_or(u16::MAX)
}

/// The foot line of a page: the title, and its number. A `&` begins a command there.
fn foot(title: &str) -> String {
    format!("&C{}&R&P / &N", shortened(&harmless(title), TITLE).replace('&', "&&"))
}

/// How a number of many places is shown; the cell holds all of them.
const SHOWN: &str = "0.000";
const PRICE: &str = "0.00##";

/// Whether a number has more places than anyone measures.
fn is_long(number: f64) -> bool {
    let thousandths = number * 1000.0;
    (thousandths - thousandths.round()).abs() > 1e-6
}

fn put(sheet: &mut Worksheet, (row, at): (u32, u16), cell: &Cell, plain: &Format) -> Result<(), XlsxError> {
    match cell {
        Cell::Empty => {}
        Cell::Text(words) | Cell::Measure(_, words) => {
            // A little apart from a number before it.
            let apart = plain.clone().set_align(FormatAlign::Left).set_indent(1);
            sheet.write_string_with_format(row, at, shortened(words, CELL), &apart)?;
        }
        Cell::Number(number) if is_long(*number) => {
            sheet.write_number_with_format(row, at, *number, &plain.clone().set_num_format(SHOWN))?;
        }
        Cell::Number(number) => {
            sheet.write_number_with_format(row, at, *number, plain)?;
        }
        Cell::Price(price) => {
            sheet.write_number_with_format(row, at, *price, &plain.clone().set_num_format(PRICE))?;
        }
        Cell::Formula { sum, value, places } => {
            let money = match *places {
                None => plain.clone().set_num_format(PRICE),
                Some(0) => plain.clone().set_num_format("0"),
                Some(places) => plain.clone().set_num_format(format!("0.{}", "0".repeat(places))),
            };
            let formula = Formula::new(sum).set_result(value);
            sheet.write_formula_with_format(row, at, formula, &money)?;
        }
    }
    Ok(())
}

/// How many letters wide a column is.
fn width(columns: &Columns, at: usize) -> usize {
    let words = columns.headings.get(at).into_iter().flat_map(|heading| heading.split(' '));
    let longest = words.map(|word| word.chars().count()).max().unwrap_or(0);
    let heading = columns.headings.get(at).map_or(0, |heading| heading.chars().count());
    let cells = columns.rows.iter().filter_map(|row| row.get(at)).map(length);
    cells.fold(heading.min(HEADING).max(longest), usize::max).min(WIDEST)
}

/// How many lines a cell takes in a column of so many letters: a word goes whole to the next line.
fn lines(cell: &Cell, width: usize) -> usize {
    let (Cell::Text(words) | Cell::Measure(_, words)) = cell else { return 1 };
    let width = width.max(1);
    let mut lines = 1_usize;
    let mut filled = 0_usize;
    for word in words.split(' ') {
        let long = word.chars().count();
        let with_blank = filled.saturating_add(long).saturating_add(usize::from(filled > 0));
        if with_blank <= width {
            filled = with_blank;
            continue;
        }
        lines = lines
            .saturating_add(usize::from(filled > 0))
            .saturating_add(long.saturating_sub(1).checked_div(width).unwrap_or(0));
        filled = long.checked_rem(width).filter(|rest| *rest > 0).unwrap_or(width.min(long));
    }
    lines
}

/// How many letters a cell shows.
fn length(cell: &Cell) -> usize {
    match cell {
        Cell::Empty => 0,
        Cell::Text(words) | Cell::Measure(_, words) => words.chars().count(),
        Cell::Number(number) if is_long(*number) => format!("{number:.3}").len(),
        Cell::Number(number) | Cell::Price(number) => number.to_string().len(),
        Cell::Formula { value, .. } => value.len(),
    }
}

/// So many letters at most, as workbooks count them; `…` tells that there are more.
fn shortened(words: &str, most: usize) -> String {
    let units = |c: char| c.len_utf16();
    if words.chars().map(units).sum::<usize>() <= most {
        return words.to_owned();
    }
    let mut room = most.saturating_sub(1);
    let fits = |c: &char| {
        let enough = c.len_utf16() <= room;
        room = room.saturating_sub(c.len_utf16());
        enough
    };
    let mut short: String = words.chars().take_while(fits).collect();
    short.push('…');
    short
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_row_is_as_high_as_its_words() {
        let told = |words: &str, width| lines(&Cell::Text(words.into()), width);
        assert_eq!(
            (told("", 9), told("one two", 7), told("one two", 6), told("one two six", 7)),
            (1, 1, 2, 2)
        );
        assert_eq!((told("mmmmmmmmmm", 3), told("a mmmmm b", 5), told("abcde", 5)), (4, 3, 1));
        assert_eq!(lines(&Cell::Number(1e300), 3), 1);
    }

    #[test]
    fn a_title_gives_no_commands_in_a_foot_line() {
        assert_eq!(foot("tucks & \u{1b}[2J"), "&Ctucks && \\u{1b}[2J&R&P / &N");
        let long = foot(&"&".repeat(300));
        assert!(long.len() < 255 && long.ends_with("&…&R&P / &N"), "{long}");
    }
}
