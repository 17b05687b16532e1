//! A plan, or why there is none: who carries what, what it answers to, and what
//! stands beside it.

mod anew;
mod answers;
mod beside;
mod carried;
mod loads;
mod more;
mod none;

pub use carried::CARRIED_COLUMNS;
pub use more::More;
pub(crate) use more::holds;

use super::page::{Block, CSV, Forms, NONE, Page, TEXTS, Tone, WORKBOOK, heading, para, typed};
use super::{CAUTION, json, known, words};
use crate::load::MoveOrder;
use crate::split::{Answer, Outcome, Planned, Status};

pub(crate) fn page<'a>(order: &'a MoveOrder, answer: &'a Answer, more: &'a More) -> Page<'a> {
    let page = Page::titled(order.name(), order.units());
    let mut page = page.document(|| json::render(order, answer, more));
    match &answer.outcome {
        Outcome::Plan(planned) => plan(order, answer, planned, more, &mut page),
        Outcome::NoPlan(reason) => none::no_plan(order, reason, more.explanation, &mut page),
        Outcome::NoneFound => none::none_found(answer, &mut page),
    }
    let planned = matches!(answer.outcome, Outcome::Plan(_));
    if let (Some(anew), false) = (more.anew, planned) {
        beside::changes(anew, &mut page);
    }
    if !planned {
        page.push(Block::from(carried::table(order, answer, more.columns)).on(CSV));
    }
    page.push(heading("Cautions").on(WORKBOOK));
    page.push(para(CAUTION).on(WORKBOOK));
    if planned {
        holds(order, more).iter().for_each(|line| page.push(typed(line).on(WORKBOOK)));
    }
    page
}

fn plan(order: &MoveOrder, answer: &Answer, planned: &Planned, more: &More, page: &mut Page) {
    let findings = &planned.findings;
    let tone = match planned.status {
        Status::ProvenBest | Status::WithinGap => Tone::Good,
        Status::Feasible => Tone::Plain,
    };
    page.push(para(&known::verdict(planned, order.units())).tone(tone).on(TEXTS));
    if let Some(stopped) = known::stopped(answer) {
        page.push(para(&stopped).goes_on().on(TEXTS));
    }
    let broken = findings.needs.iter().any(|n| !n.met)
        || findings.carriers.iter().any(|c| c.load > c.usable);
    let tone = if broken { Tone::Bad } else { Tone::Plain };
    page.push(para(&words::checks(planned)).tone(tone).goes_on().on(TEXTS));
    holds(order, more).iter().for_each(|line| page.push(typed(line).goes_on().on(TEXTS)));
    if let Some(anew) = more.anew {
        beside::changes(anew, page);
    }
    let people = if more.brief { NONE } else { TEXTS };
    if !more.brief {
        loads::loads(order, findings, page);
    }
    page.push(heading("Loads").on(WORKBOOK));
    status(order, answer, planned, page);
    page.push(para(CAUTION).on(WORKBOOK));
    page.push(Block::from(loads::table(order, findings)).on(WORKBOOK));
    page.push(heading("Who carries what").on(WORKBOOK));
    page.push(para(carried::NOTE).on(WORKBOOK));
    page.push(Block::from(carried::table(order, answer, more.columns)).on(CSV | WORKBOOK));
    answers::needs(order, findings, people, page);
    answers::supplies(order, findings, people, page);
    answers::wants(order, findings, people, page);
    loads::stays(order, findings, page);
    page.push(heading("Goals and status").on(WORKBOOK));
    status(order, answer, planned, page);
    answers::goals(order, planned, people, page);
    beside::conditions(order, more, page);
    if let Some(anew) = more.anew {
        beside::changed(anew, page);
    }
    page.caution_on(TEXTS);
}

/// How good it is known to be, over the tables of a workbook.
fn status(order: &MoveOrder, answer: &Answer, planned: &Planned, page: &mut Page) {
    let told = [known::verdict(planned, order.units()), words::checks(planned)];
    let told = told.into_iter().chain(known::stopped(answer));
    told.for_each(|line| page.push(para(&line).on(WORKBOOK)));
}

/// A heading and a table; a workbook has none without rows either.
fn some(on: Forms, title: &str, table: super::page::Table, page: &mut Page) {
    if !table.rows.is_empty() {
        page.section(on, title, table);
    }
}
