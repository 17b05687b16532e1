//! Needs, supplies, wants and goals: what the plan answers to.

use crate::load::{MoveOrder, Need, Want};
use crate::quantity::{Amount, Dimension};
use crate::report::page::{
    Block, Cell, Column, Forms, Kind, MARKDOWN, Page, Place, TERMINAL, Table, Tone, WORKBOOK,
};
use crate::report::{known, words};
use crate::split::{Findings, NeedFinding, Planned, SupplyFinding};

/// What is printed in whole lines under a row.
const UNDER: usize = 4;
/// As wide as `NOT MET`.
const MARK: usize = 7;
/// What other forms have in a column and a terminal has elsewhere.
const ELSEWHERE: Forms = MARKDOWN.and(WORKBOOK);

/// `people`: the texts that have the plan itself, or none.
pub(super) fn needs(order: &MoveOrder, found: &Findings, people: Forms, page: &mut Page) {
    let party = |need: &Need| &order.party(need.party).id;
    let met = |(_, f): &(&Need, &NeedFinding)| if f.met { "met" } else { "NOT MET" };
    let by = |(_, f): &(&Need, &NeedFinding)| words::met_by(order, f).join("; ");
    let marked = |row: &(&Need, &NeedFinding)| {
        Cell::toned(if row.1.met { Tone::Good } else { Tone::Bad }, met(row))
    };
    let table = Table::of(order.needs().iter().zip(&found.needs))
        .col(Column::text("met").on(TERMINAL).place(Place::Fixed(MARK)), marked)
        .col(Column::text("name").on(TERMINAL).place(Place::Cut(0)), |(need, _)| {
            format!("{}: {}", party(need), need.name)
        })
        .col(Column::text("met").on(MARKDOWN).headed(""), met)
        .col(Column::text("party").on(ELSEWHERE), |(need, _)| party(need))
        .col(Column::text("need").on(ELSEWHERE), |(need, _)| &need.name)
        .col(Column::text("met").on(WORKBOOK), met)
        .col(Column::text("by").place(Place::Under("by ", None)), by);
    page.section(people | WORKBOOK, "Needs", table.done().bare());
}

pub(super) fn supplies(order: &MoveOrder, found: &Findings, people: Forms, page: &mut Page) {
    let supply = |s: &SupplyFinding| order.catalogue().supply(s.supply);
    let party = |s: &SupplyFinding| &order.party(s.party).id;
    let amount = |s: &SupplyFinding, base| Amount::new(supply(s).dimension, base);
    let from = |s: &&SupplyFinding| words::sources(order, s);
    let number = |key: &str| Column::new(key, Kind::Number);
    let table = Table::of(&found.supplies)
        .col(Column::text("name").on(TERMINAL).gives(12), |s| {
            format!("{}: {}", party(s), supply(s).id)
        })
        .col(Column::text("party").on(MARKDOWN), |s| party(s))
        .col(Column::text("supply").on(MARKDOWN), |s| &supply(s).id)
        .col(number("there").after(" there"), |s| amount(s, s.there))
        .col(number("needed").after(" needed"), |s| amount(s, s.demand))
        .col(Column::text("margin").right(), |s| {
            words::margin(amount(s, s.there), amount(s, s.demand), order.units())
        })
        .col(Column::text("from").under("from ", UNDER), from);
    page.section(people, "Supplies", table.done().bare());

    let unit = |s: &SupplyFinding| unit(supply(s).dimension);
    let cell = |s: &SupplyFinding, base| Cell::Number { base, unit: unit(s).1 };
    let table = Table::of(&found.supplies)
        .col(Column::text("party"), |s| party(s))
        .col(Column::text("supply"), |s| &supply(s).id)
        .col(number("there"), |s| cell(s, s.there))
        .col(number("needed"), |s| cell(s, s.demand))
        .col(number("to spare"), |s| match s.there.checked_sub(s.demand) {
            Some(spare) => cell(s, spare),
            None => "SHORT".into(),
        })
        .col(Column::text("unit"), |s| unit(s).0)
        .col(Column::text("from"), from);
    page.section(WORKBOOK, "Supplies", table.done());
}

/// The unit that amounts are shown in, and how many base units it has.
fn unit(dimension: Dimension) -> (&'static str, u64) {
    match dimension {
        Dimension::Length => ("m", 1_000),
        Dimension::Energy => ("Wh", 1_000),
        Dimension::Bulk => ("L", 1_000),
        Dimension::Mass => ("kg", 1_000_000),
        Dimension::Count => ("", 1),
    }
}

pub(super) fn wants(order: &MoveOrder, found: &Findings, people: Forms, page: &mut Page) {
    let rows = || order.wants().iter().zip(&found.wants);
    let party = |want: &Want| &order.party(want.party).id;
    let table = Table::of(rows())
        .col(Column::text("state").on(TERMINAL), |(want, taken)| match **taken {
            0 => "left",
            n if n < want.up_to => "part",
            _ => "taken",
        })
        .col(Column::text("taken"), |(want, taken)| format!("{taken} of {}", want.up_to))
        .col(Column::text("item").gives(16), |(want, _)| words::item_name(order, want.item))
        .col(Column::text("party").gives(8), |(want, _)| party(want))
        .col(Column::text("value").right().on(TERMINAL), |(want, _)| {
            format!("value {} each", want.value)
        })
        .col(Column::count("value of each").on(MARKDOWN), |(want, _)| want.value);
    let title = format!("Wants: value {} taken", found.wants_value);
    page.section(people, &title, table.done().bare());

    let taken = |(want, taken): &(&Want, &u32)| u64::from((**taken).min(want.up_to));
    let table = Table::of(rows())
        .col(Column::text("party"), |(want, _)| party(want))
        .col(Column::text("item"), |(want, _)| &order.item(want.item).id)
        .col(Column::text("name"), |(want, _)| &order.item(want.item).name)
        .col(Column::count("taken"), taken)
        .col(Column::count("up to"), |(want, _)| want.up_to)
        .col(Column::count("value of each"), |(want, _)| want.value)
        .col(Column::count("value taken").summed(), |row| taken(row) * u64::from(row.0.value));
    page.section(WORKBOOK, "Wants", table.done().total("Total"));
}

/// The sheet of a workbook has its heading already.
pub(super) fn goals(order: &MoveOrder, planned: &Planned, people: Forms, page: &mut Page) {
    let units = order.units();
    let table = Table::of(&planned.goals)
        .col(Column::text("goal"), |g| g.goal.word())
        .col(Column::text("what").on(ELSEWHERE), |g| g.goal.words().measures)
        .col(Column::text("value").right(), |g| words::goal_value(g.value, units))
        .col(Column::text("known").on(TERMINAL), |g| words::goal_known(g, units))
        .col(Column::text("known").on(ELSEWHERE), |g| {
            let gave = known::goal_gave_way(g, units);
            std::iter::once(words::goal_known(g, units)).chain(gave).collect::<Vec<_>>().join("; ")
        })
        .col(Column::text("what").on(TERMINAL).gives(16), |g| g.goal.words().measures)
        .col(Column::text("gave").on(TERMINAL).under("", UNDER), |g| {
            known::goal_gave_way(g, units)
        });
    let table = table.done().bare();
    page.push(Block::from(table.clone()).on(WORKBOOK));
    page.section(people, "Goals, in their order", table);
}
