//! Pages and workbooks of a docket.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)] // a test that fails panics

#[path = "common/made.rs"]
mod made;
#[path = "common/read_back.rs"]
#[allow(dead_code)] // shared with the tests of reports
mod read_back;

use calamine::Data;
use scant::docket::Docket;
use scant::drawing::Paper;
use scant::report::{Format, Purpose, Quota, Style, write, write_in};

use made::made;

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
        let page = page(&docket, format).replace('\u{a0}', " ");
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
    write_in(&docket, Format::Markdown, style, &Quota::none(), &mut out).unwrap();
    let list = String::from_utf8(out).unwrap();
    assert!(list.contains("## Buy") && list.contains("Mind the needle."), "{list}");
    assert!(!list.contains("## Sew") && !list.contains("## Cut"), "{list}");
    // In the shop the list is what is looked for.
    assert!(list.find("## Buy") < list.find("Mind the needle."), "{list}");
    // It is narrow: why so much is bought stands in the docket.
    assert!(list.contains("|  | what | buy | price | cost |\n") && !list.contains("sold by"), "{list}");
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

/// Pages for a browser are written so that a parser of XML reads them too: it finds headings in order, a heading for
/// each column, and for each picture words for those who cannot see it.
#[test]
fn a_page_for_a_browser_is_read_back_with_its_parts() {
    let docket = made(&format!("{RUNNER}plan linen\ndraw \"the panel\": 20 in by 30 in\n"));
    let html = page(&docket, Format::Html);
    let options = roxmltree::ParsingOptions { allow_dtd: true, ..Default::default() };
    let read = roxmltree::Document::parse_with_options(&html, options).unwrap();
    let all = |name: &'static str| {
        read.descendants().filter(move |node| node.is_element() && node.tag_name().name() == name)
    };
    let words = |node: roxmltree::Node<'_, '_>| {
        node.descendants()
            .filter(roxmltree::Node::is_text)
            .filter_map(|node| node.text().map(str::to_owned))
            .collect::<String>()
    };
    assert_eq!(all("html").next().unwrap().attribute("lang"), Some("en"));
    assert_eq!(all("h1").map(words).collect::<Vec<_>>(), ["Quay <script>alert(1)</script> & | runner"]);
    let headings: Vec<String> = all("h2").map(words).collect();
    assert_eq!(headings, ["Cut", "Cutting plans", "Drawings", "Buy", "Sew"]);
    for table in all("table") {
        let inside = |name: &'static str| {
            table.descendants().filter(move |node| node.tag_name().name() == name).count()
        };
        assert!(inside("caption") == 1 && inside("th") > 0 && inside("tbody") == 1, "{}", words(table));
    }
    let pictures: Vec<_> = all("svg").collect();
    assert_eq!(pictures.len(), 2);
    for picture in pictures {
        assert_eq!(picture.attribute("role"), Some("img"));
        let named = picture.attribute("aria-labelledby").unwrap();
        for id in named.split(' ') {
            let told = picture.children().find(|node| node.attribute("id") == Some(id)).unwrap();
            assert!(!words(told).is_empty(), "{id}");
        }
    }
    // On a phone a drawing keeps its size and moves within its box.
    assert_eq!(all("figure").filter(|node| node.attribute("tabindex") == Some("0")).count(), 2);
    let style = words(all("style").next().unwrap());
    assert!(style.contains("figure { overflow-x: auto; }") && style.contains("figure svg { width: 50rem; }"));
    assert_eq!(all("script").count() + all("link").count() + all("img").count(), 0);
}

