//! What changed, before the loads: first what people have to do.

use super::{Page, Tone};
use crate::ask::Replanned;
use crate::report::anew::{
    by_the_scales, difference, gone_and_new, over, path, summary, told_anyhow, used_up, verb,
};
use crate::report::page::terminal::Grid;
use crate::report::words;
use crate::split::Outcome;

const INDENT: usize = 2;

impl Page<'_> {
    pub(super) fn anew(&mut self, anew: &Replanned) {
        self.weighed(anew);
        let planned = matches!(anew.answer.outcome, Outcome::Plan(_));
        if !planned && !told_anyhow(anew) {
            return;
        }
        self.heading("Changes from the plan before");
        self.say(&summary(anew), INDENT, Tone::Plain);
        for used in &anew.used {
            self.say(&format!("used up: {}", used_up(anew, used)), INDENT, Tone::Plain);
        }
        let moved = anew.hand_overs.iter().map(|h| {
            vec![
                verb(anew, h).to_string(),
                h.count.to_string(),
                words::item_name(&anew.order, h.item),
                path(anew, h),
            ]
        });
        let other = gone_and_new(anew)
            .into_iter()
            .map(|(word, n, name)| vec![word.into(), n.to_string(), name, String::new()]);
        let rows: Vec<Vec<String>> = moved.chain(other).collect();
        if !rows.is_empty() {
            self.grid(&Grid { rows, align: "lrll", gives: &[(2, 14), (3, 16)] });
        }
    }

    fn weighed(&mut self, anew: &Replanned) {
        let Some(found) = &anew.weighed else { return };
        let units = anew.order.units();
        self.heading("Weighed against the catalogue");
        let rows = found.differ.iter().map(|(item, was, is)| {
            vec![
                words::item_name(&anew.order, *item),
                format!("{} listed", was.rounded(units)),
                format!("{} weighed", is.rounded(units)),
                difference(*was, *is, units),
            ]
        });
        let rows: Vec<Vec<String>> = rows.collect();
        if rows.is_empty() {
            self.say("Nothing weighs other than the catalogue says.", INDENT, Tone::Plain);
        } else {
            self.grid(&Grid { rows, align: "lrrr", gives: &[(0, 14)] });
        }
        if found.same > 0 && !found.differ.is_empty() {
            let same = words::plural(found.same, "other item weighs", "other items weigh");
            self.say(&format!("{same} what the catalogue says."), INDENT, Tone::Plain);
        }
        let tone = if found.over.is_empty() { Tone::Plain } else { Tone::Bad };
        self.say(&by_the_scales(anew, &found.over), INDENT, tone);
        for o in &found.over {
            self.say(&over(anew, o), 2 * INDENT, Tone::Plain);
        }
    }
}
