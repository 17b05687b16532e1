//! Why there is no plan, and what would make one.

use super::{CAUTION, Page, Tone};
use crate::ask::Explanation;
use crate::report::explained;
use crate::split::Reason;

/// Blanks before what belongs to a numbered line.
const INDENT: usize = 5;

impl Page<'_> {
    pub(super) fn explained(&mut self, given: &Reason, explanation: &Explanation) {
        let all = &explanation.conflicts;
        for (k, conflict) in all.iter().enumerate() {
            self.heading(&explained::heading(k, all.len()));
            for part in explained::told(self.order, conflict) {
                self.marked("-", &part.text);
                let place = part.place.map(|p| format!("at {p}"));
                place.into_iter().for_each(|p| self.say(&p, INDENT, Tone::Faint));
            }
            let reason = explained::reason(conflict, given);
            reason.into_iter().for_each(|r| self.say(&r, 0, Tone::Plain));
            self.say(explained::known(conflict), 0, Tone::Plain);
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
