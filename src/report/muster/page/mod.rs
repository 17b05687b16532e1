//! The check of holdings: what is not in order first.

mod cases;
mod holdings;

use super::{MoveLine, Report, words};
use crate::load::Counting;
use crate::report::page::{
    Block, Cell, Column, MARKDOWN, Page, Place, TERMINAL, TEXTS, Table, Tone, WORKBOOK,
};
use crate::report::page::{heading, para, typed};
use crate::report::{CAUTION, json};

pub(crate) fn page<'a>(report: &'a Report<'_>) -> Page<'a> {
    let muster = report.muster;
    let page = Page::titled(&muster.name, muster.units);
    let mut page = page.document(|| json::muster(report));
    let verdict = words::verdict(report);
    page.push(para(&verdict).tone(tone(!report.in_order(), Tone::Good)).on(TEXTS));
    let differences = differences(report);
    counted(report, differences.clone(), &mut page);
    moves(report, &mut page);

    let which = if report.brief { "Holdings, loose, that differ" } else { "Holdings, loose" };
    page.push(heading(which).on(TERMINAL));
    page.push(heading("Holdings").on(MARKDOWN | WORKBOOK));
    page.push(para(&verdict).on(WORKBOOK));
    page.push(para(CAUTION).on(WORKBOOK));
    page.push(holdings::table(report));
    if let (Some(told), Some(table)) = (words::counted(muster), differences) {
        page.push(heading("Differences").on(WORKBOOK));
        page.push(para(&told).on(WORKBOOK));
        page.push(Block::from(table).on(WORKBOOK));
    }
    cases::cases(report, &mut page);
    if let Some(moves) = report.moves {
        page.section(WORKBOOK, "Moves", asked(moves, report.seconds));
    }

    page.push(heading("Mass").on(TEXTS));
    let masses = Table::of(words::masses(muster))
        .col(Column::text("what").headed("").place(Place::Cut(13)), |(label, _)| *label)
        .col(Column::text("mass").headed("").right().place(Place::Fixed(14)), |(_, m)| m.clone());
    page.push(Block::from(masses.done().bare().tight()).on(TEXTS));
    page.caution_on(TEXTS);
    page
}

fn tone(bad: bool, good: Tone) -> Tone {
    if bad { Tone::Bad } else { good }
}

/// What was counted otherwise than recorded.
fn differences(report: &Report<'_>) -> Option<Table> {
    let catalogue = &report.muster.catalogue;
    let table = Table::of(&report.muster.count.as_ref()?.differences)
        .col(Column::text("item").on(WORKBOOK), |d| {
            let (Counting::Loose(item, _) | Counting::InCase(_, item)) = &d.counted.what;
            &catalogue[*item].id
        })
        .col(Column::text("item").book("Name"), |d| words::counting(catalogue, &d.counted.what).0)
        .col(Column::text("where"), |d| words::counting(catalogue, &d.counted.what).1)
        .col(Column::count("recorded"), |d| d.recorded)
        .col(Column::count("counted"), |d| d.counted.count)
        .col(Column::text("difference").headed("").book("Difference"), |d| words::by_how_much(d))
        .col(Column::text("aside").headed("").on(MARKDOWN), |d| words::aside(d))
        .col(Column::text("by").on(WORKBOOK), |d| d.counted.by.clone().unwrap_or_default())
        .col(Column::text("note").on(WORKBOOK), |d| d.counted.note.clone().unwrap_or_default());
    Some(table.done().tight())
}

fn counted(report: &Report<'_>, differences: Option<Table>, page: &mut Page) {
    let muster = report.muster;
    let (Some(told), Some(count), Some(table)) =
        (words::counted(muster), &muster.count, differences)
    else {
        return;
    };
    page.push(heading("Recorded and counted").on(TEXTS));
    page.push(para(&told).on(TEXTS));
    page.push(Block::from(table).on(MARKDOWN));
    for d in &count.differences {
        let (item, at) = words::counting(&muster.catalogue, &d.counted.what);
        let how = words::by_how_much(d);
        let numbers = format!("recorded {}, counted {}", d.recorded, d.counted.count);
        let line = format!("{item}, {at}: {numbers}, {how}");
        page.push(typed(&line).indent(2).tone(Tone::Bad).on(TERMINAL));
        page.push(typed(&words::aside(d)).indent(6).on(TERMINAL));
    }
}

fn moves(report: &Report<'_>, page: &mut Page) {
    let Some(moves) = report.moves else { return };
    page.push(heading("Moves, with what is fit for use").on(TERMINAL));
    page.push(heading("Moves").on(MARKDOWN));
    if moves.is_empty() {
        page.push(para("There is no move to ask.").indent(2).on(TEXTS));
    }
    let line = |depth, text: &str, bad| {
        let tone = tone(bad, Tone::Plain);
        typed(text).item(depth).indent(2 + 4 * depth).tone(tone).on(TEXTS)
    };
    for m in moves {
        let (bad, outlook) = words::outlook(m, report.seconds);
        page.push(line(0, &format!("{}: {outlook}", m.order.name()), bad));
        words::losses(m).iter().for_each(|(bad, loss)| page.push(line(1, loss, *bad)));
    }
}

/// The same for a workbook.
fn asked(moves: &[MoveLine<'_>], seconds: u64) -> Table {
    let lines = moves.iter().flat_map(|m| {
        let first = words::outlook(m, seconds).1;
        let all = std::iter::once(first).chain(words::losses(m).into_iter().map(|(_, t)| t));
        all.map(move |text| (m, text))
    });
    Table::of(lines)
        .col(Column::text("move"), |(m, _)| m.order.name())
        .col(Column::text("file"), |(m, _)| m.file)
        .col(Column::text("with what is fit for use"), |(_, text)| Cell::Text(text.clone()))
        .done()
}
