//! The prompt is a recipe that grows: what a file is refused for it refuses too, in the same words, and what is
//! entered line by line comes to what the file comes to.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, clippy::indexing_slicing)] // a test that fails panics

use std::fmt::Write;

use proptest::prelude::*;
use scant::docket::Docket;
use scant::eval::limits::Limits;
use scant::fault::{self, Fault, Files};
use scant::recipe::build::compile;
use scant::recipe::used::{Host, NoFiles};
use scant::report;
use scant::session::entry::{Answer, Entered, Session};

fn session() -> Session {
    Session::new(Limits::default())
}

/// Enters rows that each must succeed; gives the words of the last answers.
fn all(session: &mut Session, entries: &[&str]) -> Vec<String> {
    let mut last = Vec::new();
    for entry in entries {
        let entered = session.enter(entry, &NoFiles);
        assert!(entered.faults.is_empty(), "{entry}: {}", fault::plain(&entered.faults, &session.files));
        last = words(&entered);
    }
    last
}

fn words(entered: &Entered) -> Vec<String> {
    let words = |answer: &Answer| match answer {
        Answer::Value(figure) => report::figure_text(figure),
        Answer::Changed(change) => format!("{} {}", change.what, report::figure_text(&change.after)),
        Answer::Words(words) => words.clone(),
        Answer::Docket(docket) => text(docket),
        Answer::Working(_) | Answer::Found(_) | Answer::Caution(_) => String::new(),
    };
    entered.answers.iter().map(words).collect()
}

fn text(docket: &Docket) -> String {
    let mut page = Vec::new();
    report::text(docket, &mut page).unwrap();
    String::from_utf8(page).unwrap()
}

/// The docket of a file, or its first fault.
fn made(text: &str, host: &dyn Host) -> Result<Docket, Fault> {
    let first = |mut faults: Vec<Fault>| faults.remove(0);
    let mut recipe = compile("r.scant", text, &mut Files::new(), host, &Limits::default()).map_err(first)?;
    let run = recipe.run(&[], None);
    if run.faults.is_empty() { Ok(run.docket) } else { Err(first(run.faults)) }
}

fn told(fault: &Fault) -> (String, String, Vec<String>) {
    (fault.code.as_str().into(), fault.message.clone(), fault.hints.clone())
}

#[test]
fn what_a_file_is_refused_for_the_prompt_refuses_in_the_same_words() {
    let linen = "linen = cloth(\"linen\", width: 54 in, selvage: 0 in)";
    let cases: &[&[&str]] = &[
        &["given x = 5 from 10 to 20"],
        &["n = 3", "buy n \"zip\" at 2 EUR/m"],
        &["if 1 < 2 then 3 in else 2 in + 1 in^2"],
        &["a = 1 in", "if 1 < 2 then a else a + 2"],
        &[linen, "cut 1 \"sail\" from linen: 60 in by 70 in, on grain"],
        &[
            linen,
            "have 1 of linen: 20 in by 20 in",
            "cut 1 \"patch\" from linen: 10 in by 10 in",
            "plan linen from cloth in hand",
            "cut 9 \"panel\" from linen: 15 in by 15 in",
        ],
        &["dear = cloth(\"dear\", width: 54 in, selvage: 0 in, price: 14 EUR)"],
        &["x = { a = 1 in\n a * 2 }", "a = 3 in"],
        &["x = each k from 1 to 3: k * 1 in", "k = 3"],
        &["pull = 60 in/m", "m = 4"],
        &["recipe \"one\"", "recipe \"two\""],
        &["given n = 1", "sizes\n  \"small\" n = 2", "sizes\n  \"large\" n = 3"],
        &["given n = 1", "sizes\n  \"small\" n = 2", "\"small\" n = 3"],
        &["rule half(x: length) = x / 2", "half = 3 in"],
        &["hem = 1 in", "rule hem(x) = x"],
        &["rule wide(x: length) = x + 1"],
        &["measured top = 3 in"],
        &["find x from 1 in to 4 in so that 2 * x"],
        &["check 3 in"],
        &["cut 2.5 \"panel\" from 3 in: 1 in"],
        &["use \"nowhere.scant\""],
        &["tool laser"],
        &["plan linen"],
        &["ruler 0 in"],
    ];
    for lines in cases {
        let mut session = session();
        let last = lines.len() - 1;
        all(&mut session, &lines[..last]);
        let saved = session.save();
        let entered = session.enter(lines[last], &NoFiles);
        let refused = entered.faults.first().unwrap_or_else(|| panic!("{lines:?} is taken"));
        let file = made(&lines.join("\n"), &NoFiles).expect_err("the file is refused");
        assert_eq!(told(refused), told(&file), "{lines:?}");
        assert_eq!(session.save(), saved, "a refused entry leaves nothing behind: {lines:?}");
    }
}

