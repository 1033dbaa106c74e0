//! Saving so that at every moment the old file or the new one is there, whole.
//!
//! The bytes go to a new file in the same folder, are synced, read back and compared; then the
//! version before is kept as a copy beside it (`JOB.ron.bak`, written the same way); then one
//! rename puts the new file in place, and the folder is synced. Whatever fails before the rename
//! leaves the old file as it was, and the new file that was begun is taken away again.

use super::error::FileError;
use super::storage::Storage;
use std::io;
use std::path::{Path, PathBuf};

/// The largest file that is written or kept a copy of, in bytes.
pub const LARGEST_FILE: u64 = 1 << 30;
/// Bytes are handed over in pieces of this size.
const PIECE: usize = 64 * 1024;

/// Whether the version before is kept.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Backup {
    /// As `NAME.bak` beside the file.
    Keep,
    /// Not at all: it can be made again.
    None,
}

/// The name of the copy of the version before.
#[must_use]
pub fn backup_path(path: &Path) -> PathBuf {
    beside(path, "", ".bak")
}

/// Puts `bytes` in the place of the file at `path`.
///
/// # Errors
/// [`FileError::CannotWrite`]; then the file is as it was before.
pub fn save(
    storage: &dyn Storage,
    path: &Path,
    bytes: &[u8],
    backup: Backup,
) -> Result<(), FileError> {
    let path = &storage.resolve(path);
    let refuse = |error: io::Error| FileError::CannotWrite(path.clone(), error);
    let is_there = allow(storage, path).map_err(refuse)?;
    if is_there && backup == Backup::Keep {
        let old = storage.read(path, LARGEST_FILE).map_err(refuse)?;
        // The same bytes again would put the copy of the version before out of reach.
        if old != bytes {
            replace(storage, &backup_path(path), &old, None).map_err(refuse)?;
        }
    }
    replace(storage, path, bytes, is_there.then_some(path)).map_err(refuse)
}

/// Whether the file is there; an error when it or its folder may not be written.
fn allow(storage: &dyn Storage, path: &Path) -> io::Result<bool> {
    let folder = folder_of(path);
    if storage.stamp(folder)?.is_read_only {
        return Err(io::Error::new(
            io::ErrorKind::ReadOnlyFilesystem,
            format!("the folder {} is read-only", folder.display()),
        ));
    }
    match storage.stamp(path) {
        Ok(stamp) if stamp.is_folder => Err(io::Error::from(io::ErrorKind::IsADirectory)),
        Ok(stamp) if stamp.is_read_only => Err(io::Error::from(io::ErrorKind::ReadOnlyFilesystem)),
        Ok(_) => Ok(true),
        Err(error) if error.kind() == io::ErrorKind::NotFound => Ok(false),
        Err(error) => Err(error),
    }
}

/// Writes a new file beside `path`, checks it, and renames it into place.
fn replace(
    storage: &dyn Storage,
    path: &Path,
    bytes: &[u8],
    rights_of: Option<&Path>,
) -> io::Result<()> {
    let (begun, file) = begin(storage, path)?;
    let result = fill(storage, &begun, file, bytes).and_then(|()| {
        if let Some(old) = rights_of {
            storage.copy_rights(old, &begun)?;
        }
        storage.rename(&begun, path)
    });
    if result.is_err() {
        // What was begun is no use to anyone; when even that fails it stays as a hidden file.
        let _ = storage.remove(&begun);
        return result;
    }
    // The new file is in place. A folder that cannot be synced only delays when that is for good.
    let _ = storage.sync_folder(folder_of(path));
    Ok(())
}

/// A new file in the same folder, by a name that nobody has.
fn begin(
    storage: &dyn Storage,
    path: &Path,
) -> io::Result<(PathBuf, Box<dyn super::storage::NewFile>)> {
    let process = std::process::id();
    let mut last = io::Error::from(io::ErrorKind::AlreadyExists);
    for attempt in 0..100 {
        let begun = beside(path, ".", &format!(".{process}-{attempt}.tmp"));
        match storage.create(&begun) {
            Ok(file) => return Ok((begun, file)),
            Err(error) if error.kind() == io::ErrorKind::AlreadyExists => last = error,
            Err(error) => {
                // A disk may make the name and then report that it could not.
                let _ = storage.remove(&begun);
                return Err(error);
            }
        }
    }
    Err(last)
}

fn fill(
    storage: &dyn Storage,
    begun: &Path,
    mut file: Box<dyn super::storage::NewFile>,
    bytes: &[u8],
) -> io::Result<()> {
    for piece in bytes.chunks(PIECE) {
        file.write_all(piece)?;
    }
    file.flush()?;
    file.sync()?;
    drop(file);
    if storage.read(begun, LARGEST_FILE)? == bytes {
        Ok(())
    } else {
        Err(io::Error::other("what was written reads back differently; the disk may be failing"))
    }
}

/// The folder that holds a file.
pub(super) fn folder_of(path: &Path) -> &Path {
    match path.parent() {
        Some(folder) if !folder.as_os_str().is_empty() => folder,
        _ => Path::new("."),
    }
}

/// A path in the same folder with something before and after the file's name.
pub(super) fn beside(path: &Path, before: &str, after: &str) -> PathBuf {
    let mut name = std::ffi::OsString::from(before);
    name.push(path.file_name().unwrap_or_default());
    name.push(after);
    path.with_file_name(name)
}

#[cfg(test)]
mod tests {
    use super::super::storage::Disk;
    use super::*;

    #[test]
    fn the_version_before_is_kept_and_nothing_else_is_left() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("job.ron");
        save(&Disk, &path, b"one", Backup::Keep).unwrap();
        assert!(!backup_path(&path).exists());
        save(&Disk, &path, b"two", Backup::Keep).unwrap();
        save(&Disk, &path, b"two", Backup::Keep).unwrap();
        assert_eq!(std::fs::read(&path).unwrap(), b"two");
        assert_eq!(std::fs::read(backup_path(&path)).unwrap(), b"one");
        assert_eq!(Disk.list(folder.path()).unwrap(), [path.clone(), backup_path(&path)]);
    }

    #[test]
    fn a_folder_a_read_only_file_and_a_missing_folder_are_refused() {
        let folder = tempfile::tempdir().unwrap();
        let refused =
            |path: &Path| save(&Disk, path, b"new", Backup::Keep).unwrap_err().to_string();
        assert!(refused(folder.path()).contains("folder"));
        assert!(refused(&folder.path().join("no/job.ron")).contains("not there"));
        let path = folder.path().join("job.ron");
        std::fs::write(&path, "old").unwrap();
        let mut rights = std::fs::metadata(&path).unwrap().permissions();
        rights.set_readonly(true);
        std::fs::set_permissions(&path, rights).unwrap();
        assert!(refused(&path).contains("read-only"));
        assert_eq!(std::fs::read(&path).unwrap(), b"old");
    }
}
