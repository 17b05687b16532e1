//! Tidying changes nothing that a file says, keeps every remark, and is done
//! after one go: on the kits, and on what is written as badly as YAML allows.

#[path = "untidy.rs"]
mod untidy;

use crate::common::cases::cases;
use crate::common::folder::Folder;
use proptest::prelude::*;
use std::fs;
use std::path::{Path, PathBuf};
use tumpline::kit::{self, tidy_text};
use untidy::Untidy;

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).to_path_buf()
}

fn yaml(folder: &str) -> Vec<PathBuf> {
    let mut found = Vec::new();
    let mut folders = vec![root().join(folder)];
    while let Some(folder) = folders.pop() {
        for path in fs::read_dir(folder).unwrap().map(|e| e.unwrap().path()) {
            match path.is_dir() {
                true => folders.push(path),
                false if path.to_string_lossy().ends_with(".yaml") => found.push(path),
                false => {}
            }
        }
    }
    found.sort();
    found
}

fn tidied(text: &str) -> String {
    tidy_text("a.yaml", text).unwrap_or_else(|e| panic!("{e}:\n{text}"))
}

/// What a kit comes to, without the places where it was written.
fn domain(path: &Path) -> String {
    let order = kit::read_move(path).unwrap_or_else(|e| panic!("{e}")).order;
    let text = format!("{order:?}");
    let (mut out, mut rest) = (String::new(), text.as_str());
    while let Some((before, after)) = rest.split_once("Place { file: ") {
        out.push_str(before);
        rest = after.split_once('}').map_or("", |(_, rest)| rest);
    }
    out + rest
}

#[test]
fn the_kits_are_tidy() {
    let mut files = yaml("kits");
    files.extend(yaml("tests/impossible"));
    assert!(files.len() > 40);
    for path in files {
        let text = fs::read_to_string(&path).unwrap();
        assert!(tidied(&text) == text, "{}: run `tumpline tidy`", path.display());
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: cases(25, 100), ..ProptestConfig::default() })]
    #[test]
    fn any_writing_of_a_kit_says_the_same_when_tidy(seed in any::<u64>()) {
        let kits = ["ridge-relay/ridge", "mountain-rescue/callout", "glacier-survey/traverse", "day-walk/day-walk"];
        let order = root().join("kits").join(format!("{}.move.yaml", kits[(seed % 4) as usize]));
        let folder = Folder::new();
        let mut untidy = Untidy::new(seed);
        for path in yaml(&format!("kits/{}", kits[(seed % 4) as usize].split('/').next().unwrap())) {
            let text = fs::read_to_string(&path).unwrap();
            let value = serde_yaml::from_str(&text).unwrap();
            let before = untidy.remarks;
            let bad = untidy.file(&value);
            let remarks = before + 1..=untidy.remarks;
            folder.write(path.file_name().unwrap().to_str().unwrap(), &bad);
            let good = tidied(&bad);
            // Once each: the number ends where a blank or the line does.
            for n in remarks {
                let there = good.lines().filter(|l| {
                    l.split_once('#').is_some_and(|(_, r)| {
                        r.trim_start().strip_prefix(&format!("n{n}")).is_some_and(|r| !r.starts_with(|c: char| c.is_ascii_digit()))
                    })
                });
                prop_assert_eq!(there.count(), 1, "remark {}:\n{}\n{}", n, bad, good);
            }
            prop_assert_eq!(&tidied(&good), &good);
            let lf = good.replace("\r\n", "\n");
            prop_assert!(lf.ends_with('\n') && !lf.contains('\r') && !lf.contains(" \n"));
        }
        let here = folder.here().join(order.file_name().unwrap());
        let before = domain(&here);
        for path in fs::read_dir(folder.here()).unwrap().map(|e| e.unwrap().path()) {
            let text = fs::read_to_string(&path).unwrap();
            fs::write(&path, tidied(&text)).unwrap();
        }
        prop_assert_eq!(domain(&here), before);
    }
}

