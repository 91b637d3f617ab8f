//! What is refused, and the whole of what is said: the golden file shows each text above its words.
//! `INSTA_UPDATE=always cargo test --test syntax_reader` renews it; read the difference before keeping it.

use scant::fault::Code;
use scant::syntax::read;

use super::dump::{FILE, faults};

/// Each text, and under it all that is said of it.
fn report(rows: &[&str]) -> String {
    rows.iter().map(|text| format!("{text}\n{}", faults(text))).collect::<Vec<_>>().join("\n")
}

/// What could be read two ways, with the readings that the hints must spell out.
const TWO_WAYS: &[(&str, &[&str])] = &[
    ("x = a/1/2", &["a / (1/2)", "(a / 1) / 2"]),
    ("x = a / 1/2", &["a / (1/2)", "(a / 1) / 2"]),
    ("x = 1/2/3", &["1 / (2/3)", "(1/2) / 3"]),
    ("x = 2^1/2", &["2^(1/2)", "(2^1) / 2"]),
    ("x = -2^2", &["(-2)^2", "-(2^2)"]),
    ("x = -a^2", &["(-a)^2", "-(a^2)"]),
    ("x = 3 in ^ 2", &["3 in^2", "(3 in)^2"]),
    ("x = 2-1/2", &["2 1/2", "spaces round the `-`"]),
    ("x = 5-1/2 + y", &["5 1/2", "spaces round the `-`"]),
    ("x = 2 -1/2 in", &["2 1/2", "2 - 1/2"]),
    ("x = 1,5", &["1.5"]),
    ("x = f(1,5)", &["1.5", "1, 5"]),
    ("x = 8 in × 11 in", &["8 in by 11 in", "8 in * 11 in"]),
    ("x = 8 in x 11 in", &["`8 in by 11 in`", "`8 in * 11 in`"]),
    ("x = 8\" x 11\"", &["`8\" by 11\"`", "`8\" * 11\"`"]),
    ("x = 8x11 in", &["`8 by 11 in`", "`8 * 11 in`"]),
    ("x = (a + b) x c", &["`(a + b) by c`", "`(a + b) * c`"]),
    ("x = 5 of strips", &["`5 * strips`", "`strips[5]`"]),
    ("x = 2 * 12 in by 36 in", &["2 * (12 in by 36 in)", "(2 * 12 in) by 36 in"]),
];

#[test]
fn what_could_be_read_two_ways() {
    let lacking = TWO_WAYS.iter().filter_map(|(text, readings)| {
        let found = read(FILE, text).faults;
        let [fault] = &found[..] else { return Some(format!("{text}: {} faults", found.len())) };
        let hints = fault.hints.join("\n");
        let missing: Vec<_> = readings.iter().filter(|reading| !hints.contains(**reading)).collect();
        let right = fault.code == Code::Ambiguous && missing.is_empty();
        (!right).then(|| format!("{text}: {} {:?}, lacks {missing:?}", fault.code.as_str(), fault.hints))
    });
    let lacking: Vec<String> = lacking.collect();
    assert!(lacking.is_empty(), "{}", lacking.join("\n"));
    insta::assert_snapshot!("two_ways", report(&TWO_WAYS.iter().map(|row| row.0).collect::<Vec<_>>()));
}

#[test]
fn numbers_and_units_that_cannot_be() {
    insta::assert_snapshot!(
        "numbers_and_units",
        report(&[
            "x = 2 3/2 in",
            "x = 2 1/0",
            "x = 1/0 in",
            "x = 2 5/4",
            "x = 2 inn",
            "x = 3 parsecs + 1 in",
            "x = $5",
            "x = 5 $",
            "x = 1 in 2 in",
            "x = 4 in 1 yd",
            "x = 2 3",
            "x = 1.2.3",
            "x = .5",
            "x = 5.",
            "x = (2) furlongs",
            "x = y shown in furlongs",
            "x = 12 by 36 inn",
            "x = y in",
            "10 in to cm",
            "10 in in cm",
            "10 in cm",
            "flat in cm",
            "x = 10 cm in",
            "x = 2 seam",
            "x = 2 seam + 1 in",
            "x = 2\u{2032}\u{2032}",
            "x = 3 in/",
            "x = 1e3",
            "x = 4 g/m2",
            "x = 8 in by 11 cm by 2 in",
        ])
    );
}

