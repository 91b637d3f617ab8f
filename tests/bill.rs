//! What is sold in packs, and the total of a docket as a value.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, clippy::indexing_slicing)] // a test that fails panics

#[path = "common/schema.rs"]
mod schema;

use proptest::prelude::*;
use scant::docket::{Docket, FigureValue};
use scant::eval::limits::Limits;
use scant::fault::{self, Files};
use scant::recipe::build::compile;
use scant::recipe::used::NoFiles;
use scant::report::{self, Format};
use scant::session::entry::{Answer, Session};

/// The docket of a recipe for so many kits, or all its faults in words.
fn for_kits(text: &str, kits: Option<u64>) -> Result<Docket, String> {
    let mut files = Files::new();
    let mut recipe = match compile("r.scant", text, &mut files, &NoFiles, &Limits::default()) {
        Ok(recipe) => recipe,
        Err(faults) => return Err(fault::plain(&faults, &files)),
    };
    if let Some(kits) = kits {
        recipe.kits(kits);
    }
    let run = recipe.run(&[], None);
    if run.faults.is_empty() { Ok(run.docket) } else { Err(fault::plain(&run.faults, &files)) }
}

fn made(text: &str) -> Docket {
    for_kits(text, None).unwrap_or_else(|faults| panic!("{faults}"))
}

fn refused(text: &str) -> String {
    for_kits(text, None).expect_err("the recipe is refused")
}

fn page(docket: &Docket, format: Format) -> String {
    let mut page = Vec::new();
    report::write(docket, format, &mut page).unwrap();
    String::from_utf8(page).unwrap()
}

/// The section of a docket that begins with a heading.
fn section<'a>(page: &'a str, heading: &str) -> &'a str {
    let from = page.find(heading).unwrap_or_else(|| panic!("{page}"));
    page[from..].split("\n\n").next().unwrap().trim_end()
}

const NOTIONS: &str = "\
buy 12 m \"tape\" in packs of 5 m at 3.20 EUR
buy 12 m \"cord\" in packs of 5 m at 1.20 EUR/m
buy 30 \"button\" in packs of 12 at 2.80 EUR
buy 12 m ± 20 cm \"rope\" in packs of 4 m
buy 5 yd \"bias binding\" in packs of 3 yd at 2.80 EUR
buy 24 \"snap\" in packs of 12
buy 300 g \"filling\" in packs of 250 g at 6 EUR
";

#[test]
fn packs_are_bought_whole_and_the_rest_is_told() {
    let docket = made(NOTIONS);
    assert_eq!(
        section(&page(&docket, Format::Text), "BUY"),
        "\
BUY
  tape          3 packs of 5 m    at 3.20 EUR a pack                    9.60 EUR
                for 12 m, 3 m left over
  cord          3 packs of 5 m    at 1.20 EUR/m                        18.00 EUR
                for 12 m, 3 m left over
  button        3 packs of 12     at 2.80 EUR a pack                    8.40 EUR
                for 30, 6 left over
  rope          4 packs of 4 m
                for 12 m ± 20 cm, 4 m ± 20 cm left over
  bias binding  2 packs of 3 yd   at 2.80 EUR a pack                    5.60 EUR
                for 5 yd, 1 yd left over
  snap          2 packs of 12
                for 24, none left over
  filling       2 packs of 250 g  at 6.00 EUR a pack                   12.00 EUR
                for 300 g, 200 g left over
                                                                total  53.60 EUR"
    );
}

#[test]
fn all_kits_together_go_up_to_whole_packs_once() {
    let docket = for_kits(NOTIONS, Some(3)).unwrap();
    let buy = section(&page(&docket, Format::Text), "BUY").to_owned();
    // 36 m of tape are 8 packs of 5 m, not three times three.
    assert!(buy.contains("tape          8 packs of 5 m "), "{buy}");
    assert!(buy.contains("for 36 m, 4 m left over") && buy.contains("for 90, 6 left over"), "{buy}");
}

