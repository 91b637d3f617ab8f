//! What the library cautions of: the value stands, and the words come into the docket, once each.
#![allow(clippy::unwrap_used, clippy::panic, clippy::indexing_slicing)] // what is wrong here is a test that fails

#[path = "common/made.rs"]
mod made;
#[path = "common/read_back.rs"]
#[allow(dead_code)] // shared with the tests of pages
mod read_back;

use scant::docket::FigureValue;
use scant::eval::limits::Limits;
use scant::fault;
use scant::recipe::used::NoFiles;
use scant::report::Format;
use scant::session::entry::Answer;
use scant::session::entry::Session;

use made::made as docket;

/// The cautions of one entry at a fresh prompt, behind an answer that stands.
fn cautions(entry: &str) -> Vec<String> {
    let mut session = Session::new(Limits::default());
    let entered = session.enter(entry, &NoFiles);
    assert!(entered.faults.is_empty(), "{}", fault::plain(&entered.faults, &session.files));
    assert!(matches!(entered.answers.first(), Some(Answer::Value(_))), "`{entry}` answers");
    let cautions = entered.answers.iter().filter_map(|said| match said {
        Answer::Caution(words) => Some(words.to_string()),
        _ => None,
    });
    cautions.collect()
}

/// A child's garment that has nothing to caution of.
const NOTHING_ON_IT: &str = "childs_garment(4, cords: no, small_parts: no, ribbons: no)";

