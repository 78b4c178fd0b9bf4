//! Values of procedures: one conclusion for each row that may count.

use knockon_terms::resolved::{Case, CaseKey, Form, Rule, SetTo, Subject, Value};
use knockon_terms::{Detail, TermId};

use super::{Bound, Grounder};
use crate::atoms::{Conclusion, Lit, Said};
use crate::fact::{Ask, Domain, Fact};

impl Grounder<'_> {
    pub(super) fn value(
        &mut self,
        of_rule: &Rule,
        number: u32,
        value: &Value,
        bound: &Bound,
        base: &Conclusion,
        holds: &[Lit],
    ) {
        let Some(of) = self.of(&value.duty, bound) else { return };
        let rule = base.rule;
        let places = self.places(value.by);
        let mut ways: Vec<(Lit, Option<TermId>)> = vec![(Lit::True, None)];
        if !places.is_empty() {
            // Where the places differ the text does not say which counts.
            let variable = self.out.program.variable(Fact::WhichPlace(rule, number), || Domain::Terms(places.clone()));
            ways = places
                .iter()
                .map(|&place| (self.out.program.leaf(variable, &Ask::OneOf(vec![place])), Some(place)))
                .collect();
        }
        for (counts, place) in ways {
            let named: Vec<Lit> =
                value.rows.iter().map(|row| self.in_case(of_rule, value.by, place, &row.case, bound)).collect();
            for (index, row) in value.rows.iter().enumerate() {
                let case: Vec<Lit> = match row.case {
                    Case::Other => named
                        .iter()
                        .zip(&value.rows)
                        .filter(|(_, other)| other.case != Case::Other)
                        .map(|(lit, _)| lit.denied())
                        .collect(),
                    _ => named.get(index).copied().into_iter().collect(),
                };
                let mut body: Vec<Lit> = holds.iter().copied().chain([counts]).chain(case).collect();
                if row.set == SetTo::Gap {
                    let variable = self.out.program.variable(Fact::LeftOpen(rule, number), || Domain::YesNo);
                    body.push(self.out.program.leaf(variable, &Ask::Yes));
                }
                let said = Said::Set { measure: value.measure, conclusion: number, row: index as u32 };
                let stated = Conclusion { said, what: value.duty.procedure, of, ..base.clone() };
                self.add(number, stated, body, rule, false);
            }
        }
    }

    /// The places at which a choice without a place may count.
    fn places(&self, by: Option<CaseKey>) -> Vec<TermId> {
        match by {
            Some(CaseKey::Choice(choice, None)) => match &self.vocabulary.term(choice).detail {
                Detail::Choice { places, .. } => places.clone(),
                _ => Vec::new(),
            },
            _ => Vec::new(),
        }
    }

    fn in_case(&mut self, rule: &Rule, by: Option<CaseKey>, place: Option<TermId>, case: &Case, bound: &Bound) -> Lit {
        match (case, by) {
            (Case::Values(values), Some(CaseKey::Choice(choice, of))) => {
                let of = place.or_else(|| of.and_then(|subject| self.term(subject, bound)));
                let lits = values.iter().map(|&value| self.chosen(choice, of, value)).collect();
                self.out.program.any(lits)
            }
            (Case::Within(ranges, _), Some(CaseKey::Measure(measure, of))) => {
                let of: Option<TermId> = of.and_then(|subject: Subject| self.term(subject, bound));
                self.measured_in(measure, of, ranges.clone())
            }
            (Case::Years(years), _) => self.sentence(rule, &Form::ModelYear(*years), bound, false),
            (Case::Days(days), _) => self.sentence(rule, &Form::Built(*days), bound, false),
            _ => Lit::True,
        }
    }

    /// That a measured value of the car lies in one of these ranges.
    fn measured_in(&mut self, measure: TermId, of: Option<TermId>, ranges: Vec<knockon_measure::Range>) -> Lit {
        let readings = self.job.measured.get(&(measure, of, false)).cloned().unwrap_or_default();
        let ask = Ask::Within(ranges);
        let mut lits = Vec::new();
        for reading in 0..readings.len().max(1) {
            let read = readings.get(reading).map(|(reading, _)| reading.interval());
            let fact = Fact::Measure { measure, of, change: false, reading };
            let variable = self.out.program.variable(fact, || Domain::Number(read));
            lits.push(self.out.program.leaf(variable, &ask));
        }
        self.out.program.any(lits)
    }
}
