//! What goes first for spreadsheets: a row for each step and change.

use super::By;
use super::words as say;
use crate::ask::shed::Change;
use crate::load::{MoveOrder, Share};
use crate::report::csv::{cell, written};
use crate::split::Findings;

const HEADER: [&str; 14] = [
    "step",
    "people",
    "limit_percent",
    "limit_percent_bound",
    "over_limit",
    "value",
    "value_bound",
    "peak_percent",
    "total_g",
    "change",
    "party",
    "item",
    "item_name",
    "count",
];

pub(super) fn render(order: &MoveOrder, by: By<'_>) -> String {
    let mut rows = Vec::new();
    match by {
        By::Limit(shed) => {
            for (i, s) in shed.steps.iter().enumerate() {
                let found = &s.planned.findings;
                let head = [
                    (i + 1).to_string(),
                    String::new(),
                    decimal(s.from, true),
                    decimal(s.from_bound, false),
                    if s.over { "yes" } else { "no" }.into(),
                    s.value.to_string(),
                    s.value_bound.to_string(),
                    decimal(found.peak_share, true),
                    grams(found),
                ];
                let needs = s.needs.iter().map(|n| {
                    let need = &order.needs()[*n];
                    let party = cell(&order.party(need.party).id);
                    ["need".into(), party, String::new(), cell(&need.name), "1".into()]
                });
                changes(order, &head, needs.collect(), &s.goes, &s.comes, &mut rows);
            }
        }
        By::People(_, crews) => {
            for (i, crew) in crews.iter().enumerate() {
                let mut head: [String; 9] = Default::default();
                (head[0], head[1]) = ((i + 1).to_string(), crew.who.len().to_string());
                if let Some(planned) = crew.planned() {
                    let found = &planned.findings;
                    head[4] = "no".into();
                    head[5] = found.wants_value.to_string();
                    head[7] = decimal(found.peak_share, true);
                    head[8] = grams(found);
                }
                let mut more = Vec::new();
                if crew.planned().is_none() {
                    let text = cell(&say::crew_change(order, false, crew));
                    let none = String::new;
                    more.push(["no plan".into(), none(), none(), text, none()]);
                }
                changes(order, &head, more, &crew.goes, &crew.comes, &mut rows);
            }
        }
    }
    written(&HEADER, &rows)
}

fn changes(
    order: &MoveOrder,
    head: &[String; 9],
    more: Vec<[String; 5]>,
    goes: &[Change],
    comes: &[Change],
    rows: &mut Vec<Vec<String>>,
) {
    let change = |word: &str, c: &Change| {
        let want = &order.wants()[c.want];
        let (party, item) = (order.party(want.party), order.item(want.item));
        [word.into(), cell(&party.id), cell(&item.id), cell(&item.name), c.count.to_string()]
    };
    let goes = goes.iter().map(|c| change("goes", c));
    let comes = comes.iter().map(|c| change("comes back", c));
    let mut tails: Vec<[String; 5]> = more.into_iter().chain(goes).chain(comes).collect();
    if tails.is_empty() {
        tails.push(Default::default());
    }
    rows.extend(tails.iter().map(|tail| head.iter().chain(tail).cloned().collect()));
}

/// A percentage to four decimals, rounded up, or down for a bound.
fn decimal(share: Share, up: bool) -> String {
    let (load, limit) = (u128::from(share.load.mg()), u128::from(share.limit.mg().max(1)));
    let n = if up { (load * 1_000_000).div_ceil(limit) } else { load * 1_000_000 / limit };
    format!("{}.{:04}", n / 10_000, n % 10_000)
}

fn grams(found: &Findings) -> String {
    let mg = found.total_carried.mg();
    format!("{}.{:03}", mg / 1000, mg % 1000)
}
