//! The library: every rule documented, every example comes out, every rule told a wrong kind refuses it.
#![allow(clippy::unwrap_used, clippy::panic)] // what is wrong here is a test that fails

use scant::eval::limits::Limits;
use scant::fault::{self, Code, Files};
use scant::help::tries::try_library;
use scant::library;
use scant::recipe::used::NoFiles;
use scant::session::entry::Session;

/// The faults of one entry at a fresh prompt, as printed.
fn refused(entry: &str) -> String {
    let mut session = Session::new(Limits::default());
    let entered = session.enter(entry, &NoFiles);
    assert!(!entered.faults.is_empty(), "`{entry}` came out");
    fault::plain(&entered.faults, &session.files)
}

#[test]
fn every_rule_is_documented_and_every_example_comes_out() {
    let mut files = Files::new();
    let tried = try_library(&mut files, &Limits::default());
    assert!(tried.faults.is_empty(), "{}", fault::plain(&tried.faults, &files));
    assert!(
        tried.rules >= 315 && tried.examples >= tried.rules,
        "{} rules, {} examples",
        tried.rules,
        tried.examples
    );
}

#[test]
fn no_two_rules_share_a_name() {
    let written =
        library::FILES.iter().flat_map(|(_, text)| text.lines()).filter(|line| line.starts_with("rule "));
    assert_eq!(written.count(), library::index().len());
}

/// A rule whose first argument has a kind refuses a list there, and does not panic.
#[test]
fn every_rule_refuses_a_wrong_argument() {
    let mut tried = 0;
    for (name, entry) in library::index() {
        let heading = entry.text().split_once('(').unwrap().1;
        let kind = heading.split_once([':', '=', ',', ')']).unwrap().1.trim_start();
        let kind: String = kind.chars().take_while(|c| c.is_alphabetic() || *c == '_').collect();
        let wrong = if kind == "list" { "3 in" } else { "[1 in]" };
        let mut session = Session::new(Limits::default());
        let entered = session.enter(&format!("{name}({wrong})"), &NoFiles);
        assert!(!entered.faults.is_empty(), "`{name}` takes {wrong}");
        tried += 1;
    }
    assert!(tried >= 315);
}

