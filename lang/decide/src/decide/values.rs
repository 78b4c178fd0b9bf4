//! The values that texts set for a procedure that is due or in hand, and what was measured against them.

use std::collections::BTreeSet;

use knockon_measure::{Quantity, Range, Reading, Truth};
use knockon_terms::TermId;
use knockon_terms::resolved::{ConclusionKind, Rank, SetTo, SetValue};

use super::Decider;
use crate::answer::{DutyVerdict, MeasuredValue, Sentence, ValueAnswer, ValueOutcome, ValueVerdict, Verdict, Wanted};
use crate::atoms::{AtomId, Claim, Conclusion, Said};
use crate::precedence::{is_so, value_defeats};

/// A value of a procedure: the procedure, what it is of, the measure.
type Key = (TermId, Option<TermId>, TermId);

/// What one completion makes of a value.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
enum Outcome {
    /// The procedure is not due, and not in hand: nobody asks.
    NotDue,
    /// No text gives one.
    NotGiven,
    /// The text leaves it open.
    LeftOpen,
    /// These stand; several are a conflict.
    Stands(Vec<Standing>),
}

/// One value that stands, as places in the list of all that are said.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
struct Standing {
    /// Which gives the value.
    value: usize,
    /// Which gives the limit.
    limit: usize,
    /// The limit is the shop's own, where no text gives one.
    own: bool,
}

