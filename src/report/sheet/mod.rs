//! The load sheet: one HTML file with a page for the leader and a card for each
//! person, each vehicle and what stays, to be printed, cut apart and ticked off.
//! It fetches nothing: style and drawings are in the file.
//!
//! Blocks of a carrier have `data-carrier`, rows of an item `data-item` and
//! `data-way`, needs `data-need`: places in the move order. A mass that is
//! printed is the text of an element with `data-mg`, a bulk of one with
//! `data-ml`; `data-is` says which number of a carrier it is.

mod board;
mod card;
mod facts;
mod figure;
mod grip;
mod leader;
mod left;
mod parts;
mod status;
mod things;
mod vehicle;

use crate::load::MoveOrder;
use crate::report::live;
use crate::split::{CarrierFinding, Planned, Stop};
use maud::{DOCTYPE, Markup, PreEscaped, html};

const STYLE: &str = include_str!("style.css");

/// What a sheet is made of: a plan that passed the audit.
#[derive(Debug, Clone, Copy)]
pub struct Sheet<'a> {
    /// The move.
    pub order: &'a MoveOrder,
    /// Its plan, which passed the audit.
    pub planned: &'a Planned,
    /// What ended the search early, if anything did.
    pub stopped: Option<Stop>,
    /// Sentences that belong to the status of the plan.
    pub notes: &'a [String],
}

/// How it is to be laid out.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct Look {
    /// On which it is to be printed.
    pub paper: Paper,
    /// No script, and nothing that needs one.
    pub plain: bool,
}

/// The paper that the cards are broken to.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
#[non_exhaustive]
pub enum Paper {
    /// 210 by 297 mm.
    #[default]
    A4,
    /// 8.5 by 11 in.
    Letter,
}

impl Paper {
    /// As CSS calls it.
    fn word(self) -> &'static str {
        match self {
            Paper::A4 => "A4",
            Paper::Letter => "letter",
        }
    }
}

/// The whole sheet, with a line feed at its end.
pub fn html(sheet: &Sheet, look: Look) -> String {
    let title = format!("Load sheet: {}", parts::text(sheet.order.name()));
    let page = html! {
        (DOCTYPE)
        html lang="en" {
            head {
                meta charset="utf-8";
                meta name="viewport" content="width=device-width, initial-scale=1";
                @if !look.plain { (live::policy()) }
                title { (title) }
                style { (PreEscaped(STYLE)) "@page{size:" (look.paper.word()) " portrait;margin:13mm 15mm}" }
                @if !look.plain { style { (PreEscaped(live::STYLE)) } }
            }
            body {
                (board::patterns())
                a.skip href="#cards" { "To the cards" }
                (leader::head(sheet))
                @if !look.plain {
                    div #tools .screen-only hidden {}
                }
                main {
                    (leader::page(sheet))
                    @if !look.plain {
                        section #by-hand .screen-only hidden {}
                    }
                    (cards(sheet))
                }
                @if !look.plain { (figure::parts(sheet.order)) }
                @if !look.plain { (live::scripts(sheet.order, sheet.planned)) }
            }
        }
    };
    let mut out = page.into_string();
    out.push('\n');
    out
}

/// Everyone's load against their limit as a drawing of its own (SVG 1.1), with
/// a line feed at its end.
pub fn board(sheet: &Sheet) -> String {
    board::alone(sheet)
}

fn cards(sheet: &Sheet) -> Markup {
    html! {
        div #cards {
            @for c in walkers(sheet) { (card::person(sheet, c)) }
            @for c in vehicles(sheet) { (vehicle::card(sheet, c)) }
            (left::card(sheet))
        }
    }
}

/// People who carry, in the order of the parties.
fn walkers<'a>(sheet: &Sheet<'a>) -> impl Iterator<Item = &'a CarrierFinding> {
    let order = sheet.order;
    let found = sheet.planned.findings.carriers.iter();
    found.filter(|c| order.carrier(c.carrier).person().is_some() && order.takes_kit(c.carrier))
}

fn vehicles<'a>(sheet: &Sheet<'a>) -> impl Iterator<Item = &'a CarrierFinding> {
    let order = sheet.order;
    let found = sheet.planned.findings.carriers.iter();
    found.filter(|c| order.carrier(c.carrier).vehicle().is_some())
}
