//! `tumpline muster`: hand-made cases, properties over made-up stores, moves
//! asked with what is fit, writing, and hostile names.

mod faults;
mod forms;
mod hand_made;
mod hostile;
mod moves;
mod properties;
mod sheets;
mod writing;

use serde_json::Value;
use std::collections::BTreeMap;
use std::ffi::OsString;
use std::path::PathBuf;
use tumpline::cli::{Code, Env, run};

/// Four lamps, two ropes, a bag with two leads and a pouch, two more pouches
/// with three tapes each, a lead.
pub const ITEMS: &str = "equipment:
  - {id: lamp, name: Lamp, mass: 100 g, held: 4}
  - {id: rope, name: Rope, mass: 3 kg, held: 2}
  - {id: bag, name: Bag, mass: 2 kg, contents: {lead: 2, pouch: 1}}
  - {id: pouch, name: Pouch, mass: 500 g, held: 2, contents: {tape: 3}}
  - {id: lead, name: Lead, mass: 250 g, held: 1}
";

/// A folder to work in.
pub struct Folder(pub tempfile::TempDir);

/// What a command printed, and its code.
pub struct Done {
    pub code: Code,
    pub out: String,
    pub err: String,
}

impl Folder {
    /// With a stores file that goes on like this.
    pub fn new(rest: &str) -> Folder {
        let folder = Folder(tempfile::tempdir().unwrap());
        folder.write("stores.yaml", &format!("stores: Test store\n{ITEMS}{rest}"));
        folder
    }
    pub fn path(&self, name: &str) -> PathBuf {
        self.0.path().join(name)
    }
    pub fn write(&self, name: &str, text: &str) {
        std::fs::write(self.path(name), text).unwrap();
    }
    pub fn read(&self, name: &str) -> String {
        std::fs::read_to_string(self.path(name)).unwrap()
    }
    /// `tumpline muster FOLDER …`; an argument with a `@` in front is a file
    /// in the folder.
    pub fn muster(&self, args: &[&str]) -> Done {
        let mut all: Vec<OsString> = ["tumpline".into(), "muster".into()].to_vec();
        all.push(self.0.path().into());
        all.extend(args.iter().map(|a| match a.strip_prefix('@') {
            Some(name) => self.path(name).into(),
            None => OsString::from(*a),
        }));
        let env =
            Env { vars: BTreeMap::from([("LANG".into(), "C.UTF-8".into())]), ..Env::default() };
        let (mut out, mut err) = (Vec::new(), Vec::new());
        let code = run(all, &mut out, &mut err, &env);
        let text = |bytes| String::from_utf8(bytes).unwrap();
        Done { code, out: text(out), err: text(err) }
    }
    pub fn json(&self, args: &[&str]) -> Value {
        let done = self.muster(&[args, &["--format", "json"]].concat());
        serde_json::from_str(&done.out).unwrap_or_else(|e| panic!("{e}: {}{}", done.out, done.err))
    }
}

/// `lamp.short`, `bag 1 / pouch 1:tape.found`, `bag 1.short`, `totals.held`,
/// `in_order`.
pub fn look<'a>(doc: &'a Value, path: &str) -> &'a Value {
    let (head, key) = path.rsplit_once('.').unwrap_or(("", path));
    let by = |list: &'a Value, key: &str, is: &str| {
        let list = list.as_array().unwrap();
        list.iter().find(|e| e[key] == is).unwrap_or_else(|| panic!("no {is} in {path}"))
    };
    let case = |of: &str| by(&doc["cases"], "case", of);
    match head.split_once(':') {
        Some((of, item)) => &by(&case(of)["contents"], "id", item)[key],
        None if head.is_empty() => &doc[key],
        None if head == "totals" || head == "count" => &doc[head][key],
        None if head.contains(' ') => &case(head)[key],
        None => &by(&doc["holdings"], "id", head)[key],
    }
}