/// An outside parser finds the words, the sheet, the tags and the numbers of pages.
#[test]
fn a_pdf_is_read_back_with_its_words_size_and_tags() {
    let docket = made(RUNNER);
    for (paper, (wide, high)) in [(Paper::A4, (595.28, 841.89)), (Paper::Letter, (612.0, 792.0))] {
        let mut out = Vec::new();
        write_in(&docket, Format::Pdf, Style { paper, ..Style::default() }, &Quota::none(), &mut out)
            .unwrap();
        let pdf = lopdf::Document::load_mem(&out).unwrap();
        let catalog = pdf.catalog().unwrap();
        assert_eq!(catalog.get(b"Lang").unwrap().as_str().unwrap(), b"en");
        let marked = pdf.get_dict_in_dict(catalog, b"MarkInfo").unwrap();
        assert!(marked.get(b"Marked").unwrap().as_bool().unwrap());
        assert!(pdf.get_dict_in_dict(catalog, b"StructTreeRoot").is_ok());
        let pages = read_back::pages(&out);
        for (number, (id, text)) in pdf.get_pages().values().zip(&pages).enumerate() {
            let page = pdf.get_dictionary(*id).unwrap();
            let frame: Vec<f32> = page
                .get(b"MediaBox")
                .unwrap()
                .as_array()
                .unwrap()
                .iter()
                .map(|side| side.as_float().unwrap())
                .collect();
            assert!((frame[2] - wide).abs() < 0.1 && (frame[3] - high).abs() < 0.1, "{frame:?}");
            assert!(text.contains(&format!("{} / {}", number + 1, pages.len())), "{text}");
            // The recipe's name is on each page.
            assert!(text.contains("Quay <script>alert(1)</script> & | runner"), "{text}");
        }
        let words = pages.join(" ");
        for wanted in ["Mind the needle.", "20 in by 30 in", "tape", "3.70 EUR", "Hem the *panel*."] {
            assert!(words.contains(wanted), "{wanted}: {words}");
        }
    }
}

/// An outside parser finds a sheet a section, numbers as numbers, and the formulas of totals.
#[test]
fn a_workbook_is_read_back_with_its_numbers() {
    let book = bytes(&made(RUNNER), Format::Workbook);
    let sheets = read_back::sheets(&book);
    let names: Vec<&str> = sheets.iter().map(|(name, _)| name.as_str()).collect();
    assert_eq!(names, ["Recipe", "Cutting", "Strips", "Buy", "Steps"]);
    let buy = &sheets.iter().find(|(name, _)| name == "Buy").unwrap().1;
    let row = buy.iter().find(|row| row.iter().any(|cell| cell == &Data::String("tape".into()))).unwrap();
    let numbers: Vec<f64> = row
        .iter()
        .filter_map(|cell| match cell {
            Data::Float(number) => Some(*number),
            _ => None,
        })
        .collect();
    assert!(numbers.contains(&3.0861) && numbers.contains(&1.2) && numbers.contains(&3.7), "{row:?}");
    let mut book: calamine::Xlsx<_> = calamine::open_workbook_from_rs(std::io::Cursor::new(&book)).unwrap();
    let formulas = calamine::Reader::worksheet_formula(&mut book, "Buy").unwrap();
    assert!(formulas.used_cells().any(|(_, _, formula)| formula.contains("SUM")), "{formulas:?}");
}

/// The names and numbers of a workbook are for people: no underscores, no indices, no twelve places, prices in money.
#[test]
fn a_workbook_is_written_for_people() {
    let docket = made(&format!(
        "{RUNNER}show \"marks\": each k from 1 to 3: {{ at_edge: k * 1 in / 7, laid_to: k * 1 in }}\n\
         show \"band\": 3 in by 4 in\nshow \"rings\": [2 in, 3 in]\n"
    ));
    let book = bytes(&docket, Format::Workbook);
    let words: Vec<String> = read_back::sheets(&book)
        .into_iter()
        .flat_map(|(_, rows)| rows)
        .flatten()
        .map(|cell| cell.to_string())
        .collect();
    for wanted in ["laid to (in)", "band, across", "rings, 2"] {
        assert!(words.iter().any(|words| words == wanted), "{wanted}: {words:?}");
    }
    let mut archive = zip::ZipArchive::new(std::io::Cursor::new(book)).unwrap();
    let mut styles = String::new();
    std::io::Read::read_to_string(&mut archive.by_name("xl/styles.xml").unwrap(), &mut styles).unwrap();
    assert!(styles.contains("\"0.00##\"") && styles.contains("\"0.000\""), "{styles}");
}