#[test]
fn a_refused_entry_leaves_nothing_behind() {
    let mut session = session();
    all(
        &mut session,
        &[
            "hem = 1 in",
            "rule twice(x: length) = 2 * x + hem",
            "linen = cloth(\"linen\", width: 54 in, selvage: 0 in)",
        ],
    );
    for bad in [
        "hem = 2 EUR",
        "hem = 2 in\nrule twice(x) = x\nseam 1/4 in\ntool scissors\ncut 1 \"a\" from linen: 1 in by 2 in\nwidth = 3 in + 1",
        "fold = 3 in\nplan linen",
        "measured hem = 3 cm\n1 in + 1",
    ] {
        let before = (session.save(), session.names().len());
        assert!(!session.enter(bad, &NoFiles).faults.is_empty(), "{bad}");
        assert_eq!((session.save(), session.names().len()), before, "{bad}");
        assert_eq!(all(&mut session, &["twice(1 in)"]), ["3 in"], "{bad}");
    }
    assert!(session.enter("fold", &NoFiles).faults[0].message.contains("nothing here is called `fold`"));
    assert!(session.enter("1 * seam", &NoFiles).faults[0].message.contains("no `seam` is set"));
}

#[test]
fn undo_takes_back_what_was_measured_and_what_came_of_it() {
    let mut session = session();
    all(&mut session, &["top = 60 in", "seam top / 240", "side = top + 2 * seam", "free = 1 in"]);
    assert_eq!(all(&mut session, &["measured top = 120 in"]).last().unwrap(), "side 121 in");
    assert_eq!(all(&mut session, &["1 * seam"]), ["1/2 in"]);
    // The sum goes with what was measured.
    assert_eq!(session.undo().map(|undone| undone.sums), Some(1));
    assert_eq!(all(&mut session, &["side", "1 * seam"]), ["1/4 in"]);
    assert_eq!(all(&mut session, &["side"]), ["60 1/2 in"]);
    while session.undo().is_some() {}
    assert!(session.names().is_empty());
    assert_eq!(session.save(), "recipe \"From the prompt\"\n\n");
}

