//! What goes first, line by line from the highest limit down.

use super::{Page, Tone};
use crate::ask::shed::{Below, Crew, CrewOutcome, Shed, Step};
use crate::load::{MoveOrder, PartyIx};
use crate::report::shed::By;
use crate::report::shed::words as say;
use crate::report::text::{columns, right, wrap};
use crate::report::{CAUTION, Style, known};
use tumpline_core::text::clean;

pub(in crate::report) fn shed(order: &MoveOrder, by: By<'_>, style: &Style, loads: bool) -> String {
    let width = style.width.clamp(60, 120);
    let mut page = Page { order, style: *style, width, lines: Vec::new() };
    page.title();
    match by {
        By::Limit(shed) => page.by_limit(shed, loads),
        By::People(party, crews) => page.by_people(party, crews, loads),
    }
    page.blank();
    page.say(CAUTION, 0, Tone::Plain);
    let mut text = page.lines.join("\n");
    text.push('\n');
    text
}

/// The cells before the text, and the text.
type Cells = ([String; 3], String);

impl Page<'_> {
    fn by_limit(&mut self, shed: &Shed, loads: bool) {
        self.say(&format!("{}. {}", say::TITLE_LIMIT, say::whose(self.order)), 0, Tone::Plain);
        if shed.steps.is_empty() {
            self.blank();
            match &shed.none {
                Some(reason) => {
                    self.say("No plan exists, not even at 150 % of the limits.", 0, Tone::Bad);
                    self.say(&format!("Why: {}.", clean(&reason.text)), 0, Tone::Plain);
                }
                None => {
                    self.say(known::NONE_FOUND, 0, Tone::Plain);
                    self.say(known::NO_PROOF, 0, Tone::Plain);
                    self.say(known::MORE_OR_LOOSER, 0, Tone::Plain);
                }
            }
            return;
        }
        self.say(&self.sum(shed), 0, Tone::Plain);
        let cells: Vec<Cells> =
            shed.steps.iter().enumerate().map(|(i, s)| self.cells(i == 0, s)).collect();
        let head = ["limit", "value", "total"].map(str::to_string);
        let widths = widths(&head, &cells);
        let (mut over, mut within, mut given_up) = (false, false, false);
        for (i, (step, cells)) in shed.steps.iter().zip(&cells).enumerate() {
            let start = match (step.over, step.needs.is_empty()) {
                (true, _) => (!std::mem::replace(&mut over, true)).then_some(say::OVER),
                (_, true) => (!std::mem::replace(&mut within, true)).then_some("Within the limits"),
                _ => (!std::mem::replace(&mut given_up, true)).then_some("Needs given up"),
            };
            if let Some(start) = start {
                self.heading(start);
                self.row(&head, "what goes, against the line above", &widths, Tone::Faint);
            }
            let tone = if step.over { Tone::Bad } else { Tone::Plain };
            self.row(&cells.0, &cells.1, &widths, tone);
            if loads {
                self.under(&say::loads(self.order, &step.planned.findings), &widths);
            }
            let last = i + 1 == shed.steps.len();
            let below = shed.below.get(i).copied().unwrap_or(Below::Next);
            if let Some(below) = say::below(self.order, below, last) {
                self.under(&below, &widths);
            }
        }
        if let Some(note) = note(shed) {
            self.blank();
            self.say(note, 0, Tone::Plain);
        }
    }

    /// What fits within the limits, of how much.
    fn sum(&self, shed: &Shed) -> String {
        match shed.steps.iter().find(|s| !s.over && s.needs.is_empty()) {
            Some(step) => format!(
                "Of wants worth {}, {} fit within the limits, at {} of them.",
                shed.wanted,
                say::value(step),
                say::percent(step.from)
            ),
            None => "Nothing that meets the needs fits within the limits.".into(),
        }
    }

    fn cells(&self, first: bool, step: &Step) -> Cells {
        let total = step.planned.findings.total_carried.rounded(self.order.units());
        let text = match say::needs(self.order, step) {
            Some(needs) => needs,
            None => say::changes(self.order, first, &step.goes, &step.comes),
        };
        ([say::from(step), say::value(step), total], text)
    }

    fn by_people(&mut self, party: PartyIx, crews: &[Crew], loads: bool) {
        let first = format!(
            "{}, the last one written staying behind first.",
            say::title_people(self.order, party)
        );
        self.say(&first, 0, Tone::Plain);
        self.blank();
        let head = ["people", "value", "fullest"].map(str::to_string);
        let cells: Vec<Cells> = crews.iter().map(|c| self.crew_cells(crews, c)).collect();
        let widths = widths(&head, &cells);
        self.row(&head, "what goes, against the line above", &widths, Tone::Faint);
        for (crew, cells) in crews.iter().zip(&cells) {
            let tone = match crew.outcome {
                CrewOutcome::NoPlan(_) => Tone::Bad,
                _ => Tone::Plain,
            };
            self.row(&cells.0, &cells.1, &widths, tone);
            if let (true, Some(planned)) = (loads, crew.planned()) {
                self.under(&say::loads(self.order, &planned.findings), &widths);
            }
        }
    }

    fn crew_cells(&self, crews: &[Crew], crew: &Crew) -> Cells {
        let (value, share) = match crew.planned() {
            Some(planned) => {
                let found = &planned.findings;
                (found.wants_value.to_string(), say::percent(found.peak_share))
            }
            None => ("-".into(), "-".into()),
        };
        let before = crews.iter().take_while(|c| c.who.len() > crew.who.len());
        let first = before.filter_map(Crew::planned).count() == 0;
        let change = say::crew_change(self.order, first, crew);
        let text = match crew.without {
            None => change,
            Some(_) => format!("{}: {change}", say::crew(self.order, crew)),
        };
        ([crew.who.len().to_string(), value, share], text)
    }

    fn row(&mut self, cells: &[String; 3], text: &str, widths: &[usize; 3], tone: Tone) {
        let unicode = self.style.unicode;
        let cells: Vec<String> =
            cells.iter().zip(widths).map(|(c, w)| right(c, *w, unicode)).collect();
        let head = format!("{}  ", cells.join("  "));
        let indent = columns(&head);
        for (i, line) in wrap(text, self.width, indent, unicode).into_iter().enumerate() {
            let line = match i {
                0 => format!("{head}{}", &line[indent.min(line.len())..]),
                _ => line,
            };
            let line = self.paint(tone, &line);
            self.lines.push(line);
        }
    }

    /// A line that goes with the row above.
    fn under(&mut self, text: &str, widths: &[usize; 3]) {
        self.say(text, widths.iter().sum::<usize>() + 6, Tone::Plain);
    }
}

fn widths(head: &[String; 3], rows: &[Cells]) -> [usize; 3] {
    let mut widths = head.each_ref().map(|h| columns(h));
    for (cells, _) in rows {
        for (width, cell) in widths.iter_mut().zip(cells) {
            *width = columns(cell).max(*width);
        }
    }
    widths
}

/// How to read what is not exact.
fn note(shed: &Shed) -> Option<&'static str> {
    if shed.cut_short {
        Some(
            "Cut short: where two numbers stand, the truth is between them, and steps between \
             may be missing. Give it more time, as in `--time 60s`.",
        )
    } else if shed.steps.iter().any(|s| !s.exact()) {
        Some(
            "Where two numbers stand, the truth is between them: as near as was asked. `--gap 0%` \
             and `--time` ask for more.",
        )
    } else {
        None
    }
}
