//! The page's script in a JavaScript engine, moves and plans to try it on, and
//! the program's findings in the form in which the script gives its own.

#![allow(dead_code, reason = "each test file uses its own part")]

mod made;
mod slips;

pub use made::{broken, enriched};
#[allow(unused_imports, reason = "one test file uses it")]
pub use slips::SLIPS;

use super::common::random_move::{Random, rule};
use rquickjs::{Context, Runtime};
use serde_json::{Value, json};
use std::cell::RefCell;
use std::collections::BTreeSet;
use tumpline::load::*;
use tumpline::report::live::AUDIT;
use tumpline::split::{Fault, FaultValue, Findings, MetBy};

pub struct Script {
    /// Of every fault that was found.
    pub kinds: RefCell<BTreeSet<String>>,
    context: Context,
    _runtime: Runtime,
}

/// The findings as JSON, whole numbers without bound as texts.
const TOLD: &str = r#"
    let order = null;
    const told = (value) =>
      JSON.stringify(value, (_, v) => (typeof v === "bigint" ? String(v) : v));
"#;

impl Script {
    pub fn new() -> Self {
        Script::of(AUDIT)
    }
    /// An engine with this source in the place of the audit.
    pub fn of(source: &str) -> Self {
        let runtime = Runtime::new().expect("an engine");
        let context = Context::full(&runtime).expect("a context");
        let script = Script { kinds: RefCell::default(), context, _runtime: runtime };
        script.run::<()>(&format!("{source}\n{TOLD}"));
        script
    }
    fn run<V: for<'js> rquickjs::FromJs<'js>>(&self, source: &str) -> V {
        self.context.with(|ctx| {
            ctx.eval::<V, _>(source).unwrap_or_else(|_| {
                let thrown = ctx.catch();
                let about = thrown.as_exception().map(|e| e.to_string());
                panic!("the script failed: {}", about.unwrap_or_default())
            })
        })
    }
    /// Takes a move and its plan, as the page has them.
    pub fn load(&self, data: &str) {
        self.run::<()>(&format!("order = ready({data}); undefined"));
    }
    pub fn text(&self, call: &str) -> String {
        self.run(call)
    }
    /// Every kind of fault was met, and of every kind of rule that has one.
    pub fn assert_all_kinds(&self) {
        let met = self.kinds.borrow();
        let missing: Vec<&str> =
            Fault::KINDS.iter().map(|k| k.word).filter(|w| !met.contains(*w)).collect();
        assert_eq!(missing, [""; 0], "never met");
        let mut r = Random(1);
        let some = (0..200).map(|_| rule(&mut r, 3, &[CarrierIx(0), CarrierIx(1)]));
        let told = some.filter(|k| !k.words().broken.is_empty());
        let rules: BTreeSet<String> = told.map(|k| format!("rule {}", k.word())).collect();
        assert!(rules.len() >= 5 && rules.is_subset(&met), "{rules:?}");
    }
    /// The script's findings.
    pub fn audit(&self, order: &MoveOrder, plan: &Plan) -> Value {
        let call = format!("told(audit(order, {}))", placed(plan));
        let mut found: Value = serde_json::from_str(&self.text(&call)).expect("JSON");
        let told = found["faults"].as_array().expect("faults").iter();
        told.clone().for_each(|f| {
            let rule = f["rule"].as_u64().map(|r| order.rules()[r as usize].kind.word());
            let kind = f["kind"].as_str().expect("a kind");
            let mut met = self.kinds.borrow_mut();
            met.insert(kind.to_string());
            met.extend(rule.map(|word| format!("{kind} {word}")));
        });
        let mut told: Vec<String> = told.map(|f| texts(f).to_string()).collect();
        told.sort();
        found["faults"] = told.into();
        found
    }
}

/// The placements as the script has them.
pub fn placed(plan: &Plan) -> Value {
    plan
            .placements()
            .iter()
            .map(|p| match p.by {
                Bearer::One { carrier, way } => {
                    json!({"item": p.item.0, "count": p.count, "by": carrier.0, "way": way.word(), "with": null})
                }
                Bearer::Pair { first, second } => {
                    json!({"item": p.item.0, "count": p.count, "by": first.0, "way": "pair", "with": second.0})
                }
            })
            .collect()
}

