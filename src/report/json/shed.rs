//! What goes first, for other programs.

use super::build;
use crate::ask::shed::{Below, Crew, CrewOutcome, Step, WantUnits};
use crate::kit::plan_json::Reason;
use crate::kit::plan_json::number::{Grams, Ratio};
use crate::load::MoveOrder;
use crate::report::pretty_json::pretty;
use crate::report::shed::by::By;
use crate::report::shed::words::bearers;
use crate::report::{CAUTION, words};
use crate::split::Findings;
use schemars::JsonSchema;
use serde::Serialize;

/// What `tumpline shed --format json` prints: which wants, and then which
/// needs, are shed as limits fall or as a party gets smaller. Masses are in
/// grams, exact to the milligram. Every key is always there.
#[derive(Serialize, JsonSchema)]
#[schemars(title = "What goes first")]
#[serde(deny_unknown_fields)]
struct Document {
    /// Goes up when a reader of the version before could be misled.
    #[schemars(extend("const" = 1))]
    format_version: u32,
    /// Name of the move.
    #[serde(rename = "move")]
    move_name: String,
    #[schemars(extend("enum" = ["limit", "people"]))]
    by: &'static str,
    /// Id of the party whose size is varied; null by limit.
    party: Option<String>,
    /// Value of all wants together.
    wanted_value: u64,
    /// From the highest limit, or the largest party, down.
    steps: Vec<StepOut>,
    /// Why there is no plan at all; null if there is one, or if that is not
    /// proven.
    reason: Option<Reason>,
    /// Something was not looked at, or is not known as exactly as was asked.
    cut_short: bool,
    /// What no reader should be spared.
    caution: &'static str,
}

/// A set of wants that is the best one from a share of the limits upwards,
/// until the step before takes over; or a size of the party.
#[derive(Serialize, JsonSchema)]
#[serde(deny_unknown_fields)]
struct StepOut {
    /// How many of the party go; null by limit.
    people: Option<usize>,
    /// Ids of the people of the party who go; empty by limit.
    who: Vec<String>,
    /// `plan`, `no-plan` (proven) or `none-found`; by limit always `plan`.
    #[schemars(extend("enum" = ["plan", "no-plan", "none-found"]))]
    status: &'static str,
    /// Why no plan exists; null unless `status` is `no-plan`.
    reason: Option<Reason>,
    /// The least share of the limits that has it; null by people.
    limit: Option<Exact>,
    /// No smaller share has it; equal to `limit` where proven.
    limit_bound: Option<Exact>,
    /// Whether value and limit are proven.
    exact: bool,
    /// Some load passes a limit as declared, or what rules hold back: not to
    /// be carried.
    over_limit: bool,
    /// Value of the wants taken; null without a plan.
    value: Option<u64>,
    /// What no plan passes below the step before, or for this party.
    value_bound: Option<u64>,
    peak_share: Option<Ratio>,
    total_carried_g: Option<Grams>,
    /// Those whose shares count, with what they bear.
    carriers: Vec<Bearing>,
    /// Wants that are taken, all of them.
    wants: Vec<Taken>,
    /// Wants that go, against the step before; in the first one, against all.
    goes: Vec<Want>,
    /// Wants that come back.
    comes: Vec<Want>,
    /// Needs given up in this step.
    needs: Vec<NeedOut>,
    /// What is below: `next` (the step after; for the last, nothing at all),
    /// `no-plan` (proven: the needs cannot be met), `worn` (somebody has more
    /// on), `unknown` (not looked at); null by people.
    #[schemars(extend("enum" = ["next", "no-plan", "worn", "unknown", null]))]
    below: Option<&'static str>,
}

/// A share as a fraction in milligrams, and to six decimals.
#[derive(Serialize, JsonSchema)]
#[serde(deny_unknown_fields)]
struct Exact {
    share: Ratio,
    load_mg: u64,
    of_mg: u64,
}

/// A load against its limit.
#[derive(Serialize, JsonSchema)]
#[serde(deny_unknown_fields)]
struct Bearing {
    id: String,
    name: String,
    /// Worn mass included.
    load_g: Grams,
    limit_g: Grams,
    share: Ratio,
}

/// A want and how many of it are taken.
#[derive(Serialize, JsonSchema)]
#[serde(deny_unknown_fields)]
struct Taken {
    party: String,
    id: String,
    taken: u32,
    up_to: u32,
}

/// Units of a want.
#[derive(Serialize, JsonSchema)]
#[serde(deny_unknown_fields)]
struct Want {
    party: String,
    id: String,
    name: String,
    count: u32,
}

/// A need.
#[derive(Serialize, JsonSchema)]
#[serde(deny_unknown_fields)]
struct NeedOut {
    party: String,
    name: String,
}

