//! A million exact positions of tucks, made in a loop.

use scant::docket::FigureValue;
use scant::eval::limits::Limits;
use scant::fault::Files;
use scant::measure::Manner;
use scant::recipe::build::compile;
use scant::recipe::used::NoFiles;

use super::clock::Whose;
use super::native::length::{Length, Unit};
use super::race::{Timed, race};

const COUNT: u32 = 1_000_000;

const RECIPE: &str = r#"
given apart = 1/2 in
given depth = 1/8 in
given margin = 1.5 cm
first   = margin + depth
spacing = apart + 2 * depth
folds   = each k from 1 to 1000000: first + (k - 1) * spacing
show "first": folds[1]
show "two thirds": folds[666667]
show "last": folds[1000000]
"#;

fn in_scant() -> Vec<String> {
    let mut files = Files::new();
    // A list of a million is more than a stranger's recipe may make.
    let limits = Limits { items: 2_000_000, ..Limits::default() };
    let mut recipe = compile("tucks.scant", RECIPE, &mut files, &NoFiles, &limits).unwrap();
    let run = recipe.run(&[], None);
    assert!(run.faults.is_empty(), "{:?}", run.faults);
    let shown = |value: &FigureValue| match value {
        FigureValue::Measure(quantity) => quantity.show(&Manner::default()),
        other => panic!("{other:?}"),
    };
    run.docket.shows.iter().map(|show| shown(&show.value.value)).collect()
}

fn by_hand() -> Vec<String> {
    let given = std::hint::black_box((
        Length::inches(1, 2),
        Length::inches(1, 8),
        Length::new(3, 2, Unit::Centimetre),
        i64::from(COUNT),
    ));
    let (apart, depth, margin, count) = given;
    let first = margin + depth;
    let spacing = apart + depth * 2;
    let folds: Vec<Length> = (1..=count).map(|k| first + spacing * (k - 1)).collect();
    let shown = |at: usize| {
        let mut out = String::new();
        folds.get(at - 1).unwrap().push(&mut out);
        out
    };
    [1, 666_667, 1_000_000].map(shown).to_vec()
}

pub fn task() {
    assert_eq!(by_hand(), in_scant());
    let check = |shown: Vec<String>| assert_eq!(std::hint::black_box(shown).len(), 3);
    let (native, scant) = race(Whose::Own, 9, || check(by_hand()), || check(in_scant()));
    let pace = format!("{:.0} ns/step", scant.as_secs_f64() * 1e9 / f64::from(COUNT));
    Timed { task: "loop of 1,000,000 tuck positions", native, scant, aim: 12.0, pace }.print();
}
