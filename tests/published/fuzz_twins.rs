//! The bodies of the fuzz targets on seeded bytes, so that the stable toolchain runs them daily.
//!
//! Readers get texts of a small corpus with letters changed, dropped, doubled and spliced; jobs
//! and edits are made of random bytes. `SLABLOOM_CASES` asks for more of each.

#[path = "../fuzz/bodies/mod.rs"]
mod bodies;

use std::time::{Duration, Instant};

/// No case of a reader takes longer, also on a busy machine.
const HANG: Duration = Duration::from_secs(2);

/// A small generator of random numbers: xorshift with a multiplication (Marsaglia; Vigna).
struct Random(u64);

impl Random {
    fn next(&mut self) -> u64 {
        self.0 ^= self.0 >> 12;
        self.0 ^= self.0 << 25;
        self.0 ^= self.0 >> 27;
        self.0.wrapping_mul(0x2545_f491_4f6c_dd1d)
    }

    fn below(&mut self, most: usize) -> usize {
        (self.next() >> 33) as usize % most.max(1)
    }

    fn bytes(&mut self, count: usize) -> Vec<u8> {
        (0..count).map(|_| (self.next() >> 40) as u8).collect()
    }
}

/// Texts that readers know, one of each kind and some that are nearly right.
const CORPUS: &[&str] = &[
    include_str!("../old_jobs/v1.ron"),
    "(schema: 1, ids: 5, outline: (sides: [(id: 1, start: (0, 0)), (id: 2, start: (480, 0)), (id: 3, start: (480, 336))]))",
    "E 40' N 28' W 16' S 4' W 24' close",
    "N 45°30'15\" E 12'-6 1/2\"; az 330 30, left 90 12' # note\nright 45° 3.81 m bow out 2' close straight",
    "12'-6½\"",
    "3,810 mm",
    "12-3-1/2",
    "-0'-8 3/4\"",
    "16.25 yd³",
    "R-10",
    "20 Btu/(h·ft²)",
    "POLYGON ((0 0, 40 0, 40 28, 16 28, 16 16, 0 16, 0 0), (20 4, 24 4, 24 8, 20 8, 20 4))",
    r#"{"type":"Feature","geometry":{"type":"Polygon","coordinates":[[[0,0],[40,0],[40,28],[0,28],[0,0]]]}}"#,
    "x,y\n0,0\n40,0\n40,28\n0,28\nopening\n4,4\n8,4\n8,8\n",
    "101,5000.000,1000.000,100.00,SLAB COR\n102,5000.000,1040.000,100.00,SLAB COR\n103,5028.000,1040.000,100.25,\n",
    "point,east,north,rod,note\n1,10,20,4.25,\"a, b\"\n",
];

/// Pieces that readers look at closely.
const PIECES: &[&str] = &[
    "NaN",
    "inf",
    "-",
    "1e999",
    "1e-999",
    "(",
    ")",
    "[",
    "]",
    "{",
    "}",
    "\"",
    "'",
    "°",
    "½",
    ",",
    "\n",
    "0",
    "9999999999999999999",
    "close",
    "opening",
    "Some(",
    "None",
    "schema: 2",
    "/*",
    "//",
    "r#\"",
    "\u{feff}",
    "\0",
    "\\u{10ffff}",
    "MULTIPOLYGON",
    "null",
    "-0",
    ".",
    "/",
    "ft",
    "mm",
];

/// A text of the corpus with up to eight changes.
fn changed(random: &mut Random) -> Vec<u8> {
    let mut bytes = CORPUS[random.below(CORPUS.len())].as_bytes().to_vec();
    for _ in 0..random.below(9) {
        let at = random.below(bytes.len() + 1);
        match random.below(6) {
            0 if at < bytes.len() => bytes[at] ^= 1 << random.below(8),
            1 => bytes.truncate(at),
            2 => {
                let end = (at + 1 + random.below(8)).min(bytes.len());
                bytes.drain(at..end);
            }
            3 => {
                let end = (at + random.below(40)).min(bytes.len());
                let again = bytes[at..end].to_vec();
                bytes.splice(at..at, again);
            }
            4 => {
                let piece = PIECES[random.below(PIECES.len())];
                bytes.splice(at..at, piece.bytes());
            }
            _ => {
                let other = CORPUS[random.below(CORPUS.len())].as_bytes();
                let from = random.below(other.len());
                let to = (from + random.below(60)).min(other.len());
                bytes.splice(at..at, other[from..to].iter().copied());
            }
        }
    }
    bytes
}

