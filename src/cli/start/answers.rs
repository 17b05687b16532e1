//! What a first kit is made of, each answer checked with what is allowed.

use crate::kit::quoted;
use crate::quantity::{Mass, Percent, QuantityError, Units};
use tumpline_core::text::clean;

/// All that the files hang on. The texts are fit to be written.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Answers {
    pub name: String,
    pub people: u32,
    pub vehicle: bool,
    pub units: Units,
    /// Of each; a mass.
    pub body: String,
    /// Of each; a mass or a share of body mass.
    pub limit: String,
}

pub(super) const USUAL_NAME: &str = "Mend the footbridge";
pub(super) const USUAL_PEOPLE: u32 = 3;
/// A guidance figure: a teaching rule for walkers with packs, quoted at second
/// hand; below the third of body mass that E. Langmuir, *Mountaincraft and
/// Leadership*, 2004, page 247 gives as the most (as quoted in Internet
/// Archaeology 36, 5.2).
pub(super) const USUAL_LIMIT: &str = "25 %";
/// A small crew; more are lines to copy.
const MOST_PEOPLE: u32 = 6;
/// As the reader has it.
const MOST_NAME: usize = 200;

pub(super) fn usual_body(units: Units) -> &'static str {
    match units {
        Units::Metric => "75 kg",
        Units::Imperial => "165 lb",
    }
}

pub(crate) fn name(text: &str) -> Result<String, String> {
    let text = text.trim();
    if text.is_empty() {
        return Err("a name is wanted, as in `Mend the footbridge`".into());
    }
    // What cleaning changes cannot be seen, or would act on a terminal.
    if text.chars().count() > MOST_NAME || clean(text) != text {
        return Err(format!("write a name of at most {MOST_NAME} letters on one line"));
    }
    Ok(text.to_string())
}

pub(crate) fn people(text: &str) -> Result<u32, String> {
    match text.trim().parse() {
        Ok(n) if (1..=MOST_PEOPLE).contains(&n) => Ok(n),
        _ => Err(format!("{} is no such number; write 1 to {MOST_PEOPLE}", quoted(text))),
    }
}

pub(super) fn yes(text: &str) -> Result<bool, String> {
    match text.trim().to_lowercase().as_str() {
        "y" | "yes" => Ok(true),
        "n" | "no" => Ok(false),
        _ => Err(format!("{} is neither; write yes or no", quoted(text))),
    }
}

pub(super) fn units(text: &str) -> Result<Units, String> {
    match text.trim().to_lowercase().as_str() {
        "metric" | "m" => Ok(Units::Metric),
        "imperial" | "i" => Ok(Units::Imperial),
        _ => Err(format!("{} is neither; write metric or imperial", quoted(text))),
    }
}

pub(crate) fn body_mass(text: &str) -> Result<String, String> {
    let (least, most) = (Mass::from_g(20_000), Mass::from_g(300_000));
    match text.parse::<Mass>() {
        Ok(m) if (least..=most).contains(&m) => Ok(spaced(text)),
        Ok(_) => Err("write a mass from 20 kg to 300 kg (44 lb to 661 lb)".into()),
        Err(e) => Err(told(&e)),
    }
}

pub(crate) fn limit(text: &str) -> Result<String, String> {
    let fine = if text.trim_end().ends_with('%') {
        let share: Percent = text.parse().map_err(|e| told(&e))?;
        share > Percent::ZERO && share <= Percent::WHOLE
    } else {
        let mass: Mass = text.parse().map_err(|e| told(&e))?;
        mass > Mass::ZERO && mass <= Mass::from_g(300_000)
    };
    let allowed = "write a share of body mass up to 100 %, or a mass up to 300 kg";
    if fine { Ok(spaced(text)) } else { Err(allowed.into()) }
}

fn told(e: &QuantityError) -> String {
    clean(&format!("{e}; {}", e.help()))
}

/// The quantity with one blank wherever there are some.
fn spaced(text: &str) -> String {
    let text = text.replace('%', " %");
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn answers_are_checked() {
        assert_eq!(limit("30%"), Ok("30 %".into()));
        assert_eq!(limit(" 9 lb  4 oz "), Ok("9 lb 4 oz".into()));
        assert_eq!(body_mass("75 kg"), Ok("75 kg".into()));
        assert_eq!(
            (people("3"), yes(" Y "), units("imperial")),
            (Ok(3), Ok(true), Ok(Units::Imperial))
        );
        for bad in ["", "25", "0 %", "101 %", "0 kg", "4,2 kg", "-1 kg", "301 kg", "\u{1b}"] {
            let told = limit(bad).unwrap_err();
            assert!(!told.contains('\u{1b}') && !told.ends_with('.'), "{told}");
        }
        for bad in ["75", "10 kg", "1 t", "30 %"] {
            assert!(body_mass(bad).is_err(), "{bad}");
        }
        for bad in ["", "0", "7", "-1", "three"] {
            assert!(people(bad).is_err(), "{bad}");
        }
        for bad in ["", " ", "a\nb", "\u{1b}[2J", "a\u{202e}b", &"a".repeat(201)] {
            assert!(name(bad).is_err(), "{bad}");
        }
    }
}