impl Decider<'_> {
    pub(super) fn values(&mut self, duties: &[DutyVerdict]) -> Vec<ValueVerdict> {
        let keys: BTreeSet<Key> = self
            .grounded
            .program
            .conclusions
            .iter()
            .filter(|conclusion| self.evaluated.is_possible(conclusion.atom))
            .filter_map(|conclusion| match conclusion.said {
                Said::Set { measure, .. } => Some((conclusion.what, conclusion.of, measure)),
                _ => None,
            })
            .chain(self.job.values.iter().map(|&((measure, procedure, of), ..)| (procedure, of, measure)))
            .collect();
        let mut all: Vec<ValueVerdict> = keys.into_iter().filter_map(|key| self.one_value(key, duties)).collect();
        all.sort_by(|one, two| one.name.cmp(&two.name));
        all
    }

    fn one_value(&mut self, key: Key, duties: &[DutyVerdict]) -> Option<ValueVerdict> {
        let (procedure, of, measure) = key;
        let in_hand = self.in_hand(procedure, of);
        let due = duties
            .iter()
            .any(|duty| duty.verdict != Verdict::NotNeeded && duty.key().ways().any(|way| way == (procedure, of)));
        if !due && !in_hand {
            return None;
        }
        let library = self.library;
        let grounded = self.grounded;
        let said: Vec<(&Conclusion, SetTo)> = grounded
            .program
            .conclusions
            .iter()
            .filter(|conclusion| {
                (conclusion.what, conclusion.of) == (procedure, of) && self.evaluated.is_possible(conclusion.atom)
            })
            .filter_map(|conclusion| match conclusion.said {
                Said::Set { measure: set, conclusion: number, row } if set == measure => {
                    let rule = library.rule(conclusion.rule)?;
                    match &rule.conclusions.get(number as usize)?.kind {
                        ConclusionKind::Set(value) => Some((conclusion, value.rows.get(row as usize)?.set.clone())),
                        _ => None,
                    }
                }
                _ => None,
            })
            .collect();
        let mut atoms: Vec<AtomId> = said.iter().map(|(conclusion, _)| conclusion.atom).collect();
        for (at, (one, _)) in said.iter().enumerate() {
            for (two, _) in said.iter().skip(at + 1) {
                atoms.extend(grounded.text_order.atoms(one.rule, two.rule));
            }
        }
        let is_due = match in_hand {
            true => None,
            false => grounded.program.find(&Claim::Due { procedure, of, causes: None }),
        };
        atoms.extend(is_due);
        atoms.sort();
        atoms.dedup();
        let measured_name = self.naming.term(measure).to_string();
        let name = format!("{measured_name} of {}", self.naming.duty(procedure, of));
        let outcome = |holds: &dyn Fn(AtomId) -> bool| {
            if is_due.is_some_and(|due| !holds(due)) {
                return Outcome::NotDue;
            }
            let mut standing: Vec<(usize, Rank)> = Vec::new();
            for (index, (one, _)) in said.iter().enumerate().filter(|(_, (one, _))| holds(one.atom)) {
                let beaten = said.iter().any(|(other, _)| {
                    holds(other.atom) && is_so(value_defeats(library, &grounded.text_order, other, one), holds)
                });
                if !beaten {
                    let rank = library.source(one.source).map_or(Rank::CommonPractice, |source| source.rank);
                    standing.push((index, rank));
                }
            }
            stands(&said, &standing)
        };
        let alike = |one: &Outcome, two: &Outcome| one == two || *one == Outcome::NotDue || *two == Outcome::NotDue;
        let settled = self.settle(&atoms, &name, &outcome, &alike);
        let outcomes: Vec<(Outcome, Vec<String>)> = settled
            .outcomes
            .iter()
            .filter(|(outcome, _)| **outcome != Outcome::NotDue)
            .map(|(outcome, completion)| (outcome.clone(), self.completion(completion, &settled.turns_on)))
            .collect();
        let shown: Vec<(ValueOutcome, Vec<String>)> =
            outcomes.iter().map(|(outcome, when)| (in_answer(&said, outcome), when.clone())).collect();
        let verdict = match shown.as_slice() {
            [] => return None,
            [(ValueOutcome::NotGiven, _)] if settled.whole => ValueAnswer::NotGiven,
            [(ValueOutcome::Stands(wanted), _)] if settled.whole => match wanted.as_slice() {
                [Wanted { value: None }] => ValueAnswer::CannotBeSet,
                [_] => ValueAnswer::Given,
                _ => ValueAnswer::Conflict,
            },
            _ => ValueAnswer::Open,
        };
        let readings: Vec<(Reading, usize)> = self
            .job
            .values
            .iter()
            .filter(|(of_key, ..)| *of_key == (measure, procedure, of))
            .map(|&(_, reading, line)| (reading, line))
            .collect();
        if verdict == ValueAnswer::NotGiven && readings.is_empty() {
            return None;
        }
        let measured = readings.into_iter().map(|(reading, line)| self.against(reading, line, &shown)).collect();
        let turns_on = match verdict {
            ValueAnswer::Open if settled.turns_on.is_empty() => settled.over.clone(),
            ValueAnswer::Open => settled.turns_on.clone(),
            _ => Vec::new(),
        };
        let mut reasons = Vec::new();
        for (conclusion, set) in &said {
            let mut reason = self.reason(conclusion, &[]);
            let stronger = said.iter().find(|(other, _)| {
                self.evaluated.is_certain(other.atom)
                    && self.truth(value_defeats(library, &grounded.text_order, other, conclusion)) == Some(true)
            });
            reason.gave_way_to = stronger.and_then(|(other, _)| library.rule(other.rule)).map(|rule| rule.name.clone());
            reasons.push((knockon_terms::reading::set_to(set), reason));
        }
        reasons.sort_by(|one, two| (&one.1.name, &one.0).cmp(&(&two.1.name, &two.0)));
        Some(ValueVerdict {
            measure,
            procedure,
            of,
            name,
            measure_name: measured_name,
            in_hand,
            verdict,
            outcomes: shown,
            turns_on: self.facts(&turns_on),
            reasons,
            measured,
        })
    }

    fn in_hand(&self, procedure: TermId, of: Option<TermId>) -> bool {
        self.job.in_hand.contains(&(procedure, of))
            || self.job.done.iter().any(|done| (done.procedure, done.of) == (procedure, of))
            || self.job.values.iter().any(|((_, measured, on), ..)| (*measured, *on) == (procedure, of))
    }

    /// A reading against every value that may be asked for: what is the same by all of them is so.
    fn against(&self, reading: Reading, line: usize, outcomes: &[(ValueOutcome, Vec<String>)]) -> MeasuredValue {
        let mut each: Vec<(Sentence, String)> = Vec::new();
        for (outcome, _) in outcomes {
            let one = match outcome {
                ValueOutcome::NotGiven => (Sentence::CannotSay, "no value is given".to_string()),
                ValueOutcome::LeftOpen => (Sentence::CannotSay, "the text leaves the value open".to_string()),
                ValueOutcome::Stands(wanted) => match wanted.as_slice() {
                    [one] => one_sentence(reading, one),
                    several => {
                        let words: Vec<String> = several
                            .iter()
                            .map(|one| {
                                let (sentence, why) = one_sentence(reading, one);
                                let why = if why.is_empty() { String::new() } else { format!(" ({why})") };
                                format!("{}{why} of {}", sentence.words(), one.words())
                            })
                            .collect();
                        (Sentence::InConflict, words.join("; "))
                    }
                },
            };
            if !each.contains(&one) {
                each.push(one);
            }
        }
        let first = each.first().cloned().unwrap_or((Sentence::CannotSay, String::new()));
        let (sentence, why) = if each.iter().all(|(sentence, _)| *sentence == first.0) {
            let whys: Vec<&str> = each.iter().map(|(_, why)| why.as_str()).filter(|why| !why.is_empty()).collect();
            (first.0, whys.join(", or "))
        } else {
            (Sentence::CannotSay, "which value is asked for is open".to_string())
        };
        MeasuredValue { reading, line, by: self.naming.line(line), sentence, why }
    }
}

