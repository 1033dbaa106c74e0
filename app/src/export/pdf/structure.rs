//! The structure that a reader hears: a section a page, headings, paragraphs, figures with words
//! for what they show, tables by row and cell.

use super::Refs;
use pdf_writer::types::StructRole;
use pdf_writer::{Finish, Name, Pdf, Ref, TextStr};
use slabloom_core::drawing::page::Role;

struct Element {
    id: Ref,
    role: StructRole,
    parent: Ref,
    page: usize,
    alt: Option<String>,
    kids: Vec<Kid>,
}

enum Kid {
    Element(Ref),
    Content(i32),
}

/// Structure elements as they are met.
pub struct Structure {
    root: Ref,
    document: Ref,
    elements: Vec<Element>,
    /// By page: the element of each piece of marked content.
    owners: Vec<Vec<Ref>>,
    /// Place of the page's section, the open table and its open row in `elements`.
    section: usize,
    table: Option<(u32, usize)>,
    row: Option<(u32, usize)>,
}

impl Structure {
    /// An empty tree.
    pub fn new(refs: &mut Refs) -> Self {
        let (root, document) = (refs.next(), refs.next());
        let top = Element {
            id: document,
            role: StructRole::Document,
            parent: root,
            page: 0,
            alt: None,
            kids: Vec::new(),
        };
        Self {
            root,
            document,
            elements: vec![top],
            owners: Vec::new(),
            section: 0,
            table: None,
            row: None,
        }
    }

    /// The root object.
    pub const fn root(&self) -> Ref {
        self.root
    }

    /// Opens a page's section.
    pub fn start_page(&mut self, page: usize, title: &str, refs: &mut Refs) {
        self.owners.push(Vec::new());
        (self.table, self.row) = (None, None);
        self.section = 0;
        let _ = self.document;
        self.section = self.open(0, StructRole::Sect, page, Some(title.to_owned()), refs);
    }

    /// Adds an element under another; gives its place.
    fn open(
        &mut self,
        parent: usize,
        role: StructRole,
        page: usize,
        alt: Option<String>,
        refs: &mut Refs,
    ) -> usize {
        let id = refs.next();
        let parent_id = self.elements[parent].id;
        self.elements[parent].kids.push(Kid::Element(id));
        self.elements.push(Element { id, role, parent: parent_id, page, alt, kids: Vec::new() });
        self.elements.len() - 1
    }

    /// Enters a block: the tag and number of its marked content; `None` for decoration.
    pub fn enter(&mut self, role: &Role, refs: &mut Refs) -> Option<(&'static [u8], i32)> {
        let page = self.owners.len().checked_sub(1)?;
        let (tag, kind, alt): (&'static [u8], _, _) = match role {
            Role::Artifact => return None,
            Role::Figure { alt } => (b"Figure", StructRole::Figure, Some(alt.clone())),
            Role::Heading => (b"H1", StructRole::H1, None),
            Role::Paragraph => (b"P", StructRole::P, None),
            Role::Cell { is_heading: true, .. } => (b"TH", StructRole::TH, None),
            Role::Cell { is_heading: false, .. } => (b"TD", StructRole::TD, None),
        };
        let parent = match role {
            Role::Cell { table, row, .. } => self.row_of(*table, *row, page, refs),
            _ => {
                (self.table, self.row) = (None, None);
                self.section
            }
        };
        let place = self.open(parent, kind, page, alt, refs);
        let number = i32::try_from(self.owners[page].len()).unwrap_or(i32::MAX);
        self.elements[place].kids.push(Kid::Content(number));
        let id = self.elements[place].id;
        self.owners[page].push(id);
        Some((tag, number))
    }

    fn row_of(&mut self, table: u32, row: u32, page: usize, refs: &mut Refs) -> usize {
        let table_place = match self.table {
            Some((open, place)) if open == table => place,
            _ => {
                self.row = None;
                let place = self.open(self.section, StructRole::Table, page, None, refs);
                self.table = Some((table, place));
                place
            }
        };
        match self.row {
            Some((open, place)) if open == row => place,
            _ => {
                let place = self.open(table_place, StructRole::TR, page, None, refs);
                self.row = Some((row, place));
                place
            }
        }
    }

    /// Writes the tree.
    pub fn write(&self, pdf: &mut Pdf, pages: &[Ref], refs: &mut Refs) {
        let lists: Vec<Ref> = self.owners.iter().map(|_| refs.next()).collect();
        for (owners, &list) in self.owners.iter().zip(&lists) {
            pdf.indirect(list).array().items(owners.iter().copied());
        }
        let parent_tree = refs.next();
        let mut tree = pdf.indirect(parent_tree).dict();
        let mut nums = tree.insert(Name(b"Nums")).array();
        for (page, &list) in lists.iter().enumerate() {
            nums.item(i32::try_from(page).unwrap_or(i32::MAX)).item(list);
        }
        nums.finish();
        tree.finish();
        let mut root = pdf.indirect(self.root).dict();
        root.pair(Name(b"Type"), Name(b"StructTreeRoot"));
        root.pair(Name(b"K"), self.document);
        root.pair(Name(b"ParentTree"), parent_tree);
        root.pair(Name(b"ParentTreeNextKey"), i32::try_from(lists.len()).unwrap_or(i32::MAX));
        root.finish();
        for element in &self.elements {
            let mut writer = pdf.struct_element(element.id);
            writer.kind(element.role).parent(element.parent);
            if let Some(&page) = pages.get(element.page) {
                writer.page(page);
            }
            match (&element.alt, element.role) {
                (Some(words), StructRole::Figure) => {
                    writer.alt(TextStr(words));
                }
                (Some(words), _) => {
                    writer.title(TextStr(words));
                }
                (None, _) => {}
            }
            if element.role == StructRole::TH {
                writer
                    .attributes()
                    .push()
                    .table()
                    .scope(pdf_writer::types::TableHeaderScope::Column);
            }
            let mut kids = writer.children();
            for kid in &element.kids {
                match kid {
                    Kid::Element(id) => kids.struct_element(*id),
                    Kid::Content(number) => kids.marked_content_id(*number),
                };
            }
        }
    }
}
