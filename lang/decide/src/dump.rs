//! Dumps of a decided job: the ground program it was made into, and the graph of its proofs.

use std::fmt::Write as _;

use knockon_proof::NodeId;
use knockon_rules::Library;
use knockon_text::neutral::one_line;

use crate::atoms::{AtomId, Claim, Lit, Why};
use crate::decide::Decided;
use crate::fact::{Value, Variable};
use crate::naming::Naming;
use crate::proving::Prover;
use crate::words::said_words;

/// The ground program of a decided job: facts with their values, atoms with what was found of them,
/// clauses, and the conclusions that verdicts are made of. One thing a line.
pub fn program(library: &Library, decided: &Decided) -> String {
    let naming = Naming { library, job: &decided.job, events: &decided.grounded.events };
    let mut dump = Dump {
        decided,
        naming: &naming,
        prover: Prover::new(&decided.grounded.program, &decided.evaluated, &naming),
        out: String::new(),
    };
    dump.line(0, &format!("job \"{}\" as of {}", decided.answer.job, decided.answer.as_of));
    dump.variables();
    dump.events();
    dump.atoms();
    dump.clauses();
    dump.conclusions();
    dump.out
}

/// The proof graph of an answer, one node a line: `NUMBER STEP CLAIM [by WHO] [from NUMBERS]`. Duties
/// name their root above it.
pub fn proof(decided: &Decided) -> String {
    let answer = &decided.answer;
    let mut out = String::new();
    let mut line = |text: &str| {
        // Writing into a string does not fail.
        let _ = writeln!(out, "{}", one_line(text));
    };
    line(&format!("job \"{}\" as of {}", answer.job, answer.as_of));
    for duty in &answer.duties {
        let root = duty.proof.map_or_else(|| "no proof".to_string(), |node| format!("node {}", node.0));
        line(&format!("{}: {}, {root}", duty.name, duty.verdict.words()));
    }
    for (id, node) in answer.proofs.iter() {
        let by = node.by.as_ref().map_or_else(String::new, |by| format!("   by {by}"));
        let from: Vec<String> = node.from.iter().map(|NodeId(from)| from.to_string()).collect();
        let from = if from.is_empty() { String::new() } else { format!("   from {}", from.join(", ")) };
        line(&format!("{:>5} {:<10} {}{by}{from}", id.0, node.step.word(), node.claim));
    }
    out
}

struct Dump<'a> {
    decided: &'a Decided,
    naming: &'a Naming<'a>,
    prover: Prover<'a>,
    out: String,
}