/// What stands once equal values are one, and a policy has narrowed what others give.
fn stands(said: &[(&Conclusion, SetTo)], standing: &[(usize, Rank)]) -> Outcome {
    let set = |index: usize| said.get(index).map(|(_, set)| set);
    let gaps = |index: usize| set(index) == Some(&SetTo::Gap);
    let given: Vec<(usize, Rank)> = standing.iter().copied().filter(|&(index, _)| !gaps(index)).collect();
    if given.is_empty() {
        return if standing.is_empty() { Outcome::NotGiven } else { Outcome::LeftOpen };
    }
    let others: Vec<usize> =
        given.iter().filter(|(_, rank)| *rank != Rank::ShopPolicy).map(|&(index, _)| index).collect();
    let own: Vec<usize> = given.iter().filter(|(_, rank)| *rank == Rank::ShopPolicy).map(|&(index, _)| index).collect();
    if others.is_empty() {
        return Outcome::Stands(merged(said, &own));
    }
    let mut out = merged(said, &others);
    // A policy may narrow what is good, and does nothing else.
    for policy in own {
        let Some(SetTo::To(narrow)) = set(policy) else { continue };
        let Some(limit) = narrow.limit else { continue };
        for one in &mut out {
            let (Some(SetTo::To(value)), Some(SetTo::To(known))) = (set(one.value), set(one.limit)) else { continue };
            if value.value != narrow.value {
                continue;
            }
            match known.limit {
                Some(wide) if wide.covers(&limit) => one.limit = policy,
                Some(_) => {}
                None => {
                    one.limit = policy;
                    one.own = true;
                }
            }
        }
    }
    Outcome::Stands(out)
}

/// Equal values as one; a text that gives no limit goes with one that does.
fn merged(said: &[(&Conclusion, SetTo)], indexes: &[usize]) -> Vec<Standing> {
    let set = |index: usize| said.get(index).map(|(_, set)| set);
    let mut out: Vec<Standing> = Vec::new();
    let limited = |index: usize| matches!(set(index), Some(SetTo::To(SetValue { limit: Some(_), .. })));
    for &index in
        indexes.iter().filter(|&&index| limited(index)).chain(indexes.iter().filter(|&&index| !limited(index)))
    {
        let same = out.iter().any(|known| match (set(known.value), set(index)) {
            (Some(SetTo::To(one)), Some(SetTo::To(two))) => {
                one.value == two.value && (two.limit.is_none() || one.limit == two.limit)
            }
            (one, two) => one == two,
        });
        if !same {
            out.push(Standing { value: index, limit: index, own: false });
        }
    }
    out.sort();
    out
}

fn in_answer(said: &[(&Conclusion, SetTo)], outcome: &Outcome) -> ValueOutcome {
    match outcome {
        Outcome::NotDue | Outcome::NotGiven => ValueOutcome::NotGiven,
        Outcome::LeftOpen => ValueOutcome::LeftOpen,
        Outcome::Stands(all) => {
            let to = |index: usize| match said.get(index) {
                Some((_, SetTo::To(value))) => Some(value.clone()),
                _ => None,
            };
            let wanted = all.iter().map(|one| Wanted {
                value: to(one.value).map(|value| {
                    let limit = to(one.limit).unwrap_or_else(|| value.clone());
                    (value.value, limit.limit, limit.written, one.own)
                }),
            });
            let mut wanted: Vec<Wanted> = wanted.collect();
            wanted.sort_by_key(Wanted::words);
            ValueOutcome::Stands(wanted)
        }
    }
}

/// A reading against one value.
fn one_sentence(reading: Reading, wanted: &Wanted) -> (Sentence, String) {
    let Some((value, limit, _, own)) = &wanted.value else {
        return (Sentence::CannotSay, "it cannot be set here".to_string());
    };
    let off = off_by(reading, *value);
    let Some(limit) = limit else {
        return (Sentence::CannotSay, format!("no limit given{off}"));
    };
    against_limit(reading, limit, *own, &off)
}

fn against_limit(reading: Reading, limit: &Range, own: bool, off: &str) -> (Sentence, String) {
    match reading.verdict(limit) {
        Truth::No => (Sentence::Outside, off.trim_start_matches(", ").to_string()),
        Truth::CannotSay => {
            (Sentence::CannotSay, "the reading lies across the limit: measure it more closely".to_string())
        }
        Truth::Yes if own => {
            (Sentence::CannotSay, format!("within the shop's own limit, and the text gives none{off}"))
        }
        Truth::Yes => (Sentence::Within, String::new()),
    }
}

/// How far a reading is from what is asked for.
fn off_by(reading: Reading, wanted: Quantity) -> String {
    match reading.value().minus(&wanted) {
        Ok(off) if off.value().is_negative() => {
            off.negated().map_or_else(|_| String::new(), |off| format!(", off by {off}"))
        }
        Ok(off) => format!(", off by {off}"),
        Err(_) => String::new(),
    }
}
