//! Colour, where it is asked for: it only repeats what the words say.

use anstyle::{AnsiColor, Style};

#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Tone {
    #[default]
    Plain,
    Head,
    Faint,
    Good,
    Bad,
}

#[derive(Debug, Clone, Copy)]
pub(super) struct Paint {
    pub colour: bool,
}

impl Paint {
    pub fn text(&self, tone: Tone, text: &str) -> String {
        let style = match tone {
            Tone::Plain => Style::new(),
            Tone::Head => Style::new().bold(),
            Tone::Faint => Style::new().dimmed(),
            Tone::Good => AnsiColor::Green.on_default(),
            Tone::Bad => AnsiColor::Red.on_default().bold(),
        };
        if self.colour && tone != Tone::Plain && !text.is_empty() {
            format!("{style}{text}{style:#}")
        } else {
            text.to_string()
        }
    }
}
