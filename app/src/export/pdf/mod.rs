//! Pages as one PDF file: real text in an embedded subset font, layers, outline, page labels,
//! structure for reading aloud, no scaling when printed; the same bytes for the same input.
//!
//! Method: glyphs of all texts are gathered and the fonts cut down to them; each page's marks
//! become one compressed content stream; then the tables of contents that viewers read. Written
//! to ISO 32000-1 (PDF 1.7); entries as the reference of `pdf-writer` names them.
//! Limits: sizes up to 14,400 points a side (200 in); no attachments, no encryption.

mod content;
mod font;
mod measure;
mod structure;
mod xmp;

use font::Fonts;
use pdf_writer::types::PageMode;
use pdf_writer::{Date, Finish, Name, Pdf, Rect, Ref, TextStr};
use slabloom_core::drawing::{Layer, Page};
use std::collections::BTreeMap;
use structure::Structure;

/// The program that made the file.
const CREATOR: &str = "Slabloom";

/// What the document says of itself. The date is an input: the program has no clock here.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct DocumentFacts {
    /// Title, shown in the window's frame.
    pub title: String,
    /// Who drew it.
    pub author: String,
    /// What it is.
    pub subject: String,
    /// Date of the plan: year, month, day.
    pub date: Option<(u16, u8, u8)>,
}

/// Numbers given to the objects of the file, in order.
struct Refs(i32);

impl Refs {
    fn next(&mut self) -> Ref {
        self.0 += 1;
        Ref::new(self.0)
    }
}

/// What pages share.
struct Shared {
    fonts: Fonts,
    layers: BTreeMap<Layer, (Ref, String)>,
}

/// The pages as a PDF file.
#[must_use]
pub fn pdf(pages: &[Page], facts: &DocumentFacts) -> Vec<u8> {
    let mut refs = Refs(0);
    let mut pdf = Pdf::new();
    let (catalog, tree, info) = (refs.next(), refs.next(), refs.next());
    let page_refs: Vec<Ref> = pages.iter().map(|_| refs.next()).collect();
    let mut shared = Shared { fonts: Fonts::of(pages, &mut refs), layers: BTreeMap::new() };
    for (place, layer) in layers_in_order(pages).into_iter().enumerate() {
        shared.layers.insert(layer, (refs.next(), format!("L{place}")));
    }
    let mut structure = Structure::new(&mut refs);
    for (place, (page, &id)) in pages.iter().zip(&page_refs).enumerate() {
        write_page(&mut pdf, page, (id, tree, place), &shared, &mut structure, &mut refs);
    }
    pdf.pages(tree)
        .kids(page_refs.iter().copied())
        .count(i32::try_from(pages.len()).unwrap_or(i32::MAX));
    shared.fonts.write(&mut pdf);
    for (layer, (id, _)) in &shared.layers {
        let mut group = pdf.indirect(*id).dict();
        group.pair(Name(b"Type"), Name(b"OCG"));
        group.pair(Name(b"Name"), TextStr(layer.0));
    }
    let outline = write_outline(&mut pdf, pages, &page_refs, &mut refs);
    let labels: Vec<Ref> = pages.iter().map(|_| refs.next()).collect();
    for (page, &id) in pages.iter().zip(&labels) {
        let mut label = pdf.indirect(id).dict();
        label.pair(Name(b"P"), TextStr(&page.number));
    }
    structure.write(&mut pdf, &page_refs, &mut refs);
    write_info(&mut pdf, info, facts);
    let metadata = refs.next();
    // Kept plain, so that what indexes files reads it without unpacking (ISO 32000-1, 14.3.2).
    pdf.metadata(metadata, xmp::packet(facts).as_bytes());
    write_catalog(&mut pdf, (catalog, tree, metadata), outline, &labels, &shared, &structure);
    let id = content_id(&pdf);
    pdf.set_file_id((id.clone(), id));
    pdf.finish()
}

