//! Who carries what, party by party, and what stays.

use super::{Page, Tone};
use crate::load::{MoveOrder, PartyIx};
use crate::report::page::terminal::Grid;
use crate::report::text::{columns, fit, left, right};
use crate::report::words;
use crate::split::{CarrierFinding, Findings, Line};

const INDENT: usize = 2;

impl Page<'_> {
    pub(super) fn loads(&mut self, findings: &Findings) {
        let head = Head::new(self, findings);
        let all: Vec<&Line> = findings.carriers.iter().flat_map(|c| &c.lines).collect();
        // One set of widths for the whole report, so that masses line up.
        let widths = items(self.order, &all).widths(self.width - INDENT);
        for p in 0..self.order.parties().len() {
            self.heading(&words::party(self.order, PartyIx(p)));
            let carriers = findings.carriers.iter().filter(|c| c.party == PartyIx(p));
            for (n, carrier) in carriers.enumerate() {
                if n > 0 {
                    self.blank();
                }
                self.carrier(carrier, &head, &widths);
            }
        }
    }

    fn carrier(&mut self, c: &CarrierFinding, head: &Head, widths: &[usize]) {
        let unicode = self.style.unicode;
        let name = words::carrier_name(self.order, c.carrier);
        if let Some(vehicle) = words::rides_in(self.order, c.carrier) {
            let vehicle = words::carrier_name(self.order, vehicle);
            self.bold_start(&fit(&name, self.width, unicode), "");
            self.say(&format!("rides in {vehicle}"), INDENT, Tone::Plain);
            return;
        }
        let over = words::over(c, self.order.units());
        let name = left(&name, head.name, unicode);
        let load = right(&words::load_of_limit(c, self.order.units()), head.load, unicode);
        let share = words::share(words::load_share(c));
        let bar = bar(c, head.bar, unicode);
        let bar = self.paint(if over.is_some() { Tone::Bad } else { Tone::Plain }, &bar);
        let rest = format!("  {load}  {}  {bar}", right(&share, head.share, unicode));
        self.bold_start(&name, &rest);
        if let Some(over) = over {
            self.say(&over, INDENT, Tone::Bad);
        }
        self.say(&words::details(self.order, c).join(", "), INDENT, Tone::Plain);
        if c.lines.is_empty() {
            self.say("nothing", INDENT, Tone::Plain);
            return;
        }
        let lines: Vec<&Line> = c.lines.iter().collect();
        let lines = items(self.order, &lines).lines(widths, INDENT, unicode);
        self.lines.extend(lines);
    }

    fn bold_start(&mut self, shown: &str, rest: &str) {
        let shown = self.paint(Tone::Head, shown);
        self.lines.push(format!("{shown}{rest}").trim_end().to_string());
    }

    /// What nobody takes, where no store keeps it.
    pub(super) fn left(&mut self, findings: &Findings) {
        if self.order.store().is_some() || findings.left.is_empty() {
            return;
        }
        self.heading("Left behind");
        let rows = findings
            .left
            .iter()
            .map(|l| vec![l.count.to_string(), words::item_name(self.order, l.item)]);
        let grid = Grid { rows: rows.collect(), align: "rl", gives: &[(1, 10)] };
        let widths = grid.widths(self.width - INDENT);
        self.lines.extend(grid.lines(&widths, INDENT, self.style.unicode));
    }
}

fn items(order: &MoveOrder, lines: &[&Line]) -> Grid<'static> {
    let rows = lines.iter().map(|l| {
        vec![
            l.count.to_string(),
            words::item_name(order, l.item),
            words::way(order, l),
            l.mass.rounded(order.units()),
        ]
    });
    Grid { rows: rows.collect(), align: "rllr", gives: &[(1, 20), (2, 16)] }
}

/// The widths of the columns of a carrier's first line.
struct Head {
    name: usize,
    load: usize,
    share: usize,
    bar: usize,
}

impl Head {
    fn new(page: &Page<'_>, findings: &Findings) -> Head {
        let widest = |f: &dyn Fn(&CarrierFinding) -> String| {
            findings.carriers.iter().map(|c| columns(&f(c))).max().unwrap_or(0)
        };
        let load = widest(&|c| words::load_of_limit(c, page.order.units())).min(page.width / 3);
        let share = widest(&|c| words::share(words::load_share(c))).min(page.width / 6);
        let bar = if page.width >= 100 { 30 } else { 20 };
        let room = page.width.saturating_sub(load + share + bar + 6);
        let name = widest(&|c| words::carrier_name(page.order, c.carrier)).clamp(10, room.max(10));
        Head { name, load, share, bar }
    }
}

/// How full, rounded down: only a carrier at its limit has a full bar.
fn bar(c: &CarrierFinding, width: usize, unicode: bool) -> String {
    let permille = words::load_share(c).permille_up().min(1000) as usize;
    let full = if c.load >= c.limit { width } else { permille * width / 1000 };
    let full = full.min(if c.load < c.limit { width.saturating_sub(1) } else { width });
    let (on, off) = if unicode { ("█", "░") } else { ("#", ".") };
    format!("{}{}", on.repeat(full), off.repeat(width - full))
}
