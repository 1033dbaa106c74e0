//! The bodies of the program's fuzz targets on seeded bytes.

use crate::plan_pdf::plan_pdf;
use image::ImageFormat;
use std::io::Cursor;

#[path = "../fuzz/program_bodies.rs"]
mod program_bodies;

/// A small generator of random bytes: xorshift with a multiplication (Marsaglia; Vigna).
fn random_bytes(seed: &mut u64, count: usize) -> Vec<u8> {
    (0..count)
        .map(|_| {
            *seed ^= *seed >> 12;
            *seed ^= *seed << 25;
            *seed ^= *seed >> 27;
            (seed.wrapping_mul(0x2545_f491_4f6c_dd1d) >> 40) as u8
        })
        .collect()
}

#[test]
fn settings_that_are_spoilt_anywhere_are_read_or_refused() {
    let whole = br#"(recent: ["a/b.ron", "c.ron"], window: (1280.0, 800.0), zoom: 1.25, is_dark: true, theme: "high contrast", plan_text: 1.5, hidden_layers: ["foam"])"#;
    program_bodies::settings(whole);
    let mut seed = 0x5eed_0005;
    for at in 0..whole.len() {
        program_bodies::settings(&whole[..at]);
        let mut spoilt = whole.to_vec();
        spoilt[at] = random_bytes(&mut seed, 1)[0];
        program_bodies::settings(&spoilt);
    }
}

/// What the fuzzer found worth keeping, a few files a target.
#[test]
fn the_small_corpus_is_read_or_refused() {
    let plan_picture: fn(&[u8]) = |bytes| {
        program_bodies::plan_picture(bytes);
    };
    for (name, body) in
        [("settings", program_bodies::settings as fn(&[u8])), ("plan_picture", plan_picture)]
    {
        let folder = format!("{}/../tests/fuzz/seeds/{name}", env!("CARGO_MANIFEST_DIR"));
        let files: Vec<_> = std::fs::read_dir(&folder).expect("the corpus").collect();
        assert!(files.len() > 4, "{folder}");
        for file in files {
            body(&std::fs::read(file.expect("a file").path()).expect("its bytes"));
        }
    }
}

#[test]
fn sheets_of_any_job_are_painted() {
    let mut seed = 0x5eed_0006;
    let mut painted = 0;
    while painted < 30 {
        let length = 60 + usize::from(random_bytes(&mut seed, 1)[0]);
        painted += program_bodies::painters(&random_bytes(&mut seed, length));
    }
}

/// A small picture with something on it.
fn small_picture(format: ImageFormat) -> Vec<u8> {
    let picture = image::RgbImage::from_fn(40, 30, |x, y| {
        image::Rgb([(x * 6) as u8, (y * 8) as u8, if x == y { 0 } else { 255 }])
    });
    let mut bytes = Cursor::new(Vec::new());
    picture.write_to(&mut bytes, format).expect("a picture is written");
    bytes.into_inner()
}

#[test]
fn plan_pictures_that_are_spoilt_anywhere_are_read_or_refused() {
    let wholes = [small_picture(ImageFormat::Png), small_picture(ImageFormat::Jpeg), plan_pdf(1)];
    let mut seed = 0x5eed_0007;
    let mut read = 0;
    for whole in &wholes {
        assert!(program_bodies::plan_picture(whole));
        for _ in 0..120 {
            let place = random_bytes(&mut seed, 4);
            let place = u32::from_le_bytes([place[0], place[1], place[2], place[3]]);
            let at = place as usize % whole.len();
            program_bodies::plan_picture(&whole[..at]);
            let mut spoilt = whole.clone();
            spoilt[at] = random_bytes(&mut seed, 1)[0];
            read += usize::from(program_bodies::plan_picture(&spoilt));
        }
    }
    assert!(read > 30, "only {read} spoilt pictures could still be read");
}
