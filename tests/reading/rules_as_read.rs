//! What `kits/README.md` says of cases at the edge of a key or rule, each shown on a
//! small move: the best plan keeps it, and the audit finds its breach.

use tumpline::kit::read_move_text;
use tumpline::load::*;
use tumpline::split::{Findings, Options, Outcome, Planned, Watch, audit, split};

fn read(text: &str) -> MoveOrder {
    read_move_text("x.move.yaml", text).unwrap_or_else(|e| panic!("{e}")).order
}

fn best(order: &MoveOrder) -> Box<Planned> {
    let answer = split(order, &Options::default(), &Watch::default());
    let Outcome::Plan(planned) = answer.outcome else { panic!("{:?}", answer.outcome) };
    assert!(planned.goals.iter().all(|g| g.proven()), "{:?}", planned.goals);
    planned
}

fn reason(order: &MoveOrder) -> String {
    match split(order, &Options::default(), &Watch::default()).outcome {
        Outcome::NoPlan(reason) => reason.text,
        other => panic!("{other:?}"),
    }
}

fn value(found: &Findings, kind: GoalKind) -> f64 {
    let of = found.goals.iter().find(|g| g.0 == kind).expect("a goal of the move");
    of.1.number()
}

fn there(order: &MoveOrder, planned: &Planned, item: &str) -> u32 {
    let placed = planned.plan.placements().iter();
    placed.filter(|p| order.item(p.item).id == item).map(|p| p.count).sum()
}

const TWO: &str = "people: [{id: ann, limit: 20 kg, duties: [medic]}, {id: bo, limit: 20 kg}]";

/// On a sledge a thing is with nobody, and so away from its keeper.
#[test]
fn what_rides_on_a_hauled_vehicle_is_away_from_its_keeper() {
    let order = read(&format!(
        "move: x\nequipment: [{{id: bag, mass: 3 kg, keeper: medic}}]\n\
         carriers: {{{TWO}, vehicles: [{{id: sledge, payload: 50 kg, hauled: true}}]}}\n\
         parties: {{up: {{travel: foot, who: [ann, bo, sledge]}}}}\n\
         needs: {{up: [{{need: care, item: bag}}]}}\ngoals: [keeper]\n"
    ));
    assert_eq!(value(&best(&order).findings, GoalKind::Keeper), 0.0);
    let on = |c: usize, way| {
        let by = Bearer::One { carrier: CarrierIx(c), way };
        let plan = Plan::new(vec![Placement { by, item: ItemIx(0), count: 1 }]);
        let found = audit(&order, &plan);
        assert_eq!(found.faults, []);
        value(&found, GoalKind::Keeper)
    };
    let misplaced = [on(0, Way::Back), on(1, Way::Back), on(2, Way::Bed)];
    assert_eq!(misplaced, [0.0, 1.0, 1.0]);
}

/// One that is shared may be one of those that are counted.
#[test]
fn a_shared_one_is_not_on_top_of_those_that_are_counted() {
    let move_of = |lamp: &str, radio: u32| {
        read(&format!(
            "move: x\nequipment:\n- {{id: cell, mass: 1 kg, held: 9}}\n\
             - {{id: lamp, mass: 1 kg, held: 9, requires: {{cell: {lamp}}}}}\n\
             - {{id: radio, mass: 1 kg, held: 9, requires: {{cell: 2}}}}\n\
             carriers: {{{TWO}}}\nparties: {{up: {{travel: foot, who: [ann, bo]}}}}\n\
             needs: {{up: [{{need: light, item: {{lamp: 3}}}}{}]}}\ngoals: [lightest]\n",
            if radio > 0 {
                format!(", {{need: call, item: {{radio: {radio}}}}}")
            } else {
                String::new()
            }
        ))
    };
    for (lamp, radio, cells) in
        [("shared", 0, 1), ("shared", 1, 2), ("shared", 2, 4), ("1", 0, 3), ("1", 2, 7)]
    {
        let order = move_of(lamp, radio);
        assert_eq!(there(&order, &best(&order), "cell"), cells, "{lamp}, {radio} radios");
    }
}

/// Who has an end of a thing has it: what goes with it is with either of the two.
#[test]
fn what_goes_with_a_pairs_thing_is_with_one_of_the_pair() {
    let three = "people: [{id: ann, limit: 20 kg}, {id: bo, limit: 20 kg}, {id: cy, limit: 20 kg}]";
    let order = read(&format!(
        "move: x\nequipment: [{{id: mast, mass: 8 kg, carry: [pair]}}, {{id: stay, mass: 2 kg}}]\n\
         carriers: {{{three}}}\nparties: {{up: {{travel: foot, who: [ann, bo, cy]}}}}\n\
         needs: {{up: [{{need: up, all: [mast, stay]}}]}}\nrules: [{{together: [mast, stay]}}]\n\
         goals: [even]\n"
    ));
    best(&order);
    let faults = |who: usize| {
        let pair = Bearer::Pair { first: CarrierIx(0), second: CarrierIx(1) };
        let one = Bearer::One { carrier: CarrierIx(who), way: Way::Back };
        let place = |by, item| Placement { by, item: ItemIx(item), count: 1 };
        let faults = audit(&order, &Plan::new(vec![place(pair, 0), place(one, 1)])).faults;
        faults.iter().map(|f| f.sentence(&order)).collect::<Vec<_>>()
    };
    assert_eq!([faults(0).len(), faults(1).len()], [0, 0]);
    assert_eq!(faults(2), ["mast and stay must be on one carrier of up"]);
    // Two things that only pairs may carry are together if one person has an end
    // of both, which nobody can.
    let two = "{id: mast, mass: 8 kg, carry: [pair]}, {id: stay, mass: 2 kg, carry: [pair]}";
    let order = read(&format!(
        "move: x\nequipment: [{two}]\n\
         carriers: {{{three}}}\nparties: {{up: {{travel: foot, who: [ann, bo, cy]}}}}\n\
         needs: {{up: [{{need: up, all: [mast, stay]}}]}}\nrules: [{{together: [mast, stay]}}]\n"
    ));
    reason(&order);
}

