//! Tables in which one column has all the room that the others leave.

use super::{GAP, Terminal, Tone, headed, widest};
use crate::load::Share;
use crate::report::page::{Cell, Column, Head, Kind, Place, TERMINAL, Table, Whole};
use crate::report::text::{fit, left, right, wrap};

/// What is left to the column that has the rest, at the least.
const LEAST: usize = 12;

impl Terminal<'_> {
    /// `wide`: the place of the column that has the rest.
    pub(super) fn rows(&mut self, table: &Table, wide: usize) {
        let placed = self.placed(table);
        let widths = self.kept(table, |page| page.shares(table, &placed, wide));
        let before: usize = widths[..wide].iter().map(|w| w + GAP).sum();
        if let Head::Bare(tone) = table.head {
            let heads = placed.iter().map(|(_, c)| (Tone::Plain, c.short_heading())).collect();
            self.row(table, &placed, heads, &widths, wide, tone);
        }
        for row in table.rows(TERMINAL) {
            if row.whole != Whole::No {
                self.whole(table, row);
                self.under(table, row, table.indent + before);
                continue;
            }
            let cells = placed.iter().enumerate().map(|(i, (at, c))| {
                let cell = row.cells.get(*at).unwrap_or(&Cell::None);
                let tone = if let Cell::Toned(tone, _) = cell { *tone } else { c.tone };
                match (c.kind, share(cell)) {
                    (Kind::Bar, Some(share)) => (tone, bar(share, widths[i], self.style.unicode)),
                    _ => (tone, self.shown(table, row, (*at, c))),
                }
            });
            let cells = cells.collect();
            self.row(table, &placed, cells, &widths, wide, row.tone);
            self.under(table, row, table.indent + before);
        }
    }

    /// The widths of the columns.
    fn shares(&self, table: &Table, placed: &[(usize, &Column)], wide: usize) -> Vec<usize> {
        let group = self.group(table);
        let natural = |at: usize, c: &Column| {
            let rows = group.iter().flat_map(|t| t.rows(TERMINAL).map(move |r| (*t, r)));
            let texts: Vec<String> = rows.map(|(t, r)| self.shown(t, r, (at, c))).collect();
            let head = headed(table).then(|| c.short_heading());
            widest(texts.iter().chain(&head))
        };
        let mut widths: Vec<usize> = placed
            .iter()
            .map(|(at, c)| match (c.kind, c.place) {
                (Kind::Bar, _) if self.width >= 100 => 30,
                (Kind::Bar, _) => 20,
                (_, Place::Fixed(width)) => width,
                (_, Place::Part(part)) => natural(*at, c).min(self.width / part),
                (_, Place::Own(_)) => natural(*at, c),
                _ => 0,
            })
            .collect();
        let taken = widths.iter().sum::<usize>() + GAP * placed.len().saturating_sub(1);
        let room = self.width.saturating_sub(taken + table.indent);
        if let (Some(width), Some((at, c))) = (widths.get_mut(wide), placed.get(wide)) {
            *width = match c.place {
                Place::Cut(least) => natural(*at, c).clamp(least, room.max(least)),
                // What is cut off the indent of the first column is no room lost.
                _ if wide == 0 => (room + table.indent).max(LEAST),
                _ => room.max(LEAST),
            };
        }
        widths
    }

    fn row(
        &mut self,
        table: &Table,
        placed: &[(usize, &Column)],
        mut cells: Vec<(Tone, String)>,
        widths: &[usize],
        wide: usize,
        row: Tone,
    ) {
        let unicode = self.style.unicode;
        while cells.len() > wide + 1 && cells.last().is_some_and(|(_, text)| text.is_empty()) {
            cells.pop();
        }
        // The indent of a column that wraps is within it.
        let wraps = matches!(placed[wide].1.place, Place::Wrapped);
        let (before, inner) =
            if wraps && wide == 0 { (0, table.indent) } else { (table.indent, 0) };
        let lines = match wraps {
            true => wrap(&cells[wide].1, widths[wide], inner, unicode),
            false => vec![fit(&cells[wide].1, widths[wide], unicode)],
        };
        let indent = before + widths[..wide].iter().map(|w| w + GAP).sum::<usize>();
        for (n, wrapped) in lines.iter().enumerate() {
            let mut line = " ".repeat(if n == 0 { before } else { indent });
            let cells = cells.iter().enumerate();
            let shown = cells.filter(|(i, _)| n == 0 || *i == wide).collect::<Vec<_>>();
            for (nth, (i, (tone, text))) in shown.iter().enumerate() {
                let text = if *i == wide { wrapped } else { text };
                let last = nth + 1 == shown.len();
                let text = match (placed[*i].1.is_right(), last) {
                    (true, _) => right(text, widths[*i], unicode),
                    (false, true) => fit(text, widths[*i], unicode),
                    (false, false) => left(text, widths[*i], unicode),
                };
                // A row in colour has that one alone.
                let own = if row == Tone::Plain { *tone } else { Tone::Plain };
                line.push_str(&self.paint(own, &text));
                if !last {
                    line.push_str(&" ".repeat(GAP));
                }
            }
            self.lines.push(self.paint(row, &line));
        }
    }
}

fn share(cell: &Cell) -> Option<Share> {
    match cell {
        Cell::Share(share) => Some(*share),
        Cell::Toned(_, cell) => share(cell),
        _ => None,
    }
}

/// How full, rounded down: only what is at its limit has a full bar.
fn bar(share: Share, width: usize, unicode: bool) -> String {
    let permille = share.permille_up().min(1000) as usize;
    let full = if share.load >= share.limit { width } else { permille * width / 1000 };
    let full = full.min(if share.load < share.limit { width.saturating_sub(1) } else { width });
    let (on, off) = if unicode { ("█", "░") } else { ("#", ".") };
    format!("{}{}", on.repeat(full), off.repeat(width - full))
}
