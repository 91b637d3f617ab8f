//! Texts made to break a reader: each is read or refused within a bounded time, and never ends the program.

use std::time::{Duration, Instant};

use scant::fault::Code;
use scant::syntax::{Read, read, read_expression};

use super::dump::FILE;

/// Generous for a slow machine in an unoptimised build; a quadratic reader needs minutes.
const LIMIT: Duration = Duration::from_secs(20);

/// Reads on a small stack, as a thread of a larger program would.
fn timed(text: String) -> Read {
    let start = Instant::now();
    let work = std::thread::Builder::new().stack_size(2 << 20).spawn(move || {
        let found = read(FILE, &text);
        // The tree holds reference-counted text, so only its answer crosses over.
        (found.tree.lines.len(), found.faults, found.unfinished)
    });
    let (_, faults, unfinished) = work.unwrap().join().unwrap();
    assert!(start.elapsed() < LIMIT, "took {:?}", start.elapsed());
    Read { faults, unfinished, tree: Default::default() }
}

/// The codes of what was said.
fn codes(text: impl Into<String>) -> Vec<Code> {
    timed(text.into()).faults.iter().map(|fault| fault.code).collect()
}

#[test]
fn a_hundred_thousand_brackets() {
    for open in ["(", "[", "{", "f(", "x[", "not (", "-(", "[[", "({[", "if (", "each k in (", "\"{"] {
        let found = codes(format!("x = {}", open.repeat(100_000)));
        assert!(!found.is_empty(), "{open}");
        assert!(found.iter().all(|code| *code != Code::Syntax), "{open} {:?}", found.first());
    }
}

#[test]
fn a_hundred_thousand_brackets_that_close() {
    for (open, close) in [("(", ")"), ("[", "]"), ("{a: ", "}"), ("f(", ")"), ("{ ", " }")] {
        let text = format!("x = {}1{}", open.repeat(100_000), close.repeat(100_000));
        assert_eq!(codes(text), [Code::TooDeep], "{open}");
    }
}

#[test]
fn nesting_stops_at_its_limit_and_one_above() {
    let nested = |depth: usize| format!("x = {}1{}", "(".repeat(depth), ")".repeat(depth));
    assert_eq!(codes(nested(200)), []);
    assert_eq!(codes(nested(201)), [Code::TooDeep]);
}

#[test]
fn chains_of_signs_powers_and_choices() {
    for (link, end) in [
        ("-", "x"),
        ("- ", "x"),
        ("not ", "x"),
        ("2^", "2"),
        ("if a then b else ", "c"),
        ("each k in ", "x: k"),
    ] {
        let found = codes(format!("x = {}{end}", link.repeat(10_000)));
        assert_eq!(found, [Code::TooDeep], "{link}");
    }
    assert_eq!(codes(format!("x = {}y", "-".repeat(190))), []);
    assert_eq!(codes(format!("x = {}c", "if a then b else ".repeat(190))), []);
}

#[test]
fn long_flat_sums() {
    let sum = |terms: usize| format!("x = {}1", "1 + ".repeat(terms));
    assert_eq!(codes(sum(1_000_000)), [Code::TooDeep]);
    assert_eq!(codes(sum(1_000)), []);
    assert_eq!(codes(sum(1_001)), [Code::TooDeep]);
    // Commas part what operators join: each item may have a chain of its own.
    assert_eq!(codes(format!("x = [{}1]", "1 + 1, ".repeat(5_000))), []);
    for link in ["1 < ", "a and ", "a.b.", "x up 1 in up ", "2 * ", "a by "] {
        let text = format!("x = {}y", link.repeat(60_000 / link.len()));
        let found = timed(text);
        assert!(found.faults.len() <= 1, "{link}");
    }
}

#[test]
fn long_lists_and_names() {
    assert_eq!(codes(format!("x = {}", "a".repeat(60_000))), []);
    assert_eq!(codes(format!("x = {}", "a".repeat(70_000))), [Code::TooDeep]);
    assert_eq!(codes(format!("x = [{}1]", "1, ".repeat(15_000))), []);
    assert_eq!(codes(format!("x = f({}1)", "a, ".repeat(15_000))), []);
}

#[test]
fn a_number_of_a_million_digits() {
    let found = codes(format!("x = {}", "7".repeat(1_000_000)));
    assert_eq!(found.len(), 1);
    let found = codes(format!("x = {}", "7".repeat(60_000)));
    assert_eq!(found, [Code::BadNumber]);
}

#[test]
fn a_hundred_thousand_wrong_lines() {
    let found = timed("x = * 2\n".repeat(100_000));
    assert!(!found.faults.is_empty());
}

#[test]
fn long_texts_and_comments() {
    assert_eq!(codes(format!("# {}\nx = 1", "a".repeat(1_000_000))), []);
    assert_eq!(codes(format!("## {}\nx = 1", "word ".repeat(10_000))), []);
    assert_eq!(codes("\n".repeat(1_000_000)), []);
    assert_eq!(codes(" ".repeat(1_000_000)), []);
    assert_eq!(codes("\"".repeat(100_001)).len(), 1);
    codes("\"{".repeat(100_000));
    codes("\"{\"{".repeat(10_000));
    codes("{{".repeat(30_000));
}

#[test]
fn every_single_byte_and_pair() {
    let parts = [
        "x", "=", "1", "(", ")", "[", "]", "{", "}", "\"", "'", "#", "##", ",", ":", ".", "+", "-", "^", "<",
        " ", "\n", "\r", "\t", "\u{feff}", "\u{a0}", "½", "″", "°", "in", "if", "then", "else", "to", "from",
        "by", "is", "not", "sizes", "given", "rule", "cut", "each", "how", "shown", "up", "1/2", "€", "$",
        "\0", "\u{202e}", "🧵",
    ];
    for a in parts {
        for b in parts {
            for c in ["", "x", "\n", "1 in"] {
                for between in ["", " "] {
                    let text = [a, b, c].join(between);
                    read(FILE, &text);
                    let _ = read_expression(FILE, &text);
                }
            }
        }
    }
}

#[test]
fn no_text_at_all() {
    for text in ["", "\u{feff}", "\n", "\r\n", "#", "##", " \t", "\u{a0}"] {
        let found = read(FILE, text);
        assert!(found.tree.lines.is_empty() && found.faults.is_empty() && !found.unfinished, "{text:?}");
        assert!(read_expression(FILE, text).is_err(), "{text:?}");
    }
}
