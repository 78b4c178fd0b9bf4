//! The answer in people's words, as tagged text.

mod branches;
mod how;
mod values;

use knockon_text::markup::{Markup, Tag};

use crate::answer::{
    Answer, CauseVerdict, ChainStep, DutyVerdict, Met, OperationAnswer, OperationVerdict, Reason, Silence, Told,
    Verdict,
};
use crate::atoms::{Conclusion, Said};
use crate::combine::Outcome;
use crate::naming::Naming;

/// A conclusion in words.
pub fn said_words(naming: &Naming<'_>, conclusion: &Conclusion) -> String {
    let duty = naming.duty_key(&conclusion.duty());
    let doing = || {
        let vocabulary = naming.library.vocabulary();
        let part = conclusion.of.map_or("", |part| vocabulary.name(part));
        format!("{} of {part}", vocabulary.doing(conclusion.what))
    };
    match conclusion.said {
        Said::Ask | Said::Advise if conclusion.left_open.is_some() => format!("leave open {duty}"),
        Said::Ask => format!("require {}{duty}", either(conclusion)),
        Said::Advise => format!("advise {}{duty}", either(conclusion)),
        Said::Waive => format!("waive {duty}"),
        Said::Excuse => format!("{duty} not needed, if no other rule asks"),
        Said::Forbid => format!("forbid {}", doing()),
        Said::Allow => format!("allow {}", doing()),
        Said::Hold => format!("hold {duty}"),
        Said::Before => match conclusion.second {
            Some((procedure, of)) => format!("{duty} before {}", naming.duty(procedure, of)),
            None => duty,
        },
        Said::Set { measure, .. } => format!("set {} of {duty}", naming.term(measure)),
        Said::Question => format!("ask \"{}\"", conclusion.words.as_deref().unwrap_or("")),
        Said::Warn => format!("warn \"{}\"", conclusion.words.as_deref().unwrap_or("")),
        Said::Off => match conclusion.second {
            Some((procedure, of)) => {
                format!("{} is off until {} is met", naming.term(conclusion.what), naming.duty(procedure, of))
            }
            None => duty,
        },
    }
}

/// What stands before a choice.
fn either(conclusion: &Conclusion) -> &'static str {
    if conclusion.or.is_empty() { "" } else { "either " }
}

/// The whole answer.
pub fn answer(answer: &Answer) -> Markup {
    let mut out = Markup::default();
    out.push(Tag::Heading, &answer.job);
    out.plain(format!("  {}  as of {}", answer.vehicle, answer.as_of));
    out.line();
    for (verdict, title, tag) in [
        (Verdict::Required, "REQUIRED", Tag::Required),
        (Verdict::Conflict, "CONFLICT, treated as due until settled", Tag::Conflict),
        (Verdict::Open, "OPEN", Tag::Open),
        (Verdict::Advised, "ADVISED", Tag::Advised),
        (Verdict::NotNeeded, "NOT NEEDED, for the work listed", Tag::NotNeeded),
    ] {
        let duties: Vec<&DutyVerdict> = answer.duties.iter().filter(|duty| duty.verdict == verdict).collect();
        if duties.is_empty() {
            continue;
        }
        out.line();
        out.push(tag, title);
        out.line();
        for duty in duties {
            self::duty(&mut out, duty, tag);
            how::how(&mut out, duty);
            for value in answer.values.iter().filter(|value| values::belongs(value, duty)) {
                values::value(&mut out, value, false);
            }
        }
    }
    values::in_hand(&mut out, answer);
    warnings(&mut out, answer);
    operations(&mut out, answer);
    silences(&mut out, answer);
    no_view(&mut out, answer);
    orders(&mut out, answer);
    branches::branches(&mut out, answer);
    came_off(&mut out, answer);
    questions(&mut out, answer);
    if answer.duties.is_empty() && answer.values.is_empty() && answer.silences.is_empty() && answer.limits.is_empty() {
        out.line();
        out.plain(
            "No rule of this library concludes anything for this work. That is no all-clear: look in the maker's text.",
        );
        out.line();
    }
    footer(&mut out, answer);
    out
}

