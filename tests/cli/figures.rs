//! The figures of a docket for people are those of its JSON: each reading is read again here, by other code, and
//! compared with the number beside it, and each is found in the text; costs and totals are added up.

use std::fs;

use serde_json::Value;

use crate::bench::{scant, tests, verdict};

/// Units by their size in one of their kind.
const UNITS: &[(&str, f64)] = &[
    ("in^2", 0.000_645_16),
    ("cm^2", 0.000_1),
    ("m^2", 1.0),
    ("cm^3", 0.000_001),
    ("in^3", 0.000_016_387_064),
    ("in", 0.0254),
    ("ft", 0.3048),
    ("yd", 0.9144),
    ("mm", 0.001),
    ("cm", 0.01),
    ("m", 1.0),
    ("kg", 1000.0),
    ("g", 1.0),
    ("lb", 453.592_37),
    ("oz", 28.349_523_125),
    ("min", 1.0),
    ("h", 60.0),
    ("deg", 1.0),
    ("%", 0.01),
    ("EUR", 1.0),
    ("USD", 1.0),
    ("", 1.0),
];

/// A reading: what is said of its number, the number in the base unit, and half of its last decimal.
#[derive(Debug)]
pub struct Reading {
    word: &'static str,
    pub value: f64,
    half: f64,
    pub metric: bool,
    bracket: Option<Box<Reading>>,
}

/// A number with its fraction, and half of its last decimal.
fn number(text: &str) -> Option<(f64, f64, &str)> {
    let part = |text: &str| {
        let end =
            text.find(|c: char| !(c.is_ascii_digit() || matches!(c, '.' | '/' | '-'))).unwrap_or(text.len());
        let (digits, rest) = text.split_at(end);
        let whole = match digits.split_once('/') {
            Some((above, below)) => above.parse::<f64>().ok()? / below.parse::<f64>().ok()?,
            None => digits.parse().ok()?,
        };
        let places = digits.split_once('.').map_or(0, |(_, after)| after.len());
        Some((whole, 0.5 * 0.1_f64.powi(i32::try_from(places).ok()?), rest.to_owned(), digits.contains('/')))
    };
    let (first, half, rest, broken) = part(text)?;
    let next = rest.strip_prefix(' ').filter(|_| !broken).and_then(part).filter(|next| next.3);
    let (value, left) = match &next {
        Some((more, _, left, _)) if first < 0.0 => (first - more, left.len()),
        Some((more, _, left, _)) => (first + more, left.len()),
        None => (first, rest.len()),
    };
    Some((value, half, &text[text.len() - left..]))
}

/// The reading that a text begins with, and what is left of it.
pub fn reading(text: &str) -> Option<(Reading, &str)> {
    let words = ["scant ", "generous ", "about ", "under "];
    let word = words.into_iter().find(|word| text.starts_with(word)).unwrap_or("");
    let (value, half, rest) = number(&text[word.len()..])?;
    let after = rest.strip_prefix(' ').unwrap_or(rest);
    let unit = |text: &str, name: &str| {
        text.strip_prefix(name)
            .is_some_and(|rest| !rest.starts_with(|c: char| c.is_alphanumeric() || c == '^' || c == '/'))
    };
    let (name, size) =
        UNITS.iter().find(|(name, _)| !name.is_empty() && unit(after, name)).unwrap_or(&("", 1.0));
    let rest = if name.is_empty() { rest } else { &after[name.len()..] };
    let metric = matches!(*name, "mm" | "cm" | "m");
    let mut read =
        Reading { word: word.trim_end(), value: value * size, half: half * size, metric, bracket: None };
    if let Some((inner, rest)) = rest.strip_prefix(" (").and_then(|rest| rest.split_once(')'))
        && let Some((bracket, "")) = reading(inner)
    {
        read.bracket = Some(Box::new(bracket));
        return Some((read, rest));
    }
    Some((read, rest))
}

fn fraction(text: &str) -> f64 {
    match text.split_once('/') {
        Some((above, below)) => {
            above.parse::<f64>().expect("a number") / below.parse::<f64>().expect("a number")
        }
        None => text.parse().expect("a number"),
    }
}

/// The size of a unit in the base unit.
pub fn size_of(unit: &str) -> Option<f64> {
    UNITS.iter().find(|(name, _)| *name == unit).map(|(_, size)| *size)
}

