//! How the window looks: paper and concrete tones, one accent, in light, dark and high contrast.
//!
//! Every colour of the program stands in this file. Text keeps 4.5 to 1 against what it lies on
//! and lines that carry a meaning 3 to 1 (WCAG 2.2, 1.4.3 and 1.4.11); a test holds both.
//! Lines on the plan that must be told apart use the palette of Okabe and Ito and differ in
//! pattern and number too, since no meaning may hang on colour alone (1.4.1).

use egui::{
    Color32, CornerRadius, FontData, FontDefinitions, FontFamily, FontId, Margin, Stroke, Style,
    TextStyle, Vec2, Visuals,
};
use serde::{Deserialize, Serialize};
use std::sync::Arc;

/// Which of the three looks.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub enum ThemeChoice {
    /// Dark ink on paper.
    #[default]
    Light,
    /// Light ink on wet concrete.
    Dark,
    /// White and yellow on black.
    HighContrast,
}

impl ThemeChoice {
    /// All of them, in the order of the settings.
    pub const ALL: [Self; 3] = [Self::Light, Self::Dark, Self::HighContrast];

    /// What the settings call it.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Light => "Light",
            Self::Dark => "Dark",
            Self::HighContrast => "High contrast",
        }
    }

    /// Its colours.
    #[must_use]
    pub const fn palette(self) -> &'static Palette {
        match self {
            Self::Light => &LIGHT,
            Self::Dark => &DARK,
            Self::HighContrast => &HIGH_CONTRAST,
        }
    }
}

/// The colours of one look.
#[derive(Debug, PartialEq)]
pub struct Palette {
    /// Dark behind light ink.
    pub is_dark: bool,
    /// The sheet under the plan.
    pub paper: Color32,
    /// Fine grid lines.
    pub grid: Color32,
    /// Grid lines every ten feet.
    pub grid_major: Color32,
    /// Panels and bars.
    pub panel: Color32,
    /// Raised parts of panels and fields.
    pub raised: Color32,
    /// Controls at rest.
    pub control: Color32,
    /// Controls under the pointer.
    pub control_hover: Color32,
    /// Frames of controls.
    pub frame: Color32,
    /// Text.
    pub ink: Color32,
    /// Text that explains.
    pub ink_soft: Color32,
    /// The one accent: what is chosen, focus, the tool in hand.
    pub accent: Color32,
    /// Text on the accent.
    pub on_accent: Color32,
    /// A wash of the accent behind what is chosen.
    pub accent_wash: Color32,
    /// Do not build it so.
    pub stop: Color32,
    /// Look at it first.
    pub warn: Color32,
    /// Good.
    pub good: Color32,
    /// The slab.
    pub slab: Color32,
    /// The slab where it is thickened.
    pub slab_thick: Color32,
    /// The slope of a thickened edge.
    pub slab_haunch: Color32,
    /// The form line.
    pub slab_line: Color32,
    /// Whole boards.
    pub foam_whole: Color32,
    /// Boards that are cut.
    pub foam_cut: Color32,
    /// Pieces from offcuts.
    pub foam_offcut: Color32,
    /// Seams of boards.
    pub foam_line: Color32,
    /// Lines of circuits, told apart by pattern and number too.
    pub circuits: [Color32; 4],
    /// Joints.
    pub joint: Color32,
    /// Truck lines.
    pub truck: Color32,
    /// Ground above the target.
    pub high_ground: Color32,
    /// Ground below the target.
    pub low_ground: Color32,
}

const fn rgb(hex: u32) -> Color32 {
    Color32::from_rgb((hex >> 16) as u8, (hex >> 8) as u8, hex as u8)
}

