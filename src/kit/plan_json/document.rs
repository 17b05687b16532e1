//! The plan, field by field. Masses are in grams, bulk in millilitres.

use super::causes::{Conflict, Remedies};
use super::conditions::{Alone, DropOut, Price, Tolerance};
use super::number::{Gap, Grams, Ratio, Value};
use super::records::{At, Carrier, Left};
use crate::load::GoalKind;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use std::borrow::Cow;

/// What `tumpline split --format json` prints: who carries what, what stays,
/// and how good the plan is known to be. Masses are in grams, exact to the
/// milligram; bulk is in whole millilitres. Every key but `with` is always there.
#[derive(Serialize, Deserialize, JsonSchema)]
#[schemars(title = "Load plan", deny_unknown_fields)]
pub struct Document {
    /// Goes up when a reader of the version before could be misled.
    #[schemars(extend("const" = 1))]
    pub format_version: u32,
    /// Name of the move.
    #[serde(rename = "move")]
    pub move_name: String,
    /// Path of the move order as it was given on the command line; null where
    /// the move came from no file, or its path is no Unicode.
    pub move_file: Option<String>,
    /// `proven-best`: no plan is better. `within-gap`: every goal is within the
    /// gap asked for. `feasible`: it works, a better one may exist. `no-plan`:
    /// none exists. `none-found`: none was found in the time given, which does
    /// not prove that none exists.
    #[schemars(extend("enum" = ["proven-best", "within-gap", "feasible", "no-plan", "none-found"]))]
    pub status: Cow<'static, str>,
    /// Why no plan exists; null unless `status` is `no-plan`.
    #[serde(skip_deserializing)]
    pub reason: Option<Reason>,
    /// Sets of rules, needs and limits that cannot hold together, none having a
    /// part of another; null unless `status` is `no-plan` and causes were asked
    /// for.
    #[serde(skip_deserializing)]
    pub conflicts: Option<Vec<Conflict>>,
    /// What would make it work, cheapest first, each solved and audited; null
    /// where `conflicts` is.
    #[serde(skip_deserializing)]
    pub remedies: Option<Remedies>,
    /// In the order of the move; empty without a plan.
    #[serde(default)]
    pub goals: Vec<Goal>,
    /// Value of the wants taken; null without a plan.
    #[serde(skip_deserializing)]
    pub wants_value: Option<u64>,
    /// All that leaves the store, worn mass not counted; null without a plan.
    #[serde(skip_deserializing)]
    pub total_carried_g: Option<Grams>,
    /// The largest load against its limit, to six decimals.
    #[serde(skip_deserializing)]
    pub peak_share: Option<Ratio>,
    /// No plan has a smaller peak share, given the goals before it; null where
    /// `even` is not among the goals.
    #[serde(skip_deserializing)]
    pub peak_share_bound: Option<Ratio>,
    pub parties: Vec<Party>,
    pub carriers: Vec<Carrier>,
    /// What no party outside the store takes. Where there is a store, these
    /// things are on its vehicles and are listed there too.
    pub left: Vec<Left>,
    #[serde(skip_deserializing)]
    pub needs: Vec<Need>,
    #[serde(skip_deserializing)]
    pub supplies: Vec<Supply>,
    #[serde(skip_deserializing)]
    pub wants: Vec<Want>,
    /// From the plan that people have packed; null unless the move was split
    /// anew.
    pub changes: Option<Changes>,
    /// Weighed masses against the catalogue; null unless they were given.
    pub weighed: Option<Weighed>,
    /// How far weights may be off under this plan; null if it was not asked.
    pub tolerance: Option<Tolerance>,
    /// Who takes over from whom, where the plan was asked to survive that
    /// somebody drops out and does; else null.
    #[serde(skip_deserializing)]
    pub survives: Option<Vec<DropOut>>,
    /// Whose loss was not asked for with that, and is not borne: who alone goes
    /// with a party on foot that has needs. Nobody would be left for them.
    #[serde(skip_deserializing)]
    pub survives_not_asked: Vec<Alone>,
    /// What each condition costs, in the order in which they were laid on.
    #[serde(skip_deserializing)]
    pub prices: Vec<Price>,
    /// What no reader should be spared.
    #[serde(skip_deserializing)]
    pub caution: &'static str,
    /// What ended the search before it had what was asked.
    #[serde(skip_deserializing)]
    #[schemars(extend("enum" = ["deadline", "interrupt", "unsettled", null]))]
    pub stopped: Option<&'static str>,
    /// The search took less than this many seconds: whole tens, so that the
    /// same move prints the same bytes. `--stats` tells the time exactly.
    #[serde(skip_deserializing)]
    pub seconds: u64,
}

/// Why no plan exists.
#[derive(Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct Reason {
    pub text: String,
    /// Where the cause was written, if it is one place.
    pub place: Option<At>,
}

