//! Which of two texts prevails on a day, as the texts themselves say.

use std::collections::{BTreeMap, BTreeSet};

use knockon_measure::Date;
use knockon_terms::resolved::{Above, Citation, Source, SourceId, said_order};

use crate::standing::When;

/// The order of the texts in force on a day. It passes on: who prevails over a text prevails over whom that prevails over.
#[derive(Clone, Debug, Default)]
pub struct Order {
    /// For who prevails and over whom: the first step of the way, which says so.
    above: BTreeMap<(SourceId, SourceId), Above>,
}

impl Order {
    /// What the texts in force on a day say. The circles that could be in it are refused when they are loaded.
    pub fn new(sources: &[Source], day: Date) -> Order {
        let in_force = |id: SourceId| sources.get(id.0 as usize).is_some_and(|source| source.in_force <= day);
        let said: Vec<Above> = said_order(sources).into_iter().filter(|above| in_force(above.by)).collect();
        let mut order = Order::default();
        let starts: BTreeSet<SourceId> = said.iter().map(|above| above.strong).collect();
        for start in starts {
            let mut open: Vec<(SourceId, &Above)> =
                said.iter().filter(|above| above.strong == start).map(|above| (above.weak, above)).collect();
            while let Some((weak, first)) = open.pop() {
                if weak != start && !order.above.contains_key(&(start, weak)) {
                    order.above.insert((start, weak), first.clone());
                    open.extend(said.iter().filter(|above| above.strong == weak).map(|above| (above.weak, first)));
                }
            }
        }
        order
    }

    /// The clause by which one source prevails over another.
    pub fn by(&self, strong: SourceId, weak: SourceId) -> Option<&Above> {
        self.above.get(&(strong, weak))
    }

    /// Whether no text says anything of any other.
    pub fn is_empty(&self) -> bool {
        self.above.is_empty()
    }

    /// When what one place says prevails over what another says, and by which clause. What is carried over stands
    /// where the latest text stands that carries it over; where that text says nothing of the other, where it stood.
    pub fn prevails(
        &self,
        strong: (&Citation, &[(SourceId, When)]),
        weak: (&Citation, &[(SourceId, When)]),
    ) -> (When, Option<&Above>) {
        let never = (When::Never, None);
        if self.is_empty() || strong.0.source == weak.0.source {
            return never;
        }
        let voices = |(citation, carried): (&Citation, &[(SourceId, When)])| -> Vec<(SourceId, When)> {
            carried.iter().cloned().chain([(citation.source, When::Always)]).collect()
        };
        let (strong, weak) = (voices(strong), voices(weak));
        let mut pairs: Vec<(usize, usize)> =
            (0..strong.len()).flat_map(|one| (0..weak.len()).map(move |two| (one, two))).collect();
        pairs.sort_by_key(|&(one, two)| (one + two, one));
        let (mut ways, mut settled, mut clause) = (Vec::new(), Vec::new(), None);
        for (one, two) in pairs {
            let (Some((a, when_a)), Some((b, when_b))) = (strong.get(one), weak.get(two)) else { continue };
            let both = When::all([when_a.clone(), when_b.clone()]);
            let (over, under) = (self.by(*a, *b), self.by(*b, *a));
            if over.is_some() {
                ways.push(When::all([both.clone(), When::any(settled.clone()).denied()]));
                clause = clause.or(over);
            }
            // One text that says both says nothing of which prevails.
            if over.is_some() || under.is_some() || a == b {
                settled.push(both);
            }
        }
        (When::any(ways), clause)
    }
}
