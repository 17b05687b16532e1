//! Why there is no plan, and what would make one.

use super::{CAUTION, Page, Tone};
use crate::ask::{Explanation, Offer};
use crate::report::text::clean;
use crate::report::why;

/// Blanks before what belongs to a numbered line.
const INDENT: usize = 5;

impl Page<'_> {
    pub(super) fn why(&mut self, explanation: &Explanation) {
        let all = &explanation.conflicts;
        for (k, conflict) in all.iter().enumerate() {
            self.heading(&why::heading(k, all.len()));
            for part in why::told(self.order, conflict) {
                self.marked("-", &part.text);
                let place = part.place.map(|p| format!("at {p}"));
                place.into_iter().for_each(|p| self.say(&p, INDENT, Tone::Faint));
            }
            self.say(why::known(conflict), 0, Tone::Plain);
        }
        self.heading(why::CHANGES);
        self.say(&why::intro(explanation), 0, Tone::Plain);
        for (k, offer) in explanation.offers.iter().enumerate() {
            self.offer(k + 1, offer);
        }
        if !explanation.complete {
            self.say(why::INCOMPLETE, 0, Tone::Plain);
        }
        self.blank();
        self.say(CAUTION, 0, Tone::Plain);
    }

    fn offer(&mut self, number: usize, offer: &Offer) {
        self.marked(&number.to_string(), &why::offer(self.order, offer));
        for edit in why::edits(self.order, &offer.changes) {
            self.say(&clean(&edit.to_string()), INDENT, Tone::Faint);
        }
    }

    /// A text after a mark of up to three columns.
    fn marked(&mut self, mark: &str, text: &str) {
        let at = self.lines.len();
        self.say(text, INDENT, Tone::Plain);
        if let Some(line) = self.lines.get_mut(at) {
            let rest = line.split_off(INDENT.min(line.len()));
            *line = format!("{mark:>3}  {rest}");
        }
    }
}
