//! Settling: what holds under every completion of the facts that are still open.
//!
//! An outcome is a function of some atoms. The facts it turns on are found by going back from those
//! atoms over clauses that are still undecided; then every completion of just these facts is tried.

use std::collections::BTreeMap;

use crate::atoms::{AtomId, Claim, Program, VariableIndex};
use crate::evaluate::Evaluated;

/// How many open facts one outcome may turn on for every completion to be tried. Each doubles the work.
pub const MOST_UNKNOWNS: usize = 12;

/// How many completions are tried at most: a measure cut often counts for more than one doubling.
pub const MOST_COMPLETIONS: u64 = 1 << 16;

/// One completion: for each open fact, which of its values it has.
pub type Completion = Vec<(VariableIndex, u32)>;

/// What comes of it when a function says which atoms hold.
pub type Outcomes<'a, T> = dyn Fn(&dyn Fn(AtomId) -> bool) -> T + 'a;

/// What an outcome can be.
#[derive(Clone, Debug)]
pub struct Settled<T> {
    /// Every value the outcome takes, with the first completion that gives it.
    pub outcomes: BTreeMap<T, Completion>,
    /// The facts it turns on: changing one alone can change the outcome.
    pub turns_on: Vec<VariableIndex>,
    /// False where not every completion was tried; then the outcomes may hold values it cannot really take.
    pub exact: bool,
    /// False where the outcomes may miss some that can be: then nothing may be concluded from their being few.
    pub whole: bool,
    /// The open facts that were gone through.
    pub over: Vec<VariableIndex>,
}

impl<T: Ord> Settled<T> {
    /// What is so whatever is open.
    pub fn certain(outcome: T) -> Settled<T> {
        Settled {
            outcomes: BTreeMap::from([(outcome, Vec::new())]),
            turns_on: Vec::new(),
            exact: true,
            whole: true,
            over: Vec::new(),
        }
    }
}

/// Settles an outcome. `outcome` is asked with the truth of each of `atoms`; `alike` puts outcomes
/// together that ask for the same to be done, so that a fact which only moves between them is not asked.
pub fn settle<T: Ord + Clone>(
    program: &Program,
    evaluated: &Evaluated,
    atoms: &[AtomId],
    outcome: &Outcomes<'_, T>,
    alike: &dyn Fn(&T, &T) -> bool,
) -> Settled<T> {
    let open: Vec<AtomId> = atoms.iter().copied().filter(|&atom| evaluated.is_open(atom)).collect();
    let mut settled =
        Settled { outcomes: BTreeMap::new(), turns_on: Vec::new(), exact: true, whole: true, over: Vec::new() };
    if open.is_empty() {
        let value = outcome(&|atom| evaluated.is_certain(atom));
        settled.outcomes.insert(value, Vec::new());
        return settled;
    }
    let slice = Slice::new(program, evaluated, &open);
    settled.over = slice.variables.clone();
    let completions = slice.count(program);
    if slice.variables.len() > MOST_UNKNOWNS || completions.is_none_or(|count| count > MOST_COMPLETIONS) {
        settled.exact = false;
        settled.turns_on = slice.variables.clone();
        inexact(evaluated, &open, outcome, &mut settled);
        return settled;
    }
    let mut values: Vec<T> = Vec::with_capacity(completions.unwrap_or(1) as usize);
    let mut state = State::new(program, evaluated, &slice);
    let radix = slice.radix(program);
    let mut digits = vec![0_usize; slice.variables.len()];
    loop {
        let completion: Completion = slice
            .variables
            .iter()
            .zip(&radix)
            .zip(&digits)
            .map(|((&variable, values), &digit)| (variable, values.get(digit).copied().unwrap_or(0)))
            .collect();
        state.run(&completion);
        let value = outcome(&|atom| state.is_true(atom));
        settled.outcomes.entry(value.clone()).or_insert(completion);
        values.push(value);
        if !advance(&mut digits, &radix) {
            break;
        }
    }
    // A fact matters if two completions that differ in it alone differ in outcome.
    let mut stride = 1_usize;
    for (place, &variable) in slice.variables.iter().enumerate() {
        let size = radix.get(place).map_or(1, Vec::len);
        let matters = values.iter().enumerate().any(|(index, value)| {
            let digit = (index / stride) % size;
            digit > 0 && values.get(index - digit * stride).is_some_and(|first| !alike(first, value))
        });
        if matters {
            settled.turns_on.push(variable);
        }
        stride *= size;
    }
    settled
}

fn advance(digits: &mut [usize], radix: &[Vec<u32>]) -> bool {
    for (digit, values) in digits.iter_mut().zip(radix) {
        *digit += 1;
        if *digit < values.len() {
            return true;
        }
        *digit = 0;
    }
    false
}

/// Without every completion: take the open atoms as free of each other, which may add outcomes but never miss one,
/// as long as there are few enough of them to try all.
fn inexact<T: Ord + Clone>(
    evaluated: &Evaluated,
    open: &[AtomId],
    outcome: &Outcomes<'_, T>,
    settled: &mut Settled<T>,
) {
    let free = open.len().min(MOST_UNKNOWNS);
    settled.whole = open.len() <= MOST_UNKNOWNS;
    for bits in 0..(1_u64 << free) {
        let value = outcome(&|atom| match open.iter().position(|&known| known == atom) {
            // Past the limit the rest are all tried true, then all false.
            Some(index) if index >= free => bits & 1 == 1,
            Some(index) => bits >> index & 1 == 1,
            None => evaluated.is_certain(atom),
        });
        settled.outcomes.entry(value).or_default();
    }
}

