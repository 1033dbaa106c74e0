//! A warning when two editors have the same job open.
//!
//! A hidden file beside the job says which process has it. It warns and never forbids: a lock that
//! outlived its process must not keep anyone from their work. It is taken away when the editor
//! lets the job go; one whose process has ended is taken over.

use super::atomic_save::beside;
use super::storage::{Disk, Storage};
use std::path::{Path, PathBuf};

/// This editor's claim on a job.
#[derive(Debug)]
pub struct JobLock {
    file: PathBuf,
    is_ours: bool,
    held_by: Option<String>,
}

impl JobLock {
    /// Claims a job. Where the folder cannot be written there is no claim and no warning.
    #[must_use]
    pub fn claim(path: &Path) -> Self {
        let file = beside(path, ".", ".lock");
        let ours = format!("process {} on {}", std::process::id(), machine());
        let mut lock = Self { file, is_ours: false, held_by: None };
        if let Ok(bytes) = Disk.read(&lock.file, 1000) {
            let holder = String::from_utf8_lossy(&bytes).trim().to_owned();
            if is_alive(&holder) {
                lock.held_by = Some(holder);
                return lock;
            }
            let _ = Disk.remove(&lock.file);
        }
        if let Ok(mut file) = Disk.create(&lock.file) {
            lock.is_ours = file.write_all(ours.as_bytes()).and_then(|()| file.flush()).is_ok();
        }
        lock
    }

    /// Who else has the job open, in words such as `process 4711 on shop`.
    #[must_use]
    pub fn held_by(&self) -> Option<&str> {
        self.held_by.as_deref()
    }
}

impl Drop for JobLock {
    fn drop(&mut self) {
        if self.is_ours {
            let _ = Disk.remove(&self.file);
        }
    }
}

/// The machine's name, as far as it can be known without asking a network.
fn machine() -> String {
    let named = std::fs::read_to_string("/etc/hostname")
        .ok()
        .or_else(|| std::env::var("COMPUTERNAME").ok())
        .unwrap_or_default();
    let name = named.trim();
    if name.is_empty() { "this machine".to_owned() } else { name.to_owned() }
}

/// Whether the holder may still be at work: a process of another machine, or a living one here.
fn is_alive(holder: &str) -> bool {
    let Some((process, place)) =
        holder.strip_prefix("process ").and_then(|rest| rest.split_once(" on "))
    else {
        return false;
    };
    if place != machine() {
        return true;
    }
    let processes = Path::new("/proc");
    !processes.is_dir() || processes.join(process).exists()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_second_editor_is_warned_and_a_dead_one_is_not_heeded() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("job.ron");
        let first = JobLock::claim(&path);
        assert_eq!(first.held_by(), None);
        let second = JobLock::claim(&path);
        assert!(second.held_by().is_some_and(|holder| holder.contains("process")));
        drop(second);
        assert!(beside(&path, ".", ".lock").exists(), "the second took nothing away");
        drop(first);
        assert!(!beside(&path, ".", ".lock").exists());
        if Path::new("/proc").is_dir() {
            let dead = format!("process 999999999 on {}", machine());
            std::fs::write(beside(&path, ".", ".lock"), dead).unwrap();
            assert_eq!(JobLock::claim(&path).held_by(), None);
        }
    }
}
