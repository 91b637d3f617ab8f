//! `use "house.scant"`: the lines of files beside the script, gathered in order.

use std::rc::Rc;
use std::sync::atomic::AtomicBool;

use crate::fault::{Code as FaultCode, Fault, File, Files, Span};
use crate::limits::{RECIPE, USED_FILES};
use crate::syntax::tree::{Line, LineKind, WordsKind};

/// What reads a file beside the script; the engine itself touches no disk.
pub trait Host {
    /// The text of the file at `path`, which is relative to the script's folder, has forward
    /// strokes and no `..`; or why it cannot be had, in words.
    fn beside(&self, path: &str) -> Result<String, String>;
}

/// A host that has no files, as for `scant work`.
#[derive(Debug)]
pub struct NoFiles;

impl Host for NoFiles {
    fn beside(&self, _path: &str) -> Result<String, String> {
        Err("there is no such file next to this one".into())
    }
}

/// A line in the order of working, or where a used file begins or ends.
#[derive(Debug)]
pub enum Gathered {
    /// A line, and whether it is in a file other than the script.
    Line(Line, bool),
    /// From here on the settings are those of a used file; and whether another used file uses it.
    Begins(Span, bool),
    /// From here on they are again what they were.
    Ends(Span),
}

impl Gathered {
    /// The line, where it is one.
    pub fn line(&self) -> Option<&Line> {
        match self {
            Gathered::Line(line, _) => Some(line),
            _ => None,
        }
    }
}

/// All lines of a text, those of used files in the place of their `use`.
#[derive(Debug, Default)]
pub struct Script {
    /// The lines.
    pub lines: Vec<Gathered>,
    /// Names whose lines could not be read.
    pub spoiled: Vec<Rc<str>>,
    /// Whether the text ends too early and another row is needed.
    pub unfinished: bool,
    /// What is wrong with the reading.
    pub faults: Vec<Fault>,
}

impl Script {
    /// Whether it has a title of its own.
    pub fn has_title(&self) -> bool {
        let title =
            |line: &Line| matches!(&line.kind, LineKind::Words(words) if words.what == WordsKind::Recipe);
        self.lines.iter().any(|one| matches!(one, Gathered::Line(line, false) if title(line)))
    }
}

struct Gatherer<'a> {
    files: &'a mut Files,
    host: &'a dyn Host,
    script: Script,
    /// Bytes of all files so far.
    bytes: u64,
    /// Files on the way down to this one: a file among them again is a cycle.
    open: Vec<String>,
    /// Files that are used already.
    done: &'a mut Vec<String>,
    /// How many of them were used before this text.
    before: usize,
    /// Whether something that they give was given again since, so that they are read again.
    hidden: &'a dyn Fn() -> bool,
    stop: &'a AtomicBool,
}

/// Gathers the lines of a text. What is used already, `done`, is used once, unless something that it gives is
/// `hidden` since; with `in_sizes` the text goes on where a `sizes` line was the last. It ends when `stop` is set.
pub fn gather(
    (name, text): (&str, &str),
    in_sizes: bool,
    stop: &AtomicBool,
    (done, hidden): (&mut Vec<String>, &dyn Fn() -> bool),
    files: &mut Files,
    host: &dyn Host,
) -> Script {
    let own = name.rsplit(['/', '\\']).next().unwrap_or(name).to_owned();
    let (script, open) = (Script::default(), Vec::new());
    let before = done.len();
    let mut gatherer = Gatherer { files, host, script, bytes: 0, open, done, before, hidden, stop };
    gatherer.script.unfinished = gatherer.file(name, own, text, in_sizes, false);
    gatherer.script
}

impl Gatherer<'_> {
    /// Gathers the lines of a file; says whether it ends too early.
    fn file(&mut self, name: &str, path: String, text: &str, in_sizes: bool, foreign: bool) -> bool {
        self.bytes = self.bytes.saturating_add(text.len() as u64);
        let id = self.files.add(File::new(name, text));
        let read = crate::syntax::read_until(id, text, in_sizes, self.stop);
        self.script.faults.extend(read.faults);
        self.script.spoiled.extend(read.tree.spoiled);
        self.open.push(path.clone());
        for line in read.tree.lines {
            if let LineKind::Use(used) = &line.kind {
                self.used(&used.path, used.path_span, &path, foreign);
            } else {
                self.script.lines.push(Gathered::Line(line, foreign));
            }
        }
        self.open.pop();
        if foreign {
            self.done.push(path);
        }
        read.unfinished
    }

    fn used(&mut self, wanted: &str, span: Span, user: &str, foreign: bool) {
        let path = match resolve(wanted, user) {
            Ok(path) => path,
            Err(why) => return self.bad(span, why),
        };
        if self.open.contains(&path) {
            let way =
                self.open.iter().map(String::as_str).chain([path.as_str()]).collect::<Vec<_>>().join(" -> ");
            let message = match self.open.last() == Some(&path) {
                true => format!("`{path}` uses itself"),
                false => format!("these files use each other in a circle: {way}"),
            };
            return self.bad(span, message);
        }
        let (before, now) = self.done.split_at(self.before.min(self.done.len()));
        if now.contains(&path) || before.contains(&path) && !(self.hidden)() {
            return;
        }
        if self.done.len().saturating_add(self.open.len()) >= USED_FILES {
            return self.bad(span, format!("a recipe may use at most {USED_FILES} files"));
        }
        match self.host.beside(&path) {
            Ok(text) if self.bytes.saturating_add(text.len() as u64) > RECIPE => {
                let most = RECIPE >> 20;
                self.bad(
                    span,
                    format!(
                        "with `{wanted}` this recipe is longer than {most} MiB, the most that it may have"
                    ),
                );
            }
            Ok(text) => {
                self.script.lines.push(Gathered::Begins(span, foreign));
                self.file(&path.clone(), path, &text, false, true);
                self.script.lines.push(Gathered::Ends(span));
            }
            Err(why) => self.bad(span, format!("`{wanted}` cannot be used: {why}")),
        }
    }

    fn bad(&mut self, span: Span, message: String) {
        self.script.faults.push(Fault::new(FaultCode::BadUse, span, message));
    }
}

/// The path from the script's folder; nothing outside that folder can be named.
fn resolve(wanted: &str, user: &str) -> Result<String, String> {
    let outside = || {
        format!(
            "`{wanted}` is outside the recipe's folder: a file for `use` must be in the same folder or below"
        )
    };
    if wanted.is_empty() {
        return Err("`use` needs the name of a file, such as `use \"house.scant\"`".into());
    }
    if wanted.ends_with('/') {
        return Err(format!(
            "`{wanted}` names a folder: write the name of a file, such as `use \"house.scant\"`"
        ));
    }
    if wanted.starts_with(['/', '\\', '~']) || wanted.contains(['\\', ':', '\0']) {
        return Err(outside());
    }
    let mut parts: Vec<&str> = user.split('/').collect();
    parts.pop();
    for part in wanted.split('/') {
        match part {
            "" | "." => {}
            ".." => return Err(outside()),
            part => parts.push(part),
        }
    }
    Ok(parts.join("/"))
}
