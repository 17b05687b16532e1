//! Quantities: what is printed reads back, what is not a quantity is refused
//! with the right help, and conversions agree with their published definitions.

use proptest::prelude::*;
use std::fmt::{Debug, Display};
use std::str::FromStr;
use tumpline::quantity::{
    Amount, Bulk, Dimension, Energy, ExactSum, Length, Mass, Percent, QuantityError, Rate, Span,
    Units,
};

fn reads_back<T>(x: T) -> Result<(), TestCaseError>
where
    T: FromStr<Err = QuantityError> + Display + PartialEq + Debug + Copy,
{
    let text = x.to_string();
    let back = text.parse::<T>();
    prop_assert_eq!(back, Ok(x), "printed as `{}`", text);
    // A unit may touch its number: `4.2kg`.
    let touching: String = text.split(' ').collect();
    prop_assert_eq!(touching.parse::<T>(), Ok(x), "touching: `{}`", touching);
    let spaced = format!("  {} ", text.replace(' ', "   "));
    prop_assert_eq!(spaced.parse::<T>(), Ok(x), "spaced: `{}`", spaced);
    Ok(())
}

/// The whole range, its ends and small numbers alike.
fn up_to(most: u64) -> impl Strategy<Value = u64> {
    prop_oneof![0..=most, 0..=most.min(5000), Just(0), Just(most)]
}

fn amounts() -> impl Strategy<Value = Amount> {
    prop_oneof![
        up_to(Length::MOST.mm()).prop_map(|n| Amount::new(Dimension::Length, n)),
        up_to(Energy::MOST.mwh()).prop_map(|n| Amount::new(Dimension::Energy, n)),
        up_to(Bulk::MOST.ml()).prop_map(|n| Amount::new(Dimension::Bulk, n)),
        up_to(Mass::MOST.mg()).prop_map(|n| Amount::new(Dimension::Mass, n)),
        up_to(Amount::MOST_COUNT).prop_map(|n| Amount::new(Dimension::Count, n)),
    ]
}

