//! A book of many sizes, read back by another library.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)] // a test that fails panics

#[path = "common/made.rs"]
mod made;
#[path = "common/read_back.rs"]
#[allow(dead_code)] // shared with the tests of reports
mod read_back;

use scant::docket::{Docket, Figure, FigureValue};
use scant::drawing::Paper;
use scant::measure::Manner;
use scant::report::{Format, Quota, Sizes, Style, all_sizes};

use made::made;

const SIZES: usize = 101;

/// Sizes whose dockets all take the same pages: one of givens and cuts, one of a plan, one of a drawing, and more steps
/// than one page holds.
fn sizes() -> Sizes {
    let steps =
        "step \"Fold the long side of the pennant, press it, and sew it before the next one.\"\n".repeat(60);
    let docket = made(&format!(
        "recipe \"Signal flags\"\nlinen = cloth(\"linen\", width: 54 in, selvage: 1/2 in, price: 9 USD/yd)\n\
         cut 3 \"pennant\" from linen: 20 in by 30 in\nplan linen\ndraw \"the pennant\": 20 in by 27 in\n{steps}"
    ));
    let name = |number: usize| format!("no {number} of the harbour");
    let words = |words: String| {
        let value = FigureValue::Text(words.as_str().into());
        Some(Figure { value, manner: Manner::default() })
    };
    let sized = |number| Docket { size: Some(name(number).as_str().into()), ..docket.clone() };
    Sizes {
        head: vec!["size".into(), "width".into(), "caution".into()],
        rows: (1..=SIZES).map(|n| vec![words(name(n)), words(format!("{n} in")), None]).collect(),
        made: vec![true; SIZES],
        caution: 2,
        cautions: Vec::new(),
        dockets: (1..=SIZES).map(sized).collect(),
    }
}

/// The line of a page's foot: the name, and the number.
fn is_foot(page: &str, name: &str, number: usize, pages: usize) -> bool {
    let lines: Vec<&str> = page.lines().map(str::trim).filter(|line| !line.is_empty()).collect();
    lines.ends_with(&[name, &format!("{number} / {pages}")])
}

#[test]
fn each_page_of_a_large_book_has_its_size_and_number() {
    for paper in [Paper::A4, Paper::Letter] {
        let book =
            all_sizes(sizes(), Format::Pdf, Style { paper, ..Style::default() }, &Quota::none()).unwrap();
        let pages = read_back::pages(&book);
        let starts: Vec<usize> = (1..=SIZES)
            .map(|size| {
                let begins = format!("Signal flags, size no {size} of the harbour");
                let first =
                    |page: &&String| page.trim_start().starts_with(&begins) && !page.contains("all sizes");
                let at = pages.iter().position(|page| first(&page)).unwrap();
                assert_eq!(pages.iter().filter(first).count(), 1, "{size}");
                at
            })
            .collect();
        assert!(pages.len() > 400, "{}", pages.len());
        let each = starts[1] - starts[0];
        for (at, page) in pages.iter().enumerate() {
            let size = starts.partition_point(|start| *start <= at);
            let name = match size {
                0 => "Signal flags, all sizes".to_owned(),
                size => format!("Signal flags, size no {size} of the harbour"),
            };
            assert!(is_foot(page, &name, at + 1, pages.len()), "{name}: {page}");
            // No picture is parted: all of its words are on the page of its name.
            assert_eq!(page.contains("selvage"), page.contains("linen, 53 in by"), "{page}");
        }
        assert!(starts.windows(2).all(|pair| pair[1] - pair[0] == each));
        // The contents have the page of each size.
        let front = pages[..starts[0]].join("\n");
        for (size, start) in (1..=SIZES).zip(&starts) {
            let row = format!("Signal flags, size no {size} of the harbour");
            let mut lines = front.lines().map(str::trim).skip_while(|line| *line != row);
            assert_eq!(lines.nth(1), Some((start + 1).to_string().as_str()), "{row}");
        }
        // No row of the table is parted: each has its two cells on one page, below the headings.
        for page in
            pages.iter().take(starts[0]).filter(|page| page.contains("no 1 of") || page.contains(" in\n"))
        {
            let lines: Vec<&str> = page.lines().map(str::trim).collect();
            for (at, _) in lines.iter().enumerate().filter(|(_, line)| line.starts_with("no ")) {
                assert!(lines[at + 1].ends_with(" in"), "{page}");
            }
        }
    }
}

/// On a narrow screen each value of a size stands beside its heading.
#[test]
fn each_value_of_a_size_knows_its_heading_in_a_browser() {
    let book = String::from_utf8(all_sizes(sizes(), Format::Html, Style::default(), &Quota::none()).unwrap())
        .unwrap();
    let options = roxmltree::ParsingOptions { allow_dtd: true, ..Default::default() };
    let read = roxmltree::Document::parse_with_options(&book, options).unwrap();
    let tables = read.descendants().filter(|node| node.attribute("class") == Some("sizes"));
    let mut cells = 0;
    for table in tables {
        let named =
            |name: &'static str| table.descendants().filter(move |node| node.tag_name().name() == name);
        let heads: Vec<_> = named("th").map(|head| head.text()).collect();
        for row in
            named("tr").filter(|row| row.parent().is_some_and(|part| part.tag_name().name() == "tbody"))
        {
            let told: Vec<_> = row
                .children()
                .filter(|cell| cell.is_element())
                .map(|cell| cell.attribute("data-head"))
                .collect();
            assert_eq!(told, heads);
            cells += told.len();
        }
    }
    assert!(cells > SIZES, "{cells}");
}

#[test]
fn the_contents_lead_to_each_size_in_a_browser() {
    let book = String::from_utf8(all_sizes(sizes(), Format::Html, Style::default(), &Quota::none()).unwrap())
        .unwrap();
    let options = roxmltree::ParsingOptions { allow_dtd: true, ..Default::default() };
    let read = roxmltree::Document::parse_with_options(&book, options).unwrap();
    let named = |name: &'static str| read.descendants().filter(move |node| node.tag_name().name() == name);
    let links: Vec<_> = named("a").collect();
    assert_eq!(links.len(), SIZES);
    for link in links {
        let id = link.attribute("href").unwrap().strip_prefix('#').unwrap();
        let heading: Vec<_> = named("h2").filter(|node| node.attribute("id") == Some(id)).collect();
        assert_eq!(heading.iter().map(|node| node.text()).collect::<Vec<_>>(), [link.text()]);
    }
}
