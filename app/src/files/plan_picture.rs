//! Pictures of plans to trace over: found again from a job, and read within bounds.
//!
//! A job names its picture relative to its own folder where it can, so that the two can be moved
//! together. A picture that is not where the job says is looked for beside the job as well; one
//! that is kept in the job is not looked for at all. PNG, JPEG and pages of a PDF are read; the
//! kind is told by the first bytes, not by the ending.

use super::pdf_pages::{MOST_PAGES, PdfPages, is_pdf};
use super::storage::Storage;
use image::{ImageReader, Limits};
use slabloom_core::job::file_bytes::{FileBytes, MOST_BYTES};
use slabloom_core::job::underlay::PlanPicture;
use std::io::Cursor;
use std::path::{Path, PathBuf};

/// The largest picture file that is read, in bytes.
const LARGEST_PICTURE: u64 = 200_000_000;
/// The most memory that decoding may take, in bytes: a scan of 36 by 24 in at 300 dpi fits.
const MOST_MEMORY: u64 = 700_000_000;
/// The longest side that is decoded, in pixels.
const LONGEST_SIDE: u32 = 30_000;
/// The longest side that is kept for the screen, where its driver takes as much.
pub const SHOWN_SIDE: u16 = 4096;
/// The longer side of a page among others to choose from, pixels.
const THUMBNAIL_SIDE: u16 = 240;

/// Pixels of a picture, ready for the screen.
#[derive(Clone, Debug, PartialEq)]
pub struct PlanImage {
    /// Pixels in a row.
    pub width: usize,
    /// Rows.
    pub height: usize,
    /// Red, green, blue and opacity of each pixel, from the upper left row by row.
    pub rgba: Vec<u8>,
    /// How many times as high as wide the whole picture is.
    pub height_by_width: f64,
    /// How many pages its file has.
    pub pages: u32,
    /// Some of the page could not be drawn: a font or a scan of a kind that is not read.
    pub has_gaps: bool,
}

/// How a job at `job` names a picture.
#[must_use]
pub fn stored_path(picture: &Path, job: Option<&Path>) -> String {
    let whole = std::path::absolute(picture).unwrap_or_else(|_| picture.to_owned());
    let folder = job.and_then(|job| std::path::absolute(job).ok()?.parent().map(Path::to_owned));
    let inside = folder.and_then(|folder| whole.strip_prefix(folder).map(Path::to_owned).ok());
    inside.unwrap_or(whole).to_string_lossy().replace('\\', "/")
}

/// Where the picture that a job names may be, the likeliest place first.
#[must_use]
pub fn places_of(stored: &str, job: Option<&Path>) -> Vec<PathBuf> {
    let named = Path::new(stored);
    let folder = job.and_then(Path::parent);
    let mut places = vec![folder.map_or_else(|| named.to_owned(), |folder| folder.join(named))];
    if let (Some(folder), Some(name)) = (folder, named.file_name()) {
        let beside = folder.join(name);
        if !places.contains(&beside) {
            places.push(beside);
        }
    }
    places
}

/// Reads the picture that a job names or keeps; its longer side has at most `most` pixels.
///
/// # Errors
/// One sentence that says what is wrong and what to do about it.
pub fn read_plan_picture(
    storage: &dyn Storage,
    (picture, most): (&PlanPicture, u16),
    job: Option<&Path>,
) -> Result<PlanImage, String> {
    let bytes = bytes_of_picture(storage, picture, job)?;
    decode(bytes, picture.page, most).map_err(|why| format!("{}: {why}", picture.path))
}

/// The file of a picture, to be kept in the job from now on.
///
/// # Errors
/// One sentence, when it cannot be read or is more than a job may hold.
pub fn to_keep_in_job(
    storage: &dyn Storage,
    picture: &PlanPicture,
    job: Option<&Path>,
) -> Result<FileBytes, String> {
    let bytes = bytes_of_picture(storage, picture, job)?;
    FileBytes::new(&bytes).ok_or_else(|| {
        format!(
            "{} takes {:.1} megabytes, and a job holds at most {}: leave it beside the job, or \
             save it smaller",
            picture.path,
            bytes.len() as f64 / 1e6,
            MOST_BYTES / 1_000_000
        )
    })
}

