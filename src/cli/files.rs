//! Files that are read: recipes, tables, and what is beside a script.

use std::cell::RefCell;
use std::collections::BTreeSet;
use std::fs::File;
use std::io::Read;
use std::path::{Path, PathBuf};

use super::whole::{self, why};
use crate::limits::RECIPE;
use crate::prompt::World;
use crate::recipe::used::Host;

/// Reads a text file, or says in words why it cannot.
pub fn read_text(path: &Path) -> Result<String, String> {
    text_of(open(path)?)
}

/// Reads a text file that must be an ordinary one: a pipe would be waited for, a device has no end.
fn read_ordinary(path: &Path) -> Result<String, String> {
    let metadata = std::fs::metadata(path).map_err(|error| why(&error))?;
    if !metadata.is_file() && !metadata.is_dir() {
        return Err("it is a pipe or a device, not a file".into());
    }
    read_text(path)
}

fn text_of(file: File) -> Result<String, String> {
    let mut bytes = Vec::new();
    file.take(RECIPE + 1).read_to_end(&mut bytes).map_err(|error| why(&error))?;
    if bytes.len() as u64 > RECIPE {
        return Err(format!("it is longer than {} MiB, the most that a recipe may have", RECIPE >> 20));
    }
    String::from_utf8(bytes).map_err(|error| {
        let valid = error.utf8_error().valid_up_to();
        let line = error
            .as_bytes()
            .get(..valid)
            .unwrap_or(&[])
            .iter()
            .filter(|byte| **byte == b'\n')
            .count()
            .saturating_add(1);
        format!("it is not UTF-8 text (line {line}); save it as UTF-8")
    })
}

/// Opens a file for reading; a folder is reported as one.
pub fn open(path: &Path) -> Result<File, String> {
    let file = File::open(path).map_err(|error| why(&error))?;
    match file.metadata() {
        Ok(metadata) if metadata.is_dir() => Err("it is a folder".into()),
        _ => Ok(file),
    }
}

/// The files beside a script.
pub struct Beside {
    folder: PathBuf,
    /// The files that were read, links followed.
    used: RefCell<Vec<PathBuf>>,
    /// The files that this prompt wrote.
    written: RefCell<BTreeSet<PathBuf>>,
}

impl Beside {
    /// The files in `folder` and below.
    pub fn new(folder: &Path) -> Beside {
        Beside { folder: folder.to_owned(), used: RefCell::default(), written: RefCell::default() }
    }

    /// The files beside this script.
    pub fn script(script: &Path) -> Beside {
        let folder = script.parent().filter(|folder| !folder.as_os_str().is_empty());
        Beside::new(folder.unwrap_or(Path::new(".")))
    }

    /// The files that were used, links followed.
    pub fn used(self) -> Vec<PathBuf> {
        self.used.into_inner()
    }
}

impl Host for Beside {
    fn beside(&self, path: &str) -> Result<String, String> {
        let whole = self.folder.join(path);
        // A link must not lead out of the folder either.
        let real = whole.canonicalize().map_err(|error| why(&error))?;
        let folder = self.folder.canonicalize().map_err(|error| why(&error))?;
        if !real.starts_with(&folder) {
            return Err("it is outside the recipe's folder".into());
        }
        let text = read_ordinary(&real)?;
        self.used.borrow_mut().push(real);
        Ok(text)
    }
}

impl World for Beside {
    fn load(&self, path: &str) -> Result<String, String> {
        read_ordinary(Path::new(path))
    }

    fn save(&self, path: &str, text: &str, again: bool) -> Result<(), String> {
        let file = Path::new(path);
        if let Ok(there) = file.canonicalize()
            && there.is_file()
            && !again
            && !self.written.borrow().contains(&there)
        {
            return Err(format!("`{path}` is there already; `save {path} again` replaces all of it"));
        }
        whole::write_whole(file, text.as_bytes(), &[])?;
        self.written.borrow_mut().extend(file.canonicalize());
        Ok(())
    }
}

/// The folder in which the prompt keeps its history and its sessions, if the system has a place for it.
pub fn state() -> Option<PathBuf> {
    use etcetera::BaseStrategy;
    let strategy = etcetera::choose_base_strategy().ok()?;
    let folder = strategy.state_dir().unwrap_or_else(|| strategy.data_dir()).join("scant");
    std::fs::create_dir_all(&folder).ok()?;
    Some(folder)
}
