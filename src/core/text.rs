//! Making what users typed inert.

/// Whether a character may act on a terminal or reorder what is read: control
/// characters (C0, DEL, C1), line separators, direction marks and overrides,
/// and characters that show nothing. The joiner of emoji is left alone.
pub fn acts(c: char) -> bool {
    c.is_control()
        || matches!(c,
            '\u{61c}' | '\u{180e}' | '\u{200b}' | '\u{200e}' | '\u{200f}'
            | '\u{2028}'..='\u{202e}' | '\u{2060}'..='\u{206f}' | '\u{feff}'
            | '\u{fff9}'..='\u{fffb}' | '\u{e0000}'..='\u{e007f}')
}

/// The text with every character that could act written out: `\n`, `\u{1b}`.
pub fn clean(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '\n' => out.push_str("\\n"),
            '\r' => out.push_str("\\r"),
            '\t' => out.push_str("\\t"),
            c if acts(c) => out.push_str(&format!("\\u{{{:x}}}", u32::from(c))),
            c => out.push(c),
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn whatever_could_act_is_written_out() {
        assert_eq!(clean("a\u{1b}[31mb\nc"), "a\\u{1b}[31mb\\nc");
        assert_eq!(clean("a\u{202e}b\u{9b}c\u{2066}\u{7f}"), "a\\u{202e}b\\u{9b}c\\u{2066}\\u{7f}");
        assert_eq!(clean("\u{61c}\u{200b}\u{e0041}"), "\\u{61c}\\u{200b}\\u{e0041}");
        assert_eq!(clean("Zeltstange, große 担架 🧑‍🚒"), "Zeltstange, große 担架 🧑‍🚒");
    }
}
