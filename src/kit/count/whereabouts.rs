//! Where a loose thing was counted, and who has it.

use super::Reading;
use super::columns::plain;
use crate::code::FaultCode;
use crate::diagnostic::{Diagnostic, Sink, did_you_mean, one_of, quoted};
use crate::load::{ItemIx, Whereabouts};
use crate::lower::holder;
use crate::source::TextSpan;

impl Reading<'_> {
    /// Where a loose thing was counted: on the shelf if it is not said.
    pub(super) fn whereabouts(
        &self,
        place: Option<(&str, TextSpan)>,
        to: Option<(&str, TextSpan)>,
        item: Option<ItemIx>,
        counted: TextSpan,
        sink: &mut Sink,
    ) -> Option<Whereabouts> {
        let word = place.map_or("shelf".to_string(), |(text, _)| plain(text));
        let span = place.map_or(counted, |(_, span)| span);
        let out = match word.as_str() {
            "shelf" | "on shelf" | "on the shelf" | "store" => Whereabouts::Shelf,
            "unserviceable" | "u/s" => Whereabouts::Unserviceable,
            "issued" | "issue" | "on issue" => Whereabouts::Issued(String::new()),
            "on loan" | "loan" | "lent" => Whereabouts::OnLoan(String::new()),
            _ => {
                let words = ["shelf", "issued", "unserviceable", "on loan"];
                let held = word == "held" || word == "on charge";
                sink.fault(|| {
                    let text = place.map_or("", |(text, _)| text);
                    let what = format!("{} is not where a thing can be", quoted(text));
                    let d = Diagnostic::error(FaultCode::BadWord, what)
                        .at(span, "not one of the places");
                    let d = d.maybe_help(did_you_mean(&word, words));
                    let d = d
                        .help(format!("allowed here: {}, or nothing for the shelf", one_of(words)));
                    let help = "what is on charge is not counted: change `held` in the stores file";
                    if held { d.help(help) } else { d }
                });
                return None;
            }
        };
        let holders = |issued: bool| {
            let holding = item.map(|i| self.now.holding(self.catalogue, i)).unwrap_or_default();
            let of = if issued { holding.issued } else { holding.on_loan };
            of.into_keys().collect::<Vec<_>>()
        };
        match out {
            Whereabouts::Issued(_) => {
                Some(Whereabouts::Issued(who(to, span, &holders(true), item.is_some(), sink)?))
            }
            Whereabouts::OnLoan(_) => {
                Some(Whereabouts::OnLoan(who(to, span, &holders(false), item.is_some(), sink)?))
            }
            out => {
                if let Some((text, span)) = to {
                    sink.fault(|| {
                        let what = format!("{} has nothing that is on the shelf or unserviceable", quoted(text));
                        Diagnostic::error(FaultCode::Together, what)
                            .at(span, "nobody has it")
                            .help("write `issued` or `on loan` in the column `where`, or leave this empty")
                    });
                    return None;
                }
                Some(out)
            }
        }
    }
}

/// Who has it: as said, else the only one known.
fn who(
    to: Option<(&str, TextSpan)>,
    span: TextSpan,
    known: &[String],
    item_known: bool,
    sink: &mut Sink,
) -> Option<String> {
    match (to, known) {
        (Some((text, span)), known) => {
            // As it is written down already, whatever the case of its letters.
            let mut alike = known.iter().filter(|k| k.to_lowercase() == text.to_lowercase());
            let recorded = match (known.iter().any(|k| k == text), alike.next(), alike.next()) {
                (false, Some(one), None) => one.as_str(),
                _ => text,
            };
            holder(text, span, sink).then(|| recorded.to_string())
        }
        (None, [only]) => Some(only.clone()),
        (None, known) => {
            // Without its item nobody can say.
            if item_known {
                sink.fault(|| {
                    let d = Diagnostic::error(FaultCode::NoHolder, "it is not said who has it")
                        .at(span, "to whom?");
                    let all = one_of(known.iter().map(String::as_str));
                    match known.is_empty() {
                        true => d.help("write who has it in the column `to`"),
                        false => d.help(format!("write in the column `to` who has it: {all}")),
                    }
                });
            }
            None
        }
    }
}