#[test]
fn tables_for_programs_tell_the_packs() {
    let docket = made("buy 30 \"button\" in packs of 12 at 2.80 EUR\n");
    let csv = page(&docket, Format::Csv);
    assert_eq!(
        csv.lines().filter(|row| row.contains("button")).collect::<Vec<_>>(),
        [
            "need,button,,30,30,,,1",
            "packs,button,,3,3,,priced by the pack,1",
            "in a pack,button,,12,12,,,1",
            "left over,button,,6,6,,,1",
            "buy,button,,36,36,,,1",
            "price,button,,2.80 EUR,2.8,EUR,,1",
            "cost,button,,8.40 EUR,8.4,EUR,,1",
        ]
    );
    let json: serde_json::Value = serde_json::from_str(&page(&docket, Format::Json)).unwrap();
    assert_eq!(schema::problem(&schema::schema(), &schema::schema(), &json, "docket"), None);
    let packs = &json["buys"][0]["packs"];
    let number = |part: &str| packs[part]["number"].as_str().unwrap();
    assert_eq!([number("count"), number("of"), number("left")], ["3", "12", "6"]);
    assert_eq!(packs["priced"], true, "{packs}");
}

#[test]
fn what_cannot_be_packs_is_refused_in_words() {
    for (line, words) in [
        ("buy 12 m \"x\" in packs of 5", "a pack holds the same kind of thing as is needed"),
        ("buy 12 \"x\" in packs of 5.5", "how many a pack holds must be a whole number, and this is 5 1/2"),
        ("buy 12 \"x\" in packs of 0", "a pack must hold more than 0, and this is 0"),
        ("buy 12 m \"x\" in packs of 0 m", "a pack must hold more than 0, and this is 0 m"),
        ("buy 12 m \"x\" in packs of \"five\"", "write how much or how many a pack holds here"),
        ("buy 12 \"x\" in packs of 5 at 3 EUR/m", "write the price of one pack, `2.80 EUR`"),
        ("buy 12 \"x\" at 2 EUR in packs of 5", "what a pack holds must be written before the price"),
        ("buy 12 \"x\" in packs of 5 at 2 EUR a pack", "the price of a pack is written without `a pack`"),
        ("buy 12 \"x\" in cards of 5", "a pack is written with `in packs of` and what it holds"),
        ("buy 12 \"x\" a card of 5", "whatever it is called in the shop"),
        ("buy 12 \"x\" in packs", "buy 30 \"button\" in packs of 12 at 2.80 EUR"),
    ] {
        let told = refused(line);
        assert!(told.contains(words), "{line}\n{told}");
        assert_eq!(told.matches("error[").count(), 1, "{told}");
    }
}

