//! Finds and reads the project's Rust files.

use std::fs;
use std::path::{Path, PathBuf};

/// The folder that holds the workspace.
pub fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).parent().expect("core stands in the workspace").to_owned()
}

/// One Rust file.
pub struct Source {
    /// Path from the workspace's folder, with `/` between names.
    pub path: String,
    /// Its text.
    pub text: String,
}

impl Source {
    /// The lines before the file's own tests.
    pub fn code(&self) -> impl Iterator<Item = &str> {
        self.text.lines().take_while(|line| !line.starts_with("#[cfg(test)]"))
    }
}

/// Every Rust file below these folders, sorted by path.
pub fn below(folders: &[&str]) -> Vec<Source> {
    let mut sources = Vec::new();
    for folder in folders {
        collect(&root().join(folder), &mut sources);
    }
    sources.sort_by(|a, b| a.path.cmp(&b.path));
    sources
}

fn collect(folder: &Path, sources: &mut Vec<Source>) {
    let Ok(entries) = fs::read_dir(folder) else { return };
    for entry in entries.flatten() {
        let path = entry.path();
        if path.is_dir() {
            if !path.ends_with("target") {
                collect(&path, sources);
            }
        } else if path.extension().is_some_and(|extension| extension == "rs") {
            let text = fs::read_to_string(&path).expect("a source file is text");
            let path = path.strip_prefix(root()).expect("it lies below the root");
            sources.push(Source { path: path.to_string_lossy().replace('\\', "/"), text });
        }
    }
}
