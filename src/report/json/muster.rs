//! The check of holdings, for other programs.

use super::build;
use crate::ask::muster::{CaseLine, Difference, ItemLine, MoveCheck, Muster, Outlook, Shortage};
use crate::kit::plan_json::Reason;
use crate::kit::plan_json::number::Grams;
use crate::load::{Counting, MoveOrder};
use crate::report::CAUTION;
use crate::report::muster::{MoveLine, Report};
use crate::report::pretty_json::pretty;
use schemars::JsonSchema;
use serde::Serialize;
use std::collections::BTreeMap;

/// What `tumpline muster --format json` prints: the check of holdings. Masses
/// are in grams, exact to the milligram. Every key is always there.
#[derive(Serialize, JsonSchema)]
#[schemars(title = "Muster")]
#[serde(deny_unknown_fields)]
struct Document {
    /// Goes up when a reader of the version before could be misled.
    #[schemars(extend("const" = 1))]
    format_version: u32,
    /// Name of the stores.
    stores: String,
    /// Nothing is short or unreconciled, and no move is without a plan.
    in_order: bool,
    /// Every item that can be held loose.
    holdings: Vec<HoldingOut>,
    /// Every case, those inside others after them.
    cases: Vec<CaseOut>,
    totals: TotalsOut,
    /// Null if nothing was counted.
    count: Option<CountOut>,
    /// Null if no move was asked.
    moves: Option<Vec<MoveOut>>,
    /// What no reader should be spared.
    caution: &'static str,
}

/// Loose ones of an item.
#[derive(Serialize, JsonSchema)]
#[serde(deny_unknown_fields)]
struct HoldingOut {
    id: String,
    name: String,
    /// How many there ought to be.
    scale: u32,
    /// On charge.
    held: u32,
    /// On the shelf and fit.
    shelf: u32,
    issued: Vec<HolderOut>,
    unserviceable: u32,
    on_loan: Vec<HolderOut>,
    /// Fit for use and at hand.
    fit: u32,
    /// Fewer on charge than the scale says; fewer fit than the scale says.
    short: u32,
    short_of_fit: u32,
    /// More on charge than the scale says.
    surplus: u32,
    /// What is held is all accounted for, and no more.
    reconciled: bool,
    /// On charge and nowhere; there and not on charge.
    missing: u64,
    excess: u64,
    /// Whether the stores file has a holding of it.
    written: bool,
    /// How many more were found in cases.
    in_cases: u64,
    /// Of those on charge.
    mass_g: Grams,
}

/// Whoever has some.
#[derive(Serialize, JsonSchema)]
#[serde(deny_unknown_fields)]
struct HolderOut {
    to: String,
    count: u32,
}

/// A case and what is in it.
#[derive(Serialize, JsonSchema)]
#[serde(deny_unknown_fields)]
struct CaseOut {
    /// Kind and number, those it is in first.
    case: String,
    id: String,
    name: String,
    short: u64,
    surplus: u64,
    /// As packed, by the catalogue.
    mass_g: Grams,
    /// Of what is short and over, as far as it has a mass of its own.
    mass_short_g: Grams,
    mass_over_g: Grams,
    contents: Vec<ContentOut>,
}

/// A content of a case.
#[derive(Serialize, JsonSchema)]
#[serde(deny_unknown_fields)]
struct ContentOut {
    id: String,
    name: String,
    scale: u32,
    found: u32,
    short: u32,
    surplus: u32,
}

/// Sums over all loose ones, and over the contents of all cases.
#[derive(Serialize, JsonSchema)]
#[serde(deny_unknown_fields)]
struct TotalsOut {
    scale: u64,
    held: u64,
    shelf: u64,
    issued: u64,
    unserviceable: u64,
    on_loan: u64,
    fit: u64,
    /// Pieces that ought to be in cases.
    packed: u64,
    /// Pieces found in cases.
    found: u64,
    /// Of all on charge; of all that is fit; of all there ought to be.
    mass_g: Grams,
    mass_fit_g: Grams,
    mass_scale_g: Grams,
}

