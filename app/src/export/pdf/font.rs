//! The embedded face, cut down to the glyphs in use, with the way back to characters.

use super::Refs;
use pdf_writer::types::{CidFontType, FontFlags, SystemInfo, UnicodeCmap};
use pdf_writer::{Finish, Name, Pdf, Rect, Ref, Str};
use slabloom_core::drawing::{Face, Page};
use std::collections::BTreeMap;
use subsetter::GlyphRemapper;

const IDENTITY: SystemInfo =
    SystemInfo { registry: Str(b"Adobe"), ordering: Str(b"Identity"), supplement: 0 };

/// The faces in use.
pub struct Fonts {
    subsets: BTreeMap<Face, Subset>,
}

struct Subset {
    /// Font, descendant, descriptor, file, character map.
    refs: [Ref; 5],
    glyphs: GlyphRemapper,
    new_by_character: BTreeMap<char, u16>,
    /// Character and advance in thousandths by new glyph number.
    by_glyph: BTreeMap<u16, (char, f32)>,
}

const fn resource(face: Face) -> &'static [u8] {
    match face {
        Face::Regular => b"F1",
        Face::Bold => b"F2",
    }
}

impl Fonts {
    /// Gathers the characters of all texts.
    pub fn of(pages: &[Page], refs: &mut Refs) -> Self {
        let mut subsets = BTreeMap::new();
        for face in [Face::Regular, Face::Bold] {
            let characters: std::collections::BTreeSet<char> = pages
                .iter()
                .flat_map(Page::texts)
                .filter(|text| text.face == face)
                .flat_map(|text| text.content.chars())
                .collect();
            let Ok(font) = ttf_parser::Face::parse(face.bytes(), 0) else { continue };
            if characters.is_empty() {
                continue;
            }
            let per_thousand = 1000.0 / f32::from(font.units_per_em());
            let refs = std::array::from_fn(|_| refs.next());
            let mut subset = Subset {
                refs,
                glyphs: GlyphRemapper::new(),
                new_by_character: BTreeMap::new(),
                by_glyph: BTreeMap::new(),
            };
            let missing = font.glyph_hor_advance(ttf_parser::GlyphId(0)).unwrap_or(0);
            subset.by_glyph.insert(0, ('\u{fffd}', f32::from(missing) * per_thousand));
            for character in characters {
                let glyph = font.glyph_index(character).unwrap_or(ttf_parser::GlyphId(0));
                let new = subset.glyphs.remap(glyph.0);
                let advance = font.glyph_hor_advance(glyph).unwrap_or(0);
                subset.new_by_character.insert(character, new);
                let width = f32::from(advance) * per_thousand;
                subset.by_glyph.entry(new).or_insert((character, width));
            }
            subsets.insert(face, subset);
        }
        Self { subsets }
    }

    /// Resource names and font objects.
    pub fn names(&self) -> impl Iterator<Item = (&'static [u8], Ref)> + '_ {
        self.subsets.iter().map(|(&face, subset)| (resource(face), subset.refs[0]))
    }

    /// Resource name of a face and the text as glyph numbers of two bytes each.
    pub fn encode(&self, face: Face, content: &str) -> Option<(&'static [u8], Vec<u8>)> {
        let subset = self.subsets.get(&face)?;
        let bytes = content
            .chars()
            .flat_map(|c| subset.new_by_character.get(&c).copied().unwrap_or(0).to_be_bytes())
            .collect();
        Some((resource(face), bytes))
    }

    /// Writes the font objects.
    pub fn write(&self, pdf: &mut Pdf) {
        for (&face, subset) in &self.subsets {
            // A face that cannot be cut down is embedded whole: the file is larger, not wrong.
            let file = subsetter::subset(face.bytes(), 0, &subset.glyphs)
                .unwrap_or_else(|_| face.bytes().to_vec());
            subset.write(pdf, face, &file);
        }
    }
}

impl Subset {
    fn write(&self, pdf: &mut Pdf, face: Face, file: &[u8]) {
        let [font, descendant, descriptor, data, map] = self.refs;
        let name = format!("{}+{}", tag(file), face.name());
        let name = Name(name.as_bytes());
        pdf.type0_font(font)
            .base_font(name)
            .encoding_predefined(Name(b"Identity-H"))
            .descendant_font(descendant)
            .to_unicode(map);
        let mut cid = pdf.cid_font(descendant);
        cid.subtype(CidFontType::Type2)
            .base_font(name)
            .system_info(IDENTITY)
            .font_descriptor(descriptor)
            .default_width(0.0)
            .cid_to_gid_map_predefined(Name(b"Identity"));
        let mut widths = cid.widths();
        for (&glyph, &(_, width)) in &self.by_glyph {
            widths.same(glyph, glyph, width);
        }
        widths.finish();
        cid.finish();
        self.describe(pdf, face, name, descriptor, data);
        let packed = miniz_oxide::deflate::compress_to_vec_zlib(file, 8);
        pdf.stream(data, &packed)
            .filter(pdf_writer::Filter::FlateDecode)
            .pair(Name(b"Length1"), i32::try_from(file.len()).unwrap_or(i32::MAX));
        let mut characters = UnicodeCmap::new(Name(b"Slabloom-UCS2"), IDENTITY);
        for (&glyph, &(character, _)) in &self.by_glyph {
            characters.pair(glyph, character);
        }
        let bytes = characters.finish();
        pdf.cmap(map, bytes.as_slice());
    }

    fn describe(&self, pdf: &mut Pdf, face: Face, name: Name, descriptor: Ref, data: Ref) {
        let Ok(font) = ttf_parser::Face::parse(face.bytes(), 0) else { return };
        let k = 1000.0 / f32::from(font.units_per_em());
        let bounds = font.global_bounding_box();
        pdf.font_descriptor(descriptor)
            .name(name)
            .flags(FontFlags::NON_SYMBOLIC)
            .bbox(Rect::new(
                f32::from(bounds.x_min) * k,
                f32::from(bounds.y_min) * k,
                f32::from(bounds.x_max) * k,
                f32::from(bounds.y_max) * k,
            ))
            .italic_angle(0.0)
            .ascent(f32::from(font.ascender()) * k)
            .descent(f32::from(font.descender()) * k)
            .cap_height(729.0)
            .stem_v(if face == Face::Bold { 165.0 } else { 90.0 })
            .font_file2(data);
    }
}

/// Six letters that name a subset, from its bytes alone.
fn tag(file: &[u8]) -> String {
    let mut sum = file.iter().fold(0xcbf2_9ce4_8422_2325_u64, |sum, &byte| {
        (sum ^ u64::from(byte)).wrapping_mul(0x0000_0100_0000_01b3)
    });
    let mut letters = String::new();
    for _ in 0..6 {
        letters.push(char::from(b'A' + (sum % 26) as u8));
        sum /= 26;
    }
    letters
}