/// On a phone the sums of the bill are seen without moving sideways.
#[test]
fn a_bill_is_known_to_the_styles_of_a_page() {
    assert!(page(&made(RUNNER), Format::Html).contains("<table class=\"bill\">"));
}

/// Steps speak of a table of marks, so that it is wherever they are.
#[test]
fn marks_are_on_all_pages_with_steps() {
    let docket = made(
        "recipe \"Quay\"\nshow \"marks of tucks\": each k from 1 to 3: { at: k * 1 in, fold: k * 2 in }\nstep \"Mark the tucks.\"\n",
    );
    for (purpose, wanted) in [(Purpose::All, 1), (Purpose::Wall, 1), (Purpose::Class, 1), (Purpose::Shop, 0)]
    {
        let mut out = Vec::new();
        let style = Style { purpose, ..Style::default() };
        write_in(&docket, Format::Markdown, style, &Quota::none(), &mut out).unwrap();
        let page = String::from_utf8(out).unwrap();
        assert_eq!(page.matches("### marks of tucks").count(), wanted, "{purpose:?}: {page}");
    }
}

/// On a page a table of marks has headings in words; the text, where names are entered, has the names.
#[test]
fn headings_on_pages_have_no_underscores() {
    let docket =
        made("recipe \"Quay\"\nshow \"marks\": each k from 1 to 3: { at: k * 1 in, laid_to: k * 2 in }\n");
    for format in [Format::Markdown, Format::Html] {
        let text = page(&docket, format);
        assert!(text.contains("laid to") && !text.contains("laid_to"), "{text}");
    }
    let text = page(&docket, Format::Text);
    assert!(text.contains("laid_to"), "{text}");
}

#[test]
fn letters_that_the_font_lacks_and_long_words_end_well_on_paper() {
    let long = "m".repeat(10_000);
    let docket = made(&format!("recipe \"布 {long}\"\nstep \"{long} \u{5d0}\u{5d1} e\u{301}\"\n"));
    assert!(bytes(&docket, Format::Pdf).len() > 1_000);
    assert!(bytes(&docket, Format::Workbook).len() > 1_000);
}

/// A row that is higher than a page goes on over pages: no letter of it is lost, and no page has headings alone.
#[test]
fn a_row_higher_than_a_page_loses_nothing() {
    let long = "mn".repeat(5_000);
    let docket = made(&format!("recipe \"Quay\"\nbuy 3 m \"{long}\"\nbuy 2 \"button\"\n"));
    let pages = read_back::pages(&bytes(&docket, Format::Pdf));
    let letters = |page: &String| page.matches('n').count();
    // Other words have this letter too.
    let whole: usize = pages.iter().map(letters).sum();
    assert!(whole >= 5_000, "{whole}");
    for page in pages.iter().filter(|page| page.contains("what")) {
        assert!(page.contains("mnm") || page.contains("button"), "{page}");
    }
}

/// On the narrow page for the shop no number, no measure's unit and no word is broken.
#[test]
fn words_stay_whole_in_narrow_columns() {
    for recipe in recipes() {
        let docket = made(&std::fs::read_to_string(recipe).unwrap());
        let style = Style { purpose: Purpose::Shop, ..Style::default() };
        let written = |format| {
            let mut out = Vec::new();
            write_in(&docket, format, style, &Quota::none(), &mut out).unwrap();
            read_back::words_of(&out, format)
        };
        let known = written(Format::Markdown);
        let known = known.replace(['*', '\\'], "");
        let known: Vec<&str> = known.split_whitespace().chain(["/", "1"]).collect();
        let page = written(Format::Pdf);
        for word in page.split_whitespace() {
            assert!(known.contains(&word), "{word}: {page}");
        }
        // No line begins with a fraction whose number stands above it.
        let mut out = Vec::new();
        write_in(&docket, Format::Pdf, style, &Quota::none(), &mut out).unwrap();
        let page = read_back::pages(&out).join("\n");
        let lines: Vec<&str> = page.lines().map(str::trim).collect();
        for pair in lines.windows(2) {
            let is_broken = pair[0].len() == 1 && pair[0] > "0" && pair[0] <= "9" && pair[1].contains('/');
            assert!(!is_broken, "{pair:?}: {page}");
        }
    }
}

