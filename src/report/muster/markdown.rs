//! A muster for a page or a ticket.

use super::{Report, words};
use crate::report::CAUTION;
use crate::report::markdown::{escape, escape_clean};

pub(super) fn render(report: &Report<'_>) -> String {
    let muster = report.muster;
    let catalogue = &muster.catalogue;
    let mut out = format!("# {}\n\n{}\n", escape(&muster.name), words::verdict(report));
    let text = |s: &str| escape_clean(s);
    if let (Some(told), Some(count)) = (words::counted(muster), &muster.count) {
        out.push_str(&format!("\n## Recorded and counted\n\n{told}\n"));
        if !count.differences.is_empty() {
            out.push_str("\n| item | where | recorded | counted | | |\n");
            out.push_str("| :--- | :--- | ---: | ---: | :--- | :--- |\n");
        }
        for d in &count.differences {
            let (item, at) = words::counting(catalogue, &d.counted.what);
            out.push_str(&format!(
                "| {} | {} | {} | {} | {} | {} |\n",
                text(&item),
                text(&at),
                d.recorded,
                d.counted.count,
                words::by_how_much(d),
                text(&words::aside(d))
            ));
        }
    }
    if let Some(moves) = report.moves {
        out.push_str("\n## Moves\n\n");
        if moves.is_empty() {
            out.push_str("There is no move to ask.\n");
        }
        for m in moves {
            let (_, outlook) = words::outlook(m, report.seconds);
            out.push_str(&format!("- {}: {}\n", escape(m.order.name()), text(&outlook)));
            for (_, loss) in words::losses(m) {
                out.push_str(&format!("  - {}\n", text(&loss)));
            }
        }
    }
    out.push_str("\n## Holdings\n\n");
    out.push_str("| item | scale | held | shelf | issued | unserviceable | on loan | fit | |\n");
    out.push_str("| :--- | ---: | ---: | ---: | ---: | ---: | ---: | ---: | :--- |\n");
    for line in report.lines() {
        let h = &line.holding;
        let remarks: Vec<String> = words::remarks(line).into_iter().map(|(_, r)| r).collect();
        out.push_str(&format!(
            "| {} | {} | {} | {} | {} | {} | {} | {} | {} |\n",
            text(&words::name(catalogue, line.item)),
            line.scale,
            h.held,
            h.shelf,
            h.issued_total(),
            h.unserviceable,
            h.on_loan_total(),
            h.fit(),
            text(&remarks.join("; "))
        ));
    }
    let t = &muster.totals;
    out.push_str(&format!(
        "| **{}** | {} | {} | {} | {} | {} | {} | {} | |\n",
        words::all(muster),
        t.scale,
        t.held,
        t.shelf,
        t.issued,
        t.unserviceable,
        t.on_loan,
        t.fit
    ));
    if report.cases().next().is_some() {
        out.push_str("\n## Cases\n\n| case | item | ought | found | |\n");
        out.push_str("| :--- | :--- | ---: | ---: | :--- |\n");
        for case in report.cases() {
            let state = words::case_state(case, muster.units);
            let name = text(&words::case_name(catalogue, case));
            out.push_str(&format!("| **{name}** | | | | {} |\n", text(&state)));
            for (i, ought, found) in words::told(report, case) {
                let item = text(&words::name(catalogue, i));
                let state = words::content(ought, found);
                out.push_str(&format!("| | {item} | {ought} | {found} | {state} |\n"));
            }
        }
    }
    out.push_str("\n## Mass\n\n| | |\n| :--- | ---: |\n");
    for (label, mass) in words::masses(muster) {
        out.push_str(&format!("| {label} | {mass} |\n"));
    }
    out.push_str(&format!("\n{CAUTION}\n"));
    out
}
