//! Changes of a move as they are typed: `who=ann,bo;limit=90%`.

use crate::ask::compare::{Variation, changed, usual_party};
use crate::kit::nearest;
use crate::load::{CarrierIx, ItemIx, MoveOrder, PartyIx, Travel};
use crate::quantity::{Mass, Percent};
use tumpline_core::text::clean;

const WORDS: [&str; 4] = ["who", "limit", "without", "with"];

/// The move with the changes, or everything that is wrong with them.
pub(super) fn read(text: &str, order: &MoveOrder) -> Result<MoveOrder, Vec<String>> {
    let (mut changes, mut wrong) = (Vec::new(), Vec::new());
    for part in text.split(';').map(str::trim) {
        match one(part, order) {
            Ok(found) => changes.extend(found),
            Err(told) => {
                wrong.extend(told.into_iter().map(|t| format!("`--vary {}`: {t}", clean(text))))
            }
        }
    }
    if !wrong.is_empty() {
        return Err(wrong);
    }
    changed(order, &changes).map_err(|emptied| {
        let id = clean(&order.party(emptied.0).id);
        vec![format!("`--vary {}`: nobody would be left in the party `{id}`", clean(text))]
    })
}

fn one(part: &str, order: &MoveOrder) -> Result<Vec<Variation>, Vec<String>> {
    let told = |what: String| Err(vec![what]);
    let Some((word, value)) = part.split_once('=').map(|(w, v)| (w.trim(), v.trim())) else {
        return told(format!("`{}` is no change; write it as in `limit=90%`", clean(part)));
    };
    match word {
        "who" => who(value, order),
        "limit" => limit(value).map(|c| vec![c]).map_err(|t| vec![t]),
        "without" => {
            let items = list(value, |id| item(id, order))?;
            Ok(items.into_iter().map(Variation::Without).collect())
        }
        "with" => list(value, |text| with(text, order)),
        _ => {
            let meant = meant(word, WORDS);
            told(format!(
                "there is no change `{}`; there are `who`, `limit`, `without` and `with`{meant}",
                clean(word)
            ))
        }
    }
}

/// All that is listed, or all that is wrong.
fn list<T>(value: &str, read: impl Fn(&str) -> Result<T, String>) -> Result<Vec<T>, Vec<String>> {
    let (mut good, mut bad) = (Vec::new(), Vec::new());
    for part in value.split(',').map(str::trim) {
        match read(part) {
            Ok(v) => good.push(v),
            Err(t) => bad.push(t),
        }
    }
    if bad.is_empty() { Ok(good) } else { Err(bad) }
}

fn meant<'a>(word: &str, candidates: impl IntoIterator<Item = &'a str>) -> String {
    nearest(word, candidates).map_or(String::new(), |n| format!("; did you mean `{}`?", clean(n)))
}

fn item(id: &str, order: &MoveOrder) -> Result<ItemIx, String> {
    order.catalogue().find(id).ok_or_else(|| {
        let ids = order.catalogue().items().map(|(_, i)| i.id.as_str());
        format!("unknown item `{}`{}", clean(id), meant(id, ids))
    })
}

fn with(text: &str, order: &MoveOrder) -> Result<Variation, String> {
    let (id, count) = match text.split_once('=') {
        Some((id, n)) => (id.trim(), n.trim()),
        None => (text, "1"),
    };
    let count = match count.parse::<u32>() {
        Ok(n) if (1..=100_000).contains(&n) => n,
        _ => {
            return Err(format!(
                "`{}` is no number of things; write a whole number from 1 to 100000",
                clean(count)
            ));
        }
    };
    let party = usual_party(order).ok_or("nobody goes anywhere outside the store")?;
    Ok(Variation::With { item: item(id, order)?, count, party })
}

fn limit(text: &str) -> Result<Variation, String> {
    if text.ends_with('%') {
        let share: Percent =
            text.parse().map_err(|e| format!("{e}; write it as in `limit=90%`"))?;
        return Ok(Variation::LimitShare(share));
    }
    let mass: Mass =
        text.parse().map_err(|e| format!("{e}; write it as in `limit=22kg` or `limit=90%`"))?;
    Ok(Variation::Limit(mass))
}

fn who(text: &str, order: &MoveOrder) -> Result<Vec<Variation>, Vec<String>> {
    let foot = |p: &PartyIx| order.party(*p).travel == Travel::Foot && !order.is_store(*p);
    let walking: Vec<PartyIx> = (0..order.parties().len()).map(PartyIx).filter(foot).collect();
    let ids = || walking.iter().map(|p| order.party(*p).id.as_str());
    let (party, people) = match text.split_once(':') {
        Some((party, people)) => (Some(party.trim()), people),
        None => (None, text),
    };
    let party = match party {
        None => usual_party(order).filter(|p| foot(p)).ok_or("no party goes on foot".to_string()),
        Some(id) => walking
            .iter()
            .copied()
            .find(|p| order.party(*p).id == id)
            .ok_or_else(|| format!("`{}` is no party on foot{}", clean(id), meant(id, ids()))),
    };
    let found = list(people, |id| person(id, order));
    match (party, found) {
        (Ok(party), Ok(people)) => {
            let twice = people.iter().enumerate().find(|(i, c)| people[..*i].contains(c));
            match twice {
                Some((_, c)) => {
                    Err(vec![format!("`{}` is named twice", clean(&order.carrier(*c).id))])
                }
                None => Ok(vec![Variation::Who { party, people }]),
            }
        }
        (party, found) => {
            let mut wrong: Vec<String> = party.err().into_iter().collect();
            wrong.extend(found.err().into_iter().flatten());
            Err(wrong)
        }
    }
}

fn person(id: &str, order: &MoveOrder) -> Result<CarrierIx, String> {
    let people = || order.carriers().iter().filter(|c| c.person().is_some()).map(|c| c.id.as_str());
    let at = order.carriers().iter().position(|c| c.id == id);
    match at {
        Some(c) if order.carriers()[c].person().is_some() => Ok(CarrierIx(c)),
        Some(_) => Err(format!("`{}` is a vehicle; `who` names people, vehicles stay", clean(id))),
        None => Err(format!("unknown person `{}`{}", clean(id), meant(id, people()))),
    }
}