/// Hands kept free for two reasons are the same hands.
#[test]
fn of_several_rules_on_free_hands_the_largest_counts() {
    let move_of = |rules: &str, held: u32| {
        read(&format!(
            "move: x\nequipment: [{{id: can, mass: 1 kg, held: {held}, carry: [hand]}}]\n\
             carriers: {{{TWO}}}\nparties: {{up: {{travel: foot, who: [ann, bo]}}}}\n\
             needs: {{up: [{{need: water, item: {{can: {held}}}}}]}}\nrules: {rules}\n"
        ))
    };
    let twice = "[{hands-free: 1}, {hands-free: 1, for: [ann, bo]}]";
    best(&move_of(twice, 2));
    reason(&move_of(twice, 3));
    let more = "[{hands-free: 1}, {hands-free: 2, for: ann}]";
    best(&move_of(more, 1));
    reason(&move_of(more, 2));
}

/// Who cannot be bound is a fault of the file; what cannot be had is no plan.
#[test]
fn a_rule_that_nobody_can_keep_is_a_fault_or_leaves_no_plan() {
    let text = |rule: &str| {
        format!(
            "move: x\nequipment: [{{id: mast, mass: 2 kg, carry: [bed]}}, {{id: radio, mass: 2 kg}}]\n\
             carriers:\n  people:\n  - {{id: ann, limit: 10 kg, slots: {{hand: 1}}}}\n\
             \x20 - {{id: cy, limit: 10 kg}}\n  - {{id: di, limit: 10 kg, body-mass: 60 kg}}\n\
             \x20 vehicles: [{{id: truck, payload: 200 kg, seats: 1}}]\n\
             parties: {{up: {{travel: foot, who: [ann]}}, road: {{travel: vehicle, who: [truck, di]}}}}\n\
             stays-with: road\nrules: [{rule}]\n"
        )
    };
    for (rule, told) in [
        ("{fixed: radio, to: cy}", "is in no party"),
        ("{fixed: radio, to: di}", "rides, and takes no kit"),
        ("{hands-free: 2, for: ann}", "`ann`"),
    ] {
        let faults = read_move_text("x.move.yaml", &text(rule)).expect_err(rule).to_string();
        assert!(faults.contains(told), "{rule}: {faults}");
    }
    for (rule, told) in [
        ("{fixed: mast, to: ann}", "who may not carry it"),
        ("{fixed: radio, to: ann, count: 2}", "1 are held"),
    ] {
        let why = reason(&read(&text(rule)));
        assert!(why.contains(told), "{rule}: {why}");
    }
}

/// What came to be held since counts as having been in the store, or left.
#[test]
fn newly_held_units_change_hands_once_where_somebody_takes_them() {
    for store in [true, false] {
        let (truck, road) = match store {
            true => (
                ", vehicles: [{id: truck, payload: 99 kg}]",
                ", road: {travel: vehicle, who: [truck]}}\nstays-with: road",
            ),
            false => ("", "}"),
        };
        let order = read(&format!(
            "move: x\nequipment: [{{id: can, mass: 1 kg, held: 5}}]\ncarriers: {{{TWO}{truck}}}\n\
             parties: {{up: {{travel: foot, who: [ann, bo]}}{road}\n\
             needs: {{up: [{{need: water, item: {{can: 2}}}}]}}\n"
        ));
        let placed = |who: usize, way, count| Placement {
            by: Bearer::One { carrier: CarrierIx(who), way },
            item: ItemIx(0),
            count,
        };
        // Three were held then: two with ann, one left; two more since.
        let mut had = vec![placed(0, Way::Back, 2)];
        had.extend(store.then(|| placed(2, Way::Bed, 1)));
        let order = order.changed(|parts| {
            parts.before = Some(Before { plan: Plan::new(had), astray: vec![] });
            parts.goals = vec![Goal { kind: GoalKind::Changes, give: Default::default() }];
        });
        let order = order.expect("a move");
        let changes = |with_ann, with_bo| {
            let mut plan = vec![placed(0, Way::Back, with_ann)];
            plan.extend((with_bo > 0).then(|| placed(1, Way::Back, with_bo)));
            let left = 5 - with_ann - with_bo;
            plan.extend((store && left > 0).then(|| placed(2, Way::Bed, left)));
            let found = audit(&order, &Plan::new(plan));
            assert_eq!(found.faults, []);
            value(&found, GoalKind::Changes)
        };
        assert_eq!([changes(2, 0), changes(2, 2), changes(4, 0)], [0.0, 2.0, 2.0], "{store}");
        assert_eq!(value(&best(&order).findings, GoalKind::Changes), 0.0);
    }
}
