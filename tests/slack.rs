//! Slack: sums exact, everything else never too narrow; sources told apart; comparisons left open.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, clippy::indexing_slicing)] // a test that fails panics

use num_bigint::BigInt;
use num_rational::BigRational;
use num_traits::{Signed, Zero};
use proptest::prelude::*;
use proptest::sample::select;
use scant::docket::{Docket, FigureValue, Slack};
use scant::eval::limits::Limits;
use scant::fault::Files;
use scant::measure::Exact;
use scant::recipe::build::compile;
use scant::recipe::used::NoFiles;
use scant::session::entry::Answer;
use scant::session::entry::Session;

/// The answer to the last of these lines.
fn answer(lines: &str) -> FigureValue {
    let mut session = Session::new(Limits::default());
    let entered = session.enter(lines, &NoFiles);
    assert!(entered.faults.is_empty(), "{lines}: {:?}", entered.faults);
    match entered.answers.into_iter().last() {
        Some(Answer::Value(figure)) => figure.value,
        other => panic!("{lines}: {other:?}"),
    }
}

fn slack(lines: &str) -> Slack {
    match answer(lines) {
        FigureValue::Slack(slack) => *slack,
        other => panic!("{lines}: no slack in {other:?}"),
    }
}

/// What the prompt prints of it.
fn text(lines: &str) -> String {
    let mut session = Session::new(Limits::default());
    let entered = session.enter(lines, &NoFiles);
    match (entered.faults.first(), entered.answers.last()) {
        (Some(fault), _) => fault.message.clone(),
        (_, Some(Answer::Value(figure))) => scant::report::figure_text(figure),
        (_, Some(Answer::Words(words))) => words.clone(),
        other => panic!("{lines}: {other:?}"),
    }
}

fn big(exact: &Exact) -> BigRational {
    exact.to_big()
}

/// Least and most of an answer, as numbers.
fn bounds(value: &FigureValue) -> (BigRational, BigRational) {
    match value {
        FigureValue::Measure(plain) => (big(plain.number.lower()), big(plain.number.upper())),
        FigureValue::Slack(slack) => {
            let (middle, off) = (big(&slack.middle.number.mid()), big(&slack.slack.number.mid()));
            (&middle - &off, middle + off)
        }
        other => panic!("{other:?}"),
    }
}

fn ratio(n: i64, d: i64) -> BigRational {
    BigRational::new(BigInt::from(n), BigInt::from(d))
}

// ---- sums by an evaluator of the test's own --------------------------------------------------

/// A source of error: middle and slack, in 32nds.
type Source = (i64, i64);

#[derive(Clone, Debug)]
enum Sum {
    Source(usize),
    Number(i64),
    Add(Box<Sum>, Box<Sum>),
    Take(Box<Sum>, Box<Sum>),
    /// Times a number.
    Scaled(Box<Sum>, i64),
    /// Over a number.
    Part(Box<Sum>, i64),
    Times(Box<Sum>, Box<Sum>),
    Over(Box<Sum>, Box<Sum>),
    Power(Box<Sum>, i32),
    Abs(Box<Sum>),
    Largest(Box<Sum>, Box<Sum>),
    Up(Box<Sum>),
    Nearest(Box<Sum>),
}

impl Sum {
    fn text(&self) -> String {
        let two = |a: &Sum, sign: &str, b: &Sum| format!("({} {sign} {})", a.text(), b.text());
        match self {
            Sum::Source(at) => format!("s{at}"),
            Sum::Number(n) => format!("({n})"),
            Sum::Add(a, b) => two(a, "+", b),
            Sum::Take(a, b) => two(a, "-", b),
            Sum::Scaled(a, n) => format!("({n} * {})", a.text()),
            Sum::Part(a, n) => format!("({} / {n})", a.text()),
            Sum::Times(a, b) => two(a, "*", b),
            Sum::Over(a, b) => two(a, "/", b),
            Sum::Power(a, n) => format!("({} ^ {n})", a.text()),
            Sum::Abs(a) => format!("abs({})", a.text()),
            Sum::Largest(a, b) => format!("largest({}, {})", a.text(), b.text()),
            Sum::Up(a) => format!("({} up (1/8))", a.text()),
            Sum::Nearest(a) => format!("({} nearest (1/4))", a.text()),
        }
    }