/// The files of the examples.
fn recipes() -> impl Iterator<Item = std::path::PathBuf> {
    let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("examples");
    let paths = std::fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path());
    paths.filter(|path| path.extension().is_some_and(|kind| kind == "scant"))
}

/// A heading stands with what follows it, also where that is a heading with a table.
#[test]
fn a_heading_is_not_left_at_the_foot_of_a_page() {
    // A step and a note are not equally high, so that the heading comes to stand at many places.
    for (steps, notes) in (25..45).flat_map(|steps| (0..7).map(move |notes| (steps, notes))) {
        let (steps, notes) = ("step \"Press it.\"\n".repeat(steps), "note \"Press it.\"\n".repeat(notes));
        let recipe = format!("{RUNNER}{steps}{notes}");
        let style = Style { purpose: Purpose::Class, ..Style::default() };
        let mut out = Vec::new();
        write_in(&made(&recipe), Format::Pdf, style, &Quota::none(), &mut out).unwrap();
        headings_stand_with_what_follows(&out);
    }
}

fn headings_stand_with_what_follows(pdf: &[u8]) {
    for page in read_back::pages(pdf) {
        let lines: Vec<&str> = page.lines().map(str::trim).filter(|line| !line.is_empty()).collect();
        for heading in ["Cut", "Buy", "Sew", "Cutting plans"] {
            let found = lines.iter().rposition(|line| *line == heading);
            // Two lines are those of the foot.
            assert!(found.is_none_or(|found| found + 4 < lines.len()), "{heading}: {lines:?}");
        }
    }
}

/// Each example on each paper for each purpose, as the words of its pages.
fn each_example(mut seen: impl FnMut(&str, &Docket, Style, &[u8])) {
    for path in recipes() {
        let docket = made(&std::fs::read_to_string(&path).unwrap());
        for paper in [Paper::A4, Paper::Letter] {
            for purpose in [Purpose::All, Purpose::Wall, Purpose::Class] {
                let (style, mut out) = (Style { paper, purpose }, Vec::new());
                write_in(&docket, Format::Pdf, style, &Quota::none(), &mut out).unwrap();
                seen(&format!("{} {style:?}", path.display()), &docket, style, &out);
            }
        }
    }
}

#[test]
fn pages_of_the_examples_are_filled_well() {
    each_example(|name, docket, style, pdf| {
        headings_stand_with_what_follows(pdf);
        let pages = read_back::pages(pdf);
        let lines = |page: &String| page.lines().filter(|line| !line.trim().is_empty()).count();
        // On the wall the first picture stands with the cautions.
        if style.purpose == Purpose::Wall && !docket.cloths.is_empty() {
            assert!(pages[0].contains("Cutting plans") && pages[0].contains(" long"), "{name}: {}", pages[0]);
        }
        for page in &pages {
            // No list of cuts takes a page more for a row or two; what cloth a table takes stands with it.
            // Twenty cuts on Letter for the wall: numbers in the picture are worth more than that.
            let many = name.contains("signal_throw") && name.contains("Letter") && name.contains("Wall");
            assert!(many || !page.contains(", goes on"), "{name}: {page}");
            assert!(!page.trim_start().starts_with("In all"), "{name}: {page}");
            // Two lines are those of the foot.
            let before = page.lines().map(str::trim).filter(|line| !line.is_empty()).rev().nth(2);
            assert!(before.is_none_or(|line| !line.ends_with(" in hand:")), "{name}: {page}");
        }
        // Two lines are those of the foot.
        assert!(pages.len() == 1 || pages.last().is_none_or(|last| lines(last) > 5), "{name}: {pages:?}");
    });
}

