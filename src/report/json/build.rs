//! From an answer to the JSON report.

use super::{anew, explained};
use crate::ask::{self, Condition};
use crate::kit::plan_json::conditions::{Alone, DropOut, Paid, Price, Tolerance};
use crate::kit::plan_json::number::{Gap, Grams, Ratio, unit};
use crate::kit::plan_json::{
    At, By, Carried, Carrier, Document, FORMAT, Goal, Left, Need, Party, Reason, Source, Supply,
    Want,
};
use crate::load::{self, GoalKind, GoalValue, ItemIx, MoveOrder, PartyIx, Travel};
use crate::quantity::Dimension;
use crate::report::{CAUTION, More, words};
use crate::split::{
    Answer, CarrierFinding, GoalResult, Line, MetBy, NeedFinding, Outcome, Planned, Status, Stop,
    SupplyFinding,
};

pub(super) fn document(order: &MoveOrder, answer: &Answer, more: &More) -> Document {
    let (planned, reason, status) = match &answer.outcome {
        Outcome::Plan(p) => (Some(&**p), None, status(p.status)),
        Outcome::NoPlan(reason) => (None, Some(reason), "no-plan"),
        Outcome::NoneFound => (None, None, "none-found"),
    };
    let findings = planned.map(|p| &p.findings);
    Document {
        format_version: FORMAT,
        move_name: order.name().to_string(),
        move_file: more.move_file.map(str::to_string),
        status: status.into(),
        reason: reason.map(self::reason),
        conflicts: more.explanation.map(|why| explained::conflicts(order, why)),
        remedies: more.explanation.map(|why| explained::changes(order, why)),
        goals: planned.iter().flat_map(|p| &p.goals).map(goal).collect(),
        wants_value: findings.map(|f| f.wants_value),
        total_carried_g: findings.map(|f| Grams(f.total_carried)),
        peak_share: findings.map(|f| Ratio(f.peak_share)),
        peak_share_bound: planned.and_then(peak_share_bound),
        parties: (0..order.parties().len()).map(|p| party(order, PartyIx(p))).collect(),
        carriers: findings
            .map_or(vec![], |f| f.carriers.iter().map(|c| carrier(order, c)).collect()),
        left: findings
            .map_or(vec![], |f| f.left.iter().map(|l| left(order, l.item, l.count)).collect()),
        needs: findings.map_or(vec![], |f| needs(order, &f.needs)),
        supplies: findings
            .map_or(vec![], |f| f.supplies.iter().map(|s| supply(order, s)).collect()),
        wants: findings.map_or(vec![], |f| wants(order, &f.wants)),
        changes: more.anew.map(anew::changes),
        weighed: more.anew.and_then(anew::weighed),
        tolerance: order.tolerance().map(|t| Tolerance { percent: t.share.into(), off: t.off }),
        survives: more.survival.as_ref().map(|s| s.drop_outs.iter().map(drop_out).collect()),
        survives_not_asked: more
            .survival
            .iter()
            .flat_map(|s| &s.alone)
            .map(|(p, c)| Alone {
                party: order.party(*p).id.clone(),
                who: order.carrier(*c).id.clone(),
            })
            .collect(),
        prices: more.prices.iter().map(price).collect(),
        caution: CAUTION,
        stopped: answer.stopped.map(|s| match s {
            Stop::Deadline => "deadline",
            Stop::Interrupt => "interrupt",
            Stop::Unsettled => "unsettled",
        }),
        seconds: (answer.elapsed.as_secs() / 10 + 1) * 10,
    }
}

fn price(p: &ask::Price) -> Price {
    let of = match p.of {
        Condition::Tolerance => "tolerance",
        Condition::Survives => "survives",
    };
    let goals = p.goals.iter().map(|g| Paid {
        name: g.goal.word(),
        unit: unit(g.with),
        with: g.with.into(),
        without: g.without.into(),
    });
    Price { of, exact: p.exact, goals: goals.collect() }
}

fn drop_out(d: &ask::DropOut) -> DropOut {
    let order = &d.order;
    let id = |c: load::CarrierIx| order.carrier(c).id.clone();
    let found = &d.planned.findings;
    DropOut {
        party: order.party(PartyIx(0)).id.clone(),
        without: id(d.who),
        fullest: d.fullest().map(|c| id(c.carrier)),
        peak_share: d.fullest().map(|c| Ratio(words::load_share(c))),
        carriers: found.carriers.iter().map(|c| carrier(order, c)).collect(),
        left: found.left.iter().map(|l| left(order, l.item, l.count)).collect(),
    }
}

pub(super) fn status(status: Status) -> &'static str {
    match status {
        Status::ProvenBest => "proven-best",
        Status::WithinGap => "within-gap",
        Status::Feasible => "feasible",
    }
}

