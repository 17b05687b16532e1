//! Equipment and carriers as a table.

use super::grid::Grid;
use super::paint::{Paint, Tone};
use crate::report::list::{Column, Listing, Of, Section, Shape};
use crate::report::text::{columns, fit, wrap};
use crate::report::{CAUTION, Style};
use tumpline_core::text::clean;

/// What a column of text keeps at the least when room is short.
const LEAST: usize = 6;
const MOST_LEAST: usize = 20;

pub(in crate::report) fn list(listing: &Listing, style: &Style) -> String {
    let sections: Vec<String> = listing.sections.iter().map(|s| section(s, style)).collect();
    sections.join("\n")
}

fn section(section: &Section, style: &Style) -> String {
    let paint = Paint { colour: style.colour };
    let width = style.width.clamp(60, 120);
    let title = format!("{}: {}", clean(&section.file), section.of.word());
    let mut lines: Vec<String> = wrap(&title, width, 0, style.unicode);
    lines.iter_mut().for_each(|line| *line = paint.text(Tone::Head, line));
    lines.extend(rows(section, style, width, paint));
    let mut totals = vec![section.counted()];
    for (i, column) in section.columns.iter().enumerate() {
        let sum = section.sum(i).map(|sum| sum.text(section.units));
        totals.extend(sum.map(|sum| format!("{} {sum}", column.name)));
    }
    lines.extend(wrap(&totals.join("; "), width, 0, style.unicode));
    if section.of == Of::Carriers {
        lines.extend(wrap(CAUTION, width, 0, style.unicode));
    }
    lines.join("\n") + "\n"
}

fn rows(section: &Section, style: &Style, width: usize, paint: Paint) -> Vec<String> {
    let head: Vec<String> = section.columns.iter().map(|c| c.name.to_string()).collect();
    let cells = section
        .rows
        .iter()
        .map(|row| row.iter().map(|v| clean(&v.text(section.units))).collect::<Vec<String>>());
    let align: String = section.columns.iter().map(side).collect();
    let gives = gives(section);
    let grid =
        Grid { rows: std::iter::once(head).chain(cells).collect(), align: &align, gives: &gives };
    let widths = grid.widths(width);
    let mut out = Vec::new();
    for (i, row) in grid.rows.iter().enumerate() {
        // By itself, so that the rule can stand under the header however many
        // lines that takes.
        let one = Grid { rows: vec![row.clone()], align: &align, gives: &gives };
        let tone = if i == 0 { Tone::Head } else { Tone::Plain };
        let lines = one.lines(&widths, 0, style.unicode);
        out.extend(lines.iter().map(|l| paint.text(tone, &fit(l, width, style.unicode))));
        if i == 0 {
            out.push(rule(style, width, paint));
        }
    }
    out.push(rule(style, width, paint));
    out
}

fn rule(style: &Style, width: usize, paint: Paint) -> String {
    paint.text(Tone::Faint, &if style.unicode { "─" } else { "-" }.repeat(width))
}

fn side(column: &Column) -> char {
    if column.shape == Shape::Text { 'l' } else { 'r' }
}

/// Texts give way down to their longest word, the name last of all and ids not
/// at all.
fn gives(section: &Section) -> Vec<(usize, usize)> {
    let texts = section.columns.iter().enumerate();
    let texts = texts.filter(|(_, c)| c.shape == Shape::Text && c.name != "id");
    let longest = |at: usize| {
        let cells = section.rows.iter().filter_map(|r| r.get(at)).map(|v| v.text(section.units));
        let words = cells.map(|t| t.split(' ').map(columns).max().unwrap_or(0));
        words.max().unwrap_or(0).clamp(LEAST, MOST_LEAST)
    };
    let mut gives: Vec<(usize, usize)> =
        texts.map(|(i, c)| (i, longest(i).max(columns(c.name)))).collect();
    gives.sort_by_key(|(i, _)| section.columns.get(*i).is_none_or(|c| c.name != "name"));
    gives
}
