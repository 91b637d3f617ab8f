//! What can be completed before the cursor: names, the arguments of a rule inside its brackets, the parts of a
//! value after a dot, files.
#![expect(clippy::arithmetic_side_effects, reason = "places in a text that lies in memory")]

use crate::session::entry::Session;
use crate::syntax::{LINE_WORDS, WORDS};

/// The words of the prompt itself.
const PROMPT_WORDS: &[&str] =
    &["help", "save", "load", "undo", "redo", "forget", "measures", "rules", "names", "quit"];

/// Where the word before the cursor begins, and what it may become. `files` gives the files and folders that
/// begin with a text.
pub fn complete(
    before: &str,
    session: &Session,
    files: &dyn Fn(&str) -> Vec<String>,
) -> (usize, Vec<String>) {
    if let Some(start) = file_name(before) {
        return (start, files(before.get(start..).unwrap_or("")));
    }
    let Some(inside) = outside_texts(before) else { return (before.len(), Vec::new()) };
    let start = inside.rfind(|c: char| !is_letter(c)).map_or(0, |at| at + letter_at(&inside, at));
    let stem = before.get(start..).unwrap_or("");
    let fitting = |words: Vec<String>| -> Vec<String> {
        words.into_iter().filter(|word| word.starts_with(stem)).collect()
    };
    let head = inside.get(..start).unwrap_or("");
    if let Some(value) = head.strip_suffix('.') {
        let path =
            value.rfind(|c: char| !(is_letter(c) || c == '.')).map_or(0, |at| at + letter_at(value, at));
        let path: Vec<&str> = value.get(path..).unwrap_or("").split('.').collect();
        return (start, fitting(session.parts(&path)));
    }
    let mut words = fitting(arguments(head, session));
    if !words.is_empty() && !stem.is_empty() {
        // Beside them the names of one's own; the library has a rule for almost any beginning.
        words.extend(session.names().into_iter().map(|(name, _)| name.to_string()));
    } else if !stem.is_empty() {
        let begins = head.trim().is_empty();
        let line = LINE_WORDS.iter().chain(PROMPT_WORDS).filter(|_| begins);
        words.extend(line.chain(WORDS).map(|word| (*word).to_owned()));
        words.extend(session.words());
        words.sort();
        words.dedup();
    }
    (start, fitting(words))
}

fn is_letter(c: char) -> bool {
    c.is_alphanumeric() || c == '_'
}

/// How long the letter is that stands there.
fn letter_at(text: &str, at: usize) -> usize {
    text.get(at..).and_then(|rest| rest.chars().next()).map_or(1, char::len_utf8)
}

/// Where the name of a file begins, after a word that takes one.
fn file_name(before: &str) -> Option<usize> {
    let line = before.trim_start();
    let (word, rest) = line.split_once(char::is_whitespace)?;
    let rest = rest.trim_start();
    let name = match word {
        "save" | "load" if !rest.starts_with(['=', '+', '*', '<', '>']) => rest.trim_start_matches('"'),
        "use" => rest.strip_prefix('"').filter(|name| !name.contains('"'))?,
        _ => return None,
    };
    Some(before.len() - name.len())
}

/// The text before the cursor, what stands in quotes made blank; `None` where the cursor is inside a text, and in
/// none of its braces.
fn outside_texts(before: &str) -> Option<String> {
    let mut out = String::with_capacity(before.len());
    // Whether we are in a text, and how deep in the braces of one.
    let (mut inside, mut braces) = (false, 0usize);
    let mut last = ' ';
    for c in before.chars() {
        let mark = c == '"' && (inside && braces == 0 || !last.is_ascii_digit());
        match c {
            '"' if mark => inside = !inside,
            '{' if inside => braces += 1,
            '}' if inside => braces = braces.saturating_sub(1),
            _ => {}
        }
        let hidden = inside && (braces == 0 || c == '{');
        // A letter of several bytes leaves several blanks, so that places stay what they are.
        match hidden {
            true => out.extend(std::iter::repeat_n(' ', c.len_utf8())),
            false => out.push(c),
        }
        last = c;
    }
    (!inside || braces > 0).then_some(out)
}

/// The arguments that can still be named where a call's bracket or a comma in it stands before the cursor.
fn arguments(head: &str, session: &Session) -> Vec<String> {
    let mut depth = 0usize;
    let open = head.char_indices().rev().find(|(_, c)| {
        match c {
            ')' | ']' | '}' => depth += 1,
            '[' | '{' if depth > 0 => depth -= 1,
            '(' if depth > 0 => depth -= 1,
            '(' => return true,
            _ => {}
        }
        false
    });
    let Some((open, _)) = open.filter(|_| head.trim_end().ends_with(['(', ','])) else { return Vec::new() };
    let called = head.get(..open).unwrap_or("");
    let start = called.rfind(|c: char| !is_letter(c)).map_or(0, |at| at + letter_at(called, at));
    let Some(heading) = session.heading(called.get(start..).unwrap_or("")) else { return Vec::new() };
    let written = head.get(open + 1..).unwrap_or("");
    let given: Vec<&str> = parts(written).filter_map(name_before_colon).collect();
    let in_order = parts(written).filter(|part| name_before_colon(part).is_none() && !part.trim().is_empty());
    parameters(&heading)
        .skip(in_order.count())
        .filter(|name| !given.contains(&name.as_str()))
        .map(|name| format!("{name}: "))
        .collect()
}

