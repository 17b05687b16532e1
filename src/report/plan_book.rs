//! The plan as a workbook: a sheet for loads, one for who carries what, for
//! needs, supplies, wants, what stays and goals, and the cautions.

mod beside;

use super::carried::{CARRIED_COLUMNS, Carried, asked, carried};
use super::page::sheets::{Book, Sheet};
use super::page::{Cell, Kind};
use super::{CAUTION, More, known, more, words, worst};
use crate::load::MoveOrder;
use crate::quantity::Dimension;
use crate::split::{Answer, Findings, Outcome, Planned};

pub(super) fn render(order: &MoveOrder, answer: &Answer, more: &More) -> Result<Vec<u8>, String> {
    let mut book = Book::new(order.name(), order.units());
    let mut pages = Pages { order, book: &mut book };
    match &answer.outcome {
        Outcome::Plan(planned) => pages.plan(answer, planned, more),
        Outcome::NoPlan(reason) => pages.no_plan(reason, more),
        Outcome::NoneFound => {
            let lines = known::stopped(answer).into_iter().chain(known::none_found(answer));
            pages.lines("Answer", lines)
        }
    }
    let mut cautions = vec![CAUTION.to_string()];
    if matches!(answer.outcome, Outcome::Plan(_)) {
        cautions.extend(more::holds(order, more));
    }
    pages.lines("Cautions", cautions);
    book.bytes()
}

struct Pages<'a> {
    order: &'a MoveOrder,
    book: &'a mut Book,
}

