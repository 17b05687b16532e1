//! Loads as a share of body mass, against published guidance.
//!
//! These are checks of arithmetic, not advice: no share of body mass is called
//! safe here. Beside each value stands where it comes from and how far it was
//! checked: *read* is printed in the source itself, *quoted* is printed in a
//! text that cites the source, *reckoned* is our arithmetic on a read value,
//! *recalled* was not found in print and waits for a copy of the source.

use tumpline::kit::{FaultStyle, read_move_text};
use tumpline::load::CarrierIx;
use tumpline::quantity::{Mass, Percent, Units};

fn mass(text: &str) -> Mass {
    text.parse().unwrap_or_else(|e| panic!("{text}: {e}"))
}

fn share(percent: &str, of: &str) -> Mass {
    let percent: Percent = percent.parse().unwrap_or_else(|e| panic!("{percent}: {e}"));
    percent.of_mass_down(mass(of))
}

/// Marine Corps Combat Development Command, *Combat Load Report*, 2003, citing
/// S. L. A. Marshall, *The Soldier's Load*, 1950: a man of 153.6 lb, at 33 %,
/// carries 50.7 lb. Read; 50.688 before it was printed to a tenth.
#[test]
fn a_third_of_an_average_man() {
    assert_eq!(share("33 %", "153.6 lb").rounded(Units::Imperial), "50.69 lb");
    let printed = mass("50.7 lb");
    let off = printed.saturating_sub(share("33 %", "153.6 lb"));
    assert!(off < mass("0.05 lb"), "prints as 50.7 lb, off by {off}");
}

/// FM 3-21.8, *The Infantry Rifle Platoon and Squad*, 2007, paragraphs 7-20 and
/// 7-21: an approach march load of 45 % of body weight at most (read), up to
/// 70 % in an emergency (read); a fighting load of 30 % (quoted, from ADP 3-90).
/// The masses at 75 kg are reckoned, and exact.
#[test]
fn three_march_loads_at_75_kg() {
    for (percent, kg) in [("30 %", "22.5 kg"), ("45 %", "33.75 kg"), ("70 %", "52.5 kg")] {
        assert_eq!(share(percent, "75 kg"), mass(kg), "{percent}");
    }
}

/// FM 21-18, *Foot Marches*, 1990: 48 lb and 72 lb for a soldier of 160 lb
/// (recalled), which are 30 % and 45 % (30 % quoted, 45 % read; see above);
/// 21.77 kg and 32.66 kg are reckoned.
#[test]
fn fighting_and_approach_loads_at_160_lb() {
    for (percent, lb, shown_lb, shown_kg) in
        [("30 %", "48 lb", "48.00 lb", "21.77 kg"), ("45 %", "72 lb", "72.00 lb", "32.66 kg")]
    {
        let load = share(percent, "160 lb");
        assert_eq!(load.rounded(Units::Imperial), shown_lb);
        assert_eq!(load.rounded(Units::Metric), shown_kg);
        // Two roundings to a milligram, of 160 lb and of the load, lie between.
        assert!(mass(lb).saturating_sub(load) <= Mass::from_mg(1), "{percent}");
        assert!(load <= mass(lb), "a limit is rounded down");
    }
}

/// E. Langmuir, *Mountaincraft and Leadership*, 2004, p. 247: never
/// above a third of body weight (quoted, Internet Archaeology 36, 5.2). A third
/// has no finite percentage: ours stops at a ten-thousandth and rounds down, so
/// that nobody gains by it; at 75 kg that costs 25 mg. Reckoned.
#[test]
fn a_third_is_never_more_than_a_third() {
    let third = share("33.3333 %", "75 kg");
    assert!(third <= mass("25 kg"));
    assert_eq!(mass("25 kg").saturating_sub(third), mass("25 mg"));
}

/// The same guidance through a file: a limit given as a share is the share of
/// the body mass, and what is worn counts against it.
#[test]
fn limits_in_a_file_are_the_same_shares() {
    let cases = [
        ("153.6 lb", "33 %", "50.69 lb"), // MCCDC 2003, read: printed as 50.7
        ("160 lb", "30 %", "48.00 lb"),   // FM 21-18, recalled; 30 % quoted
        ("160 lb", "45 %", "72.00 lb"),   // FM 21-18, recalled; 45 % read
        ("75 kg", "30 %", "49.60 lb"),    // FM 3-21.8, reckoned: 22.5 kg
        ("75 kg", "45 %", "74.41 lb"),    // FM 3-21.8, reckoned: 33.75 kg
        ("75 kg", "70 %", "115.74 lb"),   // FM 3-21.8, reckoned: 52.5 kg
    ];
    for (body, limit, shown) in cases {
        let text = format!(
            "move: A walk\n\
             equipment: [{{id: bottle, mass: 1 kg}}]\n\
             carriers: {{people: [{{id: walker, body-mass: {body}, limit: {limit}, worn: 3 lb}}]}}\n\
             parties: {{walk: {{travel: foot, who: [walker]}}}}\n"
        );
        let order = match read_move_text("walk.move.yaml", &text) {
            Ok(read) => read.order,
            Err(faults) => panic!("{}", faults.render(FaultStyle::Plain)),
        };
        let walker = CarrierIx(0);
        assert_eq!(order.usable_limit(walker), share(limit, body), "{limit} of {body}");
        assert_eq!(order.usable_limit(walker).rounded(Units::Imperial), shown);
        assert_eq!(order.burden(walker), mass("3 lb"));
    }
}
