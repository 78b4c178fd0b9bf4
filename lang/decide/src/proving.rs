//! Proofs: for what is certain, the clauses that give it, down to lines and facts, as shared nodes.

use std::collections::{BTreeMap, BTreeSet};

use knockon_proof::{Node, NodeId, ProofGraph, Step};

use crate::answer::ChainStep;
use crate::atoms::{AtomId, Claim, Program, Why};
use crate::evaluate::Evaluated;
use crate::fact::Fact;
use crate::naming::Naming;

/// How many nodes one answer's proofs may have.
pub const MOST_NODES: usize = 100_000;

/// Builds the proof graph of one answer.
pub struct Prover<'a> {
    /// The clauses.
    pub program: &'a Program,
    /// What holds.
    pub evaluated: &'a Evaluated,
    /// Names.
    pub naming: &'a Naming<'a>,
    /// The graph so far.
    pub graph: ProofGraph,
    known: BTreeMap<(AtomId, bool), NodeId>,
    /// Whether the limit was met.
    pub cut: bool,
}

impl<'a> Prover<'a> {
    /// An empty graph.
    pub fn new(program: &'a Program, evaluated: &'a Evaluated, naming: &'a Naming<'a>) -> Prover<'a> {
        Prover { program, evaluated, naming, graph: ProofGraph::default(), known: BTreeMap::new(), cut: false }
    }

    /// The node that shows why an atom is certain, or certainly not; nothing where it is open.
    pub fn prove(&mut self, atom: AtomId, sign: bool) -> Option<NodeId> {
        // A stack of our own: chains of rules may be deeper than the machine's.
        let mut open = vec![(atom, sign)];
        while let Some(&(here, here_sign)) = open.last() {
            if self.known.contains_key(&(here, here_sign)) || self.graph.len() >= MOST_NODES {
                self.cut |= self.graph.len() >= MOST_NODES;
                open.pop();
                continue;
            }
            match self.needs(here, here_sign) {
                Some((needs, step, by)) => {
                    let missing: Vec<(AtomId, bool)> =
                        needs.iter().copied().filter(|need| !self.known.contains_key(need)).collect();
                    if missing.is_empty() {
                        let from = needs.iter().filter_map(|need| self.known.get(need).copied()).collect();
                        let claim = self.words(here, here_sign);
                        let id = self.graph.add(Node { claim, step, by, from });
                        self.known.insert((here, here_sign), id);
                        open.pop();
                    } else {
                        open.extend(missing);
                    }
                }
                None => return None,
            }
        }
        self.known.get(&(atom, sign)).copied()
    }

    /// What was measured, answered or read that something certain rests on, without what other rules conclude and what
    /// happened: those have reasons of their own.
    pub fn rests_on(&self, atom: AtomId) -> Vec<ChainStep> {
        let mut steps = Vec::new();
        let mut seen = BTreeSet::new();
        let mut open: Vec<(AtomId, bool)> = self.needs(atom, true).map(|(needs, ..)| needs).unwrap_or_default();
        open.reverse();
        while let Some((here, sign)) = open.pop() {
            if !seen.insert((here, sign)) {
                continue;
            }
            match self.program.claim(here) {
                Some(Claim::Leaf(variable, _)) => {
                    let fact = self.program.variables.get(variable.0 as usize).map(|variable| &variable.fact);
                    if let Some(by) = fact.filter(|fact| is_told(fact)).and_then(|fact| self.given_by(fact)) {
                        let step = ChainStep { words: self.words(here, sign), by };
                        if !steps.contains(&step) {
                            steps.push(step);
                        }
                    }
                }
                Some(Claim::Inner(_)) => {
                    let needs = self.needs(here, sign).map(|(needs, ..)| needs).unwrap_or_default();
                    open.extend(needs.into_iter().rev());
                }
                _ => {}
            }
        }
        steps
    }

    /// What one step rests on.
    #[expect(clippy::type_complexity, reason = "the three parts of one step, taken apart at once")]
    fn needs(&self, atom: AtomId, sign: bool) -> Option<(Vec<(AtomId, bool)>, Step, Option<String>)> {
        if !sign {
            // Certainly not: nothing that could make it so is possible. The enumeration is the verifier's.
            return (!self.evaluated.is_possible(atom)).then(|| (Vec::new(), Step::Absence, None));
        }
        if !self.evaluated.is_certain(atom) {
            return None;
        }
        if let Some(Claim::Leaf(variable, _)) = self.program.claim(atom) {
            let by = self.program.variables.get(variable.0 as usize).and_then(|variable| self.given_by(&variable.fact));
            let step = if by.is_some() { Step::Line } else { Step::Fact };
            return Some((Vec::new(), step, by));
        }
        let rank = self.evaluated.rank.get(atom.0 as usize).copied().unwrap_or(u32::MAX);
        // Only what was certain before: so a proof never goes in a circle.
        let clause = self.program.by_head.get(atom.0 as usize)?.iter().find_map(|&index| {
            let clause = self.program.clauses.get(index as usize)?;
            let earlier = clause.body.iter().all(|&(body, sign)| {
                if sign {
                    self.evaluated.is_certain(body)
                        && self.evaluated.rank.get(body.0 as usize).is_some_and(|&body| body < rank)
                } else {
                    !self.evaluated.is_possible(body)
                }
            });
            earlier.then_some(clause)
        })?;
        let (step, by) = match &clause.why {
            Why::Line(line) => (Step::Line, Some(self.naming.line(*line))),
            Why::Fact(fact) => (Step::Fact, Some(self.naming.fact_source(*fact))),
            Why::Rule(rule) | Why::Exception(rule) => {
                let rule = self.naming.library.rule(*rule);
                let by = rule.map(|rule| {
                    format!(
                        "\"{}\", {}",
                        rule.name,
                        self.naming.citation(rule.cites.source, rule.cites.section.as_deref())
                    )
                });
                (Step::Rule, by)
            }
            Why::CarryingOut(item) => (Step::Fact, Some(self.naming.carrying_out_source(*item))),
            Why::Meaning | Why::Possible => (Step::Meaning, None),
        };
        Some((clause.body.clone(), step, by))
    }

    /// The line a known fact comes from.
    fn given_by(&self, fact: &crate::fact::Fact) -> Option<String> {
        let job = self.naming.job;
        let line = match fact {
            Fact::Equipped(term) => {
                job.fitted(*term, self.naming.library.vocabulary().class(*term)).map(|(_, line)| line)
            }
            Fact::Condition(condition, of) => job.conditions.get(&(*condition, *of)).map(|answered| answered.line),
            Fact::Choice(choice, of) => job.choices.get(&(*choice, *of)).map(|(_, _, line)| *line),
            Fact::Measure { measure, of, change, reading } => {
                job.measured.get(&(*measure, *of, *change)).and_then(|list| list.get(*reading)).map(|(_, line)| *line)
            }
            Fact::Code { scan, .. } => *scan,
            Fact::WorkComplete | Fact::NothingUnlisted => job.work_complete,
            Fact::EquipmentComplete => job.equipment_complete,
            Fact::ModelYear | Fact::Built | Fact::Vin | Fact::Model => Some(job.car_line),
            Fact::Size { event, .. } | Fact::Place { event, .. } => {
                match self.naming.events.get(event.0 as usize).map(|event| event.origin) {
                    Some(crate::event::Origin::Line(line)) => Some(line),
                    _ => None,
                }
            }
            Fact::Quality { new, part, quality } => job.qualities.get(&(*new, *part, *quality)).map(|(_, line)| *line),
            Fact::Why(event) => self.naming.events.get(event.0 as usize).and_then(|event| {
                let apart = event.subject.and_then(|subject| job.because.get(&(event.what, subject)));
                match (apart, event.origin) {
                    (Some((_, line)), _) => Some(*line),
                    (None, crate::event::Origin::Line(line)) => Some(line),
                    _ => None,
                }
            }),
            _ => None,
        };
        line.map(|line| self.naming.line(line))
    }

    /// An atom in words.
    pub fn words(&self, atom: AtomId, sign: bool) -> String {
        let naming = self.naming;
        let because = |causes: &[crate::event::EventId]| {
            if causes.is_empty() {
                String::new()
            } else {
                let list: Vec<String> = causes.iter().map(|&event| naming.event(event)).collect();
                format!(" because of {}", list.join(" and "))
            }
        };
        let text = match self.program.claim(atom) {
            Some(Claim::Leaf(variable, ask)) => self.leaf(variable.0 as usize, *ask),
            Some(Claim::Happened(event)) => naming.event(*event),
            Some(Claim::Touched(part, event)) => {
                format!("{} is touched because of {}", naming.term(*part), naming.event(*event))
            }
            Some(Claim::Related(part, relation, to)) => {
                format!("{} {} {}", naming.term(*part), naming.term(*relation), naming.term(*to))
            }
            Some(Claim::State { state, part, causes }) => format!(
                "{} is {}{}",
                naming.term(*part),
                naming.term(*state),
                because(causes.as_deref().unwrap_or(&[]))
            ),
            Some(Claim::StateBy { state, part, .. }) => format!("{} is {}", naming.term(*part), naming.term(*state)),
            Some(Claim::DueBy { procedure, of, .. }) => format!("{} due", naming.duty(*procedure, *of)),
            Some(Claim::CarriedOut { procedure, of, .. }) => {
                format!("{} is to be carried out", naming.duty(*procedure, *of))
            }
            Some(Claim::Due { procedure, of, causes }) => {
                format!("{} due{}", naming.duty(*procedure, *of), because(causes.as_deref().unwrap_or(&[])))
            }
            Some(Claim::Concluded(index) | Claim::Stands(index) | Claim::Would(index)) => {
                match self.program.conclusions.get(*index) {
                    Some(conclusion) => {
                        format!("{}{}", crate::words::said_words(naming, conclusion), because(&conclusion.causes))
                    }
                    None => String::new(),
                }
            }
            Some(Claim::Spoken(sensor, event)) => {
                format!("the maker speaks about {} for {}", naming.term(*sensor), naming.event(*event))
            }
            Some(Claim::Inner(_)) => self.inner(atom),
            None => String::new(),
        };
        if sign { text } else { format!("not: {text}") }
    }

    fn leaf(&self, variable: usize, ask: usize) -> String {
        let Some(found) = self.program.variables.get(variable) else {
            return String::new();
        };
        let mask = found.masks.get(ask).copied().unwrap_or(0) & found.allowed;
        // The values it may have among those asked for; one of them where it is known.
        match (0..64_u32).find(|bit| mask >> bit & 1 == 1) {
            Some(bit) => self.naming.value(found, bit),
            None => self.naming.fact(&found.fact),
        }
    }

    /// A condition inside a rule, from the clauses that make it up.
    fn inner(&self, atom: AtomId) -> String {
        let clauses = self.program.by_head.get(atom.0 as usize).map_or(&[][..], Vec::as_slice);
        let parts: Vec<String> = clauses
            .iter()
            .filter_map(|&index| self.program.clauses.get(index as usize))
            .map(|clause| {
                clause
                    .body
                    .iter()
                    .map(|&(body, sign)| match self.program.claim(body) {
                        Some(Claim::Inner(_)) => "(...)".to_string(),
                        _ => self.words(body, sign),
                    })
                    .collect::<Vec<_>>()
                    .join(" and ")
            })
            .collect();
        parts.join(" or ")
    }
}

/// Whether a reader wants to see it beside the rule: not what car it is and what it has, which the job says above all.
fn is_told(fact: &Fact) -> bool {
    match fact {
        Fact::Condition(..)
        | Fact::Choice(..)
        | Fact::Measure { .. }
        | Fact::Size { .. }
        | Fact::Place { .. }
        | Fact::Quality { .. }
        | Fact::Why(_)
        | Fact::Code { .. } => true,
        Fact::Vin
        | Fact::Model
        | Fact::ModelYear
        | Fact::Built
        | Fact::Equipped(_)
        | Fact::Occurred(_)
        | Fact::OnTheWay(_)
        | Fact::CarriedOut(..)
        | Fact::WorkComplete
        | Fact::NothingUnlisted
        | Fact::EquipmentComplete
        | Fact::ListComplete(..)
        | Fact::SourceHolds(_)
        | Fact::Reading(_)
        | Fact::LeftOpen(..)
        | Fact::WhichPlace(..)
        | Fact::Ended { .. }
        | Fact::Order { .. } => false,
    }
}
