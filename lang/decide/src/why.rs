//! Why: the proof of one verdict as an indented tree, shortest first, down to the lines of the job.
//!
//! What is certain is shown from the answer's own proof graph, so that what a person reads is what a
//! verifier reads. What is open has no proof; there each condition is shown with what is known of it.

mod tree;

use std::collections::BTreeSet;

use knockon_proof::NodeId;
use knockon_rules::Library;
use knockon_text::markup::{Markup, Tag};
use knockon_text::suggest::nearest;

use crate::answer::{CauseVerdict, ChainStep, DutyVerdict, Met, OperationVerdict, Reason, Silence, Verdict};
use crate::atoms::{AtomId, Conclusion, DutyKey, Said};
use crate::decide::Decided;
use crate::naming::Naming;
use crate::proving::Prover;
use tree::depths;

/// How deep a tree is shown. Every further step is in the dump of the proof.
pub const DEEPEST_SHOWN: usize = 16;

/// How many lines one answer may take; a person reads no more.
pub const MOST_LINES: usize = 400;

/// Why a duty, a silent sensor or an operation stands as it does; `words` is its name. Else the names nearest to it.
pub fn why(library: &Library, decided: &Decided, words: &str) -> Result<Markup, Vec<String>> {
    let wanted = plain(words);
    let answer = &decided.answer;
    let mut names: Vec<String> = names(decided);
    if !names.iter().any(|name| plain(name) == wanted) {
        let close = suggestions(&names, &wanted);
        // A part of a name will do where it fits only one.
        match close.as_slice() {
            [only] if !wanted.is_empty() && holds_words(only, &wanted) => names = vec![only.clone()],
            _ => return Err(close),
        }
    } else {
        names.retain(|name| plain(name) == wanted);
    }
    let chosen = |name: &str| names.iter().any(|known| known == name);
    let naming = Naming { library, job: &decided.job, events: &decided.grounded.events };
    let mut teller = Teller::new(library, decided, &naming);
    for duty in answer.duties.iter().filter(|duty| chosen(&duty.name)) {
        teller.duty(duty);
    }
    for silence in answer.silences.iter().filter(|silence| chosen(&silence.name)) {
        teller.silence(silence);
    }
    for operation in answer.operations.iter().filter(|operation| chosen(&operation.name)) {
        teller.operation(operation);
    }
    Ok(teller.out)
}

/// Everything `why` can be asked about, each name once, in the order of the answer.
pub fn names(decided: &Decided) -> Vec<String> {
    let answer = &decided.answer;
    let all = answer
        .duties
        .iter()
        .map(|duty| &duty.name)
        .chain(answer.silences.iter().map(|silence| &silence.name))
        .chain(answer.operations.iter().map(|operation| &operation.name));
    let mut seen = BTreeSet::new();
    all.filter(|name| seen.insert(name.as_str())).cloned().collect()
}

/// Words without regard to capitals and blanks.
fn plain(words: &str) -> String {
    words.split_whitespace().map(str::to_lowercase).collect::<Vec<_>>().join(" ")
}

fn holds_words(name: &str, wanted: &str) -> bool {
    let name = plain(name);
    wanted.split(' ').all(|word| name.split(' ').any(|own| own == word))
}

fn suggestions(names: &[String], wanted: &str) -> Vec<String> {
    let holding: Vec<String> = names.iter().filter(|name| holds_words(name, wanted)).cloned().collect();
    if !holding.is_empty() {
        return holding;
    }
    nearest(wanted, names.iter().map(String::as_str)).into_iter().map(str::to_string).collect()
}

struct Teller<'a> {
    library: &'a Library,
    decided: &'a Decided,
    prover: Prover<'a>,
    depths: Vec<usize>,
    /// The nodes whose steps are shown already.
    shown: BTreeSet<NodeId>,
    /// The open atoms whose conditions are shown already.
    shown_open: BTreeSet<AtomId>,
    out: Markup,
    lines: usize,
}

