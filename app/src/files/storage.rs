//! The disk behind a small door, so that tests can let every single act of it fail.
//!
//! Nothing else of the program names `std::fs` for jobs, settings and outputs.

use std::fs;
use std::io::{self, Read as _, Write as _};
use std::path::{Path, PathBuf};
use std::time::SystemTime;

/// What is known of a file without reading it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Stamp {
    /// Its length in bytes.
    pub length: u64,
    /// When it was last written, where the disk says so.
    pub modified: Option<SystemTime>,
    /// It is a folder.
    pub is_folder: bool,
    /// It may not be written.
    pub is_read_only: bool,
}

/// A file that is being written.
pub trait NewFile {
    /// Writes all of `bytes` after what was written before.
    ///
    /// # Errors
    /// When the disk is full, gone or refuses.
    fn write_all(&mut self, bytes: &[u8]) -> io::Result<()>;

    /// Hands everything to the system.
    ///
    /// # Errors
    /// When the disk is full, gone or refuses.
    fn flush(&mut self) -> io::Result<()>;

    /// Waits until everything is on the disk for good.
    ///
    /// # Errors
    /// When the disk is full, gone or refuses.
    fn sync(&mut self) -> io::Result<()>;
}

/// What the program asks of a disk.
pub trait Storage {
    /// The bytes of a file of at most `most` bytes.
    ///
    /// # Errors
    /// When it is not there, is no file, is larger, or cannot be read.
    fn read(&self, path: &Path, most: u64) -> io::Result<Vec<u8>>;

    /// Makes a file that was not there.
    ///
    /// # Errors
    /// When it is there already or the folder refuses.
    fn create(&self, path: &Path) -> io::Result<Box<dyn NewFile>>;

    /// Puts `from` in the place of `to` in one act.
    ///
    /// # Errors
    /// When the disk refuses; then both are as before.
    fn rename(&self, from: &Path, to: &Path) -> io::Result<()>;

    /// Removes a file.
    ///
    /// # Errors
    /// When it is not there or the folder refuses.
    fn remove(&self, path: &Path) -> io::Result<()>;

    /// Waits until the names in a folder are on the disk for good.
    ///
    /// # Errors
    /// When the disk refuses.
    fn sync_folder(&self, folder: &Path) -> io::Result<()>;

    /// What is known of a file or folder.
    ///
    /// # Errors
    /// When it is not there or cannot be asked.
    fn stamp(&self, path: &Path) -> io::Result<Stamp>;

    /// The file that a path stands for: where a link leads, else the path itself.
    fn resolve(&self, path: &Path) -> PathBuf;

    /// Gives a file the rights of another one.
    ///
    /// # Errors
    /// When the disk refuses.
    fn copy_rights(&self, from: &Path, to: &Path) -> io::Result<()>;

    /// The files in a folder, sorted by name.
    ///
    /// # Errors
    /// When it is no folder or cannot be read.
    fn list(&self, folder: &Path) -> io::Result<Vec<PathBuf>>;

    /// Makes a folder and those above it where they are missing.
    ///
    /// # Errors
    /// When the disk refuses.
    fn make_folder(&self, folder: &Path) -> io::Result<()>;
}

/// The disk of the machine.
#[derive(Clone, Copy, Debug, Default)]
pub struct Disk;

struct DiskFile(fs::File);

impl NewFile for DiskFile {
    fn write_all(&mut self, bytes: &[u8]) -> io::Result<()> {
        self.0.write_all(bytes)
    }

    fn flush(&mut self) -> io::Result<()> {
        self.0.flush()
    }

    fn sync(&mut self) -> io::Result<()> {
        self.0.sync_all()
    }
}

impl Storage for Disk {
    fn read(&self, path: &Path, most: u64) -> io::Result<Vec<u8>> {
        let file = fs::File::open(path)?;
        if file.metadata()?.is_dir() {
            return Err(io::Error::from(io::ErrorKind::IsADirectory));
        }
        // A pipe or a file that grows has no length to trust: read one byte more than allowed.
        let mut bytes = Vec::new();
        file.take(most.saturating_add(1)).read_to_end(&mut bytes)?;
        if bytes.len() as u64 > most {
            return Err(io::Error::from(io::ErrorKind::FileTooLarge));
        }
        Ok(bytes)
    }

    fn create(&self, path: &Path) -> io::Result<Box<dyn NewFile>> {
        let file = fs::OpenOptions::new().write(true).create_new(true).open(path)?;
        Ok(Box::new(DiskFile(file)))
    }

    fn rename(&self, from: &Path, to: &Path) -> io::Result<()> {
        fs::rename(from, to)
    }

    fn remove(&self, path: &Path) -> io::Result<()> {
        fs::remove_file(path)
    }

    fn sync_folder(&self, folder: &Path) -> io::Result<()> {
        // Only Unix can open a folder to sync it; elsewhere the rename itself is durable enough.
        if cfg!(unix) { fs::File::open(folder)?.sync_all() } else { Ok(()) }
    }

    fn stamp(&self, path: &Path) -> io::Result<Stamp> {
        let facts = fs::metadata(path)?;
        Ok(Stamp {
            length: facts.len(),
            modified: facts.modified().ok(),
            is_folder: facts.is_dir(),
            is_read_only: facts.permissions().readonly(),
        })
    }

    fn resolve(&self, path: &Path) -> PathBuf {
        // A rename would put a file in the place of the link and leave what it names behind.
        if path.is_symlink() {
            fs::canonicalize(path).unwrap_or_else(|_| path.to_owned())
        } else {
            path.to_owned()
        }
    }

    fn copy_rights(&self, from: &Path, to: &Path) -> io::Result<()> {
        fs::set_permissions(to, fs::metadata(from)?.permissions())
    }

    fn list(&self, folder: &Path) -> io::Result<Vec<PathBuf>> {
        let mut paths: Vec<PathBuf> = fs::read_dir(folder)?
            .map(|entry| entry.map(|entry| entry.path()))
            .collect::<Result<_, _>>()?;
        paths.sort();
        Ok(paths)
    }

    fn make_folder(&self, folder: &Path) -> io::Result<()> {
        fs::create_dir_all(folder)
    }
}
