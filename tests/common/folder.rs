//! A folder of its own for a test, and the program run in it.

use serde_json::Value;
use std::collections::BTreeMap;
use std::ffi::{OsStr, OsString};
use std::path::{Path, PathBuf};
use std::process::Command;
use tumpline::cli::Env;

/// The root of the project, where the demo kits are.
pub fn root() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR"))
}

/// The program in the root of the project: `tumpline(["check", "kits"]).code(0)`.
pub fn tumpline<A: AsRef<OsStr>>(args: impl IntoIterator<Item = A>) -> Done {
    Done::of(&mut program(&root(), args))
}

/// The program with these arguments, in this folder, with no variables but a locale.
pub fn program<A: AsRef<OsStr>>(folder: &Path, args: impl IntoIterator<Item = A>) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_tumpline"));
    command.args(args).env_clear().env("LANG", "C.UTF-8").current_dir(folder);
    command
}

/// The files of the demo kits whose names end in one of these, in order.
pub fn demo_files(endings: &[&str]) -> Vec<PathBuf> {
    let list = |folder: PathBuf| std::fs::read_dir(folder).unwrap().map(|e| e.unwrap().path());
    let folders = list(root().join("kits")).filter(|p| p.is_dir());
    let mut all: Vec<PathBuf> = folders.flat_map(list).collect();
    all.retain(|p| endings.iter().any(|end| p.to_string_lossy().ends_with(end)));
    all.sort();
    all
}

pub fn demo_moves() -> Vec<PathBuf> {
    demo_files(&[".move.yaml"])
}

/// A folder that is gone with the test.
pub struct Folder(tempfile::TempDir);

impl Folder {
    pub fn new() -> Folder {
        Folder(tempfile::tempdir().unwrap())
    }
    /// With this file in it.
    pub fn with(name: &str, content: impl AsRef<[u8]>) -> Folder {
        Folder::new().and(name, content)
    }
    /// With this file as well.
    pub fn and(self, name: &str, content: impl AsRef<[u8]>) -> Folder {
        self.write(name, content);
        self
    }
    pub fn here(&self) -> &Path {
        self.0.path()
    }
    pub fn path(&self, name: &str) -> PathBuf {
        self.here().join(name)
    }
    /// The path as an argument.
    pub fn at(&self, name: &str) -> String {
        self.path(name).into_os_string().into_string().unwrap()
    }
    /// Writes a file, and the folder that it is in.
    pub fn write(&self, name: &str, content: impl AsRef<[u8]>) {
        let path = self.path(name);
        std::fs::create_dir_all(path.parent().unwrap()).unwrap();
        std::fs::write(path, content).unwrap();
    }
    pub fn read(&self, name: &str) -> String {
        std::fs::read_to_string(self.path(name)).unwrap()
    }
    pub fn remove(&self, name: &str) {
        std::fs::remove_file(self.path(name)).unwrap();
    }
    /// What is in it, hidden files too, by name.
    pub fn names(&self) -> Vec<String> {
        names(self.here())
    }
    /// Runs the program in it.
    pub fn run<A: AsRef<OsStr>>(&self, args: impl IntoIterator<Item = A>) -> Done {
        Done::of(&mut program(self.here(), args))
    }
    /// The same within the test, for tests that ask hundreds of times. The folder is not
    /// that of the process: an argument `@NAME` is the path of a file in it, `@` its own.
    pub fn call(&self, args: &[&str]) -> Done {
        let path = |arg: &&str| match arg.strip_prefix('@') {
            Some("") => self.here().into(),
            Some(name) => self.path(name).into(),
            None => OsString::from(*arg),
        };
        call(&args.iter().map(path).collect::<Vec<_>>())
    }
}

/// What is in a folder, hidden files too, by name.
pub fn names(folder: &Path) -> Vec<String> {
    let entries = std::fs::read_dir(folder).unwrap();
    let mut all: Vec<_> = entries.map(|e| e.unwrap().file_name().into_string().unwrap()).collect();
    all.sort();
    all
}

/// What the program does, without a process of its own.
pub fn call<A: AsRef<OsStr>>(args: &[A]) -> Done {
    let vars = BTreeMap::from([("LANG".to_string(), "C.UTF-8".to_string())]);
    let (mut out, mut err) = (Vec::new(), Vec::new());
    let all = ["tumpline".into()].into_iter().chain(args.iter().map(|a| a.as_ref().to_owned()));
    let code = tumpline::cli::run(all, &mut out, &mut err, &Env { vars, ..Env::default() });
    Done::new(args, code as i32, out, err)
}

/// What a command printed, and its exit code.
pub struct Done {
    pub code: i32,
    /// Standard output. A workbook is in `bytes` alone.
    pub out: String,
    pub err: String,
    pub bytes: Vec<u8>,
    args: String,
}

impl Done {
    /// Runs the command to its end.
    #[track_caller]
    pub fn of(command: &mut Command) -> Done {
        let done = command.output().expect("the program starts");
        let code = done.status.code().expect("no signal ends it");
        let args: Vec<_> = command.get_args().collect();
        Done::new(&args, code, done.stdout, done.stderr)
    }
    fn new<A: AsRef<OsStr>>(args: &[A], code: i32, bytes: Vec<u8>, err: Vec<u8>) -> Done {
        let args = args.iter().map(|a| a.as_ref().to_string_lossy()).collect::<Vec<_>>().join(" ");
        let binary = bytes.starts_with(b"PK\x03\x04");
        let text = |bytes| String::from_utf8(bytes).expect("output is UTF-8");
        let out = if binary { String::new() } else { text(bytes.clone()) };
        Done { code, out, err: text(err), bytes, args }
    }
    /// It ended with this code.
    #[track_caller]
    pub fn code(self, code: i32) -> Done {
        let Done { out, err, args, .. } = &self;
        assert_eq!(self.code, code, "tumpline {args}\n{out}\n{err}");
        self
    }
    /// This is all of standard output.
    #[track_caller]
    pub fn out(self, text: &str) -> Done {
        assert_eq!(self.out, text, "tumpline {}\n{}", self.args, self.err);
        self
    }
    /// This is all of standard error.
    #[track_caller]
    pub fn err(self, text: &str) -> Done {
        assert_eq!(self.err, text, "tumpline {}", self.args);
        self
    }
    /// Standard error has this in it.
    #[track_caller]
    pub fn tells(self, text: &str) -> Done {
        assert!(self.err.contains(text), "tumpline {}\n{text:?} in\n{}", self.args, self.err);
        self
    }
    #[track_caller]
    pub fn json(&self) -> Value {
        serde_json::from_str(&self.out)
            .unwrap_or_else(|e| panic!("tumpline {}: {e}\n{}\n{}", self.args, self.out, self.err))
    }
}
