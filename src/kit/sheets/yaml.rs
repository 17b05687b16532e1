//! Writing YAML that reads back, a line for each key, and remembering which
//! cell each line came from.

use crate::source::TextSpan;
use crate::yaml_text::{list, map, written as scalar};
use tumpline_core::text::clean;

/// The value of a key.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Yaml {
    Text(String),
    /// Written as it is: a number, `true`.
    Plain(String),
    List(Vec<String>),
    Map(Vec<(String, String)>),
}

/// A text in the making.
#[derive(Debug, Default)]
pub(super) struct Lines {
    pub text: String,
    /// By line: the cell it came from.
    from: Vec<Option<TextSpan>>,
}

impl Lines {
    pub fn push(&mut self, line: &str, from: Option<TextSpan>) {
        self.text.push_str(line);
        self.text.push('\n');
        self.from.push(from);
    }

    /// On one line, whatever is in it.
    pub fn comment(&mut self, indent: &str, text: &str) {
        let text = clean(&text.replace(['\r', '\n'], " / "));
        self.push(format!("{indent}# {text}").trim_end(), None);
    }

    /// The cell that a line, counted from one, came from.
    pub fn origin(&self, line: usize) -> Option<TextSpan> {
        self.from.get(line.checked_sub(1)?).copied().flatten()
    }
}

pub(super) fn written(value: &Yaml) -> String {
    match value {
        Yaml::Text(text) => scalar(text),
        Yaml::Plain(text) => text.clone(),
        Yaml::List(all) => list(all.iter().map(|t| in_flow(t))),
        Yaml::Map(all) => map(all.iter().map(|(k, v)| (in_flow(k), in_flow(v)))),
    }
}

fn in_flow(text: &str) -> String {
    // Whole numbers are counts, and go without quotes.
    let count = !text.is_empty() && text.len() < 10 && text.bytes().all(|b| b.is_ascii_digit());
    if count { text.to_string() } else { scalar(text) }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn whatever_is_written_reads_back() {
        for text in [
            "relay",
            "no",
            "NO",
            "12",
            "1e3",
            "0x10",
            "~",
            "a: b",
            "a #b",
            "- x",
            "'q'",
            "\"q\"",
            "[x]",
            "{x}",
            "tab\there",
            "x\\y",
            "é",
            "Battery, 12 V",
            "trailing ",
            " lead",
            "null",
            "1.5",
            ".5",
            "a:",
            "2026-05-04",
            "@x",
            "=1+1",
            "x\u{202e}y",
            "!tag",
            "&a",
            "*a",
            "%x",
            "|",
            ">",
            "?",
            "12:30",
            "1_000",
            "42 x 31 x 17 cm",
            "9 lb 4 oz",
            "50 %",
        ] {
            let doc = format!(
                "k: {}\nl: [{}]\nm: {{a: {}}}\n",
                scalar(text),
                in_flow(text),
                in_flow(text)
            );
            let read: serde_yaml::Value = serde_yaml::from_str(&doc).unwrap();
            let count = text == "12";
            assert_eq!(read["k"].as_str(), Some(text), "{doc}");
            for value in [&read["l"][0], &read["m"]["a"]] {
                assert!(
                    value.as_str() == Some(text) || count && value.as_u64() == Some(12),
                    "{doc}"
                );
            }
        }
    }
}