/// `seam: 1/4 in` names its argument.
fn name_before_colon(part: &str) -> Option<&str> {
    let (name, _) = part.split_once(':')?;
    let name = name.trim();
    name.chars().all(is_letter).then_some(name)
}

/// The names of the parameters in the heading of a rule.
fn parameters(heading: &str) -> impl Iterator<Item = String> + '_ {
    let inside = heading.split_once('(').map_or("", |(_, rest)| rest);
    let mut depth = 0usize;
    let end = inside.find(|c: char| {
        match c {
            '(' => depth += 1,
            ')' if depth == 0 => return true,
            ')' => depth -= 1,
            _ => {}
        }
        false
    });
    let name = |param: &str| param.trim().chars().take_while(|c| is_letter(*c)).collect::<String>();
    parts(inside.get(..end.unwrap_or(0)).unwrap_or("")).map(name).filter(|name| !name.is_empty())
}

/// What stands between the commas, those in brackets aside.
fn parts(text: &str) -> impl Iterator<Item = &str> {
    let mut depth = 0usize;
    text.split(move |c: char| {
        match c {
            '(' | '[' | '{' => depth += 1,
            ')' | ']' | '}' => depth = depth.saturating_sub(1),
            _ => {}
        }
        c == ',' && depth == 0
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::eval::limits::Limits;
    use crate::recipe::used::NoFiles;

    /// What Tab offers after some entries: where it begins, and the words.
    fn offered(before: &str) -> (usize, Vec<String>) {
        let mut session = Session::new(Limits::default());
        let entries = [
            "quay = 14 in by 48 in",
            "edge = {strips: 3, cut: {width: 2 in, note: \"a\"}}",
            "tick = 3",
            "wide = 8 in ± 1/8 in",
            "rule tuck(depth: length, gap: length = 1 in, times: count = 2) = depth * times + gap",
        ];
        for entry in entries {
            assert!(session.enter(entry, &NoFiles).faults.is_empty(), "{entry}");
        }
        let files = |stem: &str| vec![format!("{stem}bour.scant"), format!("{stem}bours/")];
        complete(before, &session, &files)
    }

    fn words(before: &str) -> Vec<String> {
        offered(before).1
    }

    #[test]
    fn names_rules_and_words_are_offered() {
        assert_eq!(offered("1 in + quay"), (7, vec!["quay".into()]));
        assert!(words("double_b").contains(&"double_binding_cut".to_owned()));
        let begun = words("mea");
        assert!(begun.contains(&"measured".into()) && begun.contains(&"measures".into()), "{begun:?}");
        assert!(!words("x = mea").contains(&"measures".to_owned()));
        assert_eq!(words("1 in show"), ["shown"]);
        assert_eq!(words(""), [""; 0]);
        assert_eq!(words("übergröße_"), [""; 0]);
    }

    #[test]
    fn parts_are_offered_after_a_dot() {
        assert_eq!(offered("2 * quay."), (9, vec!["across".into(), "along".into()]));
        assert_eq!(words("quay.al"), ["along"]);
        assert_eq!(words("(edge."), ["cut", "strips"]);
        assert_eq!(words("edge.cut.w"), ["width"]);
        assert_eq!(words("wide."), ["least", "middle", "most", "slack"]);
        assert_eq!(words("nothing."), [""; 0]);
        assert_eq!(words("1."), [""; 0]);
    }

    #[test]
    fn arguments_are_offered_in_the_brackets_of_a_call() {
        assert_eq!(offered("tuck("), (5, vec!["depth: ".into(), "gap: ".into(), "times: ".into()]));
        assert_eq!(words("x = tuck(1/8 in, "), ["gap: ", "times: "]);
        assert_eq!(words("tuck(1/8 in, times: 3, "), ["gap: "]);
        assert_eq!(words("tuck((1 + 2) in, t"), ["times: ".to_owned(), "tick".into()]);
        assert!(words("cloth(\"linen (white)\", ").contains(&"width: ".to_owned()));
        assert!(words("cloth(\"linen\", width: 54 in, se").contains(&"selvage: ".to_owned()));
        assert_eq!(words("step \"Fold {tuck("), ["depth: ", "gap: ", "times: "]);
        assert_eq!(words("(1 in, "), [""; 0]);
    }

    #[test]
    fn files_are_offered_where_a_file_is_named() {
        assert_eq!(offered("load har"), (5, vec!["harbour.scant".into(), "harbours/".into()]));
        assert_eq!(words("use \"har"), ["harbour.scant", "harbours/"]);
        assert_eq!(words("  save a b"), ["a bbour.scant", "a bbours/"]);
        assert_eq!(words("save = quay"), ["quay"]);
    }

    #[test]
    fn nothing_is_offered_inside_a_text() {
        assert_eq!(words("note \"the quay"), [""; 0]);
        assert_eq!(words("note \"the {quay"), ["quay"]);
        assert_eq!(words("2\" + quay"), ["quay"]);
        assert_eq!(words("note \"2 in\" # quay"), ["quay"]);
    }
}