/// The number of a figure in the base unit; the middle of one that is known between bounds.
pub fn value(figure: &Value) -> Option<f64> {
    let unit = figure.get("unit")?.as_str()?;
    let size = match unit.split_once('/') {
        Some((_, per)) => 1.0 / UNITS.iter().find(|(name, _)| *name == per)?.1,
        None => UNITS.iter().find(|(name, _)| *name == unit)?.1,
    };
    let number = &figure["number"];
    let middle = match number.get("about") {
        Some(ends) => (fraction(ends[0].as_str()?) + fraction(ends[1].as_str()?)) / 2.0,
        None => fraction(number.as_str()?),
    };
    Some(middle * size)
}

/// Whether a reading says what the number is.
pub fn says(read: &Reading, value: f64) -> bool {
    let tiny = 1e-9 * value.abs().max(1e-3);
    let near = if read.metric { 0.001 } else { 0.0254 / 16.0 };
    let exact = match &read.bracket {
        Some(bracket) => return says(bracket, value) && mark(read, value, near),
        None => (read.value - value).abs() <= tiny,
    };
    match read.word {
        "" => exact,
        "about" => (read.value - value).abs() <= read.half + tiny,
        // In a step or beside a drawing the mark stands alone.
        _ => mark(read, value, near),
    }
}

/// Whether a mark is on the right side of the number, and near it; money is rounded to its coin.
fn mark(read: &Reading, value: f64, near: f64) -> bool {
    let off = value - read.value;
    // The sign plays no part.
    let off = if value < 0.0 { -off } else { off };
    match read.word {
        "scant" => off < 0.0 && -off <= near,
        "generous" => off > 0.0 && off <= near,
        "under" => value > 0.0 && off < 0.0,
        _ => off.abs() <= read.half * 1.000_001,
    }
}

/// Every measure in a docket with its text, number and unit.
pub fn figures<'v>(value: &'v Value, out: &mut Vec<&'v Value>) {
    match value {
        Value::Object(parts) => {
            if value.get("number").is_some() && value["text"].is_string() {
                out.push(value);
            }
            parts.values().for_each(|part| figures(part, out));
        }
        Value::Array(items) => items.iter().for_each(|item| figures(item, out)),
        _ => {}
    }
}

struct Kept {
    name: String,
    text: String,
    json: Value,
}

/// The kept dockets of all examples, the text with one space between words.
fn kept() -> Vec<Kept> {
    let folder = tests().join("golden");
    let mut kept = Vec::new();
    for path in fs::read_dir(&folder).expect("the kept texts are there").flatten().map(|entry| entry.path()) {
        if path.extension().is_some_and(|ending| ending == "json") {
            let json = fs::read_to_string(&path).expect("a kept text can be read");
            let text = fs::read_to_string(path.with_extension("txt")).expect("a kept text can be read");
            let name = path.file_stem().unwrap_or_default().to_string_lossy().into_owned();
            let text = text.split_whitespace().collect::<Vec<_>>().join(" ");
            kept.push(Kept { name, text, json: serde_json::from_str(&json).expect("a docket is JSON") });
        }
    }
    let examples = fs::read_dir(tests().join("../examples")).expect("the examples are there").flatten();
    let recipes = examples.filter(|entry| entry.path().extension().is_some_and(|ending| ending == "scant"));
    let without: Vec<String> = recipes
        .filter_map(|entry| entry.path().file_stem().map(|stem| stem.to_string_lossy().into_owned()))
        .filter(|name| kept.iter().all(|kept| kept.name != *name))
        .collect();
    assert!(without.is_empty() && kept.len() >= 20, "no docket is kept of {without:?}");
    kept
}

#[test]
fn each_reading_says_its_number() {
    let (mut wrong, mut read) = (Vec::new(), 0);
    for Kept { name, json, .. } in kept() {
        let mut all = Vec::new();
        figures(&json, &mut all);
        for figure in all {
            let text = figure["text"].as_str().unwrap_or_default();
            let (Some(value), Some((told, ""))) = (value(figure), reading(text)) else {
                // Slack and prices have their own forms.
                if !text.contains('±') && !text.contains('/') {
                    wrong.push(format!("{name}: {figure}"));
                }
                continue;
            };
            read += 1;
            if !says(&told, value) {
                wrong.push(format!("{name}: `{text}` is {value} in base units"));
            }
        }
    }
    verdict(wrong);
    assert!(read > 1000, "{read} readings");
}

