//! The evaluator's short cuts against the one walk over a formula: the same value, the same fault, the same place.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)] // a test that fails panics

#[path = "common/calls.rs"]
#[allow(dead_code)] // only its stream of draws is wanted here
mod calls;

use std::rc::Rc;

use calls::Draws;
use proptest::prelude::*;
use scant::code::compile::Compiler;
use scant::code::names::Names;
use scant::code::node::Node;
use scant::code::scope::Scope;
use scant::eval::limits::Limits;
use scant::eval::machine::{Halt, Machine, Worked};
use scant::fault::{File, Files};
use scant::measure::Quantity;
use scant::syntax::tree::{Expr, LineKind};
use scant::syntax::{read, read_expression};
use scant::value::data::Value;

const RULES: &str = "
rule twice(x) = 2 * x
rule larger(x, y: length = 1/2 in) = if x > y then x else y
rule seams(n: count, each_seam = 1/4 in ± 1/32 in) = each k from 1 to n: k * each_seam
rule stairs(n) = if n <= 0 then 0 in else stairs(n - 1) + 1/8 in
rule careful(x) = with_caution(x, \"see to {x}\", x > 1 in)
rule narrow(x): length = if x < 1 in then refuse(\"{x} is too narrow\") else x
rule parts(x) = { half = x / 2  {half: half, whole: x, text: \"{half} of {x}\"} }
rule marks(n: count, gap: length) = each k from 1 to n: { at = k * gap  at + seam }
";

/// What came of it, in full.
fn told(machine: &mut Machine, made: Worked) -> String {
    let cautions = machine.cautions().join(" | ");
    let made = match made {
        Ok(value) => format!("{:?}", value.to_figure()),
        Err(Halt::Silent) => "nothing".into(),
        Err(Halt::Fault(fault)) => format!("{fault:?}"),
    };
    format!("{made} [{cautions}]")
}

/// Both ways on one formula.
fn both_ways(names: &Names, node: &Node, slots: u32) -> [String; 2] {
    let machine = || {
        let mut machine = Machine::new(Limits::default());
        machine.rules = names.rules.iter().map(|entry| entry.code.clone()).collect();
        machine.settings.seam = Some(Quantity::whole(1));
        machine.that = Some(Value::count(3));
        machine
    };
    let (mut short, mut long) = (machine(), machine());
    let made = short.line(node, slots);
    let walked = long.line_by_walk(node, slots);
    [told(&mut short, made), told(&mut long, walked)]
}

/// The rules above, and a formula.
fn compiled(formula: &str) -> (Names, Node, u32) {
    let mut files = Files::new();
    let rules = files.add(File::new("rules", RULES));
    let own = files.add(File::new("formula", formula));
    let mut names = Names::default();
    for line in read(rules, RULES).tree.lines {
        let LineKind::Rule(rule) = line.kind else { panic!("a rule") };
        let id = names.add_rule(rule.clone(), false);
        names.own_rules.insert(rule.name.name.clone(), id);
    }
    let expr: Expr = read_expression(own, formula).unwrap_or_else(|faults| panic!("{formula}: {faults:?}"));
    let mut compiler = Compiler::new(&mut names, &mut files);
    let own_rules: Vec<u32> = compiler.names.own_rules.values().copied().collect();
    own_rules.into_iter().for_each(|rule| compiler.rule(rule));
    let mut scope = Scope::line();
    let node = compiler.expr(&expr, &mut scope);
    compiler.pending();
    (names, node, scope.slots())
}

/// A formula of any kind, sound or not; `depth` names what it names, so that nothing is hidden.
fn formula(draws: &mut Draws, depth: u32) -> String {
    if depth == 0 {
        let leaves = [
            "3",
            "0",
            "1/2",
            "2 1/2 in",
            "7 cm",
            "1 in^2",
            "12 in by 9 in",
            "5%",
            "4 EUR",
            "45 deg",
            "yes",
            "no",
            "\"linen\"",
            "[1, 2]",
            "[1 in, 2 cm]",
            "(8 in ± 1/32 in)",
            "seam",
            "that",
            "pi",
            "sqrt(2)",
            "{a: 1 in, b: 2}",
            "(2 separate seams of (1/4 in ± 1/16 in))",
            "120 g",
            "-2",
        ];
        return leaves[draws.next(leaves.len() as u64) as usize].to_owned();
    }
    let below = |draws: &mut Draws| format!("({})", formula(draws, depth - 1));
    let one = below(draws);
    let two = below(draws);
    let three = below(draws);
    let (name, item) = (format!("n{depth}"), format!("k{depth}"));
    match draws.next(30) {
        0 => format!("{one} + {two}"),
        1 => format!("{one} - {two}"),
        2 => format!("{one} * {two}"),
        3 => format!("{one} / {two}"),
        4 => format!("{one} ^ 2"),
        5 => format!("-{one}"),
        6 => format!("{one} and {two}"),
        7 => format!("{one} or not {two}"),
        8 => format!("{one} < {two}"),
        9 => format!("{one} <= {two} < {three}"),
        10 => format!("{one} is {two}"),
        11 => format!("if {one} < {two} then {three} else {one}"),
        12 => format!("if {one} is not {two} then {three} else twice({two})"),
        13 => format!("each {item} in {one}: {item} + {two}"),
        14 => format!("each {item} from 1 to 3: {item} * {one} + {two}"),
        15 => format!("each {item} from 0 in to 2 in every 1/2 in: larger({item}, {one})"),
        16 => format!("{{ {name} = {one}\n{name} + {two} }}"),
        17 => format!("{one} nearest 1/8 in"),
        18 => format!("{one} up {two}"),
        19 => format!("{one} by {two}"),
        20 => format!("\"{{{one}}} and {{{two}}}\""),
        21 => format!("[{one}, {two}, {three}]"),
        22 => format!("largest({one}, {two})"),
        23 => format!("sum([{one}, {two}])"),
        24 => format!("how many {one} from {two}"),
        25 => format!("twice({one})"),
        26 => format!("narrow(careful({one}))"),
        27 => format!("sum(seams(3, each_seam: {one}))"),
        28 => format!("parts({one}).half + stairs(3)"),
        _ => format!("marks(2, {one})[{two}]"),
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 1_500, ..ProptestConfig::default() })]
    #[test]
    fn the_short_cuts_come_to_what_the_walk_comes_to(seed in any::<u64>(), depth in 1u32..5) {
        let formula = formula(&mut Draws(seed), depth);
        let (names, node, slots) = compiled(&formula);
        let [short, long] = both_ways(&names, &node, slots);
        prop_assert_eq!(short, long, "{}", formula);
    }
}

/// Every example of the library, both ways.
#[test]
fn the_library_comes_to_the_same() {
    let mut looked = 0;
    for (name, text) in scant::library::FILES {
        let mut files = Files::new();
        let file = files.add(File::library(*name, *text));
        let examples = read(file, text).tree.lines.into_iter().filter_map(|line| line.doc);
        for example in examples.flat_map(|doc| Rc::unwrap_or_clone(doc).examples) {
            let mut names = Names::default();
            let mut compiler = Compiler::new(&mut names, &mut files);
            let mut scope = Scope::line();
            let node = compiler.expr(&example.tried, &mut scope);
            compiler.pending();
            let [short, long] = both_ways(&names, &node, scope.slots());
            assert_eq!(short, long, "{name}: {}", files.text(example.span));
            looked += 1;
        }
    }
    assert!(looked > 200, "{looked} examples");
}

/// Faults and values are both met often enough to count.
#[test]
fn random_formulas_come_to_values_and_to_faults() {
    let came = |seed: u64| {
        let (names, node, slots) = compiled(&formula(&mut Draws(seed), 2));
        both_ways(&names, &node, slots)[0].starts_with("Fault")
    };
    let faults = (0..400).filter(|seed| came(*seed * 7_919)).count();
    assert!((40..360).contains(&faults), "{faults} of 400");
}