pub(in crate::report) fn shed(order: &MoveOrder, by: By<'_>) -> String {
    let (word, party, steps, none, cut_short) = match by {
        By::Limit(shed) => {
            let steps = shed.steps.iter().zip(&shed.below);
            let steps = steps.map(|(s, b)| by_limit(order, s, *b)).collect();
            ("limit", None, steps, shed.none.as_ref(), shed.cut_short)
        }
        By::People(party, crews) => {
            let steps = crews.iter().map(|c| by_people(order, c)).collect();
            let cut = crews.iter().any(Crew::cut_short);
            ("people", Some(order.party(party).id.clone()), steps, None, cut)
        }
    };
    let document = Document {
        format_version: 1,
        move_name: order.name().to_string(),
        by: word,
        party,
        wanted_value: crate::ask::shed::wanted(order),
        steps,
        reason: none.map(build::reason),
        cut_short,
        caution: CAUTION,
    };
    pretty(&document)
}

/// The JSON Schema (draft-07) of the report, with a line feed at its end.
pub fn shed_schema() -> String {
    super::schema_of::<Document>()
}

fn by_limit(order: &MoveOrder, s: &Step, below: Below) -> StepOut {
    StepOut {
        limit: Some(exact(s.from)),
        limit_bound: Some(exact(s.from_bound)),
        exact: s.exact(),
        over_limit: s.over,
        value_bound: Some(s.value_bound),
        goes: wants(order, &s.goes),
        comes: wants(order, &s.comes),
        needs: s.needs.iter().map(|n| need(order, *n)).collect(),
        below: Some(match below {
            Below::Next => "next",
            Below::NoPlan => "no-plan",
            Below::Worn(_) => "worn",
            Below::Unknown => "unknown",
        }),
        ..of_plan(order, Some(&s.planned.findings))
    }
}

fn by_people(order: &MoveOrder, crew: &Crew) -> StepOut {
    let (status, reason) = match &crew.outcome {
        CrewOutcome::Plan(_) => ("plan", None),
        CrewOutcome::NoPlan(reason) => ("no-plan", Some(build::reason(reason))),
        CrewOutcome::Unknown => ("none-found", None),
    };
    StepOut {
        people: Some(crew.who.len()),
        who: crew.who.iter().map(|c| order.carrier(*c).id.clone()).collect(),
        status,
        reason,
        exact: crew.exact(),
        value_bound: crew.value_bound(),
        goes: wants(order, &crew.goes),
        comes: wants(order, &crew.comes),
        ..of_plan(order, crew.planned().map(|p| &p.findings))
    }
}

/// What a plan has, or nothing.
fn of_plan(order: &MoveOrder, found: Option<&Findings>) -> StepOut {
    StepOut {
        people: None,
        who: Vec::new(),
        status: "plan",
        reason: None,
        limit: None,
        limit_bound: None,
        exact: false,
        over_limit: false,
        value: found.map(|f| f.wants_value),
        value_bound: None,
        peak_share: found.map(|f| Ratio(f.peak_share)),
        total_carried_g: found.map(|f| Grams(f.total_carried)),
        carriers: found.map_or(vec![], |f| carriers(order, f)),
        wants: found.map_or(vec![], |f| taken(order, f)),
        goes: Vec::new(),
        comes: Vec::new(),
        needs: Vec::new(),
        below: None,
    }
}

fn exact(share: crate::load::Share) -> Exact {
    Exact { share: Ratio(share), load_mg: share.load.mg(), of_mg: share.limit.mg() }
}

fn carriers(order: &MoveOrder, found: &Findings) -> Vec<Bearing> {
    let bearing = |c: &&crate::split::CarrierFinding| Bearing {
        id: order.carrier(c.carrier).id.clone(),
        name: order.carrier(c.carrier).name.clone(),
        load_g: Grams(c.load),
        limit_g: Grams(c.limit),
        share: Ratio(words::load_share(c)),
    };
    bearers(order, found).iter().map(bearing).collect()
}

fn taken(order: &MoveOrder, found: &Findings) -> Vec<Taken> {
    let taken = |(w, n): (&crate::load::Want, &u32)| Taken {
        party: order.party(w.party).id.clone(),
        id: order.item(w.item).id.clone(),
        taken: *n,
        up_to: w.up_to,
    };
    order.wants().iter().zip(&found.wants).map(taken).collect()
}

fn wants(order: &MoveOrder, changes: &[WantUnits]) -> Vec<Want> {
    let want = |c: &WantUnits| {
        let want = &order.wants()[c.want];
        let item = order.item(want.item);
        Want {
            party: order.party(want.party).id.clone(),
            id: item.id.clone(),
            name: item.name.clone(),
            count: c.count,
        }
    };
    changes.iter().map(want).collect()
}

fn need(order: &MoveOrder, n: usize) -> NeedOut {
    let need = &order.needs()[n];
    NeedOut { party: order.party(need.party).id.clone(), name: need.name.clone() }
}
