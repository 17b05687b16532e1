//! How faults are told: every kind of fault once, whole, as the user sees it.
//!
//! The goldens live in `snapshots`; to accept a change of wording:
//! `INSTA_UPDATE=always cargo test --test reading faults::`.

use insta::assert_snapshot;
use tumpline::kit::{FaultCode, read_move_text};

const ITEMS: &str = "equipment:
  - {id: radio, mass: 1 kg, carry: [hand, pair], supplies: {power: 90 Wh}, tags: [signal]}
  - {id: mast, mass: 4 kg, held: 2, requires: {radio: 1}}
  - {id: reel, mass: 3 kg, supplies: {line: 200 m}}
";
const CARRIERS: &str = "carriers:
  people: [{id: ann, limit: 20 kg}, {id: bo, limit: 20 kg}]
  vehicles: [{id: truck, payload: 500 kg, seats: 1}]
";
const PARTIES: &str = "parties:
  ridge: {travel: foot, who: [ann]}
  road: {travel: vehicle, who: [truck]}
";

/// The faults of a move with one part replaced or added, and their codes.
fn told(part: &str) -> (String, Vec<FaultCode>) {
    let given = |key: &str| part.lines().any(|l| l.starts_with(key));
    let mut text = "move: test\n".to_string();
    for (key, usual) in [("equipment:", ITEMS), ("carriers:", CARRIERS), ("parties:", PARTIES)] {
        if !given(key) {
            text.push_str(usual);
        }
    }
    text.push_str(part);
    match read_move_text("test.move.yaml", &text) {
        Ok(read) => (read.warnings.to_string(), read.warnings.iter().map(|d| d.code).collect()),
        Err(faults) => (faults.to_string(), faults.iter().map(|d| d.code).collect()),
    }
}

macro_rules! golden {
    ($($name:ident: [$($code:ident),*] $part:literal;)*) => { $(
        #[test]
        fn $name() {
            let (text, codes) = told($part);
            assert_snapshot!(stringify!($name), text);
            assert_eq!(codes, [$(FaultCode::$code),*]);
        }
    )* };
}