/// What came of a count.
#[derive(Serialize, JsonSchema)]
#[serde(deny_unknown_fields)]
struct CountOut {
    /// Things that were counted.
    things: usize,
    /// Rows that were left blank.
    blank: usize,
    differences: Vec<DifferenceOut>,
}

/// A thing that was counted otherwise than recorded.
#[derive(Serialize, JsonSchema)]
#[serde(deny_unknown_fields)]
struct DifferenceOut {
    id: String,
    name: String,
    /// Null for what is in a case.
    #[schemars(extend("enum" = ["shelf", "issued", "unserviceable", "on loan", null]))]
    r#where: Option<&'static str>,
    /// Who has it.
    to: Option<String>,
    /// Null for what is loose.
    case: Option<String>,
    recorded: u32,
    counted: u32,
    by: Option<String>,
    note: Option<String>,
}

/// A move, with what is fit for use.
#[derive(Serialize, JsonSchema)]
#[serde(deny_unknown_fields)]
struct MoveOut {
    #[serde(rename = "move")]
    move_name: String,
    file: String,
    #[schemars(extend("enum" = ["plan", "no-longer", "never", "no-plan", "unsettled", "other-equipment"]))]
    outlook: &'static str,
    /// Why no plan exists.
    reason: Option<Reason>,
    /// Needs that rule out every plan.
    needs: Vec<FailingOut>,
    /// Wants of which fewer are to be had.
    wants: Vec<WantOut>,
}

/// A need that fails.
#[derive(Serialize, JsonSchema)]
#[serde(deny_unknown_fields)]
struct FailingOut {
    party: String,
    name: String,
    /// By itself, or only beside limits and other needs.
    alone: bool,
    /// Why; may be empty.
    text: String,
    /// Shortages of which each alone makes it fail.
    for_want_of: Vec<ShortageOut>,
}

/// Fewer than the catalogue says, fit for use or in a case.
#[derive(Serialize, JsonSchema)]
#[serde(deny_unknown_fields)]
struct ShortageOut {
    id: String,
    name: String,
    /// Null for what is loose.
    case: Option<String>,
    short: u32,
}

/// A want of which fewer are to be had.
#[derive(Serialize, JsonSchema)]
#[serde(deny_unknown_fields)]
struct WantOut {
    party: String,
    id: String,
    name: String,
    /// How many by the catalogue, up to what is wanted; how many now.
    before: u64,
    now: u64,
}

pub(in crate::report) fn muster(report: &Report<'_>) -> String {
    let m = report.muster;
    let document = Document {
        format_version: 1,
        stores: m.name.clone(),
        in_order: report.in_order(),
        holdings: m.lines.iter().map(|l| holding(m, l)).collect(),
        cases: m.cases.iter().map(|c| case(m, c)).collect(),
        totals: totals(m),
        count: m.count.as_ref().map(|c| CountOut {
            things: c.things,
            blank: c.blank,
            differences: c.differences.iter().map(|d| difference(m, d)).collect(),
        }),
        moves: report.moves.map(|moves| moves.iter().map(one_move).collect()),
        caution: CAUTION,
    };
    pretty(&document)
}

/// The JSON Schema (draft-07) of the report, with a line feed at its end.
pub fn muster_schema() -> String {
    super::schema_of::<Document>()
}

fn holders(of: &BTreeMap<String, u32>) -> Vec<HolderOut> {
    of.iter().map(|(to, count)| HolderOut { to: to.clone(), count: *count }).collect()
}

fn holding(m: &Muster, l: &ItemLine) -> HoldingOut {
    let (item, h) = (&m.catalogue[l.item], &l.holding);
    HoldingOut {
        id: item.id.clone(),
        name: item.name.clone(),
        scale: l.scale,
        held: h.held,
        shelf: h.shelf,
        issued: holders(&h.issued),
        unserviceable: h.unserviceable,
        on_loan: holders(&h.on_loan),
        fit: h.fit(),
        short: l.short(),
        short_of_fit: l.short_of_fit(),
        surplus: l.surplus(),
        reconciled: l.reconciled(),
        missing: h.missing(),
        excess: h.excess(),
        written: l.written,
        in_cases: l.in_cases,
        mass_g: Grams(l.mass),
    }
}