/// What is doubtful gives its number and says why; what is sound says nothing.
#[test]
fn what_is_doubtful_is_said_beside_the_number() {
    for (doubtful, words, sound) in [
        ("fold_spacing(1/8 in, depth: 1/4 in)", "overlap", "fold_spacing(1/4 in, depth: 1/4 in)"),
        (
            "tuck_marks(9, depth: 5 mm, apart: 3 mm, margin: 2 cm)",
            "overlap: each covers",
            "tuck_marks(9, depth: 3 mm, apart: 5 mm, margin: 2 cm)",
        ),
        ("tuck_gap(1/8 in, depth: 1/4 in)", "overlap", "tuck_gap(1/4 in, depth: 1/4 in)"),
        ("double_binding_cut(1/16 in)", "too narrow to turn", "double_binding_cut(1/8 in)"),
        ("single_binding_cut(1 mm)", "too narrow to turn", "single_binding_cut(5 mm)"),
        ("double_binding_finished(1/2 in)", "too narrow to turn", "double_binding_finished(2 1/4 in)"),
        (
            "pieces_in_hand(30 in by 10 in, hand: 18 in by 22 in)",
            "larger than the cloth in hand",
            "pieces_in_hand(20 in by 10 in, hand: 18 in by 22 in)",
        ),
        (
            "pieces_per_strip(50 in, strip: 42 in)",
            "longer than a strip",
            "pieces_per_strip(42 in, strip: 42 in)",
        ),
        (
            "pin_tucked_width(12 in, tucks: 16, take_up: 1/16 in, needles: 2 mm, slot: 7 mm)",
            "twin needle",
            "tucked_width(12 in, tucks: 16, depth: 1/32 in)",
        ),
        ("twin_needle_room(4 mm, slot: 7 mm)", "Turn the wheel by hand", "3 mm"),
        (
            "half_square_units(9, finished: 3 in, at_once: 4, seam: 1/4 in)",
            "on the bias",
            "half_square_units(9, finished: 3 in, seam: 1/4 in)",
        ),
        (
            "other_width_estimate(3 yd, width: 45 in, other: 60 in)",
            "only an estimate",
            "length_to_buy(3 yd, step: 1/8 yd)",
        ),
        (
            "shrinkage(before: 48 cm, after: 50 cm)",
            "grew in the wash",
            "shrinkage(before: 50 cm, after: 48 cm)",
        ),
        ("interfacing_size(9 in by 9 in, seam: 1/2 in)", "press cloth", "lining_size(9 in by 9 in)"),
        ("drawstring_length(40 in, child: yes)", "EN 14682:2014", "drawstring_length(40 in, child: no)"),
        ("cord_limit(\"waist\", young: yes)", "sewn down in the middle", "3 in"),
        ("cord_hangs(34 in, channel: 30 in)", "16 CFR 1120.3", "drawstring_length(40 in, child: no)"),
        ("childs_garment(4)", "at the hood or neck up to age 7 or 134 cm", NOTHING_ON_IT),
        ("childs_garment(4, sleepwear: yes)", "16 CFR 1615", NOTHING_ON_IT),
        ("childs_garment(4, stove: yes)", "Near a stove", NOTHING_ON_IT),
        ("childs_garment(4)", "EN 71-1:2014", NOTHING_ON_IT),
        ("cut_size(2 in by 9 in, left: 3 in)", "does not fit inside", "cut_size(2 in by 9 in, left: 1 in)"),
        ("childs_toy(1)", "EN 71-1:2014", "childs_toy(5, small_parts: no, filled: no, ribbons: no)"),
        ("childs_bedding(1/2)", "no cloth over a pram", "childs_bedding(4, ribbons: no)"),
        ("childs_blind(2)", "EN 13120:2009+A1:2014", "childs_blind(2, cords: no)"),
        ("childs_blind(9)", "ANSI/WCMA A100.1-2022", "childs_blind(9, cords: no)"),
        (
            "ball_gores(10 cm, gores: 6, age: 4, seam: 5 mm)",
            "Count your pins and needles",
            "gore_marks(10 cm, gores: 6, steps: 4)",
        ),
        ("round_end(22 in, seam: 1/4 in)", "must not come out", "way_round_circle(7 in)"),
        (
            "curtains(60 in, drop: 84 in, heading: 3 in, hem: 6 in, side_hem: 2 in, usable: 52 in, seam: 1/2 in)",
            "ANSI/WCMA A100.1-2022",
            "curtain_width(60 in, side_hem: 2 in)",
        ),
        (
            "hemmed(3 in, allowance: double_hem(1 in))",
            "double hem",
            "hemmed(4 in, allowance: double_hem(1 in))",
        ),
        ("hem_within(3 in, depth: 2 in)", "double hem", "hem_within(2 in, depth: 2 in)"),
        (
            "tucked_width(14 in, tucks: 20, depth: 3/4 in)",
            "overlap in a width",
            "tucked_width(14 in, tucks: 12, depth: 3/4 in)",
        ),
        (
            "tucked_width(14 in, tucks: 12, depth: 3/4 in, apart: 1/2 in)",
            "overlap: each covers",
            "tucked_width(14 in, tucks: 12, depth: 3/4 in, apart: 1 in)",
        ),
        ("tie_cut(3/32 in)", "Such a narrow tie or strap", "tie_cut(1/4 in)"),
        ("cap_ease(20 in, armhole: 17 in)", "puckers", "cap_ease(18 in, armhole: 17 in)"),
        (
            "bias_to_buy(10 yd, cut: 2 in, usable: 40 in)",
            "by area",
            "bias_cloth(4, cut: 2 in, usable: 40 in)",
        ),
        ("hexagons_by_area(40 in by 50 in, side: 2 in)", "by area", "hexagon_area(2 in)"),
        (
            "units_in_class(90 min, sample: 12 min, units: 4, children: yes)",
            "count pins and needles",
            "units_in_class(90 min, sample: 12 min, units: 4)",
        ),
        (
            "scaled_filling(200 g, times: 1.5, age: 4)",
            "must not come out",
            "scaled_area(200 cm^2, times: 1.5)",
        ),
        (
            "scaled_filling(200 g, times: 1.5, age: 2)",
            "16 CFR 1501 of 1979",
            "scaled_area(200 cm^2, times: 1.5)",
        ),
        (
            "ball_gores(10 cm, gores: 6, age: 1/2, seam: 5 mm)",
            "under three",
            "gore_marks(10 cm, gores: 6, steps: 4)",
        ),
    ] {
        let said = cautions(doubtful);
        assert!(said.iter().any(|said| said.contains(words)), "`{doubtful}` says {said:?}, not `{words}`");
        let mut said = cautions(sound);
        if PRESSED.iter().any(|rule| sound.starts_with(rule)) {
            said.retain(|said| !said.starts_with("A hot iron burns"));
        }
        assert_eq!(said, Vec::<String>::new(), "`{sound}` is sound");
    }
}

