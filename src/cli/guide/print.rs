//! A page of the guide on a terminal.

use super::blocks::{Block, FIRM, blocks};
use crate::report::{Style, columns, wrap};
use anstyle::Style as Look;

/// Blanks between the columns of a table.
const GAP: usize = 2;

/// The page as text for this terminal.
pub(super) fn page(text: &str, style: &Style) -> String {
    let text = if style.unicode { text.to_string() } else { ascii(text) };
    let mut printer = Printer { style, width: style.width.clamp(60, 120), lines: Vec::new() };
    blocks(&text).iter().for_each(|block| printer.block(block));
    let mut text = printer.lines.join("\n").replace(FIRM, " ");
    text.push('\n');
    text
}

/// For terminals that are not said to show more.
fn ascii(text: &str) -> String {
    let spelled = |c: char| match c {
        '─' | '–' | '−' => "-".into(),
        '█' => "#".into(),
        '░' => ".".into(),
        '…' => "...".into(),
        '→' => "->".into(),
        '×' => "x".into(),
        'é' => "e".into(),
        c => c.to_string(),
    };
    text.chars().map(spelled).collect()
}

struct Printer<'a> {
    style: &'a Style,
    width: usize,
    lines: Vec<String>,
}

impl Printer<'_> {
    fn block(&mut self, block: &Block<'_>) {
        if !self.lines.is_empty() {
            self.lines.push(String::new());
        }
        match block {
            Block::Heading { level, text } => {
                self.say(text, 0, Look::new().bold());
                match level {
                    1 => {}
                    2 => self.rule(self.width),
                    _ => self.rule(columns(text)),
                }
            }
            Block::Paragraph(text) => self.say(text, 0, Look::new()),
            Block::List(items) => {
                for (sign, text) in items {
                    let indent = sign.len() + 1;
                    let first = self.lines.len();
                    self.say(text, indent, Look::new());
                    if let Some(line) = self.lines.get_mut(first) {
                        line.replace_range(..sign.len(), sign);
                    }
                }
            }
            Block::Table(rows) => self.table(rows),
            Block::Fenced { kind, lines } => {
                for line in lines {
                    let look = match line.starts_with("$ ") {
                        true => Look::new().bold(),
                        false => Look::new(),
                    };
                    // What a command prints may take the whole width.
                    let indent = if kind.starts_with("console") || line.is_empty() { 0 } else { 4 };
                    let line = self.painted(look, line);
                    self.lines.push(format!("{}{line}", " ".repeat(indent)));
                }
            }
        }
    }

    fn say(&mut self, text: &str, indent: usize, look: Look) {
        for line in wrap(text, self.width, indent, self.style.unicode) {
            let line = self.painted(look, &line);
            self.lines.push(line);
        }
    }

    fn rule(&mut self, width: usize) {
        let sign = if self.style.unicode { "─" } else { "-" };
        let rule = self.painted(Look::new().dimmed(), &sign.repeat(width));
        self.lines.push(rule);
    }

    fn painted(&self, look: Look, text: &str) -> String {
        if self.style.colour && look != Look::new() && !text.is_empty() {
            format!("{look}{text}{look:#}")
        } else {
            text.to_string()
        }
    }

    fn table(&mut self, rows: &[Vec<String>]) {
        let widths = widths(rows, self.width);
        for (n, row) in rows.iter().enumerate() {
            let wrapped: Vec<Vec<String>> = row
                .iter()
                .zip(&widths)
                .map(|(cell, width)| wrap(cell, *width, 0, self.style.unicode))
                .collect();
            for line in 0..wrapped.iter().map(Vec::len).max().unwrap_or(0) {
                let mut text = String::new();
                for (cell, width) in wrapped.iter().zip(&widths) {
                    let part = cell.get(line).map_or("", String::as_str);
                    text.push_str(part);
                    text.push_str(&" ".repeat((width + GAP).saturating_sub(columns(part))));
                }
                let look = if n == 0 { Look::new().bold() } else { Look::new() };
                let line = self.painted(look, text.trim_end());
                self.lines.push(line);
            }
            if n == 0 {
                self.rule(widths.iter().sum::<usize>() + GAP * widths.len().saturating_sub(1));
            }
        }
    }
}

/// The widths of the columns that make the table the shortest; of equals the one
/// with the widest last column.
fn widths(rows: &[Vec<String>], room: usize) -> Vec<usize> {
    let count = rows.iter().map(Vec::len).max().unwrap_or(0);
    let room = room.saturating_sub(GAP * count.saturating_sub(1));
    let cell = |row: &Vec<String>, column: usize| row.get(column).cloned().unwrap_or_default();
    let columns: Vec<Column> =
        (0..count).map(|c| Column::new(rows.iter().map(|r| cell(r, c)).collect(), room)).collect();
    let mut best = (usize::MAX, columns.iter().map(|c| c.least).collect());
    try_all(&columns, room, &mut Vec::new(), &mut best);
    best.1
}

/// What a column takes.
struct Column {
    /// No word is cut.
    least: usize,
    /// No cell is wrapped.
    most: usize,
    /// By width, the lines that each cell takes.
    heights: Vec<Vec<usize>>,
}

impl Column {
    fn new(cells: Vec<String>, room: usize) -> Column {
        let widest = |texts: &mut dyn Iterator<Item = &str>| texts.map(columns).max().unwrap_or(0);
        let least = widest(&mut cells.iter().flat_map(|c| c.split(' ')));
        let most = widest(&mut cells.iter().map(String::as_str)).min(room).max(least);
        let height = |width: usize| cells.iter().map(|c| wrap(c, width, 0, true).len()).collect();
        Column { least, most, heights: (0..=most).map(height).collect() }
    }
}

/// Goes through the widths of all columns after those `chosen`.
fn try_all(
    columns: &[Column],
    room: usize,
    chosen: &mut Vec<usize>,
    best: &mut (usize, Vec<usize>),
) {
    let Some(column) = columns.get(chosen.len()) else {
        let rows = columns.first().and_then(|c| c.heights.first()).map_or(0, Vec::len);
        let row = |r: usize| columns.iter().zip(&*chosen).map(move |(c, w)| c.heights[*w][r]).max();
        let height = (0..rows).filter_map(row).sum();
        if height < best.0 {
            *best = (height, chosen.clone());
        }
        return;
    };
    let after: usize = columns[chosen.len() + 1..].iter().map(|c| c.least).sum();
    let left = room.saturating_sub(chosen.iter().sum::<usize>() + after).min(column.most);
    // The last column takes what is there.
    let least = if chosen.len() + 1 == columns.len() { left } else { column.least };
    for width in least..=left {
        chosen.push(width);
        try_all(columns, room, chosen, best);
        chosen.pop();
    }
}
