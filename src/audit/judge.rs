//! Judging: every rule over every subject, each thread a chunk of subjects at a time.
//!
//! Owns handing out the subjects, what the threads find, and its order. What the rules say of one
//! subject is the business of [`super::opinion`]; subjects that are alike share one opinion, so that most
//! of them cost no more than finding it.

use std::collections::BTreeMap;
use std::sync::atomic::{AtomicU32, Ordering};
use std::sync::{Arc, Mutex, PoisonError};

use hashbrown::HashMap;
use rayon::prelude::*;

use crate::outlet::{Outlet, Texts};
use crate::rules::{Explorer, Missing, Subject, SubjectKind};

use super::finding::{Crash, Finding, Found, Gap, Lack, MeasureAgain, VerdictRow, Waiting};
use super::likeness::{Likenesses, Read};
use super::opinion::{Amended, Opinion, Panel};
use super::options::Options;
use super::share::Shared;
use super::subjects::{Subjects, editions};
use super::tally::{Reached, Tally};

/// Subjects that one task judges before it reports: enough to make the hand-over cheap.
const CHUNK: usize = 2048;

/// Opinions of a kind that a thread remembers at most.
const MOST_OPINIONS: usize = 200_000;

/// What judging found, all of it in its order.
pub(super) struct Judged {
    pub(super) findings: Vec<Finding>,
    pub(super) lawful_as_built: Vec<Finding>,
    pub(super) gaps: Vec<Gap>,
    pub(super) waiting: Vec<Waiting>,
    pub(super) tallies: Vec<Tally>,
    pub(super) reached: Vec<Reached>,
    pub(super) verdicts: Vec<VerdictRow>,
    pub(super) measure_again: Vec<MeasureAgain>,
    pub(super) crashes: Vec<Crash>,
}

/// Judges all subjects of the outlets, which stand in the order of their rows.
pub(super) fn judge(
    outlets: &[Outlet],
    texts: &Texts,
    subjects: &Subjects,
    shared: &Shared,
    options: &Options<'_>,
) -> Judged {
    let rules = options.selection.rules();
    let bench = Bench {
        panel: Panel { outlets, texts, shared, options, amended: Amended::of(options, texts) },
        subjects,
        read: SubjectKind::ALL.map(|kind| Read::by(rules, kind, options)),
        reached: outlets.iter().map(|_| [const { AtomicU32::new(0) }; 2]).collect(),
    };
    let chunks = bench.chunks();
    (options.begin)(chunks.iter().map(|chunk| (chunk.to - chunk.from) as u64).sum());
    // As many workers as threads: one is taken for each chunk and put back behind it.
    let workers = Mutex::new(Vec::new());
    let idle = || workers.lock().unwrap_or_else(PoisonError::into_inner);
    chunks.into_par_iter().for_each(|chunk| {
        let waiting = idle().pop();
        let mut worker = waiting.unwrap_or_else(|| Worker::new(rules.len()));
        bench.judge_chunk(chunk, &mut worker);
        idle().push(worker);
    });
    let workers = workers.into_inner().unwrap_or_else(PoisonError::into_inner);
    let reached = bench.reached.into_iter().map(|counts| counts.map(AtomicU32::into_inner));
    let reached = reached.map(|[all, undetermined]| Reached { all, undetermined }).collect();
    joined(workers, reached, options)
}

/// Subjects of one kind, from one place to another.
#[derive(Clone, Copy)]
struct Chunk {
    kind: SubjectKind,
    from: usize,
    to: usize,
}

/// What every task reads; and counts.
struct Bench<'a> {
    panel: Panel<'a>,
    subjects: &'a Subjects,
    /// What the rules of each kind of subject read.
    read: [Read; SubjectKind::ALL.len()],
    /// How many verdicts reach the subjects of which an outlet is the first row, and how many of them
    /// wait.
    reached: Vec<[AtomicU32; 2]>,
}

/// What a thread keeps from chunk to chunk.
struct Worker {
    explorer: Explorer,
    kinds: [Remembered; SubjectKind::ALL.len()],
    /// What outlets lack, each once; by content, and in the order in which it was met.
    lack_places: HashMap<Lack, u32>,
    lacks: Vec<Lack>,
    /// An outlet, and the place of what it lacks.
    gaps: Vec<(u32, u32)>,
    findings: Vec<Finding>,
    lawful_as_built: Vec<Finding>,
    verdicts: Vec<VerdictRow>,
    measure_again: Vec<MeasureAgain>,
    crashes: Vec<Crash>,
    /// Those of opinions that are not remembered; the others are counted at the end.
    counts: Counts,
}

/// The opinions on subjects of one kind.
#[derive(Default)]
struct Remembered {
    likenesses: Likenesses,
    places: HashMap<Vec<i64>, usize>,
    opinions: Vec<Opinion>,
}

