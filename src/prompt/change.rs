//! What a line changed: the difference of two answers, in a few lines.

use std::collections::{BTreeMap, BTreeSet};

use knockon_lang::decide::Answer;
use knockon_lang::decide::answer::{DutyVerdict, Met, OperationAnswer, Verdict};
use knockon_lang::text::{Markup, Tag};

/// The difference from one answer to the next, with the day and the counts of the new one below it.
pub fn change(before: Option<&Answer>, after: &Answer) -> Markup {
    let mut out = Markup::new();
    duties(&mut out, before, after);
    operations(&mut out, before, after);
    silences(&mut out, before, after);
    names(&mut out, "came off?", Tag::Open, &came_off(before), &came_off(Some(after)));
    names(&mut out, "to be asked", Tag::Fact, &questions(before), &questions(Some(after)));
    names(&mut out, "not whole", Tag::Warning, &limits(before), &limits(Some(after)));
    if out.is_empty() {
        out.push(Tag::Faint, "  nothing changes\n");
    }
    counts(&mut out, after);
    out
}

fn line(out: &mut Markup, mark: &str, tag: Tag, word: &str, name: &str, faint: &str) {
    out.push(Tag::Faint, format!("  {mark} "));
    out.push(tag, format!("{word:<12}"));
    out.plain(format!(" {name}"));
    if !faint.is_empty() {
        out.push(Tag::Faint, format!("   {faint}"));
    }
    out.line();
}

/// The colour of a verdict.
pub fn tag(verdict: Verdict) -> Tag {
    match verdict {
        Verdict::Required => Tag::Required,
        Verdict::Conflict => Tag::Conflict,
        Verdict::Open => Tag::Open,
        Verdict::Advised => Tag::Advised,
        Verdict::NotNeeded => Tag::NotNeeded,
    }
}

fn because(duty: &DutyVerdict) -> String {
    let causes: Vec<&str> = duty.causes.iter().map(|cause| cause.words.as_str()).collect();
    match causes.as_slice() {
        [] => String::new(),
        [one] => format!("because of {one}"),
        [first, rest @ ..] => format!("because of {first} and {} more", rest.len()),
    }
}

fn turns_on(duty: &DutyVerdict) -> String {
    let facts: Vec<&str> = duty.turns_on.iter().map(|fact| fact.name.as_str()).collect();
    if facts.is_empty() { because(duty) } else { format!("turns on {}", facts.join(", ")) }
}

fn duties(out: &mut Markup, before: Option<&Answer>, after: &Answer) {
    let known: BTreeMap<&str, &DutyVerdict> =
        before.into_iter().flat_map(|answer| &answer.duties).map(|duty| (duty.name.as_str(), duty)).collect();
    for duty in &after.duties {
        let name = duty.name.as_str();
        match known.get(name) {
            None => line(out, "+", tag(duty.verdict), duty.verdict.words(), name, &turns_on(duty)),
            Some(old) if old.verdict != duty.verdict => {
                let was = format!("was {}, {}", old.verdict.words(), turns_on(duty));
                line(out, "~", tag(duty.verdict), duty.verdict.words(), name, was.trim_end_matches(", "));
            }
            Some(old) if old.turns_on != duty.turns_on && turns_on(old) != turns_on(duty) => {
                line(out, "~", tag(duty.verdict), duty.verdict.words(), name, &turns_on(duty));
            }
            Some(_) => {}
        }
        let old = known.get(name);
        let met = |duty: &DutyVerdict| match &duty.met {
            Met::No => "",
            Met::Yes(_) => "met",
            Met::Unclear(_) => "perhaps met",
        };
        let (was, is) = (old.map_or("", |old| met(old)), met(duty));
        if was != is {
            let words = if is.is_empty() { "no longer met" } else { is };
            line(out, "~", Tag::Fact, words, name, "");
        }
        let held = |duty: &DutyVerdict| duty.held.iter().map(|held| held.until.clone()).collect::<BTreeSet<_>>();
        let (was, is) = (old.map(|old| held(old)).unwrap_or_default(), held(duty));
        for until in is.difference(&was) {
            line(out, "+", Tag::Open, "held", name, &format!("until {until}"));
        }
        for until in was.difference(&is) {
            line(out, "-", Tag::Faint, "held", name, &format!("until {until}"));
        }
    }
    for (name, duty) in known {
        if !after.duties.iter().any(|duty| duty.name == name) {
            line(out, "-", Tag::Faint, duty.verdict.words(), name, "");
        }
    }
}

