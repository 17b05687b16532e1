//! The page's script: who has what can be changed by hand, and loads, limits
//! and needs are worked out again at once, without a network.
//!
//! | file | holds |
//! |---|---|
//! | `model.rs` | the move and plan as data |
//! | `exact.js` | whole numbers, and how they are printed |
//! | `audit.js`, `loads.js`, `rules.js`, `needs.js`, `worth.js` | the audit, written anew; no page in it |

mod model;

pub use model::data;

/// The audit alone, without a page: defines `ready(data)` and
/// `audit(order, placements)`.
pub const AUDIT: &str = concat!(
    include_str!("exact.js"),
    include_str!("audit.js"),
    include_str!("loads.js"),
    include_str!("rules.js"),
    include_str!("needs.js"),
    include_str!("worth.js"),
);
