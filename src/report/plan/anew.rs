//! What changed, in words: for the table and for Markdown.

use crate::ask::{HandOver, Holder, Over, Replanned, UsedUp};
use crate::quantity::{Mass, Units};
use crate::report::words::{carrier_name, item_name, plural};
use crate::split::Outcome;
use tumpline_core::text::clean;

/// Whether there is something to tell of the changes without a plan.
pub(super) fn told_anyhow(anew: &Replanned) -> bool {
    !anew.without.is_empty() || !anew.used.is_empty() || !gone_and_new(anew).is_empty()
}

/// `2 units change hands from the plan before.`, and what it says of those who
/// are out.
pub(super) fn summary(anew: &Replanned) -> String {
    let whose = if anew.given { "the plan before" } else { "the plan of the move as it stood" };
    let first = match (&anew.answer.outcome, anew.units()) {
        (Outcome::NoPlan(_) | Outcome::NoneFound, _) => String::new(),
        (_, 0) => format!("Nothing changes hands from {whose}."),
        (_, 1) => format!("1 unit changes hands from {whose}."),
        (_, n) => format!("{n} units change hands from {whose}."),
    };
    if anew.without.is_empty() {
        return first;
    }
    let out: Vec<String> = anew.without.iter().map(|c| carrier_name(&anew.order, *c)).collect();
    let out = format!("Without {}, whose worn things are not reckoned.", out.join(" and "));
    format!("{out} {first}").trim_end().to_string()
}

/// `from Ann to Bo`.
pub(super) fn path(anew: &Replanned, h: &HandOver) -> String {
    let to = holder(anew, h.to);
    match (h.from, h.to) {
        (Some(from), Holder::Store) => format!("by {}", holder(anew, from)),
        (Some(from), _) => format!("from {} to {to}", holder(anew, from)),
        (None, _) => format!("now with {to} too"),
    }
}

pub(super) fn holder(anew: &Replanned, holder: Holder) -> String {
    match holder {
        Holder::Carrier(c) => carrier_name(&anew.order, c),
        Holder::Stranger(s) => {
            let name = anew.packed.strangers.get(s).map_or("", |s| s.name.as_str());
            format!("{} (not in the move)", clean(name))
        }
        Holder::Store => match anew.order.store() {
            Some(p) => format!("the store ({})", clean(&anew.order.party(p).id)),
            None => "what was left".into(),
        },
    }
}

/// `2 Ration meal, of Ann 1 and Bo 1`.
pub(super) fn used_up(anew: &Replanned, used: &UsedUp) -> String {
    let from: Vec<String> =
        used.from.iter().map(|(h, n)| format!("{} {n}", holder(anew, *h))).collect();
    format!("{} {}, of {}", used.count, item_name(&anew.order, used.item), from.join(" and "))
}

/// What the plan before knew and there is no more, and what is new: `word` and
/// the thing.
pub(super) fn gone_and_new(anew: &Replanned) -> Vec<(&'static str, u64, String)> {
    let name = |i| item_name(&anew.order, i);
    let gone = anew.gone.iter().map(|(i, n)| ("gone", *n, name(*i)));
    let lost = anew.packed.lost.iter().map(|(name, n)| ("gone", *n, clean(name)));
    let fresh = anew.fresh.iter().map(|(i, n)| ("new", *n, name(*i)));
    gone.chain(lost).chain(fresh).collect()
}

/// `+0.20 kg`.
pub(super) fn difference(was: Mass, is: Mass, units: Units) -> String {
    let by = Mass::from_mg(was.mg().abs_diff(is.mg())).rounded(units);
    if is > was { format!("+{by}") } else { format!("-{by}") }
}

/// What would become of the plan before.
pub(super) fn by_the_scales(anew: &Replanned, over: &[Over]) -> String {
    let whose = if anew.given { "The plan before" } else { "The catalogue's plan" };
    match over.len() {
        0 => format!("{whose} passes no limit by the scales."),
        n => {
            format!("{whose} would be over the limit with {}:", plural(n, "carrier", "carriers"))
        }
    }
}

/// `Ann by 0.30 kg (12.30 of 12.00 kg)`.
pub(super) fn over(anew: &Replanned, o: &Over) -> String {
    let units = anew.order.units();
    let by = (o.load - o.usable).rounded(units);
    let of = crate::report::words::of(&o.load.rounded(units), &o.usable.rounded(units));
    format!("{} by {by} ({of})", carrier_name(&anew.order, o.carrier))
}
