//! What goes first for spreadsheets: a row for each step and change.

use super::by::By;
use super::words as say;
use crate::ask::shed::{Crew, Step, WantUnits};
use crate::load::{MoveOrder, Share};
use crate::report::page::{Cell, Column, Kind, Table};
use crate::split::Findings;

/// A step, or a size of the party.
#[derive(Clone, Copy)]
enum Of<'a> {
    Step(&'a Step),
    Crew(&'a Crew),
}

/// A change in a step; the first four are what it is, whose, of what and how many.
struct Line<'a> {
    at: usize,
    of: Of<'a>,
    change: [Cell; 5],
}

pub(super) fn table(order: &MoveOrder, by: By<'_>) -> Table {
    let of: Vec<Of> = match by {
        By::Limit(shed) => shed.steps.iter().map(Of::Step).collect(),
        By::People(_, crews) => crews.iter().map(Of::Crew).collect(),
    };
    let lines = of.into_iter().enumerate().flat_map(|(i, of)| {
        let change = move |change| Line { at: i + 1, of, change };
        of.changes(order).into_iter().map(change)
    });
    let share = |share: fn(&Step) -> String| move |l: &Line| l.of.step().map(share);
    let change = |at: usize| move |l: &Line| l.change[at].clone();
    Table::of(lines)
        .col(Column::count("step"), |l| l.at)
        .col(Column::count("people"), |l| l.of.crew().map(|c| c.who.len()))
        .col(Column::text("limit_percent"), share(|s| decimal(s.from, true)))
        .col(Column::text("limit_percent_bound"), share(|s| decimal(s.from_bound, false)))
        .col(Column::text("over_limit"), |l| match l.of {
            Of::Step(step) => Some(step.over),
            Of::Crew(crew) => crew.planned().map(|_| false),
        })
        .col(Column::count("value"), |l| match l.of {
            Of::Step(step) => Some(step.value),
            Of::Crew(_) => l.of.found().map(|f| f.wants_value),
        })
        .col(Column::count("value_bound"), |l| l.of.step().map(|s| s.value_bound))
        .col(Column::text("peak_percent"), |l| l.of.found().map(|f| decimal(f.peak_share, true)))
        .col(Column::new("total_g", Kind::Grams), |l| l.of.found().map(|f| f.total_carried))
        .col(Column::text("change"), change(0))
        .col(Column::text("party"), change(1))
        .col(Column::text("item"), change(2))
        .col(Column::text("item_name"), change(3))
        .col(Column::count("count"), change(4))
        .done()
}

impl<'a> Of<'a> {
    fn step(self) -> Option<&'a Step> {
        if let Of::Step(step) = self { Some(step) } else { None }
    }

    fn crew(self) -> Option<&'a Crew> {
        if let Of::Crew(crew) = self { Some(crew) } else { None }
    }

    fn found(self) -> Option<&'a Findings> {
        match self {
            Of::Step(step) => Some(&step.planned.findings),
            Of::Crew(crew) => crew.planned().map(|p| &p.findings),
        }
    }

    /// At least one, which may be empty.
    fn changes(self, order: &MoveOrder) -> Vec<[Cell; 5]> {
        let change = |word: &'static str| {
            move |c: &WantUnits| {
                let want = &order.wants()[c.want];
                let (party, item) = (order.party(want.party), order.item(want.item));
                let (id, name) = (&item.id, &item.name);
                [word.into(), (&party.id).into(), id.into(), name.into(), c.count.into()]
            }
        };
        let (goes, comes) = match self {
            Of::Step(step) => (&step.goes, &step.comes),
            Of::Crew(crew) => (&crew.goes, &crew.comes),
        };
        let mut all: Vec<[Cell; 5]> = match self {
            Of::Step(step) => {
                let needs = step.needs.iter().map(|n| &order.needs()[*n]);
                let need = |need: &crate::load::Need| {
                    let party = &order.party(need.party).id;
                    ["need".into(), party.into(), Cell::None, (&need.name).into(), 1u32.into()]
                };
                needs.map(need).collect()
            }
            Of::Crew(crew) if crew.planned().is_none() => {
                let why = say::crew_change(order, false, crew);
                vec![["no plan".into(), Cell::None, Cell::None, why.into(), Cell::None]]
            }
            Of::Crew(_) => Vec::new(),
        };
        all.extend(goes.iter().map(change("goes")));
        all.extend(comes.iter().map(change("comes back")));
        if all.is_empty() {
            all.push([const { Cell::None }; 5]);
        }
        all
    }
}

/// A percentage to four decimals, rounded up, or down for a bound.
fn decimal(share: Share, up: bool) -> String {
    let (load, limit) = (u128::from(share.load.mg()), u128::from(share.limit.mg().max(1)));
    let n = if up { (load * 1_000_000).div_ceil(limit) } else { load * 1_000_000 / limit };
    format!("{}.{:04}", n / 10_000, n % 10_000)
}
