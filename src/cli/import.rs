//! `tumpline import FILE`: what a spreadsheet would be as a kit file, and that
//! file if it is asked for.

use super::args::{Import, cells_from};
use super::{Code, Failure, World, files, output};
use crate::kit::{Asked, ColumnUse, Imported, SheetOf, counted, import};
use crate::report::{fit, wrap};
use std::io::{self, BufRead, IsTerminal};
use std::path::Path;
use tumpline_core::text::clean;

/// The widest that the header of a column is shown.
const MOST_HEADER: usize = 28;

pub(super) fn run(args: &Import, world: &mut World<'_>) -> Result<Code, Failure> {
    output::not_itself(args.output.as_deref(), &args.path)?;
    let asked = Asked {
        cells: cells_from(args.sheet.as_deref(), args.separator, args.encoding),
        of: args.of.map(Into::into),
        header: args.header,
        said: args.said.clone(),
        decimal: args.decimal.map(Into::into).unwrap_or_default(),
    };
    let found = import(&args.path, &asked);
    let env = world.env;
    let width = env.style(world.colour, true, None, false).width.clamp(60, 120);
    let mut text = told(&found, width);
    let to = match (&found.stock, &args.output) {
        (None, _) => None,
        (Some(_), Some(path)) if args.write => Some(path),
        (Some(_), path) => {
            let file = path.as_deref().map_or("FILE.yaml".into(), shown);
            text.push_str(&format!("\nNothing was written. To write it: `--write -o {file}`\n"));
            None
        }
    };
    output::page(world, text)?;
    let colour = env.colour(world.colour, env.err_is_terminal);
    if found.stock.is_none() {
        return Err(files::failure(&found.diagnostics, colour));
    }
    let _ = write!(world.err, "{}", files::rendered(&found.diagnostics, colour));
    let Some(to) = to else { return Ok(Code::Ok) };
    if to.exists() && !args.replace && !may_replace(to, world)? {
        let what = format!("`{}` is there already: add `--replace` to write over it", shown(to));
        return Err(Failure::Usage(what));
    }
    output::replace(to, &found.yaml)?;
    output::print(world.out, format!("\nWritten: {}\n", shown(to)))?;
    Ok(Code::Ok)
}

fn shown(path: &Path) -> String {
    clean(&path.display().to_string())
}

/// Asks where somebody can answer; else nobody said yes.
fn may_replace(path: &Path, world: &mut World<'_>) -> Result<bool, Failure> {
    if !world.env.err_is_terminal || !io::stdin().is_terminal() {
        return Ok(false);
    }
    let failed = |error| Failure::Write { path: None, error };
    write!(world.err, "`{}` is there already. Write over it? [y/N] ", shown(path))
        .map_err(failed)?;
    world.err.flush().map_err(failed)?;
    let mut answer = String::new();
    let read = io::stdin().lock().read_line(&mut answer);
    Ok(read.is_ok() && matches!(answer.trim().to_lowercase().as_str(), "y" | "yes"))
}

/// What each column becomes, what was odd, and the first rows.
fn told(found: &Imported, width: usize) -> String {
    let name = clean(&found.name);
    let Some(of) = found.of else { return format!("{name}\n") };
    let count = match of {
        SheetOf::Equipment => counted(found.count, "item", "items"),
        SheetOf::Carriers => counted(found.count, "carrier", "carriers"),
    };
    let mut lines =
        wrap(&format!("{name}: {count}, header in row {}", found.header_row), width, 0, true);
    lines.push(String::new());
    lines.extend(columns(&found.columns, width));
    if !found.notes.is_empty() {
        lines.push("\nTo know:".into());
        for note in &found.notes {
            let mut some = wrap(&clean(note), width, 4, true);
            if let Some(first) = some.first_mut() {
                first.replace_range(2..3, "-");
            }
            lines.extend(some);
        }
    }
    // With faults there is no such thing yet.
    if found.stock.is_some() && !found.first.is_empty() {
        let shown = found.first.matches("  - id:").count();
        let which = match found.count.checked_sub(shown) {
            Some(more) if more > 0 => format!("the first {shown} of {}", found.count),
            _ => "all of it".into(),
        };
        lines.push(format!("\nAs it would be, {which}:"));
        lines.extend(found.first.lines().map(|l| fit(&clean(l), width, true)));
    }
    lines.join("\n") + "\n"
}

fn columns(columns: &[ColumnUse], width: usize) -> Vec<String> {
    let wide = |text: &str| unicode_width::UnicodeWidthStr::width(text);
    let room = columns.iter().map(|c| wide(&c.header)).max().unwrap_or(0).clamp(6, MOST_HEADER);
    let line = |letter: &str, header: &str, becomes: &str| {
        let header = fit(header, room, true);
        let gap = " ".repeat(room.saturating_sub(wide(&header)));
        let lead = format!("  {letter:<3} {header}{gap}  ");
        fit(&format!("{lead}{becomes}"), width, true)
    };
    let head = std::iter::once(line("", "column", "becomes"));
    head.chain(columns.iter().map(|c| line(&c.letter, &c.header, &c.becomes))).collect()
}
