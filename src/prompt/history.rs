//! Entries kept in files: the history of all prompts, and what this one has evaluated until it ends well.
//!
//! Both hold one entry a line, with `\n` for an end of line within it. Only whole lines are added, each
//! under a lock, so that prompts side by side lose nothing of each other.

use std::fs::{File, OpenOptions};
use std::io::{self, Read, Seek, SeekFrom, Write};
use std::path::{Path, PathBuf};

use crate::limits::HISTORY;

/// A history longer than this, in bytes, is cut to the entries that are remembered.
const LONGEST: u64 = 4 << 20;
/// So many sessions that were not ended are kept.
const MOST_SESSIONS: usize = 20;

/// The entry as one line.
fn line_of(entry: &str) -> String {
    entry.replace('\\', "\\\\").replace('\n', "\\n") + "\n"
}

/// The entry that a line holds.
fn entry_of(line: &str) -> String {
    let mut entry = String::with_capacity(line.len());
    let mut letters = line.chars();
    while let Some(c) = letters.next() {
        match (c, c == '\\') {
            (_, true) => match letters.next() {
                Some('n') => entry.push('\n'),
                Some(other) => entry.push(other),
                None => {}
            },
            (c, false) => entry.push(c),
        }
    }
    entry
}

/// A file for this user alone, to be read and added to.
fn open(path: &Path) -> io::Result<File> {
    let mut options = OpenOptions::new();
    options.read(true).append(true).create(true);
    #[cfg(unix)]
    std::os::unix::fs::OpenOptionsExt::mode(&mut options, 0o600);
    options.open(path)
}

/// Adds a whole line; where there is no room for it the file stays as it was.
fn add(file: &mut File, entry: &str) -> io::Result<()> {
    let length = file.metadata()?.len();
    let mut last = [b'\n'];
    if length > 0 {
        file.seek(SeekFrom::End(-1))?;
        file.read_exact(&mut last)?;
    }
    // A line that a crash cut off is no part of this one.
    let before = if last == [b'\n'] { "" } else { "\n" };
    let added = file.write_all(format!("{before}{}", line_of(entry)).as_bytes());
    if added.is_err() {
        file.set_len(length)?;
    }
    added
}

/// The entries in a file, the last of them where it is long.
fn entries(file: &mut File) -> io::Result<Vec<String>> {
    let length = file.metadata()?.len();
    file.seek(SeekFrom::Start(length.saturating_sub(LONGEST)))?;
    let mut bytes = Vec::new();
    file.take(LONGEST).read_to_end(&mut bytes)?;
    let text = String::from_utf8_lossy(&bytes);
    let cut_off = usize::from(length > LONGEST);
    let lines = text.lines().skip(cut_off).filter(|line| !line.is_empty() && *line != "#V2");
    Ok(lines.map(entry_of).collect())
}

/// The history of all prompts. It is a comfort: where it cannot be had the work goes on without it.
#[derive(Debug, Default)]
pub struct History(Option<PathBuf>);

impl History {
    /// The history in this folder.
    pub fn new(folder: Option<&Path>) -> History {
        History(folder.map(|folder| folder.join("history")))
    }

    /// The last entries; a file that has grown long is cut to them.
    pub fn remembered(&self) -> Vec<String> {
        self.read().unwrap_or_default()
    }

    fn read(&self) -> io::Result<Vec<String>> {
        let Some(path) = &self.0 else { return Ok(Vec::new()) };
        let mut file = self.locked(path)?;
        let mut all = entries(&mut file)?;
        let last = all.split_off(all.len().saturating_sub(HISTORY));
        if file.metadata()?.len() > LONGEST / 2 && !all.is_empty() {
            let folder = path.parent().unwrap_or(Path::new("."));
            let mut short = tempfile::NamedTempFile::new_in(folder)?;
            last.iter().try_for_each(|entry| short.write_all(line_of(entry).as_bytes()))?;
            short.as_file().sync_all()?;
            short.persist(path).map_err(|error| error.error)?;
        }
        Ok(last)
    }

    /// Adds an entry.
    pub fn add(&self, entry: &str) {
        if let Some(path) = &self.0
            && let Ok(mut file) = self.locked(path)
        {
            let _ = add(&mut file, entry);
        }
    }

    /// The file under a lock, opened again where another prompt just put a shorter one in its place.
    fn locked(&self, path: &Path) -> io::Result<File> {
        loop {
            let file = open(path)?;
            file.lock()?;
            if is_still(&file, path)? {
                return Ok(file);
            }
        }
    }
}

#[cfg(unix)]
fn is_still(file: &File, path: &Path) -> io::Result<bool> {
    use std::os::unix::fs::MetadataExt;
    let there = std::fs::metadata(path).map(|there| (there.dev(), there.ino())).ok();
    let file = file.metadata()?;
    Ok(there == Some((file.dev(), file.ino())))
}

#[cfg(not(unix))]
fn is_still(_file: &File, _path: &Path) -> io::Result<bool> {
    Ok(true)
}

/// What a session has evaluated, kept until the session ends well.
#[derive(Debug, Default)]
pub struct Journal {
    folder: Option<PathBuf>,
    /// The file is locked as long as its session lasts.
    file: Option<(File, PathBuf)>,
}