impl<'a> Teller<'a> {
    fn new(library: &'a Library, decided: &'a Decided, naming: &'a Naming<'a>) -> Teller<'a> {
        Teller {
            library,
            decided,
            prover: Prover::new(&decided.grounded.program, &decided.evaluated, naming),
            depths: depths(&decided.answer.proofs),
            shown: BTreeSet::new(),
            shown_open: BTreeSet::new(),
            out: Markup::new(),
            lines: 0,
        }
    }

    /// One line: so many steps in, tagged words, and faint ones after them.
    fn line(&mut self, depth: usize, tag: Tag, words: &str, faint: &str) {
        self.lines += 1;
        if self.lines == MOST_LINES {
            self.out.push(Tag::Faint, "... more than can be read; `knockon show proof` shows every step\n");
        }
        if self.lines >= MOST_LINES {
            return;
        }
        self.out.plain("  ".repeat(depth));
        self.out.push(tag, words);
        if !faint.is_empty() {
            self.out.push(Tag::Faint, format!("   {faint}"));
        }
        self.out.line();
    }

    fn duty(&mut self, duty: &DutyVerdict) {
        let tag = match duty.verdict {
            Verdict::Required => Tag::Required,
            Verdict::Conflict => Tag::Conflict,
            Verdict::Open => Tag::Open,
            Verdict::Advised => Tag::Advised,
            Verdict::NotNeeded => Tag::NotNeeded,
        };
        let floor = duty.floor.map_or_else(String::new, |floor| format!(", {floor}"));
        self.line(0, tag, &format!("{}: {}{floor}", duty.name, duty.verdict.words()), "");
        match &duty.met {
            Met::No => {}
            Met::Yes(line) => self.line(1, Tag::Plain, "met", line),
            Met::Unclear(line) => {
                self.line(
                    1,
                    Tag::Plain,
                    "perhaps met: how it ended, or that it came after the work, is not known",
                    line,
                );
            }
        }
        for said in &duty.carried_out_as {
            let perhaps = if said.certain { "" } else { "perhaps " };
            let words = format!("{perhaps}carried out as {}", said.ways.join(" or "));
            self.line(1, Tag::Plain, &words, &said.citation);
        }
        for held in &duty.held {
            let perhaps = if held.known { "" } else { "perhaps " };
            self.line(
                1,
                Tag::Plain,
                &format!("{perhaps}held until {}", held.until),
                &format!("\"{}\", {}", held.rule, held.citation),
            );
        }
        if duty.verdict == Verdict::Open {
            for (outcome, values) in &duty.outcomes {
                self.line(1, Tag::Plain, &format!("{} if {}", outcome.words(), values.join(" and ")), "");
            }
        }
        for cause in &duty.causes {
            self.cause(cause, &duty.key());
        }
    }

    fn cause(&mut self, cause: &CauseVerdict, duty: &DutyKey) {
        let outcomes: Vec<&str> = cause.outcomes.iter().map(|outcome| outcome.words()).collect();
        self.line(1, Tag::Plain, &format!("because of {}", cause.words), &outcomes.join(" or "));
        let mut reasons: Vec<&Reason> = cause.reasons.iter().collect();
        // The shortest proof first; what has none comes last.
        reasons.sort_by_key(|reason| reason.proof.map_or(usize::MAX, |node| self.depth(node)));
        for reason in reasons {
            let conclusion = self.decided.grounded.program.conclusions.iter().find(|conclusion| {
                conclusion.rule == reason.rule
                    && conclusion.said == reason.said
                    && conclusion.is_about(duty)
                    && conclusion.causes == cause.causes
            });
            self.reason(reason, conclusion);
        }
    }

    fn reason(&mut self, reason: &Reason, conclusion: Option<&Conclusion>) {
        let verb = match reason.said {
            Said::Ask | Said::Advise if reason.left_open.is_some() => "left open by",
            Said::Ask => "asked by",
            Said::Advise => "advised by",
            Said::Waive => "waived by",
            Said::Excuse => "excused by",
            Said::Forbid => "forbidden by",
            Said::Allow => "allowed by",
            Said::Hold => "held by",
            Said::Before => "ordered by",
            Said::Question => "put by",
            Said::Warn => "warned by",
            Said::Set { .. } => "set by",
            Said::Off => "off by",
        };
        let words = reason.words.as_ref().map_or_else(String::new, |words| format!(" (\"{words}\")"));
        self.line(2, Tag::Source, &format!("{verb} \"{}\", {}{words}", reason.name, reason.citation), reason.rank);
        if let Some(because) = &reason.left_open {
            self.line(3, Tag::Plain, &format!("because {because}"), "");
        }
        for says in &reason.says {
            self.line(3, Tag::Quote, &format!("\"{says}\""), "");
        }
        for read in &reason.read_as {
            self.line(3, Tag::Plain, &format!("read as {read}"), "");
        }
        for read in &reason.could_be_read_as {
            self.line(3, Tag::Plain, &format!("could also be read as \"{read}\""), "");
        }
        for weak in &reason.weak {
            self.line(3, Tag::Plain, &format!("may require, not waive: {weak}"), "");
        }
        if let Some(stronger) = &reason.gave_way_to {
            self.line(3, Tag::Plain, &format!("gives way to \"{stronger}\""), reason.by_text.as_deref().unwrap_or(""));
        }
        let proof = reason.proof.and_then(|node| self.decided.answer.proofs.node(node));
        match (proof, conclusion) {
            (Some(node), _) => self.children(node, 3),
            (None, Some(conclusion)) => self.open(conclusion.atom, 3),
            (None, None) => {}
        }
        if let (Said::Ask | Said::Advise, Some(unless)) = (&reason.said, &reason.unless) {
            self.line(3, Tag::Plain, &format!("lapses when {unless}"), "");
        }
    }

    fn chain(&mut self, chain: &[ChainStep], depth: usize) {
        for step in chain {
            self.line(depth, Tag::Fact, &step.words, &step.by);
        }
    }

    fn silence(&mut self, silence: &Silence) {
        self.line(0, Tag::Silent, &format!("{}: silent because of {}", silence.name, silence.because_of), "");
        self.line(1, Tag::Plain, "it is touched:", "");
        self.chain(&silence.chain, 2);
        if !silence.certain {
            let facts: Vec<&str> = silence.turns_on.iter().map(|fact| fact.name.as_str()).collect();
            self.line(1, Tag::Open, &format!("if so at all; turns on {}", facts.join(", ")), "");
        }
        self.line(
            1,
            Tag::Plain,
            "no maker's rule that holds for this car and this day concludes anything about it for this cause",
            "",
        );
        for read in &silence.read {
            self.line(1, Tag::Source, &read.words, "");
        }
        self.line(1, Tag::Plain, "look in the maker's text: silence is neither leave nor waiver", "");
    }

    fn operation(&mut self, operation: &OperationVerdict) {
        self.line(0, Tag::Heading, &format!("{}: {}", operation.name, operation.verdict.words()), "");
        for reason in &operation.reasons {
            let conclusion = self.decided.grounded.program.conclusions.iter().find(|conclusion| {
                conclusion.rule == reason.rule
                    && conclusion.said == reason.said
                    && conclusion.what == operation.operation
                    && conclusion.of == Some(operation.part)
            });
            self.reason(reason, conclusion);
        }
        for done in &operation.done_by {
            let perhaps = if done.certain { "" } else { "perhaps " };
            self.line(2, Tag::Plain, &format!("{perhaps}done by {}", done.name), &done.citation);
        }
    }
}
