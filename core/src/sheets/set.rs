//! Which sheets, in which order, and their numbers.
//!
//! To add a sheet: its file, and one line in [`SHEETS`].

use super::frame::{self, Draft};
use super::{
    cover, edges, foam, forms, heat, joints, money, order, pour, record, steel, subgrade, tube,
};
use crate::derive::Results;
use crate::derive::alternates::{PricedAlternate, priced_alternates};
use crate::drawing::{Page, Table};
use crate::effort::Cancel;
use crate::job::Job;
use crate::units::Cents;

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

/// The sheets of some subjects, or all of them when none is named; in the order of the set. The
/// alternates that stand behind the bid are derived on the way, when the bid is asked for.
#[must_use]
pub fn sheet_set_of(job: &Job, results: &Results, subjects: &[Subject]) -> Vec<Page> {
    let has_bid = is_wanted(subjects, Subject::Bid) && results.parts.price.total != Cents(0);
    // Nobody holds the flag, so the work cannot be given up.
    let alternates = has_bid.then(|| priced_alternates(job, results, &Cancel::new()));
    ready_set(job, results, &alternates.and_then(Result::ok).unwrap_or_default(), subjects)
}

/// The same when the alternates are priced already: nothing is derived here, only drawn.
#[must_use]
pub fn ready_set(
    job: &Job,
    results: &Results,
    alternates: &[PricedAlternate],
    subjects: &[Subject],
) -> Vec<Page> {
    let mut drafts: Vec<Draft> = Vec::new();
    for (subject, _, draw) in SHEETS.iter().filter(|(subject, ..)| is_wanted(subjects, *subject)) {
        let of_subject = draw(job, results);
        let has_bid = *subject == Subject::Bid && !of_subject.is_empty();
        drafts.extend(of_subject);
        if has_bid {
            drafts.extend(money::alternate_sheets(job, results, alternates));
        }
    }
    if is_wanted(subjects, Subject::Cover) {
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

/// Whether a subject is among those asked for; all are when none is named.
fn is_wanted(subjects: &[Subject], subject: Subject) -> bool {
    subjects.is_empty() || subjects.contains(&subject)
}

/// Every table of the set, for export as plain rows.
#[must_use]
pub fn tables(pages: &[Page]) -> Vec<&Table> {
    pages.iter().flat_map(|page| &page.tables).filter(|table| !table.columns.is_empty()).collect()
}
