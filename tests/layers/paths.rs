//! Which file names which: every module path of the program, each resolved to the file that defines it.

use std::collections::{BTreeMap, BTreeSet};

use super::{Source, closing, is_word_char};

/// A module path: `["check", "words"]`.
type Path = Vec<String>;

/// The files by module path, and what each binds by `use`.
pub struct Names<'a> {
    files: BTreeMap<Path, &'a Source>,
    bound: BTreeMap<Path, BTreeMap<String, Path>>,
    globs: BTreeMap<Path, Vec<Path>>,
}

/// The module that a file is: `src/check/words.rs` is `check::words`.
pub fn module_of(name: &str) -> Path {
    let bare = name.trim_start_matches("src/").trim_end_matches(".rs");
    let mut path: Path = bare.split('/').map(str::to_owned).collect();
    if path.last().is_some_and(|last| last == "mod" || last == "lib") {
        path.pop();
    }
    path
}

impl<'a> Names<'a> {
    pub fn of(sources: &'a [Source]) -> Names<'a> {
        let files = sources.iter().map(|source| (module_of(&source.name), source)).collect();
        let mut names = Names { files, bound: BTreeMap::new(), globs: BTreeMap::new() };
        for source in sources {
            let module = module_of(&source.name);
            let mut bound = BTreeMap::new();
            let mut globs = Vec::new();
            for used in uses(&source.code) {
                for (path, alias) in leaves(used) {
                    let Some(full) = absolute(&module, &path) else { continue };
                    match alias.as_str() {
                        "*" => globs.push(full),
                        _ => drop(bound.insert(alias, full)),
                    }
                }
            }
            names.bound.insert(module.clone(), bound);
            names.globs.insert(module, globs);
        }
        names
    }

    /// The file that defines what a path names; a re-export counts as the file that defines it.
    fn defining(&self, path: &[String], depth: usize) -> Option<&'a Source> {
        let mut module: Path = Vec::new();
        let mut rest = path;
        while let Some((first, after)) = rest.split_first() {
            let mut child = module.clone();
            child.push(first.clone());
            if !self.files.contains_key(&child) {
                break;
            }
            (module, rest) = (child, after);
        }
        if let (Some(item), true) = (rest.first(), depth < 20) {
            let through = self.bound.get(&module).and_then(|bound| bound.get(item));
            if let Some(target) = through {
                let mut full = target.clone();
                full.extend(rest[1..].iter().cloned());
                return self.defining(&full, depth + 1);
            }
        }
        self.files.get(&module).copied()
    }

    /// The files that a file names.
    pub fn named_by(&self, source: &Source) -> BTreeSet<&'a str> {
        let module = module_of(&source.name);
        let mut found = BTreeSet::new();
        let mut paths: Vec<Path> = uses(&source.code)
            .into_iter()
            .flat_map(leaves)
            .filter_map(|(path, _)| absolute(&module, &path))
            .collect();
        paths.extend(self.globs.get(&module).into_iter().flatten().cloned());
        let bound = self.bound.get(&module);
        for path in inline(&source.code) {
            paths.extend(absolute(&module, &path).or_else(|| {
                let mut full = bound?.get(path.first()?)?.clone();
                full.extend(path[1..].iter().cloned());
                Some(full)
            }));
        }
        for path in paths {
            // A folder's own module is named through what is taken from it.
            let folder = self.files.contains_key(&path)
                && self.files.keys().any(|other| other.len() > path.len() && other.starts_with(&path));
            if let Some(defining) = self.defining(&path, 0).filter(|_| !folder) {
                found.insert(defining.name.as_str());
            }
        }
        found.remove(source.name.as_str());
        found
    }
}

/// `super::a::B` seen from a module.
fn absolute(module: &[String], path: &[String]) -> Option<Path> {
    let first = path.first()?;
    let ups = path.iter().take_while(|word| *word == "super").count();
    match first.as_str() {
        "crate" => Some(path[1..].to_vec()),
        "self" => Some(module.iter().chain(&path[1..]).cloned().collect()),
        "super" => {
            let base = &module[..module.len().checked_sub(ups)?];
            Some(base.iter().chain(&path[ups..]).cloned().collect())
        }
        _ => None,
    }
}

/// What follows each `use` up to its `;`, with the module's own children made `self::child`.
fn uses(code: &str) -> Vec<&str> {
    let mut found = Vec::new();
    for at in super::words(code, "use ") {
        let rest = &code[at + "use ".len()..];
        found.push(&rest[..rest.find(';').unwrap_or(rest.len())]);
    }
    found
}

/// The single paths of a `use`, each with the name that it binds.
fn leaves(used: &str) -> Vec<(Path, String)> {
    let used = used.trim();
    if let Some(brace) = used.find('{') {
        let before: Path = words_of(&used[..brace]);
        let inner = &used[brace + 1..brace + closing(&used[brace..], 0).saturating_sub(1)];
        return split(inner)
            .into_iter()
            .flat_map(leaves)
            .map(|(path, alias)| {
                let mut full = before.clone();
                let own = path == ["self"];
                full.extend(path.into_iter().filter(|word| word != "self"));
                let alias = if own { full.last().cloned().unwrap_or_default() } else { alias };
                (full, alias)
            })
            .collect();
    }
    let (path, alias) = match used.split_once(" as ") {
        Some((path, alias)) => (path, Some(alias.trim().to_owned())),
        None => (used, None),
    };
    let mut path = words_of(path);
    if path.last().is_some_and(|last| last == "*") {
        path.pop();
        return vec![(path, "*".to_owned())];
    }
    let own = path.last().cloned().unwrap_or_default();
    if path.is_empty() { Vec::new() } else { vec![(path, alias.unwrap_or(own))] }
}

fn words_of(path: &str) -> Path {
    path.split("::").map(|word| word.trim().to_owned()).filter(|word| !word.is_empty()).collect()
}

/// The parts of a brace list, nested braces kept whole.
fn split(list: &str) -> Vec<&str> {
    let (mut parts, mut depth, mut from) = (Vec::new(), 0, 0);
    for (at, c) in list.char_indices() {
        match c {
            '{' => depth += 1,
            '}' => depth -= 1,
            ',' if depth == 0 => {
                parts.push(&list[from..at]);
                from = at + 1;
            }
            _ => {}
        }
    }
    parts.push(&list[from..]);
    parts.into_iter().filter(|part| !part.trim().is_empty()).collect()
}

/// All paths with `::` in a code.
fn inline(code: &str) -> Vec<Path> {
    let mut found = Vec::new();
    let bytes = code.as_bytes();
    let mut at = 0;
    while let Some(next) = code[at..].find("::") {
        let colons = at + next;
        let start = code[..colons]
            .rfind(|c| !is_word_char(c))
            .map_or(0, |p| p + code[p..].chars().next().map_or(1, char::len_utf8));
        let mut path: Path = Vec::new();
        let mut end = start;
        loop {
            let word: String = code[end..].chars().take_while(|c| is_word_char(*c)).collect();
            end += word.len();
            if !word.is_empty() {
                path.push(word);
            }
            let more =
                code[end..].starts_with("::") && bytes.get(end + 2).is_some_and(|b| is_word_char(*b as char));
            if !more {
                break;
            }
            end += 2;
        }
        if path.len() > 1 {
            found.push(path);
        }
        at = end.max(colons + 2);
    }
    found
}