fn case(m: &Muster, c: &CaseLine) -> CaseOut {
    let kind = c.case.path.kind().map(|k| &m.catalogue[k]);
    let content = |(i, ought, found): &(crate::load::ItemIx, u32, u32)| ContentOut {
        id: m.catalogue[*i].id.clone(),
        name: m.catalogue[*i].name.clone(),
        scale: *ought,
        found: *found,
        short: ought.saturating_sub(*found),
        surplus: found.saturating_sub(*ought),
    };
    CaseOut {
        case: c.case.path.text(&m.catalogue),
        id: kind.map_or(String::new(), |k| k.id.clone()),
        name: kind.map_or(String::new(), |k| k.name.clone()),
        short: c.short(),
        surplus: c.over(),
        mass_g: Grams(c.mass),
        mass_short_g: Grams(c.mass_short),
        mass_over_g: Grams(c.mass_over),
        contents: c.case.lines.iter().map(content).collect(),
    }
}

fn totals(m: &Muster) -> TotalsOut {
    let t = &m.totals;
    TotalsOut {
        scale: t.scale,
        held: t.held,
        shelf: t.shelf,
        issued: t.issued,
        unserviceable: t.unserviceable,
        on_loan: t.on_loan,
        fit: t.fit,
        packed: t.packed,
        found: t.found,
        mass_g: Grams(t.mass),
        mass_fit_g: Grams(t.mass_fit),
        mass_scale_g: Grams(t.mass_scale),
    }
}

fn difference(m: &Muster, d: &Difference) -> DifferenceOut {
    let (item, whereabouts, case) = match &d.counted.what {
        Counting::Loose(i, at) => (i, Some(at), None),
        Counting::InCase(path, i) => (i, None, Some(path.text(&m.catalogue))),
    };
    DifferenceOut {
        id: m.catalogue[*item].id.clone(),
        name: m.catalogue[*item].name.clone(),
        r#where: whereabouts.map(|at| at.word()),
        to: whereabouts.and_then(|at| at.to()).map(String::from),
        case,
        recorded: d.recorded,
        counted: d.counted.count,
        by: d.counted.by.clone(),
        note: d.counted.note.clone(),
    }
}

fn shortage(order: &MoveOrder, s: &Shortage) -> ShortageOut {
    let item = order.item(s.item());
    ShortageOut {
        id: item.id.clone(),
        name: item.name.clone(),
        case: match s {
            Shortage::Loose { .. } => None,
            Shortage::InCase { case, .. } => Some(case.text(order.catalogue())),
        },
        short: s.short(),
    }
}

fn one_move(line: &MoveLine<'_>) -> MoveOut {
    let order = line.order;
    let MoveCheck { outlook, failing, wants, .. } = line.check;
    let (outlook, reason) = match outlook {
        Outlook::Plan => ("plan", None),
        Outlook::NoLonger(r) => ("no-longer", Some(r)),
        Outlook::Never(r) => ("never", Some(r)),
        Outlook::No(r) => ("no-plan", Some(r)),
        Outlook::Unsettled | Outlook::TooMuch => ("unsettled", None),
        Outlook::OtherEquipment => ("other-equipment", None),
    };
    let needs = failing.iter().map(|f| {
        let need = &order.needs()[f.need];
        FailingOut {
            party: order.party(need.party).id.clone(),
            name: need.name.clone(),
            alone: f.alone,
            text: f.reason.text.clone(),
            for_want_of: f.for_want_of.iter().map(|s| shortage(order, s)).collect(),
        }
    });
    let wants = wants.iter().map(|w| {
        let want = &order.wants()[w.want];
        WantOut {
            party: order.party(want.party).id.clone(),
            id: order.item(want.item).id.clone(),
            name: order.item(want.item).name.clone(),
            before: w.before,
            now: w.now,
        }
    });
    MoveOut {
        move_name: order.name().to_string(),
        file: line.file.to_string(),
        outlook,
        reason: reason.map(build::reason),
        needs: needs.collect(),
        wants: wants.collect(),
    }
}
