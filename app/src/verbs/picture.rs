//! `slabloom picture`: the window as a person sees it, without a display.

use super::args::Picture;
use super::failure::{Exit, Failure};
use crate::editor::picture::{PictureOptions, render};
use crate::files::{Backup, Disk, save};

pub(super) fn run(picture: &Picture) -> Result<Exit, Failure> {
    let job = super::open(&picture.job)?;
    let (width, height) = picture.size;
    let options = PictureOptions {
        width,
        height,
        scale: picture.scale,
        stage: picture.stage.stage(),
        theme: picture.look.theme(),
    };
    let bytes = render(job, &options)
        .and_then(|picture| picture.png())
        .map_err(|message| Failure { exit: Exit::CannotWrite, message: Some(message) })?;
    save(&Disk, &picture.output, &bytes, Backup::None)?;
    Ok(Exit::Done)
}