proptest! {
    #[test]
    fn masses_read_back(mg in up_to(Mass::MOST.mg())) {
        reads_back(Mass::from_mg(mg))?;
    }
    #[test]
    fn bulks_read_back(ml in up_to(Bulk::MOST.ml())) {
        reads_back(Bulk::from_ml(ml))?;
    }
    #[test]
    fn lengths_read_back(mm in up_to(Length::MOST.mm())) {
        reads_back(Length::from_mm(mm))?;
    }
    #[test]
    fn energies_read_back(mwh in up_to(Energy::MOST.mwh())) {
        reads_back(Energy::from_mwh(mwh))?;
    }
    #[test]
    fn spans_read_back(s in up_to(Span::MOST.s())) {
        reads_back(Span::from_s(s))?;
    }
    #[test]
    fn percents_read_back(ppm in up_to(Percent::MOST.ppm())) {
        reads_back(Percent::from_ppm(ppm))?;
    }
    #[test]
    fn amounts_read_back(amount in amounts()) {
        reads_back(amount)?;
    }
    #[test]
    fn rates_read_back(amount in amounts(), per in 1..=Span::MOST.s()) {
        for s in [per, 60, 3600, 86_400] {
            reads_back(Rate { amount, per: Span::from_s(s) })?;
        }
    }

    /// No text, however odd, panics, and what is refused says how to mend it.
    #[test]
    fn any_text_is_read_or_refused(text in "\\PC{0,40}") {
        check_refusals(&text)?;
    }
    /// Near misses: made of the pieces that quantities are made of.
    #[test]
    fn near_misses_are_read_or_refused(
        text in "([0-9]{0,3}|[0-9]{17,20}|[.,xe/%³×*-]| |kg|g|lb|oz|L|m|in|ft|h|min|W|Wh|d){0,9}"
    ) {
        check_refusals(&text)?;
    }

    /// Against long arithmetic of another kind: digits moved as text.
    #[test]
    fn grams_are_read_digit_by_digit(g in 0..100_000_000u64, tail in "[0-9]{0,6}") {
        let read = format!("{g}.{tail}0 g").parse::<Mass>();
        let padded = format!("{tail}0000");
        let mg: u64 = format!("{g}{}", &padded[..3]).parse().unwrap();
        let up = u64::from(padded.as_bytes()[3] >= b'5');
        prop_assert_eq!(read, Ok(Mass::from_mg(mg + up)));
    }
    /// What a table shows is never further than half its last digit from the
    /// truth, and a half goes up.
    #[test]
    fn tables_round_half_up(mg in up_to(Mass::MOST.mg())) {
        let shown = digits(&Mass::from_mg(mg).rounded(Units::Metric), " kg");
        prop_assert!(nearest(mg.into(), shown, 10_000), "{} {}", mg, shown);
        // A hundredth of a pound is 4535.9237 mg.
        let shown = digits(&Mass::from_mg(mg).rounded(Units::Imperial), " lb");
        prop_assert!(nearest(u128::from(mg) * 10_000, shown, 45_359_237), "{} {}", mg, shown);
    }
    #[test]
    fn other_tables_round_half_up(n in up_to(Bulk::MOST.ml())) {
        prop_assert!(nearest(n.into(), digits(&Bulk::from_ml(n).rounded(), " L"), 100));
        prop_assert!(nearest(n.into(), tenths(&Energy::from_mwh(n).rounded(), " Wh"), 100));
        let length = Length::from_mm(n);
        prop_assert!(nearest(n.into(), tenths(&length.rounded(Units::Metric), " m"), 100));
        // A tenth of a yard is 91.44 mm.
        let shown = tenths(&length.rounded(Units::Imperial), " yd");
        prop_assert!(nearest(u128::from(n) * 100, shown, 9144));
    }

    #[test]
    fn a_share_down_and_a_share_up_enclose_the_truth(
        ppm in up_to(Percent::MOST.ppm()), base in up_to(1_000_000_000_000),
    ) {
        let share = Percent::from_ppm(ppm);
        let truth = u128::from(base) * u128::from(ppm); // in millionths
        let (down, up) = (u128::from(share.of_down(base)), u128::from(share.of_up(base)));
        prop_assert!(down * 1_000_000 <= truth && truth < (down + 1) * 1_000_000);
        prop_assert!(truth <= up * 1_000_000 && up * 1_000_000 < truth + 1_000_000);
        prop_assert_eq!(up - down, u128::from(truth % 1_000_000 != 0));
    }
    #[test]
    fn what_a_rate_uses_is_rounded_up_once(
        base in up_to(1_000_000), per in 1..=86_400u64, time in up_to(Span::MOST.s()),
    ) {
        let rate = Rate { amount: Amount::new(Dimension::Bulk, base), per: Span::from_s(per) };
        let used = u128::from(rate.over(Span::from_s(time)));
        let truth = u128::from(base) * u128::from(time); // in 1/per
        prop_assert!(truth <= used * u128::from(per));
        prop_assert!(used * u128::from(per) < truth + u128::from(per));
    }
    #[test]
    fn a_sum_of_fractions_is_rounded_up_once(
        fractions in prop::collection::vec((up_to(100_000), 1..=60u64), 0..9),
    ) {
        // All of them in parts of the least common multiple of 1 to 60.
        let all = (1..=60u128).fold(1, |all, n| all / gcd(all, n) * n);
        let mut sum = ExactSum::default();
        let mut truth = 0u128;
        for (above, below) in fractions {
            sum.add(above.into(), below);
            truth += u128::from(above) * (all / u128::from(below));
        }
        prop_assert_eq!(u128::from(sum.ceil()), truth.div_ceil(all));
    }
}

fn gcd(a: u128, b: u128) -> u128 {
    if b == 0 { a } else { gcd(b, a % b) }
}

