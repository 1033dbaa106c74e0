//! What the program remembers of a user: recent jobs, and how the window was left.
//!
//! Settings are a convenience: a file that is broken, or of a newer program, gives the defaults
//! with a note and is never in the way.

use super::atomic_save::{Backup, save};
use super::error::FileError;
use super::job_files::read_text;
use super::storage::Storage;
use serde::{Deserialize, Serialize};
use std::path::{Path, PathBuf};

/// How many recent jobs are remembered.
pub const MOST_RECENT: usize = 12;

/// What is remembered.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(default)]
pub struct Settings {
    /// Jobs opened or saved, the newest first.
    pub recent: Vec<PathBuf>,
    /// The window's size in points.
    pub window: Option<(f32, f32)>,
    /// Size of everything, 1 for the usual.
    pub zoom: Option<f32>,
    /// Dark colours instead of light ones; the system's choice when absent.
    pub is_dark: Option<bool>,
    /// The look by its name in the settings; it wins over `is_dark`.
    pub theme: Option<String>,
    /// Size of text on the plan, 1 for the usual.
    pub plan_text: Option<f32>,
    /// Layers of the canvas that are switched off, by name.
    pub hidden_layers: Vec<String>,
}

impl Settings {
    /// The settings of a text; with a note when they are not what it says.
    #[must_use]
    pub fn from_text(text: &str) -> (Self, Option<String>) {
        let options = ron::Options::default()
            .with_default_extension(ron::extensions::Extensions::IMPLICIT_SOME);
        match options.from_str::<Self>(text) {
            Ok(read) => (read.sound(), None),
            Err(error) => (
                Self::default(),
                Some(format!("The settings could not be read ({error}); the usual ones are used")),
            ),
        }
    }

    /// The same with numbers that no window can have left out.
    fn sound(mut self) -> Self {
        let is_size = |size: f32| size.is_finite() && (100.0..=20_000.0).contains(&size);
        self.window = self.window.filter(|&(width, height)| is_size(width) && is_size(height));
        self.zoom = self.zoom.filter(|zoom| zoom.is_finite() && (0.25..=5.0).contains(zoom));
        self.plan_text =
            self.plan_text.filter(|size| size.is_finite() && (0.25..=5.0).contains(size));
        self.recent.truncate(MOST_RECENT);
        self.hidden_layers.truncate(100);
        self
    }

    /// The settings as text.
    #[must_use]
    pub fn to_text(&self) -> String {
        let layout = ron::ser::PrettyConfig::new().new_line("\n");
        let options = ron::Options::default()
            .with_default_extension(ron::extensions::Extensions::IMPLICIT_SOME);
        options.to_string_pretty(self, layout).unwrap_or_default() + "\n"
    }

    /// The settings of the user; the usual ones where there are none.
    #[must_use]
    pub fn load(storage: &dyn Storage, path: &Path) -> (Self, Option<String>) {
        match read_text(storage, path) {
            Ok(text) => Self::from_text(&text),
            Err(FileError::CannotRead(_, error))
                if error.kind() == std::io::ErrorKind::NotFound =>
            {
                (Self::default(), None)
            }
            Err(error) => (Self::default(), Some(error.to_string())),
        }
    }

    /// Saves the settings.
    ///
    /// # Errors
    /// When they cannot be written.
    pub fn save(&self, storage: &dyn Storage, path: &Path) -> Result<(), FileError> {
        if let Some(folder) = path.parent() {
            storage
                .make_folder(folder)
                .map_err(|error| FileError::CannotWrite(folder.to_owned(), error))?;
        }
        save(storage, path, self.to_text().as_bytes(), Backup::None)
    }

    /// Puts a job at the top of the recent ones.
    pub fn note_recent(&mut self, path: &Path) {
        let whole = std::path::absolute(path).unwrap_or_else(|_| path.to_owned());
        self.recent.retain(|recent| *recent != whole);
        self.recent.insert(0, whole);
        self.recent.truncate(MOST_RECENT);
    }
}

/// The folders that the system gives the program; `None` where it names none.
#[must_use]
pub fn folders() -> Option<directories::ProjectDirs> {
    directories::ProjectDirs::from("", "", "slabloom")
}

/// Where the settings of the user stand; `None` where the system names no place for such.
#[must_use]
pub fn settings_path() -> Option<PathBuf> {
    folders().map(|folders| folders.config_dir().join("settings.ron"))
}

#[cfg(test)]
mod tests {
    use super::super::storage::Disk;
    use super::*;

    #[test]
    fn settings_are_kept_and_broken_ones_are_not_in_the_way() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("new/settings.ron");
        assert_eq!(Settings::load(&Disk, &path), (Settings::default(), None));
        let mut settings = Settings { window: Some((1280.0, 800.0)), ..Settings::default() };
        for number in 0..20 {
            settings.note_recent(Path::new(&format!("/jobs/{number}.ron")));
        }
        settings.note_recent(Path::new("/jobs/15.ron"));
        assert_eq!(settings.recent.len(), MOST_RECENT);
        assert_eq!(settings.recent[0], Path::new("/jobs/15.ron"));
        settings.save(&Disk, &path).unwrap();
        assert_eq!(Settings::load(&Disk, &path), (settings, None));
        std::fs::write(&path, "(recent: [").unwrap();
        let (usual, note) = Settings::load(&Disk, &path);
        assert!(usual == Settings::default() && note.is_some());
        let (read, note) = Settings::from_text("(zoom: NaN, window: (1e30, 5.0), of_later: 3)");
        assert_eq!((read, note), (Settings::default(), None));
    }
}
