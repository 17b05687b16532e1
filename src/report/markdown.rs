//! Markdown for a page or a ticket: headings and pipe tables.

use super::page::markdown::{escape, escape_clean};
use super::{CAUTION, More, anew as changed, explained, known, more, words};
use crate::ask::{Explanation, Replanned};
use crate::load::{MoveOrder, PartyIx};
use crate::quantity::Amount;
use crate::split::{Answer, CarrierFinding, Findings, Outcome, Planned, Reason};
use tumpline_core::text::clean;

pub(super) fn render(order: &MoveOrder, answer: &Answer, more: &More) -> String {
    let mut page = Page { order, out: format!("# {}\n", escape(order.name())) };
    match &answer.outcome {
        Outcome::Plan(planned) => page.plan(answer, planned, more),
        Outcome::NoPlan(reason) => {
            page.paragraph(words::NO_PLAN);
            page.paragraph(&format!("Why: {}.", escape(&reason.text)));
            if let Some(place) = &reason.place {
                page.paragraph(&format!("Where: {}", escape(&place.to_string())));
            }
            more.explanation.into_iter().for_each(|why| page.explained(reason, why));
        }
        Outcome::NoneFound => {
            let [what, proof, advice] = known::none_found(answer);
            let stopped = known::stopped(answer);
            let told = [Some(what), stopped, Some(proof), Some(advice)];
            page.paragraph(&told.into_iter().flatten().collect::<Vec<_>>().join(" "));
        }
    }
    if let (Some(anew), Outcome::NoPlan(_) | Outcome::NoneFound) = (more.anew, &answer.outcome) {
        page.anew(anew);
    }
    page.out
}

struct Page<'a> {
    order: &'a MoveOrder,
    out: String,
}

