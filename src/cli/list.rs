//! `tumpline list PATH`: what the crew has, and who carries.

use super::args::{List, ListFormat};
use super::{Code, Failure, World, columns, files, output, workbook};
use crate::kit;
use crate::report::list::{Column, Listing, Of, Section, columns as all, page};
use tumpline_core::text::clean;

pub(super) fn run(args: &List, world: &mut World<'_>) -> Result<Code, Failure> {
    let env = world.env;
    if args.columns.as_deref().is_some_and(|c| c.trim() == "help") {
        output::page(world, told(args))?;
        return Ok(Code::Ok);
    }
    if args.format == ListFormat::Xlsx {
        workbook::possible(args.output.as_deref(), env)?;
    }
    let colour = env.colour(world.colour, env.err_is_terminal);
    let read = kit::read_stock(&args.path).map_err(|faults| files::failure(&faults, colour))?;
    let _ = write!(world.err, "{}", files::rendered(&read.warnings, colour));
    output::not_read(args.output.as_deref(), &read.files)?;
    let wanted = |of: &Of| match args.only {
        Some(only) => Of::from(only) == *of,
        // Carriers have no tags.
        None => args.tag.is_empty() || *of == Of::Equipment,
    };
    let mut listing = Listing::default();
    for of in [Of::Equipment, Of::Carriers].iter().filter(|of| wanted(of)) {
        listing.sections.extend(read.stocks.iter().filter_map(|s| Section::new(s, *of)));
    }
    // Where equipment and carriers are there, the columns asked for tell which
    // of them is meant.
    let fits = |of: Of| named(args, of).is_ok();
    if listing.sections.iter().any(|s| fits(s.of)) {
        listing.sections.retain(|s| fits(s.of));
    }
    possible(args, &listing)?;
    for section in &mut listing.sections {
        arrange(args, section)?;
    }
    let to_file = args.output.is_some();
    let style = env.style(world.colour, args.looks.ascii, args.looks.width, to_file);
    let bytes = output::bytes(&page(&listing), args.format.text(), &style)?;
    output::put(world, args.output.as_ref(), &bytes)?;
    Ok(Code::Ok)
}

/// Whether there is something to list, and of one kind where only one will do.
fn possible(args: &List, listing: &Listing) -> Result<(), Failure> {
    let kinds = |of| listing.sections.iter().any(|s| s.of == of);
    let usage = |what: String| Err(Failure::Usage(what));
    let path = clean(&args.path.display().to_string());
    match (kinds(Of::Equipment), kinds(Of::Carriers)) {
        (false, false) => {
            let of = args.only.map_or(Of::Equipment, Of::from).word();
            usage(format!("`{path}` has no {of} to list"))
        }
        (true, true) if args.format == ListFormat::Csv => usage(format!(
            "`{path}` has equipment and carriers, and CSV holds one table: add `--only equipment` \
             or `--only carriers`"
        )),
        (false, true) if !args.tag.is_empty() => usage("carriers have no tags".into()),
        _ => Ok(()),
    }
}

/// The columns asked for, and the one to sort by and whether downwards.
type Named = (Option<Vec<usize>>, Option<(usize, bool)>);

fn named(args: &List, of: Of) -> Result<Named, Failure> {
    let names: Vec<&str> = all(of).iter().map(|c| c.name).collect();
    let picked = args.columns.as_ref().map(|asked| columns::pick(asked, &names)).transpose()?;
    let sort = args.sort.as_ref().map(|sort| {
        let (name, down) = sort.strip_prefix('-').map_or((sort.as_str(), false), |n| (n, true));
        match columns::pick(name, &names)?[..] {
            [at] => Ok((at, down)),
            _ => Err(Failure::Usage("`--sort` takes one column".into())),
        }
    });
    Ok((picked, sort.transpose()?))
}

fn arrange(args: &List, section: &mut Section) -> Result<(), Failure> {
    let (picked, sort) = named(args, section.of)?;
    if !args.tag.is_empty() {
        section.tagged(&args.tag);
    }
    if let Some((at, down)) = sort {
        section.sort(at, down);
    }
    match picked {
        Some(places) => section.pick(&places),
        None if matches!(args.format, ListFormat::Table | ListFormat::Markdown) => section.usual(),
        None => {}
    }
    Ok(())
}

/// What every column means.
fn told(args: &List) -> String {
    let kinds = match args.only {
        Some(only) => vec![Of::from(only)],
        None => vec![Of::Equipment, Of::Carriers],
    };
    let of = |of: Of| {
        let line = |c: &Column| {
            let reckoned = if c.reckoned { " (reckoned)" } else { "" };
            format!("  {:<17}{}{reckoned}\n", c.name, c.meaning)
        };
        let lines: String = all(of).iter().map(line).collect();
        format!("Columns of {}:\n{lines}", of.word())
    };
    kinds.into_iter().map(of).collect::<Vec<_>>().join("\n")
}
