//! Hostile files and bad luck: whatever is read and whatever happens, there is a report or one message,
//! soon and in little memory, and nothing half is left.
//!
//! Every case runs the program in a process of its own whose memory the system limits, so that a case that
//! took all of it would fail and hurt nobody. How often what hangs on chance is tried is told by
//! `YOKECHECK_ROUNDS`; a few times without it.
#![cfg(test)]
#![cfg(unix)]
#![expect(clippy::disallowed_methods, reason = "the tests make files, and time is the point")]
#![expect(clippy::disallowed_macros, reason = "what was skipped is said")]

mod books;
mod damage;
mod determinism;
mod faults;
mod files;
mod injection;

use std::ffi::OsString;
use std::fs;
use std::io::Read;
use std::os::unix::process::ExitStatusExt as _;
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Stdio};
use std::thread::JoinHandle;
use std::time::{Duration, Instant};

/// The processor time that a hostile file may take: a machine that is busy with other things takes longer
/// by the clock. A program without optimisation is several times slower.
const LONGEST: Duration = Duration::from_secs(if cfg!(debug_assertions) { 25 } else { 5 });
/// A program that waits takes no processor time.
const LONGEST_WAIT: Duration = Duration::from_secs(100);
/// The memory that a hostile file may take, in kilobytes.
const MOST_MEMORY: u64 = 500 * 1000;
/// The addresses that the system grants, in kilobytes: more than the memory by what is never touched.
const MOST_ADDRESSES: u64 = MOST_MEMORY + 400 * 1000;

/// How often what hangs on chance is tried.
fn rounds(usual: u64) -> u64 {
    let asked = std::env::var("YOKECHECK_ROUNDS").ok();
    asked.map_or(usual, |rounds| rounds.parse().expect("YOKECHECK_ROUNDS is a number"))
}

/// The program: that of this build, or the one that `YOKECHECK_PROGRAM` names.
fn program() -> OsString {
    std::env::var_os("YOKECHECK_PROGRAM").unwrap_or_else(|| env!("CARGO_BIN_EXE_yokecheck").into())
}

/// A folder in which the program is run.
struct Place {
    folder: tempfile::TempDir,
}

impl Place {
    /// On the disk of the build, since a folder of temporary files may be memory.
    fn new() -> Self {
        Self { folder: tempfile::tempdir_in(env!("CARGO_TARGET_TMPDIR")).unwrap() }
    }

    fn with(self, name: &str, content: impl AsRef<[u8]>) -> Self {
        fs::write(self.path(name), content).unwrap();
        self
    }

    fn path(&self, name: &str) -> PathBuf {
        self.folder.path().join(name)
    }

    fn text(&self, name: &str) -> String {
        fs::read_to_string(self.path(name)).unwrap()
    }

    /// The names in the folder, sorted.
    fn names(&self) -> Vec<String> {
        let entries = fs::read_dir(self.folder.path()).unwrap();
        let mut names: Vec<String> =
            entries.map(|entry| entry.unwrap().file_name().into_string().unwrap()).collect();
        names.sort();
        names
    }

    /// Starts the program with these arguments, parted by blanks, behind commands of a shell.
    fn start(&self, shell: &str, arguments: &str) -> Started {
        let mut child = Command::new("sh")
            .arg("-c")
            .arg(format!("{shell}\nexec \"$0\" \"$@\""))
            .arg(program())
            .args(arguments.split_whitespace())
            .current_dir(self.folder.path())
            // Each of its arenas takes addresses that are never touched.
            .env("MALLOC_ARENA_MAX", "2")
            .env("TMPDIR", self.folder.path())
            .stdin(Stdio::null())
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()
            .unwrap();
        let told = (listen(child.stdout.take().unwrap()), listen(child.stderr.take().unwrap()));
        Started { child, told, begun: Instant::now() }
    }

    /// Runs the program within the limits.
    fn run(&self, arguments: &str) -> Ran {
        let seconds = LONGEST.as_secs() * 2;
        self.start(&format!("ulimit -v {MOST_ADDRESSES}; ulimit -t {seconds}"), arguments).ends()
    }
}

