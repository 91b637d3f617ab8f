//! Help: what a rule, a built-in, a kind or an area is, from the library's own text.

use std::collections::{BTreeMap, BTreeSet};
use std::fmt::Write;
use std::sync::OnceLock;

use crate::eval::builtins;
use crate::library::{self, Entry};
use crate::value::kind::KINDS;

/// What is known of a name, as plain text; `None` where nothing is. A rule and an area may share a name.
pub fn about(name: &str) -> Option<String> {
    let area = (0..library::FILES.len()).find(|file| area_name(*file) == name).map(area);
    if let Some(entry) = library::index().get(name) {
        let told = rule(name, entry);
        return Some(area.map_or(told.clone(), |area| format!("{told}\nthe area\n\n{area}")));
    }
    if let Some(about) = builtins::find(name) {
        let (example, answer) = about.example;
        let mut out = String::new();
        wrap(about.heading, 0, &mut out);
        out.push('\n');
        wrap(about.words, 0, &mut out);
        let _ = writeln!(out, "\nexample\n  {example}   is {answer}\n\nbuilt in");
        return Some(out);
    }
    area.or_else(|| word(name).map(|words| format!("{words}\n")))
}

/// The areas of the library, a line each, and what else help knows.
pub fn overview() -> String {
    let mut out = String::from("areas of the library\n\n");
    for file in 0..library::FILES.len() {
        let foreword = foreword(file);
        let first = foreword.split_once(". ").map_or(foreword.as_str(), |(first, _)| first);
        // a foreword that begins with the area's own name says it once
        let said = first.split_once(": ").filter(|(name, _)| name.eq_ignore_ascii_case(area_name(file)));
        let first = said.map_or(first, |(_, rest)| rest);
        let mut letters = first.trim_end_matches('.').chars();
        let begins = letters.next().map(|letter| letter.to_lowercase().to_string()).unwrap_or_default();
        hang(&format!("{:11} {begins}{}", area_name(file), letters.as_str()), 12, &mut out);
    }
    out.push_str("\n`help AREA` lists an area's rules, `help RULE` tells of one,\n");
    out.push_str("`help \"words like these\"` finds one, `help library` names all\n");
    out
}

/// The areas of the library with their rules, and all built-ins, kinds and words.
pub fn all_names() -> String {
    let mut out = String::from("areas of the library; `help AREA` tells of one, `help RULE` of a rule\n\n");
    for file in 0..library::FILES.len() {
        let rules: Vec<&str> = rules_of(file).map(|(name, _)| name).collect();
        let _ = writeln!(out, "{}", area_name(file));
        wrap(&rules.join(", "), 2, &mut out);
    }
    let _ = writeln!(out, "built in");
    wrap(&builtins::names().collect::<Vec<_>>().join(", "), 2, &mut out);
    let _ = writeln!(out, "kinds of value");
    wrap(&KINDS.iter().map(|(name, _)| *name).collect::<Vec<_>>().join(", "), 2, &mut out);
    let _ = writeln!(out, "words of the language");
    wrap(&WORDS.iter().map(|(word, _)| *word).collect::<Vec<_>>().join(", "), 2, &mut out);
    out
}

/// The names that help knows, for suggestions.
pub fn topics() -> Vec<&'static str> {
    let areas = library::FILES.iter().filter_map(|(file, _)| file.strip_suffix(".scant"));
    let mut topics: Vec<&str> =
        library::index().keys().copied().chain(builtins::names()).chain(areas).collect();
    topics.extend(WORDS.iter().map(|(word, _)| *word));
    topics.sort_unstable();
    topics.dedup();
    topics
}

pub(crate) fn rules_of(file: usize) -> impl Iterator<Item = (&'static str, &'static Entry)> {
    let mut rules: Vec<_> = library::index().iter().filter(|(_, entry)| entry.file == file).collect();
    rules.sort_by_key(|(_, entry)| entry.start);
    rules.into_iter().map(|(name, entry)| (*name, entry))
}

/// The name of an area.
pub(crate) fn area_name(file: usize) -> &'static str {
    library::FILES.get(file).map_or("", |(name, _)| name.strip_suffix(".scant").unwrap_or(name))
}

/// What an area says of itself.
pub(crate) fn foreword(file: usize) -> String {
    let text = library::FILES.get(file).map_or("", |(_, text)| text);
    let rows = text.lines().take_while(|row| row.starts_with("##"));
    rows.map(|row| row.trim_start_matches('#').trim()).collect::<Vec<_>>().join(" ")
}

fn area(file: usize) -> String {
    let mut out = format!("{}\n\n", area_name(file));
    wrap(&foreword(file), 0, &mut out);
    out.push('\n');
    for (name, entry) in rules_of(file) {
        let doc = rule_doc(name, entry);
        wrap(&doc.heading, 0, &mut out);
        wrap(&doc.first, 4, &mut out);
    }
    out
}

