//! What the part that goes on, or the one that came off, is like.

use knockon_terms::TermId;
use knockon_terms::resolved::Quality;

use super::{Bound, Grounder, yes_no};
use crate::atoms::{Claim, Lit};
use crate::fact::{Ask, Domain, Fact};

impl Grounder<'_> {
    /// That another part was put on and it, or the one that came off, is so; or (`denied`) that it is not.
    pub(super) fn quality(&mut self, quality: Quality, bound: &Bound, denied: bool) -> Lit {
        let Some(part) = self.term(quality.subject, bound) else { return Lit::False };
        let put_on = self.another_put_on(part);
        if put_on == Lit::False {
            // There are no two parts; that nobody put another on rests on the work list.
            return if denied { self.nothing_unlisted() } else { Lit::False };
        }
        let is_so = self.is_so(quality.new, part, quality.quality);
        if !denied {
            return self.out.program.all(vec![put_on, is_so]);
        }
        let complete = self.nothing_unlisted();
        let never = self.out.program.all(vec![put_on.denied(), complete]);
        self.out.program.any(vec![is_so.denied(), never])
    }

    fn another_put_on(&mut self, part: TermId) -> Lit {
        let mut events = self.by_subject.get(&Some(part)).cloned().unwrap_or_default();
        events.retain(|&event| self.in_sight(event));
        let mut ways = Vec::new();
        for event in events {
            let what = self.out.events.get(event.0 as usize).map(|event| event.what);
            if what.and_then(|what| self.vocabulary.happening(what)).is_some_and(|happening| happening.puts_on) {
                ways.push(Lit::Atom(self.out.program.atom(Claim::Happened(event)), true));
            }
        }
        self.out.program.any(ways)
    }

    fn is_so(&mut self, new: bool, part: TermId, quality: TermId) -> Lit {
        let variable = self.out.program.variable(Fact::Quality { new, part, quality }, || Domain::YesNo);
        if let Some(&(yes, _)) = self.job.qualities.get(&(new, part, quality))
            && let Some(found) = self.out.program.variable_mut(variable)
        {
            found.given = Some(yes_no(yes));
        }
        self.out.program.leaf(variable, &Ask::Yes)
    }
}
