//! Where in the user's files a thing was written.

use std::fmt;

/// A place in a file, as a person counts: lines and columns from one, columns
/// in characters. Carried along so that an answer can point at its cause.
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
pub struct Place {
    /// The file as the user named it.
    pub file: String,
    /// From one.
    pub line: usize,
    /// In characters, from one.
    pub column: usize,
}

impl fmt::Display for Place {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}:{}:{}", self.file, self.line, self.column)
    }
}
