//! What the job as given says, and what it leaves unsaid.

use knockon_terms::Class;
use knockon_terms::resolved::{Knowable, Subject};

use super::{Bound, Grounder};

impl Grounder<'_> {
    /// Whether something is known on the job as given. An answer that it cannot be told leaves it unknown.
    pub(super) fn is_known(&self, knowable: &Knowable, bound: &Bound) -> bool {
        let subject = |of: Option<Subject>| of.and_then(|subject| self.term(subject, bound));
        match knowable {
            Knowable::ModelYear => self.scoped.car.year.is_some(),
            Knowable::Built => self.scoped.car.built.is_some(),
            Knowable::Equipped(about) => subject(Some(*about)).is_some_and(|term| self.known_fitted(term).is_some()),
            Knowable::Measure { measure, of, change } => {
                self.job.measured.get(&(*measure, subject(*of), *change)).is_some_and(|readings| !readings.is_empty())
            }
            Knowable::Condition(condition, of) => {
                self.job.conditions.get(&(*condition, subject(*of))).is_some_and(|answered| answered.yes.is_some())
            }
            Knowable::Choice(choice, of) => {
                let of = of.and_then(|subject| self.term(subject, bound));
                self.job.choices.get(&(*choice, of)).is_some_and(|(is, _, _)| is.is_some())
            }
            Knowable::Happens(happens) => {
                let part = subject(happens.subject);
                let said = |what| {
                    let listed = self.job.happened.iter();
                    let happened = listed
                        .into_iter()
                        .any(|(event, _)| event.subject == part && self.vocabulary.counts_as(event.what, what));
                    let looked = self.vocabulary.class(what) == Class::Finding
                        && part.is_some_and(|part| self.job.looked_over(part).is_some());
                    happened || looked || self.job.not_happened.contains_key(&(what, part))
                };
                happens.what.iter().any(|&what| said(what))
            }
        }
    }
}
