//! As much Markdown as the pages of the guide use, read for the terminal.

/// A blank where no line breaks.
pub(super) const FIRM: &str = "\u{a0}";

/// A part of a page.
#[derive(Debug, PartialEq, Eq)]
pub(super) enum Block<'a> {
    Heading {
        level: usize,
        text: String,
    },
    Paragraph(String),
    /// Each line with the sign in front of it: `-`, or a number and a point.
    List(Vec<(&'a str, String)>),
    /// The first row heads the columns.
    Table(Vec<Vec<String>>),
    /// Shown as it stands: a command and what it prints, or lines of a file.
    Fenced {
        kind: &'a str,
        lines: Vec<&'a str>,
    },
}

/// The blocks of a page, links without their targets.
pub(super) fn blocks(page: &str) -> Vec<Block<'_>> {
    let mut blocks = Vec::new();
    let mut lines = page.lines().peekable();
    while let Some(line) = lines.next() {
        if let Some(kind) = line.strip_prefix("```") {
            let inside = lines.by_ref().take_while(|l| *l != "```").collect();
            blocks.push(Block::Fenced { kind, lines: inside });
        } else if let Some(text) = line.trim_start_matches('#').strip_prefix(' ')
            && line.starts_with('#')
        {
            let level = line.len() - text.len() - 1;
            blocks.push(Block::Heading { level, text: plain(text) });
        } else if line.starts_with('|') {
            let mut rows = vec![cells(line)];
            while let Some(line) = lines.next_if(|l| l.starts_with('|')) {
                if !line.starts_with("|-") {
                    rows.push(cells(line));
                }
            }
            blocks.push(Block::Table(rows));
        } else if let Some((sign, text)) = item(line) {
            let mut text = text.to_string();
            while let Some(line) = lines.next_if(|l| l.starts_with("  ")) {
                text.push(' ');
                text.push_str(line.trim_start());
            }
            match blocks.last_mut() {
                Some(Block::List(items)) => items.push((sign, plain(&text))),
                _ => blocks.push(Block::List(vec![(sign, plain(&text))])),
            }
        } else if !line.is_empty() {
            let mut text = line.to_string();
            while let Some(line) = lines.next_if(|l| goes_on(l)) {
                text.push(' ');
                text.push_str(line);
            }
            blocks.push(Block::Paragraph(plain(&text)));
        }
    }
    blocks
}

/// Whether a line belongs to the paragraph before it.
fn goes_on(line: &str) -> bool {
    !line.is_empty() && !line.starts_with(['#', '|', '`']) && item(line).is_none()
        || line.starts_with('`') && !line.starts_with("```")
}

/// The sign of a line of a list, and the rest.
fn item(line: &str) -> Option<(&str, &str)> {
    let (sign, text) = line.split_once(' ')?;
    let number = sign.strip_suffix('.').is_some_and(|n| n.bytes().all(|b| b.is_ascii_digit()));
    (sign == "-" || number && sign.len() > 1).then_some((sign, text))
}

fn cells(line: &str) -> Vec<String> {
    let inside = line.trim_end().trim_start_matches('|').trim_end_matches('|');
    inside.split('|').map(|cell| plain(cell.trim())).collect()
}

/// What is typed is not broken over lines, up to so many bytes.
const MOST_UNBROKEN: usize = 30;

/// Text without the signs that a terminal has no use for, stars among them; backticks stay. Blanks
/// where no line may break are [`FIRM`].
fn plain(text: &str) -> String {
    let bare = unlinked(text);
    let spans = bare.split('`').enumerate().map(|(n, span)| match n % 2 {
        0 => span.replace('*', ""),
        _ if span.len() <= MOST_UNBROKEN => format!("`{}`", span.replace(' ', FIRM)),
        _ => format!("`{span}`"),
    });
    spans.collect()
}

/// Text with what links and pictures are called in their place. Every link says
/// in words where it leads.
pub(super) fn unlinked(text: &str) -> String {
    let mut out = String::new();
    let mut rest = text;
    while let Some((before, after)) = rest.split_once("](") {
        let Some(at) = before.rfind('[') else { break };
        let Some((_, behind)) = after.split_once(')') else { break };
        let (head, name) = before.split_at(at);
        match head.strip_suffix('!') {
            Some(head) => out.push_str(&format!("{head}Picture: {}.", &name[1..])),
            None => out.push_str(&format!("{head}{}", &name[1..])),
        }
        rest = behind;
    }
    out.push_str(rest);
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn blocks_are_told_apart() {
        let page = "# Title\n\nSome **bold** text, see [`tumpline guide why`](why.md)\n`code`.\n\
                    \n1. one\n   goes on\n2. two\n\n- a\n| x | y |\n|---|---|\n| `a` | |\n\n\
                    ```console\n$ tumpline list\n| no table\n```\n![The loads](x.svg)\n";
        let read = blocks(page);
        let text = |t: &str| t.to_string();
        assert_eq!(
            read,
            [
                Block::Heading { level: 1, text: text("Title") },
                Block::Paragraph(text(
                    "Some bold text, see `tumpline\u{a0}guide\u{a0}why` `code`."
                )),
                Block::List(vec![
                    ("1.", text("one goes on")),
                    ("2.", text("two")),
                    ("-", text("a")),
                ]),
                Block::Table(vec![vec![text("x"), text("y")], vec![text("`a`"), text("")]]),
                Block::Fenced { kind: "console", lines: vec!["$ tumpline list", "| no table"] },
                Block::Paragraph(text("Picture: The loads.")),
            ]
        );
    }

    #[test]
    fn what_is_no_link_stays() {
        for text in ["`{apart: [a, b]}` (if so)", "a](b", "[a](b", "2 ** 3", ""] {
            assert_eq!(unlinked(text), text);
        }
    }
}
