//! Questions around a plan: why it is as it is, what would change it, and what
//! would make one where there is none. Every answer is a move order changed a
//! little ([`vary`]), split anew and audited ([`Oracle`]); nothing is guessed.
//! Knows no file format and no terminal.

mod instead;
mod oracle;
pub mod vary;
mod why;

pub use instead::{Instead, Whereabouts};
pub use oracle::{Oracle, Possible};
pub use why::{MOST_WAYS, Obstacle, Other, Verdict, Why, why};
