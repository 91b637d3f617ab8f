//! The lines of a recipe, their documentation, and where a line goes on.

use scant::syntax::read;

use super::dump::{FILE, lines};

fn table(rows: &[(&str, &str)]) {
    let differ = |(text, tree): &(&str, &str)| {
        let found = lines(text);
        (found != *tree).then(|| format!("{text}\n   reads as {found}\n  should be {tree}"))
    };
    let wrong: Vec<String> = rows.iter().filter_map(differ).collect();
    assert!(wrong.is_empty(), "{} of {} rows\n{}", wrong.len(), rows.len(), wrong.join("\n"));
}

#[test]
fn words_and_settings() {
    table(&[
        ("recipe \"Harbour table runner\"", "recipe 'Harbour table runner'"),
        ("note \"Linen runner.\"", "note 'Linen runner.'"),
        ("step \"Mark {n + 1} lines.\"", "step 'Mark ⟨(+ n 1)⟩ lines.'"),
        ("caution \"Close the cutter.\"", "caution 'Close the cutter.'"),
        ("ruler 1/16 in", "ruler 1/16 in"),
        ("shop 1/8 yd", "shop 1/8 yd"),
        ("seam 1/4 in", "seam 1/4 in"),
        ("seam 3/8\"", "seam 3/8 in"),
        ("use \"house.scant\"", "use \"house.scant\""),
    ]);
}

#[test]
fn names() {
    table(&[
        ("x = 2 in", "x = 2 in"),
        ("in_width=5", "in_width = 5"),
        ("flat = tucked_size(finished, in_width: n)", "flat = tucked_size(finished, in_width: n)"),
        ("x = if a is b then c else d", "x = (if (cmp a is b) c d)"),
        ("x2 = 1", "x2 = 1"),
        ("recipes = 1", "recipes = 1"),
        ("cutting = 1", "cutting = 1"),
    ]);
}

#[test]
fn cloth() {
    table(&[
        ("cut 2 \"a\" from c: s, on grain", "cut 2 'a' from c: s, on grain"),
        (
            "cut 2 \"a\" from c: 2 in by 3 in,\n  along  selvage, mirrored",
            "cut 2 'a' from c: (by 2 in 3 in), along selvage, mirrored",
        ),
        ("cut n \"a\" from c: s, may turn", "cut n 'a' from c: s, may turn"),
        ("have 1 of linen: 18 in by 22 in", "have 1 of linen: (by 18 in 22 in)"),
        ("have n of cloths[2]: s at 4 EUR", "have n of cloths[2]: s at 4 EUR"),
        ("plan linen", "plan linen"),
        ("plan linen in strips", "plan linen, in strips"),
        ("plan linen edge to edge, folded", "plan linen, edge to edge, folded"),
        ("plan linen, any way from cloth in hand", "plan linen, any way, from cloth in hand"),
        ("plan linen for 12 kits on 90 in in strips", "plan linen, for 12 kits, on 90 in, in strips"),
        ("plan linen for 1 kit", "plan linen, for 1 kits"),
        ("plan linen, more \"a {n}\", more \"b\"", "plan linen, more 'a ⟨n⟩', more 'b'"),
        ("tool rotary", "tool rotary"),
        ("tool scissors # shears", "tool scissors"),
        ("plan = 3 in", "plan = 3 in"),
        ("x = have + tool", "x = (+ have tool)"),
        ("have = 2", "have = 2"),
    ]);
}

#[test]
fn givens() {
    table(&[
        ("given binding = 3/8 in", "given binding = 3/8 in"),
        ("given finished = 14 in by 48 in", "given finished = (by 14 in 48 in)"),
        ("given depth = 1/8 in from 1/16 in to 1/2 in", "given depth = 1/8 in from 1/16 in to 1/2 in"),
        ("given n = 5 from 1 to 20", "given n = 5 from 1 to 20"),
        (
            "given edge = \"bound\" one of \"bound\", \"hemmed\"",
            "given edge = 'bound' one of 'bound', 'hemmed'",
        ),
        ("given tape = 1 cm one of 1 cm, 1.5 cm, 2 cm", "given tape = 1 cm one of 1 cm, 1.5 cm, 2 cm"),
        ("given lined = yes", "given lined = yes"),
        ("given n = a + 1 from a to b * 2", "given n = (+ a 1) from a to (* b 2)"),
    ]);
}

