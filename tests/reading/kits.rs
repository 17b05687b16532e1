//! The demo kits read without a fault or a warning and hold what they are meant
//! to show.

use crate::common::folder::{Folder, demo_files};
use std::fs;
use std::path::Path;
use tumpline::ask::muster::{count, muster};
use tumpline::kit::{CellsFrom, FaultStyle, read_count, read_move, read_stores};
use tumpline::load::{CarrierIx, MoveOrder, Travel, Way};
use tumpline::quantity::Mass;

fn order(path: &Path) -> MoveOrder {
    let name = path.display();
    match read_move(path) {
        Ok(read) => {
            let odd = read.warnings.render(FaultStyle::Plain);
            assert!(read.warnings.is_empty(), "{name}:\n{odd}");
            read.order
        }
        Err(faults) => panic!("{name}:\n{}", faults.render(FaultStyle::Plain)),
    }
}

fn kit(path: &str) -> MoveOrder {
    order(&Path::new(env!("CARGO_MANIFEST_DIR")).join("kits").join(path))
}

/// Mass that the people on foot and hauled vehicles outside the store can still
/// take.
fn room(order: &MoveOrder) -> Mass {
    let outside = order
        .parties()
        .iter()
        .enumerate()
        .filter(|(i, p)| p.travel == Travel::Foot && order.store().is_none_or(|s| s.0 != *i));
    outside
        .flat_map(|(_, p)| &p.who)
        .map(|&c| order.usable_limit(c).saturating_sub(order.burden(c)))
        .sum()
}

#[test]
fn every_move_reads_without_a_fault() {
    let moves = demo_files(&[".move.yaml"]);
    assert!(moves.len() >= 8, "{moves:?}");
    for path in moves {
        let order = order(&path);
        // Somebody can take something, and everything held fits no one's back.
        let held: Mass = order.catalogue().items().map(|(_, i)| i.mass * i.held).sum();
        let people = (0..order.carriers().len()).map(CarrierIx).filter(|c| order.takes_kit(*c));
        assert!(people.count() > 0, "{}", path.display());
        if order.parties().iter().any(|p| p.travel == Travel::Foot) {
            assert!(room(&order) > Mass::ZERO && room(&order) < held, "{}", path.display());
        }
    }
}

#[test]
fn every_file_names_its_schema_and_is_invented() {
    for path in demo_files(&[".yaml"]) {
        let text = fs::read_to_string(&path).unwrap();
        let name = path.file_name().unwrap().to_string_lossy().into_owned();
        let kind = name.strip_suffix(".yaml").unwrap().rsplit('.').next().unwrap();
        let first = format!("# yaml-language-server: $schema=../schema/{kind}.schema.json");
        assert_eq!(text.lines().next(), Some(first.as_str()), "{}", path.display());
    }
    let readmes = demo_files(&["README.md"]);
    assert!(readmes.len() >= 4, "{readmes:?}");
    for path in readmes {
        let text = fs::read_to_string(&path).unwrap();
        assert!(text.contains("Invented"), "{}", path.display());
        // What it says to run is there.
        for line in text.lines().filter_map(|l| l.strip_prefix("cargo run --release -- split ")) {
            let path = Path::new(env!("CARGO_MANIFEST_DIR")).join(line);
            assert!(path.is_file(), "{line}");
        }
    }
}

#[test]
fn limits_are_resolved_as_the_carriers_say() {
    let order = kit("ridge-relay/ridge.move.yaml");
    let at =
        |id: &str| CarrierIx(order.carriers().iter().position(|c| c.id == id).expect("a carrier"));
    let mass = |t: &str| t.parse::<Mass>().unwrap();
    // By hand: 30 % of 84 kg; 28 kg less a reserve of 5 %.
    assert_eq!(order.usable_limit(at("operator-1")), mass("25.2 kg"));
    assert_eq!(order.usable_limit(at("operator-2")), mass("26.6 kg"));
    // The driver rides: 70 kg and 3.1 kg worn are on the truck.
    assert_eq!(order.burden(at("pickup")), mass("73.1 kg"));
    let store = order.store().expect("a store");
    assert_eq!(order.party(store).id, "road");
    assert_eq!(order.hands_kept_free(at("operator-1")), 1);
}

