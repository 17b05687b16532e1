//! `tumpline why MOVE ITEM`: read, ask, report.

use super::args::{Why, WhyFormat};
use super::{Code, Failure, World, files, find, interrupt, output, progress};
use crate::ask::{self, Oracle};
use crate::load::{ItemIx, MoveOrder};
use crate::report;

pub(super) fn run(args: &Why, world: &mut World<'_>) -> Result<Code, Failure> {
    let env = world.env;
    let read = files::read_move(&args.path, env.colour(world.colour, env.err_is_terminal))?;
    let order = &read.order;
    let _ = write!(world.err, "{}", read.warnings);
    let item = find::item(order, &args.item)?;
    loose(order, item)?;
    let carrier = args.at.as_deref().map(|at| find::carrier(order, at)).transpose()?;
    if let Some(c) = carrier.filter(|c| !order.takes_kit(*c)) {
        let id = &order.carrier(c).id;
        return Err(Failure::Usage(format!("`{id}` carries nothing in this move")));
    }
    if let Some(c) = carrier.filter(|c| order.party_of(*c).is_some_and(|p| order.is_store(p))) {
        let id = &order.carrier(c).id;
        let what = format!("`{id}` is of the store, which has what nobody else takes");
        return Err(Failure::Usage(format!("{what}; ask without `--at` why it stays")));
    }
    let options = args.search.options();
    let watch = interrupt::watch();
    let show = env.can_show() && !args.search.quiet;
    let found = progress::during(show, options.time, order.units(), &watch, || {
        ask::why(order, item, carrier, &Oracle::new(&options, &watch))
    });
    let style = env.style(world.colour, args.looks.ascii, args.looks.width, false);
    match found {
        Ok(why) => {
            let text = match args.format {
                WhyFormat::Table => report::why_table(order, &why, &style),
                WhyFormat::Json => report::why_json(order, &why),
            };
            output::page(world, &text)?;
            Ok(if why.settled() { Code::Ok } else { Code::Limit })
        }
        // There is nothing to ask about: the answer says why.
        Err(answer) => {
            let form = match args.format {
                WhyFormat::Table => report::Format::Table,
                WhyFormat::Json => report::Format::Json,
            };
            output::page(world, report::render(order, &answer, form, &style))?;
            Ok(Code::of(&answer))
        }
    }
}

/// What is only known as content goes where its case goes.
fn loose(order: &MoveOrder, item: ItemIx) -> Result<(), Failure> {
    if order.item(item).held > 0 {
        return Ok(());
    }
    let id = &order.item(item).id;
    let cases = order.catalogue().items().filter(|(case, c)| {
        c.held > 0 && order.catalogue().inside(*case).iter().any(|(i, _)| *i == item)
    });
    let cases: Vec<String> = cases.map(|(_, c)| format!("`{}`", c.id)).collect();
    let help = match cases.is_empty() {
        true => "none is held".to_string(),
        false => format!("it travels inside {}: ask about that", cases.join(", ")),
    };
    Err(Failure::Usage(format!("`{id}` is not carried by itself; {help}")))
}
