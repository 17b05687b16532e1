//! Questions around a plan: why it is as it is, what would change it, and what
//! would make one where there is none. Every answer is a move order changed a
//! little ([`vary`]), split anew and audited ([`Oracle`]); nothing is guessed.
//! Knows no file format and no terminal.

mod asker;
mod change;
mod changes;
mod conflict;
mod draft;
mod explain;
mod oracle;
mod part;
pub mod trips;
pub mod vary;

pub use change::Change;
pub use changes::Least;
pub use conflict::Conflict;
pub use draft::Draft;
pub use explain::{Explanation, Offer, explain};
pub use oracle::{Oracle, Possible};
pub use part::{Kind, Part, parts, pieces};
