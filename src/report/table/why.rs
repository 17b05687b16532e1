//! Why an item is where it is: a line for each other way, and what it costs.

use super::grid::Grid;
use super::{Page, Tone};
use crate::ask::{Verdict, Why};
use crate::load::MoveOrder;
use crate::report::text::fit;
use crate::report::{CAUTION, Style};
use crate::report::{known, why as told, words};
use crate::split::GoalResult;

const INDENT: usize = 2;

pub(in crate::report) fn why(order: &MoveOrder, why: &Why, style: &Style) -> String {
    let mut page = Page::new(order, style);
    page.title();
    page.say(&told::question(order, why.item), 0, Tone::Plain);
    page.say(&known::verdict(&why.planned, order.units()), 0, Tone::Plain);
    page.heading("Where it is");
    for line in told::whereabouts(order, why) {
        page.say(&line, INDENT, Tone::Plain);
    }
    let said = told::said_of_it(order, why.item);
    if !said.is_empty() {
        page.heading("What is said of it");
        said.iter().for_each(|line| page.say(line, INDENT, Tone::Plain));
    }
    page.heading("Other ways, one unit at a time");
    page.others(why);
    page.blank();
    page.say(CAUTION, 0, Tone::Plain);
    page.text()
}

impl Page<'_> {
    fn others(&mut self, why: &Why) {
        let goals = &why.planned.goals;
        let head = goals.iter().map(|g| g.goal.word().to_string());
        let mut rows = vec![std::iter::once(String::new()).chain(head).collect::<Vec<_>>()];
        rows.push(self.values("as planned".into(), goals));
        for other in &why.others {
            rows.push(self.values(told::instead(self.order, other.instead), &other.goals));
        }
        let align = &"lrrrrrr"[..=goals.len().min(5)];
        let grid = Grid { rows, align, gives: &[(0, 16)] };
        let widths = grid.widths(self.width - INDENT);
        let mut rows = grid.rows.into_iter();
        for row in rows.by_ref().take(2) {
            let row = Grid { rows: vec![row], align, gives: &[] };
            self.lines.extend(row.lines(&widths, INDENT, self.style.unicode));
        }
        for (other, row) in why.others.iter().zip(rows) {
            match other.goals.is_empty() {
                // Without values the name has the whole line.
                true => {
                    let name = fit(&row[0], self.width - INDENT, self.style.unicode);
                    self.lines.push(format!("{}{name}", " ".repeat(INDENT)));
                }
                false => {
                    let row = Grid { rows: vec![row], align, gives: &[] };
                    self.lines.extend(row.lines(&widths, INDENT, self.style.unicode));
                }
            }
            let tone = match other.verdict {
                Verdict::Forbidden { .. } => Tone::Bad,
                _ => Tone::Plain,
            };
            for line in told::verdict(self.order, why, other) {
                self.say(&line, INDENT + 2, tone);
            }
        }
        if why.others.is_empty() {
            self.say("There is no other way: everybody has all of it.", INDENT, Tone::Plain);
        }
        if why.not_tried > 0 {
            let more = words::plural(why.not_tried, "way was", "ways were");
            let help = format!("{more} not tried; ask about one carrier with `--at`");
            self.say(&help, INDENT, Tone::Plain);
        }
    }

    fn values(&self, name: String, goals: &[GoalResult]) -> Vec<String> {
        let values = goals.iter().map(|g| words::goal_value(g.reached, self.order.units()));
        std::iter::once(name).chain(values).collect()
    }
}