/// Rules of folds that are pressed in.
const PRESSED: [&str; 9] = [
    "double_binding_cut(",
    "binding_cut_and_inch(",
    "tie_cut(",
    "next_crease(",
    "tuck_marks(",
    "pleat_marks(",
    "box_pleat_marks(",
    "inverted_pleat_marks(",
    "four_at_once_cut(",
];

/// Where folds are pressed in, the docket cautions of the iron, and nowhere else.
#[test]
fn folds_that_are_pressed_in_caution_of_the_iron() {
    let arguments = [
        "3/8 in)",
        "3/8 in)",
        "1 in)",
        "1/4 in, depth: 1/8 in)",
        "3, depth: 1/8 in, apart: 1/2 in, margin: 1 in)",
        "3, shows: 2 in, depth: 1 in)",
        "2, shows: 4 in, depth: 2 in)",
        "2, shows: 4 in, depth: 2 in)",
        "3 in, seam: 1/4 in)",
    ];
    let iron = |call: &str| cautions(call).iter().filter(|said| said.starts_with("A hot iron burns")).count();
    for (rule, arguments) in PRESSED.iter().zip(arguments) {
        assert_eq!(iron(&format!("{rule}{arguments}")), 1, "{rule}");
    }
    for call in [
        "single_binding_cut(1/2 in)",
        "turned_tie_cut(1 in, seam: 1/4 in)",
        "tuck_marks(0, depth: 1/8 in, apart: 1/2 in, margin: 1 in)",
        "pleat_marks(0, shows: 2 in, depth: 1 in)",
        "tucked_width(14 in, tucks: 12, depth: 3/4 in)",
        "knife_pleated_width(92 cm, pleats: 18, depth: 4 cm)",
    ] {
        assert_eq!(iron(call), 0, "{call}");
    }
}

/// The words for a child defer to the local rule or to a person who is qualified.
#[test]
fn the_cautions_for_children_name_a_standard_and_defer() {
    let said = cautions(
        "[childs_garment(4, sleepwear: yes, stove: yes), childs_toy(1), childs_bedding(0), \
         window_cords_caution() is with_caution(window_cords_caution(), window_cords_caution())]",
    );
    for standard in [
        "EN 14682:2014",
        "ASTM F1816-97",
        "16 CFR 1120.3",
        "EN 71-1:2014",
        "16 CFR 1501",
        "16 CFR 1615",
        "EN 14878:2007",
        "16 CFR 1610",
        "EN 16779-1:2018",
        "EN 13120:2009+A1:2014",
        "ANSI/WCMA A100.1-2022",
    ] {
        let one =
            said.iter().find(|said| said.contains(standard)).unwrap_or_else(|| panic!("{standard} is named"));
        assert!(one.contains("qualified person"), "{one}");
    }
}

/// What is usually a child's does not come out before it is said whose it is.
#[test]
fn what_is_usually_a_childs_asks_for_the_age() {
    for (call, asked) in [
        ("ball_gores(10 cm, gores: 6, seam: 5 mm)", "`age`"),
        ("scaled_filling(200 g, times: 1.5)", "`age`"),
        ("childs_garment()", "`age`"),
        ("childs_toy()", "`age`"),
        ("childs_bedding()", "`age`"),
        ("childs_blind()", "`age`"),
        ("drawstring_length(40 in)", "`child`"),
    ] {
        let mut session = Session::new(Limits::default());
        let entered = session.enter(call, &NoFiles);
        let printed = fault::plain(&entered.faults, &session.files);
        assert!(printed.contains("still needs") && printed.contains(asked), "{call}: {printed}");
    }
}

/// A caution shows in the docket of each run, once, however many lines call for it, and the recipe's own stay.
#[test]
fn a_docket_holds_each_caution_once() {
    let recipe = "caution \"Close the cutter.\"\nseam 1/4 in\ngiven apart = 1/8 in\na = four_at_once_cut(3 in)\n\
        b = four_at_once_cut(4 in)\nmarks = tuck_marks(40, depth: 1/4 in, apart: apart, margin: 1 in)\n\
        show marks[3].fold\ncheck four_at_once_cut(5 in) > 5 in\nstep \"Cut {four_at_once_cut(6 in)}.\"\n";
    let docket = docket(recipe);
    let said: Vec<&str> = docket.cautions.iter().map(|words| &**words).collect();
    assert_eq!(said.len(), 4, "{said:?}");
    assert!(
        said[0] == "Close the cutter."
            && said[1].contains("bias")
            && said[2].contains("iron")
            && said[3].contains("overlap"),
        "{said:?}"
    );
}

