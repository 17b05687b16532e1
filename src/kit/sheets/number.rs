//! Numbers as people type them into sheets: with decimal commas, thousands
//! apart, blanks that do not break. What can be read in two ways is never
//! guessed.

/// Which sign is decimal.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Decimal {
    /// Not said: clear cases are read, the others are faults.
    #[default]
    Unsaid,
    /// `4,2` is four and a fifth.
    Comma,
    /// `4.2` is four and a fifth.
    Point,
}

/// Why a text has no plain form.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Unclear {
    /// `1,234`: the number with a decimal sign, and without.
    TwoWays { text: String, decimal: String, whole: String },
    /// Signs that fit neither way of writing.
    Neither { text: String },
}

/// How numbers are to be read.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct Reading {
    pub decimal: Decimal,
    /// Some number of the sheet has a decimal comma for certain, so that a
    /// point with three digits behind it may be one between thousands.
    pub commas: bool,
}

/// The text with every number in it in plain form: digits and at most one
/// point.
pub(super) fn plain(text: &str, reading: Reading) -> Result<String, Unclear> {
    let text: String = text.chars().map(|c| if is_blank(c) { ' ' } else { c }).collect();
    let mut out = String::new();
    let mut rest = text.as_str();
    while let Some(start) = rest.find(|c: char| c.is_ascii_digit()) {
        // A digit inside a word, as in `reel-200`, is no number of its own.
        let in_word = rest[..start].ends_with(|c: char| c.is_alphabetic() || c == '-' || c == '_')
            && !rest[..start].ends_with(['x', '×'])
            && !rest[..start].trim_end_matches('-').is_empty();
        let run = run(&rest[start..]);
        out.push_str(&rest[..start]);
        let number = &rest[start..start + run];
        if in_word {
            out.push_str(number)
        } else {
            out.push_str(&one(number, reading)?)
        }
        rest = &rest[start + run..];
    }
    out.push_str(rest);
    Ok(out)
}

/// Whether some number in it has a decimal comma for certain.
pub(super) fn has_comma(text: &str) -> bool {
    let unsaid = Reading::default();
    let mut rest = text;
    while let Some(start) = rest.find(|c: char| c.is_ascii_digit()) {
        let run = run(&rest[start..]);
        let number = &rest[start..start + run];
        if number.matches(',').count() == 1 && !number.contains('.') && one(number, unsaid).is_ok()
        {
            return true;
        }
        if number.rfind(',') > number.rfind('.') && number.contains('.') {
            return true;
        }
        rest = &rest[start + run..];
    }
    false
}

fn is_blank(c: char) -> bool {
    c.is_whitespace() && c != '\n' || matches!(c, '\u{200b}' | '\u{feff}')
}

/// The length of the number that the text starts with: digits, and signs or a
/// blank between digits; a blank only before three digits.
fn run(text: &str) -> usize {
    let bytes = text.as_bytes();
    let digit = |i: usize| bytes.get(i).is_some_and(u8::is_ascii_digit);
    let mut at = 0;
    loop {
        match bytes.get(at) {
            Some(b) if b.is_ascii_digit() => at += 1,
            Some(b'.' | b',' | b'\'') if digit(at + 1) => at += 1,
            Some(b' ') if (1..=3).all(|i| digit(at + i)) && !digit(at + 4) => at += 1,
            _ => return at,
        }
    }
}

fn one(text: &str, reading: Reading) -> Result<String, Unclear> {
    let bare: String = text.chars().filter(|c| !matches!(c, ' ' | '\'')).collect();
    let neither = || Unclear::Neither { text: text.to_string() };
    // Blanks and apostrophes stand only between thousands.
    if bare.len() < text.len()
        && !thousands(text.split([',', '.']).next().unwrap_or(""), &[' ', '\''])
    {
        return Err(neither());
    }
    let (commas, points) = (bare.matches(',').count(), bare.matches('.').count());
    let decimal = |sign: char| bare.replace(sign, ".");
    let whole = |sign: char| bare.replace(sign, "");
    match (commas, points) {
        (0, 0) => Ok(bare),
        (1, 0) | (0, 1) => {
            let sign = if commas == 1 { ',' } else { '.' };
            let is_decimal = match reading.decimal {
                Decimal::Comma => Some(sign == ','),
                Decimal::Point => Some(sign == '.'),
                Decimal::Unsaid if !thousands(&bare, &[sign]) || bare.len() < text.len() => {
                    Some(true)
                }
                Decimal::Unsaid if sign == '.' && !reading.commas => Some(true),
                Decimal::Unsaid => None,
            };
            match is_decimal {
                Some(true) => Ok(decimal(sign)),
                Some(false) if thousands(&bare, &[sign]) => Ok(whole(sign)),
                Some(false) => Err(neither()),
                None => Err(Unclear::TwoWays {
                    text: text.to_string(),
                    decimal: decimal(sign),
                    whole: whole(sign),
                }),
            }
        }
        // Several of one sign can only stand between thousands.
        (_, 0) | (0, _) => {
            let sign = if commas > 0 { ',' } else { '.' };
            let said = match reading.decimal {
                Decimal::Unsaid => true,
                Decimal::Comma => sign == '.',
                Decimal::Point => sign == ',',
            };
            if said && thousands(&bare, &[sign]) { Ok(whole(sign)) } else { Err(neither()) }
        }
        // Both: the last one is decimal.
        _ => {
            let last = if bare.rfind(',') > bare.rfind('.') { ',' } else { '.' };
            let other = if last == ',' { '.' } else { ',' };
            let said = match reading.decimal {
                Decimal::Unsaid => true,
                Decimal::Comma => last == ',',
                Decimal::Point => last == '.',
            };
            let front = bare.split(last).next().unwrap_or("");
            if !said || bare.matches(last).count() != 1 || !thousands(front, &[other]) {
                return Err(neither());
            }
            Ok(bare.replace(other, "").replace(last, "."))
        }
    }
}

