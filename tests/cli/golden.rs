//! The examples, made and graded by the program: `tests/golden` keeps every docket and every table.
//! `SCANT_RENEW=1 cargo test` writes them anew; read them then.

use std::fs;
use std::path::{Path, PathBuf};

use crate::bench::{Folder, command, compare, scant, tests, verdict, wait};

/// The folder of the examples; no path of this machine comes into the kept texts.
fn examples() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("examples")
}

fn names() -> Vec<String> {
    let entries = fs::read_dir(examples()).expect("the examples are there");
    let paths = entries.flatten().map(|entry| entry.path());
    let recipes = paths.filter(|path| path.extension().is_some_and(|kind| kind == "scant"));
    let mut names: Vec<String> =
        recipes.filter_map(|path| Some(path.file_stem()?.to_string_lossy().into_owned())).collect();
    names.sort();
    assert!(names.len() >= 4, "four examples at least");
    names
}

/// Runs a command that must end well, and keeps what it prints.
fn kept(faults: &mut Vec<String>, file: &str, args: &[&str]) -> String {
    let done = scant(&examples(), args);
    let advice = |line: &str| line.starts_with("advice");
    if done.status != 0 || !done.err.lines().all(advice) {
        faults.push(format!("{args:?}: status {}\n{}", done.status, done.err));
    }
    if done.out.contains(env!("CARGO_MANIFEST_DIR")) {
        faults.push(format!("{args:?}: a path of this machine is printed"));
    }
    faults.extend(compare(&tests().join("golden").join(file), &done.out).err());
    done.out
}

#[test]
fn every_docket_is_as_it_is_kept() {
    let mut faults = Vec::new();
    for name in names() {
        let recipe = format!("{name}.scant");
        let text = kept(&mut faults, &format!("{name}.txt"), &["run", &recipe]);
        let wide: Vec<&str> = text.lines().filter(|line| line.chars().count() > 80).collect();
        if !wide.is_empty() {
            faults.push(format!("{name}: more than 80 columns: {wide:?}"));
        }
        kept(&mut faults, &format!("{name}.json"), &["run", &recipe, "--as", "json"]);
        let drawn = kept(&mut faults, &format!("{name}.svg"), &["run", &recipe, "--as", "svg"]);
        if drawn.matches("<g").count() != drawn.matches("</g>").count() || !drawn.ends_with("</svg>\n") {
            faults.push(format!("{name}: the drawing is not whole"));
        }
    }
    verdict(faults);
}

#[test]
fn every_graded_table_is_as_it_is_kept() {
    let mut faults = Vec::new();
    for name in names() {
        let recipe = format!("{name}.scant");
        let table = format!("{name}.csv");
        let mut args = vec!["grade", recipe.as_str()];
        if examples().join(&table).exists() {
            args.extend(["--sizes", table.as_str()]);
        }
        kept(&mut faults, &format!("{name}.graded.txt"), &args);
        args.extend(["--as", "csv"]);
        kept(&mut faults, &format!("{name}.graded.csv"), &args);
        args.pop();
        args.push("json");
        kept(&mut faults, &format!("{name}.graded.jsonl"), &args);
    }
    verdict(faults);
}

#[test]
fn every_example_is_sound_by_itself() {
    let mut faults = Vec::new();
    for name in names() {
        let recipe = format!("{name}.scant");
        let done = scant(&examples(), &["check", &recipe]);
        if done.status != 0 || !done.err.is_empty() {
            faults.push(format!("{name}: {}\n{}", done.status, done.err));
        }
    }
    verdict(faults);
}

/// The blocks of the README between fences of one kind: the row of the fence, and the text.
fn blocks(readme: &str, kind: &str) -> Vec<(usize, String)> {
    let mut blocks = Vec::new();
    let mut open: Option<(usize, String)> = None;
    for (row, line) in readme.lines().enumerate() {
        match &mut open {
            Some(_) if line == "```" => blocks.extend(open.take().filter(|(at, _)| *at > 0)),
            Some((_, text)) => *text += &format!("{line}\n"),
            None => {
                if let Some(fence) = line.strip_prefix("```") {
                    open = Some((if fence == kind { row + 1 } else { 0 }, String::new()));
                }
            }
        }
    }
    blocks
}

