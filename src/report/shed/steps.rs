//! What goes first, line by line from the highest limit down.

use super::words as say;
use crate::ask::shed::{Below, Crew, CrewOutcome, Shed};
use crate::load::{MoveOrder, PartyIx};
use crate::report::known;
use crate::report::page::{Cell, Column, Head, Page, Place, Row, TERMINAL, Table, Tone};
use crate::report::page::{gap, heading, para, typed};
use crate::split::Planned;

/// The header over what a step changes.
const WHAT: &str = "what goes, against the line above";

/// `loads`: with the load of each walker.
pub(super) fn by_limit(order: &MoveOrder, shed: &Shed, loads: bool, page: &mut Page) {
    page.push(para(&format!("{}. {}", say::TITLE_LIMIT, say::whose(order))));
    if shed.steps.is_empty() {
        return none(shed, page);
    }
    page.push(para(&sum(shed)));
    let table = Table::of(shed.steps.iter().enumerate())
        .col(Column::text("limit").right(), |(_, s)| say::from(s))
        .col(Column::text("value").right(), |(_, s)| Cell::between(s.value, s.value_bound))
        .col(Column::mass("total"), |(_, s)| s.planned.findings.total_carried)
        .col(what(), |(i, s)| match say::needs(order, s) {
            Some(needs) => needs,
            None => say::changes(order, *i == 0, &s.goes, &s.comes),
        })
        .col(under(), |(_, s)| loads.then(|| say::loads(order, &s.planned.findings)))
        .col(under(), |(i, _)| {
            let below = shed.below.get(*i).copied().unwrap_or(Below::Next);
            say::below(order, below, i + 1 == shed.steps.len())
        })
        .rows(|(_, s), row| row.tone = if s.over { Tone::Bad } else { Tone::Plain });
    let mut empty = Table { head: Head::Bare(Tone::Faint), ..table.done() }.group("steps");
    let rows = std::mem::take(&mut empty.rows);
    let mut parts: Vec<(&str, Vec<Row>)> = Vec::new();
    for (step, row) in shed.steps.iter().zip(rows) {
        let part = match (step.over, step.needs.is_empty()) {
            (true, _) => say::OVER,
            (_, true) => "Within the limits",
            _ => "Needs given up",
        };
        if parts.iter().all(|(other, _)| *other != part) {
            parts.push((part, Vec::new()));
        }
        if let Some((_, rows)) = parts.last_mut() {
            rows.push(row);
        }
    }
    for (part, rows) in parts {
        page.push(heading(part));
        page.push(Table { rows, ..empty.clone() });
    }
    if let Some(note) = note(shed) {
        page.push(gap());
        page.push(para(note));
    }
}

fn none(shed: &Shed, page: &mut Page) {
    page.push(gap());
    match &shed.none {
        Some(reason) => {
            let none = "No plan exists, not even at 150 % of the limits.";
            page.push(para(none).tone(Tone::Bad));
            page.push(typed(&format!("Why: {}.", reason.text)));
        }
        None => [known::NONE_FOUND, known::NO_PROOF, known::MORE_OR_LOOSER]
            .iter()
            .for_each(|said| page.push(para(said))),
    }
}

/// What fits within the limits, of how much.
fn sum(shed: &Shed) -> String {
    match shed.steps.iter().find(|s| !s.over && s.needs.is_empty()) {
        Some(step) => format!(
            "Of wants worth {}, {} fit within the limits, at {} of them.",
            shed.wanted,
            say::value(step),
            say::percent(step.from)
        ),
        None => "Nothing that meets the needs fits within the limits.".into(),
    }
}

pub(super) fn by_people(
    order: &MoveOrder,
    party: PartyIx,
    crews: &[Crew],
    loads: bool,
    page: &mut Page,
) {
    let title = say::title_people(order, party);
    page.push(typed(&format!("{title}, the last one written staying behind first.")));
    page.push(gap());
    let of =
        |cell: fn(&Planned) -> String| move |c: &&Crew| c.planned().map_or("-".to_string(), cell);
    let table = Table::of(crews)
        .col(Column::count("people"), |c| c.who.len())
        .col(Column::text("value").right(), of(|p| p.findings.wants_value.to_string()))
        .col(Column::text("fullest").right(), of(|p| say::percent(p.findings.peak_share)))
        .col(what(), |c| crew_change(order, crews, c))
        .col(under(), |c| {
            let planned = c.planned().filter(|_| loads);
            planned.map(|p| say::loads(order, &p.findings))
        })
        .rows(|crew, row| {
            let none = matches!(crew.outcome, CrewOutcome::NoPlan(_));
            row.tone = if none { Tone::Bad } else { Tone::Plain };
        });
    page.push(Table { head: Head::Bare(Tone::Faint), ..table.done() });
}

fn crew_change(order: &MoveOrder, crews: &[Crew], crew: &Crew) -> String {
    let before = crews.iter().take_while(|c| c.who.len() > crew.who.len());
    let first = before.filter_map(Crew::planned).count() == 0;
    let change = say::crew_change(order, first, crew);
    match crew.without {
        None => change,
        Some(_) => format!("{}: {change}", say::crew(order, crew)),
    }
}

fn what() -> Column {
    Column::text("what").headed(WHAT).place(Place::Wrapped)
}

/// A line that goes with the row above.
fn under() -> Column {
    Column::text("loads").on(TERMINAL).place(Place::Under("", None))
}

/// How to read what is not exact.
fn note(shed: &Shed) -> Option<&'static str> {
    if shed.cut_short {
        Some(
            "Cut short: where two numbers stand, the truth is between them, and steps between \
             may be missing. Give it more time, as in `--time 60s`.",
        )
    } else if shed.steps.iter().any(|s| !s.exact()) {
        Some(
            "Where two numbers stand, the truth is between them: as near as was asked. `--gap 0%` \
             and `--time` ask for more.",
        )
    } else {
        None
    }
}