/// Whether these signs cut it into thousands: one to three digits, not a lone
/// zero, then three each.
fn thousands(text: &str, signs: &[char]) -> bool {
    let mut groups = text.split(signs);
    let first = groups.next().unwrap_or("");
    let rest: Vec<&str> = groups.collect();
    (1..=3).contains(&first.len())
        && !first.starts_with('0')
        && !rest.is_empty()
        && rest.iter().all(|g| g.len() == 3)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn unsaid(text: &str) -> Result<String, Unclear> {
        plain(text, Reading::default())
    }

    #[test]
    fn clear_numbers_are_read_whatever_their_signs() {
        for (typed, read) in [
            ("4.2", "4.2"),
            ("4,2 kg", "4.2 kg"),
            ("0,125", "0.125"),
            ("1.234", "1.234"),
            ("1,234.5", "1234.5"),
            ("1.234,5", "1234.5"),
            ("1 234,5\u{a0}kg", "1234.5 kg"),
            ("12\u{202f}345", "12345"),
            ("1'234.5", "1234.5"),
            ("1,234,567", "1234567"),
            ("1.234.567", "1234567"),
            ("42 x 31,5 x 17 cm", "42 x 31.5 x 17 cm"),
            ("42x31x17 cm", "42x31x17 cm"),
            ("9 lb 4 oz", "9 lb 4 oz"),
            ("4,25", "4.25"),
            ("heavy", "heavy"),
            ("-3", "-3"),
        ] {
            assert_eq!(unsaid(typed), Ok(read.into()), "{typed}");
        }
    }

    #[test]
    fn what_can_be_read_in_two_ways_is_not_guessed() {
        for typed in ["1,234", "12,500 kg", "999,000"] {
            assert!(matches!(unsaid(typed), Err(Unclear::TwoWays { .. })), "{typed}");
        }
        let commas = Reading { decimal: Decimal::Unsaid, commas: true };
        assert!(matches!(plain("1.234", commas), Err(Unclear::TwoWays { .. })));
        assert_eq!(plain("1.5", commas), Ok("1.5".into()));
        for (decimal, typed, read) in [
            (Decimal::Comma, "1,234", "1.234"),
            (Decimal::Point, "1,234", "1234"),
            (Decimal::Comma, "1.234", "1234"),
            (Decimal::Point, "1.234", "1.234"),
        ] {
            let reading = Reading { decimal, commas: false };
            assert_eq!(plain(typed, reading), Ok(read.into()), "{decimal:?} {typed}");
        }
    }

    #[test]
    fn signs_that_fit_nothing_are_faults() {
        for typed in ["1,23,4", "1.2.3", "1,2.3,4", "12 34,5 6"] {
            let read = unsaid(typed);
            assert!(read.is_err() || typed == "12 34,5 6", "{typed} {read:?}");
        }
        let comma = Reading { decimal: Decimal::Comma, commas: false };
        for typed in ["4.2", "1,234.5", "1,2,3"] {
            assert!(matches!(plain(typed, comma), Err(Unclear::Neither { .. })), "{typed}");
        }
    }

    #[test]
    fn a_decimal_comma_is_seen_where_it_is_certain() {
        assert!(has_comma("4,2") && has_comma("1.234,5") && has_comma("0,125"));
        assert!(!has_comma("1,234") && !has_comma("1,234.5") && !has_comma("4.2"));
    }
}
