//! Faults for programs: one JSON object a line.

use serde::Serialize;

use super::excerpt::labels;
use super::{Fault, Files, Label, Level};

use crate::text::HarmlessJson;

/// A place as programs read it; lines and columns count from one, columns in characters.
#[derive(Debug, Default, Serialize)]
struct Where<'a> {
    file: Option<&'a str>,
    line: Option<usize>,
    column: Option<usize>,
    end_line: Option<usize>,
    end_column: Option<usize>,
    label: &'a str,
}

/// A fault as programs read it.
#[derive(Debug, Serialize)]
struct Record<'a> {
    code: &'static str,
    level: &'static str,
    message: &'a str,
    #[serde(flatten)]
    place: Where<'a>,
    others: Vec<Where<'a>>,
    hints: &'a [String],
}

/// The faults as JSON, one object a line; a fault without a place has `null` for its file.
pub fn json(faults: &[Fault], files: &Files) -> String {
    let mut out = Vec::new();
    for fault in faults {
        let labels = labels(fault, files);
        let mut places = labels.iter().map(|label| place(label, files));
        let record = Record {
            code: fault.code.as_str(),
            level: match fault.level {
                Level::Advice => "advice",
                Level::Error => "error",
            },
            message: &fault.message,
            place: places.next().unwrap_or_default(),
            others: places.collect(),
            hints: &fault.hints,
        };
        // Texts, numbers and lists of them always have a JSON form, and nothing fails in memory.
        let format = HarmlessJson(serde_json::ser::CompactFormatter);
        let _ = record.serialize(&mut serde_json::Serializer::with_formatter(&mut out, format));
        out.push(b'\n');
    }
    String::from_utf8_lossy(&out).into_owned()
}

fn place<'a>(label: &'a Label, files: &'a Files) -> Where<'a> {
    let Some(file) = files.get(label.span.file) else {
        return Where { label: &label.text, ..Where::default() };
    };
    let start = file.place(label.span.start as usize);
    let end = file.place(label.span.end.max(label.span.start) as usize);
    Where {
        file: Some(file.name()),
        line: Some(start.line),
        column: Some(start.column),
        end_line: Some(end.line),
        end_column: Some(end.column),
        label: &label.text,
    }
}