#[test]
fn rules() {
    table(&[
        ("rule twice(x: length) = 2 * x", "rule twice(x: length) = (* 2 x)"),
        ("rule f(a: length, b = 2 in): area = a * b", "rule f(a: length, b = 2 in): area = (* a b)"),
        ("rule f(a, loft: length = 0 in) = a", "rule f(a, loft: length = 0 in) = a"),
        ("rule f() = 1", "rule f() = 1"),
        ("rule f(a) = {\n  b = a + 1 in\n  b * 2\n}", "rule f(a) = {b = (+ a 1 in); (* b 2)}"),
        (
            "rule f(\n  a: length,\n  seam: length = seam\n): length =\n  a + seam",
            "rule f(a: length, seam: length = seam): length = (+ a seam)",
        ),
        ("rule f(a) = {count: a, left: 2 in}", "rule f(a) = {count: a, left: 2 in}"),
        ("rule f(n) = if n < 1 then 0\n  else f(n - 1)", "rule f(n) = (if (cmp n < 1) 0 f((- n 1)))"),
    ]);
}

#[test]
fn cutting_and_buying() {
    table(&[
        ("cut 1 \"panel\" from linen: flat", "cut 1 'panel' from linen: flat"),
        (
            "cut run.strips \"binding strip\" from linen: linen.usable by strip",
            "cut run.strips 'binding strip' from linen: (by linen.usable strip)",
        ),
        (
            "cut n + 1 \"{which} flag\" from cloths[2]: a by b",
            "cut (+ n 1) '⟨which⟩ flag' from cloths[2]: (by a b)",
        ),
        ("cut 2 \"tie\" from linen: 3 by 30 in", "cut 2 'tie' from linen: (by 3 in 30 in)"),
        ("buy 3 m \"cotton tape\" at 1.20 EUR/m", "buy 3 m 'cotton tape' at 1.2 EUR/m"),
        ("buy 6 \"buttons\"", "buy 6 'buttons'"),
        ("buy n * 2 \"rings\" at 0.40 EUR", "buy (* n 2) 'rings' at 0.4 EUR"),
    ]);
}

#[test]
fn showing_and_checking() {
    table(&[
        ("show flat", "show flat"),
        ("show \"cut size\": flat", "show 'cut size': flat"),
        ("show \"just words\"", "show 'just words'"),
        ("check a <= b: \"too wide\"", "check (cmp a <= b): 'too wide'"),
        ("check a <= b", "check (cmp a <= b)"),
        ("check a is \"red\" or b: \"{a} and {b}\"", "check (or (cmp a is 'red') b): '⟨a⟩ and ⟨b⟩'"),
    ]);
}

#[test]
fn sizes() {
    table(&[
        (
            "sizes\n  \"small\"  finished = 12 by 36 in, in_width = 4\n  \"large\"  finished = 16 by 72 in\n",
            "sizes \"small\" finished = (by 12 in 36 in), in_width = 4; \"large\" finished = (by 16 in 72 in)",
        ),
        (
            "sizes\n\n  # by hand\n  \"a\" n = 1\n\n  \"b\" n = 2\nx = 1",
            "sizes \"a\" n = 1; \"b\" n = 2\nx = 1",
        ),
        ("sizes\n\"a\" n = 1,\n  m = 2\n\"b\" n = 3", "sizes \"a\" n = 1, m = 2; \"b\" n = 3"),
        ("sizes\n  \"a\"\n  \"b\" n = 1", "sizes \"a\" ; \"b\" n = 1"),
        ("sizes # the ladder\n \"12\" n = 1", "sizes \"12\" n = 1"),
    ]);
}