fn operations(out: &mut Markup, before: Option<&Answer>, after: &Answer) {
    let said = |answer: Option<&Answer>| -> BTreeMap<String, OperationAnswer> {
        let all = answer.into_iter().flat_map(|answer| answer.operations.clone());
        all.filter(|operation| operation.concerns_this_job)
            .map(|operation| (operation.name, operation.verdict))
            .collect()
    };
    let (was, is) = (said(before), said(Some(after)));
    for (name, verdict) in &is {
        match was.get(name) {
            Some(old) if old == verdict => {}
            Some(old) => line(out, "~", Tag::Fact, verdict.words(), name, &format!("was {}", old.words())),
            None => line(out, "+", Tag::Fact, verdict.words(), name, ""),
        }
    }
    for (name, verdict) in &was {
        if !is.contains_key(name) {
            line(out, "-", Tag::Faint, verdict.words(), name, "");
        }
    }
}

fn names(out: &mut Markup, word: &str, tag: Tag, was: &[String], is: &[String]) {
    for name in is.iter().filter(|name| !was.contains(name)) {
        line(out, "+", tag, word, name, "");
    }
    for name in was.iter().filter(|name| !is.contains(name)) {
        line(out, "-", Tag::Faint, word, name, "");
    }
}

/// What is silent, grouped by what it is silent about.
fn silences(out: &mut Markup, before: Option<&Answer>, after: &Answer) {
    type Groups = BTreeMap<(bool, String), BTreeSet<String>>;
    let groups = |answer: Option<&Answer>| -> Groups {
        let mut groups = Groups::new();
        for silence in answer.into_iter().flat_map(|answer| &answer.silences) {
            groups.entry((!silence.certain, silence.because_of.clone())).or_default().insert(silence.name.clone());
        }
        groups
    };
    let (was, is) = (groups(before), groups(Some(after)));
    let mut tell = |sign: &str, tag: Tag, groups: &Groups, others: &Groups| {
        for ((perhaps, cause), names) in groups {
            let others = others.get(&(*perhaps, cause.clone()));
            let names: Vec<&str> = names
                .iter()
                .filter(|name| !others.is_some_and(|others| others.contains(*name)))
                .map(String::as_str)
                .collect();
            if !names.is_empty() {
                let word = if *perhaps { "silent?" } else { "silent" };
                line(out, sign, tag, word, &names.join(", "), &format!("because of {cause}"));
            }
        }
    };
    tell("+", Tag::Silent, &is, &was);
    tell("-", Tag::Faint, &was, &is);
}

fn came_off(answer: Option<&Answer>) -> Vec<String> {
    answer.into_iter().flat_map(|answer| &answer.came_off).map(|came_off| came_off.work.clone()).collect()
}

fn questions(answer: Option<&Answer>) -> Vec<String> {
    let asked = answer.into_iter().flat_map(|answer| &answer.questions).map(|question| question.text.clone());
    asked.chain(answer.into_iter().flat_map(|answer| &answer.asks).map(|ask| ask.text.clone())).collect()
}

fn limits(answer: Option<&Answer>) -> Vec<String> {
    answer.into_iter().flat_map(|answer| answer.limits.clone()).collect()
}

/// How many of each there are, and as of which day.
fn counts(out: &mut Markup, answer: &Answer) {
    let mut words = Vec::new();
    let mut add = |number: usize, word: &str| {
        if number > 0 {
            words.push(format!("{number} {word}"));
        }
    };
    for verdict in [Verdict::Required, Verdict::Conflict, Verdict::Open, Verdict::Advised, Verdict::NotNeeded] {
        add(answer.duties.iter().filter(|duty| duty.verdict == verdict).count(), verdict.words());
    }
    add(answer.silences.len(), "silent");
    add(answer.questions.len() + answer.asks.len() + answer.came_off.len(), "to be asked");
    if words.is_empty() {
        words.push("nothing concluded".to_string());
    }
    out.push(Tag::Faint, format!("  {} as of {}\n", words.join(", "), answer.as_of));
}
