//! Loadouts side by side: as many columns at once as fit, the rest below.

use super::{Page, Tone};
use crate::ask::compare::Loadout;
use crate::report::Style;
use crate::report::compare::{closing, rows};
use crate::report::text::{columns, fit, left, right};
use tumpline_core::text::clean;

/// What a column takes at the least, and what the names of the rows may take.
const LEAST: usize = 10;
const NAMES: usize = 32;
const GAP: usize = 2;

pub(in crate::report) fn compare(loadouts: &[Loadout], style: &Style) -> String {
    let width = style.width.clamp(60, 120);
    let Some(first) = loadouts.first() else { return String::new() };
    let mut page = Page { order: &first.order, style: *style, width, lines: Vec::new() };
    page.legend(loadouts);
    let sections = rows::sections(loadouts);
    let all = || sections.iter().flat_map(|s| &s.rows);
    let names = all().map(|r| columns(&r.label)).max().unwrap_or(0).min(NAMES) + 2;
    let cells = all().flat_map(|r| &r.cells).map(|c| columns(c)).max().unwrap_or(0);
    let each = cells.clamp(LEAST.min(cells.max(4)), 16);
    let at_once = (width.saturating_sub(names) / (each + GAP)).max(1);
    for start in (0..loadouts.len()).step_by(at_once) {
        let block = start..(start + at_once).min(loadouts.len());
        for section in &sections {
            let heads: Vec<String> = block.clone().map(rows::letter).collect();
            page.blank();
            let head = page.across(section.title, &heads, names, each);
            let head = page.paint(Tone::Head, &head);
            page.lines.push(head);
            let rule = if style.unicode { "─" } else { "-" };
            let rule = rule.repeat(names + block.len() * (each + GAP));
            page.lines.push(page.paint(Tone::Faint, &rule));
            for row in &section.rows {
                let mark = if row.differs() { "* " } else { "  " };
                let cells = &row.cells[block.clone()];
                let line = page.across(&format!("{mark}{}", row.label), cells, names, each);
                page.lines.push(line);
            }
        }
    }
    page.differences(loadouts);
    page.blank();
    page.say(closing(), 0, Tone::Plain);
    let mut text = page.lines.join("\n");
    text.push('\n');
    text
}

impl Page<'_> {
    fn legend(&mut self, loadouts: &[Loadout]) {
        for (n, l) in loadouts.iter().enumerate() {
            let name = fit(&clean(&l.label), self.width - 4, self.style.unicode);
            let letter = self.paint(Tone::Head, &left(&rows::letter(n), 2, true));
            self.lines.push(format!("{letter} {name}"));
            if let Some(why) = rows::why(l) {
                self.say(&why, 5, Tone::Bad);
            }
        }
        if loadouts.len() > 1 {
            self.say("A star marks where they differ.", 0, Tone::Plain);
        }
    }

    fn across(&self, label: &str, cells: &[String], names: usize, each: usize) -> String {
        let unicode = self.style.unicode;
        let mut line = left(label, names, unicode);
        for cell in cells {
            line.push_str(&" ".repeat(GAP));
            line.push_str(&right(cell, each, unicode));
        }
        line
    }

    fn differences(&mut self, loadouts: &[Loadout]) {
        for (n, difference) in rows::differences(loadouts) {
            let (a, b) = (rows::letter(0), rows::letter(n));
            self.blank();
            if difference.more.is_empty() && difference.less.is_empty() {
                self.say(&format!("{a} and {b} take the same."), 0, Tone::Plain);
                continue;
            }
            let more = rows::listed(&difference.more);
            self.say(&format!("{b} has and {a} lacks: {more}"), 0, Tone::Plain);
            let less = rows::listed(&difference.less);
            self.say(&format!("{a} has and {b} lacks: {less}"), 0, Tone::Plain);
        }
    }
}