/// A branch that is not taken, and words that are not called for, are not worked.
#[test]
fn a_caution_that_is_not_called_for_costs_nothing() {
    assert!(cautions("if 1 < 2 then 3 in else with_caution(4 in, \"never\")").is_empty());
    assert!(cautions("with_caution(3 in, refuse(\"never worked\"), 1 > 2)").is_empty());
    assert_eq!(
        cautions("with_caution(3 in, \"so\", 3 in ± 1 in > 3 in)"),
        ["so"],
        "where slack leaves it open, it is said"
    );
    assert_eq!(cautions("each k from 1 to 5: with_caution(k, \"so\")"), ["so"]);
}

/// A caution changes no value: it stands in sums, sizes, lists and conditions.
#[test]
fn a_value_with_a_caution_is_the_value() {
    let docket = docket(
        "a = with_caution(3 in, \"so\") + with_caution(2 in, \"thus\")\nshow a\nshow with_caution([a, a], \"list\")[1] is 5 in\n",
    );
    assert_eq!(docket.cautions.len(), 3);
    assert!(matches!(docket.shows[1].value.value, FigureValue::YesNo(true)));
}

const CORD: &str = "recipe \"Cord\"\nseam 1/4 in\ngiven age = 4 from 0 to 90\nlinen = cloth(\"linen\", width: 54 in, selvage: 1/2 in)\n\
    tool rotary\ncut 2 \"strip\" from linen: 3 in by 20 in\nshow drawstring_length(20 in, child: age < 14)\n\
    sizes\n  \"small\" age = 4\n  \"large\" age = 30\n";

/// What the program writes of a recipe.
fn printed(asked: &[&str], name: &str) -> Vec<u8> {
    let path = std::env::temp_dir().join(format!("scant-cautions-{}-{name}.scant", std::process::id()));
    std::fs::write(&path, CORD).unwrap();
    let out = path.with_extension("out");
    let run = std::process::Command::new(env!("CARGO_BIN_EXE_scant"))
        .args([asked[0], path.to_str().unwrap(), "--out", out.to_str().unwrap()])
        .args(&asked[1..])
        .output()
        .unwrap();
    assert!(run.status.success(), "{asked:?}: {}", String::from_utf8_lossy(&run.stderr));
    let written = std::fs::read(&out).unwrap();
    for path in [path, out] {
        std::fs::remove_file(path).unwrap();
    }
    written
}

/// Each format has the cautions, of one size and of a table of sizes.
#[test]
fn every_format_carries_the_cautions() {
    let said = |words: &str| words.contains("rotary cutter") && words.contains("EN 14682:2014");
    for asked in ["run", "grade"] {
        for format in ["text", "csv", "json", "svg", "md", "html", "pdf", "xlsx"] {
            if (asked, format) == ("grade", "svg") {
                continue; // a table is not drawn
            }
            let written = printed(&[asked, "--as", format], &format!("{asked}-{format}"));
            let words = match format {
                "pdf" => read_back::words_of(&written, Format::Pdf),
                "xlsx" => read_back::words_of(&written, Format::Workbook),
                _ => read_back::words_of(&written, Format::Text),
            };
            assert!(said(&words), "{asked} --as {format}: {words}");
        }
    }
}

/// In the workbook of all sizes each size has its own cautions beside it.
#[test]
fn a_workbook_of_sizes_has_a_column_of_cautions() {
    let sheets = read_back::sheets(&printed(&["grade", "--as", "xlsx"], "column"));
    let rows = &sheets[0].1;
    let at = rows[0].iter().position(|cell| *cell == "caution").unwrap();
    let has = |row: usize| rows[row][at].to_string().contains("EN 14682:2014");
    assert!(has(1) && !has(2) && rows[2][at].to_string().contains("rotary cutter"), "{rows:?}");
}