/// One file beside the session.
struct House(&'static str);

impl Host for House {
    fn beside(&self, path: &str) -> Result<String, String> {
        if path == "house.scant" { Ok(self.0.into()) } else { Err("there is no such file".into()) }
    }
}

#[test]
fn what_a_used_file_gives_may_be_given_again() {
    let house = House("rule turned(x: length) = x + 1 in\nhem = 2 in\n");
    let mut session = session();
    for entry in [
        "use \"house.scant\"",
        "first = turned(hem)",
        "rule turned(x: length) = x + 3 in",
        "hem = 5 in",
        "second = turned(hem)",
        "use \"house.scant\"",
    ] {
        let entered = session.enter(entry, &house);
        assert!(entered.faults.is_empty(), "{entry}: {:?}", entered.faults);
    }
    let saved = session.save();
    assert_eq!(saved.matches("use \"house.scant\"").count(), 1, "{saved}");
    let docket = made(&format!("{saved}show first\nshow second\n"), &house);
    let docket = docket.unwrap_or_else(|fault| panic!("{saved}\n{fault:?}"));
    let shown: Vec<String> = docket.shows.iter().map(|shown| report::figure_text(&shown.value)).collect();
    assert_eq!(shown, ["3 in", "8 in"], "{saved}");
}

#[test]
fn a_rule_of_a_used_file_is_saved_and_loaded_with_what_it_meant() {
    let house = House(
        "rule turned(x: length) = x + 1 in\n## try both(1 in) is 4 in\n\
         rule both(x: length) = 2 * turned(x)\nhem = 2 in\n",
    );
    let mut session = session();
    let enter = |session: &mut Session, entry: &str| {
        let entered = session.enter(entry, &house);
        assert!(entered.faults.is_empty(), "{entry}: {:?}", entered.faults);
        words(&entered).pop()
    };
    let shown = |saved: &str| {
        let docket = made(&format!("{saved}show first\nshow second\n"), &house);
        let docket = docket.unwrap_or_else(|fault| panic!("{saved}\n{fault:?}"));
        docket.shows.iter().map(|shown| report::figure_text(&shown.value)).collect::<Vec<_>>()
    };
    enter(&mut session, "use \"house.scant\"");
    assert_eq!(enter(&mut session, "first = both(1 in)").unwrap(), "4 in");
    enter(&mut session, "rule turned(x: length) = x + 3 in");
    enter(&mut session, "hem = 5 in");
    assert_eq!(enter(&mut session, "second = both(1 in)").unwrap(), "8 in");
    let saved = session.save();
    assert_eq!(shown(&saved), ["4 in", "8 in"], "{saved}");
    assert!(!saved.contains("try"), "an example of the file holds there alone: {saved}");
    // What is loaded uses the file as it is, whatever was given again here.
    let entered = session.load("harbour.scant", &saved, &house);
    assert!(entered.faults.is_empty(), "{:?}", entered.faults);
    assert_eq!(enter(&mut session, "third = both(1 in)").unwrap(), "4 in");
    let again = session.save();
    assert_eq!(shown(&again), ["4 in", "8 in"], "{again}");
    assert_eq!(again.matches("use \"house.scant\"").count(), 1, "{again}");
    // Used again, a file gives its values and rules again.
    enter(&mut session, "hem = 7 in");
    enter(&mut session, "use \"house.scant\"");
    assert_eq!(enter(&mut session, "hem").unwrap(), "2 in");
    while session.undo().is_some() {}
    assert!(session.names().is_empty());
}

#[test]
fn a_recipe_that_is_loaded_takes_the_place_of_its_lines() {
    let mut session = session();
    all(
        &mut session,
        &[
            "linen = cloth(\"linen\", width: 54 in, selvage: 0 in)",
            "cut 2 \"panel\" from linen: 18 in by 18 in",
            "plan linen",
        ],
    );
    let saved = session.save();
    let entered = session.load("harbour.scant", &saved, &NoFiles);
    assert!(entered.faults.is_empty(), "{:?}", entered.faults);
    let plan = words(&entered).pop().unwrap();
    assert!(plan.contains("] 2  panel"), "{plan}");
    let rows = |text: &str| text.replace("\n\n", "\n");
    assert_eq!(rows(&session.save()), rows(&saved));
    // Taken back, the lines before it stand again.
    assert!(session.undo().is_some());
    assert_eq!(session.save(), saved);
    let again = all(&mut session, &["cut 1 \"tie\" from linen: 3 in by 54 in\nplan linen"]).pop().unwrap();
    assert!(again.contains("] 2  panel") && again.contains("] 1  tie"), "{again}");
}

#[test]
fn sizes_are_typed_row_by_row() {
    let mut session = session();
    all(&mut session, &["given n = 1 from 1 to 9", "sizes", "\"small\" n = 2", "why n", "\"large\" n = 4"]);
    let saved = session.save();
    let recipe = compile("r.scant", &saved, &mut Files::new(), &NoFiles, &Limits::default()).unwrap();
    let labels: Vec<&str> = recipe.sizes.iter().map(|size| &*size.label).collect();
    assert_eq!(labels, ["small", "large"], "{saved}");
    let entered = session.enter("\"long\" n = 3 in", &NoFiles);
    assert_eq!(entered.faults[0].code.as_str(), "wrong-kind");
    all(&mut session, &["free = 1 in"]);
    assert!(!session.enter("\"long\" n = 3", &NoFiles).faults.is_empty(), "the rows have ended");
}

#[test]
fn an_if_goes_on_in_the_next_row() {
    let mut session = session();
    assert!(session.enter("if 2 > 1", &NoFiles).unfinished);
    assert!(session.enter("if 2 > 1\nthen 3 in", &NoFiles).unfinished);
    assert_eq!(all(&mut session, &["if 2 > 1\nthen 3 in\nelse 4 in"]), ["3 in"]);
}

#[test]
fn a_plans_complaint_names_the_entry() {
    let mut session = session();
    all(
        &mut session,
        &[
            "linen = cloth(\"linen\", width: 54 in, selvage: 0 in)",
            "cut 1 \"sail\" from linen: 40 in by 70 in",
        ],
    );
    let entered = session.enter("plan linen folded", &NoFiles);
    let told = fault::plain(&entered.faults, &session.files);
    assert!(told.contains("entry 2:1:") && told.contains("half as wide when folded"), "{told}");
}

#[test]
fn what_was_only_asked_is_kept_where_that_speaks_of_it() {
    let mut session = session();
    all(
        &mut session,
        &[
            "depth = 1/8 in",
            "flat = 14 in + 10 * depth",
            "find depth from 1/16 in to 1 in so that flat is 16 in",
        ],
    );
    all(&mut session, &["depth = that"]);
    let saved = session.save();
    let docket =
        made(&format!("{saved}show depth\n"), &NoFiles).unwrap_or_else(|fault| panic!("{saved}\n{fault:?}"));
    let shown = report::figure_text(&docket.shows[0].value);
    assert!(shown.contains("(0.2 in)"), "{shown}\n{saved}");
}

#[test]
fn two_values_that_changed_alike_are_both_told() {
    let text = "across = 20 in\nalong = 20 in\nmeasured across = 20 1/8 in\nmeasured along = 20 1/8 in\n\
                show \"deep across\": (across - 20 in) / 2\nshow \"deep down\": (along - 20 in) / 2\n\
                show \"by name\": across\n";
    let measured = made(text, &NoFiles).unwrap().measured.unwrap();
    let told: Vec<&str> = measured.changes.iter().map(|change| &*change.what).collect();
    assert_eq!(told, ["deep across", "deep down"]);
}

#[test]
fn a_piece_that_was_cut_before_a_measurement_keeps_its_size_at_the_prompt_as_in_a_file() {
    let lines = [
        "linen = cloth(\"linen\", width: 54 in, selvage: 0 in)",
        "top = 40 in",
        "cut 1 \"border\" from linen: top by 3 in",
        "measured top = 39 in, already cut \"border\"",
        "side = top + 1 in",
        "cut 2 \"border\" from linen: side by 4 in",
        "cut 2 \"end\" from linen: side by 4 in",
    ];
    let file = text(&made(&lines.join("\n"), &NoFiles).unwrap());
    let mut session = session();
    assert_eq!(
        all(&mut session, &lines[..6]),
        ["cut 2 border, 41 in by 4 in (kept for a `plan` and for the recipe)"]
    );
    assert_eq!(all(&mut session, &["side"]), ["40 in"]);
    all(&mut session, &lines[6..]);
    let plan = all(&mut session, &["plan linen"]).pop().unwrap();
    for piece in
        ["[ ] 1  border  40 in by 3 in", "[ ] 2  border  41 in by 4 in", "[ ] 2  end     40 in by 4 in"]
    {
        assert!(plan.contains(piece), "{plan}");
        assert!(file.contains(piece), "{file}");
    }
}

/// A session in which all rows are entered at once.
fn pasted(rows: &str) -> Session {
    let mut session = session();
    all(&mut session, &[rows]);
    session
}

// ---- random recipes --------------------------------------------------------------------------

/// A line that may stand in a recipe: what it says, by a number and by names before it.
fn line(at: usize, pick: u8, number: u8, names: &mut Vec<String>) -> String {
    let number = u32::from(number) + 1;
    let known = |shift: usize| names.get((pick as usize + shift) % names.len().max(1)).cloned();
    let (a, b) = (known(0), known(3));
    let (a, b) = (a.unwrap_or_else(|| "1 in".into()), b.unwrap_or_else(|| "2 in".into()));
    match pick % 16 {
        0..=2 => {
            names.push(format!("v{at}"));
            format!("v{at} = {a} + {number}/8 in")
        }
        3 => {
            names.push(format!("v{at}"));
            format!("v{at} = wider({a}, {number}) - {b} / 2")
        }
        4 => {
            names.push(format!("g{at}"));
            format!("given g{at} = {number} in from 1 in to 40 in")
        }
        5 => format!("show \"it {number}\": {a} * {number}"),
        6 => format!("check {a} < {b} + {number} in: \"{{{a}}} is too wide\""),
        7 => format!("step \"Press {{{a}}} under, {number} times.\""),
        8 => format!("buy {a} \"tape {number}\" at {number} EUR/m"),
        9 => format!("cut {number} \"piece {at}\" from linen: {a} + 1 in by {number} in"),
        10 => format!("seam {number}/8 in"),
        11 => format!("ruler 1/{} in", 1 << (number % 6)),
        12 => {
            names.push(format!("f{at}"));
            format!("find f{at} from 0 in to 99 in so that 2 * f{at} is {number} in")
        }
        13 if number.is_multiple_of(2) => {
            format!("buy {a} \"cord {number}\" in packs of {number} in at {number} EUR")
        }
        14 if number.is_multiple_of(2) => format!("show \"a share\": total / {number}"),
        15 if number.is_multiple_of(2) => {
            format!("buy {number} \"button\" in packs of {} at 2.80 EUR", pick % 5 + 1)
        }
        15 if number.is_multiple_of(3) => format!("step \"Ask {{total / {number}}} each.\""),
        15 if number.is_multiple_of(5) => format!("check total < {number}00 EUR"),
        // Now and then something that cannot be.
        13 if number.is_multiple_of(7) => format!("v{at} = {a} + {number}"),
        14 if number.is_multiple_of(7) => format!("buy {number} \"zip\" at 2 EUR/m"),
        _ => format!("note \"{number}\""),
    }
}

/// The lines as a file with comments, documentation and blank rows.
fn commented(lines: &[String]) -> String {
    let mut text = String::from("# of the loft\n\n");
    for (at, line) in lines.iter().enumerate() {
        let above = ["", "\n", "# for the sail\n", "\n## how wide\n", "# a\n\n\n## b\n"][at % 5];
        let _ = writeln!(text, "{above}{}{line}{}", ["", "  "][at % 2], ["", "   # why", " "][at % 3]);
    }
    text + "\n# the end\n"
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(96))]

    #[test]
    fn line_by_line_and_as_a_file_come_to_the_same(picks in prop::collection::vec((any::<u8>(), 0u8..48), 1..24)) {
        let mut lines = vec![
            "recipe \"Harbour\"".to_owned(),
            "linen = cloth(\"linen\", width: 54 in, selvage: 0 in, shop: 1/8 yd, price: 9 EUR/m)".into(),
            "rule wider(x: length, n: count) = x + n * 1/8 in".into(),
            "buy 1 \"reel of thread\" at 2.40 EUR".into(),
        ];
        let mut names = Vec::new();
        lines.extend(picks.iter().enumerate().map(|(at, (pick, number))| line(at, *pick, *number, &mut names)));
        let mut session = session();
        let mut refused = None;
        let mut entered = String::new();
        for line in &lines {
            let answer = session.enter(line, &NoFiles);
            let _ = writeln!(entered, "{line}");
            if let Some(fault) = answer.faults.into_iter().next() {
                refused = Some(fault);
                break;
            }
        }
        match (made(&entered, &NoFiles), refused) {
            (Ok(file), None) => {
                let commented = commented(&lines);
                let mut loaded = crate::session();
                prop_assert!(loaded.load("r.scant", &commented, &NoFiles).faults.is_empty());
                prop_assert_eq!(loaded.save(), commented);
                let mut at_once = pasted(&entered);
                for saved in [session.save(), at_once.save()] {
                    let again = made(&saved, &NoFiles);
                    prop_assert!(again.is_ok(), "{saved}\n{:?}", again.err());
                    prop_assert_eq!(text(&again.unwrap()), text(&file), "{}", saved);
                }
                for session in [&mut session, &mut at_once] {
                    let total = file.totals.iter().map(report::figure_text).collect::<Vec<_>>();
                    prop_assert_eq!(words(&session.enter("total", &NoFiles)), total, "{}", entered);
                }
            }
            (Err(file), Some(refused)) => prop_assert_eq!(told(&refused), told(&file), "{}", entered),
            (file, refused) => prop_assert!(false, "{entered}\nthe file: {file:?}\nthe prompt: {refused:?}"),
        }
    }
}

