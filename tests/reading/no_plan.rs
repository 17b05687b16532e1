//! Every way in which a move has no plan: exit code 1, the reason in plain
//! words, and where its cause was written.

use crate::common::folder::Folder;
use serde_json::Value;

/// A move for two people and perhaps a truck; `rest` holds its needs and rules.
fn text(equipment: &str, people: &str, store: bool, rest: &str) -> String {
    let (truck, road) = if store {
        (
            ", vehicles: [{id: truck, payload: 500 kg}]",
            ", road: {travel: vehicle, who: [truck]}}\nstays-with: road\n",
        )
    } else {
        ("", "}\n")
    };
    format!(
        "move: Up the hill\nequipment: [{equipment}]\ncarriers: {{people: [{people}]{truck}}}\n\
         parties: {{up: {{travel: foot, who: [ann, bo]}}{road}{rest}\n"
    )
}

const PEOPLE: &str = "{id: ann, limit: 12 kg, worn: 3 kg}, {id: bo, limit: 12 kg, worn: 3 kg}";

fn split(move_order: &str) -> (i32, Value) {
    let folder = Folder::with("hill.move.yaml", move_order);
    let done = folder.run(["split", "hill.move.yaml", "--format", "json"]);
    (done.code, done.json())
}

/// The move has no plan, and is told why in these words; with `mend` in place
/// of the cause it has one.
fn no_plan(move_order: &str, words: &[&str], line: Option<u64>, mend: (&str, &str)) {
    let (code, told) = split(move_order);
    assert_eq!((code, &told["status"]), (1, &"no-plan".into()), "{move_order}");
    let reason = told["reason"]["text"].as_str().expect("a reason");
    for word in words {
        assert!(reason.contains(word), "{word:?} in {reason:?}");
    }
    assert!(!reason.ends_with('.') && reason.starts_with(char::is_alphanumeric), "{reason}");
    assert_eq!(told["reason"]["place"]["line"].as_u64(), line, "{reason}");
    assert!(move_order.contains(mend.0));
    let mended = move_order.replacen(mend.0, mend.1, 1);
    let (code, told) = split(&mended);
    assert_eq!(code, 0, "{:?}\n{mended}", told["reason"]);
}

#[test]
fn an_item_that_nobody_may_carry() {
    let equipment = "{id: mast, mass: 2 kg, carry: [bed]}";
    let rest = "needs: {up: [{need: mast up, item: mast}]}";
    no_plan(
        &text(equipment, PEOPLE, true, rest),
        &["need `mast up`", "nobody in party `up` may carry", "`mast`"],
        Some(6),
        ("[bed]", "[back]"),
    );
    let kept = format!("{rest}\nrules: [{{keep-off: mast, from: [ann, bo]}}]");
    no_plan(
        &text("{id: mast, mass: 2 kg}", PEOPLE, true, &kept),
        &["nobody in party `up` may carry"],
        Some(6),
        ("[ann, bo]}]", "[ann]}]"),
    );
}

#[test]
fn an_item_that_nobody_can_carry() {
    let equipment = "{id: chest, name: Tool chest, mass: 9.5 kg}";
    let rest = "needs: {up: [{need: tools, item: chest}]}";
    no_plan(
        &text(equipment, PEOPLE, true, rest),
        &["need `tools`", "nobody in party `up` can carry Tool chest (`chest`) (9.50 kg)"],
        Some(6),
        ("9.5 kg", "9 kg"),
    );
    // Bulk, hands and slots alone rule it out as well.
    let people = "{id: ann, limit: 12 kg, pack: 20 L}, {id: bo, limit: 12 kg, pack: 20 L}";
    let bulky = "{id: chest, mass: 5 kg, bulk: 21 L}";
    no_plan(&text(bulky, people, true, rest), &["can carry"], Some(6), ("21 L", "20 L"));
    let held = "{id: chest, mass: 5 kg, carry: [hand], hands: 2}";
    let free = format!("{rest}\nrules: [{{hands-free: 1}}]");
    no_plan(&text(held, PEOPLE, true, &free), &["can carry"], Some(6), ("hands: 2", "hands: 1"));
}