pub(super) fn reason(r: &crate::split::Reason) -> Reason {
    Reason { text: r.text.clone(), place: r.place.as_ref().map(At::from) }
}

pub(super) fn goal(g: &GoalResult) -> Goal {
    Goal {
        name: g.goal.word().into(),
        unit: unit(g.value).into(),
        value: g.value.into(),
        reached: g.reached.into(),
        bound: g.bound.into(),
        gap_percent: Gap(g.gap_percent()),
    }
}

fn peak_share_bound(planned: &Planned) -> Option<Ratio> {
    planned.goals.iter().find_map(|g| match (g.goal, g.bound) {
        (GoalKind::Even, GoalValue::Share(bound)) => Some(Ratio(bound)),
        _ => None,
    })
}

fn party(order: &MoveOrder, p: PartyIx) -> Party {
    let travel = match order.party(p).travel {
        Travel::Foot => "foot",
        Travel::Vehicle => "vehicle",
    };
    Party { id: order.party(p).id.clone(), travel, store: order.is_store(p) }
}

fn carrier(order: &MoveOrder, c: &CarrierFinding) -> Carrier {
    let who = order.carrier(c.carrier);
    let person = who.person().is_some();
    Carrier {
        id: who.id.clone(),
        name: who.name.clone(),
        party: order.party(c.party).id.clone(),
        kind: if person { "person" } else { "vehicle" },
        rides_in: words::rides_in(order, c.carrier).map(|v| order.carrier(v).id.clone()),
        load_g: Grams(c.load),
        burden_g: Grams(c.burden),
        limit_g: Grams(c.limit),
        usable_g: Grams(c.usable),
        worst_g: c.worst.map(Grams),
        share: Ratio(words::load_share(c)),
        bulk_ml: c.bulk.ml(),
        room_ml: c.room.map(|r| r.ml()),
        hands_free: person.then(|| c.hands.saturating_sub(c.hands_used)),
        items: c.lines.iter().map(|l| carried(order, l)).collect(),
    }
}

fn carried(order: &MoveOrder, l: &Line) -> Carried {
    let item = order.item(l.item);
    Carried {
        id: item.id.clone(),
        name: item.name.clone(),
        count: l.count,
        way: l.way,
        with: l.with.map(|c| order.carrier(c).id.clone()),
        mass_g: Grams(l.mass),
    }
}

fn left(order: &MoveOrder, item: ItemIx, count: u32) -> Left {
    let place = order.store().map(|p| order.party(p).id.clone());
    let item = order.item(item);
    Left { id: item.id.clone(), name: item.name.clone(), count, place }
}

fn needs(order: &MoveOrder, found: &[NeedFinding]) -> Vec<Need> {
    let need = |(need, found): (&load::Need, &NeedFinding)| Need {
        party: order.party(need.party).id.clone(),
        name: need.name.clone(),
        met: found.met,
        by: found.by.iter().map(|by| met_by(order, by)).collect(),
    };
    order.needs().iter().zip(found).map(need).collect()
}

fn met_by(order: &MoveOrder, by: &MetBy) -> By {
    match by {
        MetBy::Item { item, asked, there, in_cases } => By::Item {
            id: order.item(*item).id.clone(),
            asked: *asked,
            there: *there,
            in_cases: *in_cases,
        },
        MetBy::Supply { supply, demand } => {
            let supply = order.catalogue().supply(*supply);
            By::Supply {
                supply: supply.id.clone(),
                unit: base_unit(supply.dimension),
                demand: *demand,
            }
        }
    }
}

fn supply(order: &MoveOrder, s: &SupplyFinding) -> Supply {
    let supply = order.catalogue().supply(s.supply);
    let source = |(i, n): &(ItemIx, u32)| Source { id: order.item(*i).id.clone(), count: *n };
    Supply {
        party: order.party(s.party).id.clone(),
        id: supply.id.clone(),
        unit: base_unit(supply.dimension),
        there: s.there,
        demand: s.demand,
        margin: i128::from(s.there) - i128::from(s.demand),
        from: s.from.iter().map(source).collect(),
    }
}

pub(super) fn base_unit(dimension: Dimension) -> &'static str {
    match dimension {
        Dimension::Length => "mm",
        Dimension::Energy => "mWh",
        Dimension::Bulk => "mL",
        Dimension::Mass => "mg",
        Dimension::Count => "pieces",
    }
}

fn wants(order: &MoveOrder, taken: &[u32]) -> Vec<Want> {
    let want = |(want, taken): (&load::Want, &u32)| Want {
        party: order.party(want.party).id.clone(),
        id: order.item(want.item).id.clone(),
        value: want.value,
        taken: *taken,
        up_to: want.up_to,
    };
    order.wants().iter().zip(taken).map(want).collect()
}
