//! The same input gives the same bytes of every output, however many threads there are and however often
//! it is audited. `YOKECHECK_ROUNDS=20 cargo test --release --test hostile determinism` tries as often.

use crate::faults::{OUTPUTS, all};
use crate::{Place, rounds, samples};

#[test]
fn every_output_has_the_same_bytes_each_time() {
    let schedules = samples()[0].parent().unwrap().display().to_string();
    let outputs = |threads: u64| {
        let place = Place::new();
        let ran = place.start(
            "",
            &format!(
                "audit {schedules} --as-of 2026-03-31 --also-against 2023 --threads {threads} {OUTPUTS}"
            ),
        );
        let ran = ran.ends();
        assert_eq!(ran.code, Some(1), "{ran:?}");
        (all(place.folder.path()), ran.stdout)
    };
    let first = outputs(1);
    assert!(first.0.len() > 10, "{:?}", first.0.keys());
    for round in 0..rounds(2) {
        let threads = if round % 2 == 0 { 8 } else { 1 };
        let (files, said) = outputs(threads);
        assert_eq!(said, first.1);
        assert!(files.keys().eq(first.0.keys()), "{:?}", files.keys());
        for (name, bytes) in &files {
            assert!(*bytes == first.0[name], "{name} differs with {threads} threads");
        }
    }
}
