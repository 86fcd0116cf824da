//! Bad luck: killed, interrupted, a full disk, an input that changes. The old output stays or the new one
//! is whole, and what a kill leaves behind is swept by the next run.

use std::collections::BTreeMap;
use std::fs;
use std::path::Path;
use std::process::Command;
use std::time::{Duration, Instant};

use crate::{Place, rounds, samples};

/// All outputs at once.
pub(crate) const OUTPUTS: &str = "--out a.xlsx --findings f.csv --verdicts v.csv --html a.html --jsonl a.jsonl \
                       --parquet tables --corrections sent";

/// An audit with these outputs.
fn audit(outputs: &str) -> String {
    format!("audit {} --as-of 2026-03-31 {outputs}", samples()[3].display())
}

/// Every file below a folder with its bytes; folders by their name alone.
pub(crate) fn all(folder: &Path) -> BTreeMap<String, Vec<u8>> {
    let entries = walkdir::WalkDir::new(folder).into_iter().map(Result::unwrap);
    let name = |path: &Path| path.strip_prefix(folder).unwrap().to_string_lossy().into_owned();
    entries.map(|entry| (name(entry.path()), fs::read(entry.path()).unwrap_or_default())).collect()
}

/// Whether a name is that of an unfinished output, or of what is in one.
fn is_unfinished(name: &str) -> bool {
    name.split('/').any(|part| part.starts_with(".yokecheck-"))
}

/// A pseudo-random number below a bound, the same in every run of the tests (a linear congruence).
pub(crate) fn chance(state: &mut u64, below: u64) -> u64 {
    *state = state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
    (*state >> 33) % below
}

#[test]
fn killed_at_any_moment_every_output_is_the_old_or_the_new_one() {
    let whole = Place::new();
    let begun = Instant::now();
    assert_eq!(whole.run(&audit(OUTPUTS)).code, Some(1));
    let longest = u64::try_from(begun.elapsed().as_millis()).unwrap();
    let new = all(whole.folder.path());

    // An older audit of fewer rules.
    let place = Place::new();
    let older = format!("{} --rules box", audit(OUTPUTS));
    assert_eq!(place.run(&older).code, Some(1));
    let old = all(place.folder.path());
    assert_ne!(old["v.csv"], new["v.csv"]);

    let (mut state, mut left) = (9, 0);
    for round in 0..rounds(6) {
        let run = place.start("", &audit(OUTPUTS));
        // Outputs are written at the end of a run: most kills fall there.
        let wait = match round % 3 {
            0 => chance(&mut state, longest),
            _ => longest / 2 + chance(&mut state, longest / 2),
        };
        std::thread::sleep(Duration::from_millis(wait));
        run.signal("KILL");
        run.ends();
        let all = all(place.folder.path());
        left += all.keys().filter(|name| is_unfinished(name)).count();
        for (name, bytes) in all.iter().filter(|(name, _)| !is_unfinished(name)) {
            let is_old = old.get(name).is_some_and(|old| old == bytes);
            let is_new = new.get(name).is_some_and(|new| new == bytes);
            assert!(is_old || is_new, "{name} is neither the old nor the new one");
        }
        for name in old.keys().filter(|name| !name.starts_with("sent/")) {
            assert!(place.path(name).exists(), "{name} is gone");
        }
    }
    println!("{left} unfinished files and folders were left by the kills");
    assert_eq!(place.run(&audit(OUTPUTS)).code, Some(1));
    assert_eq!(all(place.folder.path()), new, "the next run swept what was left");
}

