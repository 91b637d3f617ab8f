//! The prompt, entry by entry, with a world of files that stands in memory.

use std::cell::RefCell;
use std::collections::BTreeMap;
use std::sync::atomic::Ordering;
use std::time::{Duration, Instant};

use scant::eval::limits::Limits;
use scant::prompt::{World, one};
use scant::recipe::used::Host;
use scant::report::Screen;
use scant::session::entry::Session;

use crate::bench::{Folder, scant};

/// Files in memory.
#[derive(Default)]
struct Shelf(RefCell<BTreeMap<String, String>>);

impl Shelf {
    fn get(&self, path: &str) -> Result<String, String> {
        self.0.borrow().get(path).cloned().ok_or_else(|| "there is no such file".into())
    }
}

impl Host for Shelf {
    fn beside(&self, path: &str) -> Result<String, String> {
        self.get(path)
    }
}

impl World for Shelf {
    fn load(&self, path: &str) -> Result<String, String> {
        self.get(path)
    }

    fn save(&self, path: &str, text: &str, _again: bool) -> Result<(), String> {
        if path.contains('/') {
            return Err("there is no such folder".into());
        }
        self.0.borrow_mut().insert(path.into(), text.into());
        Ok(())
    }
}

/// A session and its files.
struct Prompt {
    session: Session,
    shelf: Shelf,
}

impl Prompt {
    fn new() -> Prompt {
        Prompt { session: Session::new(Limits::default()), shelf: Shelf::default() }
    }

    /// Answers an entry that does not end the session.
    fn say(&mut self, entry: &str) -> String {
        let mut out = Vec::new();
        let goes_on = one(entry, &mut self.session, &self.shelf, Screen::default(), &mut out).unwrap();
        assert!(goes_on, "`{entry}` ends the session");
        String::from_utf8(out).unwrap()
    }

    /// Enters rows that each must succeed; gives the last answer.
    fn all(&mut self, entries: &[&str]) -> String {
        let mut last = String::new();
        for entry in entries {
            last = self.say(entry);
            assert!(!last.contains("error"), "{entry}: {last}");
        }
        last
    }
}

#[test]
fn sums_names_and_the_last_answer() {
    let mut prompt = Prompt::new();
    assert_eq!(prompt.say("6 * 3/4 in"), "4 1/2 in\n");
    assert_eq!(prompt.say("that + 1/4 in"), "4 3/4 in\n");
    assert_eq!(prompt.say("strip = that * 2"), "9 1/2 in\n");
    assert_eq!(prompt.say("strip"), "9 1/2 in\n");
    assert_eq!(prompt.say(""), "");
    assert_eq!(prompt.say("a = 1 in\nb = 2 in\na + b"), "1 in\n2 in\n3 in\n");
}

#[test]
fn a_fault_changes_nothing() {
    let mut prompt = Prompt::new();
    prompt.all(&["hem = 1 in", "hem * 2"]);
    let told = prompt.say("hem = 3 in\nflat = hem + 2");
    assert!(told.contains("error[unit-mix]") && told.contains("entry 3:2:"), "{told}");
    assert_eq!(prompt.say("that"), "2 in\n");
    assert_eq!(prompt.say("hem"), "1 in\n");
    assert!(prompt.say("hemm").contains("did you mean `hem`?"));
}

#[test]
fn stale_answers_are_told() {
    let mut prompt = Prompt::new();
    prompt.all(&["depth = 1/8 in", "take = 10 * depth", "flat = 14 in + take"]);
    let told = prompt.say("depth = 1/4 in");
    assert!(told.contains("`take`") && told.contains("`flat`") && told.contains("old value"), "{told}");
    assert_eq!(prompt.say("flat"), "15 1/4 in\n");
    prompt.all(&["rule twice(x) = 2 * x", "pair = twice(3 in)"]);
    let told = prompt.say("rule twice(x) = 3 * x");
    assert!(told.contains("`pair`"), "{told}");
    assert!(!told.contains("`take`"), "{told}");
}

