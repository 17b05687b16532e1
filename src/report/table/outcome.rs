//! The answers that are no plan.

use super::{Page, Tone};
use crate::report::{known, words};
use crate::split::{Answer, Reason};
use tumpline_core::text::clean;

impl Page<'_> {
    pub(super) fn no_plan(&mut self, reason: &Reason) {
        self.say(words::NO_PLAN, 0, Tone::Bad);
        self.blank();
        self.say(&format!("Why: {}.", clean(&reason.text)), 0, Tone::Plain);
        if let Some(place) = &reason.place {
            self.say(&format!("Where: {}", clean(&place.to_string())), 0, Tone::Plain);
        }
    }

    pub(super) fn none_found(&mut self, answer: &Answer) {
        let [what, proof, advice] = known::none_found(answer);
        self.say(&what, 0, Tone::Bad);
        if let Some(stopped) = known::stopped(answer) {
            self.say(&stopped, 0, Tone::Plain);
        }
        self.blank();
        self.say(&proof, 0, Tone::Plain);
        self.say(&advice, 0, Tone::Plain);
    }
}