impl Dump<'_> {
    fn line(&mut self, depth: usize, text: &str) {
        let _ = writeln!(self.out, "{:1$}{2}", "", depth * 2, one_line(text));
    }

    fn section(&mut self, title: &str, lines: Vec<String>) {
        if !lines.is_empty() {
            self.line(0, title);
            for line in lines {
                self.line(1, &line);
            }
        }
    }

    fn variables(&mut self) {
        let variables = &self.decided.grounded.program.variables;
        let lines = variables
            .iter()
            .enumerate()
            .map(|(index, variable)| {
                format!("v{index} {}: {}", self.naming.fact(&variable.fact), self.values(variable))
            })
            .collect();
        self.section("facts, with the values they may still have marked *", lines);
    }

    fn values(&self, variable: &Variable) -> String {
        let values: Vec<String> = (0..variable.values.len() as u32)
            .map(|value| {
                let mark = if variable.allowed >> value & 1 == 1 { "*" } else { "" };
                match variable.values.get(value as usize) {
                    Some(Value::No) => format!("no{mark}"),
                    Some(Value::Yes) => format!("yes{mark}"),
                    _ => format!("{}{mark}", self.naming.value(variable, value)),
                }
            })
            .collect();
        values.join(" | ")
    }

    fn events(&mut self) {
        let lines = (0..self.decided.grounded.events.len() as u32)
            .map(crate::event::EventId)
            .map(|event| format!("e{} {}   {}", event.0, self.naming.event(event), self.naming.origin(event)))
            .collect();
        self.section("events", lines);
    }

    fn atoms(&mut self) {
        let evaluated = &self.decided.evaluated;
        let lines = (0..self.decided.grounded.program.claims.len() as u32)
            .map(AtomId)
            .map(|atom| {
                let found = if evaluated.is_certain(atom) {
                    "certain"
                } else if evaluated.is_possible(atom) {
                    "possible"
                } else {
                    "no"
                };
                format!("a{} level {} {found:<8} {}", atom.0, evaluated.level_of(atom), self.atom(atom))
            })
            .collect();
        self.section("atoms", lines);
    }

    fn atom(&self, atom: AtomId) -> String {
        let words = self.prover.words(atom, true);
        match self.decided.grounded.program.claim(atom) {
            Some(Claim::Leaf(variable, ask)) => {
                let values: Vec<String> = self
                    .decided
                    .grounded
                    .program
                    .variables
                    .get(variable.0 as usize)
                    .map(|found| {
                        let mask = found.masks.get(*ask).copied().unwrap_or(0);
                        (0..found.values.len() as u32)
                            .filter(|value| mask >> value & 1 == 1)
                            .map(|value| self.naming.value(found, value))
                            .collect()
                    })
                    .unwrap_or_default();
                format!("v{}: {}", variable.0, values.join(" or "))
            }
            Some(Claim::Happened(event)) => format!("e{} happened: {words}", event.0),
            Some(Claim::Concluded(index)) => format!("concluded {index}: {words}"),
            Some(Claim::Stands(index)) => format!("stands {index}: {words}"),
            Some(Claim::Would(index)) => format!("would be concluded {index}: {words}"),
            Some(Claim::Inner(_)) => format!("so that: {words}"),
            _ => words,
        }
    }

    fn clauses(&mut self) {
        let lines = self
            .decided
            .grounded
            .program
            .clauses
            .iter()
            .enumerate()
            .map(|(index, clause)| {
                let body: Vec<String> = clause
                    .body
                    .iter()
                    .map(|(atom, sign)| format!("{}a{}", if *sign { "" } else { "not " }, atom.0))
                    .collect();
                let body = if body.is_empty() { "always".to_string() } else { body.join(", ") };
                format!("c{index} a{} <- {body}   {}", clause.head.0, self.why(&clause.why))
            })
            .collect();
        self.section("clauses", lines);
    }

    fn why(&self, why: &Why) -> String {
        let rule = |id| self.naming.library.rule(id).map_or("", |rule| rule.name.as_str());
        match why {
            Why::Line(line) => self.naming.line(*line),
            Why::Fact(fact) => format!("fact, {}", self.naming.fact_source(*fact)),
            Why::Rule(id) => format!("rule \"{}\"", rule(*id)),
            Why::Exception(id) => format!("exception of \"{}\"", rule(*id)),
            Why::CarryingOut(item) => format!("carrying out, {}", self.naming.carrying_out_source(*item)),
            Why::Meaning => "meaning".to_string(),
            Why::Possible => "not known".to_string(),
        }
    }

    fn conclusions(&mut self) {
        let lines = self
            .decided
            .grounded
            .program
            .conclusions
            .iter()
            .enumerate()
            .map(|(index, conclusion)| {
                let causes: Vec<String> = conclusion.causes.iter().map(|cause| format!("e{}", cause.0)).collect();
                let causes =
                    if causes.is_empty() { String::new() } else { format!(" because of {}", causes.join(", ")) };
                let until = match &conclusion.until {
                    Some((Lit::Atom(atom, true), words)) => format!(" until a{} ({words})", atom.0),
                    Some((_, words)) => format!(" until {words}"),
                    None => String::new(),
                };
                let rule = self.naming.library.rule(conclusion.rule).map_or("", |rule| rule.name.as_str());
                format!(
                    "{index} a{} {}{until}{causes}   rule \"{rule}\"",
                    conclusion.atom.0,
                    said_words(self.naming, conclusion)
                )
            })
            .collect();
        self.section("conclusions", lines);
    }
}