const LIGHT: Palette = Palette {
    is_dark: false,
    paper: rgb(0x00FB_F9F4),
    grid: rgb(0x00EC_E8DF),
    grid_major: rgb(0x00DA_D4C7),
    panel: rgb(0x00F1_EEE7),
    raised: rgb(0x00FF_FEFB),
    control: rgb(0x00E3_DFD5),
    control_hover: rgb(0x00D6_D1C4),
    frame: rgb(0x008A_8578),
    ink: rgb(0x0022_2622),
    ink_soft: rgb(0x0056_5A52),
    accent: rgb(0x000B_6354),
    on_accent: rgb(0x00FF_FFFF),
    accent_wash: rgb(0x00CF_E5DD),
    stop: rgb(0x00A3_1F14),
    warn: rgb(0x007A_4B00),
    good: rgb(0x0020_6A35),
    slab: rgb(0x00EE_EBE4),
    slab_thick: rgb(0x00D9_D4CA),
    slab_haunch: rgb(0x00E2_DED5),
    slab_line: rgb(0x002A_2E2A),
    foam_whole: rgb(0x00F2_EFDF),
    foam_cut: rgb(0x00E3_EAE6),
    foam_offcut: rgb(0x00EE_E0DA),
    foam_line: rgb(0x0080_7A6B),
    // Blue, vermillion, black, bluish green.
    circuits: [rgb(0x0000_68A6), rgb(0x00B8_4A00), rgb(0x0000_0000), rgb(0x0000_7454)],
    joint: rgb(0x007A_1E5A),
    truck: rgb(0x005A_4A12),
    high_ground: rgb(0x00C8_5400),
    low_ground: rgb(0x0000_72B2),
};

const DARK: Palette = Palette {
    is_dark: true,
    paper: rgb(0x0020_2422),
    grid: rgb(0x002A_2F2C),
    grid_major: rgb(0x003A_403C),
    panel: rgb(0x002A_2E2B),
    raised: rgb(0x001B_1E1C),
    control: rgb(0x003A_403C),
    control_hover: rgb(0x0048_4F4A),
    frame: rgb(0x007E_857E),
    ink: rgb(0x00EC_EAE3),
    ink_soft: rgb(0x00B4_B7AF),
    accent: rgb(0x006F_D0B8),
    on_accent: rgb(0x000E_1B17),
    accent_wash: rgb(0x0025_4A41),
    stop: rgb(0x00FF_9587),
    warn: rgb(0x00F0_C05A),
    good: rgb(0x008A_D69A),
    slab: rgb(0x0032_3734),
    slab_thick: rgb(0x0048_4F4A),
    slab_haunch: rgb(0x003D_433F),
    slab_line: rgb(0x00E4_E2DA),
    foam_whole: rgb(0x0038_3B32),
    foam_cut: rgb(0x0030_3C3B),
    foam_offcut: rgb(0x0040_3734),
    foam_line: rgb(0x009A_9A8C),
    // Sky blue, orange, white for black, bluish green lightened.
    circuits: [rgb(0x0056_B4E9), rgb(0x00E6_9F00), rgb(0x00F4_F4F0), rgb(0x003F_CFA0)],
    joint: rgb(0x00E0_9CC4),
    truck: rgb(0x00F0_E442),
    high_ground: rgb(0x00E6_9F00),
    low_ground: rgb(0x0056_B4E9),
};

const HIGH_CONTRAST: Palette = Palette {
    is_dark: true,
    paper: rgb(0x0000_0000),
    grid: rgb(0x0018_1818),
    grid_major: rgb(0x0038_3838),
    panel: rgb(0x0000_0000),
    raised: rgb(0x0010_1010),
    control: rgb(0x0000_0000),
    control_hover: rgb(0x0030_3030),
    frame: rgb(0x00FF_FFFF),
    ink: rgb(0x00FF_FFFF),
    ink_soft: rgb(0x00F0_F0F0),
    accent: rgb(0x00FF_E500),
    on_accent: rgb(0x0000_0000),
    accent_wash: rgb(0x0040_3A00),
    stop: rgb(0x00FF_A79C),
    warn: rgb(0x00FF_D24A),
    good: rgb(0x009C_FF9C),
    slab: rgb(0x0016_1616),
    slab_thick: rgb(0x003C_3C3C),
    slab_haunch: rgb(0x0028_2828),
    slab_line: rgb(0x00FF_FFFF),
    foam_whole: rgb(0x0010_1010),
    foam_cut: rgb(0x0022_2222),
    foam_offcut: rgb(0x0030_2A20),
    foam_line: rgb(0x00C8_C8C8),
    circuits: [rgb(0x0078_CCFF), rgb(0x00FF_B400), rgb(0x00FF_FFFF), rgb(0x0050_F0B8)],
    joint: rgb(0x00FF_A8DC),
    truck: rgb(0x00F0_E442),
    high_ground: rgb(0x00FF_B400),
    low_ground: rgb(0x0078_CCFF),
};