/// Draws the pages of the file of a picture, small, in order; `take` gets each with its number
/// and says whether more are wanted. A file that cannot be read is a first page that cannot.
pub fn draw_thumbnails(
    storage: &dyn Storage,
    picture: &PlanPicture,
    job: Option<&Path>,
    mut take: impl FnMut(u32, Result<PlanImage, String>) -> bool,
) {
    let opened = bytes_of_picture(storage, picture, job).and_then(PdfPages::open);
    let pages = match opened {
        Ok(pages) => pages,
        Err(why) => {
            take(1, Err(why));
            return;
        }
    };
    for page in 1..=pages.count().min(MOST_PAGES) {
        if !take(page, pages.picture(page, THUMBNAIL_SIDE)) {
            return;
        }
    }
}

/// Whether the file that a job names lies where it says, or beside the job.
#[must_use]
pub fn is_there(storage: &dyn Storage, picture: &PlanPicture, job: Option<&Path>) -> bool {
    places_of(&picture.path, job).iter().any(|place| storage.stamp(place).is_ok())
}

/// The path by which a job at `to` names the picture that a job at `from` names; the same for one
/// that is kept in the job.
#[must_use]
pub fn rebased_path(picture: &PlanPicture, from: Option<&Path>, to: &Path) -> String {
    match places_of(&picture.path, from).first() {
        Some(place) if picture.kept.is_empty() => stored_path(place, Some(to)),
        _ => picture.path.clone(),
    }
}

/// The bytes of the file: those kept in the job, or what lies where the job says.
fn bytes_of_picture(
    storage: &dyn Storage,
    picture: &PlanPicture,
    job: Option<&Path>,
) -> Result<Vec<u8>, String> {
    if !picture.kept.is_empty() {
        return Ok(picture.kept.bytes().to_vec());
    }
    let places = places_of(&picture.path, job);
    let bytes = places.iter().find_map(|place| storage.read(place, LARGEST_PICTURE).ok());
    bytes.ok_or_else(|| {
        let place = places.first().map_or_else(String::new, |place| place.display().to_string());
        format!(
            "The plan picture {place} cannot be read. Put it back there or beside the job, or \
             choose it again; its place and scale are kept"
        )
    })
}

/// Pixels from the bytes of a PNG, JPEG or PDF file.
fn decode(bytes: Vec<u8>, page: u32, most: u16) -> Result<PlanImage, String> {
    if is_pdf(&bytes) {
        return PdfPages::open(bytes)?.picture(page, most);
    }
    let no_picture = || "This is no picture: choose a PNG, JPEG or PDF file".to_owned();
    let mut reader =
        ImageReader::new(Cursor::new(bytes)).with_guessed_format().map_err(|_| no_picture())?;
    if reader.format().is_none() {
        return Err(no_picture());
    }
    let mut limits = Limits::default();
    limits.max_alloc = Some(MOST_MEMORY);
    limits.max_image_width = Some(LONGEST_SIDE);
    limits.max_image_height = Some(LONGEST_SIDE);
    reader.limits(limits);
    let whole = reader.decode().map_err(|error| match error {
        image::ImageError::Limits(_) => format!(
            "The picture is larger than {LONGEST_SIDE} pixels a side or does not fit the memory: \
             save it smaller, 150 dots an inch will do"
        ),
        image::ImageError::Unsupported(_) => {
            "Pictures of this kind are not read: save it as PNG or JPEG".to_owned()
        }
        _ => "The picture is damaged or cut off: save it again".to_owned(),
    })?;
    let (width, height) = (whole.width(), whole.height());
    if width == 0 || height == 0 {
        return Err("The picture is empty".to_owned());
    }
    let most = u32::from(most);
    let shown = if width.max(height) > most {
        // Averaging keeps thin lines of a scan visible, grey instead of gone.
        whole.thumbnail(most, most)
    } else {
        whole
    };
    let rgba = shown.into_rgba8();
    Ok(PlanImage {
        width: rgba.width() as usize,
        height: rgba.height() as usize,
        height_by_width: f64::from(height) / f64::from(width),
        rgba: rgba.into_raw(),
        pages: 1,
        has_gaps: false,
    })
}

#[cfg(test)]
mod tests {
    use super::super::storage::Disk;
    use super::*;

    fn named(path: &str) -> PlanPicture {
        PlanPicture::new(path.to_owned(), 1)
    }

    fn png(width: u32, height: u32) -> Vec<u8> {
        let mut bytes = Cursor::new(Vec::new());
        let picture = image::RgbaImage::from_pixel(width, height, image::Rgba([9, 8, 7, 255]));
        picture.write_to(&mut bytes, image::ImageFormat::Png).unwrap();
        bytes.into_inner()
    }