/// The part of a program some atoms turn on.
struct Slice {
    variables: Vec<VariableIndex>,
    /// Undecided atoms, lower levels first.
    atoms: Vec<AtomId>,
}

impl Slice {
    fn new(program: &Program, evaluated: &Evaluated, from: &[AtomId]) -> Slice {
        let mut seen = vec![false; program.claims.len()];
        let mut open: Vec<AtomId> = from.to_vec();
        let mut atoms = Vec::new();
        let mut variables = Vec::new();
        while let Some(atom) = open.pop() {
            match seen.get_mut(atom.0 as usize) {
                Some(place) if !*place => *place = true,
                _ => continue,
            }
            if !evaluated.is_open(atom) {
                continue;
            }
            atoms.push(atom);
            if let Some(Claim::Leaf(variable, _)) = program.claim(atom) {
                variables.push(*variable);
                continue;
            }
            for &clause in program.by_head.get(atom.0 as usize).into_iter().flatten() {
                let Some(clause) = program.clauses.get(clause as usize) else {
                    continue;
                };
                let dead = clause
                    .body
                    .iter()
                    .any(|&(atom, sign)| if sign { !evaluated.is_possible(atom) } else { evaluated.is_certain(atom) });
                if !dead {
                    open.extend(clause.body.iter().map(|&(atom, _)| atom));
                }
            }
        }
        atoms.sort_by_key(|&atom| (evaluated.level_of(atom), atom));
        variables.sort();
        variables.dedup();
        Slice { variables, atoms }
    }

    /// For each variable, the values it may have.
    fn radix(&self, program: &Program) -> Vec<Vec<u32>> {
        self.variables
            .iter()
            .map(|&variable| {
                let allowed = program.variables.get(variable.0 as usize).map_or(0, |variable| variable.allowed);
                (0..64).filter(|bit| allowed >> bit & 1 == 1).collect()
            })
            .collect()
    }

    /// How many completions there are; nothing if past counting.
    fn count(&self, program: &Program) -> Option<u64> {
        self.radix(program).iter().try_fold(1_u64, |count, values| count.checked_mul(values.len() as u64))
    }
}

/// The truth of a slice's atoms in one completion.
struct State<'p> {
    program: &'p Program,
    evaluated: &'p Evaluated,
    slice: &'p Slice,
    truth: Vec<bool>,
    inside: Vec<bool>,
}

impl<'p> State<'p> {
    fn new(program: &'p Program, evaluated: &'p Evaluated, slice: &'p Slice) -> State<'p> {
        let mut inside = vec![false; program.claims.len()];
        for atom in &slice.atoms {
            if let Some(place) = inside.get_mut(atom.0 as usize) {
                *place = true;
            }
        }
        State { program, evaluated, slice, truth: vec![false; program.claims.len()], inside }
    }

    fn is_true(&self, atom: AtomId) -> bool {
        if self.inside.get(atom.0 as usize).copied().unwrap_or(false) {
            self.truth.get(atom.0 as usize).copied().unwrap_or(false)
        } else {
            self.evaluated.is_certain(atom)
        }
    }

    fn set(&mut self, atom: AtomId, value: bool) {
        if let Some(place) = self.truth.get_mut(atom.0 as usize) {
            *place = value;
        }
    }

    fn run(&mut self, completion: &Completion) {
        for &atom in &self.slice.atoms {
            self.set(atom, false);
        }
        let mut start = 0;
        while start < self.slice.atoms.len() {
            let level = self.slice.atoms.get(start).map_or(0, |&atom| self.evaluated.level_of(atom));
            let end = start
                + self
                    .slice
                    .atoms
                    .iter()
                    .skip(start)
                    .take_while(|&&atom| self.evaluated.level_of(atom) == level)
                    .count();
            // A least fixpoint on this level; levels below are done.
            loop {
                let mut changed = false;
                for index in start..end {
                    let Some(&atom) = self.slice.atoms.get(index) else {
                        break;
                    };
                    if !self.is_true(atom) && self.holds(atom, completion) {
                        self.set(atom, true);
                        changed = true;
                    }
                }
                if !changed {
                    break;
                }
            }
            start = end;
        }
    }

    fn holds(&self, atom: AtomId, completion: &Completion) -> bool {
        if let Some(Claim::Leaf(variable, ask)) = self.program.claim(atom) {
            let value = completion.iter().find(|(known, _)| known == variable).map(|&(_, value)| value);
            let mask = self
                .program
                .variables
                .get(variable.0 as usize)
                .and_then(|variable| variable.masks.get(*ask))
                .copied()
                .unwrap_or(0);
            return value.is_some_and(|value| mask >> value & 1 == 1);
        }
        self.program.by_head.get(atom.0 as usize).into_iter().flatten().any(|&clause| {
            self.program
                .clauses
                .get(clause as usize)
                .is_some_and(|clause| clause.body.iter().all(|&(atom, sign)| self.is_true(atom) == sign))
        })
    }
}
