//! What an expression is read into: literals, operators and how they bind, and the forms in words.

use super::dump::expression;

/// Asserts a table of texts and their trees, and tells every row that differs.
fn table(rows: &[(&str, &str)]) {
    let differ = |(text, tree): &(&str, &str)| {
        let found = expression(text);
        (found != *tree).then(|| format!("{text}\n   reads as {found}\n  should be {tree}"))
    };
    let wrong: Vec<String> = rows.iter().filter_map(differ).collect();
    assert!(wrong.is_empty(), "{} of {} rows\n{}", wrong.len(), rows.len(), wrong.join("\n"));
}

#[test]
fn literals() {
    table(&[
        ("7", "7"),
        ("2 1/2", "2 1/2"),
        ("3/4", "3/4"),
        ("2.5", "2 1/2"),
        ("2 1/2 in", "2 1/2 in"),
        ("2-1/2\"", "2 1/2 in"),
        ("2-1/2 in", "2 1/2 in"),
        ("2½\"", "2 1/2 in"),
        ("2½ in", "2 1/2 in"),
        ("½ in", "1/2 in"),
        ("2\u{a0}1/2\u{a0}in", "2 1/2 in"),
        ("2 1⁄2 in", "2 1/2 in"),
        ("3/4 in", "3/4 in"),
        ("1.5 cm", "1.5 cm"),
        ("45 deg", "45 deg"),
        ("45°", "45 deg"),
        ("120 g/m^2", "120 g/m^2"),
        ("7.90 EUR/m", "7.9 EUR/m"),
        ("5%", "5%"),
        ("8″", "8 in"),
        ("8”", "8 in"),
        ("2 in^2", "2 in^2"),
        ("2 in.", "2 in"),
        ("2“", "2 in"),
        ("3 m²", "3 m^2"),
        ("3 m2", "3 m^2"),
        ("3 sq in", "3 in^2"),
        ("3 sq. yd", "3 yd^2"),
        ("3 square yards", "3 yd^2"),
        ("(2 + 1) sq yd", "(unit (+ 2 1) sq yd)"),
        ("y shown in sq cm", "(shown y sq cm)"),
        ("5 metres", "5 m"),
        ("7 1/2 oz/sq yd", "7 1/2 oz/yd^2"),
        ("7 1/2 oz / yd^2", "7 1/2 oz/yd^2"),
        ("7 1/2 oz / yd²", "7 1/2 oz/yd^2"),
        ("2 * 7 oz / yd2 + a", "(+ (* 2 7 oz/yd^2) a)"),
        ("14.50 EUR / m", "14.5 EUR/m"),
        ("14.50 EUR / n", "(/ 14.5 EUR n)"),
        ("14.50 / m", "(/ 14 1/2 m)"),
        ("3 in / m.across", "(/ 3 in m.across)"),
        ("3 in / m(2)", "(/ 3 in m(2))"),
        ("side²", "(^ side 2)"),
        ("2 × 3 in", "(* 2 3 in)"),
        ("3 in × 2", "(* 3 in 2)"),
        ("a\u{2009}×\u{202f}b", "(* a b)"),
        ("5 −\u{a0}2", "(- 5 2)"),
    ]);
}

#[test]
fn literals_of_two_units() {
    table(&[
        ("6' 2 1/2\" + 1 in", "(+ 74 1/2 in 1 in)"),
        ("5' 3 1/2\"", "63 1/2 in"),
        ("5’ 3 1/2”", "63 1/2 in"),
        ("12 in + 3 mm", "(+ 12 in 3 mm)"),
        ("[6', 2\"]", "[6 ft, 2 in]"),
    ]);
}

#[test]
fn a_fraction_with_a_unit_stays_whole() {
    table(&[
        ("42 in / 1/2 in", "(/ 42 in 1/2 in)"),
        ("3 / 4 in", "(/ 3 4 in)"),
        ("x/2 in", "(/ x 2 in)"),
        ("(x/2) in", "(unit (/ x 2) in)"),
        ("6 * 3/4 in", "(* 6 3/4 in)"),
        ("a / (1/2)", "(/ a (1/2))"),
        ("5 - 1/2", "(- 5 1/2)"),
        ("a-1/2", "(- a 1/2)"),
        ("10 in-1/2 in", "(- 10 in 1/2 in)"),
        ("2 * 1/2 * 3", "(* (* 2 1/2) 3)"),
        ("1/2 + 1/3", "(+ 1/2 1/3)"),
    ]);
}

