//! Possible worlds: how a rule that is written for known facts answers when some are missing.
//!
//! A rule's check reads facts through a [`World`]. Where a fact is recorded it gets the record; where
//! one is unknown, the [`Explorer`] runs the check again for each value that the fact could have, and
//! combines the answers as the catalogue defines. So every rule is written once, for the simple case,
//! and what missing facts do to it follows from the definition instead of from a second, hand-made
//! reading of it. When everything that a check reads is recorded it runs once, without allocating.
//!
//! The answers of all worlds form a decision diagram whose equal parts are kept once. A fact matters
//! when two branches of one of its nodes can still differ with all other facts equal.

use std::collections::HashMap;

use crate::code::{Change, Limit};
use crate::outlet::words::Edition;
use crate::outlet::{Choices, Fact, Field, Key, Kind, Length, Outlet, Value};

use super::outcome::{Leaf, Outcome};
use super::recall::{Recall, Remembered};
use super::rule::Rule;
use super::subject::Subject;
use super::verdict::{FactRef, Inference, Inferences, Missing, Verdict, Violation};

/// What a check answers in one world, where all that it reads is known.
#[derive(Clone, PartialEq, Debug)]
pub enum Answer {
    /// The rule is kept.
    Complies,
    /// The rule is broken.
    Violates(Violation),
    /// The rule does not reach the subject; why.
    NotApplicable(&'static str),
    /// The authority decides; the question.
    Authority(&'static str),
    /// Nothing can be said in this world: recorded facts contradict each other, or a fact is missing
    /// that is not tried with values; made by [`World::contradiction`] and [`World::waits_for`].
    Unsettled,
    /// A tried value contradicts a recorded one or another tried one: no such world exists.
    Impossible,
}

/// A measurement moved by its resolution, to see whether the verdict hangs on it.
#[derive(Clone, Copy, Debug)]
pub struct Moved {
    /// Which fact.
    pub fact: FactRef,
    /// The value it is taken to have.
    pub value: i64,
}

/// One unknown fact on the way to an answer, with the value it is tried with now.
#[derive(Debug)]
struct Choice {
    fact: FactRef,
    values: Vec<i64>,
    index: usize,
    /// Diagram nodes of the values already tried.
    children: Vec<usize>,
}

/// A node of the decision diagram.
#[derive(Clone, PartialEq, Eq, Hash, Debug)]
enum Node {
    Leaf(Leaf),
    /// A fact, and the node below each value that it is tried with.
    Branch(FactRef, Vec<(i64, usize)>),
}

/// Runs checks over worlds. Its buffers are reused from subject to subject: one a thread.
#[derive(Default, Debug)]
pub struct Explorer {
    path: Vec<Choice>,
    cursor: usize,
    nodes: Vec<Node>,
    known: HashMap<Node, usize>,
    consulted: Vec<FactRef>,
    evidence: Vec<FactRef>,
    lengths: Vec<FactRef>,
    parked_evidence: Vec<FactRef>,
    parked_lengths: Vec<FactRef>,
    mattering: Vec<FactRef>,
    inferences: Inferences,
    unsettled: Missing,
    contradicted: Missing,
    recall: Recall,
}

/// The facts of a subject as a check sees them.
pub struct World<'a> {
    members: &'a [&'a Outlet],
    editions: &'a [Edition],
    amended: Option<&'a Change>,
    moved: Option<Moved>,
    explorer: &'a mut Explorer,
}