/// Layers in the order in which they first appear.
fn layers_in_order(pages: &[Page]) -> Vec<Layer> {
    let mut layers: Vec<Layer> = Vec::new();
    for mark in pages.iter().flat_map(Page::marks) {
        if !layers.contains(&mark.layer) {
            layers.push(mark.layer);
        }
    }
    layers
}

fn write_page(
    pdf: &mut Pdf,
    page: &Page,
    (id, tree, place): (Ref, Ref, usize),
    shared: &Shared,
    structure: &mut Structure,
    refs: &mut Refs,
) {
    let contents = refs.next();
    let bytes = content::stream(page, place, shared, structure, refs);
    let packed = miniz_oxide::deflate::compress_to_vec_zlib(&bytes, 8);
    pdf.stream(contents, &packed).filter(pdf_writer::Filter::FlateDecode);
    let mut writer = pdf.page(id);
    writer.parent(tree).contents(contents);
    writer.media_box(Rect::new(0.0, 0.0, page.size.width as f32, page.size.height as f32));
    writer.struct_parents(i32::try_from(place).unwrap_or(i32::MAX));
    writer.tab_order(pdf_writer::types::TabOrder::StructureOrder);
    measure::write(&mut writer, page);
    let mut resources = writer.resources();
    let mut fonts = resources.fonts();
    for (name, id) in shared.fonts.names() {
        fonts.pair(Name(name), id);
    }
    fonts.finish();
    let mut properties = resources.insert(Name(b"Properties")).dict();
    for (id, name) in shared.layers.values() {
        properties.pair(Name(name.as_bytes()), *id);
    }
}

fn write_outline(pdf: &mut Pdf, pages: &[Page], page_refs: &[Ref], refs: &mut Refs) -> Option<Ref> {
    let items: Vec<Ref> = pages.iter().map(|_| refs.next()).collect();
    let (&first, &last) = (items.first()?, items.last()?);
    let root = refs.next();
    let count = i32::try_from(items.len()).unwrap_or(i32::MAX);
    pdf.outline(root).first(first).last(last).count(count);
    for (place, ((page, &page_ref), &item)) in pages.iter().zip(page_refs).zip(&items).enumerate() {
        let title = format!("{} {}", page.number, page.title);
        let mut writer = pdf.outline_item(item);
        writer.title(TextStr(title.trim())).parent(root);
        if place > 0 {
            writer.prev(items[place - 1]);
        }
        if let Some(&next) = items.get(place + 1) {
            writer.next(next);
        }
        writer.dest().page(page_ref).fit();
    }
    Some(root)
}

fn write_info(pdf: &mut Pdf, info: Ref, facts: &DocumentFacts) {
    let mut writer = pdf.document_info(info);
    writer.title(TextStr(&facts.title));
    writer.author(TextStr(&facts.author));
    writer.subject(TextStr(&facts.subject));
    writer.creator(TextStr(CREATOR));
    if let Some((year, month, day)) = facts.date {
        writer.creation_date(Date::new(year).month(month).day(day));
    }
}

fn write_catalog(
    pdf: &mut Pdf,
    (catalog, tree, metadata): (Ref, Ref, Ref),
    outline: Option<Ref>,
    labels: &[Ref],
    shared: &Shared,
    structure: &Structure,
) {
    let mut writer = pdf.catalog(catalog);
    writer.pages(tree);
    writer.lang(TextStr("en-US"));
    writer.metadata(metadata);
    if let Some(outline) = outline {
        writer.outlines(outline);
        writer.page_mode(PageMode::UseOutlines);
    }
    let mut numbers = writer.page_labels();
    let mut nums = numbers.nums();
    for (place, &label) in labels.iter().enumerate() {
        nums.insert(i32::try_from(place).unwrap_or(i32::MAX), label);
    }
    nums.finish();
    numbers.finish();
    let mut preferences = writer.viewer_preferences();
    preferences.display_doc_title(true);
    preferences.pair(Name(b"PrintScaling"), Name(b"None"));
    preferences.finish();
    writer.mark_info().marked(true);
    writer.pair(Name(b"StructTreeRoot"), structure.root());
    let groups: Vec<Ref> = layers_by_number(shared).into_iter().map(|(id, _)| id).collect();
    let mut properties = writer.insert(Name(b"OCProperties")).dict();
    properties.insert(Name(b"OCGs")).array().items(groups.iter().copied());
    let mut usual = properties.insert(Name(b"D")).dict();
    usual.pair(Name(b"Name"), TextStr("Layers"));
    usual.insert(Name(b"Order")).array().items(groups.iter().copied());
    usual.insert(Name(b"ON")).array().items(groups.iter().copied());
}

