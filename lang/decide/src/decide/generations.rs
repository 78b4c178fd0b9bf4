//! Generations: a job is grounded again with what the procedures that it may ask for do, until they ask for no more.

use knockon_rules::{JobProgram, Library};

use crate::atoms::{Program, Said};
use crate::evaluate::{Evaluated, evaluate};
use crate::event::Procedure;
use crate::ground::{Generations, Grounded, Limit, MOST_GENERATIONS, ground};
use crate::job::JobFacts;

/// The job's ground rules and what holds, and whether rules deny each other in a circle that loading did not see.
pub fn grounded(library: &Library, scoped: &JobProgram, job: &JobFacts) -> (Grounded, Evaluated, bool) {
    let mut generations = Generations::default();
    loop {
        let mut grounded = ground(library, scoped, job, &generations);
        let Some(evaluated) = evaluate(&grounded.program) else {
            grounded.program = Program::default();
            return (grounded, Evaluated::default(), true);
        };
        let more = more(library, scoped, job, &grounded, &evaluated, &generations);
        if more.is_empty() {
            return (grounded, evaluated, false);
        }
        let generation = generations.last() + 1;
        if generation > MOST_GENERATIONS {
            grounded.limits.push(Limit::Generations);
            // INVARIANT: an answer from which rules are missing decides nothing; a missing rule could ask.
            grounded.program = Program::default();
            return (grounded, Evaluated::default(), false);
        }
        generations.of.extend(more.into_iter().map(|procedure| (procedure, generation)));
    }
}

/// The procedures that may have to be carried out, that do something to the car, and that are not known yet.
fn more(
    library: &Library,
    scoped: &JobProgram,
    job: &JobFacts,
    grounded: &Grounded,
    evaluated: &Evaluated,
    generations: &Generations,
) -> Vec<Procedure> {
    if scoped.carrying_out.is_empty() {
        return Vec::new();
    }
    let does_something = |procedure: &Procedure| {
        let items = scoped.carrying_out.iter().filter_map(|scoped| library.resolved.carrying_out.get(scoped.item));
        items.into_iter().any(|item| item.duty.procedure == procedure.0 && item.involves().next().is_some())
    };
    let asked = grounded
        .program
        .conclusions
        .iter()
        .filter(|conclusion| matches!(conclusion.said, Said::Ask | Said::Advise))
        .filter(|conclusion| evaluated.is_possible(conclusion.atom))
        .flat_map(|conclusion| conclusion.duty().ways().collect::<Vec<_>>());
    // What is asked for may be carried out as something that does.
    let asked = asked.flat_map(|asked| {
        let said = grounded.carried_out_as.iter().filter(move |said| said.of == asked);
        let ways = said.flat_map(move |said| said.ways.iter().map(move |&way| (way, asked.1)));
        std::iter::once(asked).chain(ways).collect::<Vec<_>>()
    });
    let mut all: Vec<Procedure> = asked
        .chain(job.in_hand.iter().copied())
        .filter(|procedure| does_something(procedure) && !generations.of.contains_key(procedure))
        .collect();
    all.sort();
    all.dedup();
    all
}
