//! Laws over made-up texts.

use proptest::prelude::*;
use scant::fault::{Fault, Span};
use scant::syntax::{Read, read, read_expression};

use super::dump::{FILE, lines};

/// Words and signs that the language is made of, so that random runs of them reach far into it.
const PIECES: &[&str] = &[
    "x",
    "flat",
    "seam",
    "1",
    "2 1/2 in",
    "3/4",
    "5%",
    "12 in",
    "45 deg",
    "7.90 EUR/m",
    "6'",
    "2\"",
    "½",
    "=",
    "+",
    "-",
    "*",
    "/",
    "^",
    "of",
    "by",
    "up",
    "down",
    "nearest",
    "<",
    "<=",
    "is",
    "is not",
    "and",
    "or",
    "not",
    "(",
    ")",
    "[",
    "]",
    "{",
    "}",
    ",",
    ":",
    ".",
    "if",
    "then",
    "else",
    "each",
    "k",
    "from",
    "to",
    "every",
    "in",
    "how many",
    "shown in",
    "cm",
    "yes",
    "no",
    "that",
    "\"panel\"",
    "\"{n}\"",
    "\"",
    "#",
    "##",
    "try",
    "source",
    "recipe",
    "note",
    "given",
    "one of",
    "cut",
    "buy",
    "at",
    "step",
    "show",
    "check",
    "caution",
    "ruler",
    "shop",
    "sizes",
    "use",
    "rule f(a: length)",
    "find",
    "why",
    "measured",
    "have 1 of linen: 2 in by",
    "plan linen",
    "edge to edge",
    "for 12 kits",
    "more \"a\"",
    "along selvage",
    "mirrored",
    "tool rotary",
    "draw",
    "±",
    "\n",
    "\n\n",
    "\r\n",
    "\t",
    "é",
    "\u{a0}",
];

/// Words that only the grammar's own side knows; a person must never meet one.
fn rule_names() -> Vec<String> {
    let grammar = include_str!("../../grammar/scant.pest");
    let heads = grammar.lines().filter_map(|line| line.split_once('='));
    let names = heads.map(|(name, _)| name.trim().to_owned());
    names
        .filter(|name| name.contains('_') && name.bytes().all(|b| b.is_ascii_lowercase() || b == b'_'))
        .collect()
}

fn spoken(fault: &Fault) -> String {
    let labels = fault.primary.iter().chain(&fault.others).map(|label| label.text.clone());
    let words = std::iter::once(fault.message.clone()).chain(fault.hints.iter().cloned()).chain(labels);
    words.collect::<Vec<_>>().join("\n")
}

fn inside(span: Span, text: &str) -> bool {
    span.file == FILE && span.start <= span.end && text.get(span.range()).is_some()
}

/// What holds of every reading of every text.
fn well_behaved(text: &str) {
    let Read { tree, faults, unfinished } = read(FILE, text);
    let names = rule_names();
    for fault in &faults {
        let words = spoken(fault);
        assert!(
            names.iter().all(|name| text.contains(name.as_str()) || !words.contains(name.as_str())),
            "{words}"
        );
        assert!(!fault.message.is_empty() && !fault.message.ends_with('.'), "{words}");
        assert!(fault.span().is_some_and(|span| inside(span, text)), "{fault:?}");
        assert!(fault.others.iter().all(|label| inside(label.span, text)), "{fault:?}");
    }
    assert!(tree.lines.iter().all(|line| inside(line.span, text)));
    assert!(
        tree.lines.windows(2).all(|pair| matches!(pair, [a, b] if a.span.end <= b.span.start)),
        "lines overlap"
    );
    assert!(!unfinished || !faults.is_empty(), "unfinished without a word");
    let _ = read_expression(FILE, text);
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 600, ..ProptestConfig::default() })]

    #[test]
    fn no_bytes_make_a_panic(bytes in proptest::collection::vec(any::<u8>(), 0..200)) {
        well_behaved(&String::from_utf8_lossy(&bytes));
    }

    #[test]
    fn no_characters_make_a_panic(text in "\\PC{0,120}") {
        well_behaved(&text);
    }

    #[test]
    fn no_run_of_words_makes_a_panic(picks in proptest::collection::vec(0..PIECES.len(), 0..40), tight in any::<bool>()) {
        let words: Vec<&str> = picks.iter().filter_map(|at| PIECES.get(*at)).copied().collect();
        well_behaved(&words.join(if tight { "" } else { " " }));
    }

    #[test]
    fn a_wrong_line_never_hides_another(at in 0usize..6, wrong in "[*/^,:.)=]{1,6}") {
        let good = ["a = 1 in", "b = a + 2 in", "show b", "step \"press\"", "seam 1/4 in", "check a < b: \"no\""];
        let mut with = good.to_vec();
        // Something must follow, for a line that ends in a sign goes on.
        let bad = format!("x = {wrong}1 2");
        with.insert(at, &bad);
        let found = read(FILE, &with.join("\n"));
        prop_assert_eq!(found.tree.lines.len(), good.len());
        prop_assert_eq!(found.faults.len(), 1);
    }

    #[test]
    fn space_and_comments_change_nothing(picks in proptest::collection::vec(0usize..4, 8)) {
        let tokens = ["a", "=", "f(", "b", ",", "2 in", ")", "+ c"];
        let gaps = [" ", "  ", "\t", "\u{a0}"];
        let spaced = tokens.iter().zip(&picks).map(|(token, gap)| format!("{token}{}", gaps.get(*gap).unwrap_or(&"")));
        let text: String = spaced.collect::<String>() + "# and a word";
        prop_assert_eq!(lines(&text), "a = (+ f(b, 2 in) c)");
    }
}
