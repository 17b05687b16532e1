//! The answers that are no plan: why, and what would make one.

use super::some;
use crate::ask::Explanation;
use crate::load::MoveOrder;
use crate::report::page::{
    Block, Column, MARKDOWN, Page, TERMINAL, TEXTS, Table, Tone, WORKBOOK, gap, heading, para,
    typed,
};
use crate::report::{explained, known, words};
use crate::split::{Answer, Reason};

/// Blanks before what belongs to a numbered line.
const INDENT: usize = 5;

pub(super) fn none_found(answer: &Answer, page: &mut Page) {
    let [what, proof, advice] = known::none_found(answer);
    let stopped = known::stopped(answer);
    page.push(para(&what).tone(Tone::Bad).on(TEXTS));
    stopped.iter().for_each(|s| page.push(para(s).goes_on().on(TEXTS)));
    page.push(gap());
    page.push(para(&proof).goes_on().on(TEXTS));
    page.push(para(&advice).goes_on().on(TEXTS));
    page.push(heading("Answer").on(WORKBOOK));
    stopped.iter().chain(&[what, proof, advice]).for_each(|s| page.push(para(s).on(WORKBOOK)));
}

pub(super) fn no_plan(
    order: &MoveOrder,
    reason: &Reason,
    explanation: Option<&Explanation>,
    page: &mut Page,
) {
    page.push(heading("Answer").on(WORKBOOK));
    page.push(para(words::NO_PLAN).tone(Tone::Bad));
    page.push(gap());
    page.push(typed(&format!("Why: {}.", reason.text)));
    if let Some(place) = &reason.place {
        page.push(typed(&format!("Where: {place}")));
    }
    if let Some(explanation) = explanation {
        conflicts(order, reason, explanation, page);
        changes(order, explanation, page);
        page.caution_on(TEXTS);
    }
}

fn conflicts(order: &MoveOrder, given: &Reason, explanation: &Explanation, page: &mut Page) {
    for (k, conflict) in explanation.conflicts.iter().enumerate() {
        let title = explained::heading(k, explanation);
        page.push(heading(&title).on(TEXTS));
        let (told, more) = explained::told_to_people(order, conflict);
        for part in &told {
            page.push(typed(&part.text).mark("-").on(TERMINAL));
            let place = part.place.as_ref().map(|p| format!("at {p}"));
            let place = place.map(|p| typed(&p).indent(INDENT).tone(Tone::Faint).on(TERMINAL));
            place.into_iter().for_each(|p| page.push(p));
        }
        more.iter().for_each(|m| page.push(typed(m).mark("-").on(TERMINAL)));
        let more = more.map(|text| explained::Told { text, place: None });
        page.push(Block::from(parts(told.into_iter().chain(more))).on(MARKDOWN));
        if let Some(reason) = explained::reason(conflict, given) {
            page.push(typed(&reason).on(TEXTS));
        }
        page.push(para(explained::known(conflict)).on(TEXTS));
        some(WORKBOOK, &title, parts(explained::told(order, conflict)), page);
    }
    if explanation.more {
        page.push(para(explained::MORE).on(TEXTS));
    }
}

fn parts(told: impl IntoIterator<Item = explained::Told>) -> Table {
    Table::of(told)
        .col(Column::text("part"), |p| p.text.clone())
        .col(Column::text("place"), |p| p.place.clone().unwrap_or_default())
        .done()
}

fn changes(order: &MoveOrder, explanation: &Explanation, page: &mut Page) {
    page.push(heading(explained::CHANGES).on(TEXTS));
    page.push(para(&explained::intro(explanation)).on(TEXTS));
    let lines = explained::lines(explanation).into_iter().enumerate();
    let lines: Vec<(usize, String, Vec<String>)> = lines
        .map(|(k, offers)| {
            let (text, edits) = explained::line(order, offers);
            (k + 1, text, edits)
        })
        .collect();
    for (n, text, edits) in &lines {
        page.push(typed(text).mark(&n.to_string()).on(TERMINAL));
        let edit = |e: &String| typed(e).indent(INDENT).tone(Tone::Faint).on(TERMINAL);
        edits.iter().for_each(|e| page.push(edit(e)));
    }
    let table = Table::of(lines)
        .col(Column::count("number").headed("").on(MARKDOWN), |(n, ..)| *n)
        .col(Column::text("change"), |(_, text, _)| text.clone())
        .col(Column::text("in the files"), |(.., edits)| edits.join("; "));
    let table = table.done();
    page.push(Block::from(table.clone()).on(MARKDOWN));
    some(WORKBOOK, explained::CHANGES, table, page);
    if !explanation.complete {
        page.push(typed(explained::INCOMPLETE).on(TEXTS));
    }
}