#[test]
fn what_was_measured_of_an_older_value_is_saved_only_where_it_is_spoken_of() {
    let mut session = session();
    all(
        &mut session,
        &["top = 60 in", "measured top = 59 in", "side = top + 1 in", "top = 50 in", "measured top = 49 in"],
    );
    let saved = session.save();
    assert!(saved.contains("measured top_1 = 59 in") && saved.contains("measured top = 49 in"), "{saved}");
    let docket =
        made(&format!("{saved}show side\n"), &NoFiles).unwrap_or_else(|fault| panic!("{saved}\n{fault:?}"));
    assert_eq!(report::figure_text(&docket.shows[0].value), "60 in");
    all(&mut session, &["side = 3 in"]);
    assert!(!session.save().contains("59 in"), "{}", session.save());
}

// ---- what is loaded and saved -----------------------------------------------------------------

/// Files of the folder of examples.
struct Examples;

impl Host for Examples {
    fn beside(&self, path: &str) -> Result<String, String> {
        let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("examples");
        std::fs::read_to_string(folder.join(path)).map_err(|error| error.to_string())
    }
}

#[test]
fn what_is_loaded_and_saved_is_the_same_text() {
    let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR"));
    let mut count = 0;
    for name in ["examples", "stdlib"] {
        let files = std::fs::read_dir(folder.join(name)).unwrap().map(|file| file.unwrap().path());
        for path in files.filter(|path| path.extension().is_some_and(|ending| ending == "scant")) {
            let text = std::fs::read_to_string(&path).unwrap();
            let mut session = session();
            let entered = session.load("r.scant", &text, &Examples);
            let told = fault::plain(&entered.faults, &session.files);
            assert!(told.is_empty(), "{}: {told}", path.display());
            assert_eq!(session.save(), text, "{}", path.display());
            count += 1;
        }
    }
    assert!(count > 20, "{count}");
}

