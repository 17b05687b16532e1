//! Questions around a plan: why it is as it is, what would change it, and what
//! would make one where there is none. Every answer is a move order changed a
//! little ([`vary`]), split again and audited ([`Oracle`]); nothing is guessed.
//! Knows no file format and no terminal.

mod asker;
mod change;
mod changes;
pub mod compare;
pub mod conditions;
mod conflict;
mod draft;
mod explain;
mod hand_overs;
mod instead;
pub mod muster;
mod oracle;
mod part;
mod price;
mod replan;
pub mod shed;
mod survive;
pub mod trips;
mod used;
pub mod vary;
mod why;

pub use change::Change;
pub use changes::Least;
pub use conditions::{Conditioned, Conditions};
pub use conflict::Conflict;
pub use draft::Draft;
pub use explain::{Explanation, Offer, explain};
pub use hand_overs::{HandOver, Holder, hand_overs};
pub use instead::{Instead, PlacesInPlan};
pub use oracle::{Oracle, Possible};
pub use part::{Kind, Part, parts, pieces};
pub use price::{Condition, Cost, Paid, Price};
pub use replan::{
    Changed, NoDropOut, Over, Replanned, WeighedFound, may_drop_out, replan, with_masses,
};
pub use survive::{DropOut, Survival};
pub(crate) use used::taken;
pub use used::{Used, UsedTooMuch, UsedUp};
pub use why::{MOST_WAYS, Obstacle, Other, Verdict, Why, why};
