//! Writing what was counted, and what can go wrong.

use super::stores;
use crate::common::folder::{Done, Folder};

const WRITE: [&str; 6] = ["--count", "@count.csv", "--write", "--yes", "--by", "Mo"];

const STORES: &str = "\
# kept by hand
holdings:
  - {id: lamp, held: 4, shelf: 4}   # four good ones
  - id: rope
    held: 2     # on charge
    shelf: 2    # on the hook
  # nothing else

cases:
  - case: bag
    found: {lead: 1}   # one is lost
";

fn folder(count: &str) -> Folder {
    let folder = stores(STORES);
    folder.write("count.csv", count);
    folder
}

#[test]
fn only_the_bytes_of_what_changed_are_changed() {
    let folder = folder(
        "item,where,to,case,counted,note\n\
         lamp,shelf,,,2,\n\
         lamp,on loan,\"hill, club\",,1,=1+1\n\
         rope,unserviceable,,,1,frayed\n\
         rope,shelf,,,1,\n\
         lead,,,,0,\n\
         lead,,,bag,2,\n\
         pouch,,,bag,1,\n\
         tape,,,pouch 2,2,\n",
    );
    let done = folder.muster(&[&WRITE[..], &["--on", "2026-05-31"]].concat());
    assert_eq!(done.code, 1, "{}", done.err);
    let expected = "\
# kept by hand
holdings:
  - {id: lamp, held: 4, shelf: 2, on-loan: {\"hill, club\": 1}}   # four good ones
  - id: rope
    held: 2     # on charge
    shelf: 1    # on the hook
    unserviceable: 1
  - {id: lead, held: 1, shelf: 0}
  # nothing else

cases:
  - case: bag
    found: {lead: 2}   # one is lost
  - {case: pouch 2, found: {tape: 2}}
";
    let text = folder.read("stores.yaml");
    assert_eq!(text.split_once("# kept").unwrap().1, expected.split_once("# kept").unwrap().1);
    let file = folder.path("count.csv").display().to_string();
    let journal = format!(
        "date,by,item,what,from,to,count_file,note\r\n\
         2026-05-31,Mo,lamp,shelf,4,2,{file},\r\n\
         2026-05-31,Mo,lamp,\"on loan to hill, club\",0,1,{file},'=1+1\r\n\
         2026-05-31,Mo,rope,unserviceable,0,1,{file},frayed\r\n\
         2026-05-31,Mo,rope,shelf,2,1,{file},\r\n\
         2026-05-31,Mo,lead,shelf,1,0,{file},\r\n\
         2026-05-31,Mo,lead,in bag 1,1,2,{file},\r\n\
         2026-05-31,Mo,tape,in pouch 2,3,2,{file},\r\n"
    );
    assert_eq!(folder.read("stores.journal.csv"), journal);
    // A second count goes below the first; nothing is left beside the files.
    folder.write("count.csv", "item,counted,by\nlamp,3,Ola\n");
    folder.muster(&["--count", "@count.csv", "--write", "--yes", "--on", "2026-06-01"]);
    let more = format!("{journal}2026-06-01,Ola,lamp,shelf,2,3,{file},\r\n");
    assert_eq!(folder.read("stores.journal.csv"), more);
    let mut names: Vec<String> = std::fs::read_dir(folder.here())
        .unwrap()
        .map(|e| e.unwrap().file_name().to_string_lossy().into_owned())
        .collect();
    names.sort();
    assert_eq!(names, ["count.csv", "stores.journal.csv", "stores.yaml"]);
}

#[test]
fn nothing_is_written_unless_it_is_asked_for_and_confirmed() {
    let folder = folder("item,counted\nlamp,1\n");
    let before = folder.read("stores.yaml");
    let nothing = |done: Done, code: i32, told: &str| {
        assert_eq!(done.code, code, "{}", done.err);
        assert!(done.err.contains(told), "{}", done.err);
        assert_eq!(folder.read("stores.yaml"), before);
        assert!(!folder.path("stores.journal.csv").exists());
    };
    nothing(folder.muster(&["--count", "@count.csv"]), 1, "");
    let args = ["--count", "@count.csv", "--write", "--by", "Mo"];
    nothing(folder.muster(&args), 2, "give `--yes`");
    nothing(folder.muster(&WRITE[..4]), 2, "who counted");
    nothing(folder.muster(&["--write", "--yes"]), 2, "--count");
    let late = [&WRITE[..], &["--on", "31.5.2026"]].concat();
    nothing(folder.muster(&late), 2, "2026-05-31");
}

#[test]
fn neither_file_changes_without_the_other() {
    let folder = folder("item,counted\nlamp,1\n");
    let before = folder.read("stores.yaml");
    // Another is writing, or was stopped.
    folder.write("stores.yaml.lock", "");
    let done = folder.muster(&WRITE);
    assert_eq!(done.code, 74);
    assert!(done.err.contains("nothing was written") && done.err.contains(".lock"), "{}", done.err);
    assert_eq!(folder.read("stores.yaml"), before);
    std::fs::remove_file(folder.path("stores.yaml.lock")).unwrap();
    // The journal cannot be written: a folder has its name.
    std::fs::create_dir(folder.path("stores.journal.csv")).unwrap();
    let done = folder.muster(&WRITE);
    assert_eq!(done.code, 74, "{}", done.err);
    assert!(done.err.contains("stores.journal.csv"), "{}", done.err);
    assert_eq!(folder.read("stores.yaml"), before);
    assert!(!folder.path("stores.yaml.lock").exists());
}

/// Whoever may write anywhere, as root may, cannot be kept out by a mode.
#[cfg(unix)]
#[test]
fn a_folder_that_cannot_be_written_to_is_told() {
    use std::os::unix::fs::PermissionsExt;
    let folder = folder("item,counted\nlamp,1\n");
    let before = folder.read("stores.yaml");
    let mode = |mode| {
        let mode = std::fs::Permissions::from_mode(mode);
        std::fs::set_permissions(folder.here(), mode).unwrap();
    };
    mode(0o555);
    let free = std::fs::write(folder.path("probe"), "").is_ok();
    let done = folder.muster(&WRITE);
    mode(0o755);
    if !free {
        assert_eq!(done.code, 74);
        assert!(done.err.contains("could not be written"), "{}", done.err);
        assert_eq!(folder.read("stores.yaml"), before);
    }
}

/// What has no place of its own yet: no lists at all, empty ones, everything
/// in braces, entries that begin below their dash.
#[test]
fn files_of_many_layouts_are_changed_in_place() {
    let count = "item,where,to,case,counted\nlamp,shelf,,,3\nlamp,issued,Ann B,,1\nlead,,,bag,1\n";
    for rest in [
        "",
        "# no line end",
        "holdings: []\ncases: []\n",
        "holdings: [ ]\n",
        "holdings: [{id: rope, shelf: 2}, # first\n  {id: lamp, shelf: 4, # x\n  issued: {}}]\n",
        "cases:\n  - {case: bag, found: {}}\n",
        "cases:\n  - found:\n      pouch: 1   # there\n    case: bag   # this\nholdings:\n- issued:\n    bo: 0\n  shelf: 4\n  id: lamp\n",
        "holdings:\n    -   id: lamp\n        shelf: 4\n",
        "holdings:\n  - {id: lamp,\n     shelf: 4,\n    }   # closed here\n\n\n# after\n",
        "holdings:\n  - {'id': 'lamp', \"shelf\": '4'}\n",
    ] {
        let folder = stores(rest);
        folder.write("count.csv", count);
        let done = folder.muster(&WRITE);
        assert_eq!(done.code, 1, "{rest}: {}", done.err);
        let doc = folder.mustered(&["--count", "@count.csv"]);
        assert_eq!(doc["count"]["differences"].as_array().map(Vec::len), Some(0), "{rest}");
        for comment in rest.lines().filter_map(|l| l.split_once('#')).map(|(_, c)| c) {
            assert!(folder.read("stores.yaml").contains(comment), "{rest}");
        }
    }
    // The whole file in braces.
    let folder = stores("");
    folder.write("stores.yaml", "{stores: x, equipment: [{id: lamp, mass: 1 kg, held: 4}]}\n");
    folder.write("count.csv", "item,counted\nlamp,3\n");
    assert_eq!(folder.muster(&WRITE).code, 1);
    assert_eq!(
        folder.read("stores.yaml"),
        "{stores: x, equipment: [{id: lamp, mass: 1 kg, held: 4}], \
         holdings: [{id: lamp, held: 4, shelf: 3}]}\n"
    );
    // A dash on a line of its own is too much; nothing is lost by it.
    let folder = stores("holdings:\n  -\n    id: rope\n    shelf: 2\n");
    let before = folder.read("stores.yaml");
    folder.write("count.csv", "item,counted\nlamp,3\n");
    let done = folder.muster(&WRITE);
    assert_eq!(done.code, 3, "{}", done.err);
    assert!(done.err.contains("cannot be changed in place"), "{}", done.err);
    assert_eq!(folder.read("stores.yaml"), before);
}

#[test]
fn the_blank_sheet_asks_for_every_thing_and_place() {
    let folder = stores(
        "scale: {rope: 0}\nholdings:\n  - {id: rope, held: 0, shelf: 0}\n  - {id: lamp, held: 4, shelf: 1, issued: {ann: 2}, on-loan: {\"=club\": 1}, unserviceable: 1}\n",
    );
    let done = folder.muster(&["--blank-count"]);
    assert_eq!(done.code, 0);
    let expected = "item,name,where,to,case,counted,by,note\r\n\
                    lamp,Lamp,shelf,,,,,\r\n\
                    lamp,Lamp,unserviceable,,,,,\r\n\
                    lamp,Lamp,issued,ann,,,,\r\n\
                    lamp,Lamp,on loan,'=club,,,,\r\n\
                    bag,Bag,shelf,,,,,\r\n\
                    pouch,Pouch,shelf,,,,,\r\n\
                    lead,Lead,shelf,,,,,\r\n\
                    lead,Lead,,,bag 1,,,\r\n\
                    pouch,Pouch,,,bag 1,,,\r\n\
                    tape,tape,,,bag 1 / pouch 1,,,\r\n\
                    tape,tape,,,pouch 1,,,\r\n\
                    tape,tape,,,pouch 2,,,\r\n";
    assert_eq!(done.out, expected);
    // It reads back as it is, with nothing counted.
    folder.write("count.csv", &done.out);
    assert_eq!(folder.mustered(&["--count", "@count.csv"])["count"]["blank"], 12);
    // What was guarded against being a formula is read as it was meant.
    folder.write("count.csv", done.out.replace("'=club,,", "'=club,,0"));
    let doc = folder.mustered(&["--count", "@count.csv"]);
    assert_eq!(doc["count"]["differences"][0]["to"], "=club");
    let paper = folder.muster(&["--blank-count", "--format", "markdown"]).out;
    assert_eq!(paper.lines().filter(|l| l.ends_with("| | |")).count(), 12);
    assert_eq!(folder.muster(&["--blank-count", "--format", "json"]).code, 2);
}

/// Several at once: each either writes or is told that it did not, and the
/// journal has a line for each that did.
#[test]
fn several_that_write_at_once_do_not_lose_each_other() {
    let folder = stores("holdings:\n  - {id: lamp, held: 4, shelf: 4}\n");
    for n in 0..8 {
        folder.write(&format!("count-{n}.csv"), format!("item,counted\nlamp,{}\n", 10 + n));
    }
    let done: Vec<Done> = std::thread::scope(|scope| {
        let all: Vec<_> = (0..8)
            .map(|n| {
                let folder = &folder;
                scope.spawn(move || {
                    let sheet = format!("@count-{n}.csv");
                    folder.muster(&[
                        "--count",
                        &sheet,
                        "--write",
                        "--yes",
                        "--by",
                        "Mo",
                        "--no-moves",
                    ])
                })
            })
            .collect();
        all.into_iter().map(|t| t.join().unwrap()).collect()
    });
    let wrote = done.iter().filter(|d| d.err.contains("1 change written")).count();
    assert!(wrote >= 1);
    for d in &done {
        let told = d.err.contains("1 change written") || d.err.contains("nothing was written");
        assert!(told, "{}", d.err);
    }
    let journal = folder.read("stores.journal.csv");
    let lines: Vec<&str> = journal.lines().skip(1).collect();
    assert_eq!(lines.len(), wrote, "{journal}");
    // Each began where the one before ended, and the file says what the last did.
    let field = |line: &str, n: usize| line.split(',').nth(n).unwrap().to_string();
    for pair in lines.windows(2) {
        assert_eq!(field(pair[0], 5), field(pair[1], 4), "{journal}");
    }
    let last = field(lines.last().unwrap(), 5);
    assert!(folder.read("stores.yaml").contains(&format!("shelf: {last}}}")), "{journal}");
    assert!(!folder.path("stores.yaml.lock").exists());
}
