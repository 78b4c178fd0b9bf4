//! The answer and the job for machines: versioned forms, everything by its name.
//!
//! The shape is described in `lang/reference/json.md`. Keys keep the order of the fields here. A field is
//! never given another meaning within a version; fields may be added.

mod branches;
mod forms;
mod job;
mod scans;
mod values;

use knockon_proof::{NodeId, ProofGraph};
use knockon_rules::Library;
use knockon_terms::resolved::When;

use crate::answer::{
    Answer, CameOff, CarriedOutAs, CauseVerdict, ChainStep, DoneBy, DutyVerdict, EventWords, FactWords, Held, How,
    HowLine, Met, Off, OperationVerdict, Order, Question, Reason, Silence, Told, TouchedPart, Truth,
};
use crate::atoms::Said;
use crate::combine::Permitted;
use crate::decide::Decided;
use crate::event::EventId;
use crate::naming::Naming;

pub use forms::AnswerForm;
use forms::{
    CameOffForm, CarriedOutAsForm, CauseForm, DoneByForm, DutyForm, EventForm, HeldForm, HowForm, HowLineForm, MetForm,
    NodeForm, OffForm, OperationForm, OrderForm, OutcomeForm, QuestionForm, ReasonForm, SilenceForm, SourceForm,
    StepForm, ToldForm, ToolForm, TouchedForm, WayForm,
};
pub use job::{JobForm, job};

/// The version of both forms.
pub const VERSION: u32 = 1;

/// The form of a decided job's answer; the job as folded is inside it. `tool` is the name and version of the
/// program that decided.
pub fn answer(library: &Library, decided: &Decided, tool: (&str, &str)) -> AnswerForm {
    let former = Former { naming: Naming { library, job: &decided.job, events: &decided.grounded.events } };
    // Taken apart whole, so that a field added to the answer cannot be forgotten here.
    let Answer {
        job: _,
        vehicle,
        as_of,
        library: digest,
        duties,
        values,
        silences,
        no_view,
        operations,
        orders,
        branches,
        questions,
        asks,
        warnings,
        came_off,
        touched,
        events,
        assumptions,
        limits,
        not_in_force,
        proofs,
    } = &decided.answer;
    AnswerForm {
        form: "knockon-answer",
        version: VERSION,
        tool: ToolForm { name: tool.0.to_string(), version: tool.1.to_string() },
        library: format!("{digest:016x}"),
        as_of: as_of.to_string(),
        vehicle: vehicle.clone(),
        complete: decided.answer.is_complete(),
        duties: duties.iter().map(|duty| former.duty(duty)).collect(),
        values: values.iter().map(|value| former.value(value)).collect(),
        silences: silences.iter().map(|silence| former.silence(silence)).collect(),
        no_view: no_view.clone(),
        operations: operations.iter().map(|operation| former.operation(operation)).collect(),
        orders: orders.iter().map(|order| former.order(order)).collect(),
        branches: branches.iter().map(|branch| former.branch(branch)).collect(),
        questions: questions.iter().map(question).collect(),
        asks: asks.iter().map(told).collect(),
        warnings: warnings.iter().map(told).collect(),
        came_off: came_off.iter().map(came_off_form).collect(),
        touched: touched.iter().map(|touched| former.touched(touched)).collect(),
        events: events.iter().map(event).collect(),
        assumptions: assumptions.clone(),
        limits: limits.clone(),
        not_in_force: not_in_force.clone(),
        proofs: nodes(proofs),
        job: job(library, &decided.job),
    }
}

struct Former<'a> {
    naming: Naming<'a>,
}

