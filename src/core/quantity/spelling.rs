//! How a quantity is best written, in the units it was written in: the value is
//! exactly the same, the spelling that of the printed quantities.
//!
//! Pounds stay pounds and yards stay yards. A metric unit stays where its number
//! reads well (`0.3 L`, `4.2 kWh`, `72 h`); else the canonical printing stands
//! for it.

use super::{Amount, Bulk, Dimension, Energy, Length, Mass, Percent, Rate, Span};
use std::str::FromStr;

/// Spellings that are read, and what is printed for them.
const SPELLINGS: [(&str, &str); 12] = [
    ("lbs", "lb"),
    ("l", "L"),
    ("ml", "mL"),
    ("cl", "cL"),
    ("dl", "dL"),
    ("day", "d"),
    ("days", "d"),
    ("hour", "h"),
    ("hours", "h"),
    ("minutes", "min"),
    ("minute", "min"),
    ("×", "x"),
];

/// `04.20kg` as (`4.2`, `kg`): every number with its unit, in order.
fn terms(text: &str) -> Vec<(String, &str)> {
    let mut out = Vec::new();
    let mut rest = text.trim();
    while !rest.is_empty() {
        let end = rest.find(|c: char| !(c.is_ascii_digit() || c == '.')).unwrap_or(rest.len());
        let (number, after) = rest.split_at(end);
        let after = after.trim_start();
        let end = after.find(|c: char| c.is_ascii_digit()).unwrap_or(after.len());
        let unit = after[..end].trim_end();
        let unit = SPELLINGS.iter().find(|(s, _)| *s == unit).map_or(unit, |(_, to)| to);
        out.push((number_of(number), unit));
        rest = &after[end..];
        if number.is_empty() && end == 0 {
            break;
        }
    }
    out
}

/// Without zeros that say nothing.
fn number_of(text: &str) -> String {
    let (int, frac) = text.split_once('.').unwrap_or((text, ""));
    let int = int.trim_start_matches('0');
    let int = if int.is_empty() { "0" } else { int };
    match frac.trim_end_matches('0') {
        "" => int.to_string(),
        frac => format!("{int}.{frac}"),
    }
}

fn joined(terms: &[(String, &str)]) -> String {
    let one = |(number, unit): &(String, &str)| format!("{number} {unit}").trim_end().to_string();
    terms.iter().map(one).collect::<Vec<_>>().join(" ")
}

/// What is written, if it reads back as the same; else the text as it was.
fn same<T: FromStr + PartialEq>(text: &str, new: String) -> String {
    let before = text.parse::<T>().ok();
    if before.is_some() && new.parse::<T>().ok() == before { new } else { text.trim().to_string() }
}

/// The unit, where there is one term alone.
fn only<'a>(terms: &[(String, &'a str)]) -> &'a str {
    match terms {
        [(_, unit)] => unit,
        _ => "",
    }
}

impl Mass {
    /// Best spelling of a text that reads as a mass.
    pub fn respelled(text: &str) -> String {
        let (Ok(v), terms) = (text.parse::<Mass>(), terms(text)) else { return text.into() };
        let pounds = terms.iter().all(|(_, unit)| matches!(*unit, "lb" | "oz"));
        same::<Mass>(text, if pounds { joined(&terms) } else { v.to_string() })
    }
}

impl Bulk {
    /// Best spelling of a text that reads as a bulk.
    pub fn respelled(text: &str) -> String {
        let (Ok(v), terms) = (text.parse::<Bulk>(), terms(text)) else { return text.into() };
        let well = match only(&terms) {
            "L" => v.ml() >= 10,
            "mL" => v.ml() < 1000,
            _ => false,
        };
        same::<Bulk>(text, if well { joined(&terms) } else { v.to_string() })
    }
    /// Best spelling of a text that reads as the size of a box.
    pub fn size_respelled(text: &str) -> String {
        let sides: Vec<String> =
            text.split(['x', '×', '*']).map(|side| joined(&terms(side))).collect();
        let new = sides.join(" x ");
        let before = Bulk::from_size(text).ok();
        let fine = before.is_some() && Bulk::from_size(&new).ok() == before;
        if fine { new } else { text.trim().to_string() }
    }
}

impl Energy {
    /// Best spelling of a text that reads as an energy.
    pub fn respelled(text: &str) -> String {
        let (Ok(v), terms) = (text.parse::<Energy>(), terms(text)) else { return text.into() };
        let well = match only(&terms) {
            "kWh" => v.mwh() >= 1_000_000,
            "Wh" => v.mwh() >= 100,
            _ => false,
        };
        same::<Energy>(text, if well { joined(&terms) } else { v.to_string() })
    }
}