    /// What comes out where the sources have these values; `None` where something is divided by 0.
    fn outcome(&self, at: &[BigRational]) -> Option<BigRational> {
        Some(match self {
            Sum::Source(n) => at[*n].clone(),
            Sum::Number(n) => ratio(*n, 1),
            Sum::Add(a, b) => a.outcome(at)? + b.outcome(at)?,
            Sum::Take(a, b) => a.outcome(at)? - b.outcome(at)?,
            Sum::Scaled(a, n) => a.outcome(at)? * ratio(*n, 1),
            Sum::Part(a, n) => a.outcome(at)? / ratio(*n, 1),
            Sum::Times(a, b) => a.outcome(at)? * b.outcome(at)?,
            Sum::Over(a, b) => {
                let below = b.outcome(at)?;
                if below.is_zero() {
                    return None;
                }
                a.outcome(at)? / below
            }
            Sum::Power(a, n) => a.outcome(at)?.pow(*n),
            Sum::Abs(a) => a.outcome(at)?.abs(),
            Sum::Largest(a, b) => a.outcome(at)?.max(b.outcome(at)?),
            Sum::Up(a) => (a.outcome(at)? * ratio(8, 1)).ceil() / ratio(8, 1),
            Sum::Nearest(a) => {
                let steps = a.outcome(at)? * ratio(4, 1);
                let half = ratio(1, 2);
                let whole = if steps.is_negative() { (steps - half).ceil() } else { (steps + half).floor() };
                whole / ratio(4, 1)
            }
        })
    }
}

fn linear() -> impl Strategy<Value = Sum> {
    let leaf = prop_oneof![4 => (0usize..4).prop_map(Sum::Source), 1 => (-9i64..9).prop_map(Sum::Number)];
    leaf.prop_recursive(5, 24, 2, |inner| {
        let pair = (inner.clone(), inner.clone());
        prop_oneof![
            pair.clone().prop_map(|(a, b)| Sum::Add(a.into(), b.into())),
            pair.prop_map(|(a, b)| Sum::Take(a.into(), b.into())),
            (inner.clone(), -5i64..6).prop_map(|(a, n)| Sum::Scaled(a.into(), n)),
            (inner, 1i64..7).prop_map(|(a, n)| Sum::Part(a.into(), n)),
        ]
    })
}

fn any_sum() -> impl Strategy<Value = Sum> {
    let leaf = prop_oneof![5 => (0usize..4).prop_map(Sum::Source), 1 => (1i64..9).prop_map(Sum::Number)];
    leaf.prop_recursive(4, 14, 2, |inner| {
        let pair = (inner.clone(), inner.clone());
        prop_oneof![
            2 => pair.clone().prop_map(|(a, b)| Sum::Add(a.into(), b.into())),
            2 => pair.clone().prop_map(|(a, b)| Sum::Take(a.into(), b.into())),
            3 => pair.clone().prop_map(|(a, b)| Sum::Times(a.into(), b.into())),
            2 => pair.clone().prop_map(|(a, b)| Sum::Over(a.into(), b.into())),
            1 => pair.prop_map(|(a, b)| Sum::Largest(a.into(), b.into())),
            1 => (inner.clone(), select(vec![-2, -1, 0, 1, 2, 3, 4])).prop_map(|(a, n)| Sum::Power(a.into(), n)),
            1 => inner.clone().prop_map(|a| Sum::Abs(a.into())),
            1 => inner.clone().prop_map(|a| Sum::Up(a.into())),
            1 => inner.prop_map(|a| Sum::Nearest(a.into())),
        ]
    })
}

