//! What stands in the rows, in words, once for table, CSV and Markdown.

use crate::ask::compare::{Lasts, Loadout};
use crate::load::{MoveOrder, PartyIx};
use crate::quantity::{Amount, Span};
use crate::report::{known, words};
use crate::split::{Outcome, Status};
use tumpline_core::text::clean;

pub(in crate::report) struct Section {
    pub title: &'static str,
    pub rows: Vec<Row>,
}

/// A cell for each loadout.
pub(in crate::report) struct Row {
    pub label: String,
    pub cells: Vec<String>,
}

/// Where there is nothing of it; where there is no plan the cell is empty.
const NONE: &str = "-";

impl Row {
    /// Whether loadouts with a plan differ.
    pub fn differs(&self) -> bool {
        let mut told = self.cells.iter().filter(|c| !c.is_empty());
        let first = told.next();
        told.any(|c| Some(c) != first)
    }
}

fn row(label: &str, loadouts: &[Loadout], cell: impl Fn(&Loadout) -> String) -> Row {
    Row { label: label.into(), cells: loadouts.iter().map(cell).collect() }
}

/// A row that says nothing where there is no plan.
fn planned(label: &str, loadouts: &[Loadout], cell: impl Fn(&Loadout) -> String) -> Row {
    row(label, loadouts, |l| if l.planned().is_some() { cell(l) } else { String::new() })
}

pub(in crate::report) fn sections(loadouts: &[Loadout]) -> Vec<Section> {
    let mut all = vec![
        Section { title: "Plan", rows: plan(loadouts) },
        Section { title: "Supplies", rows: supplies(loadouts) },
        Section { title: "What goes", rows: items(loadouts) },
    ];
    all.retain(|s| !s.rows.is_empty());
    all
}

fn plan(loadouts: &[Loadout]) -> Vec<Row> {
    let found = |f: &dyn Fn(&Loadout, &crate::split::Planned) -> String| {
        let cell = |l: &Loadout| l.planned().map_or(String::new(), |p| f(l, p));
        loadouts.iter().map(cell).collect::<Vec<String>>()
    };
    let met = |l: &Loadout, p: &crate::split::Planned| {
        let met = p.findings.needs.iter().filter(|n| n.met).count();
        format!("{met} of {}", l.order.needs().len())
    };
    vec![
        row("people", loadouts, |l| going(&l.order, true).len().to_string()),
        row("vehicles", loadouts, |l| going(&l.order, false).len().to_string()),
        row("known", loadouts, known),
        Row {
            label: "total".into(),
            cells: found(&|l, p| p.findings.total_carried.rounded(l.order.units())),
        },
        Row { label: "fullest".into(), cells: found(&|_, p| words::share(p.findings.peak_share)) },
        Row { label: "wants".into(), cells: found(&|_, p| p.findings.wants_value.to_string()) },
        Row { label: "needs met".into(), cells: found(&met) },
    ]
}

/// Carriers outside the store.
pub(in crate::report) fn going(order: &MoveOrder, people: bool) -> Vec<&str> {
    let parties = (0..order.parties().len()).map(PartyIx).filter(|p| !order.is_store(*p));
    let all = parties.flat_map(|p| order.party(p).who.iter().map(|c| order.carrier(*c)));
    all.filter(|c| c.person().is_some() == people).map(|c| c.id.as_str()).collect()
}

/// How good the plan is known to be, in a word or two.
fn known(l: &Loadout) -> String {
    match &l.answer.outcome {
        Outcome::Plan(planned) => {
            let gaps = planned.goals.iter().map(|g| g.gap_percent());
            match planned.status {
                Status::ProvenBest => "best".into(),
                Status::WithinGap => format!("{} off", words::percent(gaps.fold(0.0, f64::max))),
                Status::Feasible => "not settled".into(),
            }
        }
        Outcome::NoPlan(_) => "no plan".into(),
        Outcome::NoneFound => "none found".into(),
    }
}