impl Journal {
    /// A journal that has no file yet.
    pub fn new(folder: Option<&Path>) -> Journal {
        Journal { folder: folder.map(|folder| folder.join("sessions")), file: None }
    }

    /// Keeps an entry that was evaluated.
    pub fn add(&mut self, entry: &str) {
        let Some(folder) = &self.folder else { return };
        if self.file.is_none() {
            self.file = begin(folder).ok();
        }
        if let Some((file, _)) = &mut self.file {
            let _ = add(file, entry);
        }
    }

    /// The session has ended well.
    pub fn end(&mut self) {
        if let Some((_, path)) = self.file.take() {
            let _ = std::fs::remove_file(path);
        }
    }

    /// The latest session that ended without a word, locked so that no other prompt takes it too.
    pub fn left(&self) -> Option<Abandoned> {
        let mut found: Vec<(std::time::SystemTime, PathBuf)> = std::fs::read_dir(self.folder.as_ref()?)
            .ok()?
            .flatten()
            .filter_map(|entry| Some((entry.metadata().ok()?.modified().ok()?, entry.path())))
            .collect();
        found.sort();
        let mut free = found.into_iter().rev().filter_map(|(_, path)| {
            let file = open(&path).ok()?;
            file.try_lock().ok()?;
            Some((file, path))
        });
        let (mut file, path) = free.next()?;
        free.skip(MOST_SESSIONS).for_each(|(_, old)| {
            let _ = std::fs::remove_file(old);
        });
        let entries = entries(&mut file).ok()?;
        Some(Abandoned { entries, path, _file: file })
    }
}

fn begin(folder: &Path) -> io::Result<(File, PathBuf)> {
    std::fs::create_dir_all(folder)?;
    let made = tempfile::Builder::new().prefix("session-").suffix(".txt").append(true).tempfile_in(folder)?;
    made.as_file().lock()?;
    made.keep().map_err(|error| error.error)
}

/// A session that ended without a word.
#[derive(Debug)]
pub struct Abandoned {
    /// What it had evaluated.
    pub entries: Vec<String>,
    path: PathBuf,
    _file: File,
}

impl Abandoned {
    /// It lives on in another session.
    pub fn done(self) {
        let _ = std::fs::remove_file(self.path);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn entries_are_lines() {
        for entry in ["1 in", "x = [1,\n2]", "step \"a\\nb\"", "\\", ""] {
            assert_eq!(entry_of(line_of(entry).trim_end_matches('\n')), entry);
            assert_eq!(line_of(entry).matches('\n').count(), 1);
        }
    }

    #[test]
    fn prompts_side_by_side_keep_each_others_entries() {
        let folder = tempfile::tempdir().unwrap();
        let threads: Vec<_> = (0..4)
            .map(|thread| {
                let history = History::new(Some(folder.path()));
                std::thread::spawn(move || (0..300).for_each(|at| history.add(&format!("{thread} + {at}"))))
            })
            .collect();
        threads.into_iter().for_each(|thread| thread.join().unwrap());
        let remembered = History::new(Some(folder.path())).remembered();
        assert_eq!(remembered.len(), 1_200);
        let of_first = remembered.iter().filter(|entry| entry.starts_with("0 + ")).count();
        assert_eq!(of_first, 300);
    }

    #[test]
    fn a_long_history_is_cut_to_what_is_remembered() {
        let folder = tempfile::tempdir().unwrap();
        let history = History::new(Some(folder.path()));
        let long: String = (0..9_000).map(|at| format!("{at} {}\n", "1".repeat(300))).collect();
        std::fs::write(folder.path().join("history"), long).unwrap();
        assert_eq!(history.remembered().len(), HISTORY);
        history.add("last");
        let text = std::fs::read_to_string(folder.path().join("history")).unwrap();
        assert_eq!(text.lines().count(), HISTORY + 1);
        assert!(text.starts_with("7000 ") && text.ends_with("\nlast\n"));
    }

    #[test]
    fn a_line_cut_off_by_a_crash_spoils_no_other() {
        let folder = tempfile::tempdir().unwrap();
        std::fs::write(folder.path().join("history"), "1 in\n2 i").unwrap();
        let history = History::new(Some(folder.path()));
        history.add("3 in");
        assert_eq!(history.remembered(), ["1 in", "2 i", "3 in"]);
    }

    #[test]
    fn a_session_that_did_not_end_is_found_once_and_one_that_lives_is_not() {
        let folder = tempfile::tempdir().unwrap();
        let mut living = Journal::new(Some(folder.path()));
        living.add("x = 1 in");
        assert!(Journal::new(Some(folder.path())).left().is_none());
        living.add("y = [x,\n2 in]");
        // A crash: the lock goes, the file stays.
        drop(living);
        let next = Journal::new(Some(folder.path()));
        let left = next.left().unwrap();
        assert_eq!(left.entries, ["x = 1 in", "y = [x,\n2 in]"]);
        assert!(next.left().is_none());
        left.done();
        assert!(Journal::new(Some(folder.path())).left().is_none());
        let mut ended = Journal::new(Some(folder.path()));
        ended.add("1 in");
        ended.end();
        assert!(next.left().is_none());
    }
}
