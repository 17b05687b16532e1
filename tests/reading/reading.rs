//! What a kit says, as the domain has it; and how faults are told.
//!
//! The goldens live in `snapshots`; to accept a change of wording:
//! `INSTA_UPDATE=always cargo test --test reading reading::`.

use crate::common::folder::Folder;
use std::fs;
use std::path::Path;
use tumpline::kit::{self, FaultCode, FaultStyle, FileKind, Severity};
use tumpline::load::{
    CarrierIx, Goal, GoalKind, NeedNode, PartyIx, Required, Reserve, RuleKind, Slots, Travel, Use,
    Way,
};
use tumpline::quantity::{Amount, Bulk, Dimension, Mass, Percent, Span, Units};

const EQUIPMENT: &str = "\
units: imperial
equipment:
  - id: relay-set
    name: VHF relay set
    mass: 9.6 kg
    bulk: 21 L
    carry: [pair, back]
    pair-shares: [60 %, 40 %]
    keeper: operator
    requires: {battery: 1, mallet: shared}
    uses: {power: 14 W}
    tags: [signal]
  - {id: battery, mass: 4.7 kg, size: 20 x 19 x 10 cm, held: 6, carry: [hand, back],
     supplies: {power: 390 Wh}}
  - {id: mallet, mass: 2 lb}
  - {id: reel, mass: 3 kg, held: 3, carry: [hand], hands: 2, supplies: {line: 200 m}}
  - {id: satchel, mass: 2.9 kg, carry: [shoulder], contents: {headset: 2, logbook: 1}}
  - {id: 12, mass: 1 kg, carry: [bed]}
";

const CARRIERS: &str = "\
people:
  - {id: op-1, name: First operator, body-mass: 74 kg, limit: 30 %, worn: 4.1 kg, pack: 65 L,
     duties: [operator], slots: {back: 6, hand: 1}, uses: {water: 0.25 L/h, ration: 2}}
  - {id: op-2, limit: 20 kg}
  - {id: driver, limit: 25 kg, body-mass: 80 kg, worn: 1 kg}
vehicles:
  - {id: pickup, payload: 650 kg, bed: 1400 L, seats: 3}
  - {id: sledge, payload: 50 kg, hauled: true}
";

const MOVE: &str = "\
move: Forward to the ridge
equipment: lists/equipment.yaml
carriers: lists/carriers.yaml
parties:
  ridge: {travel: foot, who: [op-1, op-2, sledge]}
  road: {travel: vehicle, who: [driver, pickup]}
stays-with: road
needs:
  ridge:
    - need: relay working
      all:
        - relay-set
        - any: [{battery: 2, mallet: 1}, satchel]
        - {at-least: 1, of: [headset, 12]}
    - need: line
      supply: line
      amount: 350 m
      per-person: 2 m
      slack: 10 %
    - {need: power, supply: power, for: 18 h}
    - {need: mallet, item: {mallet: 1}}
wants:
  ridge: {mallet: 5, satchel: {value: 2, up-to: 3}}
