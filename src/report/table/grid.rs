//! Columns without lines around them, set by comfy-table.

use crate::report::text::columns;
use comfy_table::presets::NOTHING;
use comfy_table::{CellAlignment, ColumnConstraint, ContentArrangement, Row, Table, Width};

/// Blanks between columns.
const GAP: usize = 2;
/// A cell that would take more lines than this ends in an ellipsis.
const MOST_LINES: usize = 3;

/// Rows of clean text, and how the columns share the room.
pub(super) struct Grid<'a> {
    pub rows: Vec<Vec<String>>,
    /// One letter a column: `r` to the right, `l` to the left.
    pub align: &'a str,
    /// The columns that give way when room is short, each with what it takes
    /// at the least; the first of them gets what is left over.
    pub gives: &'a [(usize, usize)],
}

impl Grid<'_> {
    /// The width of each column, so that all fit into `room`.
    pub fn widths(&self, room: usize) -> Vec<usize> {
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
    pub fn lines(&self, widths: &[usize], indent: usize, unicode: bool) -> Vec<String> {
        let mut table = Table::new();
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