/// Keeps what a process says, so that it never waits for a reader.
fn listen(mut said: impl Read + Send + 'static) -> JoinHandle<String> {
    std::thread::spawn(move || {
        let mut bytes = Vec::new();
        said.read_to_end(&mut bytes).unwrap();
        String::from_utf8_lossy(&bytes).into_owned()
    })
}

/// A run that was started.
struct Started {
    child: Child,
    /// What it says on its output and of its errors.
    told: (JoinHandle<String>, JoinHandle<String>),
    begun: Instant,
}

/// A run that ended.
#[derive(Debug)]
struct Ran {
    /// The exit code; none when a signal ended it.
    code: Option<i32>,
    signal: Option<i32>,
    stdout: String,
    stderr: String,
    /// Processor time, where the system tells.
    time: Duration,
    /// The most memory it held, in kilobytes, where the system tells.
    memory: u64,
}

impl Started {
    fn signal(&self, name: &str) {
        let sent = Command::new("kill").args(["-s", name, &self.child.id().to_string()]).status();
        assert!(sent.unwrap().success());
    }

    /// Waits for its end.
    fn ends(mut self) -> Ran {
        let (mut time, mut memory) = (Duration::ZERO, 0);
        let status = loop {
            // What a process took is gone when its end has been waited for.
            if let Some((took, held)) = took(self.child.id()) {
                (time, memory) = (took.max(time), held.max(memory));
            }
            if let Some(status) = self.child.try_wait().unwrap() {
                break status;
            }
            if self.begun.elapsed() > LONGEST_WAIT {
                self.child.kill().unwrap();
            }
            std::thread::sleep(Duration::from_millis(3));
        };
        let (stdout, stderr) = self.told;
        Ran {
            code: status.code(),
            signal: status.signal(),
            stdout: stdout.join().unwrap(),
            stderr: stderr.join().unwrap(),
            time,
            memory,
        }
    }
}

/// Processor time and the most memory of a process so far; none where the system does not tell.
fn took(process: u32) -> Option<(Duration, u64)> {
    let read = |name: &str| fs::read_to_string(format!("/proc/{process}/{name}")).ok();
    let stat = read("stat")?;
    let fields = stat.rsplit_once(')')?.1.split_whitespace().skip(11).take(2);
    let ticks: u64 = fields.filter_map(|ticks| ticks.parse::<u64>().ok()).sum();
    let status = read("status")?;
    let held = status.lines().find_map(|line| line.strip_prefix("VmHWM:"));
    let held = held.and_then(|held| held.trim().strip_suffix("kB")?.trim().parse().ok());
    Some((Duration::from_millis(ticks * 10), held.unwrap_or_default()))
}

impl Ran {
    /// Checks that it kept within the limits and came to an end of its own.
    #[track_caller]
    fn within_limits(self, what: &str) -> Self {
        println!("{what}: {:?}, {:.2?}, {} MB", self.code, self.time, self.memory / 1000);
        assert!(self.is_within_limits(), "{what}: {self:?}");
        self
    }

    fn is_within_limits(&self) -> bool {
        self.code.is_some_and(|code| code <= 2)
            && !self.stderr.contains("panicked")
            && self.time < LONGEST
            && self.memory < MOST_MEMORY
    }

    /// Checks that it was refused with one message that says this.
    #[track_caller]
    fn refused(self, what: &str, words: &[&str]) -> Self {
        let ran = self.within_limits(what);
        assert_eq!(ran.code, Some(2), "{what}: {ran:?}");
        let errors = ran.stderr.lines().filter(|line| line.starts_with("error:")).count();
        assert_eq!(errors, 1, "{what}: {}", ran.stderr);
        for word in words {
            assert!(ran.stderr.contains(word), "{what}: `{word}` is not in {}", ran.stderr);
        }
        ran
    }
}

fn samples() -> Vec<PathBuf> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("sample-data/schedules");
    let mut files: Vec<PathBuf> =
        fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path()).collect();
    files.sort();
    files
}
