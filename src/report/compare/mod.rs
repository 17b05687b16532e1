//! Loadouts side by side.

pub(super) mod rows;

use super::page::{CSV, Column, MARKDOWN, Page, TERMINAL, TEXTS, Table};
use super::page::{gap, heading_of, para, sides, term, typed};
use super::{Format, Style, json};
use crate::ask::compare::Loadout;
use rows::{Row, Section, letter, listed};

/// The whole report, with a line feed at its end.
pub fn render(loadouts: &[Loadout], format: Format, style: &Style) -> String {
    page(loadouts).render(format, style)
}

pub(crate) fn page(loadouts: &[Loadout]) -> Page<'_> {
    let units = loadouts.first().map(|l| l.order.units()).unwrap_or_default();
    let page = Page::new("Loadouts side by side", units);
    let mut page = page.document(|| json::compare(loadouts));
    page.push(heading_of(1, "Loadouts side by side").on(MARKDOWN));
    for (n, l) in loadouts.iter().enumerate() {
        page.push(term(&letter(n), &l.label, rows::why(l)));
    }
    if loadouts.len() > 1 {
        page.push(para("A star marks where they differ.").on(TERMINAL));
    }
    let sections = rows::sections(loadouts).into_iter();
    page.push(sides(sections.map(|s| (s.title.into(), table(loadouts, s))).collect()));
    for (n, difference) in rows::differences(loadouts) {
        let (a, b) = (letter(0), letter(n));
        page.push(gap());
        if difference.more.is_empty() && difference.less.is_empty() {
            page.push(para(&format!("{a} and {b} take the same.")));
            continue;
        }
        let (more, less) = (listed(&difference.more), listed(&difference.less));
        page.push(typed(&format!("{b} has and {a} lacks: {more}")));
        page.push(typed(&format!("{a} has and {b} lacks: {less}")));
    }
    page.caution();
    page
}

/// A row for each line, a column for each loadout.
fn table(loadouts: &[Loadout], section: Section) -> Table {
    let starred = |r: &Row| format!("{} {}", if r.differs() { '*' } else { ' ' }, r.label);
    let mut table = Table::of(section.rows)
        .col(Column::text("section").on(CSV), |_| section.title)
        .col(Column::text("row").on(CSV | MARKDOWN).headed(""), |r| r.label.clone())
        .col(Column::text("starred").on(TERMINAL), starred)
        .col(Column::text("differs").on(CSV), Row::differs);
    for (n, l) in loadouts.iter().enumerate() {
        let column = Column::text(letter(n)).csv(&l.label).right().on(CSV | TEXTS);
        table = table.col(column, |r| r.cells.get(n).cloned());
    }
    let differs = |r: &Row| if r.differs() { "yes" } else { "" };
    table.col(Column::text("differs").on(MARKDOWN), differs).done().tight()
}
