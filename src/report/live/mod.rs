//! The page's script: who has what can be changed by hand, and loads, limits
//! and needs are worked out again at once, without a network.
//!
//! | file | holds |
//! |---|---|
//! | `model.rs` | the move and plan as data |
//! | `exact.js` | whole numbers, and how they are printed |
//! | `audit.js`, `loads.js`, `rules.js`, `needs.js`, `worth.js` | the audit, written a second time; no page in it |
//! | `words.js` | what a fault is in words (those of `split/fault.rs`), and whose cards it belongs on |
//! | `hand.js` | changes by hand: what can be moved, to whom and how; no page in it |
//! | `dom.js`, `cards.js`, `figures.js`, `leader.js` | the page shows what was found |
//! | `tools.js` | filter, units, ticks |
//! | `by_hand.js`, `foresee.js` | the form, and what a change would come to |
//! | `page.js` | what the page remembers, and the way from a change to what shows |

mod model;

pub use model::data;

use crate::load::MoveOrder;
use crate::split::{Fault, FaultKind, Planned};
use maud::{Markup, PreEscaped, html};
use serde_json::{Map, Value, json};

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

/// The sentences of faults, before whatever prints them: those of the program.
pub fn faults() -> String {
    let values = |k: &FaultKind| -> Map<String, Value> {
        k.values.iter().map(|(name, sort)| (name.to_string(), json!(sort))).collect()
    };
    let kind = |k: &FaultKind| (k.word.to_string(), json!({"says": k.says, "values": values(k)}));
    let kinds: Map<String, Value> = Fault::KINDS.iter().map(kind).collect();
    format!("const FAULTS = {};\n", Value::Object(kinds))
}

/// Changes by hand and the words of faults, without a page; goes after
/// [`AUDIT`] and [`faults`].
pub const HAND: &str = concat!(include_str!("words.js"), include_str!("hand.js"));

const PAGE: &str = concat!(
    include_str!("dom.js"),
    include_str!("cards.js"),
    include_str!("figures.js"),
    include_str!("leader.js"),
    include_str!("tools.js"),
    include_str!("foresee.js"),
    include_str!("by_hand.js"),
    include_str!("page.js"),
);

/// How what the script adds looks.
pub const STYLE: &str = include_str!("style.css");

/// Nothing is fetched and nothing sent, whatever the page holds.
pub(super) fn policy() -> Markup {
    html! {
        meta http-equiv="Content-Security-Policy" content="default-src 'none'; style-src 'unsafe-inline'; script-src 'unsafe-inline'; img-src data:; base-uri 'none'; form-action 'none'";
    }
}

/// The data and the script, for the end of the body.
pub(super) fn scripts(order: &MoveOrder, planned: &Planned) -> Markup {
    html! {
        script #sheet-data type="application/json" { (PreEscaped(data(order, &planned.plan))) }
        script {
            (PreEscaped("(function(){\"use strict\";\n"))
            (PreEscaped(AUDIT)) (PreEscaped(faults())) (PreEscaped(HAND)) (PreEscaped(PAGE))
            (PreEscaped("startPage();\n})();"))
        }
    }
}
