//! The texts of a first kit.

use super::answers::{Answers, USUAL_LIMIT};
use crate::kit::yaml_text::written;
use crate::quantity::Units;
use crate::report::escape;

/// Where remarks at the end of a line begin.
const REMARKS: usize = 37;
/// What a file name may take before `.move.yaml`, in bytes.
const MOST_NAME: usize = 120;

/// Name and text of each file, in the order in which they are best read.
pub(super) fn files(answers: &Answers) -> Vec<(String, String)> {
    let file = format!("{}.move.yaml", file_name(&answers.name));
    let mut equipment = include_str!("equipment.txt").to_string();
    if answers.vehicle {
        equipment.push_str(include_str!("barrow.txt"));
    }
    let readme = include_str!("readme.txt")
        .replace("«title»", &escape(&answers.name))
        .replace("«file»", &file)
        .replace("«shell»", &shell_words::quote(&file));
    vec![
        ("equipment.yaml".into(), filled(&equipment, answers)),
        ("carriers.yaml".into(), carriers(answers)),
        (file, move_order(answers)),
        ("README.md".into(), readme),
    ]
}

/// The name in small letters, with hyphens for all that is neither letter nor
/// digit: no path, no surprise in a shell.
fn file_name(name: &str) -> String {
    let lower = name.to_lowercase();
    let words = lower.split(|c: char| !c.is_alphanumeric()).filter(|w| !w.is_empty());
    let mut out = String::new();
    for word in words {
        let hyphen = usize::from(!out.is_empty());
        if out.len() + hyphen + word.len() <= MOST_NAME {
            out.push_str(if hyphen == 1 { "-" } else { "" });
            out.push_str(word);
        }
    }
    if out.is_empty() { "first".into() } else { out }
}

/// Ids of those who go: a leader, a carpenter, and helpers.
fn ids(people: u32) -> Vec<String> {
    let helpers = (1..=people.saturating_sub(2)).map(|n| format!("helper-{n}"));
    let named = ["leader", "carpenter"].into_iter().take(people as usize).map(str::to_string);
    named.chain(helpers).collect()
}

fn carriers(answers: &Answers) -> String {
    let by_guidance = answers.limit == USUAL_LIMIT;
    let why = if by_guidance { include_str!("why.txt") } else { "" };
    let emergency = if by_guidance { "33 %" } else { &answers.limit };
    let only = if answers.people == 1 { ", carpenter" } else { "" };
    let mut text = include_str!("carriers.txt")
        .replace("«why»", why)
        .replace("«emergency»", emergency)
        .replace("«only»", only);
    let (worn, limit, body) = ("«3 kg|6 lb 10 oz»", &answers.limit, &answers.body);
    for (n, id) in ids(answers.people).iter().enumerate().skip(1) {
        let (name, duties) = match n {
            1 => ("Carpenter".to_string(), ", duties: [carpenter]"),
            n => (format!("Helper {}", n - 1), ""),
        };
        text.push_str(&format!(
            "  - {{id: {id}, name: {name}, body-mass: {body}, limit: {limit}, worn: {worn}, \
             pack: 60 L{duties}, uses: {{water: 0.15 L/h}}}}\n"
        ));
    }
    let van = if answers.vehicle { include_str!("van.txt") } else { include_str!("no_van.txt") };
    text.push_str(van);
    // The remark on an invented van goes by the vehicle, not by the units.
    let van = if answers.vehicle { " and an invented van" } else { "" };
    filled(&text.replace("«| and an invented van»", van), answers)
}

fn move_order(answers: &Answers) -> String {
    let store = if answers.vehicle {
        "  road: {travel: vehicle, who: [van]}\n\
         stays-with: road ## the store: a party by vehicle that keeps the rest\n"
    } else {
        "# stays-with: road                   # the store: a party by vehicle that keeps the rest\n"
    };
    let text = include_str!("move.txt")
        .replace("«store»\n", &format!("{store}\n"))
        .replace("«ids»", &ids(answers.people).join(", "));
    // The name last: it may hold anything.
    filled(&text, answers).replacen("«name»", &written(&answers.name), 1)
}

/// Fills in what all files share, and puts the remarks below each other.
fn filled(text: &str, answers: &Answers) -> String {
    let people = answers.people;
    let text = text
        .replace("«people»", &people.to_string())
        // 0.5 L and 6 h at 0.15 L/h are 1.4 L each; somewhat more is held.
        .replace("«bottles»", &(2 * people + 1).to_string())
        .replace("«meals»", &(people + 2).to_string())
        .replace("«boards»", if people == 1 { "1" } else { "2" })
        .replace("«body»", &answers.body)
        .replace("«limit»", &answers.limit);
    let mut out = String::with_capacity(text.len());
    for line in text.lines() {
        match by_units(line, answers.units).split_once(" ## ") {
            Some((head, remark)) => {
                let head = format!("{head}  ");
                out.push_str(&format!("{head:<REMARKS$}# {remark}\n"));
            }
            None => out.push_str(&format!("{}\n", by_units(line, answers.units))),
        }
    }
    out
}

/// Of `«metric|imperial»`, the one that is asked for.
fn by_units(line: &str, units: Units) -> String {
    let (mut out, mut rest) = (String::new(), line);
    while let Some((before, (choice, after))) =
        rest.split_once('«').and_then(|(b, r)| Some((b, r.split_once('»')?)))
    {
        out.push_str(before);
        match (choice.split_once('|'), units) {
            (Some((metric, _)), Units::Metric) => out.push_str(metric),
            (Some((_, imperial)), Units::Imperial) => out.push_str(imperial),
            (None, _) => out.push_str(&format!("«{choice}»")),
        }
        rest = after;
    }
    out + rest
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn file_names_are_plain() {
        assert_eq!(file_name("Mend the footbridge"), "mend-the-footbridge");
        assert_eq!(file_name("../../etc/passwd"), "etc-passwd");
        assert_eq!(file_name("Größe 2!"), "größe-2");
        assert_eq!(file_name("=+-@"), "first");
        assert!(file_name(&"long name ".repeat(20)).len() <= MOST_NAME);
    }
}