fn sources() -> impl Strategy<Value = Vec<Source>> {
    proptest::collection::vec((16i64..400, 0i64..12), 4)
}

fn lines(sources: &[Source], sum: &Sum) -> String {
    let mut text = String::new();
    for (at, (middle, off)) in sources.iter().enumerate() {
        text += &format!("s{at} = ({middle} / 32) ± ({off} / 32)\n");
    }
    text + &sum.text()
}

/// Each source at so many 16ths of its slack.
fn place(sources: &[Source], at: &[i64]) -> Vec<BigRational> {
    sources.iter().zip(at).map(|((middle, off), e)| ratio(middle * 16 + off * e, 32 * 16)).collect()
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    /// Where the sum is linear its bounds are those of the outermost corners, exactly.
    #[test]
    fn linear_sums_are_exact(sources in sources(), sum in linear()) {
        let (least, most) = bounds(&answer(&lines(&sources, &sum)));
        let corner = |bits: u32| -> Vec<i64> { (0..4).map(|at| if bits >> at & 1 == 1 { 16 } else { -16 }).collect() };
        let outcomes: Vec<BigRational> =
            (0..16).map(|bits| sum.outcome(&place(&sources, &corner(bits))).unwrap()).collect();
        prop_assert_eq!(&least, outcomes.iter().min().unwrap());
        prop_assert_eq!(&most, outcomes.iter().max().unwrap());
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]

    /// 10,000 outcomes of any sum lie within its bounds, corners among them.
    #[test]
    fn bounds_hold_ten_thousand_outcomes(sources in sources(), sum in any_sum(), seed in any::<u64>()) {
        let mut session = Session::new(Limits::default());
        let entered = session.enter(&lines(&sources, &sum), &NoFiles);
        // What may be divided by 0, or grows too long, is refused.
        prop_assume!(entered.faults.is_empty());
        let Some(Answer::Value(figure)) = entered.answers.last() else { panic!("{:?}", entered.answers) };
        let shown = bounds(&figure.value);
        let whole = sum.text();
        let mut end = |name: &str| match session.enter(&format!("({whole}).{name}"), &NoFiles).answers.last() {
            Some(Answer::Value(figure)) => bounds(&figure.value).0,
            other => panic!("{other:?}"),
        };
        // The ends are never wider than what is shown, and hold all outcomes.
        let (least, most) = (end("least"), end("most"));
        prop_assert!(shown.0 <= least && most <= shown.1);
        let mut state = seed | 1;
        let mut next = || {
            state ^= state << 13;
            state ^= state >> 7;
            state ^= state << 17;
            state
        };
        for turn in 0..10_000u64 {
            let at: Vec<i64> = (0..4)
                .map(|n| if turn < 16 { if turn >> n & 1 == 1 { 16 } else { -16 } } else { (next() % 33) as i64 - 16 })
                .collect();
            if let Some(outcome) = sum.outcome(&place(&sources, &at)) {
                prop_assert!(least <= outcome && outcome <= most, "{} at {at:?}: {outcome} is not from {least} to {most}", sum.text());
            }
        }
    }

    /// A curve that keeps its direction has the bounds of its ends, exactly.
    #[test]
    fn one_power_or_reciprocal_is_exact(middle in 40i64..4000, off in 0i64..32, n in 2i32..6) {
        let at = |n: i64| ratio(n, 32);
        for (sum, low, high) in [
            (format!("x ^ {n}"), at(middle - off).pow(n), at(middle + off).pow(n)),
            (format!("x ^ -{n}"), at(middle + off).pow(-n), at(middle - off).pow(-n)),
            ("1 / x".into(), at(middle + off).recip(), at(middle - off).recip()),
        ] {
            let x = format!("x = ({middle} / 32) ± ({off} / 32)\n");
            prop_assert_eq!(bounds(&answer(&format!("{x}({sum}).least"))).0, low, "{}", sum.clone());
            prop_assert_eq!(bounds(&answer(&format!("{x}({sum}).most"))).0, high, "{}", sum);
        }
    }

    /// A root's square is what it was taken of.
    #[test]
    fn roots_hold_their_squares(middle in 1i64..4000, off in 0i64..32) {
        prop_assume!(off < middle);
        let root = answer(&format!("sqrt(({middle} / 32) ± ({off} / 32))"));
        let (least, most) = bounds(&root);
        prop_assert!(&least * &least <= ratio(middle - off, 32) || least.is_negative());
        prop_assert!(&most * &most >= ratio(middle + off, 32));
    }
}

