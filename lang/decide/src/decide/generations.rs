//! Generations: a job is grounded again with what the procedures that it may ask for do, until they ask for no more.

use std::collections::BTreeMap;

use knockon_rules::{JobProgram, Library};

use crate::atoms::{AtomId, Claim, Program, Said};
use crate::evaluate::{Evaluated, evaluate};
use crate::event::Procedure;
use crate::ground::{Generations, Grounded, Limit, MOST_GENERATIONS, ground};
use crate::job::JobFacts;
use crate::settle::settle;

/// The job's ground rules and what holds, and whether rules deny each other in a circle that loading did not see.
pub fn grounded(library: &Library, scoped: &JobProgram, job: &JobFacts) -> (Grounded, Evaluated, bool) {
    let mut generations = Generations::default();
    loop {
        let mut grounded = ground(library, scoped, job, &generations);
        let Some(evaluated) = evaluate(&grounded.program) else {
            grounded.program = Program::default();
            return (grounded, Evaluated::default(), true);
        };
        let last = generations.last();
        let more = more(library, scoped, job, &grounded, &evaluated, last);
        if more.is_empty() {
            return (grounded, evaluated, false);
        }
        if last == MOST_GENERATIONS {
            grounded.limits.push(Limit::Generations);
            // INVARIANT: an answer from which rules are missing decides nothing; a missing rule could ask.
            grounded.program = Program::default();
            return (grounded, Evaluated::default(), false);
        }
        generations.of.extend(more.into_iter().map(|procedure| (procedure, last + 1)));
    }
}

/// The procedures that the last generation may ask for, that do something to the car, and that may not be carried out
/// already because of an earlier one.
fn more(
    library: &Library,
    scoped: &JobProgram,
    job: &JobFacts,
    grounded: &Grounded,
    evaluated: &Evaluated,
    last: u32,
) -> Vec<Procedure> {
    if scoped.carrying_out.is_empty() {
        return Vec::new();
    }
    let mut asked: BTreeMap<Procedure, Vec<AtomId>> = BTreeMap::new();
    for (index, conclusion) in grounded.program.conclusions.iter().enumerate() {
        if conclusion.generation != last || !matches!(conclusion.said, Said::Ask | Said::Advise) {
            continue;
        }
        let stands = match conclusion.said {
            Said::Ask => grounded.program.find(&Claim::Stands(index)),
            _ => Some(conclusion.atom),
        };
        let Some(stands) = stands.filter(|&atom| evaluated.is_possible(atom)) else { continue };
        for way in conclusion.duty().ways() {
            asked.entry(way).or_default().push(stands);
            // What is asked for may be carried out as something else.
            for said in grounded.carried_out_as.iter().filter(|said| said.of == way) {
                for &as_which in &said.ways {
                    asked.entry((as_which, way.1)).or_default().push(stands);
                }
            }
        }
    }
    if last == 0 {
        for &procedure in &job.in_hand {
            asked.entry(procedure).or_default();
        }
    }
    let does_something = |procedure: &Procedure| {
        let items = scoped.carrying_out.iter().filter_map(|scoped| library.resolved.carrying_out.get(scoped.item));
        items.into_iter().any(|item| item.duty.procedure == procedure.0 && item.involves().next().is_some())
    };
    asked.retain(|procedure, stands| does_something(procedure) && is_new(grounded, evaluated, *procedure, stands));
    asked.into_keys().collect()
}

/// Whether what asks for a procedure may hold where it is not carried out already: in some completion, not only as far as
/// each clause shows, or two procedures that set each other off would go on for ever.
fn is_new(grounded: &Grounded, evaluated: &Evaluated, (procedure, of): Procedure, stands: &[AtomId]) -> bool {
    let earlier: Vec<AtomId> = grounded
        .generations
        .iter()
        .filter(|(known, _)| *known == (procedure, of))
        .filter_map(|&(_, generation)| grounded.program.find(&Claim::CarriedOut { procedure, of, generation }))
        .collect();
    if earlier.is_empty() {
        return true;
    }
    let atoms: Vec<AtomId> = stands.iter().chain(&earlier).copied().collect();
    let outcome = |holds: &dyn Fn(AtomId) -> bool| {
        stands.iter().any(|&atom| holds(atom)) && !earlier.iter().any(|&atom| holds(atom))
    };
    let settled = settle(&grounded.program, evaluated, &atoms, &outcome, &|one, two| one == two);
    !settled.whole || settled.outcomes.contains_key(&true)
}