/// A telescope: 1/(1·2) + 1/(2·3) + … + 1/((m - 1)·m) is 1 - 1/m, over a common
/// denominator of far more than 128 bits.
#[test]
fn sums_of_fractions_are_exact_beyond_all_common_denominators() {
    let mut sum = ExactSum::default();
    (1..300u64).for_each(|k| sum.add(1, k * (k + 1)));
    assert_eq!(sum.ceil(), 1);
    sum.add(1, 300);
    assert_eq!(sum.ceil(), 1);
    sum.add(1, u64::MAX);
    assert_eq!(sum.ceil(), 2);
    sum.add(u128::from(u64::MAX) - 1, u64::MAX);
    assert_eq!(sum.ceil(), 2);
    sum.add(u128::MAX, 0);
    assert_eq!((sum.ceil(), ExactSum::default().ceil()), (u64::MAX, 0));
}

fn check_refusals(text: &str) -> Result<(), TestCaseError> {
    fn one<T>(read: Result<T, QuantityError>) -> Result<(), TestCaseError> {
        if let Err(e) = read {
            for said in [e.to_string(), e.help()] {
                prop_assert!(!said.is_empty() && !said.ends_with('.'), "{:?}", said);
            }
        }
        Ok(())
    }
    one(text.parse::<Mass>())?;
    one(text.parse::<Bulk>())?;
    one(Bulk::from_size(text))?;
    one(text.parse::<Length>())?;
    one(text.parse::<Energy>())?;
    one(text.parse::<Span>())?;
    one(text.parse::<Percent>())?;
    one(text.parse::<Amount>())?;
    one(text.parse::<Rate>())
}

/// The digits of a shown number with a fixed count of decimals: `9.60 kg` → 960.
fn digits(shown: &str, unit: &str) -> u128 {
    let number = shown.strip_suffix(unit).expect("the unit");
    number.replace('.', "").parse().expect("digits")
}

/// In tenths, where a zero decimal is not shown: `9 Wh` → 90.
fn tenths(shown: &str, unit: &str) -> u128 {
    let number = shown.strip_suffix(unit).expect("the unit");
    let full = if number.contains('.') { number.to_string() } else { format!("{number}.0") };
    digits(&full, "")
}

/// Whether `shown` is `value / step` rounded half up.
fn nearest(value: u128, shown: u128, step: u128) -> bool {
    let twice = 2 * value;
    let low = (2 * shown * step).saturating_sub(step);
    low <= twice && twice < 2 * shown * step + step
}

fn mass(text: &str) -> Mass {
    text.parse().unwrap_or_else(|e| panic!("{text}: {e}"))
}

/// Weights and Measures: the United States and Commonwealth standards bodies'
/// agreement of 1 July 1959 (Federal Register 59-5442; UK Weights and Measures
/// Act 1985, schedule 1): 1 lb = 0.453 592 37 kg, 1 yd = 0.9144 m, exactly.
#[test]
fn pound_and_yard_are_those_of_1959() {
    assert_eq!("1 yd".parse::<Length>(), Ok(Length::from_mm(914))); // 914.4
    assert_eq!("10 yd".parse::<Length>(), Ok(Length::from_mm(9144)));
    // The base unit is a milligram, so let the pound be large enough to show
    // every digit of its definition.
    assert_eq!(mass("1 lb"), Mass::from_mg(453_592)); // 453 592.37
    assert_eq!(mass("100 lb"), Mass::from_mg(45_359_237));
    assert_eq!(mass("1 oz"), Mass::from_mg(28_350)); // 28 349.523 125
    // 1 oz = 28.349 523 125 g exactly: 16 oz to the pound, 1600 to a hundred.
    assert_eq!(mass("1600 oz"), mass("100 lb"));
    assert_eq!(mass("1000000 oz"), Mass::from_mg(28_349_523_125));
    assert_eq!("3 ft".parse::<Length>(), "1 yd".parse());
    assert_eq!("36 in".parse::<Length>(), "1 yd".parse());
    assert_eq!("1760 yd".parse::<Length>(), "1 mi".parse());
    // 1 mi = 1609.344 m.
    assert_eq!("1 mi".parse::<Length>(), Ok(Length::from_mm(1_609_344)));
}

