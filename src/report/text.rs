//! Fitting text into columns.

use unicode_width::UnicodeWidthStr;

/// Columns that the text takes on a terminal.
pub(crate) fn columns(text: &str) -> usize {
    UnicodeWidthStr::width(text)
}

/// The text cut to `width` columns, with an ellipsis where it was cut.
pub(crate) fn fit(text: &str, width: usize, unicode: bool) -> String {
    if columns(text) <= width {
        return text.to_string();
    }
    let mark = if unicode { "…" } else { "..." };
    let room = width.saturating_sub(columns(mark));
    let mut head = String::new();
    for c in text.chars() {
        head.push(c);
        // The width of the whole, since a joiner makes two characters one.
        if columns(&head) > room {
            head.pop();
            break;
        }
    }
    head.push_str(mark);
    if columns(&head) > width { String::new() } else { head }
}

/// Fits the text and fills up with blanks on the right.
pub(crate) fn left(text: &str, width: usize, unicode: bool) -> String {
    let text = fit(text, width, unicode);
    let fill = width.saturating_sub(columns(&text));
    format!("{text}{}", " ".repeat(fill))
}

/// Fits the text and fills up with blanks on the left.
pub(crate) fn right(text: &str, width: usize, unicode: bool) -> String {
    let text = fit(text, width, unicode);
    let fill = width.saturating_sub(columns(&text));
    format!("{}{text}", " ".repeat(fill))
}

/// Breaks at blanks into lines of at most `width` columns, each after `indent`
/// blanks; a word that is longer than a line is cut.
pub(crate) fn wrap(text: &str, width: usize, indent: usize, unicode: bool) -> Vec<String> {
    let room = width.saturating_sub(indent);
    let pad = " ".repeat(indent);
    let mut lines = Vec::new();
    let mut line = String::new();
    for word in text.split(' ').filter(|w| !w.is_empty()) {
        let word = fit(word, room, unicode);
        let used = columns(&line);
        if used > 0 && used + 1 + columns(&word) > room {
            lines.push(format!("{pad}{line}"));
            line.clear();
        } else if used > 0 {
            line.push(' ');
        }
        line.push_str(&word);
    }
    if !line.is_empty() {
        lines.push(format!("{pad}{line}"));
    }
    lines
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn cut_text_keeps_to_its_columns() {
        for width in 0..12 {
            for text in
                ["担架担架担架担架", "plain ascii text", "e\u{301}e\u{301}e\u{301} 🧑‍🚒🧑‍🚒🧑‍🚒🧑‍🚒🧑‍🚒"]
            {
                for unicode in [true, false] {
                    assert!(columns(&fit(text, width, unicode)) <= width, "{text} in {width}");
                    assert_eq!(columns(&left(text, width, unicode)), width);
                    assert_eq!(columns(&right(text, width, unicode)), width);
                }
            }
        }
        assert_eq!(fit("Operator's satchel", 10, true), "Operator'…");
        assert_eq!(fit("Operator's satchel", 10, false), "Operato...");
    }

    #[test]
    fn wrapping_loses_no_word() {
        let text = "one two  three four five six seven";
        let lines = wrap(text, 12, 2, true);
        assert!(lines.iter().all(|l| l.starts_with("  ") && columns(l) <= 12), "{lines:?}");
        let words: Vec<&str> = lines.iter().flat_map(|l| l.split_whitespace()).collect();
        assert_eq!(words, text.split_whitespace().collect::<Vec<_>>());
    }
}