#[test]
fn an_interrupt_ends_the_run_within_a_second_and_leaves_nothing() {
    let audit = audit("--out a.xlsx --findings f.csv --parquet tables --corrections new/sent");
    let whole = Place::new();
    let begun = Instant::now();
    assert_eq!(whole.run(&audit).code, Some(1));
    let longest = u64::try_from(begun.elapsed().as_millis()).unwrap();
    let new = all(whole.folder.path());
    let (mut state, mut interrupted) = (5, 0);
    for round in 0..rounds(6) {
        let (name, number) = if round % 2 == 0 { ("INT", 2) } else { ("TERM", 15) };
        let place = Place::new().with("f.csv", "old");
        let run = place.start("", &audit);
        let wait = longest / 5 + chance(&mut state, longest / 2 + 1);
        std::thread::sleep(Duration::from_millis(wait));
        let sent = Instant::now();
        run.signal(name);
        let ran = run.ends();
        assert!(sent.elapsed() < Duration::from_secs(1), "{:?}", sent.elapsed());
        // It may have come to its end before.
        if ran.code != Some(1) {
            interrupted += 1;
            assert_eq!(ran.signal, Some(number), "{ran:?}");
            assert!(ran.stderr.contains("interrupted: nothing unfinished is left"), "{ran:?}");
        }
        // What was finished before stays, each output whole.
        let all = all(place.folder.path());
        for (name, bytes) in &all {
            let is_old = name == "f.csv" && bytes == b"old";
            assert!(is_old || new.get(name) == Some(bytes), "{name} is left");
        }
        let sent = all.keys().any(|name| name.starts_with("new/sent/"));
        assert!(sent || !all.contains_key("new"), "a folder that the run made is left");
    }
    assert!(interrupted > 0, "no signal fell within a run");
}

/// A limit of the size of files stands for a full disk: the same calls fail. Its signal is ignored, so that
/// the program sees the error.
#[test]
fn a_full_disk_is_told_and_the_old_output_stays() {
    let outputs = [
        "--out a.xlsx",
        "--findings f.csv",
        "--verdicts v.csv",
        "--html a.html",
        "--jsonl a.jsonl",
    ];
    for output in outputs.into_iter().chain(["--parquet tables", "--corrections sent"]) {
        let place = Place::new();
        let without = if output.starts_with("--out") { "" } else { "--no-workbook" };
        let audit = audit(&format!("{without} {output}"));
        assert_eq!(place.run(&format!("{audit} --rules mounting")).code, Some(1), "{output}");
        let old = all(place.folder.path());
        for kilobytes in [0, 1, 4] {
            let limit = format!("trap '' XFSZ; ulimit -f {}", kilobytes * 2);
            let ran = place.start(&limit, &audit).ends();
            let small = output.starts_with("--parquet") || output.starts_with("--corrections");
            assert!(ran.code == Some(2) || small && kilobytes == 4, "{output}: {ran:?}");
            if ran.code == Some(2) {
                assert!(
                    ran.stderr.starts_with("error: ") && !ran.stderr.contains("panicked"),
                    "{ran:?}"
                );
                let name = output.split_once(' ').unwrap().1;
                assert!(ran.stderr.contains(name) && ran.stderr.contains("too large"), "{ran:?}");
                assert_eq!(ran.stderr.lines().count(), 1, "{ran:?}");
                assert_eq!(all(place.folder.path()), old, "{output}");
            }
        }
    }
}

/// The other commands that write say so in one line as well.
#[test]
fn a_full_disk_is_told_by_every_command_that_writes() {
    let schedule = samples()[3].display().to_string();
    let commands = [
        "template --out new.xlsx".to_owned(),
        format!("survey {schedule} --out new.xlsx"),
        format!("draft {schedule} --out new.toml"),
        format!("compare {schedule} {schedule} --out new.xlsx"),
    ];
    for command in commands {
        let place = Place::new();
        let ran = place.start("trap '' XFSZ; ulimit -f 0", &command).ends();
        assert_eq!(ran.code, Some(2), "{command}: {ran:?}");
        assert!(ran.stderr.contains("new.") && ran.stderr.contains("too large"), "{ran:?}");
        assert_eq!(ran.stderr.lines().count(), 1, "{ran:?}");
        assert!(place.names().is_empty(), "{command}: {:?}", place.names());
    }
}