impl Length {
    /// Best spelling of a text that reads as a length.
    pub fn respelled(text: &str) -> String {
        let (Ok(v), terms) = (text.parse::<Length>(), terms(text)) else { return text.into() };
        let yards = terms.iter().all(|(_, unit)| matches!(*unit, "yd" | "ft" | "in" | "mi"));
        let well = match only(&terms) {
            "km" => v.mm() >= 1_000_000,
            "m" => v.mm() >= 100,
            "cm" => (10..10_000).contains(&v.mm()),
            "mm" => v.mm() < 1000,
            _ => false,
        };
        same::<Length>(text, if yards || well { joined(&terms) } else { v.to_string() })
    }
}

impl Span {
    /// Best spelling of a text that reads as a span of time.
    pub fn respelled(text: &str) -> String {
        same::<Span>(text, joined(&terms(text)))
    }
}

impl Percent {
    /// Best spelling of a text that reads as a percentage.
    pub fn respelled(text: &str) -> String {
        same::<Percent>(text, joined(&terms(text)))
    }
}

impl Amount {
    /// Best spelling of a text that reads as an amount of a supply.
    pub fn respelled(text: &str) -> String {
        match text.parse::<Amount>().map(|a| a.dimension) {
            Ok(Dimension::Length) => Length::respelled(text),
            Ok(Dimension::Energy) => Energy::respelled(text),
            Ok(Dimension::Bulk) => Bulk::respelled(text),
            Ok(Dimension::Mass) => Mass::respelled(text),
            Ok(Dimension::Count) => number_of(text.trim()),
            Err(_) => text.to_string(),
        }
    }
}

impl Rate {
    /// Best spelling of a text that reads as a rate.
    pub fn respelled(text: &str) -> String {
        let Ok(rate) = text.parse::<Rate>() else { return text.into() };
        if let Some((amount, time)) = text.rsplit_once('/') {
            let time = joined(&terms(time)).trim_start_matches("0 ").to_string();
            let time = time.strip_prefix("1 ").unwrap_or(&time);
            return same::<Rate>(text, format!("{}/{time}", Amount::respelled(amount)));
        }
        let terms = terms(text);
        let well = match only(&terms) {
            "kW" => rate.amount.base >= 1_000_000,
            "W" => rate.amount.base >= 100,
            "mW" => rate.amount.base < 1000,
            _ => false,
        };
        same::<Rate>(text, if well { joined(&terms) } else { rate.to_string() })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_quantity_keeps_its_value_and_reads_well() {
        for (text, mass) in [
            ("4.2kg", "4.2 kg"),
            ("04.20 kg", "4.2 kg"),
            ("0.85 kg", "850 g"),
            ("2400g", "2.4 kg"),
            ("9lbs  4oz", "9 lb 4 oz"),
            ("0.5 t", "500 kg"),
            ("1 kg 200 g", "1.2 kg"),
            ("0 kg", "0 kg"),
        ] {
            assert_eq!(Mass::respelled(text), mass);
        }
        for (text, bulk) in [
            ("0.3l", "0.3 L"),
            ("1500 ml", "1.5 L"),
            ("300ml", "300 mL"),
            ("5 dL", "500 mL"),
            ("0.005 L", "5 mL"),
        ] {
            assert_eq!(Bulk::respelled(text), bulk);
        }
        for (text, amount) in [
            ("4.2kWh", "4.2 kWh"),
            ("0.2 kWh", "200 Wh"),
            ("350m", "350 m"),
            ("20 yd", "20 yd"),
            ("0.5 km", "500 m"),
            ("012", "12"),
            ("1lb", "1 lb"),
        ] {
            assert_eq!(Amount::respelled(text), amount);
        }
        for (text, rate) in [
            ("14W", "14 W"),
            ("0.5 L / h", "0.5 L/h"),
            ("2 L/1 d", "2 L/d"),
            ("1/h", "1/h"),
            ("1500 mW", "1.5 W"),
            ("3 m/12 h", "3 m/12 h"),
        ] {
            assert_eq!(Rate::respelled(text), rate);
        }
        assert_eq!(Span::respelled("1h  30min"), "1 h 30 min");
        assert_eq!(Span::respelled("72 h"), "72 h");
        assert_eq!(Percent::respelled("10%"), "10 %");
        assert_eq!(Bulk::size_respelled("42×31 x17cm"), "42 x 31 x 17 cm");
    }
}
