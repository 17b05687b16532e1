//! Questions around a plan: why it is as it is, what would change it, and what
//! would make one where there is none. Every answer is a move order changed a
//! little ([`vary`]), split anew and audited ([`Oracle`]); nothing is guessed.
//! Knows no file format and no terminal.

mod anew;
mod changes;
mod instead;
mod oracle;
mod used;
pub mod vary;
mod why;

pub use anew::{Anew, Change, NoDropOut, Over, WeighedFound, anew, may_drop_out};
pub use changes::{HandOver, Holder, hand_overs};
pub use instead::{Instead, Whereabouts};
pub use oracle::{Oracle, Possible};
pub use used::{Shortage, Used, UsedUp};
pub use why::{MOST_WAYS, Obstacle, Other, Verdict, Why, why};
