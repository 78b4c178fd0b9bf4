//! Deciding: all stages of one job, from its lines to its answer.

pub mod branches;
mod chains;
mod closing;
mod doings;
mod duties;
mod generations;
mod how;
mod met;
mod no_view;
mod operations;
mod reasons;
mod revised;
mod silences;
mod telling;
mod values;

use knockon_measure::Date;
use knockon_rules::{JobProgram, Library};
use knockon_terms::resolved::Job;
use knockon_terms::{Class, TermId};
use knockon_text::Problem;

use crate::answer::{Answer, FactWords};
use crate::atoms::{AtomId, Claim, Lit, Said, VariableIndex};
use crate::evaluate::Evaluated;
use crate::fact::Fact;
use crate::ground::{Grounded, Limit};
use crate::job::{JobFacts, ToCome};
use crate::naming::Naming;
use crate::proving::Prover;
use crate::settle::{Outcomes, Settled, settle};

/// A decided job: the answer, and what it was made of.
#[derive(Clone, Debug)]
pub struct Decided {
    /// The answer.
    pub answer: Answer,
    /// What is known of the job.
    pub job: JobFacts,
    /// The ground rules.
    pub grounded: Grounded,
    /// What holds.
    pub evaluated: Evaluated,
}

/// Decides a job by a library, as of a day (the job's own where none is given).
pub fn decide(library: &Library, job: &Job, as_of: Option<Date>) -> Result<Decided, Vec<Problem>> {
    decide_if(library, job, as_of, &[])
}

/// Decides a job as it will stand if what is still to be carried out ends so.
pub fn decide_if(
    library: &Library,
    job: &Job,
    as_of: Option<Date>,
    to_come: &[ToCome],
) -> Result<Decided, Vec<Problem>> {
    let mut facts = JobFacts::new(job, library, as_of)?;
    facts.to_come.extend_from_slice(to_come);
    let scoped = JobProgram::new(library, facts.car.clone(), facts.as_of);
    let against = facts.against_texts(library, &scoped);
    if !against.is_empty() {
        return Err(against);
    }
    let mut decided = decide_once(library, &scoped, facts);
    branches::add(library, &scoped, &mut decided);
    Ok(decided)
}

/// Decides a job without looking at what follows from how anything ends.
fn decide_once(library: &Library, scoped: &JobProgram, facts: JobFacts) -> Decided {
    let (grounded, evaluated, circle) = generations::grounded(library, scoped, &facts);
    let answer = {
        let naming = Naming { library, job: &facts, events: &grounded.events };
        let mut decider = Decider {
            library,
            scoped,
            job: &facts,
            grounded: &grounded,
            evaluated: &evaluated,
            naming: &naming,
            prover: Prover::new(&grounded.program, &evaluated, &naming),
            inexact: Vec::new(),
        };
        decider.answer(circle)
    };
    Decided { answer, job: facts, grounded, evaluated }
}

struct Decider<'a> {
    library: &'a Library,
    scoped: &'a JobProgram,
    job: &'a JobFacts,
    grounded: &'a Grounded,
    evaluated: &'a Evaluated,
    naming: &'a Naming<'a>,
    prover: Prover<'a>,
    inexact: Vec<String>,
}

