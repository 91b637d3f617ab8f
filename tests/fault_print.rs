//! Faults as they are printed: whole texts, and no panic on any place.
#![allow(clippy::unwrap_used)] // a helper that finds nothing is a test that fails

use proptest::prelude::*;
use scant::fault::{Code, Fault, File, FileId, Files, Span, colour, first, json, on_terminal, plain};

const RUNNER: &str = "flat = 14 in\ncut 1 \"panel\" from linen: flatt\n\tstep \"½″ é 漢 {flatt}\"\n";

fn runner() -> (Files, FileId) {
    let mut files = Files::new();
    let id = files.add(File::new("runner.scant", RUNNER));
    (files, id)
}

/// The place of the `nth` occurrence of a word.
fn find(files: &Files, file: FileId, word: &str, nth: usize) -> Span {
    let text = files.get(file).unwrap().text();
    let (start, _) = text.match_indices(word).nth(nth).unwrap();
    Span::new(file, start, start + word.len())
}

fn unknown(span: Span) -> Fault {
    Fault::new(Code::UnknownName, span, "no name `flatt` is known here")
}

#[test]
fn a_name_with_a_hint() {
    let (files, id) = runner();
    let fault = unknown(find(&files, id, "flatt", 0)).did_you_mean(Some("flat"));
    let wanted = "\
error[unknown-name]: no name `flatt` is known here
 --> runner.scant:2:27
  |
2 | cut 1 \"panel\" from linen: flatt
  |                           ^^^^^
  |
  = help: did you mean `flat`?
";
    assert_eq!(plain(&[fault], &files), wanted);
}

#[test]
fn tabs_signs_accents_and_wide_letters_keep_the_underline_in_place() {
    let (files, id) = runner();
    let fault =
        unknown(find(&files, id, "flatt", 1)).label("not known").other(Span::new(id, 0, 4), "this is known");
    let wanted = "\
error[unknown-name]: no name `flatt` is known here
 --> runner.scant:3:16
  |
1 | flat = 14 in
  | ---- this is known
2 | cut 1 \"panel\" from linen: flatt
3 |     step \"½″ é 漢 {flatt}\"
  |                    ^^^^^ not known
";
    assert_eq!(plain(&[fault], &files), wanted);
}

#[test]
fn the_callers_line_comes_before_the_librarys() {
    let (mut files, id) = runner();
    let library = files.add(File::library("binding", "a\nb\nrule x = 3 + 2 in\n"));
    let span = find(&files, library, "3 + 2 in", 0);
    let fault = Fault::new(Code::UnitMix, span, "a number and a length cannot be added")
        .label("in this rule")
        .other(Span::new(id, 0, 4), "called here");
    let wanted = "\
error[unit-mix]: a number and a length cannot be added
 --> runner.scant:1:1
  |
1 | flat = 14 in
  | ^^^^ called here
  |
 ::: binding:3:10
  |
3 | rule x = 3 + 2 in
  |          -------- in this rule
";
    assert_eq!(plain(std::slice::from_ref(&fault), &files), wanted);
    assert!(json(&[fault], &files).contains("\"file\":\"runner.scant\",\"line\":1,"));
}

#[test]
fn the_first_fifty_of_a_file_are_told_and_how_many_more() {
    let (files, id) = runner();
    let faults: Vec<Fault> = (0..10_000).map(|_| unknown(Span::new(id, 0, 4))).collect();
    let faults = first(&faults, &files);
    let text = plain(&faults, &files);
    assert_eq!(text.matches("no name `flatt`").count(), 50);
    assert!(
        text.ends_with("\nerror[too-much]: 9950 more mistakes of runner.scant are not shown here\n"),
        "{text}"
    );
    assert_eq!(json(&faults, &files).lines().count(), 51);
}

#[test]
fn two_faults_stand_apart_and_advice_has_no_code() {
    let (files, id) = runner();
    let advice = Fault::advice(Code::Advice, Span::new(id, 0, 4), "`flat` is seldom flat");
    let missing = Fault::nowhere(Code::BadFile, "there is no file called moon.scant");
    let wanted = "\
error[bad-file]: there is no file called moon.scant

advice: `flat` is seldom flat
 --> runner.scant:1:1
  |
1 | flat = 14 in
  | ^^^^
";
    assert_eq!(plain(&[missing, advice], &files), wanted);
}

#[test]
fn a_place_past_the_end_is_the_end() {
    let (files, id) = runner();
    let fault = Fault::new(Code::Unfinished, Span::new(id, 9_000, 9_009), "this bracket has no end");
    let wanted = "\
error[unfinished]: this bracket has no end
 --> runner.scant:4:1
  |
4 |
  | ^
";
    assert_eq!(plain(&[fault], &files), wanted);
}

#[test]
fn places_far_apart_stand_in_excerpts_of_their_own() {
    let mut files = Files::new();
    let id = files.add(File::new("far.scant", format!("flat = 1\n{}flat = 2\n", "# chalk\n".repeat(99_998))));
    let fault = Fault::new(Code::NameTwice, find(&files, id, "flat", 1), "`flat` is named twice")
        .other(Span::new(id, 0, 4), "first here");
    let wanted = "\
error[name-twice]: `flat` is named twice
      --> far.scant:100000:1
       |
100000 | flat = 2
       | ^^^^
       |
      ::: far.scant:1:1
       |
     1 | flat = 1
       | ---- first here
";
    assert_eq!(plain(&[fault], &files), wanted);
}

