//! Why there is no plan, and what would make one.

use super::{CAUTION, Page, Tone};
use crate::ask::Explanation;
use crate::report::explained;
use crate::split::Reason;

/// Blanks before what belongs to a numbered line.
const INDENT: usize = 5;

impl Page<'_> {
    pub(super) fn explained(&mut self, given: &Reason, explanation: &Explanation) {
        for (k, conflict) in explanation.conflicts.iter().enumerate() {
            self.heading(&explained::heading(k, explanation));
            let (told, more) = explained::told_to_people(self.order, conflict);
            for part in told {
                self.marked("-", &part.text);
                let place = part.place.map(|p| format!("at {p}"));
                place.into_iter().for_each(|p| self.say(&p, INDENT, Tone::Faint));
            }
            more.into_iter().for_each(|m| self.marked("-", &m));
            let reason = explained::reason(conflict, given);
            reason.into_iter().for_each(|r| self.say(&r, 0, Tone::Plain));
            self.say(explained::known(conflict), 0, Tone::Plain);
        }
        if explanation.more {
            self.say(explained::MORE, 0, Tone::Plain);
        }
        self.heading(explained::CHANGES);
        self.say(&explained::intro(explanation), 0, Tone::Plain);
        for (k, offers) in explained::lines(explanation).into_iter().enumerate() {
            let (text, edits) = explained::line(self.order, offers);
            self.marked(&(k + 1).to_string(), &text);
            edits.iter().for_each(|e| self.say(e, INDENT, Tone::Faint));
        }
        if !explanation.complete {
            self.say(explained::INCOMPLETE, 0, Tone::Plain);
        }
        self.blank();
        self.say(CAUTION, 0, Tone::Plain);
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