/// A goal and what it reached.
#[derive(Serialize, Deserialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct Goal {
    #[schemars(extend("enum" = GoalKind::any().map(GoalKind::word).collect::<Vec<_>>()))]
    pub name: Cow<'static, str>,
    /// Unit of `value`, `reached` and `bound`.
    #[schemars(extend("enum" = ["points", "g", "share", "count"]))]
    pub unit: Cow<'static, str>,
    /// What the plan has.
    pub value: Value,
    /// The best that was reached: `value`, or what was better before later goals
    /// used what this one may give up. What is proven, and the gap, are of this.
    pub reached: Value,
    /// No plan passes it, given what the goals before reached.
    pub bound: Value,
    /// Of `reached` and `bound`, in percent of the larger; 0 only if `reached`
    /// is proven to be the best.
    pub gap_percent: Gap,
}

/// A party: carriers who go together.
#[derive(Serialize, Deserialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct Party {
    pub id: String,
    #[serde(skip_deserializing)]
    #[schemars(extend("enum" = ["foot", "vehicle"]))]
    pub travel: &'static str,
    /// Whether it keeps what no other party takes.
    pub store: bool,
}

/// A need and what meets it.
#[derive(Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct Need {
    pub party: String,
    pub name: String,
    pub met: bool,
    /// All that holds, alternatives included.
    pub by: Vec<By>,
}

/// An item or a supply that meets a need, or a part of it.
#[derive(Serialize, JsonSchema)]
#[serde(tag = "kind", rename_all = "kebab-case")]
pub enum By {
    /// Units of an item in the party, loose or in cases.
    Item { id: String, asked: u32, there: u32, in_cases: u32 },
    /// What this need alone asks of a supply, in `unit`.
    Supply { supply: String, unit: &'static str, demand: u64 },
}

/// A supply in a party.
#[derive(Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct Supply {
    pub party: String,
    pub id: String,
    /// Unit of the amounts here.
    #[schemars(extend("enum" = ["mm", "mWh", "mL", "mg", "pieces"]))]
    pub unit: &'static str,
    pub there: u64,
    /// Of all needs that hold, slack included.
    pub demand: u64,
    /// Of it there are `there - demand` to spare; below zero if short.
    pub margin: i128,
    pub from: Vec<Source>,
}

/// Units of an item that supplies it.
#[derive(Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct Source {
    pub id: String,
    pub count: u32,
}

/// A want.
#[derive(Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct Want {
    pub party: String,
    pub id: String,
    /// Of each.
    pub value: u32,
    pub taken: u32,
    pub up_to: u32,
}

/// What changes from the plan that people have packed.
#[derive(Serialize, Deserialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct Changes {
    /// Units that change hands: the sum of the hand-overs.
    #[serde(skip_deserializing)]
    pub units: u64,
    /// Whether the plan before was `given`, or `made` of the move as it stood.
    #[serde(skip_deserializing)]
    #[schemars(extend("enum" = ["given", "made"]))]
    pub from_plan: &'static str,
    /// Ids of those who drop out.
    pub without: Vec<String>,
    pub used_up: Vec<UsedUp>,
    /// Empty without a plan.
    #[serde(skip_deserializing)]
    pub hand_overs: Vec<HandOver>,
    /// What there was and is no more; what is used up is not among it.
    #[serde(skip_deserializing)]
    pub gone: Vec<Counted>,
    /// What there was not.
    #[serde(skip_deserializing)]
    pub new: Vec<Counted>,
}

/// Units that change hands.
#[derive(Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct HandOver {
    /// `taken` is from the store (from what was left, without one), `put-back`
    /// and `left` are the way back; `shared` is borne by one more than before.
    #[schemars(extend("enum" = ["handed-over", "taken", "put-back", "left", "shared"]))]
    pub how: &'static str,
    pub id: String,
    pub name: String,
    pub count: u32,
    /// Id of a carrier; null for the store or what is left, and for `shared`.
    pub from: Option<String>,
    /// Id of a carrier; null for the store or what is left.
    pub to: Option<String>,
}

/// Units that were used up.
#[derive(Serialize, Deserialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct UsedUp {
    pub id: String,
    #[serde(skip_deserializing)]
    pub name: String,
    #[serde(skip_deserializing)]
    pub count: u32,
    pub from: Vec<UsedFrom>,
}

/// Whose they were.
#[derive(Serialize, Deserialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct UsedFrom {
    /// Its id; null for the store or what is left.
    pub carrier: Option<String>,
    pub count: u32,
}

/// Units of an item.
#[derive(Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct Counted {
    /// Null if the catalogue does not know it any more.
    pub id: Option<String>,
    pub name: String,
    pub count: u64,
}

/// Weighed masses against those of the catalogue.
#[derive(Serialize, Deserialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct Weighed {
    /// Items that do not weigh what the catalogue says.
    pub differences: Vec<Difference>,
    /// Whom the plan before would overload by the scales.
    #[serde(skip_deserializing)]
    pub over: Vec<Overload>,
}

/// An item, by the catalogue and by the scales.
#[derive(Serialize, Deserialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct Difference {
    pub id: String,
    #[serde(skip_deserializing)]
    pub name: String,
    #[serde(skip_deserializing)]
    pub catalogue_g: Grams,
    pub weighed_g: Grams,
}

/// A carrier that would bear more than it may.
#[derive(Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct Overload {
    pub carrier: String,
    pub load_g: Grams,
    /// The limit less every reserve.
    pub usable_g: Grams,
    pub over_g: Grams,
}
