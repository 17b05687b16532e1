//! What stands beside the plan, or in its place.

use super::Pages;
use crate::report::{More, anew as changed, explained, more, words};
use crate::split::Reason;

impl Pages<'_> {
    /// What conditions cost, and what is left if somebody drops out.
    pub(super) fn conditions(&mut self, more: &More) {
        let drop_outs = more.survival.into_iter().flat_map(|s| &s.drop_outs);
        let rows = drop_outs.map(|d| {
            let [who, load, share] = more::fullest(self.order, d);
            vec![more::dropped(self.order, d), who, load, share, more::put_down(d)]
        });
        let rows: Vec<_> = rows.collect();
        self.some("If one drops out", &["Without", "Fullest", "Load", "Share", "Left"], rows);
        for price in more.prices {
            let rows = price.goals.iter().map(|g| more::price_row(g, self.order.units()));
            let rows: Vec<_> = rows.collect();
            self.some(more::price_title(price), &["Goal", "With", "Without", "Price"], rows);
        }
    }

    /// Who gives what to whom, where a move was split anew.
    pub(super) fn changes(&mut self, more: &More) {
        let Some(anew) = more.anew else { return };
        let moved = anew.hand_overs.iter().map(|h| {
            let name = words::item_name(&anew.order, h.item);
            vec![changed::verb(anew, h).into(), h.count.to_string(), name, changed::path(anew, h)]
        });
        let other = changed::gone_and_new(anew)
            .into_iter()
            .map(|(word, n, name)| vec![word.into(), n.to_string(), name, String::new()]);
        let rows: Vec<_> = moved.chain(other).collect();
        self.some("Changes", &["Change", "Count", "Item", "Who"], rows);
    }

    pub(super) fn no_plan(&mut self, reason: &Reason, more: &More) {
        let mut lines = vec![words::NO_PLAN.to_string(), format!("Why: {}.", reason.text)];
        lines.extend(reason.place.as_ref().map(|place| format!("Where: {place}")));
        self.lines("Answer", lines);
        let Some(why) = more.explanation else { return };
        for (k, conflict) in why.conflicts.iter().enumerate() {
            let told = explained::told(self.order, conflict).into_iter();
            let rows = told.map(|p| vec![p.text, p.place.unwrap_or_default()]);
            let rows: Vec<_> = rows.collect();
            self.some(&explained::heading(k, why), &["Part", "Place"], rows);
        }
        let rows = explained::lines(why).into_iter().map(|offers| {
            let (text, edits) = explained::line(self.order, offers);
            vec![text, edits.join("; ")]
        });
        let rows: Vec<_> = rows.collect();
        self.some(explained::CHANGES, &["Change", "In the files"], rows);
    }
}
