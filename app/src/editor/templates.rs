//! Outlines of usual slabs, from sizes that are typed: a rectangle, an L, a house with a bump-out.

use slabloom_core::geometry::Point;

/// A usual outline.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Template {
    /// Four walls.
    Rectangle,
    /// A rectangle with one corner left out.
    Ell,
    /// A rectangle with a smaller one built out from its north wall.
    #[default]
    BumpOut,
}

/// A size that a template asks for: its name and what it is at first, feet.
pub type Size = (&'static str, f64);

impl Template {
    /// All of them.
    pub const ALL: [Self; 3] = [Self::Rectangle, Self::Ell, Self::BumpOut];

    /// What it is called.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Rectangle => "Rectangle",
            Self::Ell => "L-shape",
            Self::BumpOut => "House with bump-out",
        }
    }

    /// The sizes it asks for.
    #[must_use]
    pub const fn sizes(self) -> &'static [Size] {
        match self {
            Self::Rectangle => &[("Length, east to west", 40.0), ("Width, south to north", 28.0)],
            Self::Ell => &[
                ("Length over all", 40.0),
                ("Width over all", 28.0),
                ("Corner left out: length", 16.0),
                ("Corner left out: width", 12.0),
            ],
            Self::BumpOut => &[
                ("Length, east to west", 38.0),
                ("Width, south to north", 26.0),
                ("Bump-out: from the west end", 12.0),
                ("Bump-out: length", 14.0),
                ("Bump-out: depth", 4.0),
            ],
        }
    }

    /// Its corners, for sizes in inches in the order of [`Template::sizes`].
    ///
    /// # Errors
    /// One sentence, when the sizes make no slab.
    pub fn corners(self, inches: &[f64]) -> Result<Vec<Point>, String> {
        if inches.iter().any(|size| !(size.is_finite() && *size > 0.0)) {
            return Err("Every size must be more than nothing".to_owned());
        }
        let place = |&(x, y): &(f64, f64)| Point::new(x, y);
        match (self, inches) {
            (Self::Rectangle, &[length, width]) => {
                Ok([(0.0, 0.0), (length, 0.0), (length, width), (0.0, width)]
                    .iter()
                    .map(place)
                    .collect())
            }
            (Self::Ell, &[length, width, out_length, out_width]) => {
                if out_length >= length || out_width >= width {
                    return Err("The corner left out is as large as the slab".to_owned());
                }
                let (x, y) = (length - out_length, width - out_width);
                let corners =
                    [(0.0, 0.0), (length, 0.0), (length, y), (x, y), (x, width), (0.0, width)];
                Ok(corners.iter().map(place).collect())
            }
            (Self::BumpOut, &[length, width, from, bump, depth]) => {
                let to = from + bump;
                if to >= length {
                    return Err("The bump-out reaches past the east end".to_owned());
                }
                let far = width + depth;
                let corners = [
                    (0.0, 0.0),
                    (length, 0.0),
                    (length, width),
                    (to, width),
                    (to, far),
                    (from, far),
                    (from, width),
                    (0.0, width),
                ];
                Ok(corners.iter().map(place).collect())
            }
            _ => Err("A size is missing".to_owned()),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use slabloom_core::job::Job;
    use slabloom_core::plan::Plan;

    #[test]
    fn each_template_is_a_slab_of_the_sizes_it_says() {
        for (template, area) in
            [(Template::Rectangle, 1120.0), (Template::Ell, 928.0), (Template::BumpOut, 1044.0)]
        {
            let sizes: Vec<f64> = template.sizes().iter().map(|size| size.1 * 12.0).collect();
            let corners = template.corners(&sizes).unwrap();
            let corners: Vec<_> = corners.into_iter().map(|at| (at, None)).collect();
            let plan = Plan::of(&Job::from_corners(&corners));
            assert!((plan.area / 144.0 - area).abs() < 1e-9, "{} {}", template.name(), plan.area);
        }
        assert!(Template::Ell.corners(&[480.0, 336.0, 480.0, 12.0]).is_err());
        assert!(Template::BumpOut.corners(&[480.0, 336.0, 400.0, 100.0, 48.0]).is_err());
        assert!(Template::Rectangle.corners(&[480.0, f64::NAN]).is_err());
    }
}
