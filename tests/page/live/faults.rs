//! What the script says of a fault, in the words of the audit: its kind, whom
//! and what it is about, and every number, so that the two compare exactly.

use serde_json::Value;
use tumpline::load::MoveOrder;
use tumpline::quantity::{Bulk, Mass};

pub fn text(order: &MoveOrder, f: &Value) -> String {
    let at = |key: &str| f[key].as_u64().unwrap_or_else(|| panic!("{key} of {f}")) as usize;
    let number = |key: &str| {
        let text = f[key].as_str().map(String::from);
        text.unwrap_or_else(|| {
            f[key].as_u64().unwrap_or_else(|| panic!("{key} of {f}")).to_string()
        })
    };
    let whole = |key: &str| number(key).parse::<u64>().expect("a whole number");
    let mass = |key: &str| Mass::from_mg(whole(key));
    let item = || order.catalogue().items().nth(at("item")).expect("an item").1.id.clone();
    let carrier = || order.carriers()[at("carrier")].id.clone();
    let party = || order.parties()[at("party")].id.clone();
    let items = || {
        let of = f["items"].as_array().expect("items").iter();
        let id = |i: &Value| {
            let at = i.as_u64().expect("an item") as usize;
            order.catalogue().items().nth(at).expect("an item").1.id.clone()
        };
        of.map(id).collect::<Vec<_>>().join(" and ")
    };
    let way = || f["way"].as_str().expect("a way").to_string();
    match f["kind"].as_str().expect("a kind") {
        "unknown" => "a placement names something that is not in the move".into(),
        "nobody" => format!("{} is with nobody of a party", item()),
        "too-many" => {
            format!("{} of {} are placed, {} are held", number("placed"), item(), number("held"))
        }
        "nowhere" => format!("{} of {} are nowhere", number("count"), item()),
        "bed-only" => format!("{}: a vehicle takes things on its bed only", item()),
        "rider" => format!("{}: somebody who rides carries kit", item()),
        "way" => format!("{}: may not be carried by {}", item(), way()),
        "pair-party" => format!("{}: a pair is two people of one party", item()),
        "pair-foot" => format!("{}: a pair is two people on foot", item()),
        "pair-way" => format!("{}: may not be carried by a pair", item()),
        "pair-count" => format!("{}: a pair carries one thing", item()),
        "keep-off" => format!("{}: a rule keeps it off {}", item(), carrier()),
        "over" => format!("{} bears {} of {}", carrier(), mass("load"), mass("usable")),
        "worst" => format!("{} bears {} of {} at worst", carrier(), mass("worst"), mass("usable")),
        "room" => {
            let (bulk, room) = (Bulk::from_ml(whole("bulk")), Bulk::from_ml(whole("room")));
            format!("{} has {bulk} in {room}", carrier())
        }
        "slots" => format!("{} has {} things by {}", carrier(), number("count"), way()),
        "pairs" => format!("{} is in {} pairs", carrier(), number("count")),
        "hands" => format!(
            "{} uses {} hands of {}, {} to be free",
            carrier(),
            number("used"),
            number("hands"),
            number("keep")
        ),
        "apart" => format!("{} has {} which go apart", carrier(), items()),
        "together" => format!("{} are not together", items()),
        "at-most" => {
            format!("{} has {} where at most {} may be", carrier(), number("count"), number("most"))
        }
        "fixed" => {
            format!("{} has {} of {}, not {}", carrier(), number("count"), item(), number("asked"))
        }
        "brings" => format!("{} brings too little of what the rest would need", party()),
        "requires" => format!(
            "{} has {} of {} where {} are required",
            party(),
            number("there"),
            item(),
            number("asked")
        ),
        "need" => {
            format!("{}: need `{}` is not met", party(), order.needs()[at("need")].name)
        }
        other => panic!("a fault of an unknown kind: {other}"),
    }
}