#[test]
fn a_long_line_is_cut_around_the_place_and_keeps_its_column() {
    let mut files = Files::new();
    let id = files.add(File::new(
        "long.scant",
        format!("x = {}flatt{}", "1 + ".repeat(16_000), " + 1".repeat(300_000)),
    ));
    let fault = unknown(find(&files, id, "flatt", 0));
    let wanted = "\
error[unknown-name]: no name `flatt` is known here
 --> long.scant:1:64005
  |
1 | ...1 + 1 + 1 + 1 + 1 + 1 + 1 + 1 + 1 + 1 + 1 + 1 + 1 + 1 + 1 + flatt + 1 + 1 + 1 + 1 + 1 + 1 + 1 + 1 + 1 + 1 + 1 + 1 + 1 + ...
  |                                                                ^^^^^
";
    assert_eq!(plain(&[fault], &files), wanted);
}

#[test]
fn what_a_terminal_would_obey_is_made_visible() {
    let mut files = Files::new();
    let id = files.add(File::new("bell\u{7}.scant", "x = \u{1b}[2Jy\r\nz\n"));
    let fault = Fault::new(Code::Syntax, Span::new(id, 4, 9), "\u{1b}[31m cannot stand here").hint("\u{1b}c");
    let printed = plain(&[fault], &files);
    assert!(!printed.contains(|c: char| c.is_control() && c != '\n'), "{printed:?}");
}

#[test]
fn json_has_one_object_a_line() {
    let (files, id) = runner();
    let span = find(&files, id, "flatt", 0);
    let faults = [unknown(span).hint("did you mean `flat`?"), Fault::nowhere(Code::BadFile, "not there")];
    let wanted = concat!(
        r#"{"code":"unknown-name","level":"error","message":"no name `flatt` is known here","file":"runner.scant","#,
        r#""line":2,"column":27,"end_line":2,"end_column":32,"label":"","others":[],"hints":["did you mean `flat`?"]}"#,
        "\n",
        r#"{"code":"bad-file","level":"error","message":"not there","file":null,"#,
        r#""line":null,"column":null,"end_line":null,"end_column":null,"label":"","others":[],"hints":[]}"#,
        "\n",
    );
    assert_eq!(json(&faults, &files), wanted);
}

#[test]
fn the_kinds_have_names_of_their_own() {
    let mut names: Vec<&str> = Code::ALL.iter().map(|code| code.as_str()).collect();
    for name in &names {
        let kebab =
            name.split('-').all(|word| !word.is_empty() && word.chars().all(|c| c.is_ascii_lowercase()));
        assert!(kebab, "{name}");
    }
    let count = names.len();
    names.sort_unstable();
    names.dedup();
    assert_eq!(names.len(), count);
}

proptest! {
    #[test]
    fn no_place_in_any_text_makes_a_panic(
        text in "(\\PC|\\t|\\r|\\n|\u{0}|\u{200d}|\u{202e}|\u{301}|漢){0,400}",
        places in prop::collection::vec((0usize..1500, 0usize..1500, 0u32..3), 1..5),
    ) {
        let mut files = Files::new();
        files.add(File::new("a.scant", text.clone()));
        files.add(File::library("b.scant", text));
        let span = |(start, end, file): (usize, usize, u32)| Span::new(FileId(file), start, end);
        let mut fault = Fault::new(Code::Syntax, span(places[0]), "no");
        for place in &places[1..] {
            fault = fault.other(span(*place), "other");
        }
        let faults = [fault];
        prop_assert!(plain(&faults, &files).starts_with("error[syntax]: no\n"));
        prop_assert!(!colour(&faults, &files).is_empty());
        prop_assert!(json(&faults, &files).contains("syntax"));
    }
}

/// On a narrow terminal the words go on below where they begin; the source is not broken.
#[test]
fn words_fit_a_narrow_terminal() {
    let mut files = Files::new();
    let text =
        "show \"finished\": finishd + binding_run(14 in by 48 in, 3) + a_long_name_that_is_not_broken\n";
    let file = files.add(File::new("runner.scant", text));
    let fault = Fault::new(
        Code::UnknownName,
        Span::new(file, 17, 24),
        "there is nothing called `finishd` here, and it is scant 14 1/2 in",
    )
    .hint("did you mean `finished`? a name is written the same way wherever it stands in a recipe");
    for columns in [40, 50, 64] {
        let told = on_terminal(std::slice::from_ref(&fault), &files, columns, false);
        let is_source = |line: &&str| line.contains("binding_run") || line.contains('^');
        for line in told.lines().filter(|line| !is_source(line)) {
            assert!(line.chars().count() <= columns, "{columns}: {line}");
        }
        assert!(told.contains(text.trim_end()) && told.contains("14 1/2 in"), "{told}");
        let words = |text: &str| text.split_whitespace().map(str::to_owned).collect::<Vec<_>>();
        assert_eq!(words(&told), words(&plain(std::slice::from_ref(&fault), &files)));
    }
}
