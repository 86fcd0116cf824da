//! The command line as a person meets it: what is typed, what is printed, the exit code.
//!
//! Owns the golden outputs in `golden`; `SNAPSHOTS=overwrite cargo test --test command_line` writes them
//! anew, and each is read before it is committed. All schedules here are invented.
#![expect(clippy::disallowed_methods, reason = "the tests lay out the files that they audit")]
#![expect(clippy::unwrap_used, reason = "a test that cannot lay out its files has failed")]

mod audit;
mod catalogue;
mod compare;
mod corrections;
mod inputs;
mod mappings;
mod outputs;
mod portfolio;
mod rulings;
mod sampling;
mod survey;

use std::path::PathBuf;

use snapbox::cmd::OutputAssert;

/// The golden output of this name.
macro_rules! golden {
    ($name:literal) => {
        snapbox::Data::read_from(
            &std::path::Path::new(env!("CARGO_MANIFEST_DIR"))
                .join(concat!("tests/command_line/golden/", $name)),
            Some(snapbox::data::DataFormat::Text),
        )
    };
}
use golden;

/// Five devices in four rows: one box too deep, one set-back that cannot be read.
const DEVICES: &str = "\
outlet_id,building,floor,room,edition,device,mounting_location,facing,box,box_set_back,surface,quantity
A-1,North,1,101,2020,receptacle,wall,side,device-box,1/8 in,gypsum,1
A-2,North,1,102,2020,receptacle,wall,side,device-box,1/2 in,gypsum,1
A-3,North,1,103,2020,receptacle,wall,side,device-box,about 3,gypsum,2
A-4,North,2,201,2020,switch,wall,side,device-box,0,wood,1
";

/// One device of which nothing is wrong that its facts can tell.
const SOUND: &str = "\
outlet_id,edition,device,box,box_set_back,surface
A-1,2020,receptacle,device-box,1/8 in,gypsum
";

/// A folder in which the program is run.
struct Place {
    folder: tempfile::TempDir,
}

impl Place {
    fn new() -> Self {
        Self { folder: tempfile::tempdir().unwrap() }
    }

    fn with(self, name: &str, content: impl AsRef<[u8]>) -> Self {
        let path = self.path(name);
        std::fs::create_dir_all(path.parent().unwrap()).unwrap();
        std::fs::write(path, content).unwrap();
        self
    }

    fn path(&self, name: &str) -> PathBuf {
        self.folder.path().join(name)
    }

    fn read(&self, name: &str) -> Vec<u8> {
        std::fs::read(self.path(name)).unwrap()
    }

    fn text(&self, name: &str) -> String {
        String::from_utf8(self.read(name)).unwrap()
    }

    /// Runs the program with these arguments, parted by blanks.
    fn run(&self, arguments: &str) -> Ran {
        let mut redactions = snapbox::Redactions::new();
        redactions.insert("[VERSION]", env!("CARGO_PKG_VERSION")).unwrap();
        let checks = snapbox::Assert::new()
            .action_env(snapbox::assert::DEFAULT_ACTION_ENV)
            .redact_with(redactions);
        let command = snapbox::cmd::Command::new(env!("CARGO_BIN_EXE_yokecheck"))
            .with_assert(checks)
            .current_dir(self.folder.path())
            .env_remove("CLICOLOR_FORCE")
            .env("COLUMNS", "80")
            .args(arguments.split_whitespace());
        let output = command.assert();
        let get = |bytes: &[u8]| String::from_utf8(bytes.to_vec()).unwrap();
        let stdout = get(&output.get_output().stdout);
        let stderr = get(&output.get_output().stderr);
        let colour = |text: &str| text.contains('\u{1b}');
        assert!(!colour(&stdout) && !colour(&stderr), "no colour when piped: {stdout}{stderr}");
        assert!(!stderr.contains("panicked"), "{stderr}");
        Ran { output, stdout, stderr }
    }
}

/// A run that ended.
struct Ran {
    output: OutputAssert,
    stdout: String,
    stderr: String,
}

impl Ran {
    fn code(self, code: i32) -> Self {
        Self { output: self.output.code(code), ..self }
    }

    /// Checks that an error says all of this.
    #[track_caller]
    fn says(self, words: &[&str]) -> Self {
        for word in words {
            assert!(self.stderr.contains(word), "`{word}` is not in:\n{}", self.stderr);
        }
        self
    }

    /// Checks that the summary shows all of this.
    #[track_caller]
    fn shows(self, words: &[&str]) -> Self {
        for word in words {
            assert!(self.stdout.contains(word), "`{word}` is not in:\n{}", self.stdout);
        }
        self
    }

    /// Checks the whole of what was printed.
    fn prints(self, golden: snapbox::Data) -> Self {
        Self { output: self.output.stdout_eq(golden), ..self }
    }

    /// Checks the whole of what was complained of.
    fn complains(self, golden: snapbox::Data) -> Self {
        Self { output: self.output.stderr_eq(golden), ..self }
    }

    /// Checks that nothing was complained of.
    fn silently(self) -> Self {
        assert_eq!(self.stderr, "");
        self
    }
}