/// A sheet with a plan may be taken from the others, so that it has the cautions too; no page has them twice.
#[test]
fn cautions_stand_once_on_each_page_with_a_plan() {
    each_example(|name, docket, _, pdf| {
        for page in read_back::pages(pdf) {
            let words = page.split_whitespace().collect::<Vec<_>>().join(" ");
            for caution in docket.cautions.iter().map(|caution| &**caution) {
                let found = words.matches(&format!("Caution: {caution}")).count();
                assert!(found <= 1, "{name}: {page}");
                assert!(found == 1 || !words.contains("usable width grain"), "{name}: {page}");
            }
        }
    });
    let docket = made(&RUNNER.replace("script", "b"));
    let html = page(&docket, Format::Html);
    // On a screen they stand at the top; the drawing does not have them again.
    assert_eq!(html.matches("Caution: Mind the needle.").count(), 2, "{html}");
    assert!(html.contains("<div class=\"again\"><p>Caution: Mind"), "{html}");
    let markdown = page(&docket, Format::Markdown);
    assert_eq!(markdown.matches("Mind the needle").count(), 1);
    // Nor does it say its title twice.
    assert_eq!(markdown.matches("in strips").count(), 1, "{markdown}");
}

/// The words of each page of a recipe on A4.
fn printed(recipe: &str) -> Vec<String> {
    read_back::pages(&bytes(&made(recipe), Format::Pdf))
}

/// A last page with a line or two is saved: lines stand a little closer, and drawings are a little smaller.
#[test]
fn no_page_is_printed_for_a_line_or_two() {
    let steps = |count: usize| {
        let step = |at: usize| format!("step \"Sew seam {at} and press it.\"\n");
        format!("recipe \"Quay runner\"\n{}", (1..=count).map(step).collect::<String>())
    };
    let counts: Vec<usize> = (30..70).map(|count| printed(&steps(count)).len()).collect();
    assert!(counts.is_sorted() && counts.contains(&1) && counts.contains(&2), "{counts:?}");
    let first = counts.iter().position(|pages| *pages == 2).unwrap();
    let last = printed(&steps(30 + first)).pop().unwrap();
    assert!(last.matches("Sew seam").count() >= 4, "{last}");
}

/// The reason is long and goes on below itself; the short price beside it is not broken.
#[test]
fn a_long_cell_leaves_short_ones_whole() {
    let recipe = "recipe \"Quay runner\"\nshop 10 cm\n\
        buy 120 cm + 9.610213 cm \"piping cord of waxed cotton, 4 mm\" at 11.60 EUR/m\n\
        show \"marks from the left edge\": each k from 1 to 30: k * 1 in / 7\nshow \"width of all the bands\": 3 in\n";
    let page = printed(recipe).concat();
    let line = |wanted: &str| page.lines().any(|line| line.contains(wanted));
    assert!(line("width of all the bands") && line("11.60 EUR/m"), "{page}");
}

/// The last row of a table is not alone on its page.
#[test]
fn the_last_row_of_a_table_is_not_left_alone() {
    for rows in 20..60 {
        let shows: String = (1..=rows).map(|at| format!("show \"part {at} of it\": {at} in\n")).collect();
        let step = "step \"Sew.\"\n".repeat(12);
        let pages = printed(&format!("recipe \"Quay runner\"\n{shows}{step}"));
        let last = format!("part {rows} of it");
        let page = pages.iter().find(|page| page.contains(&last)).unwrap();
        assert!(page.contains(&format!("part {} of it", rows - 1)), "{rows} rows: {page}");
    }
}

/// Words that belong in the middle of a shape, and the name of the shape, which would be there too.
#[test]
fn a_drawing_shows_the_name_of_a_shape_and_the_words_in_its_middle() {
    let drawn = page(&made("recipe \"Quay runner\"\ndraw \"a corner\": corner_stop(3/8 in)\n"), Format::Svg);
    let drawn = drawn.split_once("</desc>").unwrap().1;
    assert!(drawn.contains(">piece<") && drawn.contains(">fold the binding up, then down<"), "{drawn}");
    assert!(!drawn.contains("Not all"), "{drawn}");
}