/// How many cases are asked for.
fn cases(usual: usize) -> usize {
    std::env::var("SLABLOOM_CASES").ok().and_then(|text| text.parse().ok()).unwrap_or(usual)
}

/// Runs a body on a case; a panic tells the bytes, so that they can become a test.
fn run(name: &str, body: fn(&[u8]), bytes: &[u8]) -> Duration {
    let started = Instant::now();
    let ended = std::panic::catch_unwind(|| body(bytes));
    let took = started.elapsed();
    if let Err(panic) = ended {
        eprintln!("{name} fails on {:?}", String::from_utf8_lossy(bytes));
        std::panic::resume_unwind(panic);
    }
    took
}

#[test]
fn readers_read_or_refuse_whatever_they_get() {
    let each = cases(1500);
    for (name, body) in bodies::READERS {
        let mut random = Random(0x5eed_0001);
        let mut longest = Duration::ZERO;
        for case in 0..each {
            let bytes = if case % 16 == 15 {
                let count = random.below(200);
                random.bytes(count)
            } else {
                changed(&mut random)
            };
            longest = longest.max(run(name, *body, &bytes));
        }
        println!("{name}: {each} cases, the longest {longest:?}");
        assert!(longest < HANG, "{name} took {longest:?}");
    }
}

/// The small corpus: what the fuzzer found worth keeping, a few files a target.
#[test]
fn the_small_corpus_is_read_or_refused() {
    let edits: bodies::Target = ("edits", |bytes| {
        bodies::edit_and_undo(bytes);
    });
    for (name, body) in bodies::READERS.iter().chain([&edits]) {
        let folder = format!("{}/../tests/fuzz/seeds/{name}", env!("CARGO_MANIFEST_DIR"));
        let files = std::fs::read_dir(&folder).unwrap_or_else(|error| panic!("{folder}: {error}"));
        let mut count = 0;
        for file in files {
            let bytes = std::fs::read(file.expect("a file").path()).expect("its bytes");
            assert!(run(name, *body, &bytes) < HANG, "{name}");
            count += 1;
        }
        assert!(count > 4, "{name} has {count} files");
    }
}

#[test]
fn any_job_gives_results() {
    let mut random = Random(0x5eed_0002);
    let mut longest = Duration::ZERO;
    let each = cases(24).min(100_000);
    for _ in 0..each {
        let count = 60 + random.below(400);
        let bytes = random.bytes(count);
        longest = longest.max(run("derive", bodies::derive_any_job, &bytes));
    }
    println!("derive: {each} cases, the longest {longest:?}");
}

#[test]
fn the_same_job_gives_the_same_bytes() {
    let mut random = Random(0x5eed_0005);
    for _ in 0..cases(12).min(100_000) {
        let count = 60 + random.below(400);
        let bytes = random.bytes(count);
        run("derive", bodies::derive_any_job_twice, &bytes);
    }
}

#[test]
fn any_job_has_sheets() {
    let mut random = Random(0x5eed_0004);
    let (mut pages, wanted) = (0, cases(60).min(1_000_000));
    while pages < wanted {
        let count = 60 + random.below(400);
        pages += bodies::sheets_of_any_job(&random.bytes(count));
    }
    println!("sheets: {pages} pages");
}

#[test]
fn any_edits_undone_give_the_same_bytes() {
    let mut random = Random(0x5eed_0003);
    let (mut made, wanted) = (0, cases(3000));
    while made < wanted {
        let bytes = random.bytes(6000);
        made += bodies::edit_and_undo(&bytes);
    }
    println!("{made} edits");
}
