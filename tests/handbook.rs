//! The handbook as pages: its contents, bookmarks, page numbers and tags, read back by another library.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)] // a test that fails panics

#[path = "common/read_back.rs"]
#[allow(dead_code)] // shared with the tests of reports
mod read_back;

use std::collections::BTreeMap;

use scant::drawing::Paper;
use scant::library;
use scant::report::handbook::{Pages, handbook, pdf};

fn bytes(area: Option<&str>, paper: Paper) -> Vec<u8> {
    pdf(area, paper).unwrap().unwrap()
}

#[test]
fn every_rule_has_a_bookmark_on_the_page_that_names_it() {
    for paper in [Paper::A4, Paper::Letter] {
        let bytes = bytes(None, paper);
        let document = lopdf::Document::load_mem(&bytes).unwrap();
        let toc = document.get_toc().unwrap();
        assert!(toc.errors.is_empty(), "{:?}", toc.errors);
        let places: BTreeMap<(usize, &str), usize> =
            toc.toc.iter().map(|mark| ((mark.level, mark.title.as_str()), mark.page)).collect();
        let pages = read_back::pages(&bytes);
        for name in library::index().keys() {
            let page = places.get(&(3, *name)).unwrap_or_else(|| panic!("{name} has no bookmark"));
            assert!(pages[page - 1].contains(&format!("{name}(")), "{name} is not on page {page}");
        }
        for (file, _) in library::FILES {
            let area = file.strip_suffix(".scant").unwrap();
            let page = places[&(2, area)];
            assert!(pages[page - 1].starts_with(area), "{area}: {}", pages[page - 1]);
        }
    }
}

#[test]
fn contents_and_index_name_the_right_pages() {
    let bytes = bytes(None, Paper::A4);
    let document = lopdf::Document::load_mem(&bytes).unwrap();
    let toc = document.get_toc().unwrap();
    let page_of =
        |name: &str| toc.toc.iter().find(|mark| mark.level == 3 && mark.title == name).unwrap().page;
    let pages = read_back::pages(&bytes);
    let contents = pages[..3].concat();
    let contents: Vec<&str> = contents.split_whitespace().collect();
    for name in library::index().keys() {
        let wanted = page_of(name).to_string();
        let named = contents.windows(2).any(|pair| pair[0] == *name && pair[1] == wanted);
        assert!(named, "{name} is on page {wanted}, and the contents do not say so");
    }
    let index = pages.last().unwrap().split_whitespace().collect::<Vec<_>>();
    let mut rows =
        index.iter().zip(index.iter().skip(1)).filter(|(name, _)| library::index().contains_key(*name));
    assert!(rows.all(|(name, page)| *page == page_of(name).to_string()), "{index:?}");
    let zippers = index.iter().skip_while(|word| **word != "zippers").skip(1);
    let mut rules = zippers.step_by(2).take_while(|word| library::index().contains_key(*word));
    assert!(rules.any(|rule| *rule == "zip_tape"), "{index:?}");
}

/// A page of contents with a single row on it looks as if something were lost.
#[test]
fn no_page_of_contents_or_index_is_nearly_empty() {
    for paper in [Paper::A4, Paper::Letter] {
        let bytes = bytes(None, paper);
        let toc = lopdf::Document::load_mem(&bytes).unwrap().get_toc().unwrap();
        let begin = |title: &str| toc.toc.iter().find(|mark| mark.title == title).unwrap().page - 1;
        let pages = read_back::pages(&bytes);
        let words = |page: &String| page.split_whitespace().count();
        for listed in [&pages[..begin("cloth")], &pages[begin("What it may be called elsewhere")..]] {
            let fullest = listed.iter().map(words).max().unwrap();
            let last = listed.last().map(words).unwrap();
            assert!(last * 5 > fullest, "{last} words on the last of {} pages", listed.len());
        }
    }
}

#[test]
fn it_is_tagged_and_its_links_lead_somewhere() {
    let document = lopdf::Document::load_mem(&bytes(Some("zips"), Paper::A4)).unwrap();
    let catalog = document.catalog().unwrap();
    assert!(document.get_dict_in_dict(catalog, b"StructTreeRoot").is_ok());
    let marked = document.get_dict_in_dict(catalog, b"MarkInfo").unwrap();
    assert!(marked.get(b"Marked").unwrap().as_bool().unwrap());
    let pages = document.get_pages();
    let mut links = 0;
    for page in pages.values() {
        for link in document.get_page_annotations(*page).unwrap() {
            assert_eq!(link.get(b"Subtype").unwrap().as_name().unwrap(), b"Link");
            links += 1;
        }
    }
    // At least one for each rule of the area.
    let rules =
        library::index().values().filter(|entry| library::FILES[entry.file].0 == "zips.scant").count();
    assert!(links >= rules, "{links} links, {rules} rules");
    assert!(pdf(Some("sails"), Paper::A4).is_none());
}

#[test]
fn pages_for_a_browser_need_nothing_else() {
    let html = handbook(None, Pages::Html).unwrap();
    let outside = html.matches("http").count() - html.matches("http://www.w3.org/2000/svg").count();
    assert!(!html.contains("<script") && outside == 0 && !html.contains("@import"));
    // Rules of marks and shapes have a drawing beside them.
    for rule in ["tuck_marks", "pennant", "hexagon", "crossed_tucks", "mitred_border", "apron"] {
        let section = html.split_once(&format!("<h3 id=\"{rule}\">")).unwrap().1;
        let section = section.split_once("<h3").unwrap().0;
        assert_eq!(section.matches("<svg").count(), 1, "{rule}");
    }
    for part in ["prefers-color-scheme: dark", "@media print", "<nav", "id=\"index\""] {
        assert!(html.contains(part), "{part}");
    }
    // Words that people use lead to rules.
    assert!(html.contains("<li><b>zipper</b>: <a href=\"#zip"), "no zipper in the index");
}

/// Names of makers' letters have no place in a page: generic families only.
#[test]
fn letters_are_those_of_the_reader() {
    const GENERIC: [&str; 3] = ["sans-serif", "serif", "monospace"];
    let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("src/report");
    let mut seen = 0;
    for file in ["pages/page_begin.html", "handbook/handbook.css", "svg.rs"] {
        let text = std::fs::read_to_string(folder.join(file)).unwrap();
        assert!(!text.contains("font:"), "{file}");
        for rest in text.split("font-family").skip(1) {
            let name = rest.trim_start_matches([':', '=', '\\', '"', ' ']);
            let name = name.split([';', '\\', '"', '}']).next().unwrap().trim();
            assert!(GENERIC.contains(&name), "{file}: {name}");
            seen += 1;
        }
    }
    assert!(seen >= 4, "{seen}");
}
