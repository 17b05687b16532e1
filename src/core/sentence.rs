//! Sentences written once, with what they are about left open, for all who print
//! them: `{carrier} is in {count} pairs at once`.
//!
//! | written | stands for |
//! |---|---|
//! | `{name}` | the value of that name |
//! | `{thing\|things:count}` | the first word where the value is one (or a list of one), else the second |
//! | `{load of limit}` | one value of another, with the unit once: `21.40 of 24.00 kg` |
//! | `{load - limit}` | by how much the one is above the other |
//!
//! The page's script has the same reader (`report/live/words.js`).

/// A piece of a sentence.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Piece<'a> {
    /// As they are.
    Words(&'a str),
    /// The value of that name.
    Value(&'a str),
    /// `one` where the value `by` is one, else `many`.
    Either {
        /// Of one.
        one: &'a str,
        /// Of none or several.
        many: &'a str,
        /// The name of the value that decides.
        by: &'a str,
    },
    /// One value of another.
    Of {
        /// The name of the one.
        part: &'a str,
        /// The name of the other.
        whole: &'a str,
    },
    /// By how much the one is above the other.
    Above {
        /// The name of the one.
        value: &'a str,
        /// The name of the other.
        most: &'a str,
    },
}

/// The pieces of a sentence in their order. Braces that do not close are words.
pub fn pieces(sentence: &str) -> Vec<Piece<'_>> {
    let mut out = Vec::new();
    let mut rest = sentence;
    while let Some((words, after)) = rest.split_once('{') {
        let Some((open, after)) = after.split_once('}') else { break };
        if !words.is_empty() {
            out.push(Piece::Words(words));
        }
        out.push(open_piece(open));
        rest = after;
    }
    if !rest.is_empty() {
        out.push(Piece::Words(rest));
    }
    out
}

fn open_piece(open: &str) -> Piece<'_> {
    if let Some((words, by)) = open.split_once(':')
        && let Some((one, many)) = words.split_once('|')
    {
        Piece::Either { one, many, by }
    } else if let Some((part, whole)) = open.split_once(" of ") {
        Piece::Of { part, whole }
    } else if let Some((value, most)) = open.split_once(" - ") {
        Piece::Above { value, most }
    } else {
        Piece::Value(open)
    }
}

/// The sentence with its values, and by `is_one` whether one stands for one.
pub fn fill(
    sentence: &str,
    value: impl Fn(&str) -> String,
    is_one: impl Fn(&str) -> bool,
) -> String {
    let piece = |piece: Piece<'_>| match piece {
        Piece::Words(words) => words.to_string(),
        Piece::Value(name) => value(name),
        Piece::Either { one, many, by } => if is_one(by) { one } else { many }.to_string(),
        Piece::Of { part, whole } => of(&value(part), &value(whole)),
        // Only who knows quantities has this.
        Piece::Above { value: v, most } => format!("{} - {}", value(v), value(most)),
    };
    pieces(sentence).into_iter().map(piece).collect()
}

/// `21.40 of 24.00 kg`: the unit once.
pub fn of(part: &str, whole: &str) -> String {
    match (part.rsplit_once(' '), whole.rsplit_once(' ')) {
        (Some((number, a)), Some((_, b))) if a == b => format!("{number} of {whole}"),
        _ => format!("{part} of {whole}"),
    }
}

/// `a, b and c`.
pub fn listed(names: &[String]) -> String {
    match names {
        [] => String::new(),
        [one] => one.clone(),
        [first @ .., last] => format!("{} and {last}", first.join(", ")),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_sentence_is_read_piece_by_piece() {
        use Piece::{Above, Either, Of, Value, Words};
        assert_eq!(
            pieces("{who} has {n} {thing|things:n}, {load of limit}: {load - limit} over"),
            [
                Value("who"),
                Words(" has "),
                Value("n"),
                Words(" "),
                Either { one: "thing", many: "things", by: "n" },
                Words(", "),
                Of { part: "load", whole: "limit" },
                Words(": "),
                Above { value: "load", most: "limit" },
                Words(" over"),
            ]
        );
        assert_eq!(pieces(""), []);
        assert_eq!(pieces("a {b"), [Words("a {b")]);
        assert_eq!(pieces("{a}{b}"), [Value("a"), Value("b")]);
    }

    #[test]
    fn the_unit_stands_once_and_the_last_name_after_and() {
        assert_eq!(of("21.40 kg", "24.00 kg"), "21.40 of 24.00 kg");
        assert_eq!(of("900 mL", "1.0 L"), "900 mL of 1.0 L");
        assert_eq!(of("3", "4"), "3 of 4");
        let names = |n: usize| {
            listed(&["a", "b", "c"][..n].iter().map(|s| s.to_string()).collect::<Vec<_>>())
        };
        assert_eq!([names(0), names(1), names(2), names(3)], ["", "a", "a and b", "a, b and c"]);
    }
}