#[test]
fn each_figure_of_the_json_is_in_the_text() {
    let (mut missing, mut found) = (Vec::new(), 0);
    for Kept { name, text, json } in kept() {
        let mut look = |what: &str, wanted: String| match text.contains(&wanted) {
            true => found += 1,
            false => missing.push(format!("{name}: {what}: `{wanted}`")),
        };
        let words = |value: &Value| value["text"].as_str().unwrap_or_default().to_owned();
        let rows = |of: &Value| of.as_array().cloned().unwrap_or_default();
        for given in rows(&json["givens"]) {
            look(
                "given",
                format!("{} {}", given["name"].as_str().unwrap_or_default(), words(&given["value"])),
            );
        }
        for shown in rows(&json["shows"]).iter().filter(|shown| shown["value"]["text"].is_string()) {
            look(
                "shown",
                format!("{} {}", shown["label"].as_str().unwrap_or_default(), words(&shown["value"])),
            );
        }
        for bought in rows(&json["cloths"]).iter().chain(&rows(&json["buys"])) {
            let label = bought["cloth"].as_str().or(bought["label"].as_str()).unwrap_or_default();
            let price = if bought["price"].is_null() {
                String::new()
            } else {
                format!(" at {}", words(&bought["price"]))
            };
            let cost =
                if bought["cost"].is_null() { String::new() } else { format!(" {}", words(&bought["cost"])) };
            if !bought["packs"].is_object() {
                look("bought", format!("{label} {}{price}{cost}", words(&bought["buy"])));
            }
        }
        for step in rows(&json["steps"]) {
            let words = step.as_str().unwrap_or_default().split_whitespace().collect::<Vec<_>>();
            look("step", words.join(" "));
        }
        for total in rows(&json["totals"]) {
            look("total", format!("total {}", words(&total)));
        }
    }
    verdict(missing);
    assert!(found > 300, "{found} figures");
}

/// The whole numbers of a cutting plan: sizes and places in its unit.
fn whole_numbers(value: &Value, out: &mut Vec<f64>) {
    match value {
        Value::Object(parts) => parts.values().for_each(|part| whole_numbers(part, out)),
        Value::Array(items) => items.iter().for_each(|item| whole_numbers(item, out)),
        _ => out.extend(value.as_f64()),
    }
}

/// Every number that a docket in JSON has, in base units.
fn numbers(json: &Value) -> Vec<f64> {
    let mut all = Vec::new();
    figures(json, &mut all);
    let mut numbers: Vec<f64> = all.iter().filter_map(|figure| value(figure)).collect();
    for cloth in json["cloths"].as_array().into_iter().flatten() {
        let unit = value(&cloth["plan"]["unit"]).expect("a plan has a unit");
        let mut whole = Vec::new();
        whole_numbers(&cloth["plan"]["spreads"], &mut whole);
        numbers.extend(whole.iter().map(|number| number * unit));
    }
    numbers
}

/// The other way: each measure in the text, from the givens to the bill, is a number of the JSON.
#[test]
fn each_measure_of_the_text_is_in_the_json() {
    let (mut wrong, mut found) = (Vec::new(), 0);
    for Kept { name, mut text, json } in kept() {
        let parts = [&json["shows"], &json["buys"], &json["givens"]].into_iter().filter_map(Value::as_array);
        let words =
            parts.flatten().flat_map(|part| [&part["label"], &part["note"]]).filter_map(Value::as_str);
        let mut words: Vec<String> =
            words.map(|words| words.split_whitespace().collect::<Vec<_>>().join(" ")).collect();
        // A label that begins another one goes after it.
        words.sort_by_key(|words| std::cmp::Reverse(words.len()));
        for words in words {
            text = text.replace(&words, "…");
        }
        let from = text.find("GIVEN").unwrap_or(0);
        let to = ["DRAWINGS", "SEW"].iter().filter_map(|word| text.find(word)).min().unwrap_or(text.len());
        let numbers = numbers(&json);
        let mut rest = &text[from..to];
        while let Some((before, after)) = rest.split_once([' ', '(']) {
            rest = after;
            let Some((read, left)) = reading(after) else { continue };
            let said = &after[..after.len() - left.len()];
            rest = left;
            // Counts have no unit; slack and words that a picture divides have forms of their own.
            let own = before.ends_with('±') || left.starts_with(" ±") || left.starts_with(" of it from");
            let divided = left.chars().take(5).any(|c| c == '│');
            let unit = said.ends_with(|c: char| c.is_alphabetic() || c == ')' || c == '%');
            if !unit || own || divided {
                continue;
            }
            match numbers.iter().any(|number| says(&read, *number)) {
                true => found += 1,
                false => wrong.push(format!("{name}: {}", after.chars().take(40).collect::<String>())),
            }
        }
    }
    verdict(wrong);
    assert!(found > 1000, "{found} measures");
}

