//! The plan of the house: which room may know which, and what stands in none of them.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)] // a test that fails panics

mod circles;
mod paths;

use std::fs;
use std::path::{Path, PathBuf};

/// A room and the rooms that it may name.
const ARROWS: &[(&str, &[&str])] = &[
    ("limits", &[]),
    ("text", &[]),
    ("fault", &["limits", "text"]),
    ("measure", &["limits"]),
    ("shape", &["limits", "measure"]),
    ("library", &[]),
    ("syntax", &["limits", "fault", "measure"]),
    ("layout", &["measure"]),
    ("docket", &["text", "measure", "shape", "layout"]),
    ("drawing", &["text", "measure", "shape", "layout", "docket"]),
    ("value", &["limits", "fault", "measure", "shape", "syntax", "docket"]),
    ("code", &["limits", "fault", "measure", "syntax", "library", "value"]),
    ("check", &["limits", "fault", "measure", "syntax", "library", "value", "code"]),
    ("eval", &["limits", "fault", "measure", "shape", "syntax", "layout", "docket", "value", "code"]),
    ("ask", &["fault", "measure", "syntax", "docket", "value", "code", "eval"]),
    (
        "recipe",
        &[
            "limits", "fault", "measure", "shape", "syntax", "layout", "docket", "value", "code", "check",
            "eval", "ask",
        ],
    ),
    (
        "help",
        &["fault", "docket", "measure", "syntax", "library", "value", "code", "check", "eval", "recipe"],
    ),
    ("session", &["fault", "library", "docket", "value", "code", "check", "eval", "recipe"]),
    (
        "report",
        &[
            "text", "fault", "docket", "drawing", "measure", "layout", "library", "value", "check", "eval",
            "help",
        ],
    ),
    ("grade", &["limits", "text", "fault", "measure", "docket", "value", "recipe", "report"]),
    ("prompt", &["limits", "text", "fault", "measure", "syntax", "recipe", "session", "help", "report"]),
    (
        "cli",
        &[
            "limits", "text", "fault", "docket", "drawing", "eval", "recipe", "session", "help", "report",
            "grade", "prompt",
        ],
    ),
];

/// Rooms that touch no file, clock, environment or terminal.
const CORE: &[&str] = &[
    "limits", "text", "fault", "measure", "shape", "syntax", "layout", "library", "docket", "drawing",
    "value", "code", "check", "eval", "ask", "help", "recipe", "session", "report",
];

/// What a core room has no business with.
const OUTSIDE: &[&str] = &[
    "std::fs",
    "std::env",
    "std::time",
    "std::net",
    "std::process",
    "std::thread",
    "io::stdin",
    "io::stdout",
    "io::stderr",
    "SystemTime",
    "Instant::now",
];

/// What no input may reach.
const ABRUPT: &[&str] = &[
    ".unwrap(",
    ".expect(",
    "panic!",
    "unimplemented!",
    "unreachable!",
    "todo!",
    "dbg!",
    "println!",
    "print!",
];

/// The longest file, in lines, and the longest function.
const LONGEST_FILE: usize = 600;
const LONGEST_FUNCTION: usize = 80;

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

/// All files below a folder, in order.
fn below(folder: &Path) -> Vec<PathBuf> {
    let mut found = Vec::new();
    let mut entries: Vec<PathBuf> =
        fs::read_dir(folder).into_iter().flatten().map(|entry| entry.unwrap().path()).collect();
    entries.sort();
    for path in entries {
        if path.is_dir() { found.extend(below(&path)) } else { found.push(path) }
    }
    found
}

/// A file of the program: its name from the root, and its code.
struct Source {
    name: String,
    room: String,
    /// How many folders below the room it stands; `mod.rs` of the room itself is 0.
    depth: usize,
    text: String,
    /// The text with comments, quoted words and tests blanked out, line breaks kept.
    code: String,
}

fn sources() -> Vec<Source> {
    let src = root().join("src");
    let rust = below(&src).into_iter().filter(|path| path.extension().is_some_and(|kind| kind == "rs"));
    // What speaks to cargo is no part of the program.
    let rust = rust.filter(|path| !path.ends_with("build.rs"));
    let sources: Vec<Source> = rust.map(|path| source(&src, &path)).collect();
    assert!(sources.len() > 40, "the files of the program are found");
    sources
}

fn source(src: &Path, path: &Path) -> Source {
    let name = path.strip_prefix(src).unwrap().to_string_lossy().into_owned();
    let text = fs::read_to_string(path).unwrap();
    let code = without_tests(&bare(&text));
    let parts: Vec<&str> = name.split('/').collect();
    let (room, depth) = match parts.as_slice() {
        [room, between @ .., last] => ((*room).to_owned(), between.len() + usize::from(*last != "mod.rs")),
        _ => (String::new(), 0),
    };
    Source { name: format!("src/{name}"), room, depth, text, code }
}

