//! The optimiser: from a move order to a plan that passed the audit. Knows no
//! file format and no terminal.

mod answer;
mod findings;

pub use answer::{Answer, GoalResult, Outcome, Planned, Reason, Stage, Status, Stop};
pub use findings::{CarrierFinding, Findings, Left, Line, MetBy, NeedFinding, SupplyFinding};