/// Verdicts counted by rule, and the facts that rules wait for.
struct Counts {
    tallies: Vec<[u64; 5]>,
    waiting: BTreeMap<(u16, Missing), u64>,
}

impl Counts {
    fn new(rules: usize) -> Self {
        Self { tallies: vec![[0; 5]; rules], waiting: BTreeMap::new() }
    }

    /// Counts the verdicts of an opinion for so many subjects.
    fn add(&mut self, opinion: &Opinion, subjects: u64) {
        for line in &opinion.lines {
            self.tallies[usize::from(line.index)][line.kind as usize] += subjects;
            if !line.missing.is_empty() {
                *self.waiting.entry((line.index, line.missing)).or_default() += subjects;
            }
        }
    }
}

impl Worker {
    fn new(rules: usize) -> Self {
        Self {
            explorer: Explorer::default(),
            kinds: SubjectKind::ALL.map(|_| Remembered::default()),
            lack_places: HashMap::new(),
            lacks: Vec::new(),
            gaps: Vec::new(),
            findings: Vec::new(),
            lawful_as_built: Vec::new(),
            verdicts: Vec::new(),
            measure_again: Vec::new(),
            crashes: Vec::new(),
            counts: Counts::new(rules),
        }
    }
}

impl<'a> Bench<'a> {
    fn chunks(&self) -> Vec<Chunk> {
        let mut chunks = Vec::new();
        for kind in SubjectKind::ALL {
            let count = self.subjects.count(kind);
            for from in (0..count).step_by(CHUNK) {
                chunks.push(Chunk { kind, from, to: (from + CHUNK).min(count) });
            }
        }
        chunks
    }

    fn judge_chunk(&self, chunk: Chunk, worker: &mut Worker) {
        let mut governing = Vec::new();
        let mut members: Vec<&'a Outlet> = Vec::new();
        for place in chunk.from..chunk.to {
            let places = self.subjects.members(chunk.kind, place);
            members.clear();
            members.extend(places.iter().map(|place| &self.panel.outlets[*place as usize]));
            self.judge(chunk.kind, &members, &places, &mut governing, worker);
        }
        (self.panel.options.progress)((chunk.to - chunk.from) as u64);
    }

    /// Finds what the rules say of a subject, remembered or not, and notes it.
    fn judge(
        &self,
        kind: SubjectKind,
        members: &[&Outlet],
        places: &[u32],
        governing: &mut Vec<crate::outlet::words::Edition>,
        worker: &mut Worker,
    ) {
        let first = places[0];
        let read = &self.read[kind as usize];
        let remembered = &mut worker.kinds[kind as usize];
        let resolution = |field| self.panel.resolution(first, field);
        let building = self.panel.building(members[0]);
        let likeness = remembered.likenesses.of(members, read, resolution, building);
        let place = likeness.and_then(|likeness| remembered.places.get(likeness)).copied();
        if let Some(place) = place {
            remembered.opinions[place].subjects += 1;
            let opinion = std::mem::take(&mut remembered.opinions[place]);
            self.note(&opinion, places, worker);
            worker.kinds[kind as usize].opinions[place] = opinion;
            return;
        }
        let kept =
            likeness.filter(|_| remembered.opinions.len() < MOST_OPINIONS).map(<[_]>::to_vec);
        editions(members, governing);
        let texts = self.panel.texts;
        let subject = Subject { members, editions: governing, texts, amended: None };
        let mut opinion = self.panel.opinion(kind, subject, places, &mut worker.explorer);
        for (member, lack) in std::mem::take(&mut opinion.lack_of) {
            let place = worker.place_of(&lack);
            opinion.lacks.push((member, place));
        }
        self.note(&opinion, places, worker);
        let remembered = &mut worker.kinds[kind as usize];
        if let Some(likeness) = kept.filter(|_| opinion.crashes.is_empty()) {
            opinion.subjects = 1;
            remembered.places.insert(likeness, remembered.opinions.len());
            remembered.opinions.push(opinion);
        } else {
            worker.counts.add(&opinion, 1);
            worker.crashes.extend(opinion.crashes);
        }
    }

    /// Notes what an opinion means for a subject.
    fn note(&self, opinion: &Opinion, places: &[u32], worker: &mut Worker) {
        let first = places[0];
        let Reached { all, undetermined } = opinion.reached;
        for (count, more) in self.reached[first as usize].iter().zip([all, undetermined]) {
            count.fetch_add(more, Ordering::Relaxed);
        }
        let lacks = opinion.lacks.iter();
        worker.gaps.extend(lacks.map(|(member, lack)| (places[usize::from(*member)], *lack)));
        if self.panel.options.keep_verdicts {
            worker.verdicts.extend(opinion.lines.iter().map(|line| line.verdict_row(first)));
        }
        let of_subject = |found: &Arc<Found>| Finding::of(found, places);
        worker.findings.extend(opinion.findings.iter().map(of_subject));
        worker.lawful_as_built.extend(opinion.lawful_as_built.iter().map(of_subject));
        let again = opinion.measure_again.iter();
        worker.measure_again.extend(again.map(|again| MeasureAgain { outlet: first, ..*again }));
    }
}