#[test]
fn signs_of_sums() {
    table(&[
        ("a + b - c", "(- (+ a b) c)"),
        ("a+b", "(+ a b)"),
        ("a - b - c", "(- (- a b) c)"),
        ("a * b / c", "(/ (* a b) c)"),
        ("a + b * c", "(+ a (* b c))"),
        ("a * b + c", "(+ (* a b) c)"),
        ("a × b ÷ c − d", "(- (/ (* a b) c) d)"),
        ("a · b", "(* a b)"),
        ("5% of 4 yd + 1 in", "(+ (of 5% 4 yd) 1 in)"),
        ("a of b * c", "(* (of a b) c)"),
        ("x^2 * y", "(* (^ x 2) y)"),
        ("x^2^3", "(^ x (^ 2 3))"),
        ("(2 in)^2", "(^ (2 in) 2)"),
        ("2^3", "(^ 2 3)"),
    ]);
}

#[test]
fn minus_before() {
    table(&[
        ("-x", "(neg x)"),
        ("-2 1/2 in", "-2 1/2 in"),
        ("a * -b", "(* a (neg b))"),
        ("a - -b", "(- a (neg b))"),
        ("--x", "(neg (neg x))"),
        ("-x + y", "(+ (neg x) y)"),
        ("-x * y", "(* (neg x) y)"),
        ("3 - 2", "(- 3 2)"),
        ("3 -2", "(- 3 2)"),
        ("3-2", "(- 3 2)"),
        ("x -2", "(- x 2)"),
        ("(-2)^2", "(^ (-2) 2)"),
        ("-(2^2)", "(neg ((^ 2 2)))"),
    ]);
}

#[test]
fn sizes() {
    table(&[
        ("8 1/2 in by 11 in", "(by 8 1/2 in 11 in)"),
        ("12 by 36 in", "(by 12 in 36 in)"),
        ("12 in by 36", "(by 12 in 36 in)"),
        ("12 by 36", "(by 12 36)"),
        ("a by b", "(by a b)"),
        ("n by 36 in", "(by n 36 in)"),
        ("a + b by c * 2", "(by (+ a b) (* c 2))"),
        ("2 * (12 in by 36 in)", "(* 2 ((by 12 in 36 in)))"),
        ("(2 * 12 in) by 36 in", "(by ((* 2 12 in)) 36 in)"),
        ("(12 in by 36 in).across", "((by 12 in 36 in)).across"),
        ("(12 by 36 in) + (1 in by 1 in)", "(+ ((by 12 in 36 in)) ((by 1 in 1 in)))"),
    ]);
}

#[test]
fn rounding() {
    table(&[
        ("x nearest 1/8 in", "(nearest x 1/8 in)"),
        ("x up 1/8 yd", "(up x 1/8 yd)"),
        ("x down 1/2 in", "(down x 1/2 in)"),
        ("a + b up step", "(up (+ a b) step)"),
        ("x up cloth.shop", "(up x cloth.shop)"),
        ("x up step_of(a)", "(up x step_of(a))"),
        ("x up (a + b)", "(up x ((+ a b)))"),
        ("x up 1 in down 1/2 in", "(down (up x 1 in) 1/2 in)"),
        ("x up 1 in < y", "(cmp (up x 1 in) < y)"),
    ]);
}

#[test]
fn comparisons() {
    table(&[
        ("a < b", "(cmp a < b)"),
        ("a + 1 <= b * 2", "(cmp (+ a 1) <= (* b 2))"),
        ("1 in <= d <= 2 in", "(cmp 1 in <= d <= 2 in)"),
        ("a is b", "(cmp a is b)"),
        ("a is not b", "(cmp a is-not b)"),
        ("a is \"red\"", "(cmp a is 'red')"),
        ("a ≤ b", "(cmp a <= b)"),
        ("a ≥ b", "(cmp a >= b)"),
        ("a > b", "(cmp a > b)"),
        ("a >= b", "(cmp a >= b)"),
        ("isle is island", "(cmp isle is island)"),
    ]);
}

#[test]
fn and_or_not() {
    table(&[
        ("a and b or c", "(or (and a b) c)"),
        ("a or b and c", "(or a (and b c))"),
        ("not a and b", "(and (not a) b)"),
        ("not a < b", "(not (cmp a < b))"),
        ("not not a", "(not (not a))"),
        ("a < b and c > d", "(and (cmp a < b) (cmp c > d))"),
        ("yes and no", "(and yes no)"),
        ("a and not b", "(and a (not b))"),
        ("android or oral", "(or android oral)"),
    ]);
}

#[test]
fn shown_in_is_loosest() {
    table(&[
        ("x shown in cm", "(shown x cm)"),
        ("x shown in 1/16 in", "(shown x step 1/16 in)"),
        ("3 in * 4 in shown in cm^2", "(shown (* 3 in 4 in) cm^2)"),
        ("w shown in oz/yd^2", "(shown w oz/yd^2)"),
        ("a by b shown in cm", "(shown (by a b) cm)"),
        ("(x shown in cm) + y", "(+ ((shown x cm)) y)"),
        ("f(x shown in in)", "f((shown x in))"),
    ]);
}