/// A file with all that stands around lines.
const RUNNER: &str = "\u{feff}# runner of the loft\r
# second row

  recipe \"Runner\"   # its title

# --- measures

## depth of one tuck
## try depth is 1/8 in
given depth = 1/8 in from 1/16 in to 1/2 in # fold to stitching
# of the house
hem = 1 in # double

## twice, and a hem
## try twice(1 in) is 3 in
## source common practice, no source
rule twice(x: length) = 2 * x + hem # not less

# --- pieces

flat = [
  14 in, # across
  48 in + hem,
] # no bound edge
why flat
find depth from 1/16 in to 1/2 in so that 8 * depth is 2 in # only asked
show \"long\": flat[2]

sizes # of the loft
  # small first
  \"small\" depth = 1/16 in # fine

  \"large\" depth = 1/4 in
# the end
";

fn loaded() -> Session {
    let mut session = session();
    let entered = session.load("runner.scant", RUNNER, &NoFiles);
    assert!(entered.faults.is_empty(), "{}", fault::plain(&entered.faults, &session.files));
    session
}

/// What differs: rows that are gone, and rows that are new.
fn differs(saved: &str) -> Vec<String> {
    let rows = |of: &str, other: &str, sign: &str| -> Vec<String> {
        let mut other: Vec<String> = other.lines().map(str::to_owned).collect();
        let mut left = Vec::new();
        for row in of.lines() {
            match other.iter().position(|known| known == row) {
                Some(at) => drop(other.remove(at)),
                None => left.push(format!("{sign}{row}")),
            }
        }
        left
    };
    let mut all = rows(RUNNER, saved, "-");
    all.extend(rows(saved, RUNNER, "+"));
    all
}

