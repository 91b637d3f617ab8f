//! JSON tables: an array of objects, or one object a line. Objects are read one at a time.
#![expect(clippy::arithmetic_side_effects, reason = "places in a text that lies in memory")]

use std::collections::HashMap;
use std::io::{self, BufRead, BufReader, Read};

use serde::de::IgnoredAny;

use super::rows::{NOT_TEXT, Row, Rows, bad_table, too_long, unreadable};
use crate::fault::Fault;
use crate::limits::ROW;

/// Keys and cells.
type Members = Vec<(String, String)>;

/// A JSON table being read.
pub(super) struct JsonRows<'a> {
    name: String,
    header: Vec<String>,
    places: HashMap<String, usize>,
    reader: BufReader<Box<dyn Read + 'a>>,
    array: bool,
    ended: bool,
    number: u64,
    object: Vec<u8>,
    /// The first object, read for its keys and given out as the first row.
    first: bool,
}

impl<'a> JsonRows<'a> {
    /// Reads the first object, whose keys are the columns.
    pub fn open(reader: Box<dyn Read + 'a>, name: &str) -> Result<JsonRows<'a>, Fault> {
        let mut rows = JsonRows {
            name: name.to_owned(),
            header: Vec::new(),
            places: HashMap::new(),
            reader: BufReader::with_capacity(64 * 1024, reader),
            array: false,
            ended: false,
            number: 0,
            object: Vec::new(),
            first: true,
        };
        rows.array = rows.peek()? == Some(b'[');
        if rows.array {
            rows.reader.consume(1);
        }
        if !rows.object()? {
            let fault = bad_table(name, "the table holds no rows");
            return Err(
                fault.hint("it is an array of objects, `[{\"size\": \"small\"}]`, or one object a line")
            );
        }
        let members = rows.members()?.map_err(|why| rows.broken(&format!("{why}: row")))?;
        for (key, _) in members {
            rows.places.insert(key.clone(), rows.header.len());
            rows.header.push(key);
        }
        Ok(rows)
    }

    /// The next byte that is no space.
    fn peek(&mut self) -> Result<Option<u8>, Fault> {
        loop {
            let buffer = self.reader.fill_buf().map_err(|error| unreadable(&self.name, &error))?;
            if buffer.is_empty() {
                return Ok(None);
            }
            let blank = |byte: &u8| byte.is_ascii_whitespace() || matches!(byte, 0xef | 0xbb | 0xbf);
            let spaces = buffer.iter().take_while(|byte| blank(byte)).count();
            let found = buffer.get(spaces).copied();
            self.reader.consume(spaces);
            if found.is_some() {
                return Ok(found);
            }
        }
    }

    /// Reads the next object's bytes; `false` at the end.
    fn object(&mut self) -> Result<bool, Fault> {
        self.object.clear();
        let mut next = self.peek()?;
        if self.array && self.number > 0 && next == Some(b',') {
            self.reader.consume(1);
            next = self.peek()?;
            if next == Some(b']') {
                return Err(self.broken("the row is missing after the `,` of row"));
            }
        } else if self.array && self.number > 0 && next != Some(b']') {
            return Err(self.broken("a `,` or the end of the array is missing after row"));
        }
        match next {
            None if !self.array => return Ok(false),
            None => return Err(self.broken("the array is not closed after row")),
            Some(b']') if self.array => {
                self.ended = true;
                self.reader.consume(1);
                return match self.peek()? {
                    None => Ok(false),
                    Some(_) => Err(self.broken("there is more text after the end of the array: row")),
                };
            }
            Some(b'{') => {}
            Some(_) if self.number == 0 => {
                let fault = bad_table(&self.name, "each row of a table must be in braces");
                return Err(fault.hint("write it as `[{\"size\": \"small\", \"depth\": \"1/8 in\"}]`"));
            }
            Some(_) => return Err(self.broken("write braces after row")),
        }
        self.number += 1;
        let taken = take_object(&mut self.reader, &mut self.object);
        match taken.map_err(|error| unreadable(&self.name, &error))? {
            Taken::Whole => Ok(true),
            Taken::NoEnd => Err(self.broken("the end is missing in row")),
            Taken::TooLong => Err(too_long(&self.name, self.number)),
        }
    }

    fn broken(&self, what: &str) -> Fault {
        bad_table(&self.name, format!("{what} {}", self.number))
    }

    /// The keys and cells of the object read last, in order; or why this row alone cannot be read.
    fn members(&self) -> Result<Result<Members, &'static str>, Fault> {
        let Ok(object) = std::str::from_utf8(&self.object) else { return Ok(Err(NOT_TEXT)) };
        match split(object) {
            Some(members) => Ok(Ok(members)),
            // A half of a pair is sound JSON and no text.
            None if serde_json::from_str::<IgnoredAny>(object).is_ok() => Ok(Err(HALF)),
            None => Err(self.broken("this is not JSON: row")),
        }
    }
}

