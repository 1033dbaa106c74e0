//! Pictures of the window, painted in software: same job, same pixels, and nothing left blank.

use slabloom::editor::picture::{Picture, PictureOptions, render};
use slabloom::editor::sample::sample;
use slabloom::editor::stages::Stage;
use slabloom::editor::theme::ThemeChoice;
use std::collections::BTreeSet;

fn small(stage: Stage, theme: ThemeChoice) -> Picture {
    let options = PictureOptions { width: 960, height: 600, stage, theme, ..Default::default() };
    render(sample(), &options).unwrap()
}

fn colors(picture: &Picture) -> usize {
    picture.rgba.chunks_exact(4).map(<[u8]>::to_vec).collect::<BTreeSet<_>>().len()
}

#[test]
fn the_same_job_gives_the_same_pixels_twice() {
    let first = small(Stage::Saw, ThemeChoice::Light);
    assert!(first == small(Stage::Saw, ThemeChoice::Light), "two pictures differ");
    assert!(colors(&first) > 50, "text and lines have smooth edges");
}

#[test]
fn every_look_paints_the_paper_in_its_own_colour() {
    for theme in ThemeChoice::ALL {
        let picture = small(Stage::Forms, theme);
        let paper = theme.palette().paper.to_array();
        let count = picture.rgba.chunks_exact(4).filter(|pixel| *pixel == paper).count();
        assert!(count > 20_000, "{theme:?}: {count} pixels of paper");
    }
}

#[test]
fn a_png_holds_the_picture() {
    let picture = small(Stage::Bid, ThemeChoice::Light);
    let png = picture.png().unwrap();
    let back = image::load_from_memory(&png).unwrap().to_rgba8();
    assert_eq!(back.dimensions(), (picture.width, picture.height));
    assert!(back.as_raw() == &picture.rgba);
}