#[test]
fn comments_and_documentation_of_what_was_loaded_are_saved() {
    let mut session = loaded();
    assert_eq!(session.save(), RUNNER);
    all(&mut session, &["## room to spare\nroom = 3 in   # at each end"]);
    assert_eq!(session.save(), format!("{RUNNER}## room to spare\nroom = 3 in   # at each end\n"));
    session.undo();
    // The sum goes with the name before it.
    all(&mut session, &["hem = 2 in", "flat"]);
    session.undo();
    assert_eq!(session.save(), RUNNER);
}

#[test]
fn comments_go_with_a_line_whose_name_was_given_again() {
    let mut session = loaded();
    // What speaks of the older value keeps it, with what was said of it.
    all(&mut session, &["hem = 2 in # wide"]);
    let saved = session.save();
    assert_eq!(
        differs(&saved),
        [
            "-hem = 1 in # double",
            "-  48 in + hem,",
            "+hem_1 = 1 in # double",
            "+  48 in + hem_1,",
            "+hem = 2 in # wide"
        ],
        "{saved}"
    );
    assert!(saved.contains("# of the house\nhem_1 = 1 in # double\n\n## twice"), "{saved}");
    // A rule in its two meanings is documented twice; each example is of its own.
    let mut session = loaded();
    all(&mut session, &["wide = twice(4 in)", "rule twice(x: length) = 2 * x", "wide"]);
    let saved = session.save();
    assert!(saved.contains("## try twice_1(1 in) is 3 in\n"), "{saved}");
    assert!(saved.contains("\nrule twice_1(x: length) = 2 * x + hem # not less\n"), "{saved}");
    let checked = compile("r.scant", &saved, &mut Files::new(), &NoFiles, &Limits::default());
    assert!(checked.is_ok(), "{saved}");
}

