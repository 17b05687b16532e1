//! The table for a terminal: to be read cold, in a hurry, with gloves on.

mod anew;
mod explained;
mod loads;
mod more;
mod outcome;
mod tail;

use super::more::holds;
use super::page::terminal::{Paint, Tone};
use super::text::{fit, wrap};
use super::{CAUTION, More, Style, known, words};
use crate::load::MoveOrder;
use crate::split::{Answer, Outcome, Planned, Status};
use tumpline_core::text::clean;

/// The lines of a report, none wider than the terminal.
struct Page<'a> {
    order: &'a MoveOrder,
    style: Style,
    width: usize,
    lines: Vec<String>,
}

pub(super) fn render(order: &MoveOrder, answer: &Answer, more: &More, style: &Style) -> String {
    let mut page = Page::new(order, style);
    page.title();
    match &answer.outcome {
        Outcome::Plan(planned) => page.plan(answer, planned, more),
        Outcome::NoPlan(reason) => {
            page.no_plan(reason);
            more.explanation.into_iter().for_each(|why| page.explained(reason, why));
        }
        Outcome::NoneFound => page.none_found(answer),
    }
    if let (Some(anew), Outcome::NoPlan(_) | Outcome::NoneFound) = (more.anew, &answer.outcome) {
        page.anew(anew);
    }
    page.text()
}

impl<'a> Page<'a> {
    fn new(order: &'a MoveOrder, style: &Style) -> Self {
        let width = style.width.clamp(60, 120);
        Page { order, style: *style, width, lines: Vec::new() }
    }

    fn text(self) -> String {
        let mut text = self.lines.join("\n");
        text.push('\n');
        text
    }

    fn plan(&mut self, answer: &Answer, planned: &Planned, more: &More) {
        let tone = match planned.status {
            Status::ProvenBest | Status::WithinGap => Tone::Good,
            Status::Feasible => Tone::Plain,
        };
        self.say(&known::verdict(planned, self.order.units()), 0, tone);
        if let Some(stopped) = known::stopped(answer) {
            self.say(&stopped, 0, Tone::Plain);
        }
        let broken = planned.findings.needs.iter().any(|n| !n.met)
            || planned.findings.carriers.iter().any(|c| c.load > c.usable);
        self.say(&words::checks(planned), 0, if broken { Tone::Bad } else { Tone::Plain });
        for holds in holds(self.order, more) {
            self.say(&holds, 0, Tone::Plain);
        }
        if let Some(anew) = more.anew {
            self.anew(anew);
        }
        if more.brief {
            self.more(more);
            return self.caution();
        }
        self.loads(&planned.findings);
        self.left(&planned.findings);
        self.needs(&planned.findings);
        self.supplies(&planned.findings);
        self.wants(&planned.findings);
        self.goals(planned);
        self.more(more);
        self.caution();
    }

    fn caution(&mut self) {
        self.blank();
        self.say(CAUTION, 0, Tone::Plain);
    }

    fn title(&mut self) {
        let name = fit(&clean(self.order.name()), self.width, self.style.unicode);
        let name = self.paint(Tone::Head, &name);
        self.lines.push(name);
    }

    fn heading(&mut self, text: &str) {
        self.blank();
        let text = fit(text, self.width, self.style.unicode);
        let rule = if self.style.unicode { "─" } else { "-" };
        let rule = rule.repeat(self.width);
        let text = self.paint(Tone::Head, &text);
        self.lines.push(text);
        self.lines.push(self.paint(Tone::Faint, &rule));
    }

    fn blank(&mut self) {
        self.lines.push(String::new());
    }

    /// Wrapped text, already clean.
    fn say(&mut self, text: &str, indent: usize, tone: Tone) {
        for line in wrap(text, self.width, indent, self.style.unicode) {
            let line = self.paint(tone, &line);
            self.lines.push(line);
        }
    }

    fn paint(&self, tone: Tone, text: &str) -> String {
        Paint { colour: self.style.colour }.text(tone, text)
    }
}