#[test]
fn signs_from_elsewhere() {
    insta::assert_snapshot!(
        "signs_from_elsewhere",
        report(&[
            "x = a == b",
            "x = if a = b then 1 else 2",
            "x = a != b",
            "x = a && b",
            "x = a || b",
            "x = !a",
            "x = a % b",
            "x = a ** b",
            "x = 3 = y",
            "x == 3",
            "x = a ? b : c",
            "x = a; y = b",
            "x = a // b",
            "x = 'red'",
            "x = “red”",
            "x = a x b",
            "let x = 3",
            "x := 3",
            "x += 1",
            "x = a <> b",
            "x = a => b",
            "x = a =< b",
            "x = @a",
            "x = a -> b",
            "x = √2",
            "x = 2(3)",
            "x = f (2)",
            "x = a ~ b",
            "x = a & b",
            "x = \\a",
            "x = `a`",
            "x = true",
        ])
    );
}

#[test]
fn words_out_of_place() {
    insta::assert_snapshot!(
        "words_out_of_place",
        report(&[
            "if = 3",
            "up = 2",
            "x = if",
            "x = then",
            "x = if a then b",
            "x = if a b else c",
            "x = else",
            "x = not",
            "x = a not b",
            "x = a is",
            "x = a up",
            "x = a up b + c up",
            "x = a up -1",
            "x = each",
            "x = each k",
            "x = each k from 1: k",
            "x = each k in xs",
            "x = each k from 1 to 3 k",
            "x = how many 5 in",
            "x = how 5 in from 2 in",
            "x = 1 to",
            "x = 1 to 2 every",
            "x = a shown cm",
            "x = a shown in",
            "x = a shown in in in",
            "x = by 3 in",
            "x = a of",
            "x = 1 < 2 is yes",
            "x = a b",
            "x = a.",
            "x = a.3",
            "x = a.(b)",
            "f(if: 3)",
            "rule if(a) = a",
            "rule f(and) = 1",
            "x = {or: 1}",
        ])
    );
}

#[test]
fn brackets_and_commas() {
    insta::assert_snapshot!(
        "brackets_and_commas",
        report(&[
            "x = (2 + 3",
            "x = 2 + 3)",
            "x = (2 + 3]",
            "x = [1, 2",
            "x = {a: 1",
            "x = f(a",
            "x = f(a,, b)",
            "x = f(, a)",
            "x = f(a b)",
            "x = [a b]",
            "x = ()",
            "x = {}",
            "x = a[]",
            "x = a[1, 2]",
            "x = f(a: 1, 2)",
            "x = {a: 1, b}",
            "x = {a: 1, a: 2}",
            "x = {a = 1}",
            "x = (a, b)",
            "x = { a = 1\n a = 2\n a }",
            "x = {a 1}",
            "x = (\ny = 2",
            "x = (2 + 3\n\ny = [4\nz = 5",
            "x = f(a:)",
            "x = f(3: a)",
        ])
    );
}

#[test]
fn lines_that_lack_a_part() {
    insta::assert_snapshot!(
        "lines_that_lack_a_part",
        report(&[
            "recipe Harbour",
            "given",
            "given x",
            "given x =",
            "given = 3",
            "given x 3 in",
            "given x = 3 from 1",
            "given x = 3 to 5",
            "given x = 3 one of",
            "given x = 3 one 1, 2",
            "given 3 = x",
            "rule",
            "rule f",
            "rule f = 2",
            "rule f(a)",
            "rule f(a) 2",
            "rule f(a b) = a",
            "rule f(a: ) = a",
            "rule f(3) = 1",
            "rule f(a):  = 1",
            "cut",
            "cut 1",
            "cut 1 \"panel\"",
            "cut 1 \"panel\" from linen",
            "cut 1 \"panel\": a by b",
            "cut \"panel\" from linen: a",
            "cut 1 panel from linen: a",
            "buy",
            "buy 3 m",
            "buy \"tape\"",
            "buy 3 m \"tape\" 1 EUR",
            "buy 3 m \"tape\" at",
            "show",
            "show \"a\":",
            "check",
            "check a \"message\"",
            "check a: b",
            "caution",
            "ruler",
            "ruler = 3",
            "seam = 1/4 in",
            "shop",
            "use",
            "use house.scant",
            "sizes 3",
            "sizes\nx = 1",
            "sizes\n  small n = 1",
            "sizes\n \"a\" n 1",
            "sizes\n \"a\" n = 1 m = 2",
            "sizes\n \"a\" 3 = 1",
            "= 3",
            "3 = x",
            "x",
            "x y",
            "x = 1 y = 2",
            "x =\ny = 2",
            "a.b = 3",
            "f(x) = 2 * x",
        ])
    );
}

#[test]
fn line_words_where_no_line_is() {
    insta::assert_snapshot!(
        "line_words_where_no_line_is",
        report(&[
            "find x from 1 to 2 so that f(x) is 3",
            "why x",
            "draw",
            "why = 3",
            "x = f(draw: 1)",
            "least x",
            "x = most",
        ])
    );
}