impl Pages<'_> {
    fn plan(&mut self, answer: &Answer, planned: &Planned, more: &More) {
        let findings = &planned.findings;
        self.loads(answer, planned);
        self.carried(answer, more.columns);
        self.needs(findings);
        self.supplies(findings);
        self.wants(findings);
        self.stays(findings);
        self.goals(answer, planned);
        self.conditions(more);
        self.changes(more);
    }

    fn loads(&mut self, answer: &Answer, planned: &Planned) {
        let order = self.order;
        let mut sheet = self
            .status(Sheet::new("Loads"), answer, planned)
            .note(CAUTION)
            .column("Party", Kind::Text)
            .column("Carrier", Kind::Text)
            .column("Name", Kind::Text)
            .summed("Kit", Kind::Mass)
            .summed("Worn or people aboard", Kind::Mass)
            .summed("Load", Kind::Mass)
            .column("Limit", Kind::Mass)
            .column("May be used", Kind::Mass)
            .column("Share of limit", Kind::Share)
            .column("Bulk", Kind::Bulk)
            .column("Room", Kind::Bulk)
            .column("Hands free", Kind::Count)
            .column("Hands", Kind::Count)
            .column("Remark", Kind::Text)
            .total("Total");
        for c in &planned.findings.carriers {
            let who = order.carrier(c.carrier);
            let ids = [order.party(c.party).id.as_str(), &who.id, &who.name].map(Cell::from);
            let mut row = Vec::from(ids);
            if let Some(vehicle) = words::rides_in(order, c.carrier) {
                // Weighs on the vehicle, and is in its row.
                row.resize(13, Cell::None);
                row.push(Cell::from(format!("rides in {}", order.carrier(vehicle).name)));
                sheet.row(row);
                continue;
            }
            let person = who.person().is_some();
            let hands = |n: u32| if person { Cell::Count(n.into()) } else { Cell::None };
            row.extend([
                Cell::Mass(c.load.saturating_sub(c.burden)),
                Cell::Mass(c.burden),
                Cell::Mass(c.load),
                Cell::Mass(c.limit),
                Cell::Mass(c.usable),
                Cell::Share(words::load_share(c)),
                Cell::Bulk(c.bulk),
                c.room.map_or(Cell::None, Cell::Bulk),
                hands(c.hands.saturating_sub(c.hands_used)),
                hands(c.hands),
            ]);
            let remarks = words::over(c, order.units()).into_iter().chain(worst::worst(order, c));
            row.push(Cell::from(remarks.collect::<Vec<_>>().join("; ")));
            sheet.row(row);
        }
        self.book.sheet(sheet);
    }

    fn carried(&mut self, answer: &Answer, columns: &[usize]) {
        let columns = asked(columns);
        let mut sheet = Sheet::new("Who carries what").note(
            "What two carry between them has a row with each, with that one's share of the mass.",
        );
        for c in &columns {
            let name = CARRIED_COLUMNS.get(*c).copied().unwrap_or_default();
            sheet = match name {
                "count" => sheet.column("Count", Kind::Count),
                "mass_g" => sheet.summed("Mass", Kind::Mass),
                name => sheet.column(&headed(name), Kind::Text),
            };
        }
        sheet = sheet.total("Total");
        for row in carried(self.order, answer) {
            let all = self.cells(&row);
            sheet.row(columns.iter().filter_map(|c| all.get(*c).cloned()).collect());
        }
        self.book.sheet(sheet);
    }

    /// In the order of [`CARRIED_COLUMNS`].
    fn cells(&self, row: &Carried) -> [Cell; 10] {
        let order = self.order;
        let item = order.item(row.item);
        let of = |text: Option<&str>| text.map_or(Cell::None, Cell::from);
        let carrier = row.by.map(|(_, c)| order.carrier(c));
        [
            Cell::from(row.state),
            of(row.by.map(|(p, _)| order.party(p).id.as_str())),
            of(carrier.map(|c| c.id.as_str())),
            of(carrier.map(|c| c.name.as_str())),
            Cell::from(&item.id),
            Cell::from(&item.name),
            Cell::Count(row.count.into()),
            of(row.way.map(|w| w.word())),
            of(row.with.map(|c| order.carrier(c).id.as_str())),
            row.mass.map_or(Cell::None, Cell::Mass),
        ]
    }

    fn needs(&mut self, findings: &Findings) {
        let order = self.order;
        let columns = ["Party", "Need", "Met", "By"];
        let rows = order.needs().iter().zip(&findings.needs).map(|(need, found)| {
            vec![
                order.party(need.party).id.clone(),
                need.name.clone(),
                if found.met { "met" } else { "NOT MET" }.into(),
                words::met_by(order, found).join("; "),
            ]
        });
        self.texts("Needs", &columns, rows.collect());
    }

    fn supplies(&mut self, findings: &Findings) {
        let order = self.order;
        let mut sheet = Sheet::new("Supplies")
            .column("Party", Kind::Text)
            .column("Supply", Kind::Text)
            .column("There", Kind::Number)
            .column("Needed", Kind::Number)
            .column("To spare", Kind::Number)
            .column("Unit", Kind::Text)
            .column("From", Kind::Text);
        for s in &findings.supplies {
            let supply = order.catalogue().supply(s.supply);
            let (word, unit) = unit(supply.dimension);
            let number = |base| Cell::Number { base, unit };
            let spare = match s.there.checked_sub(s.demand) {
                Some(spare) => number(spare),
                None => Cell::from("SHORT"),
            };
            sheet.row(vec![
                Cell::from(&order.party(s.party).id),
                Cell::from(&supply.id),
                number(s.there),
                number(s.demand),
                spare,
                Cell::from(word),
                Cell::from(words::sources(order, s)),
            ]);
        }
        self.book.sheet(sheet);
    }

    fn wants(&mut self, findings: &Findings) {
        let order = self.order;
        let mut sheet = Sheet::new("Wants")
            .column("Party", Kind::Text)
            .column("Item", Kind::Text)
            .column("Name", Kind::Text)
            .column("Taken", Kind::Count)
            .column("Up to", Kind::Count)
            .column("Value of each", Kind::Count)
            .summed("Value taken", Kind::Count)
            .total("Total");
        for (want, taken) in order.wants().iter().zip(&findings.wants) {
            let item = order.item(want.item);
            let taken = u64::from((*taken).min(want.up_to));
            sheet.row(vec![
                Cell::from(&order.party(want.party).id),
                Cell::from(&item.id),
                Cell::from(&item.name),
                Cell::Count(taken),
                Cell::Count(want.up_to.into()),
                Cell::Count(want.value.into()),
                Cell::Count(taken * u64::from(want.value)),
            ]);
        }
        self.book.sheet(sheet);
    }

    fn stays(&mut self, findings: &Findings) {
        let order = self.order;
        let mut sheet = Sheet::new("What stays")
            .note(match order.store() {
                Some(_) => "With the store: what no other party takes.",
                None => "Left behind: what nobody takes.",
            })
            .column("Item", Kind::Text)
            .column("Name", Kind::Text)
            .column("Count", Kind::Count)
            .column("Mass of one", Kind::Mass)
            .summed("Mass", Kind::Mass)
            .total("Total");
        for left in &findings.left {
            let item = order.item(left.item);
            sheet.row(vec![
                Cell::from(&item.id),
                Cell::from(&item.name),
                Cell::Count(left.count.into()),
                Cell::Mass(item.mass),
                Cell::Mass(item.mass * left.count),
            ]);
        }
        self.book.sheet(sheet);
    }

    fn goals(&mut self, answer: &Answer, planned: &Planned) {
        let units = self.order.units();
        let mut sheet = self
            .status(Sheet::new("Goals and status"), answer, planned)
            .column("Goal", Kind::Text)
            .column("What", Kind::Text)
            .column("Value", Kind::Text)
            .column("Known", Kind::Text);
        for g in &planned.goals {
            let mut known = vec![words::goal_known(g, units)];
            known.extend(known::goal_gave_way(g, units));
            let value = words::goal_value(g.value, units);
            let cells = [g.goal.word(), words::goal_measure(g.goal), &value, &known.join("; ")];
            sheet.row(cells.map(Cell::from).into());
        }
        self.book.sheet(sheet);
    }

    fn status(&self, sheet: Sheet, answer: &Answer, planned: &Planned) -> Sheet {
        let verdict = known::verdict(planned, self.order.units());
        let told = [verdict, words::checks(planned)].into_iter().chain(known::stopped(answer));
        told.fold(sheet, |sheet, line| sheet.note(&line))
    }

    fn some(&mut self, name: &str, columns: &[&str], rows: Vec<Vec<String>>) {
        if !rows.is_empty() {
            self.texts(name, columns, rows);
        }
    }

    fn texts(&mut self, name: &str, columns: &[&str], rows: Vec<Vec<String>>) {
        let sheet = Sheet::new(name);
        let mut sheet = columns.iter().fold(sheet, |s, head| s.column(head, Kind::Text));
        rows.into_iter().for_each(|row| sheet.row(row.into_iter().map(Cell::Text).collect()));
        self.book.sheet(sheet);
    }

    fn lines(&mut self, name: &str, lines: impl IntoIterator<Item = String>) {
        let sheet = lines.into_iter().fold(Sheet::new(name), |s, line| s.note(&line));
        self.book.sheet(sheet);
    }
}

/// `carrier_name` as a header: `Carrier name`.
fn headed(name: &str) -> String {
    let words = name.replace('_', " ");
    let mut letters = words.chars();
    letters.next().map_or(String::new(), |first| first.to_uppercase().chain(letters).collect())
}

/// The unit that amounts are shown in, and how many base units it has.
fn unit(dimension: Dimension) -> (&'static str, u64) {
    match dimension {
        Dimension::Length => ("m", 1_000),
        Dimension::Energy => ("Wh", 1_000),
        Dimension::Bulk => ("L", 1_000),
        Dimension::Mass => ("kg", 1_000_000),
        Dimension::Count => ("", 1),
    }
}
