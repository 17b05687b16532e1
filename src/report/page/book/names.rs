//! Names that sheets may have.

/// The most UTF-16 units of a name.
const MOST: usize = 31;

/// A name that is allowed and not among `taken`, as near to `wanted` as can be:
/// no `[ ] : * ? / \`, no apostrophe at either end, at most 31 characters, not
/// the reserved word `History`, and unlike the others whatever the case.
pub(super) fn legal(wanted: &str, taken: &[String]) -> String {
    let plain: String =
        wanted.chars().map(|c| if "[]:*?/\\".contains(c) { '-' } else { c }).collect();
    let plain = plain.trim().trim_matches('\'').trim();
    let plain = match plain {
        "" => "Sheet",
        p if p.eq_ignore_ascii_case("history") => "History of the move",
        p => p,
    };
    let is_taken = |name: &str| taken.iter().any(|t| t.to_lowercase() == name.to_lowercase());
    let first = cut(plain, MOST);
    if !is_taken(&first) {
        return first;
    }
    (2..)
        .map(|n| {
            let tail = format!(" {n}");
            format!("{}{tail}", cut(plain, MOST - tail.len()))
        })
        .find(|name| !is_taken(name))
        .unwrap_or(first)
}

fn cut(name: &str, most: usize) -> String {
    let mut used = 0;
    let kept: String = name
        .chars()
        .take_while(|c| {
            used += c.len_utf16();
            used <= most
        })
        .collect();
    kept.trim_end().trim_end_matches('\'').to_string()
}