impl Explorer {
    /// The verdict of a check on a subject.
    pub fn explore(
        &mut self,
        subject: Subject<'_>,
        moved: Option<Moved>,
        check: &dyn Fn(&mut World<'_>) -> Answer,
    ) -> Verdict {
        self.explore_or_recall(None, subject, moved, check)
    }

    /// The verdict of an outlet rule, remembered where facts like these were explored before.
    pub(super) fn explore_rule(
        &mut self,
        rule: &Rule,
        subject: Subject<'_>,
        moved: Option<Moved>,
        check: &dyn Fn(&mut World<'_>) -> Answer,
    ) -> Verdict {
        // What an amendment changes is no part of what is remembered.
        let rule = Some(rule).filter(|_| subject.amended.is_none());
        self.explore_or_recall(rule, subject, moved, check)
    }

    fn explore_or_recall(
        &mut self,
        rule: Option<&Rule>,
        subject: Subject<'_>,
        moved: Option<Moved>,
        check: &dyn Fn(&mut World<'_>) -> Answer,
    ) -> Verdict {
        let Subject { members, editions, amended, .. } = subject;
        self.clear();
        let mut outcome = Outcome::default();
        loop {
            self.cursor = 0;
            self.consulted.clear();
            let answer = check(&mut World { members, editions, amended, moved, explorer: self });
            if self.path.is_empty() {
                return self.single(answer);
            }
            if !outcome.has_begun()
                && let Some(rule) = rule
                && let Some(known) = self.recall.find(rule, members[0], editions, moved)
            {
                let known = known.clone();
                return self.remember(known);
            }
            let leaf = outcome.note(answer);
            if outcome.takes_evidence(leaf) {
                self.evidence.clone_from(&self.consulted);
            }
            if let Some(root) = self.climb(Node::Leaf(leaf)) {
                let verdict = self.conclude(&outcome, root);
                if rule.is_some() {
                    self.recall.keep(Remembered {
                        verdict: verdict.clone(),
                        evidence: self.evidence.clone(),
                        lengths: self.lengths.clone(),
                        mattering: self.mattering.clone(),
                        inferences: self.inferences,
                    });
                }
                return verdict;
            }
        }
    }

    /// Takes up what is remembered as if it had just been explored.
    fn remember(&mut self, known: Remembered) -> Verdict {
        self.path.clear();
        self.evidence = known.evidence;
        self.lengths = known.lengths;
        self.mattering = known.mattering;
        self.inferences = known.inferences;
        known.verdict
    }

    /// The recorded facts on which the last verdict rests, in the order in which they were read.
    pub fn evidence(&self) -> &[FactRef] {
        &self.evidence
    }

    /// The conclusions that were drawn on the way to the last verdict.
    pub const fn inferences(&self) -> Inferences {
        self.inferences
    }

    /// The unknown facts that the last verdict hangs on, with their members.
    pub fn mattering(&self) -> &[FactRef] {
        &self.mattering
    }

    /// The recorded lengths that the last verdict read.
    pub fn lengths(&self) -> &[FactRef] {
        &self.lengths
    }

    /// Replaces the evidence: a rule of groups gathers it from its parts.
    pub fn set_evidence(&mut self, evidence: Vec<FactRef>) {
        self.evidence = evidence;
    }

    /// Replaces the conclusions that were drawn, for the same reason.
    pub const fn set_inferences(&mut self, inferences: Inferences) {
        self.inferences = inferences;
    }

    /// Sets the evidence of a verdict aside while others are tried.
    pub(super) const fn park(&mut self) -> Inferences {
        std::mem::swap(&mut self.evidence, &mut self.parked_evidence);
        std::mem::swap(&mut self.lengths, &mut self.parked_lengths);
        self.inferences
    }

    /// The lengths of the verdict that was set aside.
    pub(super) fn parked_lengths(&self) -> &[FactRef] {
        &self.parked_lengths
    }

    /// Puts back what was set aside.
    pub(super) const fn restore(&mut self, inferences: Inferences) {
        std::mem::swap(&mut self.evidence, &mut self.parked_evidence);
        std::mem::swap(&mut self.lengths, &mut self.parked_lengths);
        self.inferences = inferences;
    }

    fn clear(&mut self) {
        self.path.clear();
        self.lengths.clear();
        self.mattering.clear();
        self.nodes.clear();
        self.known.clear();
        self.evidence.clear();
        self.inferences = Inferences::default();
        self.unsettled = Missing::default();
        self.contradicted = Missing::default();
    }

    /// The verdict where no fact was unknown.
    fn single(&mut self, answer: Answer) -> Verdict {
        std::mem::swap(&mut self.evidence, &mut self.consulted);
        match answer {
            Answer::Complies => Verdict::Complies,
            Answer::Violates(violation) => Verdict::Violates(violation),
            Answer::NotApplicable(reason) => Verdict::NotApplicable(reason),
            Answer::Authority(question) => Verdict::Authority(question),
            Answer::Unsettled => Verdict::Undetermined(std::mem::take(&mut self.unsettled)),
            Answer::Impossible => Verdict::Undetermined(std::mem::take(&mut self.contradicted)),
        }
    }

    /// Hangs a node under the last choice and turns that choice to its next value. Choices whose
    /// values are exhausted become nodes themselves; the root is returned when none is left.
    fn climb(&mut self, leaf: Node) -> Option<usize> {
        let mut child = self.intern(leaf);
        while let Some(choice) = self.path.last_mut() {
            choice.children.push(child);
            choice.index += 1;
            if choice.index < choice.values.len() {
                return None;
            }
            let choice = self.path.pop()?;
            let same = choice.children.iter().all(|one| *one == choice.children[0]);
            child = if same {
                choice.children[0]
            } else {
                let below = choice.values.into_iter().zip(choice.children).collect();
                self.intern(Node::Branch(choice.fact, below))
            };
        }
        Some(child)
    }

    fn intern(&mut self, node: Node) -> usize {
        if let Some(index) = self.known.get(&node) {
            return *index;
        }
        let index = self.nodes.len();
        self.nodes.push(node.clone());
        self.known.insert(node, index);
        index
    }

    fn conclude(&mut self, outcome: &Outcome, root: usize) -> Verdict {
        if let Some(verdict) = outcome.agreed() {
            return verdict;
        }
        let mut missing = if outcome.only_impossible() {
            std::mem::take(&mut self.contradicted)
        } else {
            std::mem::take(&mut self.unsettled)
        };
        let mut mattering = Vec::new();
        for node in self.reachable(root) {
            if let Node::Branch(fact, children) = &self.nodes[node]
                && self.matters(children)
            {
                missing.add_field(fact.field);
                mattering.push(*fact);
            }
        }
        if missing.is_empty() {
            // Worlds that differ only in several facts at once: no fact matters alone, all do together.
            self.name_all_below(root, &mut missing);
        }
        self.mattering = mattering;
        Verdict::Undetermined(missing)
    }

    fn name_all_below(&self, root: usize, missing: &mut Missing) {
        for node in self.reachable(root) {
            if let Node::Branch(fact, _) = &self.nodes[node] {
                missing.add_field(fact.field);
            }
        }
    }

    fn reachable(&self, root: usize) -> Vec<usize> {
        let mut seen = vec![false; self.nodes.len()];
        let mut open = vec![root];
        let mut reached = Vec::new();
        while let Some(node) = open.pop() {
            if std::mem::replace(&mut seen[node], true) {
                continue;
            }
            reached.push(node);
            if let Node::Branch(_, children) = &self.nodes[node] {
                open.extend(children.iter().map(|(_, child)| child));
            }
        }
        reached
    }

    /// Whether some two branches of a choice can differ with all other facts equal.
    fn matters(&self, children: &[(i64, usize)]) -> bool {
        let mut assigned = Vec::new();
        children.iter().enumerate().any(|(place, (_, one))| {
            children[place + 1..].iter().any(|(_, other)| self.differ(*one, *other, &mut assigned))
        })
    }

    /// Whether two nodes lead to different answers for some values of the facts that are not assigned.
    fn differ(&self, one: usize, other: usize, assigned: &mut Vec<(FactRef, i64)>) -> bool {
        if one == other {
            return false;
        }
        let (fact, children) = match (&self.nodes[one], &self.nodes[other]) {
            (Node::Leaf(Leaf::Impossible), _) | (_, Node::Leaf(Leaf::Impossible)) => return false,
            (Node::Leaf(_), Node::Leaf(_)) => return true,
            (Node::Branch(fact, children), _) | (_, Node::Branch(fact, children)) => {
                (*fact, children)
            }
        };
        let below = |value: i64, assigned: &mut Vec<(FactRef, i64)>| match (
            self.follow(one, fact, value),
            self.follow(other, fact, value),
        ) {
            (Some(one), Some(other)) => self.differ(one, other, assigned),
            _ => false,
        };
        if let Some((_, value)) = assigned.iter().find(|(known, _)| *known == fact) {
            return below(*value, assigned);
        }
        children.iter().any(|(value, _)| {
            assigned.push((fact, *value));
            let differs = below(*value, assigned);
            assigned.pop();
            differs
        })
    }

    /// The node below when the fact has this value; the same node when it asks another fact, none when
    /// it never tries the value.
    fn follow(&self, node: usize, fact: FactRef, value: i64) -> Option<usize> {
        match &self.nodes[node] {
            Node::Branch(asked, children) if *asked == fact => {
                children.iter().find(|(tried, _)| *tried == value).map(|(_, child)| *child)
            }
            _ => Some(node),
        }
    }
}

impl World<'_> {
    /// What the schedule says of a fact of the outlet, unknown ways told apart.
    pub fn fact<T: Value>(&mut self, key: Key<T>) -> Fact<T> {
        self.fact_of(0, key)
    }

    /// The same for a member of a group.
    pub fn fact_of<T: Value>(&mut self, member: usize, key: Key<T>) -> Fact<T> {
        let fact = reference(member, key);
        let record = match self.moved {
            Some(moved) if moved.fact == fact => Fact::Known(moved.value),
            _ => self.members[member].raw(key.field),
        };
        if record.is_known() && !self.explorer.consulted.contains(&fact) {
            self.explorer.consulted.push(fact);
            if key.field.kind() == Kind::Length && !self.explorer.lengths.contains(&fact) {
                self.explorer.lengths.push(fact);
            }
        }
        record.map(T::from_raw)
    }

    /// The recorded value of a fact.
    pub fn recorded<T: Value>(&mut self, key: Key<T>) -> Option<T> {
        self.fact(key).known()
    }

    /// A fact that the rule asks for: its record, or each of its values in turn.
    pub fn ask<T: Choices>(&mut self, key: Key<T>) -> T {
        self.ask_among(0, key, T::all)
    }

    /// Like [`World::ask`], trying one value of each class that the rule tells apart.
    pub fn ask_by<T: Choices, C: PartialEq>(&mut self, key: Key<T>, class: impl Fn(T) -> C) -> T {
        self.ask_among(0, key, || representatives(class))
    }

    /// A length that the rule asks for, tried just below, at and just above each limit.
    pub fn ask_length(&mut self, key: Key<Length>, limits: &[Length]) -> Length {
        self.ask_among(0, key, || around(limits))
    }

    /// A fact of a member that the rule asks for, tried with these values.
    pub fn ask_among<T: Value>(
        &mut self,
        member: usize,
        key: Key<T>,
        among: impl FnOnce() -> Vec<T>,
    ) -> T {
        match self.fact_of(member, key) {
            Fact::Known(value) => value,
            _ => self.choose(reference(member, key), among),
        }
    }

    /// A fact that the rule heeds: its record, its ordinary value when nothing is recorded, each of
    /// its values when the record cannot be read.
    pub fn heed<T: Choices>(&mut self, key: Key<T>, ordinary: T) -> T {
        self.heed_among(0, key, ordinary, T::all)
    }

    /// Like [`World::heed`], trying one value of each class that the rule tells apart.
    pub fn heed_by<T: Choices, C: PartialEq>(
        &mut self,
        key: Key<T>,
        ordinary: T,
        class: impl Fn(T) -> C,
    ) -> T {
        self.heed_among(0, key, ordinary, || representatives(class))
    }

    /// A length that the rule heeds.
    pub fn heed_length(&mut self, key: Key<Length>, ordinary: Length, limits: &[Length]) -> Length {
        self.heed_among(0, key, ordinary, || around(limits))
    }

    /// A fact of a member that the rule heeds, tried with these values when it cannot be read.
    pub fn heed_among<T: Value>(
        &mut self,
        member: usize,
        key: Key<T>,
        ordinary: T,
        among: impl FnOnce() -> Vec<T>,
    ) -> T {
        match self.fact_of(member, key) {
            Fact::Known(value) => value,
            Fact::Unreadable => self.choose(reference(member, key), among),
            Fact::Blank | Fact::Absent => ordinary,
        }
    }

    /// A limit of the code, as a local amendment left it.
    pub fn limit(&self, limit: Limit) -> Limit {
        self.amended.map_or(limit, |change| change.limit(limit))
    }

    /// The edition that governs.
    pub fn edition(&mut self) -> Edition {
        if let [edition] = self.editions {
            for member in 0..self.members.len() {
                self.fact_of(member, crate::outlet::facts::EDITION);
            }
            return *edition;
        }
        let editions = self.editions;
        self.choose(FactRef::own(Field::Edition), || editions.to_vec())
    }

    /// The value with which an unknown fact is tried in this world, where it has been asked for.
    pub fn tried<T: Value>(&self, key: Key<T>) -> Option<T> {
        let path = &self.explorer.path[..self.explorer.cursor];
        let choice = path.iter().find(|choice| choice.fact == FactRef::own(key.field))?;
        Some(T::from_raw(choice.values[choice.index]))
    }

    /// Two or more facts that cannot all be true: a conflict when all are recorded, else a world that
    /// does not exist.
    pub fn contradiction(&mut self, facts: &[FactRef]) -> Answer {
        let explorer = &mut *self.explorer;
        let tried = |fact: &FactRef| {
            explorer.path[..explorer.cursor].iter().any(|choice| choice.fact == *fact)
        };
        let recorded = |fact: &&FactRef| {
            !tried(fact) && self.members[usize::from(fact.member)].raw(fact.field).is_known()
        };
        let conflict = !facts.iter().any(tried);
        let names: Vec<Field> = facts.iter().filter(recorded).map(|fact| fact.field).collect();
        let list = if conflict { &mut explorer.unsettled } else { &mut explorer.contradicted };
        for field in names {
            list.add_field(field);
        }
        if conflict { Answer::Unsettled } else { Answer::Impossible }
    }

    /// A fact without which nothing can be said, and which is not tried with values.
    pub fn waits_for(&mut self, fields: &[Field]) -> Answer {
        for field in fields {
            self.explorer.unsettled.add_field(*field);
        }
        Answer::Unsettled
    }

    /// The verdict of a part of the subject, as the answer of this world.
    pub fn answer_of(&mut self, verdict: Verdict) -> Answer {
        match verdict {
            Verdict::Complies => Answer::Complies,
            Verdict::Violates(violation) => Answer::Violates(violation),
            Verdict::NotApplicable(reason) => Answer::NotApplicable(reason),
            Verdict::Authority(question) => Answer::Authority(question),
            Verdict::Undetermined(missing) => {
                self.explorer.unsettled.extend(missing);
                Answer::Unsettled
            }
        }
    }

    /// Notes a conclusion that was drawn instead of trying every value.
    pub const fn infer(&mut self, inference: Inference) {
        self.explorer.inferences.add(inference);
    }

    /// The value that an unknown fact has in this world.
    pub fn choose<T: Value>(&mut self, fact: FactRef, among: impl FnOnce() -> Vec<T>) -> T {
        let explorer = &mut *self.explorer;
        let path = &mut explorer.path;
        if let Some(choice) = path[..explorer.cursor].iter().find(|choice| choice.fact == fact) {
            return T::from_raw(choice.values[choice.index]);
        }
        if explorer.cursor == path.len() {
            let values = among().into_iter().map(Value::raw).collect();
            path.push(Choice { fact, values, index: 0, children: Vec::new() });
        }
        let choice = &path[explorer.cursor];
        explorer.cursor += 1;
        T::from_raw(choice.values[choice.index])
    }
}

fn reference<T>(member: usize, key: Key<T>) -> FactRef {
    FactRef { member: u16::try_from(member).unwrap_or(u16::MAX), field: key.field }
}

/// The first value of each class.
fn representatives<T: Choices, C: PartialEq>(class: impl Fn(T) -> C) -> Vec<T> {
    let mut classes = Vec::new();
    let mut values = Vec::new();
    for value in T::all() {
        let class = class(value);
        if !classes.contains(&class) {
            classes.push(class);
            values.push(value);
        }
    }
    values
}

/// Lengths just below, at and just above each limit.
pub fn around(limits: &[Length]) -> Vec<Length> {
    limits.iter().flat_map(|limit| [limit.0 - 1, limit.0, limit.0 + 1].map(Length)).collect()
}
