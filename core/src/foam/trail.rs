//! Filling again where only some choices changed.
//!
//! Question: what comes of these choices, when strips filled before the first that changed come
//! to the same as last time? A search changes one to three of them at a time; going on from a
//! stage of the last filling gives the same boards sooner.

use super::end_seams::EndSeam;
use super::fill::{Choice, Filled, Task, Work};
use std::rc::Rc;

/// Stages of a filling that are kept at most, and strips between two of them at least.
const MOST_STAGES: usize = 5;
const LEAST_BETWEEN: usize = 3;

/// A filling strip by strip, with some stages of it: one that begins with the same strips and
/// choices goes on from there and comes to the same as one from the start.
#[derive(Clone, Debug, Default)]
pub(super) struct Trail {
    steps: Vec<(usize, Choice)>,
    stages: Vec<Rc<Stage>>,
}

/// How far a filling had come after so many strips.
#[derive(Debug)]
struct Stage {
    strips: usize,
    seams: Vec<Vec<EndSeam>>,
    filled: Filled,
}

impl Task {
    /// Fills all strips by the choices, going on from where they part from those of another trail;
    /// gives the trail of it too. `None` when it takes more than `most` boards.
    pub fn fill_along(
        &self,
        choices: &[Choice],
        most: u32,
        trail: &Trail,
    ) -> Option<(Filled, Trail)> {
        let steps = self.in_order(choices);
        let alike = steps.iter().zip(&trail.steps).take_while(|(a, b)| a == b).count();
        let kept = trail.stages.iter().take_while(|stage| stage.strips <= alike);
        let mut stages: Vec<Rc<Stage>> = kept.cloned().collect();
        let every = steps.len().div_ceil(MOST_STAGES).max(LEAST_BETWEEN);
        let (mut work, done) = match stages.last() {
            Some(stage) => {
                let (seams, filled) = (stage.seams.clone(), stage.filled.clone());
                (Work { task: self, seams, filled }, stage.strips)
            }
            None => (Work::at_start(self), 0),
        };
        for (count, &(index, choice)) in (1..).zip(&steps).skip(done) {
            work.fill_strip(index, choice);
            if work.filled.boards > most {
                return None;
            }
            if count % every == 0 {
                let (seams, filled) = (work.seams.clone(), work.filled.clone());
                stages.push(Rc::new(Stage { strips: count, seams, filled }));
            }
        }
        (work.filled.boards <= most).then_some((work.filled, Trail { steps, stages }))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::foam::courses::{Division, strips_of};
    use crate::foam::fill::{Start, Stock};
    use crate::foam::search::Dice;
    use crate::geometry::{Point, Polygon};

    #[test]
    fn going_on_from_a_stage_comes_to_the_same_as_from_the_start() {
        // A floor with a slanted wall in nine courses.
        let corners = [(0.0, 0.0), (400.0, 0.0), (500.0, 200.0), (500.0, 430.0), (0.0, 430.0)];
        let floor = Polygon::new(corners.map(|(x, y)| Point::new(x, y)).to_vec(), Vec::new());
        let division = Division { offset: 10.0, width: 48.0, step_kept: 3.0 };
        let strips = strips_of(std::slice::from_ref(&floor), division);
        let stock = Stock {
            length: 96.0,
            width: 48.0,
            kerf: 0.125,
            stagger: 12.0,
            least: 6.0,
            apart: 12.0,
        };
        let task = Task::new(strips, stock);
        let mut choices = vec![Choice::default(); task.strips.len()];
        for (place, choice) in (0..).zip(&mut choices) {
            choice.order = place;
        }
        let (mut dice, mut trail) = (Dice::new(7), Trail::default());
        for _ in 0..60 {
            let place = dice.below(choices.len());
            choices[place].is_backward = !choices[place].is_backward;
            choices[place].start = Start::Twelfths(1 + dice.below(11) as u8);
            let whole = task.fill(&choices, u32::MAX).unwrap();
            let (filled, own) = task.fill_along(&choices, u32::MAX, &trail).unwrap();
            let seen = |filled: &Filled| (filled.boards, filled.cuts, filled.close, filled.work);
            assert_eq!(seen(&filled), seen(&whole));
            assert_eq!((&filled.laid, &filled.pool), (&whole.laid, &whole.pool));
            assert!(task.fill_along(&choices, filled.boards - 1, &own).is_none());
            trail = own;
        }
        assert!(!trail.stages.is_empty());
    }
}
