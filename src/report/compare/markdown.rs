//! Loadouts side by side for a page or a ticket.

use super::{closing, rows};
use crate::ask::compare::Loadout;
use crate::report::page::markdown::{escape, escape_clean};

pub(super) fn render(loadouts: &[Loadout]) -> String {
    let mut out = String::from("# Loadouts side by side\n\n");
    for (n, l) in loadouts.iter().enumerate() {
        out.push_str(&format!("- {}: {}\n", rows::letter(n), escape(&l.label)));
        if let Some(why) = rows::why(l) {
            out.push_str(&format!("  {}\n", escape_clean(&why)));
        }
    }
    let letters: Vec<String> = (0..loadouts.len()).map(rows::letter).collect();
    for section in rows::sections(loadouts) {
        let rules = vec!["---:"; loadouts.len()].join(" | ");
        out.push_str(&format!("\n## {}\n\n", section.title));
        out.push_str(&format!("| | {} | differs |\n", letters.join(" | ")));
        out.push_str(&format!("| :--- | {rules} | :--- |\n"));
        for row in &section.rows {
            let cells: Vec<String> = row.cells.iter().map(|c| escape_clean(c)).collect();
            let differs = if row.differs() { "yes" } else { "" };
            let label = escape_clean(&row.label);
            out.push_str(&format!("| {label} | {} | {differs} |\n", cells.join(" | ")));
        }
    }
    for (n, difference) in rows::differences(loadouts) {
        let (a, b) = (rows::letter(0), rows::letter(n));
        if difference.more.is_empty() && difference.less.is_empty() {
            out.push_str(&format!("\n{a} and {b} take the same.\n"));
            continue;
        }
        let list = |things| escape_clean(&rows::listed(things));
        out.push_str(&format!("\n{b} has and {a} lacks: {}\n", list(&difference.more)));
        out.push_str(&format!("\n{a} has and {b} lacks: {}\n", list(&difference.less)));
    }
    out.push_str(&format!("\n{}\n", closing()));
    out
}
