//! Words on the pages of a docket: lists, empty columns, cuts as a list, names from right to left.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)] // a test that fails panics

#[path = "common/made.rs"]
mod made;

use made::made;
use scant::report::{Format, Purpose, Quota, Style, write, write_in};

fn page(recipe: &str, format: Format) -> String {
    let mut out = Vec::new();
    write(&made(recipe), format, &mut out).unwrap();
    String::from_utf8(out).unwrap().replace('\u{a0}', " ").replace("&#x2f;", "/")
}

const BANDS: &str = "\
linen = cloth(\"linen\", width: 60 in, selvage: 0 in, price: 14.50 EUR/yd)
cut 2 \"band\" from linen: 20 in by 3 in
cut 1 \"edge\" from linen: 2 in by 7 in
plan linen
show \"marks\": [3 in, 5 1/2 in]
show \"words\": [\"left\", \"right\"]
show \"in rows\": [[1 in, 2 in], [3 in]]
";

#[test]
fn a_list_is_written_as_people_write_it() {
    for format in [Format::Text, Format::Markdown, Format::Html] {
        let page = page(BANDS, format);
        assert!(page.contains("3 in, 5 1/2 in") && !page.contains("[3 in, 5 1/2 in"), "{page}");
        assert!(page.contains("left, right"), "{page}");
        // Lists within a list are told apart by their brackets.
        let rows = if format == Format::Markdown {
            "\\[\\[1 in, 2 in\\], \\[3 in\\]\\]"
        } else {
            "[[1 in, 2 in], [3 in]]"
        };
        assert!(page.contains(rows), "{page}");
    }
}

#[test]
fn a_column_that_says_nothing_is_left_out() {
    let heading = "|  | pieces | piece | across the cloth | along the cloth |";
    let plain = page(BANDS, Format::Markdown);
    assert!(plain.contains(&format!("{heading}\n")), "{plain}");
    let lying = page(&BANDS.replace("20 in by 3 in", "20 in by 3 in, mirrored"), Format::Markdown);
    assert!(lying.contains(&format!("{heading}  |\n")), "{lying}");
    assert!(lying.contains("| 1 and 1 mirrored |\n") && lying.contains("| 7 in |  |\n"), "{lying}");
}

/// On a narrow screen a piece and its size stand in two rows.
#[test]
fn the_pieces_have_a_layout_for_a_narrow_screen() {
    let html = page(BANDS, Format::Html);
    assert!(html.contains("<table class=\"cuts\">") && html.contains(".cuts tr { display: grid;"), "{html}");
    // Nearly half of the width holds a measure on one line, and letters for the wall are not so large there.
    assert!(
        html.contains("minmax(0, 1fr) 45%;") && html.contains("  body.wall { font-size: 1.1rem; }"),
        "{html}"
    );
}

#[test]
fn cuts_are_a_list_where_no_picture_is() {
    let markdown = page(BANDS, Format::Markdown);
    let list: Vec<&str> = markdown.lines().filter(|line| line.trim_start().starts_with("- ")).collect();
    assert_eq!(
        list,
        [
            "- **1.** across at 3 in; from it:",
            "  - **2.** lengthwise 2 times, every 20 in: 2 band",
            "  - **3.** lengthwise at 7 in: 1 edge (turned), trimmed",
            "  - left over: 13 in by 3 in",
        ]
    );
    // For those who cannot see a picture it is in sentences, and what is cut from a strip stays with it.
    let html = page(BANDS, Format::Html);
    assert!(
        html.contains("1. across at 3 in; from it: 2. lengthwise 2 times, every 20 in: 2 band. 3. "),
        "{html}"
    );
}

/// Hebrew letters are written as `\u{5d0}`, so that this file reads in one direction.
#[test]
fn a_number_beside_a_name_from_right_to_left_stays_on_its_side() {
    let recipe =
        BANDS.replace("cloth(\"linen\"", "cloth(\"\u{5d0}\u{5d1}\"").replace("\"band\"", "\"\u{5d2} <1>\"");
    let html = page(&recipe, Format::Html);
    assert!(html.contains("<h3>From &#8295;\u{5d0}\u{5d1}&#8297;, 60 in usable width</h3>"), "{html}");
    assert!(html.contains("<td>&#8295;\u{5d2}&#8297; &lt;1&gt;</td>"), "{html}");
    assert!(html.contains(">&#8295;\u{5d0}\u{5d1}&#8297;, 60 in by "), "{html}");
    // Other words are as they were.
    assert_eq!(page(BANDS, Format::Html).matches("&#8").count(), 0);
}

/// Where the cloth in hand is enough, no way of cutting tells a length of zero.
#[test]
fn cloth_in_hand_that_is_enough_is_told_as_that() {
    let recipe = BANDS.replace("plan linen", "have 1 of linen: 60 in by 20 in\nplan linen");
    let markdown = page(&recipe, Format::Markdown);
    assert!(markdown.contains("what is in hand is enough") && !markdown.contains("way to cut"), "{markdown}");
    assert!(!markdown.contains(" 0 in") && !markdown.contains("on 0 "), "{markdown}");
}

#[test]
fn a_line_that_a_page_names_is_one_of_the_recipe() {
    let markdown = page(include_str!("../examples/pennant_top.scant"), Format::Markdown);
    assert!(markdown.contains("1/4 in of it from 4 seams, line 22 of the recipe; "), "{markdown}");
}

/// Where a long title takes two lines, the picture below it is that much smaller.
#[test]
fn nothing_is_drawn_below_a_drawing_on_the_wall() {
    let recipe = include_str!("../examples/loft_apron.scant");
    for recipe in
        [recipe.to_owned(), recipe.replace("\"plain cotton\"", "\"plain cotton of the old awning\"")]
    {
        let style = Style { purpose: Purpose::Wall, ..Style::default() };
        let mut out = Vec::new();
        write_in(&made(&recipe), Format::Html, style, &Quota::none(), &mut out).unwrap();
        let html = String::from_utf8(out).unwrap();
        let number = |text: &str| text.split('"').next().unwrap().parse::<f64>().unwrap();
        let drawings: Vec<&str> = html.split("<svg ").skip(1).collect();
        assert_eq!(drawings.len(), 4);
        for drawing in drawings {
            let height = number(&drawing.split(" height=\"").nth(1).unwrap().replacen("mm", "", 1));
            for text in drawing.split("<text ").skip(1) {
                assert!(number(text.split("y=\"").nth(1).unwrap()) < height, "{text}");
            }
        }
    }
}