#[test]
fn undo_and_forget() {
    let mut prompt = Prompt::new();
    prompt.all(&["hem = 1 in", "hem = 2 in"]);
    assert_eq!(prompt.say("undo"), "taken back: hem = 2 in\n");
    assert_eq!(prompt.say("hem"), "1 in\n");
    // The sum goes with the name before it.
    assert_eq!(prompt.say("undo"), "taken back: hem = 1 in, and the sum after it\n");
    assert!(prompt.say("hem").contains("error[unknown-name]"));
    assert_eq!(prompt.say("undo"), "there is nothing to undo: sums alone change nothing\n");
    prompt.all(&["hem = 1 in", "forget hem"]);
    assert!(prompt.say("hem").contains("error[unknown-name]"));
    assert!(prompt.say("forget hem").contains("nothing here is called `hem`"));
    assert_eq!(prompt.say("undo"), "taken back: forget hem\n");
    prompt.all(&["a = 1 in\nb = 2 in"]);
    assert_eq!(prompt.say("undo"), "taken back: a = 1 in …\n");
    assert_eq!(prompt.say("forget"), "write a name after `forget`, such as `forget flat`\n");
}

#[test]
fn redo_enters_again_what_was_taken_back() {
    let mut prompt = Prompt::new();
    prompt.all(&["hem = 1 in", "2 * hem", "3 * hem", "seam 1/4 in", "why that", "1 * seam"]);
    assert_eq!(prompt.say("undo"), "taken back: seam 1/4 in, and the 2 sums after it\n");
    assert_eq!(prompt.say("that"), "3 in\n");
    assert_eq!(prompt.say("seam"), "no `seam` is set: `seam 1/4 in` sets one\n");
    assert_eq!(prompt.say("undo"), "taken back: hem = 1 in, and the 3 sums after it\n");
    assert_eq!(prompt.say("redo"), "entered again: hem = 1 in, and the 3 sums after it\n");
    assert_eq!(prompt.say("hem"), "1 in\n");
    // Sums do not end it, a new name does.
    assert_eq!(prompt.say("redo"), "entered again: seam 1/4 in, and the 2 sums after it\n");
    assert_eq!(prompt.say("that"), "1/4 in\n");
    assert_eq!(prompt.say("redo"), "there is nothing to redo: `undo` did not come last\n");
    prompt.all(&["undo", "fold = 2 in"]);
    assert_eq!(prompt.say("redo"), "there is nothing to redo: `undo` did not come last\n");
    prompt.all(&["undo", "redo", "forget fold", "undo", "fold", "redo"]);
    assert!(prompt.say("fold").contains("error[unknown-name]"));
    // A file is taken as it was read.
    prompt.shelf.save("knot.scant", "recipe \"Knot\"\nknot = 3 in\n", false).unwrap();
    prompt.all(&["load knot.scant", "undo"]);
    prompt.shelf.save("knot.scant", "knot = 4 in\n", true).unwrap();
    assert_eq!(prompt.say("redo"), "entered again: load knot.scant\n");
    assert_eq!(prompt.say("knot"), "3 in\n");
}

#[test]
fn what_is_done_again_names_its_entry_as_before() {
    let mut prompt = Prompt::new();
    prompt.all(&["y = 1 in", "rule wide(x: length) = x + y", "undo", "1 in", "redo"]);
    let told = prompt.say("wide(3)");
    assert!(told.contains("entry 2:1:") && told.contains("entry 4:1:"), "{told}");
}

#[test]
fn a_setting_is_echoed() {
    let mut prompt = Prompt::new();
    assert_eq!(prompt.say("seam 1/4 in"), "seam 1/4 in from here on\n");
    assert_eq!(prompt.say("ruler 1 mm"), "ruler 1 mm from here on\n");
    assert_eq!(prompt.say("shop 10 cm"), "shop 10 cm from here on\n");
    assert_eq!(prompt.say("undo"), "taken back: shop 10 cm\n");
    assert_eq!(prompt.say("ruler"), "ruler 1 mm\n");
    assert_eq!(prompt.say("shop"), "no `shop` is set: `shop 10 cm` sets one\n");
}

#[test]
fn a_file_without_an_ending_is_a_recipe() {
    let mut prompt = Prompt::new();
    prompt.all(&["hem = 1 in"]);
    assert_eq!(prompt.say("save harbour"), "saved to harbour.scant; `scant run harbour.scant` makes it\n");
    assert!(prompt.say("save harbour.txt").contains("saved to harbour.txt;"));
    assert!(prompt.say("load harbour.scant").contains("1 in"));
    assert_eq!(prompt.say("undo"), "taken back: load harbour.scant\n");
}

#[test]
fn words_are_words_only_where_they_stand_alone() {
    let mut prompt = Prompt::new();
    assert_eq!(prompt.say("save = 3 in"), "3 in\n");
    assert_eq!(prompt.say("save + 1 in"), "4 in\n", "a name that is given stands before a word");
}