// ---- sources ---------------------------------------------------------------------------------

#[test]
fn a_source_taken_from_itself_is_nothing() {
    for sum in ["x - x", "2 * x - x - x", "x + 1 in - x - 1 in", "(x + y) - (y + x)", "x / 3 * 3 - x"] {
        let lines = format!("x = 8 in ± 1/32 in\ny = 3 cm ± 1 mm\n{sum}");
        let FigureValue::Measure(nothing) = answer(&lines) else { panic!("{sum} has slack") };
        assert!(nothing.is_zero(), "{sum}");
    }
    assert_eq!(text("x = 8 in ± 1/32 in\nx / x"), "1");
    assert_eq!(text("x = 8 in ± 1/32 in\n(3 * x) / x"), "3");
    // Two literals are two sources, however alike.
    assert_eq!(text("(8 in ± 1/32 in) - (8 in ± 1/32 in)"), "0 in ± 1/16 in");
}

#[test]
fn separate_things_err_each_on_their_own() {
    assert_eq!(text("12 separate seams of 1/4 in ± 1/32 in"), "3 in ± 3/8 in");
    assert_eq!(text("s = 1/4 in ± 1/32 in\n12 * s - 12 * s"), "0 in");
    assert_eq!(text("s = 1/4 in ± 1/32 in\n(12 separate seams of s) - 12 * s"), "0 in ± 3/4 in");
    assert_eq!(text("t = 12 separate seams of 1/4 in ± 1/32 in\nt - t"), "0 in");
    assert_eq!(text("0 separate seams of 1/4 in ± 1/32 in"), "0 in");
    assert_eq!(text("3 separate bar tacks of 2 mm"), "6 mm");
    assert_eq!(text("2 separate rows of (1 in ± 1/8 in by 2 in)"), "2 in ± 1/4 in by 4 in");
}

#[test]
fn each_working_of_a_literal_is_a_source() {
    let rule = "rule one() = 1 in ± 1/8 in\n";
    assert_eq!(text(&format!("{rule}one() - one()")), "0 in ± 1/4 in");
    // What a loop could work once is worked at each turn, where it makes sources.
    let turns = "xs = each k from 1 to 3: k * 1 in + one()\nxs[1] - xs[2] + 1 in";
    assert_eq!(text(&format!("{rule}{turns}")), "0 in ± 1/4 in");
    assert_eq!(text("xs = each k from 1 to 3: (1 in ± 1/8 in)\nxs[1] - xs[2]"), "0 in ± 1/4 in");
    assert_eq!(text("a = 1 in ± 1/8 in\nxs = each k from 1 to 3: k * a\nxs[1] + xs[2] - xs[3]"), "0 in");
    let nested = "ys = each i from 1 to 2: each k from 1 to 2: i * one() + 0 in * k\n";
    assert_eq!(text(&format!("{rule}{nested}ys[1][1] - ys[1][2]")), "0 in ± 1/4 in");
}