impl Worker {
    fn place_of(&mut self, lack: &Lack) -> u32 {
        let next = u32::try_from(self.lacks.len()).unwrap_or(u32::MAX);
        let lacks = &mut self.lacks;
        *self.lack_places.entry_ref(lack).or_insert_with(|| {
            lacks.push(lack.clone());
            next
        })
    }
}

/// What all workers found, in its order.
fn joined(workers: Vec<Worker>, reached: Vec<Reached>, options: &Options<'_>) -> Judged {
    let rules = options.selection.rules();
    let mut counts = Counts::new(rules.len());
    let mut gaps = Gaps::new(reached.len());
    let mut all = Judged {
        findings: Vec::new(),
        lawful_as_built: Vec::new(),
        gaps: Vec::new(),
        waiting: Vec::new(),
        tallies: Vec::new(),
        reached,
        verdicts: Vec::new(),
        measure_again: Vec::new(),
        crashes: Vec::new(),
    };
    for worker in workers {
        counts.merge(&worker.counts);
        for opinion in worker.kinds.iter().flat_map(|kind| &kind.opinions) {
            counts.add(opinion, opinion.subjects);
        }
        gaps.add(&worker.gaps, worker.lacks);
        add(&mut all.findings, worker.findings);
        add(&mut all.lawful_as_built, worker.lawful_as_built);
        add(&mut all.verdicts, worker.verdicts);
        add(&mut all.measure_again, worker.measure_again);
        all.crashes.extend(worker.crashes);
    }
    // No two of them are of one rule and one first row; and they may be millions, so no room is taken.
    all.findings.par_sort_unstable_by_key(|finding| (finding.first(), finding.rule.name));
    all.lawful_as_built.par_sort_unstable_by_key(|finding| (finding.first(), finding.rule.name));
    all.verdicts.par_sort_unstable_by_key(|row| (row.first, row.rule.name));
    all.measure_again.par_sort_unstable_by_key(|again| (again.outlet, again.rule));
    all.crashes.sort_by_key(|crash| (crash.first, crash.rule.name));
    all.gaps = gaps.by_outlet();
    let tallies = rules.iter().zip(&counts.tallies);
    all.tallies = tallies.map(|(rule, counts)| Tally::with(rule, *counts)).collect();
    let waiting = counts.waiting.into_iter().map(|((rule, missing), subjects)| Waiting {
        rule: rules[usize::from(rule)],
        missing,
        subjects,
    });
    all.waiting = waiting.collect();
    all
}

/// Adds a list to another without copying the first.
fn add<T>(all: &mut Vec<T>, mut more: Vec<T>) {
    if all.is_empty() {
        *all = more;
    } else {
        all.append(&mut more);
    }
}

impl Counts {
    fn merge(&mut self, other: &Self) {
        for (tally, more) in self.tallies.iter_mut().zip(&other.tallies) {
            for (count, more) in tally.iter_mut().zip(more) {
                *count += more;
            }
        }
        for (key, count) in &other.waiting {
            *self.waiting.entry(*key).or_default() += count;
        }
    }
}

/// What each outlet lacks, put together from the subjects that it is a member of.
struct Gaps {
    by_outlet: Vec<Option<Arc<Lack>>>,
    /// Lacks of two subjects together, by where each is kept.
    together: HashMap<(usize, usize), Arc<Lack>>,
    /// Keeps all of them where they are.
    kept: Vec<Arc<Lack>>,
}

impl Gaps {
    fn new(outlets: usize) -> Self {
        Self { by_outlet: vec![None; outlets], together: HashMap::new(), kept: Vec::new() }
    }

    fn add(&mut self, gaps: &[(u32, u32)], lacks: Vec<Lack>) {
        let lacks: Vec<Arc<Lack>> = lacks.into_iter().map(Arc::new).collect();
        for (outlet, lack) in gaps {
            let lack = &lacks[*lack as usize];
            let known = &mut self.by_outlet[*outlet as usize];
            *known = Some(match known.take() {
                None => Arc::clone(lack),
                Some(known) => {
                    let key = (Arc::as_ptr(&known).addr(), Arc::as_ptr(lack).addr());
                    let both = self.together.entry(key);
                    Arc::clone(both.or_insert_with(|| {
                        let both = Arc::new(known.with(lack));
                        self.kept.extend([known, Arc::clone(&both)]);
                        both
                    }))
                }
            });
        }
        self.kept.extend(lacks);
    }

    fn by_outlet(self) -> Vec<Gap> {
        let gaps = (0..).zip(self.by_outlet);
        gaps.filter_map(|(outlet, lack)| lack.map(|lack| Gap { outlet, lack })).collect()
    }
}