/// What must never be a silent number is refused in trade words.
#[test]
fn refusals_speak_the_trade() {
    for (entry, words) in [
        ("fold_spacing(0 in, depth: 1/4 in)", "`apart` in `fold_spacing` must be more than 0"),
        ("tuck_marks(3, depth: 1/4 in, apart: 0 in, margin: 1 in)", "must be more than 0"),
        ("tuck_depth(10 in, finished: 12 in, tucks: 5)", "no cloth is left"),
        ("pin_tuck_take_up(before: 9 cm, after: 10 cm, tucks: 8)", "measure it again"),
        ("single_binding_reach(1 1/2 in, seam: 1/2 in)", "too narrow to turn"),
        ("double_binding_finished(1/4 in, ease: 1/4 in)", "nothing shows"),
        ("bias_tube(3 in by 9 in, cut: 2 1/2 in, seam: 1/4 in)", "does not fit on a piece"),
        ("bias_from_piece(10 in by 20 in, cut: 2 in, shortest: 15 in)", "no bias strip 15 in long"),
        ("bias_in_strips(4 in by 40 in, cut: 1 in, shortest: 6 in, seam: 1/4 in)", "gives no bias strip"),
        ("grown(10 in by 4 in, each_edge: -2 in)", "leaves nothing of"),
        ("sewn_seam(4, cut: 2 in, row: 9 in)", "measure it again"),
        ("pleat_depth(10 in, finished: 12 in, pleats: 4)", "no cloth is left"),
        ("mitred_hem_corner(1/2 in, seam: 3/4 in)", "wider than a hem"),
        ("hem_within(5 in, depth: 2 in)", "deeper than the piece"),
        ("circle_skirt(28 in, length: 2 in, hem: 5 in, seam: 1/2 in)", "deeper than the piece"),
        (
            "tiered_skirt(30 in, tiers: 2, depth: 2 in, hem: 5 in, usable: 42 in, seam: 1/2 in)",
            "deeper than the piece",
        ),
        ("tablecloth(1 in by 9 in, drop: 0 in, allowance: 2 in)", "deeper than the piece"),
        (
            "round_tablecloth(1 in, drop: 0 in, allowance: 3 in, usable: 40 in, seam: 1/2 in)",
            "deeper than the piece",
        ),
        ("napkins(8, finished: 2 in by 2 in, allowance: 3 in, usable: 54 in)", "deeper than the piece"),
        ("napkins(8, finished: 60 in by 60 in, allowance: 1 in, usable: 54 in)", "longer than a strip"),
        ("heading_pleats(5, flat: 90 in, finished: 40 in, ends: 20 in)", "leave nothing of a heading"),
        ("diamonds_per_strip(40 in, strip: 42 in, seam: 1/4 in)", "does not fit in a strip"),
        (
            "bias_in_strips(20 in by 20 in, cut: 2 in, shortest: 1 in, seam: 1/2 in)",
            "leave nothing of strips",
        ),
        ("boxed_corner(2 in, seam: 1/4 in, box_seam: 2 in)", "nothing is left to cut out"),
        ("joined_length(2, strip: 1 in, loss: 2 in)", "a join takes 2 in"),
        ("row_length(3, finished: 1 in, off: 1 in)", "leave nothing of a row"),
        ("row_from_test(3, cut: 1 in, seam: 1/2 in)", "leave nothing of a piece"),
        ("sector_size(outer: 3 in, inner: 4 in, angle: 90 deg, seam: 1/4 in)", "leaves nothing of a sector"),
        ("spaced_near(9 in, along: 10 in, width: 8 in)", "only one of 8 in"),
        ("base_for_side(1 in, seam: 1/2 in)", "leave nothing of"),
        ("double_binding_reach(2 in, seam: 3/8 in)", "too narrow to turn"),
        ("pin_tucked_width(12 in, tucks: 16, needles: 2 mm, slot: 7 mm)", "sew a swatch"),
        ("binding_run(90 in, cut: 2 in, usable: 42 in, curved: yes)", "on the bias"),
        ("strips_needed(3, piece: 50 in, strip: 42 in)", "longer than a strip"),
        ("strips_to_join(90 in, strip: 2 in, loss: 2 in)", "a join takes 2 in"),
        ("cloth(\"gauze\", width: 2 in, selvage: 1 in)", "leave nothing"),
        ("usable_width(44 in, selvage: 1/2 in, shrink: 100%)", "less than 100%"),
        ("single_hem(1/4 in, turn: 1/2 in)", "deeper than a hem"),
        ("french_seam(3/8 in, 1/4 in)", "trim the first"),
        ("french_seam(1/4 in, 3/8 in, trim: 1/2 in)", "cannot be trimmed to"),
        ("edge_allowance(\"frayed\", seam: 1/4 in)", "cannot be frayed"),
        ("sewn_seam(1, cut: 2 in, row: 2 in)", "must be 2 or more"),
        ("bias_tube(1 in by 1 in, cut: 1/2 in, seam: 1/4 in)", "leave nothing of"),
        ("bias_rectangle(90 in, across: 1/2 in, cut: 2 in, seam: 1/4 in)", "leave nothing of a piece"),
        ("twin_needle_room(6.9 mm, slot: 7 mm)", "breaks on an opening"),
        ("twin_needle_room(4 mm, slot: 9 mm, foot_opening: 5 mm)", "breaks on an opening"),
        ("joined_length(0, strip: 42 in, loss: 2 in)", "must be 1 or more"),
        ("tucks_that_fit(10 in, apart: 1 in, margin: 6 in)", "no tuck fits"),
        ("spaced_near(2 in, along: 10 in, width: 11 in)", "not even one of 11 in"),
        ("scant_seam(1/4 in, fold: 1/4 in)", "leaves nothing of"),
        ("trellis_kept_from_marks(1/4 in, take_up: 1/4 in)", "leave nothing between"),
        ("gathered_width(10 in, fullness: 1/2)", "must be 1 or more"),
        ("circular_flounce(top: 20 in, bottom: 20 in, depth: 4 in, seam: 1/4 in)", "no flare"),
        ("circular_flounce(top: 2 in, bottom: 90 in, depth: 4 in, seam: 1/2 in)", "too small for a seam"),
        ("evenly_spaced(9, along: 10 in, width: 2 in)", "do not fit into"),
        ("evenly_spaced(0, along: 10 in)", "must be 1 or more"),
        ("band_to_fill(3 in, bands: [band(\"lace\", finished: 4 in)])", "already make 4 in"),
        ("circle_skirt(3 in, length: 10 in, seam: 1/2 in)", "too small for a seam"),
        ("circle_skirt(28 in, length: 10 in, seam: 1/2 in, part: 3/2, panels: 1)", "cut it in more panels"),
        ("sector_size(outer: 10 in, inner: 1 in, angle: 350 deg, seam: 1/2 in)", "no room for its seams"),
        ("seamed(12 in)", "no `seam` is set"),
        ("hemmed(5 in, allowance: 6 in)", "deeper than the piece"),
        ("bias_strip(60 in, usable: 42 in)", "does not fit on a cloth"),
        ("bias_in_strips(4 in by 4 in, cut: 2 in, shortest: 6 in, seam: 1/4 in)", "gives no bias strip"),
        ("allowance_at(180 deg, seam: 1/4 in)", "must be less than 180 deg"),
        ("corner_of(2)", "must be 3 or more"),
        ("mitre_angle(360 deg)", "must be less than 360 deg"),
        ("half_square_units(5, finished: 3 in, at_once: 3, seam: 1/4 in)", "2, 4 or 8 at once"),
        ("triangles_per_strip(50 in, strip: 42 in)", "does not fit in a strip"),
        ("diamonds_in_a_round(50 deg)", "do not make 360 deg"),
        ("gaps_in_a_row(0)", "must be 1 or more"),
        ("tie_each(20 in, covered: 24 in, hanging: 5 in)", "nothing is left to tie"),
        ("slanted_pair(2 in, width: 3 in, seam: 1/4 in)", "longer than the piece"),
        ("elastic_length(28 in, shorter: 100%)", "less than 100%"),
        ("opens_to(20 in, gives: 50%, over: 38 in)", "does not go over"),
        ("zip_opening(1 in)", "leave no opening"),
        ("opens_to(1 in, gives: 50%, over: 38 in)", "leaves nothing of an elastic"),
        ("zip_cut_off(7 in, opening: 8 in)", "too short for an opening"),
        ("piece_counts(3, pair: yes)", "do not make pairs"),
        ("interfacing_size(1 in by 8 in, seam: 1/2 in)", "leave nothing of"),
        ("lining_length(1 in)", "leaves nothing of"),
        ("edges_match(10 in, other: 9 in)", "does not match"),
        ("strap_places(8 in, apart: 9 in)", "do not fit on"),
        ("inside_trim(4 in by 9 in, width: 2 in)", "leaves nothing of"),
        ("beside_insertion(4 in, insertion: 4 in, edge: 1/4 in)", "wider than the piece"),
        ("insertion_bands(4 in, insertion: 2 in, rows: 2, edge: 1/4 in)", "leave nothing of 4 in"),
        ("per_stitch(1 in, stitches: 3, start: 1/2 in, finish: 1/2 in)", "longer sample"),
        ("stitches_in_length(2 in, stitch: 1 in, start: 1 in, finish: 1 in)", "too short for one stitch"),
        ("motif_order(10)", "cannot be divided into quarters"),
        ("rose_spokes(6, radius: 1 in)", "odd number of spokes"),
        ("scallops(40 in, target: 4 in, depth: 3 in)", "more than half circles"),
        ("units_in_class(1 h, sample: 5 min, talk: 90 min)", "leaves no time"),
        ("cord_hangs(40 in, channel: 30 in)", "3 in is the limit"),
        ("cord_hangs(20 in, channel: 30 in)", "too short for a channel"),
        ("drawstring_length(50 cm, child: yes, ends: 10 in)", "3 in is the limit"),
        ("drawstring_length(50 cm, child: yes, knot: 1 in)", "a knot can catch"),
        ("cord_limit(\"knee\", young: yes)", "not at knee"),
        ("diamonds_per_strip(4 in, corner: 120 deg, strip: 42 in, seam: 1/4 in)", "must be less than 90 deg"),
        ("slanted_pair(20 in, width: 2 in, corner: 120 deg, seam: 1/4 in)", "must be less than 90 deg"),
        ("bias_square(1 in, cut: 4 in, seam: 1/4 in)", "too short for a tube"),
        ("bias_rectangle(10 in, across: 40 in, cut: 2 in, seam: 1/4 in)", "cut it in single strips"),
        ("bias_from_piece(4 in by 4 in, cut: 5 in, shortest: 2 in)", "does not fit on a piece"),
        ("can_ease(59 in, 60 in)", "nothing to ease in"),
        ("interfacing_size(9 in by 9 in, seam: 1/4 in, into: 1 in)", "larger than its piece"),
        ("hexagon_rows(0, rows: 4, side: 2 in)", "must be 1 or more"),
        ("base_for_side(27 in, pieces: 0, seam: 1/2 in)", "must be 1 or more"),
        ("tucked_width(10 in, tucks: 12, depth: 1/4 in, apart: 1 in)", "do not fit into a width"),
        ("horizontal_buttonhole(1/4 in, length: 1 in, past: 1/2 in)", "cuts the edge"),
        ("curtain_width(60 in, side_hem: 2 in, curtains: 0)", "must be 1 or more"),
        ("dart_intake(15 in, finished: 20 in, darts: 4)", "no cloth is left for darts"),
        ("dart_intake(20 in, finished: 15 in, darts: 0)", "must be 1 or more"),
        ("dart_closed(4 in, intake: 1 in, darts: 4)", "leave nothing of an edge"),
        ("dart_moved(13 in, side: 6 in, other: 8 in)", "cannot have sides"),
        ("flap_cushion(4 in by 4 in, overlap: 4 in, hem: 1 in, seam: 1/2 in)", "as much as a back"),
        ("lacing_length(0, apart: 1 in, gap: 1 in)", "must be 1 or more"),
        ("bed_cut_out(1 in, along: 1 in, hem: 1/4 in, edge: 2 in)", "leave nothing of a cut-out"),
        ("largest_across(0, usable: 42 in)", "must be 1 or more"),
        ("stitch_ratio(\"999\")", "unpick a swatch"),
        ("unstitched_start(2 in, start: 12 in, gap: 10 in)", "leave a wider gap"),
    ] {
        let printed = refused(entry);
        assert!(printed.contains(words), "`{entry}` is refused, but not with `{words}`:\n{printed}");
    }
}

