//! From conclusions that hold to a verdict: cause by cause, then the most demanding.

use knockon_rules::Library;
use knockon_terms::TermId;

use crate::atoms::{AtomId, Claim, Conclusion, DutyKey, Lit, Program, Said};
use crate::event::{Causes, EventId};
use crate::precedence::{TextOrder, ask_defeats, covers_causes, is_so, takes_from, waiver_defeats};

/// What one completion makes of a duty, least demanding first.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Outcome {
    /// Nothing is said, and nothing about it is touched.
    Nothing,
    /// Every cause is waived.
    NotNeeded,
    /// Touched, and nobody speaks about it.
    Silent,
    /// A source recommends.
    Advised,
    /// Sources disagree on whether.
    Conflict,
    /// A source asks.
    Required,
}

impl Outcome {
    /// In words.
    pub fn words(self) -> &'static str {
        match self {
            Outcome::Nothing => "nothing asked",
            Outcome::NotNeeded => "not needed",
            Outcome::Silent => "silent",
            Outcome::Advised => "advised",
            Outcome::Conflict => "conflict",
            Outcome::Required => "required",
        }
    }

    /// Whether two outcomes leave the same to do: nothing asked is nothing asked, whoever says so.
    pub fn alike(&self, other: &Outcome) -> bool {
        let class = |outcome: &Outcome| match outcome {
            Outcome::Nothing | Outcome::NotNeeded => Outcome::NotNeeded,
            other => *other,
        };
        class(self) == class(other)
    }
}

/// What one completion makes of an operation.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Permitted {
    /// Nobody speaks of it.
    Silent,
    /// Allowed.
    Allowed,
    /// Sources disagree.
    Conflict,
    /// Forbidden.
    Forbidden,
}

/// A sensor that an event may touch.
#[derive(Clone, Copy, Debug)]
pub struct TouchedSensor {
    /// That the event touches it.
    pub touched: AtomId,
    /// That somebody speaks of it for the event.
    pub spoken: Option<AtomId>,
    /// That it is fitted.
    pub fitted: Lit,
}

/// Everything said about one duty.
#[derive(Clone, Debug)]
pub struct DutyCase<'a> {
    /// What was concluded about it.
    pub conclusions: Vec<&'a Conclusion>,
    /// The different causes.
    pub causes: Vec<Causes>,
    /// For the silence of the sensors it is of: for each event, whether it is touched and somebody speaks.
    pub touched: Vec<TouchedSensor>,
    /// All atoms the verdict looks at.
    pub atoms: Vec<AtomId>,
    order: &'a TextOrder,
}

impl<'a> DutyCase<'a> {
    /// Gathers what is said about a duty.
    pub fn new(
        program: &'a Program,
        order: &'a TextOrder,
        possible: &dyn Fn(AtomId) -> bool,
        duty: &DutyKey,
        sensors: &[(TermId, Lit)],
    ) -> Self {
        let conclusions: Vec<&Conclusion> = program
            .conclusions
            .iter()
            .filter(|conclusion| {
                conclusion.is_about(duty)
                    && matches!(conclusion.said, Said::Ask | Said::Advise | Said::Waive | Said::Excuse)
                    && possible(conclusion.atom)
            })
            .collect();
        let mut causes: Vec<Causes> = conclusions.iter().map(|conclusion| conclusion.causes.clone()).collect();
        causes.sort();
        causes.dedup();
        let mut events: Vec<EventId> = causes.iter().flatten().copied().collect();
        // A waiver for every cause is about all that touches the subject.
        if conclusions.iter().any(|conclusion| conclusion.every_cause && conclusion.would.is_none()) {
            events.extend(program.claims.iter().filter_map(|claim| match claim {
                Claim::Touched(part, event) if duty.ways().any(|(_, of)| of == Some(*part)) => Some(*event),
                _ => None,
            }));
        }
        events.sort();
        events.dedup();
        let mut touched = Vec::new();
        for &(sensor, fitted) in sensors {
            touched.extend(events.iter().filter_map(|&event| {
                let touched = program.find(&Claim::Touched(sensor, event))?;
                Some(TouchedSensor { touched, spoken: program.find(&Claim::Spoken(sensor, event)), fitted })
            }));
        }
        let mut atoms: Vec<AtomId> = conclusions.iter().map(|conclusion| conclusion.atom).collect();
        for sensor in &touched {
            atoms.push(sensor.touched);
            atoms.extend(sensor.spoken);
            if let Lit::Atom(atom, _) = sensor.fitted {
                atoms.push(atom);
            }
        }
        atoms.extend(conclusions.iter().filter_map(|conclusion| conclusion.would));
        atoms.extend(order_atoms(order, &conclusions));
        atoms.sort();
        atoms.dedup();
        DutyCase { conclusions, causes, touched, atoms, order }
    }

    /// The verdict where `holds` says which atoms do.
    pub fn outcome(&self, library: &Library, holds: &dyn Fn(AtomId) -> bool) -> Outcome {
        let verdict =
            self.causes.iter().map(|causes| self.cause(library, causes, holds)).max().unwrap_or(Outcome::Nothing);
        if verdict > Outcome::NotNeeded {
            return verdict;
        }
        // One cause waived does not speak for another of this duty's that nobody speaks of.
        let fitted = |lit: Lit| match lit {
            Lit::True => true,
            Lit::False => false,
            Lit::Atom(atom, sign) => holds(atom) == sign,
        };
        let silent = self
            .touched
            .iter()
            .any(|sensor| fitted(sensor.fitted) && holds(sensor.touched) && !sensor.spoken.is_some_and(holds));
        // A text that may not waive would waive, and does not hold: somebody must look, as with silence, unless another
        // text says the same.
        let look = self.conclusions.iter().any(|weak| {
            weak.would.is_some_and(holds)
                && !holds(weak.atom)
                && !self.conclusions.iter().any(|waiver| {
                    matches!(waiver.said, Said::Waive | Said::Excuse)
                        && holds(waiver.atom)
                        && covers_causes(waiver, weak)
                })
        });
        if silent || look { Outcome::Silent } else { verdict }
    }

