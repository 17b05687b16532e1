//! `tumpline muster KIT`: the check of holdings.

use super::args::{FormatChoice, Muster, cells_from};
use super::{Code, Failure, World, files, interrupt, journal, output, progress, workbook};
use crate::ask::Oracle;
use crate::ask::muster::{self as ask, MoveCheck, check_move};
use crate::kit::{self, ReadStores};
use crate::load::MoveOrder;
use crate::report::muster::{
    FormFormat, MoveLine, Report, form, journal_header, journal_lines, page,
};
use crate::split::Options;
use std::path::{Path, PathBuf};

/// What a folder's stores are called.
const STORES: &str = "stores.yaml";

struct Asked {
    file: String,
    order: MoveOrder,
    check: MoveCheck,
}

pub(super) fn run(args: &Muster, world: &mut World<'_>) -> Result<Code, Failure> {
    let env = world.env;
    let colour = env.colour(world.colour, env.err_is_terminal);
    let path = if args.path.is_dir() { args.path.join(STORES) } else { args.path.clone() };
    if args.path.is_dir() && !path.exists() {
        let folder = tumpline_core::text::clean(&args.path.display().to_string());
        return Err(Failure::Unread(format!(
            "error: there is no `{STORES}` in `{folder}`\nhelp: two lines will do to begin with: \
             `stores: NAME` and `equipment: equipment.yaml`; what is not said is as in the catalogue"
        )));
    }
    let read = kit::read_stores(&path).map_err(|faults| files::failure(&faults, colour))?;
    let _ = write!(world.err, "{}", files::rendered(&read.warnings, colour));
    output::not_read(args.output.as_deref(), &read.files)?;
    if args.format == Some(FormatChoice::Xlsx) && !args.blank_count {
        workbook::possible(args.output.as_deref(), env)?;
    }
    if args.blank_count {
        return blank(args, &read, world);
    }
    if args.write && !args.yes && !env.in_is_terminal {
        let what = "`--write` asks before it writes, and nobody is there to answer; give `--yes`";
        return Err(Failure::Usage(what.into()));
    }
    let count = match &args.count {
        None => None,
        Some(sheet) => {
            let from = cells_from(args.sheet.as_deref(), args.separator, args.encoding);
            let count =
                kit::read_count(sheet, &from, &read).map_err(|f| files::failure(&f, colour))?;
            let _ = write!(world.err, "{}", files::rendered(&count.warnings, colour));
            output::not_read(args.output.as_deref(), std::slice::from_ref(&count.file))?;
            Some(count)
        }
    };
    let counted = count.as_ref().map(|c| c.counted.as_slice()).unwrap_or_default();
    let now = read.stores.with(&read.catalogue, counted);
    let outcome =
        count.as_ref().map(|c| ask::count(&read.stores, &read.catalogue, &c.counted, c.blank));
    let orders = moves(args, &path, &read, colour, world)?;
    let options = Options { time: args.time, ..Options::default() };
    let asked = asked(orders, &now, &read, &options, args.quiet, world);
    let muster = ask::muster(&now, &read.catalogue, read.units, outcome);
    let lines: Vec<MoveLine<'_>> = asked
        .iter()
        .map(|a| MoveLine { file: &a.file, order: &a.order, check: &a.check })
        .collect();
    let seconds = options.time.as_secs();
    let moves = (!args.no_moves).then_some(lines.as_slice());
    let report = Report { muster: &muster, moves, seconds, brief: args.brief };
    let style = env.style(world.colour, args.looks.ascii, args.looks.width, args.output.is_some());
    let form = args.format.unwrap_or_default().text();
    let bytes = output::bytes(&page(&report), form, &style)?;
    match &args.output {
        Some(path) => output::replace(path, &bytes)?,
        // Whoever is asked below still has it on the screen.
        None if args.write => output::print(world.out, &bytes)?,
        None => output::page(world, &bytes)?,
    }
    if args.write {
        write(args, &path, &read, &now, &muster, world)?;
    }
    Ok(match (report.in_order(), report.unsettled()) {
        (false, _) => Code::No,
        (true, true) => Code::Limit,
        (true, false) => Code::Ok,
    })
}

/// A sheet to count with.
fn blank(args: &Muster, read: &ReadStores, world: &mut World<'_>) -> Result<Code, Failure> {
    let format = match args.format {
        None | Some(FormatChoice::Csv) => FormFormat::Csv,
        Some(FormatChoice::Markdown) => FormFormat::Markdown,
        Some(_) => {
            let what = "`--blank-count` prints CSV or Markdown: give `--format csv` or `markdown`";
            return Err(Failure::Usage(what.into()));
        }
    };
    let text = form(&read.stores, &read.catalogue, format);
    match &args.output {
        // Somebody may have filled it in.
        Some(path) if path.exists() => {
            let shown = tumpline_core::text::clean(&path.display().to_string());
            let what = format!("`{shown}` is there already, and may hold a count: choose another");
            return Err(Failure::Usage(what));
        }
        Some(path) => output::replace(path, &text)?,
        None => output::page(world, &text)?,
    }
    Ok(Code::Ok)
}

