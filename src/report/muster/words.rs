//! What a muster says in words, once for all forms. Everything is clean.

use super::{MoveLine, Report};
use crate::ask::muster::{CaseLine, Difference, Failing, ItemLine, Muster, Outlook, Shortage};
use crate::load::{Catalogue, Counting, ItemIx, MoveOrder};
use crate::quantity::{Mass, Units};
use crate::report::words::plural;
use std::collections::BTreeMap;
use tumpline_core::text::clean;

pub(super) fn name(catalogue: &Catalogue, item: ItemIx) -> String {
    clean(&catalogue[item].name)
}

/// All in order, or how much is not.
pub(super) fn verdict(report: &Report<'_>) -> String {
    let muster = report.muster;
    let lines = |is: &dyn Fn(&ItemLine) -> bool| muster.lines.iter().filter(|l| is(l)).count();
    let mut parts = Vec::new();
    let mut part = |n: usize, one: &str, many: &str| {
        if n > 0 {
            parts.push(plural(n, one, many));
        }
    };
    part(lines(&|l| l.short() > 0), "item short", "items short");
    let unfit = lines(&|l| l.short() == 0 && l.short_of_fit() > 0);
    part(unfit, "item held but not enough of it fit", "items held but not enough of them fit");
    part(lines(&|l| !l.reconciled()), "item not reconciled", "items not reconciled");
    let cases = muster.cases.iter().filter(|c| c.short() > 0).count();
    part(cases, "case short", "cases short");
    let moves = report.moves.unwrap_or_default();
    let none = moves.iter().filter(|m| m.check.has_no_plan()).count();
    part(none, "move without a plan", "moves without a plan");
    let open = moves.iter().filter(|m| m.check.unsettled()).count();
    let open = match open {
        0 => String::new(),
        n => format!(" Not settled in the time given: {}.", plural(n, "move", "moves")),
    };
    let what = format!(
        "{}, {}",
        plural(muster.lines.len(), "item", "items"),
        plural(muster.cases.len(), "case", "cases")
    );
    match parts.as_slice() {
        [] => format!("All in order: {what}.{open}"),
        parts => format!("NOT IN ORDER: {}. Looked at: {what}.{open}", parts.join(", ")),
    }
}

/// What the row of sums is called.
pub(super) fn all(muster: &Muster) -> String {
    format!("all {}", plural(muster.lines.len(), "item", "items"))
}

/// What is to be said of an item, what is bad first.
pub(super) fn remarks(line: &ItemLine) -> Vec<(bool, String)> {
    let (holding, scale) = (&line.holding, line.scale);
    let mut out = Vec::new();
    if line.short() > 0 {
        out.push((true, format!("SHORT {}: {} held, scale {scale}", line.short(), holding.held)));
    }
    if line.short_of_fit() > line.short() {
        let fit = holding.fit();
        out.push((
            true,
            format!("NOT ENOUGH FIT, {} short: {fit} fit, scale {scale}", line.short_of_fit()),
        ));
    }
    let (held, there) = (holding.held, holding.accounted());
    if holding.missing() > 0 {
        let n = holding.missing();
        let what = format!("NOT RECONCILED, {n} missing: {held} held, {there} accounted for");
        out.push((true, what));
    }
    if holding.excess() > 0 {
        let n = holding.excess();
        let what = format!("NOT RECONCILED, {n} too many: {held} held, {there} accounted for");
        out.push((true, what));
    }
    if line.surplus() > 0 {
        out.push((false, format!("surplus {}: {held} held, scale {scale}", line.surplus())));
    }
    let who = |of: &BTreeMap<String, u32>| {
        let each = of.iter().filter(|(_, n)| **n > 0);
        each.map(|(who, n)| format!("{n} to {}", clean(who))).collect::<Vec<_>>().join(", ")
    };
    if holding.issued_total() > 0 {
        out.push((false, format!("issued: {}", who(&holding.issued))));
    }
    if holding.on_loan_total() > 0 {
        out.push((false, format!("on loan: {}", who(&holding.on_loan))));
    }
    out
}

