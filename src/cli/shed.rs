//! `tumpline shed MOVE`: what goes first.

use super::args::{ByChoice, Shed, ShedFormatChoice};
use super::{Code, Failure, World, files, interrupt, output, progress};
use crate::ask::Oracle;
use crate::ask::shed::{self, Crew};
use crate::kit::nearest;
use crate::load::{MoveOrder, PartyIx, Travel};
use crate::report::shed::{By, ShedFormat, render};
use tumpline_core::text::clean;

pub(super) fn run(args: &Shed, world: &mut World<'_>) -> Result<Code, Failure> {
    let env = world.env;
    let read = files::read_move(&args.path, env.colour(world.colour, env.err_is_terminal))?;
    let order = &read.order;
    let _ = write!(world.err, "{}", read.warnings);
    output::not_read(args.output.as_deref(), &read.files)?;
    let party = party(args, order)?;
    if args.needs && args.by == ByChoice::People {
        return Err(Failure::Usage("`--needs` goes with `--by limit`".into()));
    }
    if args.needs && order.needs().iter().all(|n| n.priority.is_none()) {
        let what = "no need of this move has a `priority`, so none may be given up";
        return Err(Failure::Usage(what.into()));
    }
    if args.by == ByChoice::Limit && shed::bearers(order).is_empty() {
        let what = "nobody goes anywhere outside the store, so no limit can fall";
        return Err(Failure::Usage(what.into()));
    }
    let to_file = args.output.is_some();
    let style = env.style(world.colour, args.looks.ascii, args.looks.width, to_file);
    let format = match args.format {
        ShedFormatChoice::Table => ShedFormat::Table,
        ShedFormatChoice::Json => ShedFormat::Json,
        ShedFormatChoice::Csv => ShedFormat::Csv,
        ShedFormatChoice::Svg => ShedFormat::Svg,
    };
    let (options, watch) = (args.search.options(), interrupt::watch());
    let show = env.can_show() && !args.search.quiet;
    let (text, code) = progress::during(show, options.time, order.units(), &watch, || {
        let oracle = Oracle::new(&options, &watch);
        match party {
            None => {
                let found = shed::by_limit(order, &oracle, args.needs);
                (render(order, By::Limit(&found), format, &style, args.loads), code(&found))
            }
            Some(party) => {
                let crews = shed::by_people(order, party, &oracle);
                let by = By::People(party, &crews);
                (render(order, by, format, &style, args.loads), code_of_crews(&crews))
            }
        }
    });
    output::put(world, args.output.as_ref(), &text)?;
    Ok(code)
}

fn code(found: &shed::Shed) -> Code {
    match (&found.none, found.cut_short) {
        (Some(_), _) => Code::No,
        (None, true) => Code::Limit,
        (None, false) => Code::Ok,
    }
}

fn code_of_crews(crews: &[Crew]) -> Code {
    if crews.iter().any(Crew::cut_short) {
        Code::Limit
    } else if crews.iter().all(|c| c.planned().is_none()) {
        Code::No
    } else {
        Code::Ok
    }
}

/// The party whose size is varied; none by limit.
fn party(args: &Shed, order: &MoveOrder) -> Result<Option<PartyIx>, Failure> {
    let usage = |what: String| Err(Failure::Usage(what));
    let Some(id) = &args.party else {
        return match (args.by, shed::varied_party(order)) {
            (ByChoice::Limit, _) => Ok(None),
            (_, Some(party)) => Ok(Some(party)),
            _ => usage("nobody goes on foot outside the store in this move".into()),
        };
    };
    if args.by == ByChoice::Limit {
        return usage("`--party` goes with `--by people`".into());
    }
    let walks = |p: usize| {
        let party = &order.parties()[p];
        let people = party.who.iter().any(|c| order.carrier(*c).person().is_some());
        party.travel == Travel::Foot && !order.is_store(PartyIx(p)) && people
    };
    let walking: Vec<usize> = (0..order.parties().len()).filter(|p| walks(*p)).collect();
    if let Some(p) = walking.iter().find(|p| order.parties()[**p].id == *id) {
        return Ok(Some(PartyIx(*p)));
    }
    let ids = walking.iter().map(|p| order.parties()[*p].id.as_str());
    let meant =
        nearest(id, ids.clone()).map_or(String::new(), |n| format!("; did you mean `{n}`?"));
    let all: Vec<String> = ids.map(|id| format!("`{id}`")).collect();
    let there = match all.is_empty() {
        true => "nobody goes on foot outside the store".into(),
        false => format!("on foot are {}", all.join(", ")),
    };
    usage(format!("`{}` is no party on foot of this move; {there}{meant}", clean(id)))
}