/// The moves that were named, else those beside the stores file. Faults of all
/// of them are reported.
fn moves(
    args: &Muster,
    stores: &Path,
    read: &ReadStores,
    colour: bool,
    world: &mut World<'_>,
) -> Result<Vec<(String, MoveOrder)>, Failure> {
    if args.no_moves {
        return Ok(Vec::new());
    }
    let named = !args.moves.is_empty();
    let paths = if named { args.moves.clone() } else { beside(stores)? };
    let (mut out, mut faults) = (Vec::new(), Vec::new());
    for path in &paths {
        match files::read_move(path, colour) {
            Err(fault) => faults.push(fault),
            Ok(found) => {
                let _ = write!(world.err, "{}", found.warnings);
                output::not_read(args.output.as_deref(), &found.files)?;
                let file = path.display().to_string();
                let own = |order: &MoveOrder| {
                    let (mut a, mut b) = (order.catalogue().items(), read.catalogue.items());
                    order.catalogue().len() == read.catalogue.len()
                        && a.by_ref().zip(b.by_ref()).all(|((_, a), (_, b))| a.id == b.id)
                };
                if named && !own(&found.order) {
                    let file = tumpline_core::text::clean(&file);
                    let what = format!("the move `{file}` has other equipment than these stores");
                    return Err(Failure::Usage(what));
                }
                out.push((file, found.order));
            }
        }
    }
    // Every faulty file is reported; the last one as the failure itself.
    if let Some(last) = faults.pop() {
        faults.iter().for_each(|f| drop(writeln!(world.err, "{f}")));
        return Err(last);
    }
    Ok(out)
}

fn beside(stores: &Path) -> Result<Vec<PathBuf>, Failure> {
    let folder = match stores.parent() {
        Some(folder) if folder != Path::new("") => folder.to_path_buf(),
        _ => PathBuf::from("."),
    };
    let fault = |e: std::io::Error| {
        let name = tumpline_core::text::clean(&folder.display().to_string());
        Failure::Unread(format!("error: cannot read the folder `{name}`: {e}"))
    };
    let mut out = Vec::new();
    for entry in std::fs::read_dir(&folder).map_err(fault)? {
        let name = entry.map_err(fault)?.file_name();
        let text = name.to_string_lossy();
        let hidden = text.starts_with('.');
        if !hidden && (text.ends_with(".move.yaml") || text.ends_with(".move.yml")) {
            out.push(if stores.parent() == Some(Path::new("")) {
                PathBuf::from(&name)
            } else {
                folder.join(&name)
            });
        }
    }
    out.sort();
    Ok(out)
}

/// Each move in turn, every one with the whole time.
fn asked(
    orders: Vec<(String, MoveOrder)>,
    stores: &crate::load::Stores,
    read: &ReadStores,
    options: &Options,
    quiet: bool,
    world: &World<'_>,
) -> Vec<Asked> {
    let watch = interrupt::watch();
    let show = world.env.can_show() && !quiet;
    let count = orders.len();
    let each = orders.into_iter().enumerate().map(|(n, (file, order))| {
        let check = progress::during(show, options.time, order.units(), &watch, || {
            let oracle = Oracle::new(options, &watch);
            oracle.step(format!("move {} of {count}", n + 1));
            let check = check_move(&order, stores, &read.catalogue, &oracle);
            oracle.step("");
            check
        });
        Asked { file, order, check }
    });
    each.collect()
}

fn write(
    args: &Muster,
    path: &Path,
    read: &ReadStores,
    now: &crate::load::Stores,
    muster: &ask::Muster,
    world: &mut World<'_>,
) -> Result<(), Failure> {
    let differences = muster.count.iter().flat_map(|c| &c.differences).cloned().collect::<Vec<_>>();
    if differences.is_empty() {
        let _ = writeln!(world.err, "All is as recorded: nothing to write.");
        return Ok(());
    }
    if args.by.is_none() && differences.iter().any(|d| d.counted.by.is_none()) {
        let what = "nothing was written: the journal wants to know who counted; give \
                    `--by NAME`, or fill in the column `by`";
        return Err(Failure::Usage(what.into()));
    }
    let colour = world.env.colour(world.colour, world.env.err_is_terminal);
    let new = kit::patched(read, path, now).map_err(|f| files::failure(&f, colour))?;
    let (n, shown) = (differences.len(), tumpline_core::text::clean(&path.display().to_string()));
    let changes = if n == 1 { "1 change".to_string() } else { format!("{n} changes") };
    let agreed = args.yes || agreed(&format!("Write {changes} to `{shown}`? [y/N] "), world);
    // Whoever stopped the run, or the question, did not agree.
    if !agreed || interrupt::watch().interrupted() {
        let _ = writeln!(world.err, "Nothing was written.");
        return Ok(());
    }
    let date = args.on.clone().unwrap_or_else(journal::today);
    let file = args.count.as_ref().map_or(String::new(), |f| f.display().to_string());
    let by = args.by.as_deref().unwrap_or("");
    let lines = journal_lines(&muster.catalogue, &differences, &date, by, &file);
    journal::write(path, &read.text, &new, &journal_header(), &lines)?;
    // Beside the file itself, where the path is a link to it.
    let real = path.canonicalize().unwrap_or_else(|_| path.to_path_buf());
    let path = if path.is_symlink() { real.as_path() } else { path };
    let journal = tumpline_core::text::clean(&journal::journal_of(path).display().to_string());
    let _ = writeln!(world.err, "{changes} written to `{shown}`, told in `{journal}`.");
    Ok(())
}

/// Anything but a yes is a no.
fn agreed(question: &str, world: &mut World<'_>) -> bool {
    let asked = world.err.write_all(question.as_bytes()).and_then(|()| world.err.flush());
    let mut answer = String::new();
    asked.is_ok()
        && std::io::stdin().read_line(&mut answer).is_ok()
        && matches!(answer.trim().to_lowercase().as_str(), "y" | "yes")
}
