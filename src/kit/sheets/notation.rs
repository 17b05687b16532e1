//! Several things in one cell: `pair, back`, `headset x2; logbook`, `power 390
//! Wh; line 20 m`.

use super::number::{Reading, Unclear, plain};

/// Whether it is formed as ids are.
pub(super) fn is_id(text: &str) -> bool {
    text.starts_with(|c: char| c.is_ascii_lowercase() || c.is_ascii_digit())
        && text.bytes().all(|b| b.is_ascii_lowercase() || b.is_ascii_digit() || b == b'-')
}

/// An id made of a name: `Tarpaulin 3 m by 3 m` → `tarpaulin-3-m-by-3-m`. Empty
/// if nothing of it can be in an id.
pub(super) fn slug(text: &str) -> String {
    let folded = super::spelling::fold(text);
    let mut out = String::new();
    for c in folded.chars() {
        if c.is_ascii_alphanumeric() {
            out.push(c);
        } else if !out.ends_with('-') && !out.is_empty() {
            out.push('-');
        }
    }
    out.truncate(60);
    out.trim_matches('-').to_string()
}

/// Words parted by commas, semicolons, slashes, bars or line ends.
pub(super) fn words(text: &str) -> Vec<String> {
    text.split([',', ';', '/', '|', '\n', '+', '&'])
        .flat_map(|part| part.split(" or ").flat_map(|p| p.split(" and ")))
        .map(|w| crate::cells::trimmed(w).to_string())
        .filter(|w| !w.is_empty())
        .collect()
}

/// Entries parted by semicolons, line ends or commas; a comma before a digit is
/// left to the number it may be in.
fn entries(text: &str) -> Vec<String> {
    let mut out = vec![String::new()];
    let mut letters = text.chars().peekable();
    let mut last = ' ';
    while let Some(c) = letters.next() {
        let in_number = last.is_ascii_digit() && letters.peek().is_some_and(char::is_ascii_digit);
        if matches!(c, ';' | '\n') || c == ',' && !in_number {
            out.push(String::new());
        } else if let Some(entry) = out.last_mut() {
            entry.push(c);
        }
        last = c;
    }
    let all = out.into_iter().map(|e| crate::cells::trimmed(&e).to_string());
    all.filter(|e| !e.is_empty()).collect()
}

/// What went wrong with an entry.
#[derive(Debug, PartialEq, Eq)]
pub(super) enum Odd {
    /// An id without an amount.
    NoAmount(String),
    Number(Unclear),
}

/// `power 390 Wh`, `power: 390 Wh`, `390 Wh power`: id and amount.
pub(super) fn amounts(text: &str, reading: Reading) -> Result<Vec<(String, String)>, Odd> {
    let one = |entry: String| {
        let (first, rest) = match entry.split_once([':', '=', ' ', '\u{a0}']) {
            Some((first, rest)) => (first.trim(), rest.trim()),
            None => return Err(Odd::NoAmount(entry)),
        };
        let (id, amount) = if first.starts_with(|c: char| c.is_ascii_digit()) {
            match entry.rsplit_once([' ', '\u{a0}']) {
                Some((amount, id)) if id.starts_with(char::is_alphabetic) => (id, amount),
                _ => (first, rest),
            }
        } else {
            (first, rest)
        };
        if amount.is_empty() {
            return Err(Odd::NoAmount(entry));
        }
        let id = if is_id(id) { id.to_string() } else { slug(id) };
        Ok((id, plain(amount, reading).map_err(Odd::Number)?))
    };
    entries(text).into_iter().map(one).collect()
}

/// `headset x2`, `headset 2`, `2 x headset`, `headset (2)`, `logbook`, `x
/// shared`: what, and how many or `shared`; one if nothing is said.
pub(super) fn counts(text: &str) -> Vec<(String, String)> {
    entries(text).iter().map(|e| count(e)).collect()
}

fn count(entry: &str) -> (String, String) {
    let one = |what: &str| (what.trim().to_string(), "1".to_string());
    // An id stands for itself even if it ends in a number, as `reel-200` does.
    if is_id(entry) {
        return one(entry);
    }
    if let Some(what) = entry.strip_suffix(" shared") {
        return (what.trim().to_string(), "shared".into());
    }
    let digits = |t: &str| !t.is_empty() && t.bytes().all(|b| b.is_ascii_digit());
    let bare = entry.trim_end_matches(')');
    if let Some((what, n)) = bare.rsplit_once([' ', ':', '=', '(']) {
        let n = n.trim().trim_start_matches(['x', 'X', '×']);
        if digits(n) {
            let what = what.trim().trim_end_matches([':', '=', '(', '×']).trim();
            let what = what.strip_suffix(" x").unwrap_or(what);
            return (what.trim().to_string(), n.to_string());
        }
    }
    if let Some((n, what)) = entry.split_once([' ', '×']) {
        let n = n.trim().trim_end_matches(['x', 'X', '×']);
        if digits(n) {
            let what = what.trim();
            let what = what.strip_prefix("x ").or(what.strip_prefix("× ")).unwrap_or(what);
            return (what.trim().to_string(), n.to_string());
        }
    }
    one(entry)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn counts_are_read_in_every_way_people_write_them() {
        for (text, what, n) in [
            ("headset x2", "headset", "2"),
            ("headset x 2", "headset", "2"),
            ("headset 2", "headset", "2"),
            ("headset: 2", "headset", "2"),
            ("headset=2", "headset", "2"),
            ("headset (2)", "headset", "2"),
            ("headset ×2", "headset", "2"),
            ("2 headset", "headset", "2"),
            ("2 x headset", "headset", "2"),
            ("2x headset", "headset", "2"),
            ("headset", "headset", "1"),
            ("reel-200", "reel-200", "1"),
            ("Line reel 200 m", "Line reel 200 m", "1"),
            ("stay-kit shared", "stay-kit", "shared"),
        ] {
            assert_eq!(counts(text), [(what.to_string(), n.to_string())], "{text}");
        }
        assert_eq!(counts("a x2; b, c\nd").len(), 4);
    }

    #[test]
    fn amounts_keep_their_numbers_whole() {
        let pairs = |text| amounts(text, Reading::default()).unwrap();
        let pair = |id: &str, amount: &str| (id.to_string(), amount.to_string());
        assert_eq!(
            pairs("power 390 Wh; line 20 m"),
            [pair("power", "390 Wh"), pair("line", "20 m")]
        );
        assert_eq!(pairs("water: 1,5 L"), [pair("water", "1.5 L")]);
        assert_eq!(pairs("390 Wh power"), [pair("power", "390 Wh")]);
        assert_eq!(pairs("Power 14 W"), [pair("power", "14 W")]);
        assert_eq!(pairs("meals 1"), [pair("meals", "1")]);
        assert_eq!(amounts("power", Reading::default()), Err(Odd::NoAmount("power".into())));
    }

    #[test]
    fn names_become_ids() {
        assert_eq!(slug("Tarpaulin 3 m by 3 m"), "tarpaulin-3-m-by-3-m");
        assert_eq!(slug("Écharpe (large)!"), "echarpe-large");
        assert_eq!(slug("担架"), "");
        assert_eq!(words("pair, back / hand"), ["pair", "back", "hand"]);
    }
}
