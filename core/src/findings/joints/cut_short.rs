//! A search for joints that ended before it had tried every way to take the floor apart.

use crate::findings::{Hit, Rule, Severity};
use crate::job::Job;
use crate::parts::Parts;

pub(super) const RULE: Rule = Rule {
    id: "joints.cut_short",
    severity: Severity::Note,
    asks: "Every way to lay out the joints that the program knows has been tried.",
    source: "a limit of this program, so that no floor keeps you waiting",
    look,
};

fn look(job: &Job, parts: &Parts) -> Vec<Hit> {
    let is_told = job.joints.has_contraction_joints && parts.joints.layout.is_cut_short;
    is_told
        .then(|| Hit {
            message: "This floor is too involved to try every layout of joints: the best of those \
                      tried is shown"
                .to_owned(),
            remedy: "Look the layout over, and draw the joints that you want to keep".to_owned(),
            ..Hit::default()
        })
        .into_iter()
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::joints::{JointLayout, SettledJoints};
    use std::sync::Arc;

    #[test]
    fn a_search_cut_short_is_told() {
        let told = |is_cut_short| {
            let layout = JointLayout { is_cut_short, ..JointLayout::default() };
            let joints = Arc::new(SettledJoints { layout, ..SettledJoints::default() });
            look(&Job::default(), &Parts { joints, ..Parts::default() }).len()
        };
        assert_eq!((told(true), told(false)), (1, 0));
    }
}