    #[test]
    fn a_picture_is_named_from_the_jobs_folder_and_found_when_both_moved() {
        let folder = tempfile::tempdir().unwrap();
        let (job, scans) = (folder.path().join("job.ron"), folder.path().join("scans"));
        std::fs::create_dir(&scans).unwrap();
        std::fs::write(scans.join("plan.png"), png(40, 30)).unwrap();
        let stored = stored_path(&scans.join("plan.png"), Some(&job));
        assert_eq!(stored, "scans/plan.png");
        let image = read_plan_picture(&Disk, (&named(&stored), SHOWN_SIDE), Some(&job)).unwrap();
        assert_eq!((image.width, image.height, image.rgba[0]), (40, 30, 9));
        assert!((image.height_by_width - 0.75).abs() < 1e-12);
        // The whole path of another machine: the picture beside the job serves.
        std::fs::write(folder.path().join("plan.png"), png(20, 30)).unwrap();
        let image =
            read_plan_picture(&Disk, (&named("/elsewhere/plan.png"), SHOWN_SIDE), Some(&job))
                .unwrap();
        assert_eq!(image.width, 20);
        let apart = stored_path(&scans.join("plan.png"), Some(Path::new("/other/job.ron")));
        assert!(Path::new(&apart).is_absolute());
    }

    #[test]
    fn a_job_that_is_saved_elsewhere_still_names_its_picture() {
        let rebased = |stored: &str, from: Option<&str>, to: &str| {
            rebased_path(&named(stored), from.map(Path::new), Path::new(to))
        };
        // First saved: the whole path becomes one from the job's folder.
        assert_eq!(rebased("/jobs/scans/plan.png", None, "/jobs/house.ron"), "scans/plan.png");
        let again = rebased("scans/plan.png", Some("/jobs/house.ron"), "/jobs/other.ron");
        assert_eq!(again, "scans/plan.png");
        let away = rebased("scans/plan.png", Some("/jobs/house.ron"), "/copies/house.ron");
        assert_eq!(away, "/jobs/scans/plan.png");
        let kept = FileBytes::new(b"x").unwrap();
        let inside = PlanPicture { kept, ..named("plan.png") };
        let path =
            rebased_path(&inside, Some(Path::new("/jobs/a.ron")), Path::new("/copies/a.ron"));
        assert_eq!(path, "plan.png");
    }

    #[test]
    fn what_cannot_be_read_says_what_to_do() {
        let folder = tempfile::tempdir().unwrap();
        let job = folder.path().join("job.ron");
        let told = |name: &str, bytes: &[u8]| {
            std::fs::write(folder.path().join(name), bytes).unwrap();
            read_plan_picture(&Disk, (&named(name), SHOWN_SIDE), Some(&job)).unwrap_err()
        };
        let gone =
            read_plan_picture(&Disk, (&named("gone.png"), SHOWN_SIDE), Some(&job)).unwrap_err();
        assert!(gone.contains("place and scale are kept"), "{gone}");
        assert!(told("plan.pdf", b"%PDF-1.7 ...").contains("PNG picture"));
        assert!(told("notes.txt", b"not a picture").contains("no picture"));
        let mut cut = png(400, 300);
        cut.truncate(200);
        assert!(told("cut.png", &cut).contains("damaged"));
        // A header alone that claims more pixels than any scan has.
        let mut huge = png(4, 4);
        huge[16..20].copy_from_slice(&3_000_000_000_u32.to_be_bytes());
        let told = told("huge.png", &huge);
        assert!(told.contains("larger") || told.contains("damaged"), "{told}");
    }

    #[test]
    fn a_large_scan_is_made_small_enough_for_the_screen() {
        let image = decode(png(6000, 3000), 1, SHOWN_SIDE).unwrap();
        assert_eq!((image.width, image.height), (4096, 2048));
        assert!((image.height_by_width - 0.5).abs() < 1e-12);
    }

    #[test]
    fn a_picture_kept_in_the_job_needs_no_file_and_one_too_large_is_refused() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("plan.png");
        std::fs::write(&path, png(40, 30)).unwrap();
        let beside = named(&path.to_string_lossy());
        let kept = to_keep_in_job(&Disk, &beside, None).unwrap();
        std::fs::remove_file(&path).unwrap();
        assert!(read_plan_picture(&Disk, (&beside, SHOWN_SIDE), None).is_err());
        let inside = PlanPicture { kept, ..beside.clone() };
        assert_eq!(read_plan_picture(&Disk, (&inside, SHOWN_SIDE), None).unwrap().width, 40);
        std::fs::write(&path, vec![0; MOST_BYTES + 1]).unwrap();
        let told = to_keep_in_job(&Disk, &beside, None).unwrap_err();
        assert!(told.contains("8.0 megabytes") && told.contains("beside the job"), "{told}");
    }
}