#[test]
fn choices() {
    table(&[
        ("if a then b else c", "(if a b c)"),
        ("if a < 1 then b + 1 else c", "(if (cmp a < 1) (+ b 1) c)"),
        ("if a then b else if c then d else e", "(if a b (if c d e))"),
        ("1 + (if a then b else c)", "(+ 1 ((if a b c)))"),
        ("if a\n  then b\n  else c", "(if a b c)"),
        ("if a then\n b else\n c", "(if a b c)"),
    ]);
}

#[test]
fn lists_parts_and_calls() {
    table(&[
        ("[]", "[]"),
        ("[a, b + 1, 2 in]", "[a, (+ b 1), 2 in]"),
        ("[a, b,]", "[a, b]"),
        ("[[1, 2], [3]]", "[[1, 2], [3]]"),
        ("xs[1]", "xs[1]"),
        ("xs[n + 1].across", "xs[(+ n 1)].across"),
        ("f()", "f()"),
        ("f(a, b)", "f(a, b)"),
        ("f(a, seam: b)", "f(a, seam: b)"),
        ("f(cut: 2 in, from: a)", "f(cut: 2 in, from: a)"),
        ("f(g(h(1)))", "f(g(h(1)))"),
        ("f(a).part", "f(a).part"),
        ("f(a)[2]", "f(a)[2]"),
        ("sum(each k from 1 to 3: k)", "sum((each k in (1 to 3): k))"),
        ("f(\n  a,\n  b\n)", "f(a, b)"),
    ]);
}

#[test]
fn ranges_and_each() {
    table(&[
        ("1 to 9", "(1 to 9)"),
        ("0 in to 12 in every 1/2 in", "(0 in to 12 in every 1/2 in)"),
        ("a + 1 to b * 2", "((+ a 1) to (* b 2))"),
        ("each k from 1 to n: k * 2", "(each k in (1 to n): (* k 2))"),
        ("each k from 0 in to 1 in every 1/4 in: k", "(each k in (0 in to 1 in every 1/4 in): k)"),
        ("each w in waists: w / 4", "(each w in waists: (/ w 4))"),
        ("each w in [1 in, 2 in]: w", "(each w in [1 in, 2 in]: w)"),
        ("each a in xs: each b in ys: a + b", "(each a in xs: (each b in ys: (+ a b)))"),
    ]);
}

#[test]
fn how_many() {
    table(&[
        ("how many 5 in from 42 in", "(how-many 5 in 42 in)"),
        ("(how many 5 in from 42 in).count", "((how-many 5 in 42 in)).count"),
        ("how many a + b from c", "(how-many (+ a b) c)"),
    ]);
}

#[test]
fn records_and_blocks() {
    table(&[
        ("{across: 3 in, note: \"nap up\"}", "{across: 3 in, note: 'nap up'}"),
        ("{across: 3 in}.across", "{across: 3 in}.across"),
        ("{count: n, left: a - b}", "{count: n, left: (- a b)}"),
        ("{step: 1 in}", "{step: 1 in}"),
        ("{ a + 1 }", "{; (+ a 1)}"),
        ("{\n  a = 2 in\n  b = a + 1 in\n  a + b\n}", "{a = 2 in, b = (+ a 1 in); (+ a b)}"),
        ("{\n\n  a = 2 in   # first\n\n  a\n}", "{a = 2 in; a}"),
        ("{\n  across: 3 in,\n  along: 4 in,\n}", "{across: 3 in, along: 4 in}"),
        ("if a then {\n b = 1\n b\n} else c", "(if a {b = 1; b} c)"),
    ]);
}

#[test]
fn words_of_a_line_are_names_within_it() {
    table(&[
        ("2 * seam", "(* 2 seam)"),
        ("1 + step + cut", "(+ (+ 1 step) cut)"),
        ("f(from: a)", "f(from: a)"),
        ("ruler_step", "ruler_step"),
        ("that * 2", "(* that 2)"),
        ("that.across", "that.across"),
        ("thatch", "thatch"),
        ("upper", "upper"),
        ("every_other", "every_other"),
    ]);
}

#[test]
fn a_unit_behind_a_bracket() {
    table(&[
        ("(2 * 3) in", "(unit (* 2 3) in)"),
        ("(n + 1) cm + 2 cm", "(+ (unit (+ n 1) cm) 2 cm)"),
        ("2 * (n) in", "(* 2 (unit n in))"),
        ("(a) by (b) in", "(by (a) (unit b in))"),
        ("(n) oz/yd^2", "(unit n oz/yd^2)"),
    ]);
}

#[test]
fn comments_and_space() {
    table(&[
        ("a + b # the rest is for people", "(+ a b)"),
        ("  a   +\tb  ", "(+ a b)"),
        ("a +\n  b", "(+ a b)"),
        ("a + # more below\n  b", "(+ a b)"),
        ("(a\n + b)", "((+ a b))"),
        ("a +\r\n b", "(+ a b)"),
    ]);
}
