//! The sample that is built in: the first thing a new user sees.

use slabloom_core::job::{Job, file};

/// The small house. If the file that was built in cannot be read, a plain L stands in for it;
/// a test holds that it can.
#[must_use]
pub fn sample() -> Job {
    read().unwrap_or_else(|_| plain_l())
}

fn read() -> Result<Job, String> {
    file::read(include_str!("../../../samples/house.ron"))
        .map(|opened| opened.job)
        .map_err(|error| error.to_string())
}

fn plain_l() -> Job {
    let corners = [(0.0, 0.0), (40.0, 0.0), (40.0, 18.0), (24.0, 18.0), (24.0, 30.0), (0.0, 30.0)];
    Job::from_corners(&corners.map(|(x, y)| (slabloom_core::geometry::Point::feet(x, y), None)))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_sample_can_be_read_and_is_a_slab() {
        let job = read().unwrap();
        assert!(slabloom_core::plan::Plan::of(&job).area > 144.0 * 500.0);
    }
}
