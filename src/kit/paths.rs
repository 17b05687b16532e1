//! Properties: every path that the lowering asks for is in the tree of
//! places, and no text, however torn, makes the reader stumble.

use super::read::Reader;
use crate::load::MoveOrder;
use proptest::prelude::*;
use proptest::sample::subsequence;

const ITEM: &[&str] = &[
    "name: A thing",
    "bulk: 21 L",
    "held: 3",
    "carry: [pair, back, hand]",
    "hands: 2",
    "pair-shares: [60 %, 40 %]",
    "keeper: operator",
    "requires: {1e3: 1, b-1: shared}",
    "supplies: {power: 390 Wh, line: 3 m}",
    "uses: {power: 14 W, water: 1 L}",
    "contents: {headset: 2, b-1: 1}",
    "tags: [signal, 0x10]",
];
const PERSON: &[&str] = &[
    "name: Ann",
    "body-mass: 74 kg",
    "worn: 4 kg",
    "pack: 65 L",
    "duties: [operator, medic]",
    "slots: {back: 6, hand: 1}",
    "slots: {}",
    "uses: {water: 0.25 L/h}",
];
const VEHICLE: &[&str] = &["name: Truck", "bed: 90 L", "seats: 3", "hauled: true"];
const MOVE: &[&str] = &[
    "units: imperial",
    "stays-with: road",
    "wants: {ridge: {a: 5, b-1: {value: 2}, 1e3: {value: 2, up-to: 3}}}",
    "goals: [wants, {even: 2 %}]",
    "goals: [even]",
];
const RULES: &[&str] = &[
    "{apart: [a, b-1]}",
    "{together: [a, 'tag:none', b-1]}",
    "{at-most: 2, of: a, for: p1}",
    "{at-most: 2, of: [a]}",
    "{fixed: a, to: p1, count: 2}",
    "{keep-off: [a, b-1], from: p2}",
    "{keep-off: a, from: [p2, nobody]}",
    "{hands-free: 1}",
    "{hands-free: 3, for: [p1]}",
    "{reserve: 10 %, for: [p1, p2]}",
    "{reserve: 1 kg}",
];

fn some(list: &'static [&'static str]) -> impl Strategy<Value = Vec<&'static str>> {
    subsequence(list, 0..=list.len())
}

/// A node of a need, in flow style.
fn node() -> impl Strategy<Value = String> {
    let leaf = prop_oneof![
        Just("a".to_string()),
        Just("1e3".to_string()),
        Just("{a: 2, b-1: 1}".to_string()),
        Just("{item: a}".to_string()),
        Just("{item: {b-1: 2}}".to_string()),
        Just("{supply: power, for: 3 h, slack: 10 %}".to_string()),
        Just("{supply: line, amount: 3 m, per-person: 1 m}".to_string()),
    ];
    leaf.prop_recursive(4, 20, 4, |inner| {
        (prop::collection::vec(inner, 1..4), 0..3).prop_map(|(list, kind)| {
            let list = list.join(", ");
            match kind {
                0 => format!("{{all: [{list}]}}"),
                1 => format!("{{any: [{list}]}}"),
                _ => format!("{{at-least: 1, of: [{list}]}}"),
            }
        })
    })
}

fn kit() -> impl Strategy<Value = String> {
    let parts = (some(ITEM), some(PERSON), some(VEHICLE), some(MOVE), some(RULES));
    (parts, prop::collection::vec(node(), 0..4)).prop_map(|((i, p, v, m, r), nodes)| {
        let block = |lines: &[&'static str], indent: &str| -> String {
            let mut seen = std::collections::BTreeSet::new();
            let mut out = String::new();
            for line in lines {
                // A key that is listed in two forms is given in one.
                if seen.insert(line.split(':').next()) {
                    out.push_str(&format!("{indent}{line}\n"));
                }
            }
            out
        };
        let rules: String = r.iter().map(|r| format!("  - {r}\n")).collect();
        let needs: String = nodes
            .iter()
            .enumerate()
            .map(|(k, n)| format!("    - {{need: n{k}, all: [{n}]}}\n"))
            .collect();
        let section = |key: &str, text: String| {
            if text.is_empty() { text } else { format!("{key}:\n{text}") }
        };
        format!(
            "move: Größe\nequipment:\n  - id: a\n    mass: 1 kg\n{}  - {{id: b-1, mass: 2 kg}}\n  \
             - {{id: 1e3, mass: 2 kg, size: 1 x 2 x 3 cm}}\ncarriers:\n  people:\n    - id: p1\n      \
             limit: 30 %\n{}    - {{id: p2, limit: 9 kg}}\n  vehicles:\n    - id: v\n      payload: 9 kg\n\
             {}parties:\n  ridge: {{travel: foot, who: [p1]}}\n  road: {{travel: vehicle, who: [v, p2]}}\n\
             {}{}{}",
            block(&i, "    "),
            block(&p, "      "),
            block(&v, "      "),
            block(&m, ""),
            section("rules", rules),
            if needs.is_empty() { needs } else { format!("needs:\n  ridge:\n{needs}") },
        )
    })
}

fn read(text: &str) -> (Reader, bool) {
    let mut reader = Reader::new(None);
    let Ok(id) = reader.sources.add_text("kit", text) else { return (reader, false) };
    let vetted = reader.vet(id);
    let raw = vetted.as_ref().is_some_and(|tree| reader.raw::<super::raw::RawMove>(tree).is_some());
    if let (Some(tree), true) = (&vetted, raw) {
        let parts = reader.parts(tree);
        if reader.sink.errors() == 0 {
            let order = MoveOrder::new(parts.expect("parts of a move without a fault"));
            assert!(order.is_ok(), "{}\n{text}", order.unwrap_err());
        }
    }
    (reader, raw)
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(200))]

    #[test]
    fn every_path_asked_for_is_indexed(text in kit()) {
        let (reader, raw) = read(&text);
        prop_assert!(raw, "{}", reader.sink.finish(reader.sources));
        prop_assert_eq!(reader.misses, 0, "{}", text);
    }

    #[test]
    fn a_torn_kit_is_refused_with_a_place(
        text in kit(), at in 0.0..1.0f64, cut in 0usize..8, put in "[-\\[\\]{}:,&*!|>'\"#%@ \n?~a1]{0,4}"
    ) {
        let chars: Vec<char> = text.chars().collect();
        let from = (chars.len() as f64 * at) as usize;
        let to = (from + cut).min(chars.len());
        let torn: String = chars[..from].iter().copied().chain(put.chars())
            .chain(chars[to..].iter().copied()).collect();
        let (reader, _) = read(&torn);
        prop_assert_eq!(reader.misses, 0, "{}", torn);
        let found = reader.sink.finish(reader.sources);
        for d in found.iter() {
            prop_assert!(d.primary.is_some(), "{}", found);
        }
        prop_assert!(found.is_empty() || !found.to_string().is_empty());
    }
}
