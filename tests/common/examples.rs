//! The recipes that come with the program.

use std::fs;
use std::path::{Path, PathBuf};

/// Their paths, in alphabetical order.
pub fn examples() -> Vec<PathBuf> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("examples");
    let mut paths: Vec<PathBuf> = fs::read_dir(folder).unwrap().flatten().map(|entry| entry.path()).collect();
    paths.retain(|path| path.extension().is_some_and(|kind| kind == "scant"));
    paths.sort();
    paths
}