#[test]
fn help_is_given() {
    let mut prompt = Prompt::new();
    assert!(prompt.say("help").contains("save FILE"));
    let told = prompt.say("help double_binding_cut");
    assert!(told.contains("double_binding_cut(3/8 in) is 2 1/4 in") && told.contains("source"), "{told}");
    assert!(prompt.say("help double_bindng_cut").contains("did you mean `double_binding_cut`?"));
    prompt.all(&["rule twice(x: length) = 2 * x"]);
    assert!(prompt.say("help twice").contains("rule twice(x: length) = 2 * x"));
    assert!(prompt.say("rules").contains("binding"));
    assert!(prompt.say("measures").contains("yd"));
}

#[test]
fn quit_ends() {
    let mut prompt = Prompt::new();
    let mut out = Vec::new();
    assert!(!one(" quit ", &mut prompt.session, &prompt.shelf, Screen::default(), &mut out).unwrap());
}

/// The names of a session and their values, as `names` tells them.
fn names(prompt: &mut Prompt) -> BTreeMap<String, String> {
    let told = prompt.say("names");
    told.lines()
        .filter_map(|line| line.split_once(" = "))
        .map(|(name, value)| (name.into(), value.into()))
        .collect()
}

/// What is saved runs as a recipe and comes to the same values.
#[test]
fn what_is_saved_runs() {
    let mut prompt = Prompt::new();
    prompt.all(&[
        "seam 1/4 in",
        "depth = 1/8 in",
        "take = 10 * depth",
        "depth = 1/4 in",
        "flat = 14 in + depth",
        "that * 2",
        "that + 1 in",
        "wide = that",
        "rule twice(x) = 2 * x",
        "pair = twice(depth)",
        "rule twice(x) = 3 * x",
        "three = twice(depth)",
        "gap = 1 in",
        "rule grown_by_gap(x) = twice(x) + gap",
        "early = grown_by_gap(2 in)",
        "gap = 2 in",
        "late = grown_by_gap(2 in)",
        "rule steps(n: count) = if n < 1 then 0 in else gap + steps(n - 1)",
        "climb = steps(3)",
        "gap = 3 in",
        "higher = steps(3)",
        "spoiled = 1 in",
        "undo",
        "joined = seamed(wide)",
        "folds = each k from 1 to 3: k * depth",
        "step \"Press {take} under.\"",
    ]);
    assert!(prompt.say("oops = depth + 2").contains("error"));
    assert!(prompt.say("save harbour.scant").contains("saved"));
    let live = names(&mut prompt);
    let text = prompt.shelf.get("harbour.scant").unwrap();
    let folder = Folder::new();
    // The last values of all names are shown behind what was saved.
    let shows: String = live.keys().map(|name| format!("show \"{name}\": {name}\n")).collect();
    folder.write("harbour.scant", format!("{text}\n{shows}"));
    let done = scant(folder.path(), &["run", "harbour.scant", "--as", "csv"]);
    assert_eq!((done.status, done.err.as_str()), (0, ""), "{text}");
    for (name, value) in live.iter().filter(|(name, _)| *name != "folds") {
        let row = done.out.lines().find(|line| line.contains(&format!(",{name},")));
        assert!(row.is_some_and(|row| row.contains(value)), "{name} = {value}\n{}\n{text}", done.out);
    }
    assert!(!text.contains("oops") && !text.contains("spoiled"), "{text}");
    let mut again = Prompt { session: Session::new(Limits::default()), shelf: prompt.shelf };
    let told = again.say("load harbour.scant");
    assert!(!told.contains("error"), "{told}");
    assert_eq!(names(&mut again).get("wide"), live.get("wide"));
}

#[test]
fn what_cannot_be_saved_or_loaded_is_told() {
    let mut prompt = Prompt::new();
    assert!(prompt.say("save loft/harbour.scant").contains("not saved: there is no such folder"));
    assert!(prompt.say("load harbour.scant").contains("not loaded: there is no such file"));
    prompt.shelf.0.borrow_mut().insert("bad.scant".into(), "flat = 14 in + 2\n".into());
    let told = prompt.say("load bad.scant");
    assert!(told.contains("bad.scant:1:8"), "{told}");
    for word in ["save", "load", "forget"] {
        assert!(prompt.say(word).contains("such as"), "{word}");
    }
}