    /// The verdict for one cause.
    pub fn cause(&self, library: &Library, causes: &Causes, holds: &dyn Fn(AtomId) -> bool) -> Outcome {
        let said = |wanted: Said| {
            self.conclusions
                .iter()
                .filter(move |conclusion| conclusion.said == wanted && conclusion.causes == *causes)
                .filter(|conclusion| holds(conclusion.atom))
        };
        let asks: Vec<&&Conclusion> = said(Said::Ask).collect();
        let advice: Vec<&&Conclusion> = said(Said::Advise).collect();
        // Waivers that speak of anything asked or advised here, or are themselves for this cause.
        let waivers: Vec<&&Conclusion> = self
            .conclusions
            .iter()
            .filter(|waiver| matches!(waiver.said, Said::Waive | Said::Excuse) && holds(waiver.atom))
            .filter(|waiver| {
                waiver.causes == *causes || asks.iter().chain(&advice).any(|ask| takes_from(library, waiver, ask))
            })
            .collect();
        let standing: Vec<&&&Conclusion> = asks
            .iter()
            .filter(|ask| {
                !waivers.iter().any(|waiver| {
                    takes_from(library, waiver, ask) && is_so(waiver_defeats(library, self.order, waiver, ask), holds)
                })
            })
            .collect();
        if !standing.is_empty() {
            let disputed = waivers.iter().any(|waiver| {
                standing.iter().any(|ask| takes_from(library, waiver, ask))
                    && !standing.iter().any(|ask| {
                        takes_from(library, waiver, ask) && is_so(ask_defeats(library, self.order, ask, waiver), holds)
                    })
            });
            return if disputed { Outcome::Conflict } else { Outcome::Required };
        }
        let advised = advice.iter().any(|advice| {
            !waivers.iter().any(|waiver| {
                takes_from(library, waiver, advice) && is_so(waiver_defeats(library, self.order, waiver, advice), holds)
            })
        });
        if advised {
            return Outcome::Advised;
        }
        if waivers.is_empty() { Outcome::Nothing } else { Outcome::NotNeeded }
    }
}

/// What it turns on which of these prevails by what their texts say.
fn order_atoms(order: &TextOrder, conclusions: &[&Conclusion]) -> Vec<AtomId> {
    let pairs = conclusions
        .iter()
        .enumerate()
        .flat_map(|(at, one)| conclusions.iter().skip(at + 1).flat_map(|two| order.atoms(one.rule, two.rule)));
    pairs.collect()
}

/// Everything said about one operation on one part.
#[derive(Clone, Debug)]
pub struct OperationCase<'a> {
    /// What was concluded about it.
    pub conclusions: Vec<&'a Conclusion>,
    /// That a procedure still to be carried out does it.
    pub done_by: Vec<AtomId>,
    /// All atoms the verdict looks at.
    pub atoms: Vec<AtomId>,
    order: &'a TextOrder,
}

impl<'a> OperationCase<'a> {
    /// Gathers what is said about an operation on a part: in a zone of it, what is said of that zone and of the whole
    /// part; else only what is said without a zone.
    pub fn new(
        program: &'a Program,
        order: &'a TextOrder,
        operation: TermId,
        part: TermId,
        zone: Option<TermId>,
        done_by: Vec<AtomId>,
    ) -> Self {
        let conclusions: Vec<&Conclusion> = program
            .conclusions
            .iter()
            .filter(|conclusion| {
                conclusion.what == operation
                    && conclusion.of == Some(part)
                    && (conclusion.zone.is_none() || conclusion.zone == zone)
                    && matches!(conclusion.said, Said::Forbid | Said::Allow)
            })
            .collect();
        let mut atoms: Vec<AtomId> = conclusions.iter().map(|conclusion| conclusion.atom).collect();
        atoms.extend(order_atoms(order, &conclusions));
        atoms.extend(done_by.iter().copied());
        atoms.sort();
        atoms.dedup();
        OperationCase { conclusions, done_by, atoms, order }
    }

    /// The verdict where `holds` says which atoms do.
    pub fn outcome(&self, library: &Library, holds: &dyn Fn(AtomId) -> bool) -> Permitted {
        let said = |wanted: Said| -> Vec<&&Conclusion> {
            self.conclusions.iter().filter(|conclusion| conclusion.said == wanted && holds(conclusion.atom)).collect()
        };
        let (forbids, allows) = (said(Said::Forbid), said(Said::Allow));
        let forbidden: Vec<_> = forbids
            .iter()
            .filter(|forbid| {
                !allows.iter().any(|allow| is_so(waiver_defeats(library, self.order, allow, forbid), holds))
            })
            .collect();
        let allowed: Vec<_> = allows
            .iter()
            .filter(|allow| !forbids.iter().any(|forbid| is_so(ask_defeats(library, self.order, forbid, allow), holds)))
            .collect();
        match (forbidden.is_empty(), allowed.is_empty()) {
            (false, false) => Permitted::Conflict,
            // What one text forbids another text's procedure does.
            (false, true) if self.done_by.iter().any(|&atom| holds(atom)) => Permitted::Conflict,
            (false, true) => Permitted::Forbidden,
            (true, false) => Permitted::Allowed,
            // Each side beaten by the other cannot be; where nobody is left, nobody speaks.
            (true, true) => Permitted::Silent,
        }
    }
}
