//! Writing YAML: texts, in quotes where readers of YAML could take them for
//! something else, and lists and mappings on one line.

use super::diagnostic::barred;
use std::fmt::{Display, Write};
use tumpline_core::text::acts;

/// Words that some reader of YAML takes for a truth value or for nothing.
const WORDS: [&str; 10] = ["true", "false", "yes", "no", "on", "off", "y", "n", "null", "nan"];

/// The text on one line, plain if every reader takes it for this text, else in
/// double quotes with escapes.
pub fn written(text: &str) -> String {
    if plain(text) { text.to_string() } else { in_quotes(text) }
}

/// Whether the text means itself without quotes, in braces and brackets too.
/// Some texts that do are refused: rather quotes too many than too few.
pub(super) fn plain(text: &str) -> bool {
    let Some(first) = text.chars().next() else { return false };
    let inner = |c: char| c.is_alphanumeric() || " _-./()'+%*=<>;^".contains(c);
    let number = first.is_ascii_digit() && !text.contains(' ');
    first.is_alphanumeric()
        && text.chars().all(inner)
        && !text.ends_with(' ')
        && !number
        && !WORDS.contains(&text.to_ascii_lowercase().as_str())
}

/// The text in double quotes, with escapes for what no file may hold.
pub(super) fn in_quotes(text: &str) -> String {
    quoted(text, barred)
}

/// The text in double quotes for a terminal, with escapes for all that could act
/// there.
pub fn shown(text: &str) -> String {
    quoted(text, acts)
}

fn quoted(text: &str, escaped: impl Fn(char) -> bool) -> String {
    let mut out = String::with_capacity(text.len() + 2);
    out.push('"');
    for c in text.chars() {
        match c {
            '"' | '\\' => out.extend(['\\', c]),
            '\n' => out.push_str("\\n"),
            '\t' => out.push_str("\\t"),
            // Writing to a string does not fail.
            c if escaped(c) => drop(write!(out, "\\U{:08x}", u32::from(c))),
            c => out.push(c),
        }
    }
    out.push('"');
    out
}

/// A list on one line, of what is written already: `[a, b]`.
pub fn list(all: impl IntoIterator<Item = impl Display>) -> String {
    let all: Vec<String> = all.into_iter().map(|one| one.to_string()).collect();
    format!("[{}]", all.join(", "))
}

/// A mapping on one line, of keys and values that are written already:
/// `{a: 1, b: 2}`.
pub fn map(all: impl IntoIterator<Item = (impl Display, impl Display)>) -> String {
    let all: Vec<String> = all.into_iter().map(|(key, value)| format!("{key}: {value}")).collect();
    format!("{{{}}}", all.join(", "))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_written_reads_as_the_same_text() {
        for text in [
            "Mend the bridge",
            "",
            " a",
            "a ",
            "a: b",
            "a #b",
            "[a]",
            "{a}",
            "- a",
            "? a",
            "true",
            "No",
            "~",
            "null",
            "12",
            "1e3",
            "0x10",
            "2026-01-01",
            "12 V battery",
            "\"a\"",
            "'a'",
            "a\\b",
            "a\nb",
            "a\tb",
            "\u{1b}[31m",
            "\u{202e}a",
            "Größe",
            "担架",
            "🧑\u{200d}🚒",
            "%a",
            "&a",
            "*a",
            "!a",
            "|",
            ">",
            "@a",
            "`a`",
            "a, b",
            "=1+1",
            "<<",
        ] {
            let line = written(text);
            assert!(!line.contains('\n'), "{line}");
            for whole in [format!("a: {line}"), format!("{{a: {line}, b: c}}")] {
                let read: std::collections::BTreeMap<String, String> =
                    serde_yaml::from_str(&whole).unwrap_or_else(|e| panic!("{whole}: {e}"));
                assert_eq!(read["a"], text, "{whole}");
            }
        }
        assert_eq!(written("Mend the bridge"), "Mend the bridge");
        assert_eq!(written("yes"), "\"yes\"");
    }
}
