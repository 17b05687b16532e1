//! Markdown for a page or a ticket: headings and pipe tables.

use super::{Column, MARKDOWN, Page, Row, Table, Text, What};
use crate::quantity::Units;
use tumpline_core::text::{acts, clean};

pub(super) fn render(page: &Page) -> String {
    let mut out = String::new();
    let mut listing = false;
    for what in page.of(MARKDOWN) {
        let item = matches!(what, What::Term(..) | What::Text(Text { item: Some(_), .. }));
        let gap = if out.is_empty() || (item && listing) { "" } else { "\n" };
        listing = item;
        match what {
            What::Title(text) => out.push_str(&format!("# {}\n", escape(text))),
            What::Heading(level, text) => {
                out.push_str(&format!("{gap}{} {}\n", "#".repeat(*level), escape(text)));
            }
            What::Text(text) => self::text(text, gap, &mut out),
            What::Term(term, text, bad) => {
                out.push_str(&format!("{gap}- {term}: {}\n", escape(text)));
                bad.iter().for_each(|bad| out.push_str(&format!("  {}\n", escape(bad))));
            }
            What::Table(table) => out.push_str(&self::table(table, page.units, gap)),
            What::Sides(sides) => {
                for (title, side) in sides {
                    out.push_str(&format!(
                        "\n## {}\n{}",
                        escape(title),
                        table(side, page.units, "\n")
                    ));
                }
            }
            What::Gap => {}
        }
    }
    out
}

fn text(text: &Text, gap: &str, out: &mut String) {
    let words = if text.typed { escape(&text.text) } else { text.text.clone() };
    match text.item {
        Some(depth) => out.push_str(&format!("{gap}{}- {words}\n", "  ".repeat(depth))),
        None if text.goes_on && out.ends_with('\n') => {
            out.pop();
            out.push_str(&format!(" {words}\n"));
        }
        None => out.push_str(&format!("{gap}{words}\n")),
    }
}

fn table(table: &Table, units: Units, gap: &str) -> String {
    if table.rows(MARKDOWN).next().is_none() {
        return String::new();
    }
    let units = table.units.unwrap_or(units);
    let columns: Vec<(usize, &Column)> = table.on(MARKDOWN).collect();
    let line = |cells: Vec<Option<String>>| {
        let mut line = String::from("|");
        for cell in cells {
            match cell {
                None if table.tight => line.push_str(" |"),
                cell => line.push_str(&format!(" {} |", cell.unwrap_or_default())),
            }
        }
        line + "\n"
    };
    let heads = columns.iter().map(|(_, c)| Some(escape(&c.heading())).filter(|h| !h.is_empty()));
    let rules = columns.iter().map(|(_, c)| if c.is_right() { "---:" } else { ":---" });
    let mut out = format!("{gap}{}", line(heads.collect()));
    out.push_str(&line(rules.map(|r| Some(r.into())).collect()));
    for row in table.rows(MARKDOWN) {
        let cell = |(nth, (i, c)): (usize, &(usize, &Column))| match row.cells.get(*i)? {
            super::Cell::None => None,
            cell => Some(bold(row, nth, escape(&cell.text(units, c.exact)))),
        };
        out.push_str(&line(columns.iter().enumerate().map(cell).collect()));
    }
    out
}

fn bold(row: &Row, column: usize, text: String) -> String {
    if row.bold && column == 0 { format!("**{text}**") } else { text }
}

pub(crate) fn escape(text: &str) -> String {
    escape_clean(&clean(text))
}

/// Puts a backslash before whatever Markdown, its tables, or raw HTML in it
/// would act on. Bare addresses are not made into links.
pub(crate) fn escape_clean(text: &str) -> String {
    debug_assert!(!text.chars().any(acts));
    let mut out = String::with_capacity(text.len());
    let mut rest = text.chars();
    while let Some(c) = rest.next() {
        let address = c == ':' && rest.as_str().starts_with("//")
            || c == '.'
                && out.chars().rev().take(3).filter(|c| c.eq_ignore_ascii_case(&'w')).count() == 3;
        let acting = matches!(
            c,
            '\\' | '|'
                | '`'
                | '*'
                | '_'
                | '<'
                | '>'
                | '['
                | ']'
                | '#'
                | '~'
                | '&'
                | '!'
                | '$'
                | '@'
        );
        if acting || address {
            out.push('\\');
        }
        out.push(c);
    }
    out
}

#[cfg(test)]
mod tests {
    use super::escape;

    #[test]
    fn nothing_a_user_typed_is_markup() {
        assert_eq!(escape("<script>a|b`c`</script>"), "\\<script\\>a\\|b\\`c\\`\\</script\\>");
        assert_eq!(escape("![x](http://y) *z* _q_"), "\\!\\[x\\](http\\://y) \\*z\\* \\_q\\_");
        assert_eq!(escape("a\n# b"), "a\\\\n\\# b");
        assert_eq!(escape("Battery, 12 V 36 Ah (spare)"), "Battery, 12 V 36 Ah (spare)");
    }
}
