//! Why an item is where it is, as JSON.

use super::build::goal;
use crate::ask;
use crate::kit::plan_json::{At, Goal};
use crate::load::{MoveOrder, Place};
use crate::report::{CAUTION, why::words as told};
use schemars::JsonSchema;
use serde::Serialize;

/// What `tumpline why --format json` prints: where an item is in the plan, and
/// what comes of carrying it another way. Masses are in grams.
#[derive(Serialize, JsonSchema)]
#[schemars(title = "Why an item is where it is")]
#[serde(deny_unknown_fields)]
pub(super) struct Document {
    /// Goes up when a reader of the version before could be misled.
    #[schemars(extend("const" = 1))]
    pub format_version: u32,
    /// Name of the move.
    #[serde(rename = "move")]
    pub move_name: String,
    /// The item's id.
    pub item: String,
    /// How many are with whom; what a pair carries is with both.
    pub with: Vec<With>,
    /// Units in the store, or not taken.
    pub left: u32,
    /// Of the plan, in the order of the move.
    pub goals: Vec<Goal>,
    /// One unit at a time.
    pub other_ways: Vec<Other>,
    /// Other ways that were not tried, there being so many.
    pub not_tried: usize,
    /// What no reader should be spared.
    pub caution: &'static str,
}

#[derive(Serialize, JsonSchema)]
#[schemars(rename = "WhyWith")]
#[serde(deny_unknown_fields)]
pub(super) struct With {
    pub carrier: String,
    pub count: u32,
}

/// One unit goes another way.
#[derive(Serialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct Other {
    /// `with`: one more with the carrier. `without`: one fewer with it.
    /// `fewer`: one fewer leaves the store. `more`: one more in the party.
    #[schemars(extend("enum" = ["with", "without", "fewer", "more"]))]
    pub change: &'static str,
    /// The carrier's or party's id; null for `fewer`.
    pub at: Option<String>,
    /// `worse`: the goal in `by` is the first that is. `as-good`: no goal is,
    /// as far as is known. `open`: one came out worse and is not known to have
    /// to. `better`: the plan was not proven best. `forbidden`:
    /// no plan goes that way. `unknown`: none was found in the time given.
    #[schemars(extend("enum" = ["worse", "as-good", "open", "better", "forbidden", "unknown"]))]
    pub verdict: &'static str,
    /// The first goal that differs; null unless `worse`, `open` or `better`.
    pub by: Option<&'static str>,
    /// Of the best plan that goes this way; empty without one.
    pub goals: Vec<Goal>,
    /// Each of them alone forbids this way; empty if not `forbidden`, or if it
    /// takes several together.
    pub obstacles: Vec<Obstacle>,
    /// Why no plan goes this way, if more is known.
    pub reason: Option<String>,
}

/// A part of the move without which this way could be gone.
#[derive(Serialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct Obstacle {
    #[schemars(extend("enum" = ["rule", "need", "limit", "room", "ways"]))]
    pub kind: &'static str,
    pub text: String,
    /// Where it was written, if it is one place.
    pub place: Option<At>,
}

impl Document {
    pub(super) fn new(order: &MoveOrder, why: &ask::Why) -> Document {
        let with = why
            .at
            .with
            .iter()
            .map(|(c, count)| With { carrier: order.carrier(*c).id.clone(), count: *count });
        Document {
            format_version: 1,
            move_name: order.name().to_string(),
            item: order.item(why.item).id.clone(),
            with: with.collect(),
            left: why.at.left,
            goals: why.planned.goals.iter().map(goal).collect(),
            other_ways: why.others.iter().map(|o| other(order, o)).collect(),
            not_tried: why.not_tried,
            caution: CAUTION,
        }
    }
}

fn other(order: &MoveOrder, other: &ask::Other) -> Other {
    use ask::{Instead, Verdict};
    let carrier = |c: crate::load::CarrierIx| Some(order.carrier(c).id.clone());
    let (change, at) = match other.instead {
        Instead::With(c) => ("with", carrier(c)),
        Instead::Without(c) => ("without", carrier(c)),
        Instead::Fewer => ("fewer", None),
        Instead::More(p) => ("more", Some(order.party(p).id.clone())),
    };
    let (verdict, by) = match &other.verdict {
        Verdict::Worse(goal) => ("worse", Some(goal.word())),
        Verdict::Better(goal) => ("better", Some(goal.word())),
        Verdict::Open(goal) => ("open", Some(goal.word())),
        Verdict::AsGood => ("as-good", None),
        Verdict::Forbidden { .. } => ("forbidden", None),
        Verdict::Unknown => ("unknown", None),
    };
    let (obstacles, reason) = match &other.verdict {
        Verdict::Forbidden { obstacles, reason } => (
            obstacles.iter().map(|o| obstacle(order, o)).collect(),
            Some(&reason.text).filter(|t| !t.is_empty()).cloned(),
        ),
        _ => (Vec::new(), None),
    };
    let goals = other.goals.iter().map(goal).collect();
    Other { change, at, verdict, by, goals, obstacles, reason }
}

fn obstacle(order: &MoveOrder, o: &ask::Obstacle) -> Obstacle {
    let carrier = |c: &crate::load::CarrierIx| order.carrier(*c).place.as_ref();
    let (kind, place): (_, Option<&Place>) = match o {
        ask::Obstacle::Rule(k) => ("rule", order.rules()[*k].place.as_ref()),
        ask::Obstacle::Need(k) => ("need", order.needs()[*k].place.as_ref()),
        ask::Obstacle::Limit(c) => ("limit", carrier(c)),
        ask::Obstacle::Room(c) => ("room", carrier(c)),
        ask::Obstacle::Ways(_) => ("ways", None),
    };
    Obstacle { kind, text: told::obstacle(order, o).0, place: place.map(At::from) }
}