/// A table with a word of thousands of letters would be as wide as that.
#[test]
fn a_word_that_no_line_holds_is_broken_in_a_page_for_a_browser() {
    let html = page(
        &made(&format!("recipe \"Quay\"\nshow \"{}\": 3 in\nshow \"hem\": 1 in\n", "L".repeat(9_000))),
        Format::Html,
    );
    assert!(html.contains("<td class=\"long\">LLL"), "{html}");
    assert_eq!(html.matches("class=\"long\"").count(), 1);
}

/// On a phone a line that ended in `15` with `1/4 in` below it would be read wrong.
#[test]
fn a_measure_is_not_broken_in_a_page_for_a_browser() {
    let recipe = "recipe \"Quay\"\nshow \"hem\": 15 1/4 in\nshow \"all\": 30 in / 7\nstep \"Fold {15 1/4 in} over.\"\n";
    let html = page(&made(recipe), Format::Html);
    assert!(html.contains(">15\u{a0}1&#x2f;4\u{a0}in<"), "{html}");
    assert!(html.contains("<li>Fold 15\u{a0}1&#x2f;4\u{a0}in over.</li>"), "{html}");
    assert!(html.contains("scant\u{a0}4\u{a0}5&#x2f;16\u{a0}in (4\u{a0}2&#x2f;7\u{a0}in)"), "{html}");
}

/// A list beside many short cells is not squeezed into a column that is a page high.
#[test]
fn a_long_list_beside_short_cells_has_room() {
    let text = "recipe \"Quay\"\ngiven n = 30\n".to_owned()
        + &(1..=6).map(|at| format!("show \"size {at}\": (n * {at} in / 7) by 3 in\n")).collect::<String>()
        + "show \"marks\": each k from 1 to n: k * 1 in / 7\n";
    let folder = tempfile::tempdir().unwrap();
    std::fs::write(folder.path().join("quay.scant"), text).unwrap();
    std::fs::write(folder.path().join("sizes.csv"), "size,n\nsmall,30\nlarge,40\n").unwrap();
    let made = std::process::Command::new(env!("CARGO_BIN_EXE_scant"))
        .args(["grade", "quay.scant", "--sizes", "sizes.csv", "--as", "pdf", "--out", "quay.pdf"])
        .current_dir(folder.path())
        .status();
    assert!(made.unwrap().success());
    let pages = read_back::pages(&std::fs::read(folder.path().join("quay.pdf")).unwrap());
    assert!(pages[0].contains("Contents"), "{}", pages[0]);
}

/// Columns of a book's table are as many as the page is wide: their readings stay on one line, and the contents come first.
#[test]
fn readings_in_the_table_of_a_book_are_whole() {
    let shows = |at: i32| format!("show \"size {at}\": n * {at} in / 7\n");
    let text = "recipe \"Quay\"\ngiven n = 31\n".to_owned() + &(1..=9).map(shows).collect::<String>();
    let folder = tempfile::tempdir().unwrap();
    std::fs::write(folder.path().join("quay.scant"), text).unwrap();
    std::fs::write(folder.path().join("sizes.csv"), "size,n\nsmall,31\nlarge,41\n").unwrap();
    let made = std::process::Command::new(env!("CARGO_BIN_EXE_scant"))
        .args(["grade", "quay.scant", "--sizes", "sizes.csv", "--as", "pdf", "--out", "quay.pdf"])
        .current_dir(folder.path())
        .status();
    assert!(made.unwrap().success());
    let pages = read_back::pages(&std::fs::read(folder.path().join("quay.pdf")).unwrap());
    let lines: Vec<&str> = pages[0].lines().map(str::trim).collect();
    assert_eq!(lines.iter().filter(|line| line.starts_with("size ")).count(), 9, "{lines:?}");
    // No line begins or ends within a bracket.
    assert!(lines.iter().all(|line| line.matches('(').count() == line.matches(')').count()), "{lines:?}");
    let at = |words: &str| lines.iter().position(|line| *line == words).unwrap();
    assert!(at("Contents") < at("Sizes"), "{lines:?}");
}