rules:
  - {apart: [mallet, battery]}
  - {at-most: 2, of: battery, for: op-1}
  - {at-most: 3, of: [reel]}
  - {fixed: satchel, to: op-2}
  - {keep-off: [\"tag:signal\"], from: [sledge]}
  - {hands-free: 1, for: [op-1]}
  - {reserve: 10 %}
  - {reserve: 2 kg, for: pickup}
goals: [lightest, {even: 2 %}]
";

fn kit_folder() -> Folder {
    Folder::with("lists/equipment.yaml", EQUIPMENT)
        .and("lists/carriers.yaml", CARRIERS)
        .and("ridge.move.yaml", MOVE)
}

#[test]
fn a_move_is_read_whole() {
    let dir = kit_folder();
    let read = kit::read_move(&dir.path("ridge.move.yaml")).unwrap();
    assert!(read.warnings.is_empty());
    assert_eq!(read.sources.iter().count(), 3);
    let order = read.order;
    assert_eq!(order.name(), "Forward to the ridge");
    assert_eq!(order.units(), Units::Imperial);

    let find = |id: &str| order.catalogue().find(id).unwrap();
    let relay = order.item(find("relay-set"));
    assert_eq!(relay.mass, Mass::from_g(9600));
    assert_eq!(relay.held, 1);
    assert_eq!(relay.ways.iter().collect::<Vec<_>>(), [Way::Back, Way::Pair]);
    assert_eq!(relay.pair_shares, [600_000, 400_000].map(Percent::from_ppm));
    assert_eq!(relay.keeper.as_deref(), Some("operator"));
    assert_eq!(relay.requires[0].count, Required::Each(1));
    assert_eq!(relay.requires[1].count, Required::Shared);
    assert!(matches!(relay.uses[0].1, Use::Over(r) if r.per == Span::HOUR));
    let place = relay.place.as_ref().unwrap();
    assert!(place.file.ends_with("lists/equipment.yaml"));
    assert_eq!((place.line, place.column), (3, 5));

    let battery = order.item(find("battery"));
    assert_eq!(battery.bulk, Bulk::from_ml(3800));
    assert_eq!(battery.held, 6);
    assert_eq!(battery.supplies[0].1, Amount::new(Dimension::Energy, 390_000));
    let mallet = order.item(find("mallet"));
    assert_eq!((mallet.mass, mallet.bulk), (Mass::from_mg(907_185), Bulk::ZERO));
    assert_eq!(mallet.ways.iter().collect::<Vec<_>>(), [Way::Back]);
    assert_eq!(order.item(find("reel")).hands, 2);
    let headset = order.item(find("headset"));
    assert_eq!((headset.held, headset.mass, headset.ways.is_empty()), (0, Mass::ZERO, true));
    assert_eq!(order.catalogue().inside(find("satchel")).len(), 3);

    let person = order.carriers()[0].person().unwrap();
    assert_eq!(person.limit, Mass::from_g(22_200));
    assert_eq!(person.limit_share, Some(Percent::from_ppm(300_000)));
    assert_eq!(person.slots, Slots { back: Some(6), hand: 1, ..Slots::default() });
    assert_eq!(person.uses.len(), 2);
    assert_eq!(order.carriers()[4].vehicle().map(|v| v.hauled), Some(true));

    assert_eq!(order.store(), Some(PartyIx(1)));
    assert_eq!(order.parties()[0].travel, Travel::Foot);
    assert_eq!(order.parties()[1].aboard, [(CarrierIx(2), CarrierIx(3))]);
    assert_eq!(order.parties()[1].place.as_ref().map(|p| (p.line, p.column)), Some((6, 3)));

    assert_eq!(order.needs().len(), 4);
    let item = |id: &str, count| NeedNode::Item { item: find(id), count };
    let relay = NeedNode::All(vec![
        item("relay-set", 1),
        NeedNode::Any(vec![
            NeedNode::All(vec![item("battery", 2), item("mallet", 1)]),
            item("satchel", 1),
        ]),
        NeedNode::AtLeast { count: 1, of: vec![item("headset", 1), item("12", 1)] },
    ]);
    assert_eq!(order.needs()[0].node, relay);
    assert_eq!(order.needs()[0].place.as_ref().map(|p| (p.line, p.column)), Some((10, 7)));
    let NeedNode::Supply(line) = &order.needs()[1].node else { panic!() };
    assert_eq!(line.amount, Some(Amount::new(Dimension::Length, 350_000)));
    assert_eq!(line.per_person, Some(Amount::new(Dimension::Length, 2000)));
    assert_eq!((line.time, line.slack), (None, Percent::from_ppm(100_000)));
    assert_eq!(
        order.wants().iter().map(|w| (w.value, w.up_to)).collect::<Vec<_>>(),
        [(5, 1), (2, 3)]
    );

    let kinds: Vec<&RuleKind> = order.rules().iter().map(|r| &r.kind).collect();
    let c = CarrierIx;
    assert_eq!(kinds[0], &RuleKind::Apart { items: vec![find("mallet"), find("battery")] });
    assert!(matches!(kinds[1], RuleKind::AtMost { count: 2, carriers, .. } if carriers == &[c(0)]));
    // Everybody outside the store who takes kit: two people and the sledge.
    assert!(
        matches!(kinds[2], RuleKind::AtMost { carriers, .. } if carriers == &[c(0), c(1), c(4)])
    );
    assert!(matches!(kinds[3], RuleKind::Fixed { count: 1, carrier: CarrierIx(1), .. }));
    assert!(matches!(kinds[4], RuleKind::KeepOff { items, .. } if items == &[find("relay-set")]));
    assert!(matches!(kinds[5], RuleKind::HandsFree { hands: 1, carriers } if carriers == &[c(0)]));
    assert!(matches!(kinds[6], RuleKind::Reserve { reserve: Reserve::Share(_), carriers }
        if carriers == &[c(0), c(1)]));
    assert!(matches!(kinds[7], RuleKind::Reserve { reserve: Reserve::Mass(_), carriers }
        if carriers == &[c(3)]));
    let give = Percent::from_ppm(20_000);
    let goals = [
        Goal { kind: GoalKind::Lightest, give: Percent::ZERO },
        Goal { kind: GoalKind::Even, give },
    ];
    assert_eq!(order.goals(), goals);
}

#[test]
fn check_tells_files_by_what_is_in_them() {
    let dir = kit_folder();
    fs::rename(dir.path("lists/carriers.yaml"), dir.path("lists/people.yml")).unwrap();
    dir.write("lists/.hidden.yaml", "][");
    let checked = kit::check(&[dir.path("lists")]);
    assert!(checked.diagnostics.is_empty(), "{}", checked.diagnostics);
    let kinds: Vec<_> = checked.files.iter().map(|f| (f.kind, f.sound)).collect();
    assert_eq!(kinds, [(FileKind::Equipment, true), (FileKind::Carriers, true)]);
    let text = checked.files[0].to_string();
    assert!(
        text.ends_with(
            "equipment.yaml: equipment, 6 items, 2 things known as contents, 2 supplies"
        ),
        "{text}"
    );
    assert!(checked.files[1].to_string().ends_with("people.yml: carriers, 3 people, 2 vehicles"));
    // Folders inside a folder too.
    let dir = kit_folder();
    let checked = kit::check(&[dir.here()]);
    assert!(checked.diagnostics.is_empty(), "{}", checked.diagnostics);
    let kinds: Vec<_> = checked.files.iter().map(|f| f.kind).collect();
    assert_eq!(kinds, [FileKind::Carriers, FileKind::Equipment, FileKind::Move]);
}

#[test]
fn a_fault_in_a_shared_file_is_told_once() {
    let dir = kit_folder();
    let faulty = EQUIPMENT.replace("9.6 kg", "9.6");
    dir.write("lists/equipment.yaml", faulty);
    fs::copy(dir.path("ridge.move.yaml"), dir.path("again.move.yaml")).unwrap();
    let checked = kit::check(&[dir.here().to_path_buf(), dir.path("lists/equipment.yaml")]);
    assert_eq!(checked.diagnostics.iter().count(), 1, "{}", checked.diagnostics);
    assert_eq!(checked.diagnostics.errors(), 1);
    // The carriers, which have no part in it, are sound.
    assert!(checked.files.iter().all(|f| f.sound == (f.kind == FileKind::Carriers)));
}

#[test]
fn faults_of_the_file_system_are_told_apart() {
    let dir = kit_folder();
    let missing = kit::read_move(&dir.path("nowhere.move.yaml")).unwrap_err();
    assert!(missing.only_io());
    assert!(missing.to_string().contains("nowhere.move.yaml"), "{missing}");
    let folder = kit::read_move(dir.here()).unwrap_err();
    assert!(folder.only_io());
    assert_eq!(folder.iter().next().map(|d| d.code), Some(FaultCode::IsFolder));
    dir.remove("lists/carriers.yaml");
    let named = kit::read_move(&dir.path("ridge.move.yaml")).unwrap_err();
    assert!(named.only_io());
    let d = named.iter().next().unwrap();
    assert!(d.message.contains("carriers.yaml") && d.primary.is_some(), "{named}");
    let faulty = kit::read_move_text("a", "move: [").unwrap_err();
    assert!(!faulty.only_io());
    let empty = Folder::new();
    assert!(kit::check(&[empty.here()]).diagnostics.only_io());
}

#[test]
fn an_equipment_file_is_no_move() {
    let dir = kit_folder();
    let faults = kit::read_move(&dir.path("lists/equipment.yaml")).unwrap_err();
    assert_eq!(faults.iter().map(|d| d.code).collect::<Vec<_>>(), [FaultCode::UnknownFile]);
}

#[test]
fn a_warning_does_not_stop_the_reading() {
    let text = "
move: m
equipment: [{id: a, mass: 1 kg, pair-shares: [50 %, 50 %]}]
carriers: {people: [{id: p, limit: 9 kg}]}
parties: {x: {travel: foot, who: p}}
";
    let read = kit::read_move_text("a", text).unwrap();
    let warnings: Vec<_> = read.warnings.iter().map(|d| (d.code, d.severity)).collect();
    assert_eq!(warnings, [(FaultCode::NoEffect, Severity::Warning)]);
    assert_eq!(read.warnings.errors(), 0);
    let goals: Vec<_> = read.order.goals().iter().map(|g| g.kind).collect();
    assert_eq!(goals, GoalKind::DEFAULT);
}

#[test]
fn codes_are_unique_and_in_order() {
    let numbers: Vec<&str> = FaultCode::ALL.iter().map(|c| c.number()).collect();
    assert!(numbers.windows(2).all(|w| w[0] < w[1]));
    assert!(FaultCode::ALL.iter().all(|c| !c.line().is_empty()));
}

#[test]
fn files_on_disk_and_styles() {
    let faults = kit::read_move(Path::new("no/such/file")).unwrap_err();
    let plain = faults.render(FaultStyle::Plain);
    assert_eq!(plain, "error[T0001]: there is no file `no/such/file`\n");
    let styled = faults.render(FaultStyle::Styled);
    assert!(styled.contains('\u{1b}') && !plain.contains('\u{1b}'));
}

#[test]
fn a_thirteenth_choice_of_supplies_is_too_many() {
    let mut text = String::from(
        "move: x\nequipment: [{id: can, mass: 1 kg, supplies: {water: 1 L}}]\n\
         carriers: {people: [{id: ann, limit: 12 kg}]}\n\
         parties: {up: {travel: foot, who: [ann]}}\nneeds:\n  up:\n",
    );
    let need = |k| format!("    - {{need: n{k}, any: [can, {{supply: water, amount: 1 L}}]}}\n");
    (0..12).for_each(|k| text += &need(k));
    assert!(tumpline::kit::read_move_text("x", &text).is_ok());
    text += &need(12);
    let faults = tumpline::kit::read_move_text("x", &text).expect_err("one too many");
    let told = faults.render(tumpline::kit::FaultStyle::Plain);
    assert!(told.contains("T0705") && told.contains("x:19:"), "{told}");
}
