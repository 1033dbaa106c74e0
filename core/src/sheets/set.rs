//! Which sheets, in which order, and their numbers.
//!
//! To add a sheet: its file, and one line in [`SHEETS`].

use super::frame::{self, Draft};
use super::{
    cover, edges, foam, forms, heat, joints, money, order, pour, record, steel, subgrade, tube,
};
use crate::derive::Results;
use crate::drawing::{Page, Table};
use crate::job::Job;

/// What a sheet is about.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Subject {
    /// Job facts, picture, quantities, findings, sheet list.
    Cover,
    /// Forms: dimensions, squaring, offsets.
    Forms,
    /// Sections through edges.
    Edges,
    /// Foam boards.
    Foam,
    /// Steel and membrane.
    Steel,
    /// Tube.
    Tube,
    /// Floor temperature, sections, choices of heat.
    Heat,
    /// Joints.
    Joints,
    /// The pour.
    Pour,
    /// The ground as measured.
    Subgrade,
    /// The bid for the customer.
    Bid,
    /// What to order.
    Order,
    /// What was really built.
    Record,
}

/// A sheet's subject, its word on the command line, and its function.
type Sheet = (Subject, &'static str, fn(&Job, &Results) -> Vec<Draft>);

/// Every sheet in the order of the set, the cover first.
pub const SHEETS: &[Sheet] = &[
    (Subject::Forms, "forms", forms::sheets),
    (Subject::Edges, "edges", edges::sheets),
    (Subject::Foam, "foam", foam::sheets),
    (Subject::Steel, "steel", steel::sheets),
    (Subject::Tube, "tube", tube::sheets),
    (Subject::Heat, "heat", heat::sheets),
    (Subject::Joints, "joints", joints::sheets),
    (Subject::Pour, "pour", pour::sheets),
    (Subject::Subgrade, "subgrade", subgrade::sheets),
    (Subject::Bid, "bid", money::sheets),
    (Subject::Order, "order", order::sheets),
    (Subject::Record, "record", record::sheets),
];

/// The word for the cover on the command line.
pub const COVER: &str = "cover";

impl Subject {
    /// The subject that a word of the command line names.
    #[must_use]
    pub fn of_word(word: &str) -> Option<Self> {
        if word == COVER {
            return Some(Self::Cover);
        }
        SHEETS.iter().find(|(_, name, _)| *name == word).map(|(subject, ..)| *subject)
    }

    /// Every word that names a subject, cover first.
    pub fn words() -> impl Iterator<Item = &'static str> {
        std::iter::once(COVER).chain(SHEETS.iter().map(|(_, word, _)| *word))
    }
}

/// The whole sheet set of a job, numbered and framed.
#[must_use]
pub fn sheet_set(job: &Job, results: &Results) -> Vec<Page> {
    sheet_set_of(job, results, &[])
}

/// The sheets of some subjects, or all of them when none is named; in the order of the set.
#[must_use]
pub fn sheet_set_of(job: &Job, results: &Results, subjects: &[Subject]) -> Vec<Page> {
    let is_wanted = |subject| subjects.is_empty() || subjects.contains(&subject);
    let mut drafts: Vec<Draft> = SHEETS
        .iter()
        .filter(|(subject, ..)| is_wanted(*subject))
        .flat_map(|(_, _, draw)| draw(job, results))
        .collect();
    if is_wanted(Subject::Cover) {
        let titles: Vec<String> = drafts.iter().map(|draft| draft.page.title.clone()).collect();
        let covers = cover::sheets(job, results, &titles);
        drafts.splice(0..0, covers);
    }
    let count = drafts.len();
    drafts
        .into_iter()
        .enumerate()
        .map(|(place, mut draft)| {
            frame::finish(&mut draft, job, place + 1, count);
            draft.page
        })
        .collect()
}

/// Every table of the set, for export as plain rows.
#[must_use]
pub fn tables(pages: &[Page]) -> Vec<&Table> {
    pages.iter().flat_map(|page| &page.tables).filter(|table| !table.columns.is_empty()).collect()
}
