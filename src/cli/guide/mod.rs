//! `tumpline guide [TOPIC]`: the pages of the guide, compiled in.

mod blocks;
mod print;

use super::args::{Guide, Topic};
use super::{Code, Failure, World, output};
use clap::ValueEnum;

pub(super) fn run(args: &Guide, world: &mut World<'_>) -> Result<Code, Failure> {
    let style = world.env.style(world.colour, false, None, false);
    let listed = topics();
    let text = args.topic.and_then(Topic::page).unwrap_or(&listed);
    let text = print::page(text, &style);
    output::page(world, text)?;
    Ok(Code::Ok)
}

/// The pages there are, as a page.
fn topics() -> String {
    let row = |topic: &Topic| {
        let value = topic.to_possible_value().filter(|v| !v.is_hide_set())?;
        let about = value.get_help().map(ToString::to_string).unwrap_or_default();
        Some(format!("| `{}` | {about} |\n", value.get_name()))
    };
    let rows: String = Topic::value_variants().iter().filter_map(row).collect();
    format!(
        "# The guide\n\n`tumpline guide TOPIC` prints a page; the name of a command finds the page \
         that it is on. `tumpline COMMAND --help` tells all that a command takes.\n\n\
         | topic | tells |\n|---|---|\n{rows}"
    )
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::report::{Style, columns};
    use clap::CommandFactory;

    fn pages() -> Vec<(String, &'static str)> {
        let of = |t: &Topic| Some((t.to_possible_value()?.get_name().to_string(), t.page()?));
        Topic::value_variants().iter().filter_map(of).collect()
    }

    #[test]
    fn every_page_fits_on_a_terminal_with_and_without_unicode() {
        for (name, text) in pages().into_iter().chain([("".into(), &*topics().leak())]) {
            for (width, unicode) in [(60, true), (80, true), (80, false), (120, false)] {
                let shown = print::page(text, &Style { width, colour: false, unicode });
                for line in shown.lines() {
                    // What a command printed is shown as it was.
                    assert!(columns(line) <= width.max(80), "{name}, {width}: {line}");
                    assert!(unicode || line.is_ascii(), "{name}: {line}");
                    assert!(!line.contains("](") && !line.contains("**"), "{name}: {line}");
                }
            }
        }
    }

    #[test]
    fn colour_only_repeats() {
        for (name, text) in pages() {
            let style = |colour| Style { width: 80, colour, unicode: true };
            let coloured = print::page(text, &style(true));
            let plain = anstream::adapter::strip_str(&coloured).to_string();
            assert!(coloured != plain, "{name}");
            assert_eq!(plain, print::page(text, &style(false)), "{name}");
        }
    }

    #[test]
    fn no_word_of_a_page_is_lost() {
        // Links lose their target, headings and rows of tables their signs.
        let words = |text: &str| -> Vec<String> {
            let letters = |w: &str| w.chars().filter(|c| c.is_alphanumeric()).collect::<String>();
            let mut words: Vec<String> =
                text.split_whitespace().map(letters).filter(|w| !w.is_empty()).collect();
            words.sort();
            words
        };
        for (name, text) in pages() {
            let shown = words(&print::page(text, &Style::default()));
            let fences = text.lines().filter(|l| !l.starts_with("```") && !l.starts_with("!["));
            let prose: String = fences.map(|l| format!("{l}\n")).collect();
            for word in words(&blocks::unlinked(&prose)) {
                assert!(shown.binary_search(&word).is_ok(), "{name}: {word}");
            }
        }
    }

    #[test]
    fn every_command_leads_to_a_page() {
        for command in super::super::args::Cli::command().get_subcommands() {
            let name = command.get_name();
            assert!(Topic::from_str(name, false).is_ok(), "{name}");
        }
    }
}