fn doc_rows(entry: &Entry) -> impl Iterator<Item = &'static str> {
    entry.doc_text().lines().map(|row| row.trim_start().trim_start_matches('#').trim())
}

/// What the library says of a rule.
#[derive(Debug)]
pub(crate) struct RuleDoc {
    /// Its name, arguments and kind, on one row.
    pub heading: String,
    /// Its words.
    pub words: String,
    /// The first sentence of them, without its full stop.
    pub first: String,
    /// The rows of its formula.
    pub formula: Vec<&'static str>,
    /// Its examples, each with the answer.
    pub examples: Vec<&'static str>,
    /// Where it comes from.
    pub sources: Vec<&'static str>,
    /// The other rules of its area, in order.
    pub beside: Vec<&'static str>,
    /// The rules that its formula calls, and those whose formulas call it, in alphabetical order.
    pub with: Vec<&'static str>,
}

/// The rules that a formula calls.
fn calls(entry: &Entry) -> impl Iterator<Item = &'static str> {
    let (_, body) = split(entry.text());
    let words = body.split_inclusive('(').filter_map(|part| part.strip_suffix('('));
    let names =
        words.map(|part| part.rsplit(|c: char| !(c.is_alphanumeric() || c == '_')).next().unwrap_or(""));
    names.filter_map(|name| library::index().get_key_value(name)).map(|(name, _)| *name)
}

/// Which rules call which, both ways.
fn together() -> &'static BTreeMap<&'static str, BTreeSet<&'static str>> {
    static TOGETHER: OnceLock<BTreeMap<&'static str, BTreeSet<&'static str>>> = OnceLock::new();
    TOGETHER.get_or_init(|| {
        let mut all: BTreeMap<&str, BTreeSet<&str>> = BTreeMap::new();
        for (name, entry) in library::index() {
            for other in calls(entry).filter(|other| other != name) {
                all.entry(name).or_default().insert(other);
                all.entry(other).or_default().insert(name);
            }
        }
        all
    })
}

pub(crate) fn rule_doc(name: &str, entry: &Entry) -> RuleDoc {
    let mut words = Vec::new();
    let (mut examples, mut sources) = (Vec::new(), Vec::new());
    for row in doc_rows(entry) {
        match (row.strip_prefix("try "), row.strip_prefix("source ")) {
            (Some(example), _) => examples.push(example),
            (_, Some(source)) => sources.push(source),
            _ => words.push(row),
        }
    }
    let words = words.join(" ");
    let first = words.split_once(". ").map_or(words.as_str(), |(first, _)| first);
    let first = first.trim_end_matches('.').to_owned();
    let heading = heading(name, entry.text());
    let beside: Vec<&str> =
        rules_of(entry.file).map(|(other, _)| other).filter(|other| *other != name).collect();
    let with = together().get(name).map_or(Vec::new(), |with| with.iter().copied().collect());
    let formula = formula(entry.text()).collect();
    RuleDoc { heading, words, first, formula, examples, sources, beside, with }
}

fn rule(name: &str, entry: &Entry) -> String {
    let mut out = String::new();
    let doc = rule_doc(name, entry);
    wrap(&doc.heading, 0, &mut out);
    out.push('\n');
    wrap(&doc.words, 0, &mut out);
    let _ = writeln!(out, "\nformula");
    doc.formula.iter().for_each(|row| code_row(row, &mut out));
    if let Some(worked_out) = crate::check::library_signature(name) {
        out.push('\n');
        for row in worked_out.trim_end().lines() {
            let indent = row.len() - row.trim_start().len();
            wrap(row, indent, &mut out);
        }
    }
    let _ = writeln!(out, "\nexample{}", if doc.examples.len() == 1 { "" } else { "s" });
    doc.examples.iter().for_each(|row| code_row(row, &mut out));
    let _ = writeln!(out, "\nsource");
    for source in doc.sources {
        wrap(source, 2, &mut out);
    }
    if !doc.with.is_empty() {
        let _ = writeln!(out, "\nworks with");
        wrap(&doc.with.join(", "), 2, &mut out);
    }
    if !doc.beside.is_empty() {
        let _ = writeln!(out, "\nbeside it in {}", area_name(entry.file));
        wrap(&doc.beside.join(", "), 2, &mut out);
    }
    out
}

/// The rule's heading on one row: everything before the `=` of its formula.
fn heading(name: &str, text: &str) -> String {
    let (head, _) = split(text);
    let head = head.strip_prefix("rule ").unwrap_or(head);
    let joined = head.split_whitespace().collect::<Vec<_>>().join(" ");
    if joined.is_empty() { name.to_owned() } else { joined.replace("( ", "(").replace(" )", ")") }
}

