//! The text of a JSON document, in which nothing acts on a terminal.

use serde::Serialize;
use tumpline_core::text::acts;

/// The document over several lines, with a line feed at its end.
pub(super) fn pretty(document: &impl Serialize) -> String {
    // Nothing in a document can fail to serialise: no map with odd keys.
    let text = serde_json::to_string_pretty(document).unwrap_or_default();
    let mut out = escape(&text);
    out.push('\n');
    out
}

/// JSON lets DEL, C1 controls and bidi overrides stand in a string; a terminal
/// would act on them. Written as `\u....` the string is the same.
fn escape(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        if acts(c) && c != '\n' {
            let mut units = [0u16; 2];
            for unit in c.encode_utf16(&mut units) {
                out.push_str(&format!("\\u{unit:04x}"));
            }
        } else {
            out.push(c);
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn escaped_text_reads_back_the_same() {
        let name = "a\u{7f}b\u{9b}c\u{202e}d\u{2028}e\u{e0001}f\n\u{1b}[31m 担架";
        let text = escape(&serde_json::to_string(name).unwrap());
        assert!(!text.chars().any(acts), "{text}");
        assert_eq!(serde_json::from_str::<String>(&text).unwrap(), name);
    }
}