/// Each supply by its id: parties of different moves have different names.
fn supplies(loadouts: &[Loadout]) -> Vec<Row> {
    let id = |l: &Loadout, s: &Lasts| l.order.catalogue().supply(s.supply).id.clone();
    let mut ids: Vec<String> = Vec::new();
    for l in loadouts {
        for s in &l.lasts {
            let id = id(l, s);
            if !ids.contains(&id) {
                ids.push(id);
            }
        }
    }
    let mut rows = Vec::new();
    for supply in ids {
        let of = |l: &Loadout| -> Vec<Lasts> {
            l.lasts.iter().filter(|s| id(l, s) == supply).copied().collect()
        };
        let sum = |l: &Loadout, f: &dyn Fn(&Lasts) -> u64| {
            let those = of(l);
            let Some(first) = those.first() else { return NONE.to_string() };
            let base = those.iter().map(f).fold(0, u64::saturating_add);
            let dimension = l.order.catalogue().supply(first.supply).dimension;
            Amount::new(dimension, base).rounded(l.order.units())
        };
        let label = |what: &str| format!("{}, {what}", clean(&supply));
        rows.push(planned(&label("there"), loadouts, |l| sum(l, &|s| s.there)));
        rows.push(planned(&label("needed"), loadouts, |l| sum(l, &|s| s.demand)));
        // Of several parties, the one that runs out first.
        let shortest = |l: &Loadout| of(l).iter().filter_map(|s| s.time).min();
        if loadouts.iter().any(|l| shortest(l).is_some()) {
            let cell = |l: &Loadout| shortest(l).map_or(NONE.into(), time);
            rows.push(planned(&label("lasts"), loadouts, cell));
        }
    }
    rows
}

/// Hours and minutes, rounded down: `18 h 11 min`.
fn time(span: Span) -> String {
    let minutes = span.s() / 60;
    match (minutes / 60, minutes % 60) {
        (0, m) => format!("{m} min"),
        (h, 0) => format!("{h} h"),
        (h, m) => format!("{h} h {m} min"),
    }
}

/// Ids and names of all that goes in any loadout, in the order of the
/// catalogues, the first one's first.
pub(in crate::report) fn ids(loadouts: &[Loadout]) -> Vec<(String, String)> {
    let mut ids: Vec<(String, String)> = Vec::new();
    for l in loadouts {
        for (i, item) in l.order.catalogue().items() {
            let goes = l.goes.get(i.0).is_some_and(|n| *n > 0);
            if goes && ids.iter().all(|(id, _)| *id != item.id) {
                ids.push((item.id.clone(), item.name.clone()));
            }
        }
    }
    ids
}

fn items(loadouts: &[Loadout]) -> Vec<Row> {
    let one = |(id, name): &(String, String)| {
        planned(&clean(name), loadouts, |l| match l.count(id) {
            0 => NONE.into(),
            n => n.to_string(),
        })
    };
    ids(loadouts).iter().map(one).collect()
}

/// What a loadout has more of than the first one, and less.
pub(in crate::report) struct Difference {
    pub more: Vec<(String, String, u64)>,
    pub less: Vec<(String, String, u64)>,
}

/// Each loadout but the first, by its position, against the first, where both
/// have a plan.
pub(in crate::report) fn differences(loadouts: &[Loadout]) -> Vec<(usize, Difference)> {
    let Some(first) = loadouts.first().filter(|l| l.planned().is_some()) else { return vec![] };
    let others = loadouts.iter().enumerate().skip(1).filter(|(_, l)| l.planned().is_some());
    others.map(|(n, other)| (n, difference(first, other))).collect()
}

fn difference(first: &Loadout, other: &Loadout) -> Difference {
    let pair = [first.clone(), other.clone()];
    let (mut more, mut less) = (Vec::new(), Vec::new());
    for (id, name) in ids(&pair) {
        let (a, b) = (first.count(&id), other.count(&id));
        if b > a {
            more.push((id, name, b - a));
        } else if a > b {
            less.push((id, name, a - b));
        }
    }
    Difference { more, less }
}

/// `2 Battery; 1 Lamp`, or that there is none.
pub(in crate::report) fn listed(things: &[(String, String, u64)]) -> String {
    match things.is_empty() {
        true => "nothing".into(),
        false => {
            let one = |(_, name, n): &(String, String, u64)| format!("{n} {}", clean(name));
            things.iter().map(one).collect::<Vec<_>>().join("; ")
        }
    }
}

/// A, B, … for the columns; numbers after Z.
pub(in crate::report) fn letter(n: usize) -> String {
    match u8::try_from(n) {
        Ok(n) if n < 26 => char::from(b'A' + n).to_string(),
        _ => (n + 1).to_string(),
    }
}

/// Why a loadout has no plan, or what its plan may lack.
pub(in crate::report) fn why(l: &Loadout) -> Option<String> {
    match &l.answer.outcome {
        Outcome::NoPlan(reason) => Some(format!("no plan exists: {}", clean(&reason.text))),
        Outcome::NoneFound => Some("no plan was found in the time given".into()),
        Outcome::Plan(planned) if planned.status == Status::Feasible => {
            let open = known::open(planned, l.order.units()).join("; ");
            Some(format!("not settled: {open}"))
        }
        Outcome::Plan(_) => None,
    }
}
