//! Help: every area and rule is told, the handbook holds them all, and words find the rule that is for them.
#![allow(clippy::unwrap_used, clippy::panic)] // what is wrong here is a test that fails

use scant::help::search::{Found, search};
use scant::library;
use scant::report::Screen;
use scant::report::handbook::{Pages, handbook};
use scant::report::help_text::{self as help, found};

fn areas() -> impl Iterator<Item = &'static str> {
    library::FILES.iter().map(|(file, _)| file.strip_suffix(".scant").unwrap())
}

#[test]
fn the_overview_lists_every_area_in_80_columns() {
    let overview = help::overview(Screen::default());
    for area in areas() {
        assert!(overview.lines().any(|row| row.starts_with(&format!("{area} "))), "{area}");
    }
    let names = help::all_names(Screen::default());
    for name in library::index().keys() {
        assert!(names.contains(name), "{name}");
    }
    for row in overview.lines().chain(names.lines()) {
        assert!(row.chars().count() <= 80, "{row}");
    }
}

#[test]
fn every_area_begins_with_a_foreword_and_lists_its_rules() {
    for area in areas() {
        let told = help::about(area, Screen::default()).unwrap();
        let page = handbook(Some(area), Pages::Markdown).unwrap();
        let rules = library::index()
            .iter()
            .filter(|(_, entry)| library::FILES[entry.file].0 == format!("{area}.scant"));
        for (name, _) in rules {
            assert!(told.contains(&format!("{name}(")), "{area}: {name}");
            assert!(page.contains(&format!("{name}(")), "{area}: {name}");
        }
    }
}

#[test]
fn help_shows_the_limits_of_a_heading() {
    for (name, limit) in [
        ("allowance_at", "corner: angle above 0 deg below 180 deg"),
        ("evenly_spaced", "margin: length or no = no"),
        ("made_price", "wage: money per time"),
        ("tuck_gap", "): signed length"),
    ] {
        let told = help::about(name, Screen::default()).unwrap();
        let told = told.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(told.contains(limit), "{name}: {told}");
    }
}

/// What is asked of every rule: its signature, words that end, an example with its answer, the source, and who
/// stands beside it, in rows that fit a terminal.
#[test]
fn help_tells_all_of_every_rule() {
    for name in library::index().keys() {
        let told = help::about(name, Screen::default()).unwrap();
        assert!(told.starts_with(&format!("{name}(")), "{told}");
        for part in ["\nformula\n  ", "\nexample", " is", "\nsource\n  "] {
            assert!(told.contains(part), "{name} has no {part:?}:\n{told}");
        }
        assert!(told.contains("\nsame area: ") || told.contains("\nrelated\n"), "{told}");
        let words = told.split("\n\n").nth(1).unwrap();
        assert!(words.ends_with(['.', ')', ':']), "the words of {name} end: {words}");
        for row in told.lines() {
            assert!(row.chars().count() <= 80, "{name}: {row}");
        }
    }
}

#[test]
fn the_handbook_holds_every_rule_with_its_source() {
    let markdown = handbook(None, Pages::Markdown).unwrap();
    let html = handbook(None, Pages::Html).unwrap();
    let rules = library::index().len();
    assert_eq!(markdown.lines().filter(|row| row.starts_with("### ")).count(), rules);
    assert_eq!(markdown.lines().filter(|row| row.starts_with("Source: ")).count(), rules);
    assert_eq!(html.matches("<h3 id=").count(), rules);
    assert_eq!(markdown.lines().filter(|row| row.starts_with("See also: [")).count(), rules);
    assert_eq!(html.matches("<p>See also: <a href=\"#").count(), rules);
    let linked = html.split("<a href=\"#").skip(1).filter_map(|rest| rest.split('"').next());
    for anchor in linked.collect::<std::collections::BTreeSet<_>>() {
        assert!(html.contains(&format!("id=\"{anchor}\"")), "{anchor} is linked and not there");
    }
    for tag in ["p", "pre", "h2", "h3", "section", "code", "nav"] {
        let opened = html.matches(&format!("<{tag}>")).count() + html.matches(&format!("<{tag} ")).count();
        assert_eq!(opened, html.matches(&format!("</{tag}>")).count(), "<{tag}>");
    }
    assert!(!html.contains(" < ") && !html.contains("& "), "what the rules compare is written out for HTML");
    assert!(handbook(Some("sails"), Pages::Html).is_none());
}