/// The same on a small disk, where a test may make one.
#[test]
fn a_small_disk_that_is_full_is_told() {
    let place = Place::new();
    let disk = place.path("disk");
    fs::create_dir(&disk).unwrap();
    let mounted = Command::new("mount")
        .args(["-t", "tmpfs", "-o", "size=96k", "tmpfs"])
        .arg(&disk)
        .output()
        .is_ok_and(|made| made.status.success());
    if !mounted {
        println!("no small disk can be made here: nothing was checked");
        return;
    }
    fs::write(disk.join("f.csv"), "old").unwrap();
    let audit = format!("audit {} --no-workbook", samples()[4].display());
    let ran = place.run(&format!("{audit} --findings disk/f.csv --verdicts disk/v.csv"));
    let left = all(&disk);
    let gone = Command::new("umount").arg(&disk).status();
    assert!(gone.unwrap().success());
    assert_eq!(ran.code, Some(2), "{ran:?}");
    assert!(ran.stderr.contains("No space left on device"), "{ran:?}");
    assert!(left.contains_key("f.csv") && !left.contains_key("v.csv"), "{:?}", left.keys());
    assert!(left.keys().all(|name| !name.contains("unfinished")), "{:?}", left.keys());
}

#[test]
fn an_input_that_changes_while_it_is_read_is_told_and_the_old_output_stays() {
    let rows = "A,receptacle,1/2 in,gypsum,2020\n";
    let many = |count: usize| {
        format!("outlet_id,device,box_set_back,surface,edition\n{}", rows.repeat(count))
    };
    let audit = "audit a.csv --no-workbook --rules box-set-back --findings f.csv";
    // So many rows that there is time to change them, however quick the machine is.
    let lasts = |count: usize| {
        let place = Place::new().with("a.csv", many(count));
        // The quickest of three: the tests beside this one slow some of them down.
        let once = |_| {
            let begun = Instant::now();
            assert_eq!(place.run(audit).code, Some(1));
            u64::try_from(begun.elapsed().as_millis()).unwrap()
        };
        (0..3).map(once).min().unwrap()
    };
    let counts = std::iter::successors(Some(60_000), |count| Some(count * 2));
    let (count, longest) =
        counts.map(|count| (count, lasts(count))).find(|(_, longest)| *longest >= 400).unwrap();
    let other = many(count + 1);
    let (mut changed, mut state) = (0, 1);
    for round in 0..10 * rounds(6) {
        if round >= rounds(6) && changed > 0 {
            break;
        }
        let place = Place::new().with("a.csv", many(count)).with("f.csv", "old");
        let run = place.start("", audit);
        let wait = longest / 10 + chance(&mut state, longest / 4);
        std::thread::sleep(Duration::from_millis(wait));
        fs::write(place.path("a.csv"), &other).unwrap();
        let ran = run.ends();
        // It may have been read to its end before, or not be looked at yet.
        if ran.code == Some(2) {
            changed += 1;
            assert!(ran.stderr.contains("a.csv: the file changed while it was read"), "{ran:?}");
            assert_eq!(place.text("f.csv"), "old");
        }
        assert_eq!(place.names(), ["a.csv", "f.csv"]);
    }
    assert!(changed > 0, "no change fell within the reading");
}

#[test]
fn whoever_reads_the_summary_may_go_before_its_end() {
    let place = Place::new();
    let audit = format!("audit {} --no-workbook", samples()[3].display());
    // The reader of the pipe is gone before the program begins.
    let ran = place.start("exec 3>&1; mkfifo p; exec 4<>p; exec 1>p; exec 4<&-", &audit).ends();
    assert!(!ran.stderr.contains("panicked"), "{ran:?}");
    assert!(ran.code.is_some_and(|code| code <= 2), "{ran:?}");
}