/// By hand: 9 · 453 592.37 + 4 · 28 349.523 125 = 4 195 729.4225 mg.
#[test]
fn compound_masses_are_rounded_once() {
    assert_eq!(mass("9 lb 4 oz"), Mass::from_mg(4_195_729));
    assert_eq!(mass("9lb4oz"), mass("9 lb 4 oz"));
    assert_eq!(mass("9 lbs 4 oz"), mass("9 lb 4 oz"));
    assert_eq!(mass("9.25 lb"), mass("9 lb 4 oz"));
    // Each half rounds up alone; together they are one milligram, not two.
    assert_eq!(mass("0.5 mg"), Mass::from_mg(1));
    assert_eq!(mass("0.5 mg 0.5 mg"), Mass::from_mg(1));
    assert_eq!(mass("0.4 mg 0.4 mg"), Mass::from_mg(1));
    assert_eq!(mass("0.49 mg"), Mass::ZERO);
    assert_eq!("1 h 30 min".parse::<Span>(), Ok(Span::from_s(5400)));
    assert_eq!("2 d 3 h 4 min 5 s".parse::<Span>(), Ok(Span::from_s(183_845)));
    assert_eq!(Span::from_s(5400).to_string(), "1 h 30 min");
}

/// By hand: 42 · 31 · 17 = 22 134 cm³; 10 · 10 · 10 in = 16.387 064 L exactly,
/// for 1 in = 25.4 mm (1959).
#[test]
fn boxes_have_the_volume_of_their_sides() {
    let size = |t: &str| Bulk::from_size(t).map(Bulk::ml);
    assert_eq!(size("42 x 31 x 17 cm"), Ok(22_134));
    assert_eq!(Bulk::from_size("42 x 31 x 17 cm").map(|b| b.to_string()), Ok("22.134 L".into()));
    for same in ["42×31×17cm", "420 x 310 x 170 mm", "0.42 * 0.31 * 0.17 m"] {
        assert_eq!(size(same), Ok(22_134), "{same}");
    }
    assert_eq!(size("10 x 10 x 10 in"), Ok(16_387));
    assert_eq!(size("1 x 1 x 0.5 cm"), Ok(1)); // half a millilitre goes up
    assert_eq!(size("1 x 1 x 0.49 cm"), Ok(0));
}

#[test]
fn shares_go_down_for_limits_and_up_for_burdens() {
    // By hand: 33.3333 % of 3 is 0.999 999.
    let third: Percent = "33.3333 %".parse().unwrap();
    assert_eq!((third.of_down(3), third.of_up(3)), (0, 1));
    assert_eq!((Percent::HALF.of_down(7), Percent::HALF.of_up(7)), (3, 4));
    assert_eq!((Percent::HALF.of_down(8), Percent::HALF.of_up(8)), (4, 4));
    assert_eq!(Percent::WHOLE.of_down(u64::MAX), u64::MAX);
    assert_eq!(Percent::ZERO.of_up(u64::MAX), 0);
}

#[test]
fn rates_run_for_their_time() {
    let over =
        |rate: &str, time: &str| rate.parse::<Rate>().unwrap().over(time.parse::<Span>().unwrap());
    // By hand: 14 W for 18 h is 252 Wh; 0.5 L/h for 90 min is 750 mL; 2 L/d for
    // a minute is 1.39 mL, and so 2.
    assert_eq!(over("14 W", "18 h"), 252_000);
    assert_eq!(over("14W", "18h"), 252_000);
    assert_eq!(over("0.5 L/h", "1 h 30 min"), 750);
    assert_eq!(over("2 L/d", "1 min"), 2);
    assert_eq!(over("4 L/min", "2 h"), 480_000);
    assert_eq!(over("1/h", "7 h"), 7);
    assert_eq!(over("3/8 h", "24 h"), 9);
    assert_eq!(over("14 W", "0 h"), 0);
    assert_eq!("4 L/min".parse::<Rate>().unwrap().to_string(), "4 L/min");
    assert_eq!("1.5 kW".parse::<Rate>().unwrap().to_string(), "1500 W");
}