#[test]
fn words_find_the_rule_that_is_for_them() {
    let mut missed = Vec::new();
    for (words, rule) in [
        ("how much bias for a curved edge", "bias_binding_run"),
        ("round tablecloth", "round_tablecloth"),
        ("how wide to cut elastic", "elastic_length"),
        ("filling for a bigger toy", "scaled_filling"),
        ("mitred hem corner", "mitred_hem_corner"),
        ("shrinkage from a swatch", "shrinkage"),
        ("setting triangles on point", "on_point_setting"),
        ("buttonhole length", "buttonhole"),
        ("backing joined from panels", "backing"),
        ("waist of a circle skirt", "circle_skirt"),
        ("how many strips to join", "strips_to_join"),
        ("gathering fullness", "gathered_width"),
        ("how wide do I cut binding", "double_binding_cut"),
        ("how many strips for binding a quilt", "binding_run"),
        ("how much fabric for backing", "backing"),
        ("do I have enough fabric", "enough_in_hand"),
        ("fabric left over", "left_over"),
        ("how much does my fabric shrink", "shrinkage"),
        ("how far apart to mark tucks", "tucks_apart"),
        ("pin tucks with a twin needle", "pin_tucked_width"),
        ("box pleats", "box_pleated_width"),
        ("gather a ruffle", "gathered_width"),
        ("how full should curtains be", "curtain_width"),
        ("curtain drop with pattern repeat", "curtains"),
        ("match stripes", "matched_length"),
        ("napkins from a yard", "napkins"),
        ("casing for elastic", "casing"),
        ("where to put buttons", "button_places"),
        ("what size zip for a pouch", "zip_tape"),
        ("boxed corners for a tote bag", "boxed_bag"),
        ("strap length", "straps"),
        ("half square triangles", "half_square_cut"),
        ("flying geese", "two_to_one_units"),
        ("hexagons from a strip", "hexagon"),
        ("log cabin strips", "strip_rounds"),
        ("sashing and cornerstones", "sashed_grid"),
        ("border with mitered corners", "mitred_border"),
        ("checkerboard from strips", "checkerboard"),
        ("cover piping cord", "piping_cut"),
        ("continuous bias from a square", "bias_tube"),
        ("tiered skirt", "tiered_skirt"),
        ("waistband with overlap", "waistband"),
        ("apron ties", "tie_each"),
        ("enlarge a pattern on a copier", "copier_percent"),
        ("test square printed wrong", "print_again_at"),
        ("how much stuffing for a bigger toy", "scaled_filling"),
        ("ribbon embroidery flower points", "motif_points"),
        ("how much thread", "seam_thread"),
        ("lace around a handkerchief", "trim_run"),
        ("price for a commission", "made_price"),
        ("how long will it take my class", "work_time"),
        ("space flags evenly on bunting", "evenly_spaced"),
        ("my seams are too deep", "row_shortfall"),
        ("row came out too short", "put_right"),
        ("quilting shrinks the top", "cut_for_drawing_in"),
        ("weight of fabric", "piece_weight"),
        ("drawstring on a child's hood", "cords_caution"),
        ("nightdress flammability", "sleepwear_caution"),
        ("fusible interfacing", "interfacing_size"),
        ("scallops along an edge", "scallops"),
        ("sphere ball from pieces", "ball_gores"),
        ("batting size", "batting"),
    ] {
        let told = found(words, Screen::default()).unwrap_or_default();
        if !told.lines().any(|row| row.starts_with(&format!("{rule}("))) {
            missed.push(format!("`{words}` does not find {rule}, but:\n{told}"));
        }
    }
    assert!(missed.is_empty(), "{}", missed.join("\n"));
    assert!(found("the of a", Screen::default()).is_none());
    assert!(found("", Screen::default()).is_none());
    assert!(found("gearbox carburettor", Screen::default()).is_none());
}