#[test]
fn must_haves_heavier_than_all_limits() {
    let equipment = "{id: stone, mass: 4 kg, held: 6}";
    let rest = "needs: {up: [{need: cairn, item: {stone: 5}}]}";
    no_plan(
        &text(equipment, PEOPLE, false, rest),
        &["party `up`", "at least 20.00 kg", "leave 18.00 kg"],
        Some(4),
        ("stone: 5", "stone: 4"),
    );
}

#[test]
fn a_group_too_heavy_to_stay_together() {
    let equipment = "{id: radio, mass: 5 kg}, {id: battery, mass: 4.1 kg}";
    let rest = "needs: {up: [{need: call, all: [radio, battery]}]}\n\
                rules: [{together: [radio, battery]}]";
    no_plan(
        &text(equipment, PEOPLE, true, rest),
        &["together weighs 9.10 kg", "more than 9.00 kg"],
        Some(7),
        ("4.1 kg", "4 kg"),
    );
}

#[test]
fn more_things_apart_than_carriers() {
    let equipment = "{id: a, mass: 1 kg}, {id: b, mass: 1 kg}, {id: c, mass: 1 kg}";
    let rest = "needs: {up: [{need: spares, all: [a, b, c]}]}\nrules: [{apart: [a, b, c]}]";
    no_plan(
        &text(equipment, PEOPLE, true, rest),
        &["3 things that must go are to be apart", "`up` has 2"],
        Some(7),
        ("[{apart: [a, b, c]}]", "[{apart: [a, b]}]"),
    );
}

#[test]
fn a_need_for_more_than_is_held() {
    let equipment = "{id: lamp, mass: 1 kg, held: 2}, {id: box, mass: 2 kg, contents: {lamp: 1}}";
    let rest = "needs: {up: [{need: light, item: {lamp: 4}}]}";
    no_plan(
        &text(equipment, PEOPLE, true, rest),
        &["need `light`", "4 of", "`lamp`", "3 are held in all"],
        Some(6),
        ("lamp: 4", "lamp: 3"),
    );
}

#[test]
fn a_supply_that_runs_short() {
    let equipment = "{id: can, mass: 1.1 kg, held: 3, supplies: {water: 1 L}}";
    let rest = "needs: {up: [{need: drink, supply: water, per-person: 1.4 L, slack: 10 %}]}";
    no_plan(
        &text(equipment, PEOPLE, false, rest),
        &["need `drink`", "3.1 L of water are asked for with slack", "makes 3.0 L"],
        Some(5),
        ("slack: 10 %", "slack: 7 %"),
    );
}

#[test]
fn more_fixed_than_is_held() {
    let equipment = "{id: flare, mass: 300 g, held: 2}";
    no_plan(
        &text(equipment, PEOPLE, true, "rules: [{fixed: flare, to: ann, count: 3}]"),
        &["3 of", "fixed to `ann`", "2 are held"],
        Some(6),
        ("count: 3", "count: 2"),
    );
    no_plan(
        &text(
            "{id: flare, mass: 300 g}",
            PEOPLE,
            true,
            "rules: [{fixed: flare, to: ann}, {keep-off: flare, from: ann}]",
        ),
        &["fixed to `ann`, who may not carry it"],
        Some(6),
        ("from: ann", "from: bo"),
    );
}