/// The pages that show the program at work.
const PAGES: [&str; 2] = ["README.md", "examples/README.md"];

/// Where the pages' commands are given.
fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).to_owned()
}

fn page(name: &str) -> String {
    fs::read_to_string(root().join(name)).expect("the page is there")
}

/// The words of a command as a shell would take them apart: quotes are the only art.
fn shell_words(line: &str) -> Vec<String> {
    let mut words = vec![String::new()];
    let mut quote: Option<char> = None;
    for c in line.chars() {
        match (quote, c) {
            (Some(open), c) if c == open => quote = None,
            (None, '"' | '\'') => quote = Some(c),
            (None, ' ') => words.push(String::new()),
            (_, c) => words.last_mut().expect("there is a word").push(c),
        }
    }
    words.retain(|word| !word.is_empty());
    words
}

/// `$ scant …`: the rows below it, up to the next one, are the whole of what it prints.
#[test]
fn every_console_block_of_the_pages_prints_what_it_says() {
    let mut faults = Vec::new();
    for name in PAGES {
        let written = page(name);
        let mut renewed = written.clone();
        let blocks = blocks(&written, "console");
        assert!(blocks.len() >= 3, "{name} shows the program at work");
        for (row, block) in &blocks {
            let mut made = String::new();
            for line in block.lines().filter_map(|line| line.strip_prefix("$ ")) {
                let mut words = shell_words(line);
                assert_eq!(words.remove(0), "scant", "line {row}: only the program itself is run");
                let done = wait(command(&root(), &words).spawn().expect("the program starts"));
                made += &format!("$ {line}\n{}{}", done.out, done.err);
            }
            if *block != made {
                faults.push(format!("{name}:{row}\n--- written\n{block}--- printed\n{made}"));
                let (old, new) = (format!("```console\n{block}```"), format!("```console\n{made}```"));
                renewed = renewed.replacen(&old, &new, 1);
            }
        }
        if std::env::var_os("SCANT_RENEW").is_some() && renewed != written {
            fs::write(root().join(name), renewed).expect("the page is written");
            faults.clear();
        }
    }
    verdict(faults);
}

/// Names in backquotes that look like a path, and links, lead to what is there.
#[test]
fn every_path_of_the_pages_leads_somewhere() {
    let mut faults = Vec::new();
    for name in PAGES {
        let text = page(name);
        let folder = root().join(name).parent().expect("a page is in a folder").to_owned();
        for link in text.split("](").skip(1).filter_map(|rest| rest.split(')').next()) {
            let path = link.split('#').next().unwrap_or(link);
            if !path.is_empty() && !folder.join(path).exists() {
                faults.push(format!("{name}: {link}"));
            }
        }
        let words = text.split([' ', '\n', '`', '(', ')', '[', ']']);
        for path in words.filter(|word| word.starts_with("examples/")) {
            let path = path.split(['#', ',']).next().unwrap_or(path);
            if !root().join(path).exists() {
                faults.push(format!("{name}: {path}"));
            }
        }
    }
    verdict(faults);
}

#[test]
fn every_recipe_of_the_readme_runs() {
    let blocks = blocks(&page("README.md"), "scant");
    let [(_, shown)] = blocks.as_slice() else { panic!("the README shows one recipe") };
    let file = fs::read_to_string(examples().join("loft_napkin.scant")).expect("the recipe is a file too");
    assert_eq!(*shown, file, "examples/loft_napkin.scant is the recipe of the README");
    for (row, block) in blocks {
        let folder = Folder::new();
        folder.write("shown.scant", &block);
        for args in [&["run", "shown.scant"] as &[&str], &["check", "shown.scant"]] {
            let done = scant(folder.path(), args);
            assert_eq!((done.status, done.err.as_str()), (0, ""), "README.md:{row}: {args:?}");
        }
        if block.contains("\nsizes") {
            let done = scant(folder.path(), &["grade", "shown.scant"]);
            assert_eq!((done.status, done.err.as_str()), (0, ""), "README.md:{row}");
        }
    }
}
