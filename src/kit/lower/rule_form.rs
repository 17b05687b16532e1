//! The form of a rule: one head, and the fields that go with it.

use crate::code::Code;
use crate::diagnostic::{Diagnostic, Sink, one_of, quoted};
use crate::tree::At;

const HEADS: [&str; 7] =
    ["apart", "together", "at-most", "fixed", "keep-off", "hands-free", "reserve"];

/// What goes with a head: (must, may).
fn company(head: &str) -> (&'static [&'static str], &'static [&'static str]) {
    match head {
        "at-most" => (&["of"], &["for"]),
        "fixed" => (&["to"], &["count"]),
        "keep-off" => (&["from"], &[]),
        "hands-free" | "reserve" => (&[], &["for"]),
        _ => (&[], &[]),
    }
}

/// The one head of a rule, if all its fields go together.
pub(super) fn head(at: At<'_>, sink: &mut Sink) -> Option<&'static str> {
    let given: Vec<&'static str> = HEADS.into_iter().filter(|h| at.has(h)).collect();
    let head = match given[..] {
        [head] => head,
        [first, second, ..] => {
            sink.fault(|| {
                let what = format!("{} and {} are two rules", quoted(first), quoted(second));
                Diagnostic::error(Code::Together, what)
                    .at(at.get(second).key_span(), "a rule of its own")
                    .label(at.get(first).key_span(), "a rule of its own")
                    .help("write each as an entry of its own")
            });
            return None;
        }
        [] => {
            sink.fault(|| {
                Diagnostic::error(Code::MissingField, "a rule does not say what kind it is")
                    .at(at.span(), "no rule here")
                    .help(format!("give one of {}", one_of(HEADS)))
            });
            return None;
        }
    };
    let (must, may) = company(head);
    let mut good = true;
    for field in must.iter().filter(|f| !at.has(f)) {
        good = false;
        sink.fault(|| {
            let what = format!("{} needs {} beside it", quoted(head), quoted(field));
            Diagnostic::error(Code::MissingField, what)
                .at(at.get(head).key_span(), format!("no {} here", quoted(field)))
        });
    }
    for child in at.children() {
        let key = child.key().unwrap_or("");
        if key != head && !must.contains(&key) && !may.contains(&key) {
            good = false;
            sink.fault(|| {
                let what = format!("{} does not go with {}", quoted(key), quoted(head));
                Diagnostic::error(Code::Together, what)
                    .at(child.key_span(), "has no meaning here")
                    .label(at.get(head).key_span(), "beside this")
            });
        }
    }
    good.then_some(head)
}
