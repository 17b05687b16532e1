//! Who takes over if somebody drops out, and what conditions cost.

use super::{Page, Tone};
use crate::report::More;
use crate::report::more;
use crate::report::page::terminal::Grid;

const INDENT: usize = 2;

impl Page<'_> {
    pub(super) fn more(&mut self, asked: &More) {
        let order = self.order;
        let drop_outs = asked.survival.into_iter().flat_map(|s| &s.drop_outs);
        let rows: Vec<Vec<String>> = drop_outs
            .clone()
            .map(|d| {
                let [who, load, share] = more::fullest(order, d);
                vec![format!("without {}", more::dropped(order, d)), who, load, share]
            })
            .collect();
        if !rows.is_empty() {
            self.heading("If one drops out: the fullest of the rest, of the emergency limit");
            let grid = Grid { rows, align: "llrr", gives: &[(0, 16), (1, 12)] };
            let widths = grid.widths(self.width - INDENT);
            for (d, row) in drop_outs.zip(grid.rows) {
                let row = Grid { rows: vec![row], ..grid };
                self.lines.extend(row.lines(&widths, INDENT, self.style.unicode));
                self.say(&more::put_down(d), INDENT + 2, Tone::Plain);
            }
        }
        for price in asked.prices {
            self.heading(more::price_title(price));
            let units = order.units();
            let rows = price.goals.iter().map(|g| more::price_row(g, units));
            let grid = Grid { rows: rows.collect(), align: "lrrl", gives: &[(3, 12)] };
            let widths = grid.widths(self.width - INDENT);
            self.lines.extend(grid.lines(&widths, INDENT, self.style.unicode));
            if let Some(note) = more::price_note(price) {
                self.say(note, INDENT, Tone::Plain);
            }
        }
    }
}
