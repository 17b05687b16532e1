//! Tables side by side: as many columns at once as fit, the rest below.

use super::{GAP, TERMINAL, Table, Terminal, Tone, widest};
use crate::report::text::{left, right};

/// What a column takes at the least and at the most, and what the names of the
/// rows may take.
const LEAST: usize = 10;
const MOST: usize = 16;
const NAMES: usize = 34;

/// The title, the headings, and the rows as they are printed, names first.
struct Side {
    title: String,
    heads: Vec<String>,
    rows: Vec<Vec<String>>,
}

impl Terminal<'_> {
    pub(super) fn sides(&mut self, tables: &[(String, Table)]) {
        let sides: Vec<Side> =
            tables.iter().map(|(title, table)| self.side(title, table)).collect();
        let rows = || sides.iter().flat_map(|s| &s.rows);
        let names = widest(rows().filter_map(|r| r.first())).clamp(2, NAMES);
        let cells = widest(rows().flat_map(|r| r.iter().skip(1)));
        let each = cells.clamp(LEAST.min(cells.max(4)), MOST);
        let at_once = (self.width.saturating_sub(names) / (each + GAP)).max(1);
        let count = sides.first().map_or(0, |s| s.heads.len());
        for start in (0..count).step_by(at_once) {
            let block = start..(start + at_once).min(count);
            for side in &sides {
                self.blank();
                let head = self.across(&side.title, &side.heads[block.clone()], names, each);
                self.lines.push(self.paint(Tone::Head, &head));
                self.rule(names + block.len() * (each + GAP));
                for row in &side.rows {
                    let (name, cells) = row.split_first().map_or(("", &[][..]), |(n, c)| (n, c));
                    let cells = cells.get(block.clone()).unwrap_or_default();
                    let line = self.across(name, cells, names, each);
                    self.lines.push(line);
                }
            }
        }
    }

    fn side(&self, title: &str, table: &Table) -> Side {
        let placed = self.placed(table);
        let row = |row| placed.iter().map(|place| self.shown(table, row, *place)).collect();
        Side {
            title: title.into(),
            heads: placed.iter().skip(1).map(|(_, c)| c.short_heading()).collect(),
            rows: table.rows(TERMINAL).map(row).collect(),
        }
    }

    fn across(&self, name: &str, cells: &[String], names: usize, each: usize) -> String {
        let unicode = self.style.unicode;
        let cells = cells.iter().map(|c| format!("{}{}", " ".repeat(GAP), right(c, each, unicode)));
        std::iter::once(left(name, names, unicode)).chain(cells).collect()
    }
}