/// Files of every kind, put in order by hand.
#[test]
fn keys_quantities_and_layout_are_put_in_order() {
    for (bad, good) in [
        // Keys of records; entries of a mapping keep their order.
        (
            "units: imperial\nequipment: [{mass: 9lbs 4oz, contents: {z: 1, a: 02}, id: a}]\n",
            "units: imperial\nequipment: [{id: a, mass: 9 lb 4 oz, contents: {z: 1, a: 2}}]\n",
        ),
        (
            "people:\n- limit: 30%\n  id: \"ann\"\n  worn: 3400g\n  body-mass: 75kg\n",
            "people:\n  - id: ann\n    body-mass: 75 kg\n    limit: 30 %\n    worn: 3.4 kg\n",
        ),
        ("weighed: [ { mass: 0.5kg,id: a } ]", "weighed: [{id: a, mass: 500 g}]\n"),
        // Remarks go with what they are about; blank lines stay.
        (
            "# head\nequipment:\n    - mass: 1 kg # heavy\n      # the id\n      id: a\n\n\n    # more\n    - {id: b, mass: 2 kg}\n",
            "# head\nequipment:\n  # the id\n  - id: a\n    mass: 1 kg   # heavy\n\n  # more\n  - {id: b, mass: 2 kg}\n",
        ),
        // Columns that somebody made stay.
        (
            "equipment:\n  - {id: a,    mass:  1 kg}\n  - {id: long, mass: 12 kg}\n",
            "equipment:\n  - {id: a,    mass: 1 kg}\n  - {id: long, mass: 12 kg}\n",
        ),
        (
            "equipment:\n  - id: a       # one\n    mass: 1200 g # two\n",
            "equipment:\n  - id: a       # one\n    mass: 1.2 kg  # two\n",
        ),
        // Quotes where they are needed, texts on one line.
        (
            "equipment:\n- {id: a, name: 'Tent, big', mass: 1 kg}\n- id: b\n  name: \"a\n    b\"\n  mass: |\n    2 kg\n",
            "equipment:\n  - {id: a, name: 'Tent, big', mass: 1 kg}\n  - id: b\n    name: a b\n    mass: 2 kg\n",
        ),
        (
            "equipment: [{id: \"no\", name: \"12\", mass: 1 kg}]\r\n",
            "equipment: [{id: \"no\", name: \"12\", mass: 1 kg}]\r\n",
        ),
        // Tabs between, brackets over lines.
        (
            "equipment:\n  - id: a\n    mass: 1 kg\t# b\n    carry: [\n        back, # c\n        hand\n    ]\n",
            "equipment:\n  - id: a\n    mass: 1 kg  # b\n    carry: [\n      back,   # c\n      hand\n    ]\n",
        ),
    ] {
        assert_eq!(tidied(bad), good, "{bad}");
    }
}

#[test]
fn what_is_no_sound_file_is_left_alone() {
    for text in
        ["", "a: b\n", "equipment: &a []\n", "equipment: [{id: a}, {id: a, id: b}]\n", "- a\n"]
    {
        assert!(tidy_text("a.yaml", text).is_err(), "{text}");
    }
}

#[test]
fn a_long_line_and_many_items_are_no_trouble() {
    let item = |n: usize| format!("{{mass: 1kg, id: item-{n}, name: {}}}", "long ".repeat(30));
    let items: Vec<String> = (0..5000).map(item).collect();
    let flow = format!("equipment: [{}]\n", items.join(", "));
    let block = format!("equipment:\n- {}\n", items.join(" # x\n- "));
    let started = std::time::Instant::now();
    for text in [flow, block] {
        assert!(tidied(&text).contains("{id: item-4999, name: long long"));
    }
    // Some tenths of a second in all; far more if anything were quadratic.
    assert!(started.elapsed().as_secs() < 60, "{:?}", started.elapsed());
}
