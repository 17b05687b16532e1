//! Needs, supplies, wants and goals: what the plan answers to.

use super::{Page, Tone};
use crate::quantity::Amount;
use crate::report::page::terminal::Grid;
use crate::report::text::{fit, left};
use crate::report::{known, words};
use crate::split::{Findings, Planned};
use tumpline_core::text::clean;

const INDENT: usize = 2;
/// As wide as `NOT MET`.
const MARK: usize = 7;

impl Page<'_> {
    pub(super) fn needs(&mut self, findings: &Findings) {
        if findings.needs.is_empty() {
            return;
        }
        self.heading("Needs");
        let order = self.order;
        for (need, found) in order.needs().iter().zip(&findings.needs) {
            let (word, tone) = if found.met { ("met", Tone::Good) } else { ("NOT MET", Tone::Bad) };
            let mark = self.paint(tone, &left(word, MARK, true));
            let name = format!("{}: {}", clean(&order.party(need.party).id), clean(&need.name));
            let name = fit(&name, self.width - INDENT - MARK - 2, self.style.unicode);
            self.lines.push(format!("  {mark}  {name}"));
            let by = words::met_by(order, found).join("; ");
            if !by.is_empty() {
                self.say(&format!("by {by}"), INDENT + MARK + 2, Tone::Plain);
            }
        }
    }

    pub(super) fn supplies(&mut self, findings: &Findings) {
        if findings.supplies.is_empty() {
            return;
        }
        self.heading("Supplies");
        let order = self.order;
        let rows = findings.supplies.iter().map(|s| {
            let supply = order.catalogue().supply(s.supply);
            let amount = |base| Amount::new(supply.dimension, base);
            let (there, demand) = (amount(s.there), amount(s.demand));
            vec![
                format!("{}: {}", clean(&order.party(s.party).id), clean(&supply.id)),
                format!("{} there", there.rounded(order.units())),
                format!("{} needed", demand.rounded(order.units())),
                words::margin(there, demand, order.units()),
            ]
        });
        let grid = Grid { rows: rows.collect(), align: "lrrr", gives: &[(0, 12)] };
        let widths = grid.widths(self.width - INDENT);
        for (s, row) in findings.supplies.iter().zip(grid.rows) {
            let row = Grid { rows: vec![row], ..grid };
            self.lines.extend(row.lines(&widths, INDENT, self.style.unicode));
            let from = words::sources(order, s);
            if !from.is_empty() {
                self.say(&format!("from {from}"), INDENT + 2, Tone::Plain);
            }
        }
    }

    pub(super) fn wants(&mut self, findings: &Findings) {
        if self.order.wants().is_empty() {
            return;
        }
        self.heading(&format!("Wants: value {} taken", findings.wants_value));
        let order = self.order;
        let rows = order.wants().iter().zip(&findings.wants).map(|(want, taken)| {
            let word = match *taken {
                0 => "left",
                n if n < want.up_to => "part",
                _ => "taken",
            };
            vec![
                word.to_string(),
                format!("{taken} of {}", want.up_to),
                words::item_name(order, want.item),
                clean(&order.party(want.party).id),
                format!("value {} each", want.value),
            ]
        });
        let grid = Grid { rows: rows.collect(), align: "lrllr", gives: &[(2, 16), (3, 8)] };
        self.grid(&grid);
    }

    pub(super) fn goals(&mut self, planned: &Planned) {
        if planned.goals.is_empty() {
            return;
        }
        self.heading("Goals, in their order");
        let units = self.order.units();
        let rows = planned.goals.iter().map(|g| {
            vec![
                g.goal.word().to_string(),
                words::goal_value(g.value, units),
                words::goal_known(g, units),
                words::goal_measure(g.goal).to_string(),
            ]
        });
        let grid = Grid { rows: rows.collect(), align: "lrll", gives: &[(3, 16)] };
        let widths = grid.widths(self.width - INDENT);
        for (goal, row) in planned.goals.iter().zip(grid.rows) {
            let row = Grid { rows: vec![row], ..grid };
            self.lines.extend(row.lines(&widths, INDENT, self.style.unicode));
            if let Some(gave) = known::goal_gave_way(goal, units) {
                self.say(&gave, INDENT + 2, Tone::Plain);
            }
        }
    }

    pub(super) fn grid(&mut self, grid: &Grid) {
        let widths = grid.widths(self.width - INDENT);
        self.lines.extend(grid.lines(&widths, INDENT, self.style.unicode));
    }
}