fn duty(out: &mut Markup, duty: &DutyVerdict, tag: Tag) {
    out.plain("  ");
    out.push(tag, &duty.name);
    if let Some(floor) = duty.floor {
        out.plain(format!("   {floor}"));
    }
    out.line();
    if !duty.or.is_empty() {
        label(out, "", "any one of them will do");
    }
    for said in &duty.carried_out_as {
        let perhaps = if said.certain { "" } else { "   (not known whether for this car)" };
        label(out, "as", &format!("{}, {}{perhaps}", said.ways.join(" or "), said.citation));
    }
    match &duty.met {
        Met::No => {}
        Met::Yes(line) => label(out, "met", line),
        Met::Unclear(line) => {
            label(out, "done?", &format!("{line}; how it ended, or that it came after the work, is not known"));
        }
    }
    for text in &duty.revised_since {
        label(out, "but", text);
    }
    for held in &duty.held {
        let known = if held.known { "" } else { "   (not known to hold)" };
        label(out, "held", &format!("until {}{known}", held.until));
        label(out, "", &format!("\"{}\", {}", held.rule, held.citation));
    }
    for off in &duty.off {
        let perhaps = if off.certain { "" } else { "   (if the open facts are so)" };
        label(out, "off", &format!("{} is off until it is done{perhaps}", off.name));
        label(out, "", &format!("\"{}\", {}", off.rule, off.citation));
    }
    if duty.verdict == Verdict::Open {
        for fact in &duty.turns_on {
            out.plain("    turns on ");
            out.push(Tag::Fact, &fact.name);
            out.line();
        }
        for (outcome, values) in &duty.outcomes {
            if !values.is_empty() {
                label(out, outcome_label(*outcome), &format!("if {}", values.join(" and ")));
            }
        }
        if !duty.exact {
            label(out, "", "not settled exactly: too many unknown facts");
        }
    }
    // What may come on top of a verdict that stands without it is one line.
    let perhaps = |cause: &CauseVerdict| duty.verdict != Verdict::Open && cause.outcomes.contains(&Outcome::Nothing);
    for cause in duty.causes.iter().filter(|cause| !perhaps(cause)) {
        self::cause(out, cause, duty.causes.len() > 1);
    }
    let more: Vec<&str> = duty.causes.iter().filter(|cause| perhaps(cause)).map(|cause| cause.words.as_str()).collect();
    if !more.is_empty() && more.len() < duty.causes.len() {
        label(out, "perhaps", &format!("also because of {}", more.join("; ")));
    } else {
        for cause in duty.causes.iter().filter(|cause| perhaps(cause)) {
            self::cause(out, cause, duty.causes.len() > 1);
        }
    }
}

fn outcome_label(outcome: Outcome) -> &'static str {
    match outcome {
        Outcome::Nothing => "nothing",
        other => other.words(),
    }
}

fn cause(out: &mut Markup, cause: &CauseVerdict, many: bool) {
    out.plain("    because  ");
    out.plain(&cause.words);
    if many {
        let words: Vec<&str> = cause.outcomes.iter().map(|outcome| outcome.words()).collect();
        out.push(Tag::Faint, format!("   ({} for this cause)", words.join(" or ")));
    }
    out.line();
    chain(out, &cause.chain);
    for reason in &cause.reasons {
        self::reason(out, reason);
    }
}

fn chain(out: &mut Markup, chain: &[ChainStep]) {
    for step in chain {
        out.plain("             ");
        out.push(Tag::Faint, "- ");
        out.plain(&step.words);
        out.push(Tag::Faint, format!("   {}", step.by));
        out.line();
    }
}