impl Page<'_> {
    fn explained(&mut self, given: &Reason, explanation: &Explanation) {
        for (k, conflict) in explanation.conflicts.iter().enumerate() {
            self.heading(2, &explained::heading(k, explanation));
            let (told, more) = explained::told_to_people(self.order, conflict);
            let rows = told.into_iter().map(|p| vec![p.text, p.place.unwrap_or_default()]);
            let rows = rows.chain(more.map(|m| vec![m, String::new()]));
            self.table(&[("part", 'l'), ("place", 'l')], rows.collect());
            let reason = explained::reason(conflict, given);
            reason.into_iter().for_each(|r| self.paragraph(&escape(&r)));
            self.paragraph(explained::known(conflict));
        }
        if explanation.more {
            self.paragraph(explained::MORE);
        }
        self.heading(2, explained::CHANGES);
        self.paragraph(&explained::intro(explanation));
        let rows = explained::lines(explanation).into_iter().enumerate().map(|(k, offers)| {
            let (text, edits) = explained::line(self.order, offers);
            vec![(k + 1).to_string(), text, edits.join("; ")]
        });
        let head = [("", 'r'), ("change", 'l'), ("in the files", 'l')];
        let rows: Vec<Vec<String>> = rows.collect();
        if !rows.is_empty() {
            self.table(&head, rows);
        }
        if !explanation.complete {
            self.paragraph(&escape(explained::INCOMPLETE));
        }
        self.paragraph(CAUTION);
    }

    fn plan(&mut self, answer: &Answer, planned: &Planned, more: &More) {
        let mut head = vec![known::verdict(planned, self.order.units())];
        head.extend(known::stopped(answer));
        head.push(words::checks(planned));
        head.extend(more::holds(self.order, more));
        self.paragraph(&head.join(" "));
        if let Some(anew) = more.anew {
            self.anew(anew);
        }
        if more.brief {
            self.more(more);
            return self.caution();
        }
        self.loads(&planned.findings);
        self.needs(&planned.findings);
        self.supplies(&planned.findings);
        self.wants(&planned.findings);
        self.goals(planned);
        self.more(more);
        self.caution();
    }

    fn caution(&mut self) {
        self.paragraph(CAUTION);
    }

    fn anew(&mut self, anew: &Replanned) {
        self.weighed(anew);
        let planned = matches!(anew.answer.outcome, Outcome::Plan(_));
        if !planned && !changed::told_anyhow(anew) {
            return;
        }
        self.heading(2, "Changes from the plan before");
        self.paragraph(&escape_clean(&changed::summary(anew)));
        let used = anew.used.iter();
        let used = used.map(|u| format!("Used up: {}.", escape_clean(&changed::used_up(anew, u))));
        used.for_each(|line| self.paragraph(&line));
        let moved = anew.hand_overs.iter().map(|h| {
            let name = words::item_name(&anew.order, h.item);
            let word = changed::verb(anew, h).to_string();
            vec![word, h.count.to_string(), name, changed::path(anew, h)]
        });
        let other = changed::gone_and_new(anew)
            .into_iter()
            .map(|(word, n, name)| vec![word.into(), n.to_string(), name, String::new()]);
        let head = [("", 'l'), ("count", 'r'), ("item", 'l'), ("who", 'l')];
        self.table(&head, moved.chain(other).collect());
    }

    fn weighed(&mut self, anew: &Replanned) {
        let Some(found) = &anew.weighed else { return };
        let units = anew.order.units();
        self.heading(2, "Weighed against the catalogue");
        let rows = found.differ.iter().map(|(item, was, is)| {
            let name = words::item_name(&anew.order, *item);
            let by = changed::difference(*was, *is, units);
            vec![name, was.rounded(units), is.rounded(units), by]
        });
        let head = [("item", 'l'), ("listed", 'r'), ("weighed", 'r'), ("difference", 'r')];
        self.table(&head, rows.collect());
        let mut said = vec![changed::by_the_scales(anew, &found.over)];
        said.extend(found.over.iter().map(|o| escape_clean(&changed::over(anew, o))));
        self.paragraph(&said.join(" "));
    }

    fn loads(&mut self, findings: &Findings) {
        for p in 0..self.order.parties().len() {
            self.heading(2, &words::party(self.order, PartyIx(p)));
            for c in findings.carriers.iter().filter(|c| c.party == PartyIx(p)) {
                self.carrier(c);
            }
        }
        if self.order.store().is_none() && !findings.left.is_empty() {
            self.heading(2, "Left behind");
            let rows = findings
                .left
                .iter()
                .map(|l| vec![l.count.to_string(), words::item_name(self.order, l.item)]);
            self.table(&[("count", 'r'), ("item", 'l')], rows.collect());
        }
    }

    fn carrier(&mut self, c: &CarrierFinding) {
        let units = self.order.units();
        self.heading(3, &words::carrier_name(self.order, c.carrier));
        if let Some(vehicle) = words::rides_in(self.order, c.carrier) {
            let vehicle = words::carrier_name(self.order, vehicle);
            return self.paragraph(&format!("rides in {}", escape_clean(&vehicle)));
        }
        let share = words::share(words::load_share(c));
        let mut facts = vec![format!("{} ({share})", words::load_of_limit(c, units))];
        facts.extend(words::over(c, units));
        facts.extend(words::details(self.order, c));
        self.paragraph(&facts.join(", "));
        let rows = c.lines.iter().map(|l| {
            vec![
                l.count.to_string(),
                words::item_name(self.order, l.item),
                words::way(self.order, l),
                l.mass.rounded(units),
            ]
        });
        let head = [("count", 'r'), ("item", 'l'), ("way", 'l'), ("mass", 'r')];
        self.table(&head, rows.collect());
    }

    fn needs(&mut self, findings: &Findings) {
        let order = self.order;
        let rows = order.needs().iter().zip(&findings.needs).map(|(need, found)| {
            vec![
                if found.met { "met" } else { "NOT MET" }.to_string(),
                clean(&order.party(need.party).id),
                clean(&need.name),
                words::met_by(order, found).join("; "),
            ]
        });
        let head = [("", 'l'), ("party", 'l'), ("need", 'l'), ("by", 'l')];
        self.section("Needs", &head, rows.collect());
    }

    fn supplies(&mut self, findings: &Findings) {
        let order = self.order;
        let rows = findings.supplies.iter().map(|s| {
            let supply = order.catalogue().supply(s.supply);
            let amount = |base| Amount::new(supply.dimension, base);
            vec![
                clean(&order.party(s.party).id),
                clean(&supply.id),
                amount(s.there).rounded(order.units()),
                amount(s.demand).rounded(order.units()),
                words::margin(amount(s.there), amount(s.demand), order.units()),
                words::sources(order, s),
            ]
        });
        let head = [
            ("party", 'l'),
            ("supply", 'l'),
            ("there", 'r'),
            ("needed", 'r'),
            ("margin", 'r'),
            ("from", 'l'),
        ];
        self.section("Supplies", &head, rows.collect());
    }

    fn wants(&mut self, findings: &Findings) {
        let order = self.order;
        let rows = order.wants().iter().zip(&findings.wants).map(|(want, taken)| {
            vec![
                format!("{taken} of {}", want.up_to),
                words::item_name(order, want.item),
                clean(&order.party(want.party).id),
                want.value.to_string(),
            ]
        });
        let title = format!("Wants: value {} taken", findings.wants_value);
        let head = [("taken", 'l'), ("item", 'l'), ("party", 'l'), ("value of each", 'r')];
        self.section(&title, &head, rows.collect());
    }

    fn goals(&mut self, planned: &Planned) {
        let units = self.order.units();
        let rows = planned.goals.iter().map(|g| {
            let mut known = vec![words::goal_known(g, units)];
            known.extend(known::goal_gave_way(g, units));
            vec![
                g.goal.word().to_string(),
                g.goal.words().measures.to_string(),
                words::goal_value(g.value, units),
                known.join("; "),
            ]
        });
        let head = [("goal", 'l'), ("what", 'l'), ("value", 'r'), ("known", 'l')];
        self.section("Goals, in their order", &head, rows.collect());
    }

    fn more(&mut self, asked: &More) {
        let order = self.order;
        let drop_outs = asked.survival.into_iter().flat_map(|s| &s.drop_outs);
        let rows = drop_outs.map(|d| {
            let [who, load, share] = more::fullest(order, d);
            vec![more::dropped(order, d), who, load, share, more::put_down(d)]
        });
        let head =
            [("without", 'l'), ("fullest", 'l'), ("load", 'r'), ("share", 'r'), ("left", 'l')];
        self.section("If one drops out, of the emergency limit", &head, rows.collect());
        for price in asked.prices {
            let rows = price.goals.iter().map(|g| more::price_row(g, order.units()));
            let head = [("goal", 'l'), ("with", 'r'), ("without", 'r'), ("price", 'l')];
            self.section(more::price_title(price), &head, rows.collect());
            if let Some(note) = more::price_note(price) {
                self.paragraph(note);
            }
        }
    }

    /// A heading and a table; nothing where there are no rows.
    fn section(&mut self, title: &str, head: &[(&str, char)], rows: Vec<Vec<String>>) {
        if !rows.is_empty() {
            self.heading(2, title);
            self.table(head, rows);
        }
    }

    /// `text` is clean but not escaped.
    fn heading(&mut self, level: usize, text: &str) {
        self.out.push_str(&format!("\n{} {}\n", "#".repeat(level), escape_clean(text)));
    }

    /// `text` is Markdown.
    fn paragraph(&mut self, text: &str) {
        self.out.push_str(&format!("\n{text}\n"));
    }

    /// Cells are clean but not escaped.
    fn table(&mut self, head: &[(&str, char)], rows: Vec<Vec<String>>) {
        if rows.is_empty() {
            return;
        }
        let names: Vec<&str> = head.iter().map(|(name, _)| *name).collect();
        let rule = |(_, align): &(&str, char)| if *align == 'r' { "---:" } else { ":---" };
        let rules: Vec<&str> = head.iter().map(rule).collect();
        self.out.push_str(&format!("\n| {} |\n| {} |\n", names.join(" | "), rules.join(" | ")));
        for row in rows {
            let cells: Vec<String> = row.iter().map(|c| escape_clean(c)).collect();
            self.out.push_str(&format!("| {} |\n", cells.join(" | ")));
        }
    }
}
