//! How what is due is carried out: what texts tell, with what is known of it.

use knockon_rules::NotInForce;
use knockon_terms::reading::{carrying_out_head, condition, instructed};
use knockon_terms::resolved::{CarryingOut, Condition, Instructed, Instruction};

use super::Decider;
use crate::answer::{DutyVerdict, How, HowLine, Met, Truth, Verdict};
use crate::atoms::Lit;
use crate::ground::{Instructions, Part, Told};

impl Decider<'_> {
    /// Adds to each duty that is still to be met what texts tell of it, in the order of the texts' places.
    pub(super) fn how(&self, duties: &mut [DutyVerdict]) {
        for duty in duties {
            if duty.verdict == Verdict::NotNeeded || matches!(duty.met, Met::Yes(_)) {
                continue;
            }
            let key = duty.key();
            let told = self.grounded.instructions.iter().filter(|told| key.ways().any(|way| way == told.of));
            duty.how = told.filter_map(|told| self.told_by(told)).collect();
            duty.how.sort_by(|one, two| (&one.name, &one.citation).cmp(&(&two.name, &two.citation)));
        }
    }

    fn told_by(&self, told: &Instructions) -> Option<How> {
        let item = self.library.resolved.carrying_out.get(told.item)?;
        let certain = match self.truth(told.scope) {
            Some(false) => return None,
            found => found == Some(true),
        };
        let lines = told.told.iter().flat_map(|clause| self.lines(item, clause)).collect();
        Some(How {
            name: self.naming.duty(told.of.0, told.of.1),
            citation: self.place(&item.cites),
            certain,
            says: item.says.clone(),
            ready: told.ready.map(|ready| self.known(ready)),
            lines,
        })
    }

    fn known(&self, lit: Lit) -> Truth {
        match self.truth(lit) {
            Some(true) => Truth::Yes,
            Some(false) => Truth::No,
            None => Truth::NotKnown,
        }
    }

    /// The lines of one clause; none where it is not told.
    fn lines(&self, item: &CarryingOut, told: &Told) -> Vec<HowLine> {
        let found = item.instructions().find(|(clause, _)| *clause == told.clause);
        let Some((_, Instruction { what, when, span: _ })) = found else { return Vec::new() };
        let only_if = match self.truth(told.when) {
            Some(false) => return Vec::new(),
            Some(true) => None,
            None => when.as_ref().map(|when| self.words_of(item, when)),
        };
        let line = |text: String, holds: Option<Truth>, readings: Vec<String>| HowLine {
            word: what.word(),
            text,
            holds,
            readings,
            condition: only_if.clone(),
        };
        if told.parts.is_empty() {
            return vec![line(instructed(&self.library.resolved, item, what), None, Vec::new())];
        }
        let each = |part: &Part| {
            // One reading does not tell how it is from the beginning to the end.
            let throughout = matches!(what, Instructed::Throughout(_));
            let holds = if throughout { None } else { Some(self.known(part.holds)) };
            line(self.words_of(item, &part.said), holds, self.readings(part))
        };
        told.parts.iter().map(each).collect()
    }

    fn words_of(&self, item: &CarryingOut, said: &Condition) -> String {
        condition(&self.library.resolved, &item.variables, said)
    }

    /// What was measured of what a sentence is about.
    fn readings(&self, part: &Part) -> Vec<String> {
        let readings = part.measures.iter().filter_map(|measure| self.job.measured.get(measure)).flatten();
        readings.map(|(reading, _)| reading.to_string()).collect()
    }

    /// What is said of carrying out a due procedure by a text that does not hold on the day.
    pub(super) fn how_not_in_force(&self, duties: &[DutyVerdict]) -> Vec<String> {
        let due: Vec<_> = duties.iter().flat_map(|duty| duty.key().ways().collect::<Vec<_>>()).collect();
        let not_in_force = self.scoped.carrying_out_not_in_force.iter();
        not_in_force
            .filter_map(|(number, why)| {
                let item = self.library.resolved.carrying_out.get(*number)?;
                if !due.iter().any(|(procedure, _)| *procedure == item.duty.procedure) {
                    return None;
                }
                let head = carrying_out_head(&self.library.resolved, item);
                let place = self.naming.citation(item.cites.source, item.cites.section.as_deref());
                Some(match why {
                    NotInForce::NotYet { from } => format!("{head}, {place}: in force only from {from}"),
                    NotInForce::Replaced { by } => format!("{head}, {place}: replaced by {}", self.source_name(*by)),
                })
            })
            .collect()
    }
}