/// `Operator's satchel 1`, or `Trauma pack 1 / Pouch 2`.
pub(super) fn case_name(catalogue: &Catalogue, case: &CaseLine) -> String {
    path_name(catalogue, &case.case.path.0)
}

fn path_name(catalogue: &Catalogue, path: &[(ItemIx, u32)]) -> String {
    let one = |(kind, n): &(ItemIx, u32)| format!("{} {n}", name(catalogue, *kind));
    path.iter().map(one).collect::<Vec<_>>().join(" / ")
}

/// `in order, 7 pieces, 2.20 kg`, or what is short and over.
pub(super) fn case_state(case: &CaseLine, units: Units) -> String {
    let found: u64 = case.case.lines.iter().map(|(_, _, n)| u64::from(*n)).sum();
    let ought: u64 = case.case.lines.iter().map(|(_, n, _)| u64::from(*n)).sum();
    let mass = match case.mass.mg() {
        0 => String::new(),
        _ => format!(", {} packed", mass(case.mass, units)),
    };
    let mut what = Vec::new();
    if case.short() > 0 {
        what.push(format!("SHORT {}", case.short()));
    }
    if case.over() > 0 {
        what.push(format!("over {}", case.over()));
    }
    if what.is_empty() {
        let found = usize::try_from(found).unwrap_or(usize::MAX);
        return format!("in order, {}{mass}", plural(found, "piece", "pieces"));
    }
    format!("{}: {found} found of {ought}{mass}", what.join(", "))
}

/// The contents that a table tells of.
pub(super) fn told<'a>(
    report: &Report<'_>,
    case: &'a CaseLine,
) -> impl Iterator<Item = (ItemIx, u32, u32)> + 'a {
    let brief = report.brief;
    case.case.lines.iter().copied().filter(move |(_, ought, found)| !brief || ought != found)
}

/// `short 1`, `over 1` or nothing.
pub(super) fn content(ought: u32, found: u32) -> String {
    match (ought.saturating_sub(found), found.saturating_sub(ought)) {
        (0, 0) => String::new(),
        (0, over) => format!("over {over}"),
        (short, _) => format!("SHORT {short}"),
    }
}

/// The thing that was counted, and where: `Head lamp`, `issued to operator-1`.
pub(super) fn counting(catalogue: &Catalogue, what: &Counting) -> (String, String) {
    match what {
        Counting::Loose(item, at) => {
            let to = at.to().map_or(String::new(), |to| format!(" to {}", clean(to)));
            (name(catalogue, *item), format!("{}{to}", at.word()))
        }
        Counting::InCase(path, item) => {
            (name(catalogue, *item), format!("in {}", path_name(catalogue, &path.0)))
        }
    }
}

/// `2 more` or `1 fewer`.
pub(super) fn by_how_much(difference: &Difference) -> String {
    let (was, is) = (difference.recorded, difference.counted.count);
    if is > was { format!("{} more", is - was) } else { format!("{} fewer", was - is) }
}

/// Who counted, and the note.
pub(super) fn aside(difference: &Difference) -> String {
    let by = difference.counted.by.as_ref().map(|by| format!("by {}", clean(by)));
    let note = difference.counted.note.as_ref().map(|note| clean(note));
    by.into_iter().chain(note).collect::<Vec<_>>().join(": ")
}

pub(super) fn counted(muster: &Muster) -> Option<String> {
    let count = muster.count.as_ref()?;
    let blank = match count.blank {
        0 => String::new(),
        n => format!(" {} left blank.", plural(n, "row was", "rows were")),
    };
    let things = plural(count.things, "thing was", "things were");
    Some(match count.differences.len() {
        0 => format!("{things} counted, all as recorded.{blank}"),
        n => format!(
            "{things} counted, {n} otherwise than recorded; what follows is as counted.{blank}"
        ),
    })
}