#[test]
fn the_readings_are_those_of_people() {
    assert_eq!(text("row_made(12, finished: 8 in, off: 1/32 in)"), "96 in ± 11/16 in");
    assert_eq!(text("8 in +- 1/32 in"), "8 in ± 1/32 in");
    assert_eq!(text("8 ± 1/32 in"), "8 in ± 1/32 in");
    assert_eq!(text("24 cm ± 1 mm"), "24 cm ± 1 mm");
    assert_eq!(text("8 in ± 5%"), "8 in ± 2/5 in");
    assert_eq!(text("4% ± 1%"), "4% ± 1%");
    assert_eq!(text("-8 in ± 1/32 in"), "-8 in ± 1/32 in");
    assert_eq!(text("12 * 8 in ± 1/32 in"), "96 in ± 3/8 in");
    assert_eq!(text("8 in ± 0 in"), "8 in");
    assert_eq!(text("14.50 EUR ± 1 EUR"), "14.50 EUR ± 1 EUR");
    assert_eq!(text("x = 8 in ± 1/32 in\n\"cut {x}\""), "cut 8 in ± 1/32 in");
    assert_eq!(text("(8 in ± 1/32 in) shown in cm"), "20.32 cm ± about 0.0794 cm");
    // A slack is never shown smaller than it is.
    assert_eq!(text("(1 in ± 1 in) / 7000"), "under 1/32 in (about 0.0001 in) ± about 0.000143 in");
}

#[test]
fn parts_of_a_slack() {
    let x = "x = 8 in ± 1/4 in\n";
    assert_eq!(text(&format!("{x}x.least")), "7 3/4 in");
    assert_eq!(text(&format!("{x}x.most")), "8 1/4 in");
    assert_eq!(text(&format!("{x}x.middle")), "8 in");
    assert_eq!(text(&format!("{x}x.slack")), "1/4 in");
    assert_eq!(text("(8 in).most"), "8 in");
    assert_eq!(text("(8 in).slack"), "0 in");
    let size = "s = 8 in ± 1/4 in by 10 in\n";
    assert_eq!(text(&format!("{size}s.most")), "8 1/4 in by 10 in");
    assert_eq!(text(&format!("{size}s.across")), "8 in ± 1/4 in");
    assert_eq!(text(&format!("{size}2 * s + s")), "24 in ± 3/4 in by 30 in");
    assert_eq!(text(&format!("{size}(s - s)")), "0 in by 0 in");
    assert_eq!(text(&format!("{size}grown(s, each_edge: 1 in)")), "10 in ± 1/4 in by 12 in");
}

#[test]
fn who_brought_how_much_is_told() {
    let lines = "seam_sewn = 1/4 in ± 1/32 in\ncut_off = 2 in ± 1/64 in\n8 * cut_off - 9 * seam_sewn";
    let slack = slack(lines);
    let told: Vec<(String, String)> =
        slack.shares.iter().map(|share| (share.words.to_string(), share.amount.exact_text())).collect();
    assert_eq!(told, [("seam_sewn".into(), "9/32 in".into()), ("cut_off".into(), "1/8 in".into())]);
    let total: BigRational = slack.shares.iter().map(|share| big(&share.amount.number.mid())).sum();
    assert_eq!(total, big(&slack.slack.number.mid()));
}

#[test]
fn what_slack_leaves_open_is_not_sure() {
    let x = "x = 8 in ± 1/32 in\n";
    for (asked, said) in [
        ("x < 9 in", "yes"),
        ("x > 9 in", "no"),
        ("x < 8 in", "not sure"),
        ("x <= 8 1/32 in", "yes"),
        ("x < 8 1/32 in", "not sure"),
        ("x >= 8 1/32 in", "not sure"),
        ("x > 8 1/32 in", "no"),
        ("x is 8 in", "not sure"),
        ("x is not 9 in", "yes"),
        ("x is x", "yes"),
        ("x - x is 0 in", "yes"),
        ("not x < 8 in", "not sure"),
        ("x < 8 in or yes", "yes"),
        ("x < 8 in and no", "no"),
        ("x < 8 in and yes", "not sure"),
        ("no or x < 8 in", "not sure"),
        ("x < 8 in or x > 7 in", "yes"),
        ("7 in < x < 8 in", "not sure"),
        ("7 in < x < 9 in", "yes"),
        ("9 in < x < 8 in", "no"),
        ("x by 2 in is 9 in by 2 in", "no"),
        ("if x < 9 in then 1 else 2", "1"),
    ] {
        assert_eq!(text(&format!("{x}{asked}")), said, "{asked}");
    }
    assert!(text(&format!("{x}if x < 8 in then 1 else 2")).contains("with the slack this can be both"));
}

