//! Files: recipes and tables read, results written whole or not at all.

use std::fs::File;
use std::io::{self, BufWriter, Read, Write};
use std::path::{Path, PathBuf};

use crate::prompt::World;
use crate::recipe::used::Host;

/// The longest recipe that is read.
const LONGEST: u64 = 64 << 20;

/// Reads a text file, or tells in words why it cannot.
pub fn read_text(path: &Path) -> Result<String, String> {
    let mut bytes = Vec::new();
    let file = open(path)?;
    file.take(LONGEST + 1).read_to_end(&mut bytes).map_err(|error| why(&error))?;
    if bytes.len() as u64 > LONGEST {
        return Err(format!("it is longer than {} MB", LONGEST >> 20));
    }
    String::from_utf8(bytes).map_err(|error| {
        let valid = error.utf8_error().valid_up_to();
        let line =
            error.as_bytes().get(..valid).unwrap_or(&[]).iter().filter(|byte| **byte == b'\n').count() + 1;
        format!("it is not UTF-8 text (line {line}); save it as UTF-8")
    })
}

/// Opens a file for reading; a folder is told as one.
pub fn open(path: &Path) -> Result<File, String> {
    let file = File::open(path).map_err(|error| why(&error))?;
    match file.metadata() {
        Ok(metadata) if metadata.is_dir() => Err("it is a folder".into()),
        _ => Ok(file),
    }
}

/// Why a file cannot be had, in words.
pub fn why(error: &io::Error) -> String {
    match error.kind() {
        io::ErrorKind::NotFound => "there is no such file".into(),
        io::ErrorKind::PermissionDenied => "there is no permission to read or write it".into(),
        io::ErrorKind::IsADirectory => "it is a folder".into(),
        _ => error.to_string(),
    }
}

/// A file that takes the place of `path` when it is whole, and leaves it untouched otherwise.
pub struct Whole {
    path: PathBuf,
    beside: PathBuf,
    file: Option<BufWriter<File>>,
}

impl Whole {
    /// Opens a file beside `path` to be written.
    pub fn create(path: &Path) -> Result<Whole, String> {
        if path.is_dir() {
            return Err("it is a folder".into());
        }
        let name = path.file_name().ok_or("it has no name")?.to_string_lossy().into_owned();
        let beside = path.with_file_name(format!(".{name}.{}.part", std::process::id()));
        let file = File::create(&beside).map_err(|error| match error.kind() {
            io::ErrorKind::NotFound => "there is no such folder".into(),
            _ => why(&error),
        })?;
        Ok(Whole { path: path.to_owned(), beside, file: Some(BufWriter::new(file)) })
    }

    /// Puts the file in its place.
    pub fn finish(mut self) -> Result<(), String> {
        let Some(writer) = self.file.take() else { return Ok(()) };
        let done = writer
            .into_inner()
            .map_err(|error| error.into_error())
            .and_then(|file| file.sync_all())
            .and_then(|()| std::fs::rename(&self.beside, &self.path));
        done.map_err(|error| {
            let _ = std::fs::remove_file(&self.beside);
            why(&error)
        })
    }
}

impl Write for Whole {
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        match &mut self.file {
            Some(file) => file.write(bytes),
            None => Ok(0),
        }
    }

    fn flush(&mut self) -> io::Result<()> {
        self.file.as_mut().map_or(Ok(()), Write::flush)
    }
}

impl Drop for Whole {
    fn drop(&mut self) {
        if self.file.take().is_some() {
            let _ = std::fs::remove_file(&self.beside);
        }
    }
}

/// Writes a text file whole or not at all.
pub fn write_text(path: &Path, text: &[u8]) -> Result<(), String> {
    let mut file = Whole::create(path)?;
    file.write_all(text).map_err(|error| why(&error))?;
    file.finish()
}

/// The files beside a script.
pub struct Beside {
    folder: PathBuf,
}

impl Beside {
    /// The files in `folder` and below.
    pub fn new(folder: &Path) -> Beside {
        Beside { folder: folder.to_owned() }
    }

    /// The files beside this script.
    pub fn script(script: &Path) -> Beside {
        let folder = script.parent().filter(|folder| !folder.as_os_str().is_empty());
        Beside::new(folder.unwrap_or(Path::new(".")))
    }
}

impl Host for Beside {
    fn beside(&self, path: &str) -> Result<String, String> {
        let whole = self.folder.join(path);
        // A link must not lead out of the folder either.
        let real = whole.canonicalize().map_err(|error| why(&error))?;
        let folder = self.folder.canonicalize().map_err(|error| why(&error))?;
        if !real.starts_with(&folder) {
            return Err("it is outside the script's folder".into());
        }
        read_text(&real)
    }
}

impl World for Beside {
    fn load(&self, path: &str) -> Result<String, String> {
        read_text(Path::new(path))
    }

    fn save(&self, path: &str, text: &str) -> Result<(), String> {
        write_text(Path::new(path), text.as_bytes())
    }
}

/// Where the prompt's history lives, if the system has a place for it.
pub fn history() -> Option<PathBuf> {
    use etcetera::BaseStrategy;
    let strategy = etcetera::choose_base_strategy().ok()?;
    let folder = strategy.state_dir().unwrap_or_else(|| strategy.data_dir()).join("scant");
    std::fs::create_dir_all(&folder).ok()?;
    Some(folder.join("history"))
}
