//! Why an item is where it is: a row for each other way, and what it costs.

pub(super) mod words;

use super::json::why_json;
use super::known;
use super::page::{Cell, Column, Head, Page, Table, Tone, Whole, heading, para, typed};
use super::words::{goal_value, plural};
use crate::ask::{Other, Verdict, Why};
use crate::load::MoveOrder;

const INDENT: usize = 2;

pub(super) fn page<'a>(order: &'a MoveOrder, why: &'a Why) -> Page<'a> {
    let page = Page::titled(order.name(), order.units());
    let mut page = page.document(|| why_json(order, why));
    page.push(typed(&words::question(order, why.item)));
    page.push(para(&known::verdict(&why.planned, order.units())));
    page.push(heading("Where it is"));
    words::whereabouts(order, why).iter().for_each(|l| page.push(typed(l).indent(INDENT)));
    let said = words::said_of_it(order, why.item);
    if !said.is_empty() {
        page.push(heading("What is said of it"));
        said.iter().for_each(|line| page.push(typed(line).indent(INDENT)));
    }
    page.push(heading("Other ways, one unit at a time"));
    page.push(others(order, why));
    if why.others.is_empty() {
        let none = "There is no other way: everybody has all of it.";
        page.push(para(none).indent(INDENT));
    }
    if why.not_tried > 0 {
        let more = plural(why.not_tried, "way was", "ways were");
        let help = format!("{more} not tried; ask about one carrier with `--at`");
        page.push(para(&help).indent(INDENT));
    }
    page.caution();
    page
}

/// The plan, and every other way with what it comes to.
fn others(order: &MoveOrder, why: &Why) -> Table {
    let rows = std::iter::once(None).chain(why.others.iter().map(Some));
    let name = |other: &Option<&Other>| match other {
        None => "as planned".into(),
        Some(other) => words::instead(order, other.instead),
    };
    let mut table = Table::of(rows).col(Column::text("way").headed("").gives(16), name);
    for (n, goal) in why.planned.goals.iter().enumerate() {
        table = table.col(Column::text(goal.goal.word()).right(), |other| {
            let goals = other.map_or(&why.planned.goals, |o| &o.goals);
            goals.get(n).map(|g| goal_value(g.reached, order.units()))
        });
    }
    let verdict = |other: &Option<&Other>| {
        let other = (*other)?;
        let tone = match other.verdict {
            Verdict::Forbidden { .. } => Tone::Bad,
            _ => Tone::Plain,
        };
        let lines = words::verdict(order, why, other).into_iter();
        Some(Cell::Lines(lines.map(|line| (tone, line)).collect()))
    };
    let table = table
        .col(Column::text("verdict").under("", 2 * INDENT), verdict)
        // Without values the name has the whole line.
        .rows(|other, row| {
            if other.is_some_and(|o| o.goals.is_empty()) {
                row.whole = Whole::Cut;
            }
        });
    Table { head: Head::Bare(Tone::Plain), indent: INDENT, ..table.done() }
}
