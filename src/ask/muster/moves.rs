//! What the stores as they are mean for a move.

use super::fit::{Fit, Unfit, fit};
use super::shortage::{Shortage, shortages};
use crate::ask::{Oracle, Part, Possible, explain, vary};
use crate::load::{Catalogue, ItemIx, MoveOrder, Stores};
use crate::split::{Options, Reason};
use std::collections::BTreeSet;

/// A move, asked with what is fit for use.
#[derive(Debug, Clone)]
pub struct MoveCheck {
    /// Whether there is a plan with what is fit.
    pub outlook: Outlook,
    /// Needs that rule out every plan, or have a part in what does.
    pub failing: Vec<Failing>,
    /// Wants of which fewer are to be had than the catalogue holds.
    pub wants: Vec<WantLost>,
    /// A rule on cases that differ was taken more narrowly than it is.
    pub narrowed: bool,
}

/// Whether there is a plan.
#[derive(Debug, Clone)]
#[non_exhaustive]
pub enum Outlook {
    /// A plan was found and audited.
    Plan,
    /// No plan any more: there is one with all that the catalogue holds.
    NoLonger(Reason),
    /// No plan, and none with all that the catalogue holds either.
    Never(Reason),
    /// No plan; whether there was one before is not settled.
    No(Reason),
    /// Not settled in the time given.
    Unsettled,
    /// Not settled: what is held is too much to add up.
    TooMuch,
    /// The move has equipment of its own.
    OtherEquipment,
}

/// A need that fails.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Failing {
    /// Position in the move's needs.
    pub need: usize,
    /// Whether it fails by itself, or only beside limits and other needs.
    pub alone: bool,
    /// Why it fails.
    pub reason: Reason,
    /// Shortages of which each alone makes it fail: without it the need could
    /// be met.
    pub for_want_of: Vec<Shortage>,
}

/// A want of which fewer are to be had.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct WantLost {
    /// Position in the move's wants.
    pub want: usize,
    /// How many could be had by the catalogue.
    pub before: u64,
    /// How many can be had now.
    pub now: u64,
}

impl MoveCheck {
    fn bare(outlook: Outlook) -> MoveCheck {
        MoveCheck { outlook, failing: Vec::new(), wants: Vec::new(), narrowed: false }
    }
    /// Whether it is proven that there is no plan.
    pub fn has_no_plan(&self) -> bool {
        matches!(self.outlook, Outlook::NoLonger(_) | Outlook::Never(_) | Outlook::No(_))
    }
    /// Whether it is not known if there is a plan.
    pub fn unsettled(&self) -> bool {
        matches!(self.outlook, Outlook::Unsettled | Outlook::TooMuch)
    }
}

/// Asks one move. The oracle's time is for this move alone.
pub fn check_move(
    order: &MoveOrder,
    stores: &Stores,
    catalogue: &Catalogue,
    oracle: &Oracle<'_>,
) -> MoveCheck {
    let now = match fit(order, stores, catalogue) {
        Ok(now) => now,
        Err(Unfit::OtherEquipment) => return MoveCheck::bare(Outlook::OtherEquipment),
        Err(Unfit::TooMuch) => return MoveCheck::bare(Outlook::TooMuch),
    };
    let wants = wants(order, &now.order);
    let narrowed = now.narrowed;
    let mut failing = Vec::new();
    let outlook = match oracle.possible(&now.order, oracle.left()) {
        Possible::Yes(_) => Outlook::Plan,
        Possible::Unknown => Outlook::Unsettled,
        // A narrower question was answered than was asked.
        Possible::No(_) if narrowed => Outlook::Unsettled,
        Possible::No(reason) => {
            let short = if now.same { Vec::new() } else { shortages(stores, catalogue) };
            let without =
                |s: &Shortage| fit(order, &s.made_good(stores, catalogue), catalogue).ok();
            failing = needs(&now.order, &short, without, oracle);
            if now.same {
                Outlook::Never(reason)
            } else {
                match oracle.possible(order, oracle.left()) {
                    Possible::Yes(_) => Outlook::NoLonger(reason),
                    Possible::No(_) => Outlook::Never(reason),
                    Possible::Unknown => Outlook::No(reason),
                }
            }
        }
    };
    MoveCheck { outlook, failing, wants, narrowed }
}

/// Shortages that are tried one by one.
const MOST_TRIED: usize = 40;

/// Needs that fail by themselves, and for want of what; where none does, those
/// that have a part in what rules out every plan.
fn needs(
    order: &MoveOrder,
    short: &[Shortage],
    without: impl Fn(&Shortage) -> Option<Fit>,
    oracle: &Oracle<'_>,
) -> Vec<Failing> {
    let mut out = Vec::new();
    let all = order.needs().len();
    for need in 0..all {
        let alone = vary::changed(order, |parts| {
            parts.needs = vec![parts.needs.swap_remove(need)];
        });
        let time = oracle.left() / (2 * (all - need) as u32 + 2);
        if let Possible::No(reason) = oracle.possible(&alone, time) {
            out.push(Failing { need, alone: true, reason, for_want_of: Vec::new() });
        }
    }
    if !out.is_empty() {
        let each = out.len() * short.len().min(MOST_TRIED);
        let time = oracle.left() / (2 * each as u32 + 2);
        for shortage in short.iter().take(MOST_TRIED) {
            let Some(made_good) = without(shortage) else { continue };
            for failing in &mut out {
                let asked = order.needs()[failing.need].clone();
                let alone = vary::changed(&made_good.order, |parts| parts.needs = vec![asked]);
                if oracle.possible(&alone, time).is_yes() {
                    failing.for_want_of.push(shortage.clone());
                }
            }
        }
        return out;
    }
    let options = Options { time: oracle.left() / 2, gap: oracle.gap(), ..Options::default() };
    let found = explain(order, &options, oracle.watch());
    for conflict in found.iter().flat_map(|e| &e.conflicts).filter(|c| c.irreducible) {
        let needs: BTreeSet<usize> = conflict
            .parts
            .iter()
            .filter_map(|p| match p {
                Part::Need { need, .. } => Some(*need),
                _ => None,
            })
            .collect();
        let reason = conflict.reason.clone();
        let reason = reason.unwrap_or(Reason { text: String::new(), place: None });
        out.extend(needs.iter().map(|n| Failing {
            need: *n,
            alone: false,
            reason: reason.clone(),
            for_want_of: Vec::new(),
        }));
    }
    out
}

/// Units of an item that are there in all, loose or in cases.
fn there(catalogue: &Catalogue, item: ItemIx) -> u64 {
    let held = catalogue.items().filter(|(_, i)| i.held > 0);
    held.map(|(i, kind)| {
        let inside = catalogue.inside(i).iter().find(|(inner, _)| *inner == item);
        u64::from(kind.held) * inside.map_or(0, |(_, n)| u64::from(*n))
    })
    .sum()
}

fn wants(before: &MoveOrder, now: &MoveOrder) -> Vec<WantLost> {
    let lost = before.wants().iter().enumerate().filter_map(|(want, w)| {
        let most = |order: &MoveOrder| there(order.catalogue(), w.item).min(w.up_to.into());
        let (before, now) = (most(before), most(now));
        (now < before).then_some(WantLost { want, before, now })
    });
    lost.collect()
}