#[test]
fn tables_show_the_right_digit() {
    let kg = |mg| Mass::from_mg(mg).rounded(Units::Metric);
    assert_eq!(kg(0), "0.00 kg");
    assert_eq!(kg(4_999), "0.00 kg");
    assert_eq!(kg(5_000), "0.01 kg"); // half up
    assert_eq!(kg(9_995_000), "10.00 kg"); // the carry runs through
    assert_eq!(kg(9_994_999), "9.99 kg");
    // 1 lb is 453 592.37 mg, so the nearest milligram still shows one pound.
    assert_eq!(mass("1 lb").rounded(Units::Imperial), "1.00 lb");
    assert_eq!(mass("9 lb 4 oz").rounded(Units::Imperial), "9.25 lb");
    assert_eq!(mass("153.6 lb").rounded(Units::Imperial), "153.60 lb");
    assert_eq!(Bulk::from_ml(22_150).rounded(), "22.2 L");
    assert_eq!(Bulk::from_ml(22_149).rounded(), "22.1 L");
    assert_eq!(Length::from_mm(350_000).rounded(Units::Metric), "350 m");
    assert_eq!(Length::from_mm(350_049).rounded(Units::Metric), "350 m");
    assert_eq!(Length::from_mm(350_050).rounded(Units::Metric), "350.1 m");
    assert_eq!(Length::from_mm(9_144).rounded(Units::Imperial), "10 yd");
    assert_eq!(Energy::from_mwh(356_449).rounded(), "356.4 Wh");
    // Sums stop at the largest number instead of running over; they still print.
    assert_eq!(kg(u64::MAX), "18446744073709.55 kg");
    assert_eq!(Bulk::from_ml(u64::MAX).rounded(), "18446744073709551.6 L");
    assert_eq!(Length::from_mm(u64::MAX).rounded(Units::Metric), "18446744073709551.6 m");
}

/// What is refused, why, and what the help offers.
#[test]
fn what_is_no_quantity_is_refused_with_help() {
    use QuantityError::*;
    let refused = |text: &str| match text.parse::<Mass>() {
        Err(e) => e,
        Ok(m) => panic!("`{text}` was read as {m}"),
    };
    for blank in ["", "  ", "\t"] {
        assert_eq!(refused(blank), Empty);
    }
    assert_eq!(refused("").help(), "write a number and a unit, as in `4.2 kg`");
    for text in ["NaN", "inf", ".nan", ".inf", "kg", "infinity kg", "~", "null"] {
        assert!(matches!(refused(text), NotANumber { .. }), "{text}: {:?}", refused(text));
    }
    for text in ["-1 kg", "+1 kg", "−1 kg", "-0 kg", "1 kg -2 g"] {
        assert!(matches!(refused(text), Signed { .. }), "{text}: {:?}", refused(text));
    }
    for text in [".5 kg", "5. kg", "1.2.3 kg", "4_2 kg", "1/2 kg", "٤ kg", "½ kg"] {
        assert!(matches!(refused(text), NotANumber { .. }), "{text}: {:?}", refused(text));
    }
    assert_eq!(refused("4,2 kg"), Comma { text: "4,2".into() });
    assert_eq!(refused("4,2 kg").help(), "use a point: `4.2`");
    // A thousand or one? Nobody knows, so no number is put in the user's mouth.
    for text in ["1,000 kg", "1,000,000 kg"] {
        assert_eq!(refused(text).help(), "use a point for decimals and nothing between thousands");
    }
    // All of it is quoted, and nothing after it.
    assert_eq!(refused(".nan"), NotANumber { text: ".nan".into() });
    assert_eq!(refused("1.2.3 kg"), NotANumber { text: "1.2.3".into() });
    assert_eq!(refused("4.2").to_string(), "`4.2` has no unit");
    let units = "kg, g, mg, t, lb, oz";
    let help = format!("add a unit, as in `4.2 kg`; allowed here: {units}");
    assert_eq!(refused("4.2").help(), help);
    assert_eq!(refused("4 kg 2"), NoUnit { number: "2".into(), allowed: units });
    // An exponent reads as a unit, so the help lists the units there are.
    for text in ["4.2 stone", "1e3", "1e3 kg", "4.2 KG", "4.2 L", "4.2 kilo", "4.2 kg%"] {
        assert!(matches!(refused(text), UnknownUnit { .. }), "{text}: {:?}", refused(text));
        assert_eq!(refused(text).help(), "allowed here: kg, g, mg, t, lb, oz");
    }
    assert_eq!(refused("4.2 stone").to_string(), "unknown unit `stone`");
    let long = "1234567890".repeat(4);
    for text in [format!("{long} kg"), format!("0.{long} kg"), long.clone()] {
        assert!(matches!(refused(&text), TooLarge { .. }), "{text}: {:?}", refused(&text));
    }
    assert_eq!(refused("100.000001 t").help(), "the most that can be given is 100 t");
    assert_eq!(mass("100 t"), Mass::MOST);
    // Zeros that say nothing are no digits.
    assert_eq!(mass(&format!("{0}4.2{0} kg", "0".repeat(40))), mass("4.2 kg"));
}

