//! Makes the pictures in `screenshots/` from the samples: `cargo run --example screenshots`.
//!
//! Arguments: a folder (default `screenshots`), and words that the names of pictures must hold.

use slabloom::editor::file_door::{DiskDoor, FileDoor};
use slabloom::editor::picture::{PictureOptions, render};
use slabloom::editor::stages::Stage;
use slabloom::editor::theme::ThemeChoice;
use std::path::Path;

/// One picture: its name, its job, what it shows.
struct Shot {
    name: String,
    job: &'static str,
    options: PictureOptions,
}

fn shots() -> Vec<Shot> {
    let mut shots = Vec::new();
    let usual = PictureOptions::default();
    for job in ["house", "workshop", "studio"] {
        let stages: &[Stage] =
            if job == "house" { &Stage::ALL } else { &[Stage::Forms, Stage::Tube, Stage::Saw] };
        for &stage in stages {
            let name = format!("{job}-{}", stage.name().to_lowercase());
            shots.push(Shot { name, job, options: PictureOptions { stage, ..usual } });
        }
    }
    for (name, job, stage) in [
        ("house-wide", "house", Stage::Tube),
        ("workshop-wide", "workshop", Stage::Foam),
        ("studio-wide", "studio", Stage::Forms),
    ] {
        let options = PictureOptions { width: 1920, height: 1080, stage, ..usual };
        shots.push(Shot { name: name.to_owned(), job, options });
    }
    for (name, theme) in
        [("house-dark", ThemeChoice::Dark), ("house-high-contrast", ThemeChoice::HighContrast)]
    {
        let options = PictureOptions { theme, stage: Stage::Tube, ..usual };
        shots.push(Shot { name: name.to_owned(), job: "house", options });
    }
    let options = PictureOptions { scale: 2.0, stage: Stage::Saw, ..usual };
    shots.push(Shot { name: "house-twice".to_owned(), job: "house", options });
    shots
}

fn main() -> Result<(), String> {
    let mut arguments = std::env::args().skip(1);
    let folder = arguments.next().unwrap_or_else(|| "screenshots".to_owned());
    let door = DiskDoor::default();
    std::fs::create_dir_all(&folder).map_err(|error| format!("{folder}: {error}"))?;
    let words: Vec<String> = arguments.collect();
    for shot in shots() {
        if !words.is_empty() && !words.iter().any(|word| shot.name.contains(word)) {
            continue;
        }
        let job = door.read(Path::new(&format!("samples/{}.ron", shot.job)))?;
        let path = Path::new(&folder).join(format!("{}.png", shot.name));
        std::fs::write(&path, render(job, &shot.options)?.png()?)
            .map_err(|error| format!("{}: {error}", path.display()))?;
        println!("{}", path.display());
    }
    Ok(())
}
