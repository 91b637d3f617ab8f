//! What was written, as text: pages and workbooks read back by other libraries.

use std::io::Cursor;

use calamine::{Data, Reader, Xlsx};
use scant::report::Format;

/// The words of what was written in a format, blanks between them single.
pub fn words_of(bytes: &[u8], format: Format) -> String {
    let text = match format {
        Format::Pdf => pages(bytes).join("\n"),
        Format::Workbook => sheets(bytes)
            .into_iter()
            .flat_map(|(_, rows)| rows)
            .map(|row| row.iter().map(Data::to_string).collect::<Vec<_>>().join(" "))
            .collect::<Vec<_>>()
            .join("\n"),
        _ => String::from_utf8(bytes.to_vec()).unwrap(),
    };
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// The text of each page.
pub fn pages(bytes: &[u8]) -> Vec<String> {
    let pdf = lopdf::Document::load_mem(bytes).unwrap();
    pdf.get_pages().keys().map(|page| pdf.extract_text(&[*page]).unwrap()).collect()
}

/// The name and the cells of each sheet.
pub fn sheets(bytes: &[u8]) -> Vec<(String, Vec<Vec<Data>>)> {
    let mut book: Xlsx<_> = calamine::open_workbook_from_rs(Cursor::new(bytes)).unwrap();
    let names = book.sheet_names();
    let cells = |name: String| {
        let range = book.worksheet_range(&name).unwrap();
        (name, range.rows().map(<[Data]>::to_vec).collect())
    };
    names.into_iter().map(cells).collect()
}