#[test]
fn other_kinds_refuse_what_is_not_theirs() {
    use QuantityError::*;
    assert!(matches!("1 h".parse::<Bulk>(), Err(UnknownUnit { .. })));
    assert!(matches!("10 %".parse::<Mass>(), Err(UnknownUnit { .. })));
    assert!(matches!("10".parse::<Percent>(), Err(NoUnit { .. })));
    assert_eq!("10".parse::<Percent>().unwrap_err().help(), "add the unit: `10 %`");
    assert!("4".parse::<Bulk>().unwrap_err().help().starts_with("add a unit, as in `4 L`;"));
    assert!("4".parse::<Span>().unwrap_err().help().starts_with("add a unit, as in `4 h`;"));
    assert!("4.5".parse::<Amount>().unwrap_err().help().ends_with("or a plain number"));
    assert!("14".parse::<Rate>().unwrap_err().help().starts_with("add a unit, as in `14 W`;"));
    assert!(matches!("1000.1 %".parse::<Percent>(), Err(TooLarge { .. })));
    assert!(matches!("1001 d".parse::<Span>(), Err(TooLarge { .. })));
    assert!("1 L 2 L".parse::<Bulk>().is_err(), "no compound bulk");
    for text in
        ["42 x 31 cm", "42 x 31 x 17", "42 31 17 cm", "1x2x3x4 cm", "", "cm", "4 x 3 x 2 kg"]
    {
        assert!(matches!(Bulk::from_size(text), Err(BadSize { .. })), "{text}");
    }
    assert!(matches!(Bulk::from_size("4,2 x 3 x 2 cm"), Err(Comma { .. })));
    assert!(matches!(Bulk::from_size("-4 x 3 x 2 cm"), Err(Signed { .. })));
    assert!(matches!(Bulk::from_size("1000 x 1000 x 1000 m"), Err(TooLarge { .. })));
    let amount = |t: &str| t.parse::<Amount>().map(|a| a.dimension);
    assert_eq!(amount("12"), Ok(Dimension::Count));
    assert_eq!(amount("12 Wh"), Ok(Dimension::Energy));
    assert!(matches!(amount("12 h"), Err(UnknownUnit { .. })));
    assert!(matches!(amount("1.5"), Err(NoUnit { .. })), "pieces are whole");
    assert!(matches!(amount("-3"), Err(Signed { .. })));
    assert!(matches!(amount(&"9".repeat(40)), Err(TooLarge { .. })));
    for rate in ["14", "14 Wh", "14 kg", "3 L/0 h", "3 L/", "3 L/kg", "/h", "W", "2 L//h"] {
        assert!(rate.parse::<Rate>().is_err(), "{rate}");
    }
    for rate in ["14", "14 Wh", "14 kg", "3 L/kg"] {
        let e = rate.parse::<Rate>().unwrap_err();
        assert!(e.help().contains("0.5 L/h"), "{rate}: {}", e.help());
    }
}
