//! Pictures of plans to trace over: found again from a job, and read within bounds.
//!
//! A job names its picture relative to its own folder where it can, so that the two can be moved
//! together. A picture that is not where the job says is looked for beside the job as well. PNG
//! and JPEG are read; the kind is told by the first bytes, not by the ending.

use super::storage::Storage;
use image::{ImageReader, Limits};
use std::io::Cursor;
use std::path::{Path, PathBuf};

/// The largest picture file that is read, in bytes.
const LARGEST_PICTURE: u64 = 200_000_000;
/// The most memory that decoding may take, in bytes: a scan of 36 by 24 in at 300 dpi fits.
const MOST_MEMORY: u64 = 700_000_000;
/// The longest side that is decoded, in pixels.
const LONGEST_SIDE: u32 = 30_000;
/// The longest side that is kept for the screen: what any graphics driver takes.
const SHOWN_SIDE: u32 = 4096;

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

/// Reads the picture that a job names.
///
/// # Errors
/// One sentence that says what is wrong and what to do about it.
pub fn read_plan_picture(
    storage: &dyn Storage,
    stored: &str,
    job: Option<&Path>,
) -> Result<PlanImage, String> {
    let places = places_of(stored, job);
    let bytes = places.iter().find_map(|place| storage.read(place, LARGEST_PICTURE).ok());
    let Some(bytes) = bytes else {
        let place = places.first().map_or_else(String::new, |place| place.display().to_string());
        return Err(format!(
            "The plan picture {place} cannot be read. Put it back there or beside the job, or \
             choose it again; its place and scale are kept"
        ));
    };
    decode(&bytes).map_err(|why| format!("{stored}: {why}"))
}

/// Pixels from the bytes of a PNG or JPEG file.
fn decode(bytes: &[u8]) -> Result<PlanImage, String> {
    if bytes.starts_with(b"%PDF") {
        return Err(
            "A PDF page cannot be laid under the plan yet. Save the page as a PNG picture \
                    (any PDF viewer can export one; 150 dots an inch will do) and choose that"
                .to_owned(),
        );
    }
    let mut reader = ImageReader::new(Cursor::new(bytes))
        .with_guessed_format()
        .map_err(|_| "This is no picture: choose a PNG or JPEG file".to_owned())?;
    if reader.format().is_none() {
        return Err("This is no picture: choose a PNG or JPEG file".to_owned());
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
    let shown = if width.max(height) > SHOWN_SIDE {
        // Averaging keeps thin lines of a scan visible, grey instead of gone.
        whole.thumbnail(SHOWN_SIDE, SHOWN_SIDE)
    } else {
        whole
    };
    let rgba = shown.into_rgba8();
    Ok(PlanImage {
        width: rgba.width() as usize,
        height: rgba.height() as usize,
        height_by_width: f64::from(height) / f64::from(width),
        rgba: rgba.into_raw(),
    })
}

#[cfg(test)]
mod tests {
    use super::super::storage::Disk;
    use super::*;

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
        let image = read_plan_picture(&Disk, &stored, Some(&job)).unwrap();
        assert_eq!((image.width, image.height, image.rgba[0]), (40, 30, 9));
        assert!((image.height_by_width - 0.75).abs() < 1e-12);
        // The whole path of another machine: the picture beside the job serves.
        std::fs::write(folder.path().join("plan.png"), png(20, 30)).unwrap();
        let image = read_plan_picture(&Disk, "/elsewhere/plan.png", Some(&job)).unwrap();
        assert_eq!(image.width, 20);
        let apart = stored_path(&scans.join("plan.png"), Some(Path::new("/other/job.ron")));
        assert!(Path::new(&apart).is_absolute());
    }

    #[test]
    fn what_cannot_be_read_says_what_to_do() {
        let folder = tempfile::tempdir().unwrap();
        let job = folder.path().join("job.ron");
        let told = |name: &str, bytes: &[u8]| {
            std::fs::write(folder.path().join(name), bytes).unwrap();
            read_plan_picture(&Disk, name, Some(&job)).unwrap_err()
        };
        let gone = read_plan_picture(&Disk, "gone.png", Some(&job)).unwrap_err();
        assert!(gone.contains("place and scale are kept"), "{gone}");
        assert!(told("plan.pdf", b"%PDF-1.7 ...").contains("PNG"));
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
        let image = decode(&png(6000, 3000)).unwrap();
        assert_eq!((image.width, image.height), (4096, 2048));
        assert!((image.height_by_width - 0.5).abs() < 1e-12);
    }
}
