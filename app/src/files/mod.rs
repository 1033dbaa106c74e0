//! Everything that touches the disk: jobs, their copies and recovery, settings, outputs.
//!
//! All of it goes through [`Storage`], so that a test can let every act fail or the program end in
//! the middle of it. What is promised: after a save, whether it succeeded, failed or was cut off,
//! the job's file is the old one or the new one, whole.

mod atomic_save;
mod autosave;
mod error;
mod job_files;
mod lock;
mod pdf_pages;
mod plan_picture;
mod settings;
mod storage;
mod watch;

pub use atomic_save::{Backup, backup_path, save};
pub use autosave::{Recovery, Unsaved};
pub use error::FileError;
pub use job_files::{open_job, read_text, save_job};
pub use lock::JobLock;
pub use pdf_pages::{LARGEST_PDF, MOST_PAGES, PdfPages};
pub use plan_picture::{
    PlanImage, SHOWN_SIDE, draw_thumbnails, is_there, places_of, read_plan_picture, rebased_path,
    stored_path, to_keep_in_job,
};
pub use settings::{MOST_RECENT, Settings, settings_path};
pub use storage::{Disk, NewFile, Stamp, Storage};
pub use watch::{Change, Seen};
