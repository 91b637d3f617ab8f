//! Columns on sheets of a workbook.

use rust_xlsxwriter::{Format, FormatAlign, Formula, Workbook, Worksheet, XlsxError};

use super::cells::{Cell, Columns};
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
/// A4 in the numbering of workbooks.
const A4: u8 = 9;

/// The sheets of a workbook, one added after the other.
pub(super) struct Sheets<'a> {
    book: &'a mut Workbook,
    title: String,
    names: Vec<String>,
    head: Format,
    plain: Format,
}

impl<'a> Sheets<'a> {
    pub fn new(book: &'a mut Workbook, title: &str) -> Sheets<'a> {
        let plain = Format::new().set_align(FormatAlign::Top).set_text_wrap();
        let head = plain.clone().set_bold();
        Sheets { book, title: title.to_owned(), names: Vec::new(), head, plain }
    }

    /// A sheet with these columns; none where they have no rows.
    pub fn add(&mut self, name: &str, columns: &Columns) -> Result<(), XlsxError> {
        if columns.rows.is_empty() {
            return Ok(());
        }
        if columns.rows.len() >= ROWS {
            return Err(XlsxError::RowColumnLimitError);
        }
        let columns = columns.in_numbers();
        let name = self.name(name);
        let (head, plain) = (self.head.clone(), self.plain.clone());
        let foot = foot(&self.title);
        let sheet = self.book.add_worksheet();
        sheet.set_name(&name)?.set_paper_size(A4).set_landscape();
        sheet.set_footer(foot).set_print_fit_to_pages(1, 0);
        sheet.set_freeze_panes(1, 0)?.set_repeat_rows(0, 0)?;
        for (at, heading) in (0u16..).zip(&columns.headings) {
            sheet.write_string_with_format(0, at, shortened(&harmless(heading), CELL), &head)?;
        }
        for (row, cells) in (1u32..).zip(&columns.rows) {
            for (at, cell) in (0u16..).zip(cells) {
                put(sheet, (row, at), cell, &plain)?;
            }
        }
        for (at, heading) in columns.headings.iter().enumerate() {
            let cells = columns.rows.iter().filter_map(|row| row.get(at)).map(length);
            let longest = cells.fold(heading.chars().count(), usize::max).min(WIDEST);
            sheet
                .set_column_width(u16::try_from(at).unwrap_or(u16::MAX), longest.saturating_add(2) as f64)?;
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

/// The foot line of a page: the title, and its number. A `&` begins a command there.
fn foot(title: &str) -> String {
    format!("&C{}&R&P / &N", shortened(&harmless(title), TITLE).replace('&', "&&"))
}

fn put(sheet: &mut Worksheet, (row, at): (u32, u16), cell: &Cell, plain: &Format) -> Result<(), XlsxError> {
    match cell {
        Cell::Empty => {}
        Cell::Text(words) | Cell::Measure(_, words) => {
            sheet.write_string_with_format(row, at, shortened(words, CELL), plain)?;
        }
        Cell::Number(number) => {
            sheet.write_number_with_format(row, at, *number, plain)?;
        }
        Cell::Formula { sum, value, places } => {
            let decimals = if *places == 0 { String::new() } else { format!(".{}", "0".repeat(*places)) };
            let money = plain.clone().set_num_format(format!("0{decimals}"));
            let formula = Formula::new(sum).set_result(value);
            sheet.write_formula_with_format(row, at, formula, &money)?;
        }
    }
    Ok(())
}

/// How many letters a cell shows.
fn length(cell: &Cell) -> usize {
    match cell {
        Cell::Empty => 0,
        Cell::Text(words) | Cell::Measure(_, words) => words.chars().count(),
        Cell::Number(number) => number.to_string().len(),
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
    fn a_title_gives_no_commands_in_a_foot_line() {
        assert_eq!(foot("tucks & \u{1b}[2J"), "&Ctucks && \\u{1b}[2J&R&P / &N");
        let long = foot(&"&".repeat(300));
        assert!(long.len() < 255 && long.ends_with("&…&R&P / &N"), "{long}");
    }
}