fn reason(out: &mut Markup, reason: &Reason) {
    let verb = match reason.said {
        Said::Ask | Said::Advise if reason.left_open.is_some() => "left open by",
        Said::Ask => "by",
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
    out.plain(format!("    {verb:<8} "));
    out.push(Tag::Source, format!("\"{}\", {}", reason.name, reason.citation));
    if let Some(words) = &reason.words {
        out.plain(format!(" (\"{words}\")"));
    }
    if !reason.certain && reason.left_open.is_none() {
        out.push(Tag::Open, "   if the open facts are so");
    }
    out.line();
    for step in &reason.rests_on {
        label(out, "as", &format!("{}   {}", step.words, step.by));
    }
    match reason.rank {
        "common practice" => label(out, "", "common practice, not the maker's word"),
        "shop policy" => label(out, "", "shop policy, not the maker's word"),
        _ => {}
    }
    if let Some(because) = &reason.left_open {
        label(out, "", &format!("because {because}"));
    }
    for says in &reason.says {
        out.plain("             says ");
        out.push(Tag::Quote, format!("\"{says}\""));
        out.line();
    }
    for read in &reason.read_as {
        label(out, "", &format!("read as {read}"));
    }
    for read in &reason.could_be_read_as {
        label(out, "", &format!("could also be read as \"{read}\""));
    }
    if let Some(because) = &reason.because {
        label(out, "", &format!("why: {because}"));
    }
    if let Some(without) = &reason.without_it {
        label(out, "", &format!("without it: {without}"));
    }
    if let (Said::Ask | Said::Advise, Some(unless)) = (&reason.said, &reason.unless) {
        label(out, "", &format!("lapses when {unless}"));
    }
    for weak in &reason.weak {
        label(out, "", &format!("this text may require, not waive: {weak}"));
    }
    if let Some(other) = &reason.gave_way_to {
        let by_text = reason.by_text.as_ref().map_or_else(String::new, |words| format!(": {words}"));
        label(out, "", &format!("gives way to \"{other}\"{by_text}"));
    }
}

fn label(out: &mut Markup, name: &str, text: &str) {
    out.push(Tag::Faint, format!("    {name:<8} "));
    out.plain(text);
    out.line();
}

fn warnings(out: &mut Markup, answer: &Answer) {
    if answer.warnings.is_empty() {
        return;
    }
    out.line();
    out.push(Tag::Warning, "WARNINGS");
    out.line();
    for warning in &answer.warnings {
        out.plain(format!("  {}", warning.text));
        told_by(out, warning);
    }
}

/// By which rule something is asked or warned of.
fn told_by(out: &mut Markup, told: &Told) {
    out.push(Tag::Source, format!("   \"{}\", {}", told.rule, told.citation));
    if !told.certain {
        out.push(Tag::Open, "   perhaps: if the open facts are so");
    }
    out.line();
}

fn operations(out: &mut Markup, answer: &Answer) {
    let relevant: Vec<&OperationVerdict> =
        answer.operations.iter().filter(|operation| operation.concerns_this_job).collect();
    if relevant.is_empty() {
        return;
    }
    out.line();
    out.push(Tag::Heading, "WORK ON PARTS");
    out.line();
    for operation in relevant {
        let tag = match operation.verdict {
            OperationAnswer::Forbidden => Tag::Required,
            OperationAnswer::Conflict => Tag::Conflict,
            OperationAnswer::Open => Tag::Open,
            OperationAnswer::Allowed => Tag::NotNeeded,
        };
        out.plain(format!("  {}: ", operation.name));
        out.push(tag, operation.verdict.words());
        out.line();
        for fact in &operation.turns_on {
            if operation.verdict == OperationAnswer::Open {
                out.plain("    turns on ");
                out.push(Tag::Fact, &fact.name);
                out.line();
            }
        }
        for reason in &operation.reasons {
            self::reason(out, reason);
        }
        for done in &operation.done_by {
            let perhaps = if done.certain { "" } else { "   if it is carried out" };
            label(out, "done by", &format!("{}, {}{perhaps}", done.name, done.citation));
        }
    }
}

fn silences(out: &mut Markup, answer: &Answer) {
    if answer.silences.is_empty() {
        return;
    }
    out.line();
    let sure: Vec<&Silence> = answer.silences.iter().filter(|silence| silence.certain).collect();
    let perhaps: Vec<&Silence> = answer.silences.iter().filter(|silence| !silence.certain).collect();
    let count = match (sure.len(), perhaps.len()) {
        (sure, 0) => format!("{sure}"),
        (0, perhaps) => format!("{perhaps} perhaps"),
        (sure, perhaps) => format!("{sure}, and {perhaps} perhaps"),
    };
    out.push(Tag::Silent, format!("SILENT ({count}): touched, and no maker's rule here speaks of it"));
    out.line();
    let mut last = "";
    for silence in sure {
        if silence.because_of != last {
            out.plain(format!("  because of {}", silence.because_of));
            out.line();
            last = &silence.because_of;
        }
        out.plain("    ");
        out.push(Tag::Silent, &silence.name);
        out.line();
        chain(out, &silence.chain);
        for read in &silence.read {
            label(out, "", &read.words);
        }
    }
    // Those that turn on open facts by cause, a line each: the questions below name the facts.
    let mut causes: Vec<&str> = perhaps.iter().map(|silence| silence.because_of.as_str()).collect();
    causes.dedup();
    for cause in causes {
        let names: Vec<&str> =
            perhaps.iter().filter(|silence| silence.because_of == cause).map(|silence| silence.name.as_str()).collect();
        out.plain(format!("  perhaps, because of {cause}: "));
        out.push(Tag::Silent, names.join(", "));
        out.line();
        for silence in perhaps.iter().filter(|silence| silence.because_of == cause) {
            for read in &silence.read {
                label(out, "", &format!("{}: {}", silence.name, read.words));
            }
        }
    }
    out.plain("  Look in the maker's text: silence is neither leave nor waiver.");
    out.line();
}

fn no_view(out: &mut Markup, answer: &Answer) {
    if answer.no_view.is_empty() {
        return;
    }
    out.line();
    out.push(Tag::Heading, "NO VIEW TAKEN, which waives nothing");
    out.line();
    for words in &answer.no_view {
        out.plain(format!("  {words}"));
        out.line();
    }
}

fn orders(out: &mut Markup, answer: &Answer) {
    if answer.orders.is_empty() {
        return;
    }
    out.line();
    out.push(Tag::Heading, "ORDER");
    out.line();
    for order in &answer.orders {
        out.plain(format!("  {}", order.words));
        out.push(Tag::Source, format!("   {}", order.by));
        if !order.certain {
            out.push(Tag::Open, "   if the open facts are so");
        }
        out.line();
    }
}

fn came_off(out: &mut Markup, answer: &Answer) {
    if answer.came_off.is_empty() {
        return;
    }
    out.line();
    out.push(Tag::Open, "WHAT CAME OFF ON THE WAY is not known");
    out.line();
    for work in &answer.came_off {
        out.plain(format!("  {}", work.work));
        if work.offered.is_empty() {
            out.plain(": no list for this car is complete");
        } else {
            let offered: Vec<&str> = work.offered.iter().map(|(_, words)| words.as_str()).collect();
            out.plain(format!(": usually {}", offered.join(", ")));
        }
        out.line();
    }
    out.plain("  Confirm with ");
    out.push(Tag::Command, "also removed PART");
    out.plain(" or ");
    out.push(Tag::Command, "nothing else came off");
    out.line();
}

fn questions(out: &mut Markup, answer: &Answer) {
    if answer.questions.is_empty() && answer.asks.is_empty() {
        return;
    }
    out.line();
    out.push(Tag::Heading, "TO BE ASKED");
    out.line();
    for question in &answer.questions {
        out.plain("  ");
        out.push(Tag::Fact, &question.text);
        if question.cannot_tell {
            out.push(Tag::Faint, "   looked at, and could not be told");
        }
        out.line();
        out.push(Tag::Faint, format!("      decides {}", question.decides.join("; ")));
        out.line();
    }
    for ask in &answer.asks {
        out.plain("  ");
        out.push(Tag::Fact, &ask.text);
        told_by(out, ask);
    }
}

fn footer(out: &mut Markup, answer: &Answer) {
    out.line();
    for assumption in &answer.assumptions {
        out.push(Tag::Faint, format!("assumed: {assumption}"));
        out.line();
    }
    for rule in &answer.not_in_force {
        out.push(Tag::Faint, format!("not used: {rule}"));
        out.line();
    }
    for limit in &answer.limits {
        out.push(Tag::Warning, format!("not whole: {limit}"));
        out.line();
    }
    out.push(
        Tag::Faint,
        "The maker's current text, local rules and licensed practice prevail. Raised vehicles, airbags, high voltage and road tests can hurt: follow the maker's cautions.",
    );
    out.line();
}
