//! Lower bounds shown beside the count.

/// No layout can do with fewer boards: the area over the area of a board, rounded up.
#[must_use]
pub(super) fn area_bound(area: f64, board_area: f64) -> u32 {
    if board_area <= 0.0 || !area.is_finite() {
        return 0;
    }
    // A hair of rounding above a whole number of boards asks for no board more.
    (area / board_area - 1e-6).ceil().clamp(0.0, f64::from(u32::MAX)) as u32
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn whole_numbers_of_boards_stay_whole() {
        assert_eq!(area_bound(32.0 * 144.0 * 30.0 + 1e-5, 32.0 * 144.0), 30);
        assert_eq!(area_bound(988.0, 32.0), 31);
        assert_eq!(area_bound(0.0, 32.0), 0);
    }
}