#[test]
fn more_worn_than_the_limit() {
    let people = "{id: ann, limit: 12 kg, worn: 12.5 kg}, {id: bo, limit: 12 kg}";
    no_plan(
        &text("{id: rope, mass: 2 kg}", people, true, ""),
        &["(`ann`) wears 12.50 kg before taking anything", "is 12.00 kg"],
        Some(3),
        ("12.5 kg", "12 kg"),
    );
    // A reserve counts, and so do the people aboard a vehicle.
    no_plan(
        &text("{id: rope, mass: 2 kg}", PEOPLE, true, "rules: [{reserve: 9.5 kg}]"),
        &["wears 3.00 kg", "is 2.50 kg"],
        Some(3),
        ("9.5 kg", "9 kg"),
    );
    let riding = "move: By sledge\nequipment: [{id: rope, mass: 2 kg}]\n\
                  carriers: {people: [{id: ann, body-mass: 60 kg, limit: 20 kg, worn: 2 kg}],\n\
                  \x20 vehicles: [{id: cart, payload: 61 kg, seats: 1}]}\n\
                  parties: {road: {travel: vehicle, who: [cart, ann]}}\n";
    no_plan(riding, &["has people aboard of 62.00 kg"], Some(4), ("61 kg", "62 kg"));
}

#[test]
fn a_store_that_cannot_keep_the_rest() {
    let equipment = "{id: anvil, mass: 100 kg, held: 6}";
    no_plan(
        &text(equipment, PEOPLE, true, ""),
        &["everything held weighs 600.00 kg", "518.00 kg", "party `road`"],
        Some(4),
        ("held: 6", "held: 5"),
    );
}

/// What no cheap check sees: three things of 4 kg for two who can take 7 kg.
#[test]
fn a_packing_that_cannot_be() {
    let people = "{id: ann, limit: 7 kg}, {id: bo, limit: 7 kg}";
    let rest = "needs: {up: [{need: stakes, item: {stake: 3}}]}";
    no_plan(
        &text("{id: stake, mass: 4 kg, held: 3}", people, true, rest),
        &["must take 3 things", "4.00 kg or more", "`stake`", "place for 2"],
        Some(4),
        ("mass: 4 kg", "mass: 3.5 kg"),
    );
}

/// Of three boxes two go in one pack each, whatever room the sum leaves.
#[test]
fn packs_too_small_for_whole_boxes() {
    let people = "{id: ann, limit: 20 kg, pack: 20 L}, {id: bo, limit: 20 kg, pack: 20 L}";
    let rest = "needs: {up: [{need: shelter, item: {tent-box: 3}}]}";
    no_plan(
        &text("{id: tent-box, mass: 2 kg, bulk: 12 L, held: 3, carry: [back]}", people, true, rest),
        &["must take 3 things", "12.0 L or more", "`tent-box`", "room of its packs", "place for 2"],
        Some(4),
        ("bulk: 12 L", "bulk: 10 L"),
    );
}

/// 19 kg on 20, and two things each: but nothing goes beside 7 kg, and the
/// other three weigh 12.
#[test]
fn gaps_that_whole_things_leave() {
    let people = "{id: ann, limit: 10 kg}, {id: bo, limit: 10 kg}";
    let equipment = "{id: winch, mass: 7 kg}, {id: anchor, mass: 4 kg, held: 3}";
    let rest = "needs: {up: [{need: haul, all: [{winch: 1}, {anchor: 3}]}]}";
    no_plan(
        &text(equipment, people, true, rest),
        &["cannot be packed", "4.00 kg or more", "`winch`", "`anchor`", "too much of them empty"],
        Some(4),
        ("mass: 7 kg", "mass: 6 kg"),
    );
}

/// Requirements, alternatives and uses that only the program sees.
#[test]
fn a_chain_of_requirements_too_long() {
    let equipment = "{id: pump, mass: 5 kg, requires: {hose: 2}}, \
                     {id: hose, mass: 3 kg, held: 2, requires: {clamp: 2}}, \
                     {id: clamp, mass: 500 g, held: 4}, {id: bucket, mass: 14 kg}";
    let rest = "needs: {up: [{need: water out, any: [pump, bucket]}]}";
    no_plan(
        &text(equipment, PEOPLE, true, rest).replace("12 kg", "9 kg"),
        &["cannot all hold at once"],
        None,
        ("mass: 5 kg", "mass: 4 kg, carry: [pair]"),
    );
}