#[test]
fn counts_come_out_only_where_they_are_sure() {
    assert_eq!(text("how many 5 in from 42 in ± 1 in"), "{count: 8, left: 2 in ± 1 in}");
    assert_eq!(text("how many 5 in from 40 in ± 1 in"), "with the slack, the count may be from 7 to 8");
    assert_eq!(text("ceil(2.5 ± 0.25)"), "3");
    assert_eq!(text("largest(8 in ± 1/8 in, 9 in)"), "9 in");
    assert_eq!(text("smallest(8 in ± 1/8 in, 8 in ± 1/4 in)"), "7 15/16 in ± 3/16 in");
    assert_eq!(text("sum(each k from 1 to 4: 2 in ± 1/32 in)"), "8 in ± 1/8 in");
    assert_eq!(text("(8 in ± 1/32 in) nearest 1/8 in"), "8 in");
}

#[test]
fn an_approximate_value_beside_slack_keeps_its_bounds() {
    let (least, most) = bounds(&answer("x = 1 ± 1/8\nx * sqrt(2)"));
    assert!(&least * &least <= ratio(2 * 49, 64) && &most * &most >= ratio(2 * 81, 64));
}

// ---- in a recipe -----------------------------------------------------------------------------

fn made(recipe: &str) -> Docket {
    let mut files = Files::new();
    let mut recipe =
        compile("row.scant", recipe, &mut files, &NoFiles, &Limits::default()).expect("it compiles");
    let run = recipe.run(&[], None);
    assert!(run.faults.is_empty(), "{:?}", run.faults);
    run.docket
}

#[test]
fn a_check_is_sure_or_not() {
    let docket = made(
        "row = row_made(12, finished: 8 in)\ncheck row < 97 in\ncheck row <= 96 in: \"too long\"\ncheck row > 97 in",
    );
    let outcomes: Vec<(bool, bool)> = docket.checks.iter().map(|check| (check.passed, check.open)).collect();
    assert_eq!(outcomes, [(true, false), (false, true), (false, false)]);
    assert_eq!(docket.checks[1].detail.as_deref(), Some("96 in ± 11/16 in against 96 in"));
}

#[test]
fn a_share_names_its_line() {
    let docket =
        made("\nseam_sewn = 1/4 in ± 1/32 in\n\nshow \"row\": row_made(3, finished: 8 in) - 2 * seam_sewn");
    let FigureValue::Slack(slack) = &docket.shows[0].value.value else { panic!("a slack is shown") };
    let told: Vec<(&str, Option<usize>)> =
        slack.shares.iter().map(|share| (&*share.words, share.line)).collect();
    // What the library makes is told by the line that called it.
    assert_eq!(told, [("2 seams", Some(4)), ("seam_sewn", Some(2))]);
}

#[test]
fn what_is_known_give_or_take_is_bought_at_its_most() {
    let docket = made("shop 1/8 yd\nrun = 35 in ± 2 in\nbuy run \"tape\"");
    assert_eq!(scant::report::figure_text(&docket.buys[0].buy), "1 1/8 yd");
    assert_eq!(scant::report::figure_text(&docket.buys[0].needed), "35 in ± 2 in");
}

#[test]
fn a_stranger_s_sources_end() {
    let limits = Limits { items: 400_000, ..Limits::default() };
    let mut files = Files::new();
    let text = "xs = each k from 1 to 100000: (1 in ± 1/32 in)\nys = each k from 1 to 100000: sum(xs)";
    let mut recipe = compile("many.scant", text, &mut files, &NoFiles, &limits).expect("it compiles");
    let run = recipe.run(&[], None);
    assert!(run.faults.iter().any(|fault| fault.code == scant::fault::Code::TooMuch), "{:?}", run.faults);
}