impl Rows for JsonRows<'_> {
    fn header(&self) -> &[String] {
        &self.header
    }

    fn decimal_comma(&self) -> bool {
        false
    }

    fn next(&mut self, row: &mut Row) -> Result<bool, Fault> {
        if self.ended || (!std::mem::take(&mut self.first) && !self.object()?) {
            return Ok(false);
        }
        row.number = self.number;
        row.trouble = None;
        row.cells.clear();
        let members = match self.members()? {
            Ok(members) => members,
            Err(why) => {
                row.trouble = Some(why.into());
                return Ok(true);
            }
        };
        let mut cells = vec![None; self.header.len()];
        for (key, text) in members {
            match self.places.get(&key).and_then(|at| cells.get_mut(*at)) {
                Some(cell @ None) => *cell = Some(text),
                Some(_) => row.trouble = Some(format!("`{key}` is in it twice")),
                None => row.trouble = Some(format!("`{key}` is no key of the first row")),
            }
        }
        if let Some(at) = cells.iter().position(Option::is_none) {
            row.trouble = self.header.get(at).map(|key| format!("`{key}` is missing in it"));
        }
        cells.iter().for_each(|cell| row.cells.push_field(cell.as_deref().unwrap_or("")));
        Ok(true)
    }
}

/// What is said of a row with half a character in it.
const HALF: &str = "a text in it has half a character, such as `\\ud800`";

/// How the copy of an object ended.
enum Taken {
    Whole,
    NoEnd,
    /// It is longer than a row can be.
    TooLong,
}

/// Copies one object, braces and all.
fn take_object(reader: &mut dyn BufRead, out: &mut Vec<u8>) -> io::Result<Taken> {
    let (mut depth, mut quoted, mut escaped) = (0u32, false, false);
    loop {
        let buffer = reader.fill_buf()?;
        if buffer.is_empty() {
            return Ok(Taken::NoEnd);
        }
        let mut used = 0;
        let mut ended = false;
        for byte in buffer {
            used += 1;
            match byte {
                _ if escaped => escaped = false,
                b'\\' if quoted => escaped = true,
                b'"' => quoted = !quoted,
                b'{' if !quoted => depth += 1,
                b'}' if !quoted => depth = depth.saturating_sub(1),
                _ => {}
            }
            if depth == 0 && !quoted {
                ended = true;
                break;
            }
        }
        out.extend_from_slice(buffer.get(..used).unwrap_or(&[]));
        reader.consume(used);
        if out.len() as u64 > ROW {
            return Ok(Taken::TooLong);
        }
        if ended {
            return Ok(Taken::Whole);
        }
    }
}

/// The members of an object in the order of writing; `None` where it is no JSON.
fn split(object: &str) -> Option<Members> {
    let _: IgnoredAny = serde_json::from_str(object).ok()?;
    let mut members = Vec::new();
    let mut rest = object.trim_start().strip_prefix('{')?.trim_start();
    while !rest.starts_with('}') {
        let (key, behind) = value(rest.trim_start_matches(',').trim_start());
        let (cell, behind) = value(behind.trim_start().strip_prefix(':')?.trim_start());
        members.push((serde_json::from_str(key).ok()?, cell_text(cell)?));
        rest = behind.trim_start();
    }
    Some(members)
}

/// A value at the start of a JSON text that is known to be sound, and what comes after it.
fn value(text: &str) -> (&str, &str) {
    let (mut depth, mut quoted, mut escaped) = (0u32, false, false);
    for (at, byte) in text.bytes().enumerate() {
        let ends =
            !quoted && depth == 0 && matches!(byte, b',' | b':' | b'}' | b']' | b' ' | b'\t' | b'\n' | b'\r');
        if ends {
            return text.split_at(at);
        }
        match byte {
            _ if escaped => escaped = false,
            b'\\' if quoted => escaped = true,
            b'"' => quoted = !quoted,
            b'{' | b'[' if !quoted => depth += 1,
            b'}' | b']' if !quoted => depth = depth.saturating_sub(1),
            _ => {}
        }
    }
    (text, "")
}

/// A cell as text, `None` where that is none: a string's letters, a number's digits as written, `yes` and `no`.
fn cell_text(value: &str) -> Option<String> {
    Some(match value {
        "true" => "yes".into(),
        "false" => "no".into(),
        "null" => String::new(),
        text if text.starts_with('"') => serde_json::from_str(text).ok()?,
        text => text.to_owned(),
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn members_keep_their_order_and_their_digits() {
        let object = r#"{ "size":"a \"b\" é", "waist" : 71.10000000000000000001, "deep": [1, {"x": "}"}],"on":true,"off":null}"#;
        let members = split(object).unwrap();
        let cells: Vec<(&str, &str)> =
            members.iter().map(|(key, cell)| (key.as_str(), cell.as_str())).collect();
        let wanted = [
            ("size", "a \"b\" é"),
            ("waist", "71.10000000000000000001"),
            ("deep", r#"[1, {"x": "}"}]"#),
            ("on", "yes"),
            ("off", ""),
        ];
        assert_eq!(cells, wanted);
        assert_eq!(split("{}").unwrap(), []);
        assert_eq!(split("{\"a\": }"), None);
    }
}