/// The bold face.
#[must_use]
pub fn bold() -> FontFamily {
    FontFamily::Name("bold".into())
}

/// A font of the bold face.
#[must_use]
pub fn bold_font(size: f32) -> FontId {
    FontId::new(size, bold())
}

/// Installs the faces. They hold primes, fractions and the diameter sign, as feet and inches need.
pub fn install_fonts(context: &egui::Context) {
    let mut fonts = FontDefinitions::default();
    let faces: [(&str, &'static [u8]); 2] = [
        ("regular", include_bytes!("fonts/DejaVuSansCondensed.ttf")),
        ("bold", include_bytes!("fonts/DejaVuSansCondensed-Bold.ttf")),
    ];
    for (name, bytes) in faces {
        fonts.font_data.insert(name.to_owned(), Arc::new(FontData::from_static(bytes)));
    }
    for family in [FontFamily::Proportional, FontFamily::Monospace] {
        fonts.families.entry(family).or_default().insert(0, "regular".to_owned());
    }
    let mut heavy = vec!["bold".to_owned()];
    heavy.extend(fonts.families.get(&FontFamily::Proportional).cloned().unwrap_or_default());
    fonts.families.insert(bold(), heavy);
    context.set_fonts(fonts);
}

/// Dresses the window.
pub fn apply(context: &egui::Context, choice: ThemeChoice) {
    let style = style(choice);
    context.all_styles_mut(|own| own.clone_from(&style));
}

fn style(choice: ThemeChoice) -> Style {
    let palette = choice.palette();
    let mut style = Style { visuals: visuals(palette), ..Style::default() };
    let spacing = &mut style.spacing;
    spacing.item_spacing = Vec2::new(8.0, 3.0);
    spacing.button_padding = Vec2::new(8.0, 4.0);
    // WCAG 2.2, 2.5.8 asks for targets of 24 by 24; a gloved finger on site wants more.
    spacing.interact_size = Vec2::new(32.0, 32.0);
    spacing.icon_width = 18.0;
    spacing.window_margin = Margin::same(14);
    spacing.menu_margin = Margin::same(6);
    spacing.tooltip_width = 320.0;
    style.text_styles = [
        (TextStyle::Small, FontId::proportional(11.5)),
        (TextStyle::Body, FontId::proportional(13.5)),
        (TextStyle::Button, FontId::proportional(13.5)),
        (TextStyle::Monospace, FontId::proportional(13.5)),
        (TextStyle::Heading, bold_font(15.0)),
    ]
    .into();
    style.interaction.tooltip_delay = 0.35;
    style.animation_time = 0.0;
    style
}

fn visuals(palette: &Palette) -> Visuals {
    let mut visuals = if palette.is_dark { Visuals::dark() } else { Visuals::light() };
    let corner = CornerRadius::same(3);
    visuals.override_text_color = None;
    visuals.weak_text_color = Some(palette.ink_soft);
    visuals.panel_fill = palette.panel;
    visuals.window_fill = palette.panel;
    visuals.window_stroke = Stroke::new(1.0, palette.frame);
    visuals.window_corner_radius = CornerRadius::same(5);
    visuals.menu_corner_radius = CornerRadius::same(4);
    visuals.extreme_bg_color = palette.raised;
    visuals.text_edit_bg_color = Some(palette.raised);
    visuals.faint_bg_color = palette.raised;
    visuals.code_bg_color = palette.raised;
    visuals.warn_fg_color = palette.warn;
    visuals.error_fg_color = palette.stop;
    visuals.hyperlink_color = palette.accent;
    visuals.selection.bg_fill = palette.accent_wash;
    visuals.selection.stroke = Stroke::new(1.5, palette.accent);
    let widgets = &mut visuals.widgets;
    let frame = Stroke::new(1.0, palette.frame);
    widgets.noninteractive.fg_stroke = Stroke::new(1.0, palette.ink);
    widgets.noninteractive.bg_stroke = Stroke::new(1.0, palette.control_hover);
    widgets.noninteractive.bg_fill = palette.panel;
    widgets.noninteractive.weak_bg_fill = palette.panel;
    for (state, fill, stroke) in [
        (&mut widgets.inactive, palette.control, frame),
        (&mut widgets.hovered, palette.control_hover, Stroke::new(1.0, palette.ink)),
        (&mut widgets.active, palette.accent_wash, Stroke::new(2.0, palette.accent)),
        (&mut widgets.open, palette.control_hover, Stroke::new(1.0, palette.accent)),
    ] {
        state.bg_fill = fill;
        state.weak_bg_fill = fill;
        state.bg_stroke = stroke;
        state.fg_stroke = Stroke::new(1.3, palette.ink);
        state.corner_radius = corner;
        state.expansion = 0.0;
    }
    widgets.noninteractive.corner_radius = corner;
    visuals
}

/// Contrast of two colours after WCAG 2.2: 1 for the same, 21 for black and white.
#[must_use]
pub fn contrast(one: Color32, other: Color32) -> f32 {
    let luminance = |color: Color32| {
        let linear = |channel: u8| {
            let value = f32::from(channel) / 255.0;
            if value <= 0.04045 { value / 12.92 } else { ((value + 0.055) / 1.055).powf(2.4) }
        };
        0.2126 * linear(color.r()) + 0.7152 * linear(color.g()) + 0.0722 * linear(color.b())
    };
    let (one, other) = (luminance(one), luminance(other));
    (one.max(other) + 0.05) / (one.min(other) + 0.05)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The contrasts of black and blue on white are those of the published formula.
    #[test]
    fn contrast_is_the_published_one() {
        assert!((contrast(Color32::BLACK, Color32::WHITE) - 21.0).abs() < 1e-3);
        assert!((contrast(rgb(0x0000_72B2), Color32::WHITE) - 5.19).abs() < 0.01);
    }

    #[test]
    fn text_and_lines_can_be_read_in_every_look() {
        for choice in ThemeChoice::ALL {
            let palette = choice.palette();
            for ground in
                [palette.panel, palette.paper, palette.raised, palette.control, palette.slab]
            {
                for ink in [palette.ink, palette.ink_soft] {
                    assert!(contrast(ink, ground) >= 4.5, "{choice:?}: {ink:?} on {ground:?}");
                }
            }
            for ground in [palette.panel, palette.raised] {
                for ink in [palette.accent, palette.stop, palette.warn, palette.good] {
                    assert!(contrast(ink, ground) >= 4.5, "{choice:?}: {ink:?} on {ground:?}");
                }
            }
            assert!(contrast(palette.on_accent, palette.accent) >= 4.5, "{choice:?}");
            assert!(contrast(palette.ink, palette.accent_wash) >= 4.5, "{choice:?}");
            assert!(contrast(palette.frame, palette.panel) >= 3.0, "{choice:?}");
            for ground in [palette.slab, palette.paper, palette.slab_thick] {
                for line in palette.circuits.iter().chain([
                    &palette.slab_line,
                    &palette.joint,
                    &palette.truck,
                ]) {
                    assert!(contrast(*line, ground) >= 3.0, "{choice:?}: {line:?} on {ground:?}");
                }
            }
            assert!(contrast(palette.foam_line, palette.foam_whole) >= 3.0, "{choice:?}");
        }
    }
}