/// The code with comments and quoted words blanked out.
fn bare(text: &str) -> String {
    let bytes = text.as_bytes();
    let mut out = String::with_capacity(text.len());
    let mut at = 0;
    let at_is = |at: usize, what: &[u8]| bytes[at..].starts_with(what);
    while at < bytes.len() {
        let end = if at_is(at, b"//") {
            bytes[at..].iter().position(|byte| *byte == b'\n').map_or(bytes.len(), |n| at + n)
        } else if at_is(at, b"r#\"") || at_is(at, b"r\"") {
            let close: &[u8] = if at_is(at, b"r#\"") { b"\"#" } else { b"\"" };
            let from = at + 1 + close.len();
            (from..bytes.len()).find(|n| at_is(*n, close)).map_or(bytes.len(), |n| n + close.len())
        } else if bytes[at] == b'"' {
            let mut n = at + 1;
            while n < bytes.len() && bytes[n] != b'"' {
                n += if bytes[n] == b'\\' { 2 } else { 1 };
            }
            n + 1
        } else if bytes[at] == b'\'' {
            // A sign in single quotes, not the name of a lifetime.
            let after = text[at + 1..].chars().next().map_or(0, char::len_utf8);
            match bytes.get(at + 1) {
                Some(b'\\') => (at + 3..bytes.len()).find(|n| bytes[*n] == b'\'').map_or(at + 1, |n| n + 1),
                _ if bytes.get(at + 1 + after) == Some(&b'\'') => at + 2 + after,
                _ => at + 1,
            }
        } else {
            let step = text[at..].chars().next().map_or(1, char::len_utf8);
            out.push_str(&text[at..at + step]);
            at += step;
            continue;
        };
        let end = end.min(bytes.len());
        out.extend(text[at..end].chars().map(|c| if c == '\n' { '\n' } else { ' ' }));
        at = end;
    }
    out
}

/// The code with what stands under `#[cfg(test)]` blanked out.
fn without_tests(code: &str) -> String {
    let mut out = code.to_owned();
    while let Some(start) = out.find("#[cfg(test)]") {
        let rest = &out[start..];
        let brace = rest.find('{').unwrap_or(rest.len());
        let end = match rest.find(';') {
            Some(semicolon) if semicolon < brace => start + semicolon + 1,
            _ => start + closing(rest, brace),
        };
        let blank: String = out[start..end].chars().map(|c| if c == '\n' { '\n' } else { ' ' }).collect();
        out.replace_range(start..end, &blank);
    }
    out
}

/// Where the brace that opens at `from` is closed.
fn closing(code: &str, from: usize) -> usize {
    let mut depth = 0;
    for (at, c) in code[from..].char_indices() {
        match c {
            '{' => depth += 1,
            '}' if depth == 1 => return from + at + 1,
            '}' => depth -= 1,
            _ => {}
        }
    }
    code.len()
}

fn row_of(text: &str, at: usize) -> usize {
    text[..at].matches('\n').count() + 1
}

fn is_word_char(c: char) -> bool {
    c.is_alphanumeric() || c == '_'
}

/// Places where a word stands that is not a part of a longer one.
fn words<'a>(text: &'a str, word: &'a str) -> impl Iterator<Item = usize> + 'a {
    let own = move |at: usize| {
        let starts = !word.starts_with(is_word_char) || !text[..at].ends_with(is_word_char);
        starts && (!word.ends_with(is_word_char) || !text[at + word.len()..].starts_with(is_word_char))
    };
    text.match_indices(word).map(|(at, _)| at).filter(move |at| own(*at))
}

/// The rooms that a `crate::…` path names: one, or those in its braces.
fn named_rooms(rest: &str) -> Vec<String> {
    let first = |text: &str| text.trim_start().chars().take_while(|c| is_word_char(*c)).collect::<String>();
    let Some(list) = rest.strip_prefix('{') else { return vec![first(rest)] };
    let list = &list[..closing(rest, 0).saturating_sub(2)];
    let mut depth = 0;
    let mut rooms = vec![String::new()];
    for c in list.chars() {
        match c {
            '{' => depth += 1,
            '}' => depth -= 1,
            ',' if depth == 0 => rooms.push(String::new()),
            c => rooms.last_mut().unwrap().push(c),
        }
    }
    rooms.iter().map(|room| first(room)).filter(|room| !room.is_empty()).collect()
}

fn report(faults: &[String]) {
    assert!(faults.is_empty(), "\n{}\n", faults.join("\n"));
}

#[test]
fn every_room_names_only_what_its_row_allows() {
    let mut faults = Vec::new();
    for source in sources().iter().filter(|source| !source.room.is_empty()) {
        let Some((_, allowed)) = ARROWS.iter().find(|(room, _)| *room == source.room) else {
            faults.push(format!("{}: `{}` is no room of the plan", source.name, source.room));
            continue;
        };
        for at in words(&source.code, "crate::") {
            for room in named_rooms(&source.code[at + "crate::".len()..]) {
                if room != source.room && !allowed.contains(&room.as_str()) {
                    let row = row_of(&source.code, at);
                    faults.push(format!("{}:{row}: `{}` may not name `{room}`", source.name, source.room));
                }
            }
        }
    }
    report(&faults);
}

