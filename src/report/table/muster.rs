//! The check of holdings on a terminal: what is not in order first.

use super::paint::{Paint, Tone};
use crate::ask::muster::{Line, Muster};
use crate::report::muster::{Report, words};
use crate::report::text::{columns, fit, left, right, wrap};
use crate::report::{CAUTION, Style};
use tumpline_core::text::clean;

/// Blanks between columns.
const GAP: usize = 2;
/// What names may take at the least.
const NAMES: usize = 12;
/// From here on there is room for the mass of each item.
const WIDE: usize = 90;

struct Sheet {
    style: Style,
    width: usize,
    lines: Vec<String>,
}

pub(in crate::report) fn muster(report: &Report<'_>, style: &Style) -> String {
    let width = style.width.clamp(60, 120);
    let mut sheet = Sheet { style: *style, width, lines: Vec::new() };
    let muster = report.muster;
    let name = fit(&clean(&muster.name), width, style.unicode);
    sheet.lines.push(sheet.paint(Tone::Head, &name));
    let tone = if report.in_order() { Tone::Good } else { Tone::Bad };
    sheet.say(&words::verdict(report), 0, tone);
    sheet.differences(muster);
    sheet.moves(report);
    sheet.holdings(report);
    sheet.cases(report);
    sheet.heading("Mass");
    for (label, mass) in words::masses(muster) {
        sheet.lines.push(format!("  {} {}", left(label, 14, true), right(&mass, 14, true)));
    }
    sheet.lines.push(String::new());
    sheet.say(CAUTION, 0, Tone::Plain);
    let mut text = sheet.lines.join("\n");
    text.push('\n');
    text
}

impl Sheet {
    fn paint(&self, tone: Tone, text: &str) -> String {
        Paint { colour: self.style.colour }.text(tone, text)
    }

    fn say(&mut self, text: &str, indent: usize, tone: Tone) {
        for line in wrap(text, self.width, indent, self.style.unicode) {
            self.lines.push(self.paint(tone, &line));
        }
    }

    fn heading(&mut self, text: &str) {
        let rule = if self.style.unicode { "─" } else { "-" }.repeat(self.width);
        self.lines.push(String::new());
        self.lines.push(self.paint(Tone::Head, text));
        self.lines.push(self.paint(Tone::Faint, &rule));
    }

    /// A name, wrapped, and cells to its right in the first line.
    fn row(&mut self, indent: usize, name: &str, cells: &[(String, usize)]) {
        let unicode = self.style.unicode;
        let taken: usize = cells.iter().map(|(_, width)| width + GAP).sum();
        let room = self.width.saturating_sub(taken).max(NAMES);
        let names = wrap(name, room, indent, unicode);
        for (n, name) in names.iter().enumerate() {
            let mut line = left(name, room, unicode);
            for (cell, width) in cells.iter().filter(|_| n == 0) {
                line.push_str(&" ".repeat(GAP));
                line.push_str(&right(cell, *width, unicode));
            }
            self.lines.push(line.trim_end().to_string());
        }
    }

    fn differences(&mut self, muster: &Muster) {
        let (Some(told), Some(count)) = (words::counted(muster), &muster.count) else { return };
        self.heading("Recorded and counted");
        self.say(&told, 0, Tone::Plain);
        for d in &count.differences {
            let (item, at) = words::counting(&muster.catalogue, &d.counted.what);
            let how = words::by_how_much(d);
            let numbers = format!("recorded {}, counted {}", d.recorded, d.counted.count);
            self.say(&format!("{item}, {at}: {numbers}, {how}"), 2, Tone::Bad);
            let aside = words::aside(d);
            if !aside.is_empty() {
                self.say(&aside, 6, Tone::Plain);
            }
        }
    }

    fn moves(&mut self, report: &Report<'_>) {
        let Some(moves) = report.moves else { return };
        self.heading("Moves, with what is fit for use");
        if moves.is_empty() {
            self.say("There is no move to ask.", 2, Tone::Plain);
        }
        let tone = |bad| if bad { Tone::Bad } else { Tone::Plain };
        for m in moves {
            let (bad, outlook) = words::outlook(m, report.seconds);
            self.say(&format!("{}: {outlook}", clean(m.order.name())), 2, tone(bad));
            for (bad, loss) in words::losses(m) {
                self.say(&loss, 6, tone(bad));
            }
        }
    }

    fn holdings(&mut self, report: &Report<'_>) {
        let muster = report.muster;
        let wide = self.width >= WIDE;
        let widths = |cells: [String; 8], head: bool| {
            let most = ["scale", "held", "shelf", "issued", "unserv.", "loan", "fit", "mass"];
            let totals = self::numbers(muster);
            let mut out = Vec::new();
            for (i, (cell, most)) in cells.into_iter().zip(most).enumerate() {
                let width = columns(most).max(totals.get(i).map_or(0, |t| columns(t)));
                match i {
                    7 if !wide => {}
                    _ => out.push((if head { most.to_string() } else { cell }, width)),
                }
            }
            out
        };
        let which = if report.brief { "Holdings, loose, that differ" } else { "Holdings, loose" };
        self.heading(which);
        let head = widths(Default::default(), true);
        self.row(0, "item", &head);
        for line in report.lines() {
            let cells = widths(self::cells(muster, line), false);
            self.row(0, &words::name(&muster.catalogue, line.item), &cells);
            for (bad, remark) in words::remarks(line) {
                self.say(&remark, 4, if bad { Tone::Bad } else { Tone::Plain });
            }
        }
        let cells = widths(self::numbers(muster), false);
        self.row(0, &words::all(muster), &cells);
    }

    fn cases(&mut self, report: &Report<'_>) {
        let muster = report.muster;
        if report.cases().next().is_none() {
            return;
        }
        self.heading(if report.brief { "Cases that differ" } else { "Cases" });
        let cells =
            |ought: String, found: String, state: String| [(ought, 5), (found, 5), (state, 9)];
        self.row(4, "what is in it", &cells("ought".into(), "found".into(), String::new()));
        for case in report.cases() {
            let state = words::case_state(case, muster.units);
            let name = words::case_name(&muster.catalogue, case);
            let tone = if case.short() > 0 { Tone::Bad } else { Tone::Plain };
            self.say(&format!("{name}: {state}"), 0, tone);
            for (i, ought, found) in words::told(report, case) {
                let state = words::content(ought, found);
                let cells = cells(ought.to_string(), found.to_string(), state);
                self.row(4, &words::name(&muster.catalogue, i), &cells);
            }
        }
    }
}

fn cells(muster: &Muster, line: &Line) -> [String; 8] {
    let h = &line.holding;
    [
        line.scale.to_string(),
        h.held.to_string(),
        h.shelf.to_string(),
        h.issued_total().to_string(),
        h.unserviceable.to_string(),
        h.on_loan_total().to_string(),
        h.fit().to_string(),
        line.mass.rounded(muster.units),
    ]
}

/// The sums of the columns, which are as wide as any of them.
fn numbers(muster: &Muster) -> [String; 8] {
    let t = &muster.totals;
    let sums = [t.scale, t.held, t.shelf, t.issued, t.unserviceable, t.on_loan, t.fit];
    let mut out: [String; 8] = Default::default();
    for (cell, sum) in out.iter_mut().zip(sums) {
        *cell = sum.to_string();
    }
    out[7] = t.mass.rounded(muster.units);
    out
}