fn formula(text: &'static str) -> impl Iterator<Item = &'static str> {
    let (_, body) = split(text);
    body.trim().lines().map(str::trim_end)
}

/// Heading and formula, split at the `=` outside the heading's brackets.
fn split(text: &str) -> (&str, &str) {
    let mut depth = 0usize;
    let mut quoted = false;
    for (at, byte) in text.bytes().enumerate() {
        match byte {
            b'"' => quoted = !quoted,
            _ if quoted => {}
            b'(' | b'[' | b'{' => depth += 1,
            b')' | b']' | b'}' => depth = depth.saturating_sub(1),
            b'=' if depth == 0 => {
                return (text.get(..at).unwrap_or(text).trim(), text.get(at + 1..).unwrap_or(""));
            }
            _ => {}
        }
    }
    (text.trim(), "")
}

/// A row whose next rows hang below its second column.
fn hang(row: &str, column: usize, out: &mut String) {
    let mut rest = String::new();
    wrap(row.get(column..).unwrap_or(row), column, &mut rest);
    out.push_str(row.get(..column).unwrap_or(""));
    out.push_str(rest.trim_start());
}

/// A row of the library's own text; one too long for a terminal goes on below, further in.
fn code_row(row: &str, out: &mut String) {
    let indent = 2 + row.len() - row.trim_start().len();
    if row.chars().count() + 2 <= 80 {
        let _ = writeln!(out, "  {row}");
        return;
    }
    let mut rest = String::new();
    wrap(row, indent + 4, &mut rest);
    let _ = writeln!(out, "{}{}", " ".repeat(indent), rest.trim());
}

/// Appends words in rows of at most 78 columns.
pub(crate) fn wrap(words: &str, indent: usize, out: &mut String) {
    let mut column = 0;
    for word in words.split_whitespace() {
        let long = word.chars().count();
        if column > 0 && column + 1 + long > 78 {
            out.push('\n');
            column = 0;
        }
        if column == 0 {
            out.extend(std::iter::repeat_n(' ', indent));
            column = indent;
        } else {
            out.push(' ');
            column += 1;
        }
        out.push_str(word);
        column += long;
    }
    if column > 0 {
        out.push('\n');
    }
}

/// The words of the language, each with what it does and an example.
const WORDS: &[(&str, &str)] = &[
    ("nearest", "x nearest 1/8 in\n\nrounds to the nearest mark, halves away from zero; the value changes"),
    ("up", "x up 1/8 yd\n\nrounds to a step that is never less than x, as a shop does; the value changes"),
    ("down", "x down 1/2 in\n\nrounds to a step that is never more than x; the value changes"),
    ("shown", "x shown in cm, x shown in 1/16 in\n\nonly the reading changes, not the value"),
    ("ruler", "ruler 1/16 in\n\nfrom here on measures are read at these marks"),
    ("shop", "shop 1/8 yd\n\nfrom here on lengths to buy go up to this step"),
    (
        "seam",
        "seam 1/4 in\n\nfrom here on `seam` stands for this seam allowance, also in the library's rules",
    ),
    ("how", "how many 5 in from 42 in\n\na record: `.count` is 8, `.left` is 2 in; an exact fit counts"),
    (
        "each",
        "each k from 1 to 3: k * 2 in\neach w in [28 in, 30 in]: w + 1 in\n\na list of what is made of each",
    ),
    ("to", "1 to 9, 0 in to 12 in every 1/2 in\n\na list of equal steps, both ends counted"),
    ("by", "8 1/2 in by 11 in\n\na size: `.across` by `.along`"),
    ("if", "if a < b then a else b\n\na choice; `else` is always needed"),
    ("is", "a is b, a is not b\n\nwhether two values are the same, exactly"),
    ("of", "5% of 4 yd\n\na part of a measure"),
    ("that", "that + 1 in\n\nat the prompt: the last answer"),
    ("recipe", "recipe \"Harbour table runner\"\n\nthe recipe's name"),
    ("note", "note \"Linen runner with crossed tucks.\"\n\nwords at the head of the docket"),
    (
        "given",
        "given depth = 1/8 in from 1/16 in to 1/2 in\ngiven side = \"left\" one of \"left\", \"right\"\n\na value that `--set` and a table of sizes can change, within its bounds",
    ),
    (
        "rule",
        "rule twice(x: length, times: count = 2) = times * x\n\na named formula; a block in braces holds several rows",
    ),
    (
        "cut",
        "cut 2 \"panel\" from linen: 14 in by 48 in\ncut 2 \"border\" from linen: 5 in by 68 in, along selvage\ncut 4 \"sleeve\" from linen: 12 in by 17 in, on grain, mirrored\n\npieces for the cut list: across the cloth by along it; behind a comma, how they lie:\n\n  on grain        as written, never turned: so are all pieces of a directional cloth\n  may turn        turned a quarter where that saves cloth: so are all pieces of any other\n  along selvage   as written, and cut off the selvage first, before the cloth is cut across\n  mirrored        in pairs, left and right; the count is that of both",
    ),
    (
        "have",
        "have 1 of linen: 18 in by 22 in\nhave 30 of linen: 42 in by 18 in at 4 EUR\n\ncloth of a fixed size, washed already: it is used where that saves cloth to buy. With a\nprice, cloth sold by the piece: each one used is paid for",
    ),
    (
        "plan",
        "plan linen\nplan linen edge to edge, for 12 kits, on 2 1/2 yd, more \"napkin\"\n\nlays out all that is cut from a cloth, as short as it can be; shows each way that the tool in\nhand can cut it, what is proved of it, the order of the cuts, and a picture. Without one\na cloth is cut in strips.\n\n  in strips            strips from selvage to selvage, cut up into pieces, trimmed\n  edge to edge         every cut runs from edge to edge of what it cuts\n  any way              pieces lie anyhow, for scissors\n                       (none of these: the plainest that buys no more cloth)\n  folded               on cloth folded lengthwise: pairs are cut at once, mirrored\n  for 12 kits          the cut list of this cloth, so many times\n  from cloth in hand   none is bought: `have` lines say what there is\n  on 2 1/2 yd          whether that length, as bought, is enough\n  more \"napkin\"        how many more of that piece fit on it, or on what is bought",
    ),
    (
        "tool",
        "tool scissors\ntool rotary\n\nfrom here on cloths are planned for this tool: a rotary cutter cuts from edge to edge, scissors\nany way. Without one, rotary",
    ),
    (
        "±",
        "8 in ± 1/32 in, 8 in +- 1/32 in, 8 in ± 5%\n\na measure that is known give or take; `±` belongs to what stands right before it. The answer\nis never too narrow, and exact where the sum is a straight one. A slack that is written once\nand worked once is one source: what hangs on it twice cancels, x - x is 0.\n\n  x.middle  x.slack      the measure, and how far off it may be\n  x.least  x.most        its ends, to be on the safe side\n  x <= 8 in              yes, no, or not sure; a check may stay not sure, an `if` may not",
    ),
    (
        "separate",
        "12 separate seams of 1/4 in ± 1/32 in\n\nso many of the same, each off by a slack of its own; what they are called stands in between",
    ),
    (
        "measured",
        "measured top = 59 5/8 in by 71 3/4 in\nmeasured top = 59 5/8 in by 71 3/4 in, already cut \"side border\"\n\nwhat was really sewn in place of what was planned on a line above. Lines before it keep\ntheir numbers, everything behind it is worked anew. The docket tells each number that changed,\nwhat was cut to the old one (pieces on `cut` lines above, and those named), and what to do about\nit. On the command line: `--measured top=\"59 5/8 in by 71 3/4 in\" --already-cut \"side border\"`,\nwhich counts from the line that plans it",
    ),
    ("buy", "buy 3 m \"cotton tape\" at 1.20 EUR/m\n\nwhat else to buy"),
    ("step", "step \"Mark {n} fold lines.\"\n\na written step; braces hold values"),
    ("show", "show \"cut size\": flat\n\na value for the docket"),
    (
        "check",
        "check flat.across <= linen.usable: \"too wide\"\n\nwhat must hold; a failed check makes the run fail, and one that slack leaves open is not sure",
    ),
    ("caution", "caution \"Close the rotary cutter.\"\n\nwords that the docket always shows"),
    (
        "sizes",
        "sizes\n  \"small\" finished = 12 by 36 in\n\nthe sizes that `scant grade` makes without a table",
    ),
    (
        "why",
        "why flat\nwhy edge.strips\nwhy flat briefly\nwhy\n\nthe working behind a value, or behind the last answer: each formula in its own words, the\nnumbers put in, the result, the rule and its source. `briefly` asks for one line. In a recipe\nthe docket ends with it; `scant run FILE --why` tells that of every value",
    ),
    (
        "find",
        "find sashing from 1/2 in to 4 in so that 5 * 9 in + 6 * sashing is 60 in\nfind most tucks from 1 to 40 so that tucks * 2 * depth <= 3 in\nfind least hem from 1/2 in to 3 in on 1/8 in so that 3 * hem >= 4 in\n\nruns a formula backwards. Between whole numbers, and on the marks of a step, every value is\ntried; without a step a straight line is solved exactly, and all else is halved until it is\nproved. What has slack must hold whatever the slack does. A new name has what is found; one\nthat has its value is only asked about, and what hangs on it is worked anew for each value\nthat is tried",
    ),
    ("use", "use \"house.scant\"\n\nthe names and rules of a file beside this one"),
];

fn word(name: &str) -> Option<&'static str> {
    WORDS.iter().find(|(word, _)| *word == name).map(|(_, words)| *words)
}
