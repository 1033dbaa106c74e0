//! Makes the pictures in `screenshots/` from the samples: `cargo run --example screenshots`.
//!
//! Arguments: a folder (default `screenshots`), and words that the names of pictures must hold.
//! The word `every` makes every stage in every look and size, to be looked at and not kept.

use slabloom::editor::file_door::{DiskDoor, FileDoor};
use slabloom::editor::picture::{PictureOptions, render};
use slabloom::editor::stages::Stage;
use slabloom::editor::theme::ThemeChoice;
use slabloom_core::job::Job;
use slabloom_core::job::underlay::{PlanPicture, Underlay};
use std::path::Path;
use std::sync::Arc;

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
    for job in ["empty", "traced"] {
        shots.push(Shot { name: format!("plan-{job}"), job, options: usual });
    }
    let options = PictureOptions { scale: 2.0, stage: Stage::Saw, ..usual };
    shots.push(Shot { name: "house-twice".to_owned(), job: "house", options });
    shots
}

/// Every stage of the house in every look, at the sizes and scales that people have.
fn every_shot() -> Vec<Shot> {
    let sizes = [("small", 1280, 800, 1.0), ("wide", 1920, 1080, 1.0), ("twice", 1280, 800, 2.0)];
    let looks = [
        ("light", ThemeChoice::Light),
        ("dark", ThemeChoice::Dark),
        ("contrast", ThemeChoice::HighContrast),
    ];
    let mut shots = Vec::new();
    for stage in Stage::ALL {
        for (size, width, height, scale) in sizes {
            for (look, theme) in looks {
                let name = format!("every-{}-{size}-{look}", stage.name().to_lowercase());
                let options = PictureOptions { width, height, scale, stage, theme };
                shots.push(Shot { name, job: "house", options });
            }
        }
    }
    shots
}

/// The first sheet's plan as a scan would come: traced by a job that has no outline yet.
fn traced(job: &Job, folder: &Path) -> Result<Job, String> {
    let results = slabloom_core::derive::derive(job);
    let pages = slabloom_core::sheets::sheet_set(job, &results);
    let page = pages.iter().find(|page| page.title.contains("Form"));
    let page = page.ok_or("there is no plan to trace")?;
    let path = folder.join("first floor plan.png");
    std::fs::write(&path, slabloom::export::png::png(page, 110.0).map_err(|e| e.to_string())?)
        .map_err(|error| error.to_string())?;
    let mut traced = Job::default();
    let picture = PlanPicture::new(path.display().to_string(), 1);
    traced.underlay = Arc::new(Underlay { picture: Some(picture) });
    Ok(traced)
}

fn main() -> Result<(), String> {
    let mut arguments = std::env::args().skip(1);
    let folder = arguments.next().unwrap_or_else(|| "screenshots".to_owned());
    let door = DiskDoor::default();
    std::fs::create_dir_all(&folder).map_err(|error| format!("{folder}: {error}"))?;
    let words: Vec<String> = arguments.collect();
    let is_every = words.iter().any(|word| word.starts_with("every"));
    for shot in if is_every { every_shot() } else { shots() } {
        if !words.is_empty() && !words.iter().any(|word| shot.name.contains(word)) {
            continue;
        }
        let sample = |name: &str| door.read(Path::new(&format!("samples/{name}.ron")));
        let job = match shot.job {
            "empty" => Job::default(),
            "traced" => traced(&sample("house")?, &std::env::temp_dir())?,
            name => sample(name)?,
        };
        let path = Path::new(&folder).join(format!("{}.png", shot.name));
        std::fs::write(&path, render(job, &shot.options)?.png()?)
            .map_err(|error| format!("{}: {error}", path.display()))?;
        println!("{}", path.display());
    }
    Ok(())
}
