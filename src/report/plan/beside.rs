//! What stands beside the plan: what changed, who takes over if somebody drops
//! out, and what conditions cost.

use super::some;
use super::{anew as said, more};
use crate::ask::Replanned;
use crate::load::MoveOrder;
use crate::report::page::{
    Block, Column, MARKDOWN, Page, TERMINAL, TEXTS, Table, Tone, WORKBOOK, heading, para, typed,
};
use crate::report::words;
use crate::split::Outcome;

const INDENT: usize = 2;

/// What changed, before the loads: first what people have to do.
pub(super) fn changes(anew: &Replanned, page: &mut Page) {
    weighed(anew, page);
    let planned = matches!(anew.answer.outcome, Outcome::Plan(_));
    if !planned && !said::told_anyhow(anew) {
        return;
    }
    page.push(heading("Changes from the plan before").on(TEXTS));
    page.push(typed(&said::summary(anew)).indent(INDENT).on(TEXTS));
    for used in &anew.used {
        let used = said::used_up(anew, used);
        page.push(typed(&format!("used up: {used}")).indent(INDENT).on(TERMINAL));
        page.push(typed(&format!("Used up: {used}.")).on(MARKDOWN));
    }
    page.push(Block::from(table(anew)).on(TEXTS));
}

/// The same as a sheet of a workbook.
pub(super) fn changed(anew: &Replanned, page: &mut Page) {
    some(WORKBOOK, "Changes", table(anew), page);
}

fn table(anew: &Replanned) -> Table {
    let moved = anew.hand_overs.iter().map(|h| {
        let name = words::item_name(&anew.order, h.item);
        (words::hand_over(anew, h), h.count.to_string(), name, said::path(anew, h))
    });
    let other = said::gone_and_new(anew).into_iter();
    let other = other.map(|(word, n, name)| (word, n.to_string(), name, String::new()));
    Table::of(moved.chain(other))
        .col(Column::text("change").headed("").book("Change"), |(word, ..)| *word)
        .col(Column::text("count").right(), |(_, count, ..)| count.clone())
        .col(Column::text("item").gives(14), |(.., name, _)| name.clone())
        .col(Column::text("who").gives(16), |(.., path)| path.clone())
        .done()
        .bare()
}

fn weighed(anew: &Replanned, page: &mut Page) {
    let Some(found) = &anew.weighed else { return };
    let units = anew.order.units();
    page.push(heading("Weighed against the catalogue").on(TEXTS));
    let table = Table::of(&found.differ)
        .col(Column::text("item").gives(14), |(item, ..)| words::item_name(&anew.order, *item))
        .col(Column::mass("listed").after(" listed"), |(_, was, _)| *was)
        .col(Column::mass("weighed").after(" weighed"), |(.., is)| *is)
        .col(Column::text("difference").right(), |(_, was, is)| said::difference(*was, *is, units));
    page.push(Block::from(table.done().bare()).on(TEXTS));
    if found.differ.is_empty() {
        let none = "Nothing weighs other than the catalogue says.";
        page.push(para(none).indent(INDENT).on(TERMINAL));
    } else if found.same > 0 {
        let same = words::plural(found.same, "other item weighs", "other items weigh");
        let same = format!("{same} what the catalogue says.");
        page.push(para(&same).indent(INDENT).on(TERMINAL));
    }
    let tone = if found.over.is_empty() { Tone::Plain } else { Tone::Bad };
    let over = para(&said::by_the_scales(anew, &found.over));
    page.push(over.indent(INDENT).tone(tone).on(TEXTS));
    for o in &found.over {
        page.push(typed(&said::over(anew, o)).indent(2 * INDENT).goes_on().on(TEXTS));
    }
}

/// What conditions cost, and what is left if somebody drops out.
pub(super) fn conditions(order: &MoveOrder, asked: &more::More, page: &mut Page) {
    let elsewhere = MARKDOWN | WORKBOOK;
    let drop_outs = asked.survival.into_iter().flat_map(|s| &s.drop_outs);
    let table = Table::of(drop_outs.map(|d| (d, more::fullest(order, d))))
        .col(Column::text("without").on(TERMINAL).gives(16), |(d, _)| {
            format!("without {}", words::carrier_name(order, d.who))
        })
        .col(Column::text("without").on(elsewhere), |(d, _)| words::carrier_name(order, d.who))
        .col(Column::text("fullest").gives(12), |(_, [who, ..])| who.clone())
        .col(Column::text("load").right(), |(_, [_, load, _])| load.clone())
        .col(Column::text("share").right(), |(_, [.., share])| share.clone())
        .col(Column::text("left").under("", 2 * INDENT), |(d, _)| more::put_down(d));
    let table = table.done().bare();
    let title = "If one drops out: the fullest of the rest, of the emergency limit";
    some(TERMINAL, title, table.clone(), page);
    some(MARKDOWN, "If one drops out, of the emergency limit", table.clone(), page);
    some(WORKBOOK, "If one drops out", table, page);
    for price in asked.prices {
        let value = |value| words::goal_value(value, order.units());
        let table = Table::of(&price.goals)
            .col(Column::text("goal"), |g| g.goal.word())
            .col(Column::text("with").right(), |g| value(g.with))
            .col(Column::text("without").right(), |g| format!("{} without", value(g.without)))
            .col(Column::text("price").gives(12), |g| more::cost(g, order.units()));
        let all = if price.goals.is_empty() { TERMINAL } else { TEXTS | WORKBOOK };
        page.push(heading(more::price_title(price)).on(all));
        page.push(Block::from(table.done().bare()).on(all));
        if let Some(note) = more::price_note(price) {
            page.push(para(note).indent(INDENT).on(TEXTS));
        }
    }
}
