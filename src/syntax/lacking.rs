//! Words that a line cannot do without, for lines that the grammar does not take.
#![expect(clippy::arithmetic_side_effects, reason = "places in a text that lies in memory")]

/// What a line lacks, in words; `None` where all its words have their partners.
pub(super) fn lacking(source: &str) -> Option<String> {
    let tokens = tokens(source);
    let count = |word: &str| tokens.iter().filter(|token| **token == word).count();
    let behind = |word: &str, wanted: &str| {
        let at = tokens.iter().rposition(|token| *token == word)?;
        Some(tokens.get(at..).unwrap_or(&[]).contains(&wanted))
    };
    match (tokens.first().copied(), tokens.get(1).copied()) {
        (Some("given"), Some(name)) if tokens.get(2) != Some(&"=") => {
            return Some(format!("`{name}` needs its value: `given {name} = …`"));
        }
        (Some("given"), _) if behind("from", "to") == Some(false) => {
            return Some("a lower bound needs an upper bound too: `from … to …`".into());
        }
        (Some("rule"), _) if formula_lacks(&tokens) => {
            return Some("a rule needs its formula: `rule name(…) = …`".into());
        }
        (Some("cut"), _) if count("from") == 0 => {
            return Some("the cloth is missing: `from linen`".into());
        }
        (Some("find"), _) if count("from") == 0 || behind("from", "to") == Some(false) => {
            return Some("`find` needs its range: `find sashing from 1/2 in to 4 in so that …`".into());
        }
        (Some("find"), _) if count("so") == 0 || behind("so", "that") == Some(false) => {
            return Some("`find` needs its goal: `so that … is 60 in`".into());
        }
        (Some("have"), _) if count("of") == 0 => {
            return Some("the cloth is missing: `have 1 of linen: …`".into());
        }
        (Some("have"), _) if behind("of", ":") == Some(false) => {
            return Some("the size is missing after the cloth: `of linen: 18 in by 22 in`".into());
        }
        (Some("cut"), _) if behind("from", ":") == Some(false) => {
            return Some("the size is missing after the cloth: `from linen: 14 in by 48 in`".into());
        }
        _ => {}
    }
    if let Some(word) = half(&tokens) {
        return Some(format!("an `if` needs its `{word}`"));
    }
    let each =
        tokens.iter().position(|token| *token == "each").and_then(|at| tokens.get(at..)).unwrap_or(&[]);
    let steps = each.split(|token| *token == ":").next().unwrap_or(&[]);
    if steps.get(2) == Some(&"from") && !steps.contains(&"to") {
        return Some("an `each` that counts needs its `to`: `each k from 1 to 9: …`".into());
    }
    if behind("each", ":") == Some(false) {
        return Some("an `each` needs a `:` before its formula".into());
    }
    if behind("many", "from") == Some(false) && count("how") > 0 {
        return Some("`how many` needs its `from`: `how many 5 in from 42 in`".into());
    }
    None
}

/// Whether a line has an `if` whose other half may be on the row below.
pub(super) fn half_a_choice(source: &str) -> bool {
    source.contains("if") && half(&tokens(source)).is_some()
}

/// The word that an `if` lacks.
fn half(tokens: &[&str]) -> Option<&'static str> {
    let count = |word: &str| tokens.iter().filter(|token| **token == word).count();
    ["then", "else"].into_iter().find(|word| count("if") > count(word))
}

/// Whether no `=` comes after the brackets of a rule's heading.
fn formula_lacks(tokens: &[&str]) -> bool {
    let mut depth = 0usize;
    let outside = tokens.iter().filter(|token| {
        match **token {
            "(" => depth += 1,
            ")" => depth = depth.saturating_sub(1),
            _ => {}
        }
        depth == 0 && **token == "="
    });
    outside.count() == 0
}

/// The words and signs of a line; texts and comments left out.
fn tokens(source: &str) -> Vec<&str> {
    let mut tokens = Vec::new();
    let mut rest = source;
    let mut before = ' ';
    while let Some(first) = rest.chars().next() {
        let length = match first {
            '"' | '\u{201C}' | '\u{201E}' if !before.is_ascii_digit() => text(rest),
            '#' => rest.find('\n').unwrap_or(rest.len()),
            c if c.is_alphabetic() || c == '_' => {
                rest.find(|c: char| !(c.is_alphanumeric() || c == '_')).unwrap_or(rest.len())
            }
            c => c.len_utf8(),
        };
        let (token, tail) = rest.split_at_checked(length).unwrap_or((rest, ""));
        if !first.is_whitespace() && !matches!(first, '"' | '\u{201C}' | '\u{201E}' | '#') {
            tokens.push(token);
        }
        before = token.chars().next_back().unwrap_or(' ');
        rest = tail;
    }
    tokens
}

/// How long the text is that begins here.
pub(super) fn text(rest: &str) -> usize {
    let mut escaped = false;
    let closing = if rest.starts_with('"') { ['"', '"'] } else { ['\u{201C}', '\u{201D}'] };
    for (at, c) in rest.char_indices().skip(1) {
        match c {
            _ if escaped => escaped = false,
            '\\' => escaped = true,
            c if closing.contains(&c) => return at + c.len_utf8(),
            _ => {}
        }
    }
    rest.len()
}

/// Whether the quote at `at` ends a text rather than beginning one.
pub(super) fn ends_text(source: &str, at: usize) -> bool {
    let mut from = 0;
    while let Some(next) = source.get(from..at).and_then(|part| part.find('"')) {
        let start = from + next;
        let mark = source.get(..start).is_some_and(|before| before.ends_with(|c: char| c.is_ascii_digit()));
        let end = start + if mark { 1 } else { source.get(start..).map_or(1, text) };
        if !mark && start < at && end == at + 1 {
            return true;
        }
        from = end;
    }
    false
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn partners_are_missed() {
        for (line, word) in [
            ("given depth from 1 in to 2 in", "value"),
            ("given depth = 1 in from 1/2 in", "upper"),
            ("rule twice(depth: length = 1 in)", "formula"),
            ("cut 1 \"from\": 2 in by 3 in", "cloth"),
            ("cut 1 \"a: b\" from linen 2 in by 3 in", "size"),
            ("x = if a > b then 1", "else"),
            ("x = if a > b", "then"),
            ("x = each k from 1 to 5 k * 1 in", ":"),
            ("x = each k from 1: k", "`to`"),
            ("x = how many 5 in", "from"),
        ] {
            assert!(lacking(line).is_some_and(|words| words.contains(word)), "{line}: {:?}", lacking(line));
        }
        for line in ["x = if a then b else c", "check a: \"if\"", "strip 2\" wide", "x = each k in ks: k"] {
            assert_eq!(lacking(line), None, "{line}");
        }
    }

    #[test]
    fn the_end_of_a_text_is_known() {
        let line = "cut 1 \"panel\": 2\" by \"x\"";
        assert!(ends_text(line, 12));
        assert!(!ends_text(line, 6) && !ends_text(line, 16) && !ends_text(line, 21));
    }
}