impl Former<'_> {
    fn duty(&self, duty: &DutyVerdict) -> DutyForm {
        let DutyVerdict {
            procedure,
            of,
            or,
            name,
            verdict,
            floor,
            outcomes,
            turns_on,
            causes,
            met,
            carried_out_as,
            revised_since,
            how,
            held,
            off,
            exact,
            proof,
        } = duty;
        let (met, line) = match met {
            Met::No => ("no", None),
            Met::Yes(line) => ("yes", Some(line.clone())),
            Met::Unclear(line) => ("unclear", Some(line.clone())),
        };
        DutyForm {
            name: name.clone(),
            procedure: self.naming.term(*procedure).to_string(),
            of: of.map(|of| self.naming.term(of).to_string()),
            or: or
                .iter()
                .map(|(procedure, of)| WayForm {
                    procedure: self.naming.term(*procedure).to_string(),
                    of: of.map(|of| self.naming.term(of).to_string()),
                })
                .collect(),
            verdict: verdict.words(),
            floor: *floor,
            outcomes: outcomes
                .iter()
                .map(|(outcome, condition)| OutcomeForm { outcome: outcome.words(), condition: condition.clone() })
                .collect(),
            turns_on: names(turns_on),
            met: MetForm { met, line },
            carried_out_as: carried_out_as
                .iter()
                .map(|CarriedOutAs { ways, citation, certain }| CarriedOutAsForm {
                    ways: ways.clone(),
                    by: citation.clone(),
                    certain: *certain,
                })
                .collect(),
            how: how.iter().map(how_form).collect(),
            held: held.iter().map(held_form).collect(),
            revised_since: revised_since.clone(),
            off: off.iter().map(off_form).collect(),
            causes: causes.iter().map(|cause| self.cause(cause)).collect(),
            exact: *exact,
            proof: proof.map(number),
        }
    }

    fn cause(&self, cause: &CauseVerdict) -> CauseForm {
        let CauseVerdict { causes, words, outcomes, chain, reasons } = cause;
        CauseForm {
            because_of: causes.iter().map(|&event| self.naming.event(event)).collect(),
            words: words.clone(),
            outcomes: outcomes.iter().map(|outcome| outcome.words()).collect(),
            chain: steps(chain),
            reasons: reasons.iter().map(|reason| self.reason(reason)).collect(),
        }
    }

    fn reason(&self, reason: &Reason) -> ReasonForm {
        let Reason {
            rule,
            name,
            citation,
            rank: _,
            is_makers: _,
            said,
            certain,
            rests_on,
            words,
            left_open,
            says,
            read_as,
            could_be_read_as,
            because,
            without_it,
            weak,
            gave_way_to,
            by_text,
            unless,
            proof,
        } = reason;
        let library = self.naming.library;
        let source = library.rule(*rule).and_then(|rule| {
            let source = library.source(rule.cites.source)?;
            Some(SourceForm {
                name: source.name.clone(),
                rank: source.rank.words(),
                title: source.title.clone(),
                issuer: source.issuer.clone(),
                of: source.revised.unwrap_or(source.issued).to_string(),
                section: rule.cites.section.clone(),
            })
        });
        ReasonForm {
            said: said_word(said),
            rule: name.clone(),
            source,
            citation: citation.clone(),
            certain: *certain,
            rests_on: steps(rests_on),
            words: words.clone(),
            left_open: left_open.clone(),
            says: says.clone(),
            read_as: read_as.clone(),
            could_be_read_as: could_be_read_as.clone(),
            because: because.clone(),
            without_it: without_it.clone(),
            may_not_waive: weak.clone(),
            gave_way_to: gave_way_to.clone(),
            gave_way_by: by_text.clone(),
            unless: unless.clone(),
            proof: proof.map(number),
        }
    }

    fn silence(&self, silence: &Silence) -> SilenceForm {
        let Silence { sensor: _, name, event: _, because_of, chain, certain, turns_on, read } = silence;
        SilenceForm {
            sensor: name.clone(),
            because_of: because_of.clone(),
            certain: *certain,
            turns_on: names(turns_on),
            chain: steps(chain),
            looked_through: read.iter().map(|read| read.words.clone()).collect(),
        }
    }

    fn operation(&self, operation: &OperationVerdict) -> OperationForm {
        let OperationVerdict {
            operation,
            part,
            zone,
            name,
            concerns_this_job,
            verdict,
            outcomes,
            turns_on,
            reasons,
            done_by,
        } = operation;
        OperationForm {
            name: name.clone(),
            operation: self.naming.term(*operation).to_string(),
            part: self.naming.term(*part).to_string(),
            zone: zone.map(|zone| self.naming.term(zone).to_string()),
            concerns_this_job: *concerns_this_job,
            verdict: verdict.words(),
            outcomes: outcomes.iter().map(|outcome| permitted_word(*outcome)).collect(),
            turns_on: names(turns_on),
            reasons: reasons.iter().map(|reason| self.reason(reason)).collect(),
            done_by: done_by
                .iter()
                .map(|DoneBy { name, citation, certain }| DoneByForm {
                    procedure: name.clone(),
                    by: citation.clone(),
                    certain: *certain,
                })
                .collect(),
        }
    }

    fn order(&self, order: &Order) -> OrderForm {
        let Order { first, second, words: _, by, certain } = order;
        OrderForm {
            first: self.naming.duty(first.0, first.1),
            second: self.naming.duty(second.0, second.1),
            by: by.clone(),
            certain: *certain,
        }
    }

    fn touched(&self, touched: &TouchedPart) -> TouchedForm {
        let TouchedPart { part, event, certain } = touched;
        TouchedForm { part: self.naming.term(*part).to_string(), because_of: self.event(*event), certain: *certain }
    }

    fn event(&self, event: EventId) -> String {
        self.naming.event(event)
    }
}

