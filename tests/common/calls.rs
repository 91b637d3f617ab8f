//! Calls of the library's rules, their arguments drawn by the name and the kind of each.

use scant::library::Entry;

/// A small random stream, the same on every machine.
pub struct Draws(pub u64);

impl Draws {
    pub fn next(&mut self, below: u64) -> u64 {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 33) % below
    }

    /// From one to another, in 64ths.
    pub fn between(&mut self, low: u64, high: u64) -> u64 {
        low + self.next(high - low + 1)
    }
}

/// A call of a rule in both units, each argument drawn by its name and kind; `None` where a kind has no draws.
pub fn call(
    name: &str,
    heading: &str,
    draws: &mut Draws,
    usual: fn(&str) -> (u64, u64),
) -> Option<[String; 2]> {
    let (_, inside) = heading.split_once('(')?;
    let (mut imperial, mut metric) = (format!("{name}("), format!("{name}("));
    let mut depth = 0;
    let mut params = vec![String::new()];
    for c in inside.chars() {
        match c {
            '(' => depth += 1,
            ')' if depth == 0 => break,
            ')' => depth -= 1,
            ',' if depth == 0 => {
                params.push(String::new());
                continue;
            }
            _ => {}
        }
        params.last_mut()?.push(c);
    }
    for param in params.iter().map(|param| param.trim()).filter(|param| !param.is_empty()) {
        let (head, default) = param.split_once('=').map_or((param, false), |(head, _)| (head, true));
        let (name, kind) =
            head.split_once(':').map_or((head.trim(), ""), |(name, kind)| (name.trim(), kind.trim()));
        let kind = kind.strip_prefix("signed ").unwrap_or(kind);
        let (kind, guards) = kind.split_once(' ').unwrap_or((kind, ""));
        let length = |parts: u64| (format!("({parts} / 64) in"), format!("({parts} / 64 * 254 / 10) mm"));
        let (low, high) = usual(name);
        let (one, other) = match kind {
            _ if default && guards.ends_with("or no") => continue,
            "length" => length(draws.between(low, high)),
            "size" => {
                let (low, high) = usual(if name == "hand" { "hand" } else { "size" });
                let (x, y) = (length(draws.between(low, high)), length(draws.between(low, high)));
                (format!("{} by {}", x.0, y.0), format!("{} by {}", x.1, y.1))
            }
            // defaults of these stand: what they count or scale has no unit
            _ if default => continue,
            "count" => twice(draws.between(2, 9).to_string()),
            "number" => twice(format!("{} / 4", draws.between(6, 12))),
            "percent" => twice(format!("{}%", draws.between(1, 20))),
            "angle" => twice(format!("{} deg", draws.between(40, 100))),
            "yes_no" => twice(if draws.next(2) == 0 { "yes" } else { "no" }.into()),
            "time" => twice(format!("{} min", draws.between(10, 90))),
            "weight" if guards == "per area" => twice(format!("{} g/m^2", draws.between(10, 900))),
            "weight" => twice(format!("{} g", draws.between(10, 900))),
            "money" if guards == "per length" => twice(format!("{} EUR/m", draws.between(1, 90))),
            "money" if guards == "per time" => twice(format!("{} EUR/h", draws.between(1, 90))),
            "money" => twice(format!("{} EUR", draws.between(1, 90))),
            "area" => {
                let (x, y) = length(draws.between(640, 1600));
                (format!("({x})^2"), format!("({y})^2"))
            }
            "text" => twice("\"seamed\"".into()),
            _ => return None,
        };
        imperial.push_str(&format!("{name}: {one}, "));
        metric.push_str(&format!("{name}: {other}, "));
    }
    Some([format!("{imperial})"), format!("{metric})")])
}

fn twice(text: String) -> (String, String) {
    (text.clone(), text)
}

/// A rule's text up to its formula.
pub fn heading(entry: &Entry) -> &'static str {
    // brackets are counted where the heading is taken apart
    entry.text()
}