#[test]
fn no_path_climbs_out_of_a_room_unseen() {
    let mut faults = Vec::new();
    for source in sources().iter().filter(|source| !source.room.is_empty()) {
        let climb = "super::".repeat(source.depth + 1);
        for at in words(&source.code, &climb) {
            faults.push(format!(
                "{}:{}: write `crate::` for another room",
                source.name,
                row_of(&source.code, at)
            ));
        }
    }
    report(&faults);
}

#[test]
fn core_rooms_touch_nothing_outside() {
    let mut faults = Vec::new();
    for source in sources().iter().filter(|source| CORE.contains(&source.room.as_str())) {
        for word in OUTSIDE {
            for at in words(&source.code, word) {
                faults.push(format!("{}:{}: `{word}` in a core room", source.name, row_of(&source.code, at)));
            }
        }
        for at in words(&source.code, "std::{") {
            let list = source.code[at..].lines().next().unwrap_or("");
            if ["fs", "env", "time", "net", "process"].iter().any(|word| words(list, word).next().is_some()) {
                faults.push(format!("{}:{}: {list} in a core room", source.name, row_of(&source.code, at)));
            }
        }
    }
    report(&faults);
}

#[test]
fn no_float_where_counts_are_made() {
    // The simplex method that proposes patterns; all it says is proved anew in whole numbers.
    const HINTS: &str = "src/layout/cover/simplex/";
    let mut faults = Vec::new();
    let rooms = |source: &&Source| {
        matches!(source.room.as_str(), "measure" | "layout") && !source.name.starts_with(HINTS)
    };
    for source in sources().iter().filter(rooms) {
        for word in ["f64", "f32"] {
            for at in words(&source.code, word) {
                faults.push(format!("{}:{}: `{word}`", source.name, row_of(&source.code, at)));
            }
        }
    }
    report(&faults);
}

#[test]
fn nothing_ends_abruptly() {
    let mut faults = Vec::new();
    for source in sources() {
        for word in ABRUPT {
            for at in words(&source.code, word) {
                let row = row_of(&source.code, at);
                if !excused(&source.text, row) {
                    faults.push(format!("{}:{row}: `{word}`", source.name));
                }
            }
        }
    }
    report(&faults);
}

/// An exception stands right above, with its reason.
fn excused(text: &str, row: usize) -> bool {
    let above = text.lines().skip(row.saturating_sub(8)).take(row.min(8));
    above.into_iter().any(|line| line.contains("#[expect(clippy::") && line.contains("reason = "))
}

#[test]
fn no_unfinished_business() {
    let mut faults = Vec::new();
    let own = root().join("tests/layers/main.rs");
    let folders = ["src", "tests", "grammar", "stdlib", "examples", "benches"];
    for path in folders.iter().flat_map(|folder| below(&root().join(folder))).filter(|path| *path != own) {
        let Ok(text) = fs::read_to_string(&path) else { continue };
        let low = text.to_lowercase();
        for word in ["todo", "fixme", "xxx"] {
            for at in words(&low, word) {
                faults.push(format!("{}:{}: `{word}`", path.display(), row_of(&low, at)));
            }
        }
    }
    report(&faults);
}

#[test]
fn files_and_functions_stay_short() {
    let mut faults = Vec::new();
    for source in sources() {
        let rows = source.text.lines().count();
        if rows > LONGEST_FILE {
            faults.push(format!("{}: {rows} lines", source.name));
        }
        for at in words(&source.code, "fn") {
            let rest = &source.code[at..];
            let Some(brace) = rest.find(['{', ';']).filter(|brace| rest[*brace..].starts_with('{')) else {
                continue;
            };
            let rows = rest[..closing(rest, brace)].lines().count();
            if rows > LONGEST_FUNCTION {
                faults.push(format!(
                    "{}:{}: a function of {rows} lines",
                    source.name,
                    row_of(&source.code, at)
                ));
            }
        }
    }
    report(&faults);
}

#[test]
fn the_plan_is_read_as_written() {
    assert_eq!(named_rooms("fault::{Code, Fault};"), ["fault"]);
    assert_eq!(named_rooms("{fault::{Code, Fault}, measure};"), ["fault", "measure"]);
    let code = bare(
        "let a = '\"'; // crate::grade\nlet b = \"crate::cli\\\"\"; fn f<'a>() { crate::recipe::run() }",
    );
    assert_eq!(words(&code, "crate::").count(), 1);
    let code = without_tests("fn f() {}\n#[cfg(test)]\nmod tests { fn g() { h().unwrap(); } }\nfn k() {}");
    assert!(!code.contains("unwrap") && code.contains("fn k"));
}
