//! Cases and what is in them.

use crate::ask::muster::CaseLine;
use crate::load::ItemIx;
use crate::quantity::Mass;
use crate::report::muster::{Report, words};
use crate::report::page::{
    Block, Column, Head, MARKDOWN, Page, Place, TERMINAL, TEXTS, Table, Tone, WORKBOOK, Whole,
    heading,
};

pub(super) fn cases(report: &Report<'_>, page: &mut Page) {
    if report.cases().next().is_some() {
        let which = if report.brief { "Cases that differ" } else { "Cases" };
        page.push(heading(which).on(TERMINAL));
        page.push(heading("Cases").on(MARKDOWN));
        page.push(Block::from(told(report)).on(TEXTS));
    }
    page.section(WORKBOOK, "Cases", contents(report));
}

/// A row for each case that is listed, and for each content of it.
fn told(report: &Report<'_>) -> Table {
    let muster = report.muster;
    let catalogue = &muster.catalogue;
    type Content = (ItemIx, u32, u32);
    let rows = report.cases().flat_map(|case| {
        let contents = words::told(report, case).map(move |content| (case, Some(content)));
        std::iter::once((case, None)).chain(contents)
    });
    let item = |(_, content): &(&CaseLine, Option<Content>)| {
        content.map(|(i, ..)| words::name(catalogue, i))
    };
    let state = |(case, content): &(&CaseLine, Option<Content>)| match content {
        None => words::case_state(case, muster.units),
        Some((_, ought, found)) => words::content(*ought, *found),
    };
    let state_column = Column::text("state").headed("");
    let table = Table::of(rows)
        .col(
            Column::text("told").headed("what is in it").on(TERMINAL).place(Place::Wrapped),
            |row| {
                let name = words::case_name(catalogue, row.0);
                item(row).unwrap_or_else(|| format!("{name}: {}", state(row)))
            },
        )
        .col(Column::text("case").on(MARKDOWN), |(case, content)| {
            content.is_none().then(|| words::case_name(catalogue, case))
        })
        .col(Column::text("item").on(MARKDOWN), item)
        .col(Column::count("ought").place(Place::Fixed(5)), |(_, c)| c.map(|(_, ought, _)| ought))
        .col(Column::count("found").place(Place::Fixed(5)), |(_, c)| c.map(|(.., found)| found))
        .col(state_column.clone().right().place(Place::Fixed(9)).on(TERMINAL), state)
        .col(state_column.on(MARKDOWN), state)
        .rows(|(case, content), row| {
            if content.is_none() {
                (row.whole, row.bold) = (Whole::Wrapped, true);
                row.tone = if case.short() > 0 { Tone::Bad } else { Tone::Plain };
            }
        });
    Table { head: Head::Bare(Tone::Plain), indent: 4, ..table.done().tight() }
}

/// For a workbook, which has all of them.
fn contents(report: &Report<'_>) -> Table {
    let catalogue = &report.muster.catalogue;
    let lines =
        report.muster.cases.iter().flat_map(|case| {
            case.case.lines.iter().enumerate().map(move |(n, line)| (case, n, *line))
        });
    Table::of(lines)
        .col(Column::text("case"), |(case, ..)| case.case.path.text(catalogue))
        .col(Column::text("case name"), |(case, ..)| words::case_name(catalogue, case))
        .col(Column::mass("case mass").summed(), |(case, n, _)| {
            // Once a case; an outer case weighs with what is in it.
            let once = *n == 0 && case.case.path.0.len() == 1;
            Some(case.mass).filter(|mass| once && *mass != Mass::ZERO)
        })
        .col(Column::text("item"), |(_, _, (i, ..))| &catalogue[*i].id)
        .col(Column::text("name"), |(_, _, (i, ..))| &catalogue[*i].name)
        .col(Column::count("ought").summed(), |(_, _, (_, ought, _))| *ought)
        .col(Column::count("found").summed(), |(_, _, (.., found))| *found)
        .col(Column::count("short").summed(), |(_, _, (_, a, b))| a.saturating_sub(*b))
        .col(Column::count("over").summed(), |(_, _, (_, a, b))| b.saturating_sub(*a))
        .done()
        .total("Total")
}