impl Decider<'_> {
    fn answer(&mut self, circle: bool) -> Answer {
        let mut duties = self.duties();
        let operations = self.operations();
        let silences = self.silences(&duties);
        let no_view = self.no_view(&duties);
        let orders = self.orders(&duties);
        self.holds(&mut duties);
        self.off(&mut duties);
        self.how(&mut duties);
        let values = self.values(&duties);
        let questions = self.questions(&duties, &values, &operations, &silences);
        duties.sort_by(|one, two| (one.verdict, &one.name).cmp(&(two.verdict, &two.name)));
        let mut not_in_force = self.not_in_force();
        not_in_force.extend(self.how_not_in_force(&duties));
        let mut limits: Vec<String> = self.grounded.limits.iter().map(|limit| self.limit(limit)).collect();
        self.inexact.dedup();
        limits.append(&mut self.inexact);
        if circle {
            limits.push("rules deny each other in a circle that loading did not see; nothing was decided".to_string());
        }
        if self.prover.cut {
            limits.push(format!("proofs of more than {} steps", crate::proving::MOST_NODES));
        }
        Answer {
            job: self.job.name.clone(),
            vehicle: self.vehicle(),
            as_of: self.job.as_of,
            library: self.library.digest(),
            duties,
            values,
            silences,
            no_view,
            operations,
            orders,
            branches: Vec::new(),
            questions,
            asks: self.told(&Said::Question),
            warnings: self.told(&Said::Warn),
            came_off: self.came_off(),
            touched: self.touched(),
            events: self.events(),
            assumptions: self.assumptions(),
            limits,
            not_in_force,
            proofs: std::mem::take(&mut self.prover.graph),
        }
    }

    fn limit(&self, limit: &Limit) -> String {
        match limit {
            Limit::Instances => {
                format!("more than {} instances of rules; nothing was decided", crate::ground::MOST_INSTANCES)
            }
            Limit::Rounds => format!(
                "more than {} rounds of rules waiting for each other; nothing was decided",
                crate::ground::MOST_ROUNDS
            ),
            Limit::Generations => format!(
                "more than {} generations of what procedures do and set off; nothing was decided",
                crate::ground::MOST_GENERATIONS
            ),
            Limit::Values(fact) => {
                format!("{} is cut into more than {} parts", self.naming.fact(fact), crate::fact::MOST_VALUES)
            }
        }
    }

    fn vehicle(&self) -> String {
        let car = &self.job.car;
        let mut text = self.naming.term(car.maker).to_string();
        match car.model {
            Some(model) => text.push_str(&format!(" {}", self.naming.term(model))),
            None => text.push_str(", model not known"),
        }
        match car.year {
            Some(year) => text.push_str(&format!(" {year}")),
            None => text.push_str(", model year not known"),
        }
        if let Some(built) = car.built {
            text.push_str(&format!(", built {built}"));
        }
        text
    }

    fn is_sensor(&self, term: TermId) -> bool {
        self.library.vocabulary().class(term) == Class::Sensor
    }

    /// Whether a term is fitted, as a literal of the program.
    fn fitted(&self, term: TermId) -> Lit {
        if let Some(&fitted) = self.grounded.fitted.get(&term) {
            return fitted;
        }
        let Some(variable) = self.grounded.program.find_variable(Fact::Equipped(term)) else {
            return Lit::True;
        };
        match self.grounded.program.find(&Claim::Leaf(variable, 0)) {
            Some(atom) => Lit::Atom(atom, true),
            None => Lit::True,
        }
    }

    fn settle<T: Ord + Clone>(
        &mut self,
        atoms: &[AtomId],
        name: &str,
        outcome: &Outcomes<'_, T>,
        alike: &dyn Fn(&T, &T) -> bool,
    ) -> Settled<T> {
        let settled = settle(&self.grounded.program, self.evaluated, atoms, outcome, alike);
        if !settled.exact {
            self.inexact.push(format!(
                "{name} turns on {} unknown facts; not every completion was tried (the limit is {})",
                settled.over.len(),
                crate::settle::MOST_UNKNOWNS
            ));
        }
        settled
    }

    fn facts(&self, variables: &[VariableIndex]) -> Vec<FactWords> {
        let mut facts: Vec<FactWords> = variables
            .iter()
            .map(|&variable| FactWords {
                variable,
                name: self.naming.variable(&self.grounded.program.variables, variable),
            })
            .collect();
        facts.sort_by(|one, two| (&one.name, one.variable).cmp(&(&two.name, two.variable)));
        // A sentence and a denial may rest on one thing: it is asked once.
        facts.dedup_by(|one, two| one.name == two.name);
        facts
    }

    fn completion(&self, completion: &[(VariableIndex, u32)], turns_on: &[VariableIndex]) -> Vec<String> {
        let mut words: Vec<String> = completion
            .iter()
            .filter(|(variable, _)| turns_on.contains(variable))
            .filter_map(|(variable, value)| {
                let found = self.grounded.program.variables.get(variable.0 as usize)?;
                Some(self.naming.value(found, *value))
            })
            .collect();
        words.sort();
        words
    }
}
