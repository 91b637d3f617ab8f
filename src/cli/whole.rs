//! Files that are written: whole or not at all, and never in the place of what is no ordinary file.

use std::fs::{self, File, Metadata, OpenOptions};
use std::io::{self, BufWriter, Write};
use std::path::{Path, PathBuf};
use std::sync::Mutex;

use tempfile::NamedTempFile;

/// The unfinished files of this process, for [`remove_parts`].
static PARTS: Mutex<Vec<PathBuf>> = Mutex::new(Vec::new());

/// Takes away what is unfinished, as the last act of a process that a signal ends: nothing new can be
/// begun afterwards.
pub fn remove_parts() {
    if let Ok(parts) = PARTS.lock() {
        for part in parts.iter() {
            // It may just have been put in its place.
            let _ = fs::remove_file(part);
        }
        std::mem::forget(parts);
    }
}

/// A file that takes the place of another when it is whole, and leaves that untouched otherwise. What
/// cannot be replaced, a pipe or a device, is written through.
pub struct Whole(Option<Way>);

enum Way {
    Beside { part: BufWriter<NamedTempFile>, target: PathBuf, old: Option<Box<Metadata>> },
    Through(BufWriter<File>),
}

impl Whole {
    /// Opens `path` to be written; it must be none of the files that were read.
    pub fn create(path: &Path, read: &[PathBuf]) -> Result<Whole, String> {
        if path.as_os_str().as_encoded_bytes().ends_with(b"/") {
            return Err("this names a folder".into());
        }
        match fs::metadata(path) {
            Ok(old) if old.is_dir() => Err("it is a folder".into()),
            Ok(old) if old.is_file() => {
                // A link stays a link: the file that it leads to is replaced.
                let target = path.canonicalize().map_err(|error| why(&error))?;
                replaceable(&target, &old, read)?;
                Whole::beside(target, Some(Box::new(old)))
            }
            Ok(_) => {
                let file = OpenOptions::new().write(true).open(path).map_err(|error| why(&error))?;
                Ok(Whole(Some(Way::Through(BufWriter::new(file)))))
            }
            Err(error) if error.kind() == io::ErrorKind::NotFound => {
                if path.symlink_metadata().is_ok() {
                    return Err("it is a link to a file that is not there".into());
                }
                Whole::beside(path.to_owned(), None)
            }
            Err(error) => Err(why(&error)),
        }
    }

    fn beside(target: PathBuf, old: Option<Box<Metadata>>) -> Result<Whole, String> {
        let folder = target.parent().filter(|folder| !folder.as_os_str().is_empty());
        let mut builder = tempfile::Builder::new();
        builder.prefix(".scant-").suffix(".part").rand_bytes(12);
        #[cfg(unix)]
        if old.is_none() {
            use std::os::unix::fs::PermissionsExt;
            // As for any new file, less what the user's mask takes away.
            builder.permissions(fs::Permissions::from_mode(0o666));
        }
        let mut parts = PARTS.lock().map_err(|_| "the program is ending")?;
        let part =
            builder.tempfile_in(folder.unwrap_or(Path::new("."))).map_err(|error| match error.kind() {
                io::ErrorKind::NotFound => "there is no such folder".into(),
                _ => why(&error),
            })?;
        parts.push(part.path().to_owned());
        Ok(Whole(Some(Way::Beside { part: BufWriter::new(part), target, old })))
    }

    /// Puts the file in its place.
    pub fn finish(mut self) -> Result<(), String> {
        let done = match self.0.take() {
            None => Ok(()),
            Some(Way::Through(mut file)) => file.flush(),
            Some(Way::Beside { part, target, old }) => put(part, &target, old.as_deref()),
        };
        done.map_err(|error| why(&error))
    }
}

/// Why a file may not be replaced.
fn replaceable(target: &Path, old: &Metadata, read: &[PathBuf]) -> Result<(), String> {
    if read.iter().any(|read| read == target) {
        return Err("this command reads it; write to another file".into());
    }
    if old.permissions().readonly() {
        return Err("it is read-only; write to another file".into());
    }
    #[cfg(unix)]
    if std::os::unix::fs::MetadataExt::nlink(old) > 1 {
        return Err("the file has a second name (a hard link); write to another file".into());
    }
    Ok(())
}

fn put(part: BufWriter<NamedTempFile>, target: &Path, old: Option<&Metadata>) -> io::Result<()> {
    let part = part.into_inner().map_err(|error| error.into_error())?;
    if let Some(old) = old {
        #[cfg(unix)]
        {
            use std::os::unix::fs::MetadataExt;
            // Only the superuser may give a file away; others own what they write.
            let _ = std::os::unix::fs::fchown(part.as_file(), Some(old.uid()), Some(old.gid()));
        }
        part.as_file().set_permissions(old.permissions())?;
    }
    part.as_file().sync_all()?;
    part.persist(target).map(|_| ()).map_err(|error| error.error)
}

impl Write for Whole {
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        match &mut self.0 {
            Some(Way::Beside { part, .. }) => part.write(bytes),
            Some(Way::Through(file)) => file.write(bytes),
            None => Ok(0),
        }
    }

    fn flush(&mut self) -> io::Result<()> {
        match &mut self.0 {
            Some(Way::Beside { part, .. }) => part.flush(),
            Some(Way::Through(file)) => file.flush(),
            None => Ok(()),
        }
    }
}

/// Writes a text file whole or not at all; it must be none of the files that were read.
pub fn write_whole(path: &Path, text: &[u8], read: &[PathBuf]) -> Result<(), String> {
    let mut file = Whole::create(path, read)?;
    file.write_all(text).map_err(|error| why(&error))?;
    file.finish()
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