/// A fault as the script has it, every number as a text.
pub fn fault(f: &Fault) -> Value {
    let value = |told: FaultValue<'_>| match told {
        FaultValue::Carrier(CarrierIx(n))
        | FaultValue::Item(ItemIx(n))
        | FaultValue::Party(PartyIx(n))
        | FaultValue::Need(NeedIx(n))
        | FaultValue::Rule(RuleIx(n)) => json!(n),
        FaultValue::Items(all) => all.iter().map(|i| i.0).collect(),
        FaultValue::Any(any) => any.iter().map(|(i, n)| json!([i.0, n])).collect(),
        FaultValue::Count(n) => json!(n),
        FaultValue::Mass(m) => json!(m.mg()),
        FaultValue::Bulk(b) => json!(b.ml()),
        FaultValue::Way(w) => json!(w.word()),
        other => panic!("a value of a new sort: {other:?}"),
    };
    let values = f.values().into_iter().map(|(name, told)| (name.to_string(), value(told)));
    let word = std::iter::once(("kind".to_string(), json!(f.word())));
    texts(&Value::Object(word.chain(values).collect()))
}

/// The same with numbers as texts: the script has some of them without bound.
fn texts(value: &Value) -> Value {
    match value {
        Value::Number(n) => n.to_string().into(),
        Value::Array(all) => all.iter().map(texts).collect(),
        Value::Object(of) => {
            // In the order of their names.
            let of: std::collections::BTreeMap<_, _> =
                of.iter().map(|(k, v)| (k, texts(v))).collect();
            json!(of)
        }
        other => other.clone(),
    }
}

/// What the script should find.
pub fn expected(order: &MoveOrder, f: &Findings) -> Value {
    let mut faults: Vec<String> = f.faults.iter().map(|f| fault(f).to_string()).collect();
    faults.sort();
    let mass = |m: tumpline::quantity::Mass| m.mg().to_string();
    let share = |s: Share| json!({"load": mass(s.load), "limit": mass(s.limit)});
    let carriers = f.carriers.iter().map(|c| {
        let lines = c.lines.iter().map(|l| {
            json!({
                "item": l.item.0, "count": l.count, "way": l.way.word(),
                "with": l.with.map(|c| c.0), "mass": mass(l.mass),
            })
        });
        json!({
            "carrier": c.carrier.0, "party": c.party.0, "burden": mass(c.burden),
            "load": mass(c.load), "limit": mass(c.limit), "usable": mass(c.usable),
            "bulk": c.bulk.ml().to_string(), "room": c.room.map(|b| b.ml().to_string()),
            "used": c.hands_used, "hands": c.hands, "worst": c.worst.map(mass),
            "lines": lines.collect::<Vec<_>>(),
        })
    });
    let needs = f.needs.iter().map(|n| {
        let by = n.by.iter().map(|by| match by {
            MetBy::Item { item, asked, there, in_cases } => {
                json!({"item": item.0, "asked": asked, "there": there, "inCases": in_cases})
            }
            MetBy::Supply { supply, demand } => {
                json!({"supply": supply.0, "demand": demand.to_string()})
            }
        });
        json!({"met": n.met, "by": by.collect::<Vec<_>>()})
    });
    let supplies = f.supplies.iter().map(|s| {
        let from: Vec<Value> = s.from.iter().map(|(i, n)| json!([i.0, n])).collect();
        json!({
            "party": s.party.0, "supply": s.supply.0, "there": s.there.to_string(),
            "demand": s.demand.to_string(), "from": from,
        })
    });
    let goals = f.goals.iter().map(|(kind, value)| {
        let value = match value {
            GoalValue::Points(n) | GoalValue::Count(n) => json!(n.to_string()),
            GoalValue::Mass(m) => json!(mass(*m)),
            GoalValue::Share(s) => share(*s),
        };
        json!({"kind": kind.word(), "value": value})
    });
    let left = f.left.iter().map(|l| json!({"item": l.item.0, "count": l.count}));
    assert_eq!(f.goals.len(), order.goals().len());
    json!({
        "faults": faults,
        "carriers": carriers.collect::<Vec<_>>(),
        "left": left.collect::<Vec<_>>(),
        "needs": needs.collect::<Vec<_>>(),
        "supplies": supplies.collect::<Vec<_>>(),
        "wants": f.wants,
        "value": f.wants_value.to_string(),
        "carried": mass(f.total_carried),
        "peak": share(f.peak_share),
        "goals": goals.collect::<Vec<_>>(),
    })
}