#[test]
fn a_line_that_is_gone_takes_its_own_comments_with_it_and_no_others() {
    let mut session = loaded();
    all(&mut session, &["flat = [1 in, 2 in]"]);
    assert!(session.forget("twice"));
    let saved = session.save();
    assert!(!saved.contains("twice, and a hem") && !saved.contains("not less"), "{saved}");
    assert!(saved.contains("# double\n\n# --- pieces\n\nflat_1 = ["), "{saved}");
}

#[test]
fn a_file_of_rules_stays_one_that_others_use() {
    let mut session = session();
    let rules = "# of the house\nrule hemmed_edge(x: length) = x + 2 in\n";
    assert!(session.load("house.scant", rules, &NoFiles).faults.is_empty());
    all(&mut session, &["rule bound(x: length) = x"]);
    assert_eq!(session.save(), format!("{rules}rule bound(x: length) = x\n"));
}

#[test]
fn what_is_loaded_stops_while_it_is_read_and_checked() {
    use std::sync::atomic::Ordering;
    let mut session = session();
    all(&mut session, &["hem = 1 in", "rule wide(x: length) = x + hem"]);
    let saved = session.save();
    let rules: String = (0..200).map(|at| format!("rule r{at}(a, b) = a * b + {at}\n")).collect();
    // A mistake in the last line would be told if all of them were read.
    for text in [format!("{rules}hem = 2 in\n"), format!("{rules}= =\n"), format!("{rules}x = 1 in + 1\n")] {
        session.limits().stop.store(true, Ordering::Relaxed);
        let entered = session.load("rules.scant", &text, &NoFiles);
        let told: Vec<&str> = entered.faults.iter().map(|fault| fault.code.as_str()).collect();
        assert_eq!(told, ["stopped"], "{text}");
        session.limits().stop.store(false, Ordering::Relaxed);
        assert_eq!(session.save(), saved, "nothing of it is left");
    }
    assert_eq!(all(&mut session, &["wide(2 in)"]), ["3 in"]);
    let text = format!("{rules}hem = 2 in\nshow wide(2 in)\n");
    assert!(session.load("rules.scant", &text, &NoFiles).faults.is_empty());
    assert_eq!(all(&mut session, &["wide(2 in)", "r3(2, 3)"]).len(), 1);
}

#[test]
fn rules_that_are_given_a_new_meaning_again_and_again_come_to_an_end() {
    let mut session = session();
    let rules: String = (0..3_000).map(|at| format!("rule r{at}(x) = x * hem\n")).collect();
    all(&mut session, &[&format!("hem = 1 in\n{rules}")]);
    let saved = session.save();
    let again = "hem = 2 in\n".repeat(60);
    let entered = session.enter(&again, &NoFiles);
    let told: Vec<(&str, &str)> =
        entered.faults.iter().map(|fault| (fault.code.as_str(), fault.message.as_str())).collect();
    let words = "too many rules use this: a prompt keeps at most 100000";
    assert_eq!(told, [("too-much", words)]);
    assert_eq!(session.save(), saved);
    all(&mut session, &["hem = 3 in", "r7(2)"]);
}
