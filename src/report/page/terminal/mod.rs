//! A page for a terminal: to be read cold, in a hurry, with gloves on. No line is
//! wider than the terminal.

mod grid;
mod paint;
mod rows;
mod sides;

pub(crate) use paint::Tone;

use super::{Cell, Column, Head, Page, Place, Row, TERMINAL, Table, Text, What, Whole};
use crate::quantity::Units;
use crate::report::Style;
use crate::report::text::{columns, fit, left, wrap};
use paint::Paint;
use tumpline_core::text::clean;

/// Blanks between columns.
const GAP: usize = 2;
/// Before what belongs to a marked line.
const MARKED: usize = 5;

pub(super) fn render(page: &Page, style: &Style) -> String {
    let width = style.width.clamp(60, 120);
    let mut out = Terminal { page, style: *style, width, lines: Vec::new(), widths: Vec::new() };
    page.of(TERMINAL).for_each(|what| out.block(what));
    out.lines.iter().map(|line| format!("{line}\n")).collect()
}

/// What has been printed so far.
struct Terminal<'a> {
    page: &'a Page<'a>,
    style: Style,
    width: usize,
    lines: Vec<String>,
    /// Of the columns of groups of tables.
    widths: Vec<(&'static str, Vec<usize>)>,
}

impl Terminal<'_> {
    fn block(&mut self, what: &What) {
        match what {
            What::Title(text) => self.line(text, Tone::Head),
            What::Heading(1, text) => {
                if !self.lines.is_empty() {
                    self.blank();
                }
                self.say(text, 0, Tone::Head);
            }
            What::Heading(level, text) => {
                self.blank();
                self.line(text, Tone::Head);
                if *level == 2 {
                    self.rule(self.width);
                }
            }
            What::Text(text) => self.text(text),
            What::Term(term, text, bad) => {
                let term = self.paint(Tone::Head, &left(&clean(term), 2, true));
                let text = fit(&clean(text), self.width - 4, self.style.unicode);
                self.lines.push(format!("{term} {text}"));
                bad.iter().for_each(|bad| self.say(bad, MARKED, Tone::Bad));
            }
            What::Table(table) if table.rows(TERMINAL).next().is_none() => {}
            What::Table(table) => match self.wide(table) {
                Some(wide) => self.rows(table, wide),
                None => self.grid(table),
            },
            What::Sides(sides) => self.sides(sides),
            What::Gap => self.blank(),
        }
    }

    fn text(&mut self, text: &Text) {
        let at = self.lines.len();
        match &text.mark {
            None => self.say(&text.text, text.indent, text.tone),
            Some(mark) => {
                self.say(&text.text, MARKED, Tone::Plain);
                if let Some(line) = self.lines.get_mut(at) {
                    let rest = line.split_off(MARKED.min(line.len()));
                    *line = format!("{mark:>3}  {rest}");
                }
            }
        }
    }

    /// One line, cut.
    fn line(&mut self, text: &str, tone: Tone) {
        let line = fit(&clean(text), self.width, self.style.unicode);
        self.lines.push(self.paint(tone, &line));
    }

    fn say(&mut self, text: &str, indent: usize, tone: Tone) {
        for line in wrap(&clean(text), self.width, indent, self.style.unicode) {
            self.lines.push(self.paint(tone, &line));
        }
    }

    fn rule(&mut self, width: usize) {
        let rule = if self.style.unicode { "─" } else { "-" }.repeat(width);
        self.lines.push(self.paint(Tone::Faint, &rule));
    }

    fn blank(&mut self) {
        self.lines.push(String::new());
    }

    fn paint(&self, tone: Tone, text: &str) -> String {
        Paint { colour: self.style.colour }.text(tone, text)
    }

    /// The tables whose columns are as wide as this one's.
    fn group<'t>(&'t self, table: &'t Table) -> Vec<&'t Table> {
        let Some(group) = table.group else { return vec![table] };
        let tables = self.page.of(TERMINAL).filter_map(|what| match what {
            What::Table(table) => Some(table),
            _ => None,
        });
        tables.filter(|t| t.group == Some(group)).collect()
    }

    /// The widths that a table has, or that its group has had before.
    fn kept(&mut self, table: &Table, widths: impl FnOnce(&Self) -> Vec<usize>) -> Vec<usize> {
        let known = |group| self.widths.iter().find(|(of, _)| Some(*of) == group);
        if let Some((_, widths)) = known(table.group) {
            return widths.clone();
        }
        let widths = widths(self);
        self.widths.extend(table.group.map(|group| (group, widths.clone())));
        widths
    }

    fn units(&self, table: &Table) -> Units {
        table.units.unwrap_or(self.page.units)
    }

    /// A cell as it is printed, but for bars.
    fn shown(&self, table: &Table, row: &Row, (at, column): (usize, &Column)) -> String {
        let cell = row.cells.get(at).unwrap_or(&Cell::None);
        let text = clean(&cell.text(self.units(table), column.exact));
        format!("{text}{}", column.after)
    }

    /// What stands in lines under a row.
    fn under(&mut self, table: &Table, row: &Row, wide: usize) {
        for (at, column) in table.on(TERMINAL) {
            let Place::Under(before, indent) = column.place else { continue };
            let indent = indent.unwrap_or(wide);
            let cell = row.cells.get(at).unwrap_or(&Cell::None);
            if let Cell::Lines(lines) = cell {
                lines.iter().for_each(|(tone, line)| {
                    self.say(&format!("{before}{line}"), indent, *tone);
                });
                continue;
            }
            let text = self.shown(table, row, (at, column));
            if !text.is_empty() {
                let tone = if let Cell::Toned(tone, _) = cell { *tone } else { column.tone };
                self.say(&format!("{before}{text}"), indent, tone);
            }
        }
    }

    /// Columns with a place of their own.
    fn placed<'t>(&self, table: &'t Table) -> Vec<(usize, &'t Column)> {
        let fits = |c: &Column| c.least <= self.width && !matches!(c.place, Place::Under(..));
        table.on(TERMINAL).filter(|(_, c)| fits(c)).collect()
    }

    /// The place, among those placed, of the column that has all that is left.
    fn wide(&self, table: &Table) -> Option<usize> {
        let wide = |c: &Column| matches!(c.place, Place::Wrapped | Place::Cut(_));
        self.placed(table).iter().position(|(_, c)| wide(c))
    }

    /// The first cell, on the whole line.
    fn whole(&mut self, table: &Table, row: &Row) {
        let Some(first) = self.placed(table).first().copied() else { return };
        let text = self.shown(table, row, first);
        if row.whole == Whole::Wrapped {
            return self.say(&text, 0, row.tone);
        }
        let text = fit(&text, self.width - table.indent, self.style.unicode);
        let text = self.paint(first.1.tone, &text);
        self.lines.push(format!("{}{text}", " ".repeat(table.indent)));
    }
}

/// Whether a table has its header over its rows.
fn headed(table: &Table) -> bool {
    table.head != Head::None
}

/// Columns of the widest.
fn widest<'t>(texts: impl IntoIterator<Item = &'t String>) -> usize {
    texts.into_iter().map(|t| columns(t)).max().unwrap_or(0)
}