fn held_form(held: &Held) -> HeldForm {
    let Held { rule, citation, until, known } = held;
    HeldForm { until: until.clone(), known: *known, rule: rule.clone(), citation: citation.clone() }
}

fn question(question: &Question) -> QuestionForm {
    let Question { fact, text, decides, cannot_tell } = question;
    QuestionForm {
        fact: fact.name.clone(),
        question: text.clone(),
        decides: decides.clone(),
        cannot_tell: *cannot_tell,
    }
}

fn came_off_form(came_off: &CameOff) -> CameOffForm {
    let CameOff { event: _, work, offered } = came_off;
    CameOffForm { work: work.clone(), offered: offered.iter().map(|(_, words)| words.clone()).collect() }
}

fn event(event: &EventWords) -> EventForm {
    let EventWords { words, origin, certain } = event;
    EventForm { what: words.clone(), known_by: origin.clone(), certain: *certain }
}

fn steps(chain: &[ChainStep]) -> Vec<StepForm> {
    chain.iter().map(|step| StepForm { what: step.words.clone(), by: step.by.clone() }).collect()
}

fn names(facts: &[FactWords]) -> Vec<String> {
    facts.iter().map(|fact| fact.name.clone()).collect()
}

fn nodes(graph: &ProofGraph) -> Vec<NodeForm> {
    graph
        .iter()
        .map(|(id, node)| NodeForm {
            node: number(id),
            step: node.step.word(),
            claim: node.claim.clone(),
            by: node.by.clone(),
            from: node.from.iter().map(|&from| number(from)).collect(),
        })
        .collect()
}

fn told(told: &Told) -> ToldForm {
    let Told { text, rule, citation, certain } = told;
    ToldForm { text: text.clone(), rule: rule.clone(), citation: citation.clone(), certain: *certain }
}

fn how_form(how: &How) -> HowForm {
    let How { name, citation, certain, says, ready, lines } = how;
    let line = |line: &HowLine| {
        let HowLine { word, text, holds, readings, condition } = line;
        HowLineForm {
            clause: word,
            text: text.clone(),
            holds: holds.map(Truth::words),
            measured: readings.clone(),
            condition: condition.clone(),
        }
    };
    HowForm {
        duty: name.clone(),
        citation: citation.clone(),
        certain: *certain,
        says: says.clone(),
        ready: ready.map(Truth::words),
        lines: lines.iter().map(line).collect(),
    }
}

fn off_form(off: &Off) -> OffForm {
    let Off { system: _, name, rule, citation, certain } = off;
    OffForm { system: name.clone(), rule: rule.clone(), citation: citation.clone(), certain: *certain }
}

fn number(node: NodeId) -> u32 {
    node.0
}

fn said_word(said: &Said) -> &'static str {
    match said {
        Said::Ask => "requires",
        Said::Advise => "advises",
        Said::Waive => "waives",
        Said::Excuse => "excuses",
        Said::Forbid => "forbids",
        Said::Allow => "allows",
        Said::Hold => "holds",
        Said::Before => "orders",
        Said::Question => "asks",
        Said::Warn => "warns",
        Said::Set { .. } => "sets",
        Said::Off => "switches off",
    }
}

fn permitted_word(permitted: Permitted) -> &'static str {
    match permitted {
        Permitted::Silent => "silent",
        Permitted::Allowed => "allowed",
        Permitted::Conflict => "conflict",
        Permitted::Forbidden => "forbidden",
    }
}

/// A time, as far as it is known.
fn when(at: &When) -> String {
    match at.clock {
        Some(clock) => format!("{} {clock}", at.date),
        None => at.date.to_string(),
    }
}