fn layers_by_number(shared: &Shared) -> Vec<(Ref, String)> {
    let mut groups: Vec<(Ref, String)> = shared.layers.values().cloned().collect();
    groups.sort_by_key(|(id, _)| id.get());
    groups
}

/// A number for the file from its content alone (two 64-bit FNV-1a sums).
fn content_id(pdf: &Pdf) -> Vec<u8> {
    let sum = |seed: u64| {
        pdf.as_bytes()
            .iter()
            .fold(seed, |sum, &byte| (sum ^ u64::from(byte)).wrapping_mul(0x0000_0100_0000_01b3))
    };
    [sum(0xcbf2_9ce4_8422_2325), sum(0x8422_2325_cbf2_9ce4)]
        .iter()
        .flat_map(|sum| sum.to_be_bytes())
        .collect()
}

#[cfg(test)]
mod tests {
    use super::super::sample;
    use super::*;
    use std::process::Command;

    fn facts() -> DocumentFacts {
        DocumentFacts {
            title: "Sample slab".into(),
            author: "A. Drafter".into(),
            subject: "Slab sheets".into(),
            date: Some((2026, 5, 4)),
        }
    }

    #[test]
    fn same_pages_same_bytes() {
        let pages = [sample::page(), sample::page()];
        let bytes = pdf(&pages, &facts());
        assert_eq!(bytes, pdf(&pages, &facts()));
        assert!(bytes.len() < 60_000, "{}", bytes.len());
        assert!(bytes.starts_with(b"%PDF-1.7"));
    }

    #[test]
    fn the_print_dialog_is_asked_not_to_scale() {
        let bytes = pdf(&[sample::page()], &facts());
        let text = String::from_utf8_lossy(&bytes).replace('\n', " ");
        assert!(text.contains("/PrintScaling /None"));
        assert!(text.contains("/MarkInfo") && text.contains("/Marked true"));
        assert!(text.contains("/OCProperties"));
    }

    /// Independent readers, where they are installed.
    #[test]
    fn independent_readers_find_it_sound() {
        let folder = tempfile::tempdir().unwrap();
        let file = folder.path().join("sample.pdf");
        std::fs::write(&file, pdf(&[sample::page()], &facts())).unwrap();
        let run = |program: &str, arguments: &[&str]| {
            let output = Command::new(program).args(arguments).output().ok()?;
            assert!(output.status.success(), "{program}: {output:?}");
            Some(String::from_utf8_lossy(&output.stdout).into_owned())
        };
        let path = file.to_str().unwrap();
        if let Some(said) = run("qpdf", &["--check", path]) {
            assert!(said.contains("No syntax or stream encoding errors"), "{said}");
        }
        if let Some(text) = run("pdftotext", &[path, "-"]) {
            for words in ["26'-0\" <north>", "Ø 1/2\" → 3 ½ ′″ ≤ é", "upright", "13.5"] {
                assert!(text.contains(words), "{words} in {text}");
            }
        }
        if let Some(said) = run("pdffonts", &[path]) {
            for line in said.lines().skip(2) {
                assert!(line.contains("yes yes yes"), "embedded, subset, unicode: {line}");
            }
        }
        if let Some(said) = run("pdfinfo", &["-struct", path]) {
            assert!(said.contains("Figure") && said.contains("Table") && said.contains("TH"));
        }
    }
}
