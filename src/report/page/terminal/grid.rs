//! Tables in which columns share the room, without lines around them, set by
//! comfy-table.

use super::{GAP, Terminal, Tone, headed};
use crate::report::page::{Column, Head, Kind, Place, TERMINAL, Table, Whole};
use crate::report::text::{columns, fit};
use comfy_table::presets::NOTHING;
use comfy_table::{CellAlignment, ColumnConstraint, ContentArrangement, Row, Width};

/// What a column of text keeps at the least when room is short, as long as nobody
/// says how much.
const LEAST: usize = 6;
const MOST_LEAST: usize = 20;
/// A cell that would take more lines than this ends in an ellipsis.
const MOST_LINES: usize = 3;

impl Terminal<'_> {
    pub(super) fn grid(&mut self, table: &Table) {
        let placed = self.placed(table);
        let align: String =
            placed.iter().map(|(_, c)| if c.is_right() { 'r' } else { 'l' }).collect();
        let head: Vec<String> = placed.iter().map(|(_, c)| c.short_heading()).collect();
        let head = headed(table).then_some(head);
        let own = self.cells(table, &placed);
        let widths = self.kept(table, |page| {
            let rows = page
                .group(table)
                .into_iter()
                .flat_map(|t| page.cells(t, &placed))
                .chain(head.clone())
                .collect();
            let gives = page.gives(table, &placed);
            Grid { rows, align: &align, gives: &gives }.widths(page.width - table.indent)
        });
        let one = |row: &[String]| {
            // By itself, so that other lines can stand under it.
            let grid = Grid { rows: vec![row.to_vec()], align: &align, gives: &[] };
            grid.lines(&widths, table.indent, self.style.unicode)
        };
        let heads = head.iter().flat_map(|head| one(head)).collect::<Vec<_>>();
        let rows: Vec<Vec<String>> = own.iter().map(|row| one(row)).collect();
        let tone = if let Head::Bare(tone) = table.head { tone } else { Tone::Head };
        heads.iter().for_each(|line| self.cut(line, tone));
        let ruled = table.head == Head::Ruled;
        if ruled {
            self.rule(self.width);
        }
        for (row, lines) in table.rows(TERMINAL).zip(rows) {
            match row.whole {
                Whole::Cut | Whole::Wrapped => self.whole(table, row),
                Whole::No => lines.iter().for_each(|line| self.cut(line, row.tone)),
            }
            self.under(table, row, table.indent);
        }
        if ruled {
            self.rule(self.width);
        }
    }

    /// The rows as they are printed.
    fn cells(&self, table: &Table, placed: &[(usize, &Column)]) -> Vec<Vec<String>> {
        let row = |row| placed.iter().map(|place| self.shown(table, row, *place)).collect();
        table.rows(TERMINAL).map(row).collect()
    }

    fn cut(&mut self, line: &str, tone: Tone) {
        let line = fit(line, self.width, self.style.unicode);
        self.lines.push(self.paint(tone, &line));
    }

    /// How columns give way. Where none says, texts do, down to their longest word,
    /// the name last of all and ids not at all.
    fn gives(&self, table: &Table, placed: &[(usize, &Column)]) -> Vec<(usize, usize)> {
        let all = || placed.iter().enumerate().map(|(i, (at, c))| (i, *at, *c));
        let said: Vec<(usize, usize)> = all()
            .filter_map(|(i, _, c)| match c.place {
                Place::Own(Some(least)) => Some((i, least)),
                _ => None,
            })
            .collect();
        if !said.is_empty() || !headed(table) {
            return said;
        }
        let longest = |at: usize, c: &Column| {
            let cells = table.rows(TERMINAL).filter_map(|r| r.cells.get(at));
            let texts = cells.map(|cell| cell.text(self.units(table), c.exact));
            let words = texts.map(|t| t.split(' ').map(columns).max().unwrap_or(0));
            words.max().unwrap_or(0).clamp(LEAST, MOST_LEAST).max(columns(&c.short_heading()))
        };
        let texts = all().filter(|(_, _, c)| c.kind == Kind::Text && c.key != "id");
        let mut gives: Vec<(usize, usize, bool)> =
            texts.map(|(i, at, c)| (i, longest(at, c), c.key != "name")).collect();
        gives.sort_by_key(|(_, _, first)| *first);
        gives.into_iter().map(|(i, least, _)| (i, least)).collect()
    }
}

/// Rows of clean text, and how the columns share the room.
struct Grid<'a> {
    rows: Vec<Vec<String>>,
    /// One letter a column: `r` to the right, `l` to the left.
    align: &'a str,
    /// The columns that give way when room is short, each with what it takes
    /// at the least; the first of them gets what is left over.
    gives: &'a [(usize, usize)],
}

impl Grid<'_> {
    /// The width of each column, so that all fit into `room`.
    fn widths(&self, room: usize) -> Vec<usize> {
        let count = self.align.len();
        let mut widths = vec![0; count];
        for row in &self.rows {
            for (width, cell) in widths.iter_mut().zip(row) {
                *width = columns(cell).max(*width);
            }
        }
        let room = room.saturating_sub(GAP * count.saturating_sub(1));
        // The last to give way gives first.
        for (column, least) in self.gives.iter().rev() {
            let over = widths.iter().sum::<usize>().saturating_sub(room);
            if let Some(width) = widths.get_mut(*column) {
                *width = width.saturating_sub(over).max((*least).min(*width));
            }
        }
        // Even the least may be too much; then the widest column wraps more.
        while widths.iter().sum::<usize>() > room {
            match widths.iter_mut().max() {
                Some(width) if *width > 1 => *width -= 1,
                _ => break,
            }
        }
        widths
    }

    /// The rows as lines, `indent` blanks in front.
    fn lines(&self, widths: &[usize], indent: usize, unicode: bool) -> Vec<String> {
        let mut table = comfy_table::Table::new();
        table.load_style(NOTHING).set_content_arrangement(ContentArrangement::Dynamic);
        table.force_no_tty();
        table.set_truncation_indicator(if unicode { "…" } else { "..." });
        for cells in &self.rows {
            let mut row = Row::from(cells.clone());
            row.max_height(MOST_LINES);
            table.add_row(row);
        }
        let last = widths.len().saturating_sub(1);
        let mut total = 0;
        for (i, (width, align)) in widths.iter().zip(self.align.chars()).enumerate() {
            let before = if i == 0 { indent } else { 0 };
            let after = if i == last { 0 } else { GAP };
            let whole = (width.max(&1)) + before + after;
            total += whole;
            if let Some(column) = table.column_mut(i) {
                column.set_padding((before as u16, after as u16));
                column.set_constraint(ColumnConstraint::Absolute(Width::Fixed(whole as u16)));
                column.set_cell_alignment(match align {
                    'r' => CellAlignment::Right,
                    _ => CellAlignment::Left,
                });
            }
        }
        table.set_width(total as u16);
        table.trim_fmt().lines().map(str::to_string).collect()
    }
}