/// Ctrl-C stops what takes long, and the session goes on.
#[test]
fn a_long_entry_is_stopped() {
    let limits = Limits { work: u64::MAX, ..Limits::default() };
    let stop = limits.stop.clone();
    let mut prompt = Prompt { session: Session::new(limits), shelf: Shelf::default() };
    prompt.all(&["hem = 1 in", "rule fib(n: count) = if n < 2 then n else fib(n - 1) + fib(n - 2)"]);
    let stopper = std::thread::spawn({
        let stop = stop.clone();
        move || {
            std::thread::sleep(Duration::from_millis(200));
            stop.store(true, Ordering::Relaxed);
        }
    });
    let start = Instant::now();
    let told = prompt.say("long = fib(60)");
    stopper.join().unwrap();
    assert!(told.contains("stopped"), "{told}");
    assert!(start.elapsed() < Duration::from_secs(10), "it stops at once");
    stop.store(false, Ordering::Relaxed);
    assert_eq!(prompt.say("hem + 1 in"), "2 in\n");
    assert!(prompt.say("long").contains("error[unknown-name]"));
}

/// What would take for ever is refused, and the session goes on.
#[test]
fn work_without_end_is_refused() {
    let limits = Limits { work: 1_000_000, ..Limits::default() };
    let mut prompt = Prompt { session: Session::new(limits), shelf: Shelf::default() };
    prompt.all(&["rule fib(n: count) = if n < 2 then n else fib(n - 1) + fib(n - 2)"]);
    assert!(prompt.say("fib(100)").contains("error[too-much]"));
    assert_eq!(prompt.say("fib(10)"), "55\n");
}

#[test]
fn cloth_is_planned_at_the_prompt() {
    let mut prompt = Prompt::new();
    prompt.say("linen = cloth(\"linen\", width: 54 in, selvage: 0 in, shop: 1/8 yd)");
    prompt.say("side = 18 in");
    assert_eq!(
        prompt.say("cut 24 \"napkin\" from linen: side by side"),
        "cut 24 napkin, 18 in by 18 in (kept for a `plan` and for the recipe)\n"
    );
    let plan = prompt.say("plan linen");
    assert!(plan.contains("* strips        4 yd  for 144 in; no plan in strips is shorter"), "{plan}");
    assert!(plan.contains("24 × napkin") && plan.contains("sold by 1/8 yd"), "{plan}");
    // A piece keeps the size that its line was entered with, as in the recipe that is saved.
    prompt.say("side = 20 in");
    let plan = prompt.say("plan linen more \"napkin\" on 5 yd");
    assert!(plan.contains("6 more napkin fit on 5 yd, and no more."), "{plan}");
    prompt.say("have 2 of linen: 18 in by 40 in");
    let plan = prompt.say("plan linen");
    assert!(plan.contains("2 of 18 in by 40 in, used"), "{plan}");
    let refused = prompt.say("cut 3 \"sail\" from linen: 60 in by 70 in, on grain\nplan linen");
    assert!(refused.contains("\"sail\" does not fit: it is 60 in across"), "{refused}");
    // An entry with a fault changes nothing: the sail is not kept.
    assert!(prompt.say("plan linen").contains("2 of 18 in by 40 in, used"));
    prompt.say("plan linen in strips");
    prompt.say("save runner.scant");
    let saved = prompt.shelf.get("runner.scant").unwrap();
    assert_eq!(saved.matches("plan linen").count(), 1, "{saved}");
    assert!(saved.contains("plan linen in strips"), "{saved}");
}

#[test]
fn what_cannot_be_planned_is_told_at_once() {
    let mut prompt = Prompt::new();
    prompt.say("linen = cloth(\"linen\", width: 54 in, selvage: 0 in)");
    assert!(prompt.say("plan linen").contains("nothing is cut from \"linen\""));
    assert!(prompt.say("cut 3 \"pocket\" from linen: 8 in by 8 in, mirrored").contains("3 is odd"));
    assert!(prompt.say("cut 3 \"pocket\" from linen: 8 in").contains("the size of a piece"));
    assert!(prompt.say("have 1 of linen: 0 in by 8 in").contains("more than 0"));
    // A recipe's plan may stand above its pieces.
    let plan = prompt.say("plan linen\ncut 2 \"pocket\" from linen: 8 in by 8 in");
    assert!(plan.contains("2 pocket"), "{plan}");
}