/// `[ ] 2 napkin 48 cm by 48 cm`: the counts and both sides of all pieces.
#[test]
fn each_piece_of_the_json_is_in_the_cut_list() {
    let (mut wrong, mut found) = (Vec::new(), 0);
    for Kept { name, text, json } in kept() {
        for piece in json["cloths"]
            .as_array()
            .into_iter()
            .flatten()
            .flat_map(|cloth| cloth["pieces"].as_array())
            .flatten()
        {
            let lead = format!("[ ] {} {} ", piece["count"], piece["label"].as_str().unwrap_or_default());
            let sides = text.split(&lead).nth(1).and_then(reading).and_then(|(across, rest)| {
                let (along, _) = reading(rest.strip_prefix(" by ")?)?;
                Some((across, along))
            });
            let both = value(&piece["across"]).zip(value(&piece["along"]));
            match (sides, both) {
                (Some((a, b)), Some((across, along))) if says(&a, across) && says(&b, along) => found += 1,
                (sides, _) => wrong.push(format!("{name}: {lead}: {sides:?} for {piece}")),
            }
        }
    }
    verdict(wrong);
    assert!(found > 60, "{found} pieces");
}

#[test]
fn costs_and_totals_add_up() {
    let (mut wrong, mut summed) = (Vec::new(), 0);
    for Kept { name, json, .. } in kept() {
        let lines = [&json["cloths"], &json["buys"]];
        let lines: Vec<&Value> = lines.into_iter().filter_map(Value::as_array).flatten().collect();
        for line in &lines {
            let (Some(price), Some(cost)) = (value(&line["price"]), value(&line["cost"])) else { continue };
            let packs = (!line["packs"].is_null()).then(|| value(&line["packs"]["count"])).flatten();
            let bought = packs.or(value(&line["buy"])).unwrap_or_default();
            if (bought * price - cost).abs() > 0.005_000_001 {
                wrong.push(format!("{name}: {bought} at {price} is not {cost}"));
            }
        }
        let costs: f64 = lines.iter().filter_map(|line| value(&line["cost"])).sum();
        let totals: f64 = json["totals"].as_array().into_iter().flatten().filter_map(value).sum();
        summed += usize::from(costs > 0.0);
        if (costs - totals).abs() > 1e-6 {
            wrong.push(format!("{name}: the lines cost {costs}, the total is {totals}"));
        }
    }
    verdict(wrong);
    assert!(summed >= 20, "{summed} bills");
}

/// With `--both` each length reads in inches and in metric: both readings are those of its number.
#[test]
fn both_systems_say_the_number() {
    let (mut wrong, mut read) = (Vec::new(), 0);
    for Kept { name, .. } in kept() {
        let file = format!("../examples/{name}.scant");
        let done = scant(&tests(), &["run", &file, "--both", "--as", "json"]);
        let json: Value = serde_json::from_str(&done.out).expect("a docket is JSON");
        let mut all = Vec::new();
        figures(&json, &mut all);
        for figure in all {
            let text = figure["text"].as_str().unwrap_or_default();
            let Some((value, (first, second))) = value(figure).zip(text.split_once(" / ")) else { continue };
            let said = [first, second].map(reading);
            let [Some((one, "")), Some((other, ""))] = said else {
                if !text.contains('±') && !text.contains("EUR") && !text.contains("USD") {
                    wrong.push(format!("{name}: {text}"));
                }
                continue;
            };
            read += 1;
            let length = matches!(figure["unit"].as_str(), Some("in" | "yd" | "ft" | "mm" | "cm" | "m"));
            if !says(&one, value) || !says(&other, value) || length && one.metric == other.metric {
                wrong.push(format!("{name}: `{text}` is {value} in base units"));
            }
        }
    }
    verdict(wrong);
    assert!(read > 900, "{read} readings");
}

/// The tests above can fail: a wrong figure is seen.
#[test]
fn a_wrong_reading_is_seen() {
    let says = |text: &str, inches: f64| says(&reading(text).expect("a reading").0, inches * 0.0254);
    assert!(says("2 1/2 in", 2.5) && !says("2 1/2 in", 2.51));
    assert!(says("scant 4 1/4 in (4.23 in)", 4.23) && !says("scant 4 1/4 in (4.23 in)", 4.24));
    assert!(!says("generous 4 1/4 in (4.23 in)", 4.23) && !says("scant 4 1/2 in (4.23 in)", 4.23));
    assert!(says("about 4.615 in", 4.6152) && !says("about 4.615 in", 4.616));
    assert!(says("under 1/32 in", 0.01) && !says("under 1/32 in", 0.04));
}
