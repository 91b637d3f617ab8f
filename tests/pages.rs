//! Pages and workbooks of a docket.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)] // a test that fails panics

use scant::docket::Docket;
use scant::eval::limits::Limits;
use scant::fault::{self, Files};
use scant::recipe::build::compile;
use scant::recipe::used::NoFiles;
use scant::report::{Format, Purpose, Style, write, write_in};

fn made(text: &str) -> Docket {
    let mut files = Files::new();
    let recipe = compile("r.scant", text, &mut files, &NoFiles, &Limits::default());
    let mut recipe = recipe.unwrap_or_else(|faults| panic!("{}", fault::plain(&faults, &files)));
    let run = recipe.run(&[], None);
    assert!(run.faults.is_empty(), "{}", fault::plain(&run.faults, &files));
    run.docket
}

fn bytes(docket: &Docket, format: Format) -> Vec<u8> {
    let mut out = Vec::new();
    write(docket, format, &mut out).unwrap();
    out
}

fn page(docket: &Docket, format: Format) -> String {
    String::from_utf8(bytes(docket, format)).unwrap()
}

const RUNNER: &str = "\
recipe \"Quay <script>alert(1)</script> & | runner\"
linen = cloth(\"linen\", width: 54 in, selvage: 1/2 in, price: 14.50 EUR/yd)
shop 1/8 yd
cut 2 \"panel\" from linen: 20 in by 30 in
buy 3 m \"tape\" at 1.20 EUR/m
step \"Hem the *panel*.\"
caution \"Mind the needle.\"
";

#[test]
fn words_of_a_recipe_stay_words() {
    let docket = made(RUNNER);
    let html = page(&docket, Format::Html);
    assert!(html.contains("Quay &lt;script&gt;alert(1)&lt;&#x2f;script&gt; &amp; | runner"), "{html}");
    assert!(!html.contains("<script"), "{html}");
    let markdown = page(&docket, Format::Markdown);
    assert!(markdown.starts_with("# Quay \\<script\\>alert(1)\\</script\\> & \\| runner\n"), "{markdown}");
    assert!(markdown.contains("1. Hem the \\*panel\\*.\n"), "{markdown}");
}

#[test]
fn a_page_says_what_to_cut_buy_and_sew_and_its_cautions() {
    let docket = made(RUNNER);
    for format in [Format::Html, Format::Markdown] {
        let page = page(&docket, format);
        for words in ["Mind the needle.", "panel", "20 in", "30 in", "linen", "tape", "3.70 EUR", "total"] {
            assert!(page.contains(words), "{format:?}: {words}");
        }
    }
    // One page that needs nothing else.
    let html = page(&docket, Format::Html);
    let outside = html.matches("http").count() - html.matches("http://www.w3.org/2000/svg").count();
    assert_eq!((outside, html.matches("src=").count(), html.matches("<link").count()), (0, 0, 0));
}

#[test]
fn a_shopping_list_holds_what_to_buy_and_no_steps() {
    let docket = made(RUNNER);
    let style = Style { purpose: Purpose::Shop, ..Style::default() };
    let mut out = Vec::new();
    write_in(&docket, Format::Markdown, style, &mut out).unwrap();
    let list = String::from_utf8(out).unwrap();
    assert!(list.contains("## Buy") && list.contains("Mind the needle."), "{list}");
    assert!(!list.contains("## Sew") && !list.contains("## Cut"), "{list}");
}

#[test]
fn the_same_docket_gives_the_same_bytes() {
    let docket = made(RUNNER);
    for (format, begins) in [(Format::Pdf, &b"%PDF-1.7"[..]), (Format::Workbook, &b"PK\x03\x04"[..])] {
        let made = bytes(&docket, format);
        assert!(made.starts_with(begins), "{format:?}");
        assert_eq!(made, bytes(&docket, format), "{format:?}");
    }
}

#[test]
fn letters_that_the_font_lacks_and_long_words_end_well_on_paper() {
    let long = "m".repeat(10_000);
    let docket = made(&format!("recipe \"布 {long}\"\nstep \"{long} \u{5d0}\u{5d1} e\u{301}\"\n"));
    assert!(bytes(&docket, Format::Pdf).len() > 1_000);
    assert!(bytes(&docket, Format::Workbook).len() > 1_000);
}
