//! What certainly holds and what possibly holds: two least fixpoints over the ground clauses.
//!
//! Strata are levels of atoms: everything a clause denies lies on a lower level, and is settled
//! before. An atom is *certain* when it follows whatever the open facts are, as far as each clause
//! alone shows; *possible* when it is not ruled out. What lies between is for [`crate::settle`].

use crate::atoms::{AtomId, Claim, Program};

/// Levels above this many mean rules that deny each other in a circle, which loading refuses; kept as a guard.
pub const MOST_LEVELS: u32 = 10_000;

/// What was found of each atom.
#[derive(Clone, Debug, Default)]
pub struct Evaluated {
    /// Holds whatever the open facts are.
    pub certain: Vec<bool>,
    /// Is not ruled out.
    pub possible: Vec<bool>,
    /// When it became certain; a proof may only look back.
    pub rank: Vec<u32>,
    /// The level of each atom.
    pub level: Vec<u32>,
    /// The atoms by level.
    pub order: Vec<AtomId>,
}

impl Evaluated {
    /// Whether the atom is certain.
    pub fn is_certain(&self, atom: AtomId) -> bool {
        self.certain.get(atom.0 as usize).copied().unwrap_or(false)
    }

    /// Whether the atom is possible.
    pub fn is_possible(&self, atom: AtomId) -> bool {
        self.possible.get(atom.0 as usize).copied().unwrap_or(false)
    }

    /// Whether the atom is neither certain nor ruled out.
    pub fn is_open(&self, atom: AtomId) -> bool {
        self.is_possible(atom) && !self.is_certain(atom)
    }

    /// The level of an atom.
    pub fn level_of(&self, atom: AtomId) -> u32 {
        self.level.get(atom.0 as usize).copied().unwrap_or(0)
    }
}

/// The levels of all atoms; nothing if they rise past the limit.
fn levels(program: &Program) -> Option<Vec<u32>> {
    let mut level = vec![0_u32; program.claims.len()];
    loop {
        let mut rose = false;
        for clause in &program.clauses {
            let below = clause
                .body
                .iter()
                .map(|&(atom, sign)| level.get(atom.0 as usize).copied().unwrap_or(0) + u32::from(!sign))
                .max()
                .unwrap_or(0);
            if below > MOST_LEVELS {
                return None;
            }
            if let Some(here) = level.get_mut(clause.head.0 as usize)
                && *here < below
            {
                *here = below;
                rose = true;
            }
        }
        if !rose {
            return Some(level);
        }
    }
}

/// Evaluates a program whose variables have been cut.
pub fn evaluate(program: &Program) -> Option<Evaluated> {
    let count = program.claims.len();
    let level = levels(program)?;
    let mut order: Vec<AtomId> = (0..count as u32).map(AtomId).collect();
    order.sort_by_key(|atom| (level.get(atom.0 as usize).copied().unwrap_or(0), *atom));
    let mut out = Evaluated {
        certain: vec![false; count],
        possible: vec![false; count],
        rank: vec![u32::MAX; count],
        level,
        order,
    };
    let uses = uses(program);
    let mut rank = 0_u32;
    // Leaves first: they rest on nothing.
    for (index, claim) in program.claims.iter().enumerate() {
        if let Claim::Leaf(variable, ask) = claim
            && let Some(variable) = program.variables.get(variable.0 as usize)
        {
            let mask = variable.masks.get(*ask).copied().unwrap_or(0);
            let possible = variable.allowed & mask != 0;
            let certain = possible && variable.allowed & !mask == 0;
            set(&mut out.possible, index, possible);
            set(&mut out.certain, index, certain);
            if certain {
                set(&mut out.rank, index, 0);
            }
        }
    }
    let highest = out.level.iter().copied().max().unwrap_or(0);
    let mut start = 0;
    for level in 0..=highest {
        let end = out.order.iter().skip(start).take_while(|&&atom| out.level_of(atom) == level).count() + start;
        let atoms: Vec<AtomId> = out.order.get(start..end).unwrap_or(&[]).to_vec();
        start = end;
        // Possible first: certainty on this level denies only what lower levels settled.
        let mut open: Vec<u32> =
            atoms.iter().flat_map(|atom| program.by_head.get(atom.0 as usize).into_iter().flatten().copied()).collect();
        open.sort_unstable();
        let mut queue: std::collections::VecDeque<u32> = open.iter().copied().collect();
        while let Some(index) = queue.pop_front() {
            let Some(clause) = program.clauses.get(index as usize) else {
                continue;
            };
            if out.is_possible(clause.head) {
                continue;
            }
            let fires = clause.body.iter().all(
                |&(atom, sign)| {
                    if sign { out.is_possible(atom) } else { !out.is_certain(atom) }
                },
            );
            if fires {
                set(&mut out.possible, clause.head.0 as usize, true);
                queue.extend(uses.get(clause.head.0 as usize).into_iter().flatten().copied().filter(|&next| {
                    program.clauses.get(next as usize).is_some_and(|next| out.level_of(next.head) == level)
                }));
            }
        }
        let mut queue: std::collections::VecDeque<u32> = open.into_iter().collect();
        while let Some(index) = queue.pop_front() {
            let Some(clause) = program.clauses.get(index as usize) else {
                continue;
            };
            if out.is_certain(clause.head) {
                continue;
            }
            let fires = clause.body.iter().all(
                |&(atom, sign)| {
                    if sign { out.is_certain(atom) } else { !out.is_possible(atom) }
                },
            );
            if fires {
                rank += 1;
                set(&mut out.certain, clause.head.0 as usize, true);
                set(&mut out.rank, clause.head.0 as usize, rank);
                queue.extend(uses.get(clause.head.0 as usize).into_iter().flatten().copied().filter(|&next| {
                    program.clauses.get(next as usize).is_some_and(|next| out.level_of(next.head) == level)
                }));
            }
        }
    }
    Some(out)
}

/// For each atom, the clauses whose body names it without denial.
fn uses(program: &Program) -> Vec<Vec<u32>> {
    let mut uses = vec![Vec::new(); program.claims.len()];
    for (index, clause) in program.clauses.iter().enumerate() {
        for &(atom, sign) in &clause.body {
            if sign && let Some(list) = uses.get_mut(atom.0 as usize) {
                list.push(index as u32);
            }
        }
    }
    uses
}

fn set<T>(list: &mut [T], index: usize, value: T) {
    if let Some(place) = list.get_mut(index) {
        *place = value;
    }
}
