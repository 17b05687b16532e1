//! What people and things use by rate: `kits/README.md`'s "the sum is rounded up", by
//! hand and on moves that had a plan only by that reading.

use std::time::Duration;
use tumpline::load::MoveOrder;
use tumpline::split::{Options, Outcome, Watch, audit, split};

fn read(text: &str) -> MoveOrder {
    tumpline::kit::read_move_text("x.move.yaml", text).expect("a sound move").order
}

/// The fewest meals with which a party's needs are met, of twelve.
fn meals(people: &[&str], gadget: Option<&str>, needs: &str) -> u32 {
    let people: Vec<String> = people
        .iter()
        .enumerate()
        .map(|(k, rate)| format!("{{id: p{k}, limit: 20 kg, uses: {{meals: {rate}}}}}"))
        .collect();
    let who: Vec<String> = (0..people.len()).map(|k| format!("p{k}")).collect();
    let (gadget, more) = match gadget {
        Some(rate) => (
            format!(", {{id: dog, mass: 1 kg, held: 2, uses: {{meals: {rate}}}}}"),
            "    - {need: dogs, item: {dog: 2}}\n",
        ),
        None => (String::new(), ""),
    };
    let order = read(&format!(
        "move: x\nequipment: [{{id: meal, mass: 400 g, held: 12, supplies: {{meals: 1}}}}{gadget}]\n\
         carriers: {{people: [{}]}}\nparties: {{up: {{travel: foot, who: [{}]}}}}\n\
         needs:\n  up:\n{more}{needs}goals: [lightest]\n",
        people.join(", "),
        who.join(", ")
    ));
    let answer = split(&order, &Options::default(), &Watch::default());
    let Outcome::Plan(planned) = answer.outcome else { panic!("no plan: {needs}") };
    assert!(planned.goals.iter().all(|g| g.proven()), "{:?}", planned.goals);
    let found = audit(&order, &planned.plan);
    assert_eq!(found.faults, []);
    let there: u64 = found.supplies.iter().map(|s| s.there).sum();
    assert_eq!(there, found.supplies.iter().map(|s| s.demand).sum::<u64>());
    there as u32
}

#[test]
fn the_sum_is_rounded_up_and_nothing_before_it() {
    let need = |text: &str| format!("    - {{need: eat, supply: meals, {text}}}\n");
    let day = ["1/d"; 3];
    // By hand: three people, 8 h, one meal a day: 3 · 1/3.
    assert_eq!(meals(&day, None, &need("for: 8 h")), 1);
    // A second more is more than one meal.
    assert_eq!(meals(&day, None, &need("for: 8 h 1 s")), 2);
    assert_eq!(meals(&day, None, &need("for: 7 h 59 min 59 s")), 1);
    // 1 · 1.2 = 1.2.
    assert_eq!(meals(&day, None, &need("for: 8 h, slack: 20 %")), 2);
    let second = need("for: 4 h").replace("eat", "again");
    assert_eq!(meals(&day, None, &(need("for: 8 h, slack: 20 %") + &second)), 2);
    // (2 + 1) · 4/3 is 4 sharp; 1.333333 of it is a hair less, 1.333334 more.
    assert_eq!(meals(&day, None, &need("for: 8 h, amount: 2, slack: 33.3333 %")), 4);
    assert_eq!(meals(&day, None, &need("for: 8 h, amount: 2, slack: 33.3334 %")), 5);
    // 3 · 1/3 + 2 · 1/2: the things as well.
    assert_eq!(meals(&day, Some("3/2 d"), &need("for: 8 h")), 2);
    assert_eq!(meals(&day, Some("3/2 d"), &need("for: 8 h 1 s")), 3);
    // Demands add up first: 1/3 + 1/3 + 1/3 of one person, and 1/7 + 6/7.
    let also = |name: &str, text: &str| need(text).replace("eat", name);
    let thrice = need("for: 8 h") + &also("again", "for: 8 h") + &also("more", "for: 8 h");
    assert_eq!(meals(&["1/d"], None, &thrice), 1);
    let week = need("for: 1 h") + &also("again", "for: 6 h");
    assert_eq!(meals(&["1/7 h"], None, &week), 1);
    // Periods that share nothing: 7/7 + 11/11 + 13/13, and a second over.
    let odd = ["1/7 s", "1/11 s", "1/13 s"];
    assert_eq!(meals(&odd, None, &need("for: 0 s, amount: 1")), 1);
    assert_eq!(meals(&["2/1001 s", "5/1001 s", "1/11 s"], None, &need("for: 11 s")), 2);
}

/// Moves that have a plan only if uses are added up before they are rounded.
#[test]
fn moves_that_rounding_too_early_would_make_impossible() {
    let options = Options { time: Duration::from_secs(60), ..Options::default() };
    for text in [
        include_str!("../moves/rates-under-a-choice.move.yaml"),
        include_str!("../moves/rates-with-slack.move.yaml"),
    ] {
        let order = read(text);
        let answer = split(&order, &options, &Watch::default());
        let Outcome::Plan(planned) = answer.outcome else { panic!("{}: no plan", order.name()) };
        assert_eq!(audit(&order, &planned.plan).faults, [], "{}", order.name());
    }
}
