//! Findings: what is wrong or worth knowing, where, by which rule, and what to do about it.
//!
//! A rule is a file of this room, in the folder of its subject: its id, how bad it is, where it
//! comes from, the function that looks, and two tests (a job that trips it and one that just does
//! not). `check`, the panel, the cover sheet and the documentation all walk the same [`rules`].
//! To add one: its file, and one line in its subject's list.

mod concrete;
mod foam;
mod heat;
mod joints;
mod plan;
mod pour;
mod safety;
mod tube;

use crate::geometry::Point;
use crate::job::Job;
use crate::job::ids::ItemId;
use crate::parts::Parts;

/// How bad a finding is.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub enum Severity {
    /// Do not build it so.
    Stop,
    /// Look at it before building.
    Warn,
    /// Worth knowing.
    #[default]
    Note,
}

/// A rule that jobs are held against.
#[derive(Clone, Copy, Debug)]
pub struct Rule {
    /// Subject and name, such as `concrete.thin-floor`.
    pub id: &'static str,
    /// How bad it is.
    pub severity: Severity,
    /// What the rule asks, in one sentence.
    pub asks: &'static str,
    /// Document, edition and table with how it is known, or "common practice".
    pub source: &'static str,
    /// Looks for breaches.
    pub look: fn(&Job, &Parts) -> Vec<Hit>,
}

/// One breach of a rule.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Hit {
    /// Where on the plan.
    pub at: Option<Point>,
    /// The thing of the job it is about.
    pub item: Option<ItemId>,
    /// What is wrong, in the user's words, with the numbers.
    pub message: String,
    /// What to do.
    pub remedy: String,
}

/// Something that a person should know before the truck is ordered.
#[derive(Clone, Debug, PartialEq)]
pub struct Finding {
    /// The rule's id.
    pub rule: &'static str,
    /// How bad.
    pub severity: Severity,
    /// Where on the plan.
    pub at: Option<Point>,
    /// The thing of the job it is about.
    pub item: Option<ItemId>,
    /// What is wrong, in the user's words.
    pub message: String,
    /// What to do.
    pub remedy: String,
    /// Document, edition and table, or that it is common practice.
    pub source: &'static str,
}

/// Every rule, subject by subject.
pub fn rules() -> impl Iterator<Item = &'static Rule> {
    [
        plan::RULES,
        concrete::RULES,
        foam::RULES,
        tube::RULES,
        joints::RULES,
        heat::RULES,
        pour::RULES,
        safety::RULES,
    ]
    .into_iter()
    .flatten()
}

/// All findings of a job, worst first, in the order of the rules.
#[must_use]
pub fn find(job: &Job, parts: &Parts) -> Vec<Finding> {
    let mut findings: Vec<Finding> = rules()
        .flat_map(|rule| {
            (rule.look)(job, parts).into_iter().map(|hit| Finding {
                rule: rule.id,
                severity: rule.severity,
                at: hit.at,
                item: hit.item,
                message: hit.message,
                remedy: hit.remedy,
                source: rule.source,
            })
        })
        .collect();
    findings.sort_by_key(|finding| finding.severity);
    findings
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_rule_has_an_id_of_its_own_a_question_and_a_source() {
        let mut ids: Vec<&str> = rules().map(|rule| rule.id).collect();
        for rule in rules() {
            assert!(rule.id.contains('.'), "{}: subject and name", rule.id);
            assert!(rule.asks.ends_with('.'), "{}: asks in a sentence", rule.id);
            assert!(!rule.source.is_empty(), "{}: says where it comes from", rule.id);
        }
        let count = ids.len();
        ids.sort_unstable();
        ids.dedup();
        assert_eq!(ids.len(), count);
    }
}
