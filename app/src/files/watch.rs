//! Whether a file was changed by someone else since it was read or saved.
//!
//! Length and time are looked at first, which is cheap enough for every second; only when they
//! differ are the bytes read, so that a mere touch is no change.

use super::storage::{Stamp, Storage};
use std::io;
use std::path::Path;

/// What a file was like when it was last read or saved.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Seen {
    stamp: Option<Stamp>,
    fingerprint: u64,
}

/// How a file stands against what was last seen of it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Change {
    /// It is as it was.
    None,
    /// It holds something else.
    Changed,
    /// It is gone, or its drive is.
    Gone,
}

impl Seen {
    /// What the file is like now, holding `bytes`.
    #[must_use]
    pub fn of(storage: &dyn Storage, path: &Path, bytes: &[u8]) -> Self {
        Self { stamp: storage.stamp(path).ok(), fingerprint: fingerprint(bytes) }
    }

    /// How the file stands now.
    pub fn change(&mut self, storage: &dyn Storage, path: &Path) -> Change {
        let now = match storage.stamp(path) {
            Ok(now) => now,
            Err(error) if error.kind() == io::ErrorKind::NotFound => return Change::Gone,
            Err(_) => return Change::Gone,
        };
        if self.stamp == Some(now) {
            return Change::None;
        }
        match storage.read(path, super::atomic_save::LARGEST_FILE) {
            Ok(bytes) if fingerprint(&bytes) == self.fingerprint => {
                self.stamp = Some(now);
                Change::None
            }
            Ok(_) => Change::Changed,
            Err(_) => Change::Gone,
        }
    }
}

/// A number that differs when the bytes do, all but surely: 64-bit FNV-1a, which is no guard
/// against malice and need not be.
pub(super) fn fingerprint(bytes: &[u8]) -> u64 {
    bytes.iter().fold(0xcbf2_9ce4_8422_2325, |hash, &byte| {
        (hash ^ u64::from(byte)).wrapping_mul(0x0100_0000_01b3)
    })
}

#[cfg(test)]
mod tests {
    use super::super::storage::Disk;
    use super::*;

    #[test]
    fn a_touch_is_no_change_and_other_bytes_are() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("job.ron");
        std::fs::write(&path, "one").unwrap();
        let mut seen = Seen::of(&Disk, &path, b"one");
        assert_eq!(seen.change(&Disk, &path), Change::None);
        let later = std::time::SystemTime::now() + std::time::Duration::from_secs(10);
        let file = std::fs::File::options().append(true).open(&path).unwrap();
        file.set_modified(later).unwrap();
        assert_eq!(seen.change(&Disk, &path), Change::None);
        std::fs::write(&path, "two").unwrap();
        assert_eq!(seen.change(&Disk, &path), Change::Changed);
        std::fs::remove_file(&path).unwrap();
        assert_eq!(seen.change(&Disk, &path), Change::Gone);
    }
}