/// Plain questions, as a teacher types them, and what answers each: `tests/questions.csv`. Those marked `held` were
/// written with the others and not looked at while the search was made.
#[test]
fn plain_questions_find_their_answer_among_the_first_three() {
    let rows = include_str!("questions.csv").lines().skip(1).map(|row| row.split(',').collect::<Vec<_>>());
    let (mut missed, mut asked, mut first) = (Vec::new(), 0, 0);
    for row in rows {
        let [sample, question, answers] = row.as_slice() else { panic!("{row:?}") };
        let found: Vec<&str> = search(question, 3).iter().map(Found::name).collect();
        let right = |name: &&str| answers.split('|').any(|answer| answer == *name);
        asked += 1;
        first += usize::from(found.first().is_some_and(right));
        if !found.iter().any(right) {
            missed.push(format!("{sample}: `{question}` finds {found:?}, not {answers}"));
        }
    }
    let told = format!("{asked} asked, {first} first, {} missed\n{}", missed.len(), missed.join("\n"));
    assert!(asked >= 70 && 20 * missed.len() <= asked && 10 * first >= 7 * asked, "{told}");
}

/// Two words beside a name of two words are a question; one word that is spelled nearly like a name is not.
#[test]
fn words_near_a_name_are_looked_up() {
    assert!(help::told("binding runs", Screen::default()).unwrap().contains("binding_run("));
    assert_eq!(help::told("bindng_run", Screen::default()).unwrap_err()[0], "did you mean `binding_run`?");
}

/// Words that people ask by belong to a rule, once.
#[test]
fn what_is_asked_belongs_to_a_rule() {
    let mut rows: Vec<&str> = library::ASKED
        .lines()
        .filter(|row| !row.starts_with('#'))
        .map(|row| row.split_once(": ").unwrap().0)
        .collect();
    let count = rows.len();
    for name in &rows {
        assert!(library::index().contains_key(name), "no rule is called {name}");
    }
    rows.sort_unstable();
    rows.dedup();
    assert_eq!(rows.len(), count, "a rule has two rows");
}

/// A heading that takes two rows goes on further in, so that it is not read as another rule.
#[test]
fn long_headings_are_set_in() {
    let told = found("casing for elastic", Screen::default()).unwrap();
    let at_the_edge = told.lines().filter(|row| !row.is_empty() && !row.starts_with([' ', '`']));
    for row in at_the_edge {
        assert!(row.contains('('), "{row}");
    }
}

/// The words of the language and the commands fit a terminal too.
#[test]
fn topics_fit_80_columns() {
    for topic in scant::help::topics::groups().iter().flat_map(|group| &group.topics) {
        let told = help::about(topic.names[0], Screen::default()).unwrap();
        for row in told.lines() {
            assert!(row.chars().count() <= 80, "{:?}: {row}", topic.names);
        }
    }
    for format in [
        "--as pdf",
        "--as html",
        "--as md",
        "--as xlsx",
        "--for wall",
        "--for class",
        "--for shop",
        "--paper a4",
    ] {
        assert!(
            help::about("run", Screen::default()).unwrap().contains(format),
            "`help run` says nothing of {format}"
        );
    }
}

/// Help is read on a terminal beside a recipe, which may be narrow.
#[test]
fn help_fits_a_narrow_terminal() {
    let screen = Screen { columns: 50, colour: false };
    let named = scant::help::names().into_iter().filter_map(|name| help::about(name, screen));
    let all = named
        .chain([help::overview(screen), help::all_names(screen)])
        .chain(found("casing for elastic", screen));
    let mut rows = 0;
    for text in all {
        for line in text.lines() {
            rows += 1;
            // A word that no line holds, such as that of a formula, may be cut.
            assert!(line.chars().count() <= 50, "{line}");
        }
    }
    assert!(rows > 5_000, "{rows}");
    let wide = Screen { columns: 200, colour: false };
    assert_eq!(help::about("run", wide), help::about("run", Screen::default()));
}
