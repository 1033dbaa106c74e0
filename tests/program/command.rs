//! The program as a person calls it, and a folder to call it in.

use std::path::{Path, PathBuf};
use std::process::{Command, Output, Stdio};

/// What one call gave.
#[derive(Debug)]
pub struct Called {
    /// The exit code; `None` when a signal ended it.
    pub exit: Option<i32>,
    /// What it wrote for its reader.
    pub out: String,
    /// What it complained of.
    pub err: String,
}

impl Called {
    /// A call that was done without a word of complaint.
    #[track_caller]
    pub fn done(self) -> String {
        assert_eq!((self.exit, self.err.as_str()), (Some(0), ""), "{}", self.out);
        self.out
    }

    /// A call that was refused with this exit code, one message, and nothing on the output.
    #[track_caller]
    pub fn refused(self, exit: i32) -> String {
        assert_eq!(self.exit, Some(exit), "{self:?}");
        assert_eq!(self.out, "");
        assert_eq!(self.err.lines().count(), 1, "one message: {}", self.err);
        assert!(self.err.starts_with("slabloom: "), "{}", self.err);
        assert!(!self.err.contains("panicked"), "{}", self.err);
        self.err
    }
}

/// Calls the program.
pub fn slabloom<Argument: AsRef<std::ffi::OsStr>>(arguments: &[Argument]) -> Called {
    let Output { status, stdout, stderr } = Command::new(env!("CARGO_BIN_EXE_slabloom"))
        .args(arguments)
        .stdin(Stdio::null())
        .output()
        .expect("the program starts");
    let text = |bytes: Vec<u8>| String::from_utf8(bytes).expect("the program writes text");
    Called { exit: status.code(), out: text(stdout), err: text(stderr) }
}

/// The repository's root.
pub fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).parent().expect("app stands in the root").to_owned()
}

/// The three sample jobs.
pub fn samples() -> [PathBuf; 3] {
    ["house", "workshop", "studio"].map(|name| root().join("samples").join(format!("{name}.ron")))
}

/// A folder that is gone after the test.
pub struct Folder(tempfile::TempDir);

impl Folder {
    pub fn new() -> Self {
        Self(tempfile::tempdir().expect("a folder can be made"))
    }

    pub fn path(&self, name: &str) -> PathBuf {
        self.0.path().join(name)
    }

    /// A file with this in it.
    pub fn file(&self, name: &str, bytes: impl AsRef<[u8]>) -> PathBuf {
        let path = self.path(name);
        std::fs::write(&path, bytes).expect("a file can be written");
        path
    }

    /// The names of all files in it.
    pub fn names(&self) -> Vec<String> {
        let mut names: Vec<String> = std::fs::read_dir(self.0.path())
            .expect("the folder is there")
            .map(|entry| {
                entry.expect("it can be listed").file_name().to_string_lossy().into_owned()
            })
            .collect();
        names.sort();
        names
    }
}
