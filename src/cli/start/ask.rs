//! The questions, on a terminal: each says what is taken if nothing is typed.

use super::answers::{self, Answers, USUAL_LIMIT, USUAL_NAME, USUAL_PEOPLE, usual_body};
use crate::cli::Failure;
use crate::cli::args::Start;
use crate::quantity::Units;
use std::io::{BufRead, Read, Write};

/// More than any answer takes.
const MOST_BYTES: u64 = 4096;

/// The answers: as given, else as typed where `input` can be asked, else the
/// usual ones.
pub(super) fn answers(
    args: &Start,
    input: Option<&mut dyn BufRead>,
    err: &mut dyn Write,
) -> Result<Answers, Failure> {
    let mut asker = Asker { input, err };
    let name =
        asker.ask(args.name.clone(), "What is the move called?", USUAL_NAME, answers::name)?;
    let people = USUAL_PEOPLE.to_string();
    let people = asker.ask(args.people, "How many people go?", &people, answers::people)?;
    let vehicle = (args.vehicle || args.no_vehicle).then_some(args.vehicle);
    let vehicle =
        asker.ask(vehicle, "Does a vehicle keep what nobody takes?", "yes", answers::yes)?;
    let units = args.units.map(Units::from);
    let units = asker.ask(units, "Metric or imperial units?", "metric", answers::units)?;
    let body = asker.ask(
        args.body_mass.clone(),
        "What does each of them weigh? (one figure; the file has a line for each)",
        usual_body(units),
        answers::body_mass,
    )?;
    let limit = asker.ask(
        args.limit.clone(),
        "The most each may bear, worn included: a share of body mass, or a mass?\n  \
         (The usual 25 % is guidance, a teaching rule; no limit makes a load safe.)",
        USUAL_LIMIT,
        answers::limit,
    )?;
    Ok(Answers { name, people, vehicle, units, body, limit })
}

struct Asker<'a, 'b> {
    input: Option<&'a mut (dyn BufRead + 'b)>,
    err: &'a mut dyn Write,
}

impl Asker<'_, '_> {
    /// What was given, or an answer that passes; the usual one if the line is
    /// empty or nobody can be asked.
    fn ask<T>(
        &mut self,
        given: Option<T>,
        question: &str,
        usual: &str,
        check: impl Fn(&str) -> Result<T, String>,
    ) -> Result<T, Failure> {
        if let Some(given) = given {
            return Ok(given);
        }
        let Some(input) = &mut self.input else { return check(usual).map_err(Failure::Usage) };
        loop {
            // If standard error is gone, there is nobody to ask.
            let shown = write!(self.err, "{question} [{usual}] ").and_then(|()| self.err.flush());
            let mut line = Vec::new();
            let read = input.by_ref().take(MOST_BYTES).read_until(b'\n', &mut line);
            if shown.is_err() || !matches!(read, Ok(1..)) || line.last() != Some(&b'\n') {
                let _ = writeln!(self.err);
                let what = "the questions were not answered to the end; nothing was written";
                return Err(Failure::Usage(what.into()));
            }
            let line = String::from_utf8_lossy(&line);
            let line = line.trim();
            match check(if line.is_empty() { usual } else { line }) {
                Ok(answer) => return Ok(answer),
                Err(told) => drop(writeln!(self.err, "  {told}")),
            }
        }
    }
}