/// Whether a move has a plan, and if that is bad.
pub(super) fn outlook(line: &MoveLine<'_>, seconds: u64) -> (bool, String) {
    // A need that fails by itself says more than that all together cannot hold.
    let told = line.check.failing.iter().any(|f| f.alone);
    let why = |text: &str| if told { String::new() } else { format!(" Why: {}.", clean(text)) };
    match &line.check.outlook {
        Outlook::Plan => (false, "has a plan".into()),
        Outlook::NoLonger(r) => (true, format!("HAS NO PLAN ANY MORE.{}", why(&r.text))),
        Outlook::Never(r) => (
            true,
            format!(
                "HAS NO PLAN, and none with all that the catalogue holds either.{}",
                why(&r.text)
            ),
        ),
        Outlook::No(r) => (
            true,
            format!(
                "HAS NO PLAN; whether it had one with all that the catalogue holds is not \
                 settled.{}",
                why(&r.text)
            ),
        ),
        Outlook::Unsettled if line.check.narrowed => (
            true,
            "not settled: a rule fixes some of several cases that differ, and with the fullest \
             of them no plan was found"
                .into(),
        ),
        Outlook::Unsettled => {
            (true, format!("not settled in {seconds} s; give it more, as in `--time 60s`"))
        }
        Outlook::TooMuch => (true, "not settled: what is held is too much to work with".into()),
        Outlook::OtherEquipment => (false, "has equipment of its own, so it was not asked".into()),
    }
}

/// The needs that fail and the wants that are not to be had.
pub(super) fn losses(line: &MoveLine<'_>) -> Vec<(bool, String)> {
    let order = line.order;
    let mut out = Vec::new();
    for f in &line.check.failing {
        let need = &order.needs()[f.need];
        let head = format!("need `{}` ({})", clean(&need.name), clean(&order.party(need.party).id));
        out.push((
            true,
            match f.alone {
                true => format!("{head} {}", fails(order, f)),
                false => format!("{head} cannot be met beside the rest"),
            },
        ));
    }
    for w in &line.check.wants {
        let want = &order.wants()[w.want];
        let item = order.item(want.item);
        let text = format!(
            "want {} ({}): {} to be had, {} by the catalogue",
            clean(&item.name),
            clean(&order.party(want.party).id),
            w.now,
            w.before
        );
        out.push((false, text));
    }
    out
}

/// Why a need fails by itself: for want of what, and the reason if it is known
/// in plain words.
fn fails(order: &MoveOrder, failing: &Failing) -> String {
    let need = &order.needs()[failing.need].name;
    let reason = match failing.reason.place {
        Some(_) => format!(": {}", bare(&failing.reason.text, need)),
        None => String::new(),
    };
    let catalogue = order.catalogue();
    let one = |s: &Shortage| {
        let item = format!("{} {}", s.short(), name(catalogue, s.item()));
        match s {
            Shortage::Loose { .. } => item,
            Shortage::InCase { case, .. } => {
                format!("{item} in {}", path_name(catalogue, &case.0))
            }
        }
    };
    match failing.for_want_of.as_slice() {
        [] => format!("fails{reason}"),
        all => {
            let all: Vec<String> = all.iter().map(one).collect();
            format!("fails for want of {}{reason}", all.join(", or of "))
        }
    }
}

/// A reason without the name of the need, which was said.
fn bare(reason: &str, need: &str) -> String {
    let head = format!("need `{need}`: ");
    clean(reason.strip_prefix(&head).unwrap_or(reason))
}

/// Exactly, but in pounds to the hundredth where the kit is in pounds.
fn mass(mass: Mass, units: Units) -> String {
    match units {
        Units::Metric => mass.to_string(),
        Units::Imperial => mass.rounded(Units::Imperial),
    }
}

/// Masses in all.
pub(super) fn masses(muster: &Muster) -> Vec<(&'static str, String)> {
    let (t, units) = (&muster.totals, muster.units);
    vec![
        ("on charge", mass(t.mass, units)),
        ("fit for use", mass(t.mass_fit, units)),
        ("by the scale", mass(t.mass_scale, units)),
    ]
}