/// The caller's line is named, for the library's own is no news to anyone.
#[test]
fn a_refusal_names_the_callers_place() {
    let mut session = Session::new(Limits::default());
    let entered = session.enter("3 in + tuck_depth(10 in, finished: 12 in, tucks: 5)", &NoFiles);
    let [refusal] = &entered.faults[..] else { panic!("one fault is wanted") };
    assert_eq!(refusal.code, Code::Refused);
    let printed = fault::plain(&entered.faults, &session.files);
    assert!(printed.contains("entry 1:1"), "{printed}");
}

/// A source is geometry, common practice that says so, or a work or a standard that can be looked up by its year, its
/// page or its title; no name of a check stands in the handbook.
#[test]
fn every_source_can_be_looked_up() {
    let vague =
        ["century", "undated", "weblog", "blog", "encyclopedia", "trade pages", "assessment", "guild"];
    let check = |word: &str| {
        let mut parts = word.split('-');
        matches!((parts.next(), parts.next(), parts.next()), (Some(topic), Some(id), None)
            if topic.len() == 2 && topic.chars().all(|c| c.is_ascii_uppercase())
                && id.starts_with(['E', 'T', 'P', 'X']) && id.len() == 3 && id.ends_with(|c: char| c.is_ascii_digit()))
    };
    let mut sources = 0;
    for (name, text) in library::FILES {
        for line in text.lines() {
            assert!(!line.split_whitespace().any(check), "{name}: {line}");
            let Some(source) = line.strip_prefix("## source ") else { continue };
            sources += 1;
            assert!(!vague.iter().any(|word| source.contains(word)), "{name}: {source}");
            let year = source.split(|c: char| !c.is_ascii_digit()).any(|digits| digits.len() == 4);
            let page = source.contains(", p. ") || source.contains("(questions and answers)");
            let own = source.starts_with("geometry") || source.contains("no source");
            let titled = source.contains("(Tukes), ");
            assert!(own || year || page || titled, "{name}: {source}");
            let practice = source.contains("common practice");
            assert!(!practice || source.contains("no source"), "{name}: {source}");
            // a law of the United States has its year too
            for rule in source.split("16 CFR ").skip(1) {
                assert!(rule.contains("(19") || rule.contains("(20"), "{name}: {source}");
            }
        }
    }
    assert!(sources >= library::index().len(), "{sources}");
}