#[test]
fn expressions_by_themselves() {
    table(&[
        ("2 in + 3 in", "(+ 2 in 3 in)"),
        ("x", "x"),
        ("f(a)", "f(a)"),
        ("(x)", "(x)"),
        ("-x", "(neg x)"),
        ("\"text\"", "'text'"),
    ]);
}

#[test]
fn line_words_as_names_elsewhere() {
    table(&[
        ("x = seam + 1 in", "x = (+ seam 1 in)"),
        ("x = f(step: 1, cut: 2, note: 3)", "x = f(step: 1, cut: 2, note: 3)"),
        ("x = {show: 1, check: 2}", "x = {show: 1, check: 2}"),
        ("x = y.cut", "x = y.cut"),
        ("given step = 1 in", "given step = 1 in"),
        ("rule f(cut: length) = cut", "rule f(cut: length) = cut"),
    ]);
}

#[test]
fn where_a_line_goes_on() {
    table(&[
        ("x = a +\n  b\ny = 1", "x = (+ a b)\ny = 1"),
        ("x = f(a,\n\n  b)\ny = 1", "x = f(a, b)\ny = 1"),
        ("x = if a\n  then b\n  else c\ny = 1", "x = (if a b c)\ny = 1"),
        ("x = if a\n# why\n  then b\n  else c", "x = (if a b c)"),
        ("x =\n  1", "x = 1"),
        ("x = a and\n not b", "x = (and a (not b))"),
        ("x = a by\n b", "x = (by a b)"),
        ("check a:\n  \"no\"", "check a: 'no'"),
        ("x = [\n 1,\n 2\n]\n\n\ny = 1", "x = [1, 2]\ny = 1"),
        ("thence = 1\nelsewhere = 2", "thence = 1\nelsewhere = 2"),
        ("x = 1\r\ny = 2\r\n", "x = 1\ny = 2"),
        ("\u{feff}x = 1", "x = 1"),
        ("x = (1 # one\n + 2) # two\ny = 1", "x = ((+ 1 2))\ny = 1"),
        ("x\u{a0}=\u{a0}y", "x = y"),
    ]);
}

#[test]
fn documentation() {
    table(&[
        ("## finished size\ngiven a = 1", "[finished size] given a = 1"),
        ("## one\n## two\na = 1", "[one/two] a = 1"),
        ("##one\na = 1\nb = 2", "[one] a = 1\nb = 2"),
        ("## gone\n\na = 1", "a = 1"),
        ("## A foreword.\n\n## Its own.\na = 1", "[Its own.] a = 1"),
        (
            "## Twice as much.\n## try twice(2 in) is 4 in\n## source common practice, no source\nrule twice(x) = 2 * x",
            "[Twice as much.; try twice(2 in) is 4 in; source common practice, no source] rule twice(x) = (* 2 x)",
        ),
        ("## try f(a: 1).part is (2 is 3)\na = 1", "[try f(a: 1).part is ((cmp 2 is 3))] a = 1"),
        ("# plain\n## doc\na = 1", "[doc] a = 1"),
        ("## doc\n# plain\na = 1", "a = 1"),
        ("a = 1 ## beside\nb = 2", "a = 1\nb = 2"),
    ]);
}

#[test]
fn a_bad_example_is_told() {
    let found = read(FILE, "## try twice(2 in\na = 1");
    assert_eq!(found.tree.lines.len(), 1);
    assert!(!found.faults.is_empty());
}

#[test]
fn a_whole_recipe() {
    let text = include_str!("runner.scant");
    let found = read(FILE, text);
    assert!(found.faults.is_empty(), "{:?}", found.faults);
    assert_eq!(found.tree.lines.len(), 24);
    insta::assert_snapshot!("whole_recipe", format!("{text}\n--- reads as ---\n\n{}", lines(text)));
}