golden! {
    structure: [MissingField, UnknownField, WrongKind, UnknownField, WrongKind] "\
equipment:
  - {id: radio, weight: 1 kg}
  - {id: mast, mass: [1 kg], bulck: 2 L}
  - radio
";
    quantities: [BadQuantity, BadQuantity, BadQuantity, BadQuantity, ZeroMass, BadQuantity] "\
equipment:
  - id: a
    mass: 4,2 kg
  - {id: b, mass: 4}
  - {id: c, mass: 4 stone}
  - {id: d, mass: -4 kg}
  - {id: e, mass: 0 g}
  - {id: f, mass: 1 kg, size: 3 x 4 cm}
";
    values: [BadCount, BadCount, BadWord, BadId, BadId, BadName, Shares, Shares, Twice, Together] "\
equipment:
  - {id: a, mass: 1 kg, held: 2.5}
  - {id: b, mass: 1 kg, carry: [hand], hands: 3}
  - {id: c, mass: 1 kg, carry: [bakc]}
  - {id: Big Mast, mass: 1 kg}
  - {id: supply, mass: 1 kg}
  - {id: d, mass: 1 kg, name: \"two\\nlines\"}
  - {id: e, mass: 1 kg, carry: [pair], pair-shares: [60 %, 30 %]}
  - {id: f, mass: 1 kg, carry: [pair], pair-shares: [100 %]}
  - {id: g, mass: 1 kg, tags: [x, x]}
  - {id: h, mass: 1 kg, bulk: 1 L, size: 1 x 1 x 1 cm}
";
    references: [UnknownItem, Dimension, DuplicateId] "\
equipment:
  - {id: radio, mass: 1 kg, requires: {batery: 1}, supplies: {power: 3 Wh}}
  - {id: battery, mass: 1 kg, uses: {power: 3 m}}
  - {id: radio, mass: 1 kg}
";
    circles: [RequiresCircle, RequiresCircle, ContentsCircle] "\
equipment:
  - {id: a, mass: 1 kg, requires: {b: 1}}
  - {id: b, mass: 1 kg, requires: {c: shared}}
  - {id: c, mass: 1 kg, requires: {a: 1}}
  - {id: d, mass: 1 kg, requires: {d: 1}}
  - {id: e, mass: 1 kg, contents: {f: 1}}
  - {id: f, mass: 1 kg, contents: {e: 1}}
";
    carriers: [NoBodyMass, DuplicateId, BadCount, BadWord] "\
carriers:
  people:
    - {id: ann, limit: 30 %}
    - {id: ann, limit: 30 kg}
    - {id: bo, limit: 30 kg, slots: {hand: 3}}
  vehicles:
    - {id: truck, payload: 300 kg, hauled: no}
";
    parties: [NotHauled, TwoParties, Seats, NoBodyMass, NoVehicle, EmptyList, UnknownCarrier, BadStore] "\
carriers:
  people: [{id: ann, limit: 20 kg}, {id: bo, limit: 20 kg, body-mass: 70 kg}, {id: cy, limit: 1 kg}, {id: di, limit: 1 kg}]
  vehicles: [{id: truck, payload: 500 kg, seats: 1}, {id: van, payload: 500 kg}]
parties:
  ridge: {travel: foot, who: [ann, van]}
  road: {travel: vehicle, who: [truck, ann, bo, cy]}
  track: {travel: vehicle, who: [di]}
  hill: {travel: foot, who: []}
  dale: {travel: foot, who: [an]}
stays-with: ridge
";
    emergency_limits: [NoBodyMass, EmergencyLimit, EmergencyLimit, BadQuantity] "\
carriers:
  people:
    - {id: ann, limit: 20 kg, emergency-limit: 40 %}
    - {id: bo, limit: 20 kg, emergency-limit: 19.5 kg}
    - {id: cy, limit: 30 %, body-mass: 70 kg, emergency-limit: 25 %}
    - {id: di, limit: 20 kg, emergency-limit: lots}
  vehicles: [{id: truck, payload: 500 kg}]
";
    nobody_walks: [NobodyOnFoot] "\
carriers:
  vehicles: [{id: sledge, payload: 50 kg, hauled: true}]
parties: {ridge: {travel: foot, who: sledge}}
";
    needs: [Together, DuplicateId, UnknownSupply, MissingField, Dimension, BadCount, Together,
            EmptyList, UnknownItem, MissingField, UnknownParty] "\
needs:
  ridge:
    - {need: a, item: radio, all: [mast]}
    - {need: a, supply: lien, amount: 3 m}
    - {need: b, supply: line}
    - {need: c, supply: line, amount: 3 Wh}
    - {need: d, at-least: 3, of: [radio, mast]}
    - {need: e, item: radio, slack: 10 %}
    - {need: f, any: []}
    - {need: g, all: [{mats: 2}]}
    - {need: h}
  rigde: [{need: a, item: radio}]
";
    misspelt_node: [UnknownField] "needs: {ridge: [{need: a, all: [{an: [radio, mast]}]}]}\n";
    wants: [BadCount, BadCount, UnknownItem] "\
wants:
  ridge: {radio: 0, mast: {value: 1, up-to: 0}, tent: 5}
";
    rules: [TooFew, Together, HandsFree, WrongCarrier, MissingField, WrongCarrier, WrongCarrier,
            UnknownTag, UnknownCarrier, Together, MissingField] "\
rules:
  - {apart: [radio]}
  - {together: [radio, mast], to: ann}
  - {hands-free: 2, for: [ann]}
  - {hands-free: 1, for: truck}
  - {at-most: 2, for: ann}
  - {fixed: radio, to: bo}
  - {reserve: 10 %, for: cy}
  - {keep-off: 'tag:signals', from: ann}
  - {keep-off: radio, from: [an]}
  - {apart: [radio, mast], together: [radio, mast]}
  - {}
carriers:
  people:
    - {id: ann, limit: 20 kg, slots: {hand: 1}}
    - {id: bo, limit: 20 kg}
    - {id: cy, limit: 20 kg, body-mass: 70 kg}
  vehicles: [{id: truck, payload: 500 kg, seats: 1}]
parties:
  ridge: {travel: foot, who: [ann]}
  road: {travel: vehicle, who: [truck, cy]}
";
    goals: [GoalTwice, BadWord, BadQuantity, Together] "\
goals: [wants, wants, lighter, {even: 2}, {keeper: 1 %, hands: 2 %}]
";
    yaml: [NoValue, DuplicateKey, Anchor, Tag] "\
needs: {ridge: ~}
goals: [wants]
goals: [wants]
rules: [&a {apart: !!seq [radio, mast]}]
";
    no_effect: [NoEffect, NoEffect] "\
equipment: [{id: a, mass: 1 kg, hands: 2, pair-shares: [40 %, 60 %]}]
";
    syntax: [Syntax] "rules: [{apart: [radio, mast}]\n";
}
