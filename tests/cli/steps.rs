//! The numbers in the words of a step, those of a measure with slack and those of all readings, by a ruler in
//! inches and by one in millimetres: each is read again, and compared with the exact value in the JSON.

use std::fs;

use serde_json::Value;

use crate::bench::{Folder, scant, tests, verdict};
use crate::figures::{figures, reading, says, size_of, value};

/// Words and places to fill in, in turn: the words come first.
fn pieces(step: &str) -> Vec<String> {
    let (mut out, mut depth, mut text) = (vec![String::new()], 0, false);
    for c in step.chars() {
        let outside = depth == 0;
        depth += i32::from(c == '{' && !text) - i32::from(c == '}' && !text);
        text ^= c == '"' && depth > 0;
        match (c, outside) {
            ('{', true) => out.push(String::new()),
            ('}', false) if depth == 0 => out.push(String::new()),
            _ => out.last_mut().expect("there is a piece").push(c),
        }
    }
    out
}

/// The recipe by this ruler, with a `show` line for each value in its steps.
fn shown(recipe: &str, ruler: &str) -> (String, Vec<Vec<String>>) {
    let (mut out, mut steps) = (format!("ruler {ruler}\n"), Vec::new());
    for row in recipe.lines().filter(|row| !row.starts_with("ruler ")) {
        out.push_str(row);
        out.push('\n');
        if let Some(words) = row.strip_prefix("step \"").and_then(|rest| rest.strip_suffix('"')) {
            let pieces = pieces(words);
            for fill in pieces.iter().skip(1).step_by(2) {
                out.push_str(&format!("show \"step\": {fill}\n"));
            }
            steps.push(pieces);
        }
    }
    (out, steps)
}

/// What is left of a text that begins with this value; nothing where it says something else.
fn after<'t>(text: &'t str, shown: &Value) -> Option<&'t str> {
    if let Some(items) = shown.as_array() {
        let mut rest = text;
        for (at, item) in items.iter().enumerate() {
            rest = after(if at == 0 { rest } else { rest.strip_prefix(", ")? }, item)?;
        }
        return Some(rest);
    }
    if let Some(words) = shown.as_str() {
        return text.strip_prefix(words);
    }
    if shown["across"].is_object() {
        let rest = after(text, &shown["across"])?;
        return after(rest.strip_prefix(" by ")?, &shown["along"]);
    }
    let (told, rest) = reading(text)?;
    if !says(&told, value(shown)?) {
        return None;
    }
    match shown["slack"].as_str() {
        Some(slack) => slack_after(rest, shown, slack),
        None => Some(rest),
    }
}

/// `± 21/64 in`: never less than the slack, and at most a 64th of an inch or a hundredth of a millimetre more.
fn slack_after<'t>(rest: &'t str, shown: &Value, slack: &str) -> Option<&'t str> {
    let (told, rest) = reading(rest.strip_prefix(" ± ")?)?;
    let (above, below) = slack.split_once('/').unwrap_or((slack, "1"));
    let exact = above.parse::<f64>().ok()? / below.parse::<f64>().ok()? * size_of(shown["unit"].as_str()?)?;
    let near = if told.metric { 0.000_01 } else { 0.0254 / 64.0 };
    (told.value >= exact - 1e-9 && told.value <= exact + near + 1e-9).then_some(rest)
}

/// The steps of a docket, each compared with the values that it was filled with.
fn wrong_steps(docket: &Value, steps: &[Vec<String>], read: &mut usize) -> Vec<String> {
    let told: Vec<&str> =
        docket["steps"].as_array().into_iter().flatten().filter_map(Value::as_str).collect();
    if told.len() != steps.len() {
        return vec![format!("{} steps for {}", told.len(), steps.len())];
    }
    let shows = docket["shows"].as_array().into_iter().flatten();
    let mut shows = shows.filter(|shown| shown["label"] == "step").map(|shown| &shown["value"]);
    let mut wrong = Vec::new();
    for (told, pieces) in told.iter().zip(steps) {
        let mut rest = Some(*told);
        for (at, piece) in pieces.iter().enumerate() {
            rest = match at % 2 {
                0 => rest.and_then(|rest| rest.strip_prefix(piece.as_str())),
                _ => {
                    *read += 1;
                    shows.next().and_then(|shown| after(rest?, shown))
                }
            };
            if rest.is_none() && !wrong.iter().any(|words: &String| words.contains(*told)) {
                wrong.push(format!("`{told}` is wrong at `{piece}`"));
            }
        }
    }
    wrong
}

/// All readings of a docket that do not say their number.
fn wrong_readings(docket: &Value, read: &mut usize) -> Vec<String> {
    let mut all = Vec::new();
    figures(docket, &mut all);
    let mut wrong = Vec::new();
    for figure in all {
        let text = figure["text"].as_str().unwrap_or_default();
        if text.contains('/') && figure["unit"].as_str().is_some_and(|unit| unit.contains('/')) {
            continue;
        }
        *read += 1;
        if after(text, figure) != Some("") {
            wrong.push(format!("`{text}` for {} {}", figure["number"], figure["unit"]));
        }
    }
    wrong
}

#[test]
fn the_numbers_of_steps_and_readings_are_those_of_the_json_by_any_ruler() {
    let folder = Folder::new();
    let (mut wrong, mut in_steps, mut readings) = (Vec::new(), 0, 0);
    for path in fs::read_dir(tests().join("../examples")).expect("there are examples").flatten() {
        let path = path.path();
        let name = path.file_name().unwrap_or_default().to_string_lossy().into_owned();
        if !name.ends_with(".scant") {
            continue;
        }
        let recipe = fs::read_to_string(&path).expect("an example can be read");
        for ruler in ["1/8 in", "1/16 in", "1 mm"] {
            let (shown, steps) = shown(&recipe, ruler);
            folder.write(&name, shown);
            let done = scant(folder.path(), &["run", &name, "--as", "json"]);
            let Ok(docket) = serde_json::from_str::<Value>(&done.out) else {
                wrong.push(format!("{name} by {ruler}: {}", done.err));
                continue;
            };
            let faults =
                [wrong_steps(&docket, &steps, &mut in_steps), wrong_readings(&docket, &mut readings)];
            wrong.extend(faults.concat().iter().map(|words| format!("{name} by {ruler}: {words}")));
        }
    }
    verdict(wrong);
    assert!(in_steps > 400 && readings > 3000, "{in_steps} numbers in steps, {readings} readings");
}

#[test]
fn a_wrong_number_in_a_step_is_seen() {
    let measure = |number: &str| serde_json::json!({"text": "", "number": number, "unit": "in"});
    assert_eq!(pieces("Cut {a} by {count(b)}."), ["Cut ", "a", " by ", "count(b)", "."]);
    assert_eq!(after("4 1/4 in wide", &measure("17/4")), Some(" wide"));
    assert_eq!(after("4 1/4 in wide", &measure("9/2")), None);
    let slack = |told: &str| {
        let shown = serde_json::json!({"text": "", "number": "60", "unit": "in", "slack": "1/7"});
        after(told, &shown).map(str::to_owned)
    };
    assert_eq!(slack("60 in ± 5/32 in long").as_deref(), Some(" long"));
    assert_eq!(slack("60 in ± 1/8 in"), None);
    assert_eq!(slack("60 in ± 1/4 in"), None);
}