const KITS: &str = "\
given kits = 14 from 1 to 100
show \"a share\": total / kits
linen = cloth(\"linen\", width: 150 cm, selvage: 1 cm, price: 18.50 EUR/m, shop: 10 cm)
cut 4 * kits \"patch\" from linen: 20 cm by 20 cm
buy 30 \"button\" in packs of 12 at 2.80 EUR
rule share(cost: money, kits: count) = cost / kits
step \"First\"
step \"Ask for {share(total, kits)} each.\"
step \"Third\"
show \"last\": 3
check total <= 30 EUR: \"too dear: {total}\"
check 1 in < 2 in
";

#[test]
fn the_total_is_a_value_and_what_it_makes_keeps_its_place() {
    let docket = made(KITS);
    // 56 patches, 7 a strip: 8 strips of 20 cm are 1.6 m, 29.60 EUR; three packs are 8.40 EUR; 38 / 14 EUR.
    let shown: Vec<_> = docket
        .shows
        .iter()
        .map(|shown| (shown.label.to_string(), report::figure_text(&shown.value)))
        .collect();
    assert_eq!(shown[0], ("a share".into(), "2.71 EUR (about 2.7143 EUR)".into()));
    assert_eq!(shown[1].0, "last");
    let steps: Vec<&str> = docket.steps.iter().map(|step| &*step.words).collect();
    assert_eq!(steps, ["First", "Ask for about 2.71 EUR each.", "Third"]);
    let checks: Vec<_> = docket.checks.iter().map(|check| (&*check.message, check.passed)).collect();
    assert_eq!(checks, [("too dear: 38.00 EUR", false), ("1 in < 2 in", true)]);
}

#[test]
fn the_total_is_refused_where_a_plan_could_come_to_need_it() {
    for line in [
        "x = total / 3",
        "cut 3 \"patch\" from total: 2 in by 2 in",
        "buy total / (1 EUR) \"button\"",
        "rule share(n) = total / n",
        "find n from 1 to 9 so that n * 1 EUR is total",
        "caution \"dear: {total}\"",
        "note \"dear: {total}\"",
        "why total",
        "given dear = total",
    ] {
        let told = refused(&format!("buy 3 \"button\" at 2 EUR\n{line}\n"));
        let words = "`total`, the cost of all that is bought, can be used in `show`, `step` and `check` only";
        assert!(told.contains(words), "{line}\n{told}");
    }
    for (text, words) in [
        ("show total", "there is no `total`: nothing that is bought has a price"),
        (
            "buy 3 \"a\" at 2 EUR\nbuy 3 \"b\" at 2 GBP\nshow total",
            "there is no one `total`: it is 6.00 EUR and 6.00 GBP",
        ),
        ("buy 3 \"a\" at 2 EUR\nshow total + 1 in", "write a sum of money here; this is a length"),
    ] {
        let told = refused(text);
        assert!(told.contains(words), "{told}");
    }
}

#[test]
fn a_name_of_ones_own_may_be_total() {
    let docket = made("buy 3 \"a\" at 2 EUR\ntotal = 5 in\nx = 2 * total\nshow x\nshow total\n");
    let shown: Vec<_> = docket.shows.iter().map(|shown| report::figure_text(&shown.value)).collect();
    assert_eq!(shown, ["10 in", "5 in"]);
}

fn answers(session: &mut Session, entry: &str) -> String {
    let entered = session.enter(entry, &NoFiles);
    if !entered.faults.is_empty() {
        return fault::plain(&entered.faults, &session.files);
    }
    let words = |answer: &Answer| match answer {
        Answer::Value(figure) => report::figure_text(figure),
        Answer::Words(words) => words.clone(),
        _ => String::new(),
    };
    entered.answers.iter().map(words).collect::<Vec<_>>().join("; ")
}

#[test]
fn at_the_prompt_the_total_is_that_of_what_was_entered_so_far() {
    let mut session = Session::new(Limits::default());
    let said = answers(&mut session, "buy 30 \"button\" in packs of 12 at 2.80 EUR");
    assert_eq!(said, "buy 3 packs of 12 button, for 30 (kept for the recipe)");
    assert_eq!(answers(&mut session, "total"), "8.40 EUR");
    assert_eq!(answers(&mut session, "that / 4"), "2.10 EUR");
    answers(&mut session, "buy 1 \"zip\" at 1.60 EUR");
    assert_eq!(answers(&mut session, "show total / 4"), "2.50 EUR");
    session.undo();
    session.undo();
    assert_eq!(answers(&mut session, "total"), "8.40 EUR");
    let told = answers(&mut session, "total = 3 EUR");
    assert!(told.contains("`total` has another meaning on a line above"), "{told}");
    let told = answers(&mut session, "show total\nthat / 2");
    assert!(told.contains("`that` cannot be used here: a line above uses `total`"), "{told}");
    let said = answers(&mut session, "buy 5 m ± 6 m \"rope\" in packs of 2 m");
    assert_eq!(said, "buy 6 packs of 2 m rope, for 5 m ± 6 m (kept for the recipe)");
    answers(&mut session, "shop 10 cm");
    let said = answers(&mut session, "buy 21.3 cm \"tape\"");
    assert_eq!(said, "buy 30 cm tape, for 21.3 cm (kept for the recipe)");
    let saved = session.save();
    assert_eq!(report::figure_text(&made(&saved).totals[0]), "8.40 EUR", "{saved}");
}

proptest! {
    /// Whole packs by counting them one by one.
    #[test]
    fn packs_are_the_fewest_that_hold_enough(needed in 0i64..3_000, pack in 1i64..400, per in 1i64..32, kits in 1u64..9) {
        // In parts of an inch, so that needs lie between packs, on them, and a hair beside.
        let text = format!("buy ({needed} / {per}) in \"tape\" in packs of ({pack} / {per}) in at 0.35 EUR");
        let docket = for_kits(&text, Some(kits)).unwrap();
        let all = needed * i64::try_from(kits).unwrap();
        let mut count = 0;
        while count * pack < all {
            count += 1;
        }
        let buy = &docket.buys[0];
        let packs = buy.packs.as_ref().unwrap();
        let number = |value: &FigureValue| match value {
            FigureValue::Measure(quantity) => quantity.exact_text(),
            _ => String::new(),
        };
        prop_assert_eq!(number(&packs.count.value), count.to_string());
        let left = made(&format!("show ({} / {per}) in", count * pack - all));
        prop_assert_eq!(number(&packs.left.value), number(&left.shows[0].value.value));
        let cost = made(&format!("show ({count} * 0.35) * 1 EUR nearest 0.01 EUR"));
        prop_assert_eq!(number(&buy.cost.as_ref().unwrap().value), number(&cost.shows[0].value.value));
    }
}
