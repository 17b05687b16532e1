//! What was asked on a walk: a question that comes up again and is settled needs
//! no second look, and one that is open goes on from where it was.

use crate::ask::{Oracle, oracle};
use crate::load::{MoveOrder, Share};
use crate::split::Answer;
use std::cell::RefCell;
use std::time::Duration;

/// A question about the move of one walk.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Question {
    /// The best wants below this share, and the least share for them.
    Below(Option<Share>),
    /// The least share that meets the needs, and the best wants with it.
    Least,
    /// The best wants up to this share, of each want no more than this.
    Within(Share, Vec<u32>),
}

/// Answers so far, with the longest time that was given for each.
#[derive(Debug, Clone, Default)]
pub(super) struct Asked {
    known: RefCell<Vec<(Question, Answer, Duration)>>,
}

impl Asked {
    /// The answer to a question, whose move is `order`.
    pub fn answer(
        &self,
        question: Question,
        order: &MoveOrder,
        oracle: &Oracle<'_>,
        most: Duration,
    ) -> Answer {
        let found = self.known.borrow().iter().position(|(q, ..)| *q == question);
        let Some(at) = found else {
            let answer = oracle.answer(order, most);
            self.known.borrow_mut().push((question, answer.clone(), most));
            return answer;
        };
        let (_, earlier, had) = self.known.borrow()[at].clone();
        // The same in no more time comes to the same.
        if !oracle::open(&earlier) || most <= had || oracle.over() {
            return earlier;
        }
        let answer = oracle.go_on(order, &earlier, most);
        self.known.borrow_mut()[at] = (question, answer.clone(), most);
        answer
    }
}
