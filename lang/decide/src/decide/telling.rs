//! What rules ask and warn of in their own words, and the systems that are off until a duty is met.

use super::Decider;
use crate::answer::{DutyVerdict, Met, Off, Told, Verdict};
use crate::atoms::{Conclusion, Said};

impl Decider<'_> {
    /// The questions or the warnings, once each: certain where some way of the rule certainly holds.
    pub(super) fn told(&self, said: &Said) -> Vec<Told> {
        let mut all: Vec<Told> = Vec::new();
        for conclusion in self.possible(said) {
            let (Some(text), Some(rule)) = (&conclusion.words, self.library.rule(conclusion.rule)) else { continue };
            let certain = self.evaluated.is_certain(conclusion.atom);
            match all.iter_mut().find(|told| told.text == *text && told.rule == rule.name) {
                Some(told) => told.certain |= certain,
                None => all.push(Told {
                    text: text.clone(),
                    rule: rule.name.clone(),
                    citation: self.naming.citation(rule.cites.source, rule.cites.section.as_deref()),
                    certain,
                }),
            }
        }
        all.sort_by(|one, two| (!one.certain, &one.text, &one.rule).cmp(&(!two.certain, &two.text, &two.rule)));
        all
    }

    /// Names at each duty that is to be met the systems that are off until then.
    pub(super) fn off(&self, duties: &mut [DutyVerdict]) {
        for conclusion in self.possible(&Said::Off) {
            let (Some(until), Some(rule)) = (conclusion.second, self.library.rule(conclusion.rule)) else { continue };
            for duty in duties.iter_mut().filter(|duty| (duty.procedure, duty.of) == until) {
                if duty.verdict == Verdict::NotNeeded || matches!(duty.met, Met::Yes(_)) {
                    continue;
                }
                let due = matches!(duty.verdict, Verdict::Required | Verdict::Conflict | Verdict::Advised);
                let off = Off {
                    system: conclusion.what,
                    name: self.naming.term(conclusion.what).to_string(),
                    rule: rule.name.clone(),
                    citation: self.naming.citation(rule.cites.source, rule.cites.section.as_deref()),
                    certain: due && self.evaluated.is_certain(conclusion.atom),
                };
                match duty.off.iter_mut().find(|known| known.system == off.system && known.rule == off.rule) {
                    Some(known) => known.certain |= off.certain,
                    None => duty.off.push(off),
                }
            }
        }
        for duty in duties {
            duty.off.sort();
        }
    }

    fn possible<'s>(&'s self, said: &'s Said) -> impl Iterator<Item = &'s Conclusion> {
        let all = self.grounded.program.conclusions.iter();
        all.filter(move |conclusion| conclusion.said == *said && self.evaluated.is_possible(conclusion.atom))
    }
}
