//! The bodies of the program's fuzz targets on seeded bytes.

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

#[test]
fn sheets_of_any_job_are_painted() {
    let mut seed = 0x5eed_0006;
    let mut painted = 0;
    while painted < 30 {
        let length = 60 + usize::from(random_bytes(&mut seed, 1)[0]);
        painted += program_bodies::painters(&random_bytes(&mut seed, length));
    }
}
