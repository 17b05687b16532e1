//! Taking texts in, from files or not: what is missing, too large or no UTF-8.

use super::code::FaultCode;
use super::diagnostic::{Diagnostic, quoted};
use super::source::{SourceId, Sources, TextSpan};
use std::fs::File;
use std::io::{ErrorKind, Read};
use std::path::Path;

/// The most a kit file may hold: 4 MiB.
pub const MOST_BYTES: usize = 4 << 20;

impl Sources {
    /// Takes in a text that does not come from a file.
    ///
    /// # Errors
    /// A text over [`MOST_BYTES`].
    pub fn add_text(&mut self, name: &str, text: &str) -> Result<SourceId, Box<Diagnostic>> {
        self.add_bytes(name, text.as_bytes(), MOST_BYTES)
    }

    /// Reads a file.
    ///
    /// # Errors
    /// A file that is missing, a folder or unreadable; one that is too large
    /// or not UTF-8.
    pub fn add_file(&mut self, path: &Path) -> Result<SourceId, Box<Diagnostic>> {
        self.add_file_up_to(path, MOST_BYTES)
    }

    /// The same, of a file that may be larger or has to be smaller.
    pub(super) fn add_file_up_to(
        &mut self,
        path: &Path,
        most: usize,
    ) -> Result<SourceId, Box<Diagnostic>> {
        let name = path.display().to_string();
        let fault = |code, what: String| Diagnostic::error(code, what).boxed();
        if path.is_dir() {
            return Err(fault(
                FaultCode::IsFolder,
                format!("{} is a folder, not a file", quoted(&name)),
            ));
        }
        let mut bytes = Vec::new();
        let read = File::open(path).and_then(|f| f.take(most as u64 + 1).read_to_end(&mut bytes));
        match read {
            Ok(_) => self.add_bytes(&name, &bytes, most),
            Err(e) if e.kind() == ErrorKind::NotFound => {
                Err(fault(FaultCode::NotFound, format!("there is no file {}", quoted(&name))))
            }
            Err(e) => {
                Err(fault(FaultCode::Unreadable, format!("cannot read {}: {e}", quoted(&name))))
            }
        }
    }

    fn add_bytes(
        &mut self,
        name: &str,
        bytes: &[u8],
        most: usize,
    ) -> Result<SourceId, Box<Diagnostic>> {
        if bytes.len() > most {
            let what = format!("{} is larger than {} MiB", quoted(name), most >> 20);
            let help = if most > MOST_BYTES {
                "this is larger than any plan; check the path"
            } else {
                "a kit file is a list that somebody wrote; split it or check the path"
            };
            return Err(Diagnostic::error(FaultCode::TooLarge, what).help(help).boxed());
        }
        let bytes = bytes.strip_prefix(b"\xEF\xBB\xBF").unwrap_or(bytes);
        match std::str::from_utf8(bytes) {
            Ok(text) => Ok(self.push(name, text)),
            Err(e) => {
                // Keep the good part, so that the fault can be shown in place.
                let good = e.valid_up_to();
                let text = std::str::from_utf8(&bytes[..good]).unwrap_or("");
                let id = self.push(name, text);
                let byte = bytes.get(good).copied().unwrap_or(0);
                let what =
                    format!("{} is not UTF-8: byte {} is 0x{byte:02X}", quoted(name), good + 1);
                let span = TextSpan { source: id, start: good, end: good };
                let wide = bytes.starts_with(b"\xFF\xFE") || bytes.starts_with(b"\xFE\xFF");
                let help = if wide {
                    "save the file as UTF-8, not UTF-16"
                } else {
                    "save the file as UTF-8"
                };
                let d = Diagnostic::error(FaultCode::NotUtf8, what)
                    .at(span, "the text is good up to here")
                    .help(help);
                Err(d.boxed())
            }
        }
    }
}
