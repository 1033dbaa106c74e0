//! `slabloom [JOB.ron]`: the window, or one sentence that says why there is none.
//!
//! The toolkit loads its system libraries while it runs. Where one is missing it may end the
//! program instead of saying so, therefore they are looked for first, by name in the folders where
//! a loader finds them; where the folders are unknown to us nothing is said and the toolkit tries.

use super::failure::{Exit, Failure};
use std::path::{Path, PathBuf};

/// A library that the window needs, and the Debian package that brings it.
type Library = (&'static str, &'static str);

/// Needed for any window: keyboard layouts and drawing.
const EITHER: [Library; 2] = [("libxkbcommon.so.0", "libxkbcommon0"), ("libEGL.so.1", "libegl1")];
/// Needed under X11.
const X11: [Library; 5] = [
    ("libX11.so.6", "libx11-6"),
    ("libX11-xcb.so.1", "libx11-xcb1"),
    ("libXcursor.so.1", "libxcursor1"),
    ("libXi.so.6", "libxi6"),
    ("libxkbcommon-x11.so.0", "libxkbcommon-x11-0"),
];
/// Needed under Wayland.
const WAYLAND: [Library; 2] =
    [("libwayland-client.so.0", "libwayland-client0"), ("libwayland-egl.so.1", "libwayland-egl1")];

/// What the sentence about a missing window ends with.
const WITHOUT: &str = "The headless commands need no window: see slabloom --help";

pub(super) fn run(job: Option<&Path>) -> Result<Exit, Failure> {
    if let Some(job) = job {
        // Read it here too, so that a wrong job is told before a missing display.
        crate::files::open_job(&crate::files::Disk, job)?;
    }
    if cfg!(target_os = "linux") {
        let is_set = |name| std::env::var_os(name).is_some_and(|value| !value.is_empty());
        let needed =
            needed(is_set("WAYLAND_DISPLAY"), is_set("DISPLAY")).map_err(Failure::bad_input)?;
        let missing = missing(&needed, &library_folders());
        if !missing.is_empty() {
            return Err(Failure::bad_input(lacking(&missing)));
        }
    }
    crate::editor::run(job.map(Path::to_owned)).map_err(Failure::bad_input)?;
    Ok(Exit::Done)
}

/// The libraries that a window needs on these displays.
fn needed(has_wayland: bool, has_x11: bool) -> Result<Vec<Library>, String> {
    let display: &[Library] = match (has_wayland, has_x11) {
        (false, false) => {
            return Err(format!(
                "There is no display (neither DISPLAY nor WAYLAND_DISPLAY is set). {WITHOUT}"
            ));
        }
        (true, _) => &WAYLAND,
        (false, true) => &X11,
    };
    Ok(EITHER.iter().chain(display).copied().collect())
}

/// Those of the libraries that stand in none of the folders; none when no folder is known.
fn missing(needed: &[Library], folders: &[PathBuf]) -> Vec<Library> {
    if folders.is_empty() {
        return Vec::new();
    }
    let is_there = |name: &str| folders.iter().any(|folder| folder.join(name).exists());
    needed.iter().copied().filter(|(name, _)| !is_there(name)).collect()
}

fn lacking(missing: &[Library]) -> String {
    let names: Vec<&str> = missing.iter().map(|&(name, _)| name).collect();
    let packages: Vec<&str> = missing.iter().map(|&(_, package)| package).collect();
    format!(
        "The window needs {}, which this machine lacks. On Debian: apt-get install {}. {WITHOUT}",
        names.join(", "),
        packages.join(" ")
    )
}

/// The folders where the loader of a usual Linux finds libraries; empty on an unusual one.
fn library_folders() -> Vec<PathBuf> {
    let usual = ["/lib", "/usr/lib", "/usr/local/lib", "/lib64", "/usr/lib64"];
    let mut folders: Vec<PathBuf> = usual.iter().map(PathBuf::from).collect();
    for parent in ["/lib", "/usr/lib"] {
        // Debian's folders for an architecture, such as /usr/lib/x86_64-linux-gnu.
        let inside = std::fs::read_dir(parent).into_iter().flatten().flatten();
        folders.extend(
            inside
                .map(|entry| entry.path())
                .filter(|path| path.to_string_lossy().contains("-linux-")),
        );
    }
    if let Some(named) = std::env::var_os("LD_LIBRARY_PATH") {
        folders.extend(std::env::split_paths(&named));
    }
    // Where not even the C library stands in them, libraries are kept elsewhere.
    let is_usual = folders.iter().any(|folder| folder.join("libc.so.6").exists());
    if is_usual { folders } else { Vec::new() }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn without_a_display_the_headless_commands_are_named() {
        let said = needed(false, false).unwrap_err();
        assert!(said.contains("no display") && said.contains("slabloom --help"));
        assert!(needed(true, true).unwrap().contains(&WAYLAND[0]));
        assert!(needed(false, true).unwrap().contains(&X11[4]));
    }

    #[test]
    fn a_missing_library_is_named_with_its_package() {
        let folder = tempfile::tempdir().unwrap();
        let all = needed(false, true).unwrap();
        for (name, _) in &all {
            std::fs::write(folder.path().join(name), "").unwrap();
        }
        let folders = [folder.path().to_owned()];
        assert!(missing(&all, &folders).is_empty());
        std::fs::remove_file(folder.path().join("libxkbcommon-x11.so.0")).unwrap();
        let said = lacking(&missing(&all, &folders));
        assert!(
            said.contains("libxkbcommon-x11.so.0") && said.contains("install libxkbcommon-x11-0.")
        );
        assert!(missing(&all, &[]).is_empty(), "an unusual system is left to the toolkit");
    }
}