#[test]
fn each_kit_shows_what_it_is_for() {
    let ridge = kit("ridge-relay/ridge.move.yaml");
    let item = |order: &MoveOrder, id: &str| {
        let ix = order.catalogue().find(id).unwrap_or_else(|| panic!("no {id}"));
        order.item(ix).clone()
    };
    assert!((25..=45).contains(&ridge.catalogue().items().filter(|(_, i)| i.held > 0).count()));
    assert!(item(&ridge, "relay-set").ways.has(Way::Pair));
    let generator = item(&ridge, "generator").ways;
    assert!(!Way::ALONE.into_iter().any(|w| generator.has(w)), "a bed alone");

    let rescue = kit("mountain-rescue/callout.move.yaml");
    assert!((60..=80).contains(&rescue.catalogue().items().filter(|(_, i)| i.held > 0).count()));
    let medics = rescue.carriers().iter().filter(|c| c.has_duty("medic"));
    assert_eq!(medics.count(), 2);

    let glacier = kit("glacier-survey/traverse.move.yaml");
    assert!((35..=50).contains(&glacier.catalogue().items().filter(|(_, i)| i.held > 0).count()));
    let drill = item(&glacier, "ice-drill");
    // By hand: 60 % and 40 % of 12.4 kg.
    assert_eq!(drill.pair_burden(0), Mass::from_g(7440));
    assert_eq!(drill.pair_burden(1), Mass::from_g(4960));
    // A sledge goes with a party on foot.
    let upper = &glacier.parties()[0];
    assert!(upper.who.iter().any(|&c| glacier.carrier(c).vehicle().is_some_and(|v| v.hauled)));

    let walk = kit("day-walk/day-walk.move.yaml");
    assert_eq!(walk.units(), tumpline::quantity::Units::Imperial);
    assert!(walk.store().is_none());
}

/// The stores of the kits read without a warning, say that some of it is short,
/// and their sheets of counts say something else.
#[test]
fn the_stores_of_the_kits_are_worth_a_muster() {
    let stores = demo_files(&["stores.yaml"]);
    assert_eq!(stores.len(), 2, "{stores:?}");
    for path in stores {
        let name = path.display();
        let read = read_stores(&path).unwrap_or_else(|f| panic!("{name}:\n{f}"));
        assert!(read.warnings.is_empty(), "{name}:\n{}", read.warnings);
        assert!(read.text.contains("Invented"), "{name}");
        let now = muster(&read.stores, &read.catalogue, read.units, None);
        assert!(!now.in_order(), "{name}");
        assert!(now.lines.iter().any(|l| l.short() > 0), "{name}");
        assert!(now.lines.iter().any(|l| l.surplus() > 0), "{name}");
        assert!(now.lines.iter().any(|l| !l.reconciled()), "{name}");
        assert!(now.cases.iter().any(|c| c.short() > 0), "{name}");
        let sheet = path.with_file_name("count.csv");
        let sheet = read_count(&sheet, &CellsFrom::default(), &read)
            .unwrap_or_else(|f| panic!("{name}:\n{f}"));
        assert!(sheet.warnings.is_empty(), "{name}:\n{}", sheet.warnings);
        let differ = count(&read.stores, &read.catalogue, &sheet.counted, sheet.blank);
        assert!((4..differ.things).contains(&differ.differences.len()), "{name}");
    }
}

/// The three files that the README of the kits shows are a kit.
#[test]
fn the_example_in_the_readme_reads() {
    let readme = include_str!("../../kits/README.md");
    let folder = Folder::new();
    let mut found = 0;
    for block in readme.split("```yaml\n").skip(1).filter_map(|b| b.split("```").next()) {
        let name = match block {
            b if b.contains("equipment.schema") => "equipment.yaml",
            b if b.contains("carriers.schema") => "carriers.yaml",
            _ => "ridge.move.yaml",
        };
        folder.write(name, block);
        found += 1;
    }
    assert_eq!(found, 3);
    let order = order(&folder.path("ridge.move.yaml"));
    assert_eq!(order.needs().len(), 2);
    assert_eq!(order.party(order.store().unwrap()).id, "road");
}
