//! Loadouts side by side, for other programs.

use super::build;
use crate::ask::compare::{Lasts, Loadout};
use crate::kit::plan_json::Reason;
use crate::kit::plan_json::number::{Grams, Ratio};
use crate::report::CAUTION;
use crate::report::compare::rows;
use crate::report::pretty_json::pretty;
use crate::split::Outcome;
use schemars::JsonSchema;
use serde::Serialize;

/// What `tumpline compare --format json` prints: loadouts side by side. Masses
/// are in grams, exact to the milligram. Every key is always there.
#[derive(Serialize, JsonSchema)]
#[schemars(title = "Loadouts side by side")]
#[serde(deny_unknown_fields)]
struct Document {
    /// Goes up when a reader of the version before could be misled.
    #[schemars(extend("const" = 1))]
    format_version: u32,
    loadouts: Vec<LoadoutOut>,
    /// Each loadout but the first against the first, where both have a plan.
    differences: Vec<Difference>,
    /// Some loadout is not known as well as was asked.
    cut_short: bool,
    /// What no reader should be spared.
    caution: &'static str,
}

/// A move as it was changed, and its plan.
#[derive(Serialize, JsonSchema)]
#[serde(deny_unknown_fields)]
struct LoadoutOut {
    /// Name of the move, or what was changed in it.
    label: String,
    /// Name of the move.
    #[serde(rename = "move")]
    move_name: String,
    #[schemars(extend("enum" = ["proven-best", "within-gap", "feasible", "no-plan", "none-found"]))]
    status: &'static str,
    /// Why no plan exists; null unless `status` is `no-plan`.
    reason: Option<Reason>,
    /// Ids of the people who go.
    people: Vec<String>,
    /// Ids of the vehicles that go.
    vehicles: Vec<String>,
    total_carried_g: Option<Grams>,
    peak_share: Option<Ratio>,
    wants_value: Option<u64>,
    needs: Vec<Need>,
    supplies: Vec<Supply>,
    /// All that leaves the store.
    items: Vec<Thing>,
}

/// A need.
#[derive(Serialize, JsonSchema)]
#[serde(deny_unknown_fields)]
struct Need {
    party: String,
    name: String,
    met: bool,
}

/// A supply in a party.
#[derive(Serialize, JsonSchema)]
#[serde(deny_unknown_fields)]
struct Supply {
    party: String,
    id: String,
    /// Unit of the amounts here.
    #[schemars(extend("enum" = ["mm", "mWh", "mL", "mg", "pieces"]))]
    unit: &'static str,
    there: u64,
    demand: u64,
    /// Seconds that it lasts at what everything and everybody there uses;
    /// null where nothing uses it as time goes by.
    lasts_s: Option<u64>,
}

/// Units of an item.
#[derive(Serialize, JsonSchema)]
#[serde(deny_unknown_fields)]
struct Thing {
    id: String,
    name: String,
    count: u64,
}

/// What a loadout has more and less of than the first one.
#[derive(Serialize, JsonSchema)]
#[serde(deny_unknown_fields)]
struct Difference {
    /// Position of the loadout, from 0.
    loadout: usize,
    more: Vec<Thing>,
    less: Vec<Thing>,
}

pub(in crate::report) fn compare(loadouts: &[Loadout]) -> String {
    let document = Document {
        format_version: 1,
        loadouts: loadouts.iter().map(loadout).collect(),
        differences: differences(loadouts),
        cut_short: loadouts.iter().any(Loadout::cut_short),
        caution: CAUTION,
    };
    pretty(&document)
}

/// The JSON Schema (draft-07) of the report, with a line feed at its end.
pub fn compare_schema() -> String {
    super::schema_of::<Document>()
}

fn loadout(l: &Loadout) -> LoadoutOut {
    let (status, reason) = match &l.answer.outcome {
        Outcome::Plan(p) => (build::status(p.status), None),
        Outcome::NoPlan(reason) => ("no-plan", Some(build::reason(reason))),
        Outcome::NoneFound => ("none-found", None),
    };
    let found = l.planned().map(|p| &p.findings);
    let own = |ids: Vec<&str>| ids.into_iter().map(String::from).collect();
    let need = |(need, found): (&crate::load::Need, &crate::split::NeedFinding)| Need {
        party: l.order.party(need.party).id.clone(),
        name: need.name.clone(),
        met: found.met,
    };
    let needs = found.map_or(vec![], |f| l.order.needs().iter().zip(&f.needs).map(need).collect());
    let item = |(i, item): (crate::load::ItemIx, &crate::load::Item)| {
        let count = l.goes.get(i.0).copied().filter(|n| *n > 0)?;
        Some(Thing { id: item.id.clone(), name: item.name.clone(), count })
    };
    LoadoutOut {
        label: l.label.clone(),
        move_name: l.order.name().to_string(),
        status,
        reason,
        people: own(rows::going(&l.order, true)),
        vehicles: own(rows::going(&l.order, false)),
        total_carried_g: found.map(|f| Grams(f.total_carried)),
        peak_share: found.map(|f| Ratio(f.peak_share)),
        wants_value: found.map(|f| f.wants_value),
        needs,
        supplies: l.lasts.iter().map(|s| supply(l, s)).collect(),
        items: l.order.catalogue().items().filter_map(item).collect(),
    }
}

fn supply(l: &Loadout, s: &Lasts) -> Supply {
    let supply = l.order.catalogue().supply(s.supply);
    Supply {
        party: l.order.party(s.party).id.clone(),
        id: supply.id.clone(),
        unit: build::base_unit(supply.dimension),
        there: s.there,
        demand: s.demand,
        lasts_s: s.time.map(|t| t.s()),
    }
}

fn differences(loadouts: &[Loadout]) -> Vec<Difference> {
    let things = |list: Vec<(String, String, u64)>| {
        list.into_iter().map(|(id, name, count)| Thing { id, name, count }).collect()
    };
    let one = |(n, d): (usize, rows::Difference)| Difference {
        loadout: n,
        more: things(d.more),
        less: things(d.less),
    };
    rows::differences(loadouts).into_iter().map(one).collect()
}
