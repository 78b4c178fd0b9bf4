//! Laws that hold of every answer, tried on every job of the decision rows, the published decisions and the example.

use std::collections::BTreeMap;

use knockon_lang::decide::answer::{Answer, OperationAnswer, Verdict};
use knockon_lang::decide::event::Event;
use knockon_lang::decide::fact::{Domain, Fact, Value};
use knockon_lang::decide::{Decided, decide};
use knockon_lang::measure::Date;
use knockon_lang::rules::Library;
use knockon_lang::syntax::parse;
use knockon_lang::terms::resolved::{Entry, Job, Judgement, Line, Test};
use knockon_lang::text::FileId;
use knockon_lang::{Shelf, load};

use crate::shelf::{Changed, Numbers, Repository, knock_files};

fn files() -> Vec<String> {
    let mut files = knock_files("tests/decisions");
    files.extend(knock_files("tests/published"));
    files.extend(knock_files("tests/constructs"));
    files.extend(knock_files("examples"));
    files
}

fn library(path: &str, shelf: &dyn Shelf) -> Library {
    let loaded = load(&[path], shelf);
    assert!(!loaded.has_errors(), "{path}: {:#?}", loaded.problems.first());
    let (library, problems) = Library::new(loaded.resolved);
    assert!(problems.is_empty(), "{path}: {problems:?}");
    library
}

fn job_of(test: &Test) -> Job {
    Job { name: test.name.clone(), dated: Date::new(2025, 6, 2).ok(), lines: test.lines.clone(), span: test.span }
}

fn jobs(library: &Library) -> Vec<Job> {
    library.resolved.tests.iter().map(job_of).chain(library.resolved.jobs.iter().cloned()).collect()
}

/// All of an answer that a person acts on, without places and in an order of its own.
fn summary(answer: &Answer) -> Vec<String> {
    let mut out = Vec::new();
    for duty in &answer.duties {
        let facts: Vec<&str> = duty.turns_on.iter().map(|fact| fact.name.as_str()).collect();
        out.push(format!("{}: {} on {}", duty.name, duty.verdict.words(), facts.join(", ")));
        for cause in &duty.causes {
            let mut rules: Vec<String> =
                cause.reasons.iter().map(|reason| format!("{:?} {}", reason.said, reason.name)).collect();
            rules.sort();
            out.push(format!("{} because of {}: {}", duty.name, cause.words, rules.join(", ")));
        }
        for held in &duty.held {
            out.push(format!("{} held until {}", duty.name, held.until));
        }
    }
    for silence in &answer.silences {
        out.push(format!("{} silent because of {}: {}", silence.name, silence.because_of, silence.certain));
    }
    for operation in &answer.operations {
        out.push(format!("{}: {}", operation.name, operation.verdict.words()));
    }
    out.extend(answer.orders.iter().map(|order| order.words.clone()));
    out.extend(answer.questions.iter().map(|question| question.fact.name.clone()));
    out.sort();
    out.dedup();
    out
}

/// The text with its top-level items in another order.
fn shuffled(text: &str, numbers: &mut Numbers) -> String {
    let parsed = parse(FileId(0), text);
    let starts: Vec<usize> =
        parsed.file.items.iter().map(|item| parsed.tokens.span(item.range.first).0 as usize).collect();
    let ends = starts.iter().skip(1).copied().chain([text.len()]);
    let mut pieces: Vec<String> =
        starts.iter().copied().zip(ends).map(|(start, end)| text[start..end].to_string()).collect();
    numbers.shuffle(&mut pieces);
    pieces.iter().map(|piece| format!("{}\n", piece.trim_end())).collect()
}

#[test]
fn the_order_of_items_rules_facts_and_lines_changes_no_answer() {
    let mut numbers = Numbers(7);
    let mut compared = 0;
    for path in files() {
        let before = library(&path, &Repository);
        let jobs_before = jobs(&before);
        if jobs_before.is_empty() {
            continue;
        }
        let paths: Vec<String> =
            load(&[&path], &Repository).sources.iter().map(|(_, source)| source.name().to_string()).collect();
        let texts: BTreeMap<String, String> =
            paths.iter().map(|path| (path.clone(), shuffled(&Repository.read(path).unwrap(), &mut numbers))).collect();
        let after = library(&path, &Changed { texts });
        assert_eq!(before.digest(), after.digest(), "{path}: the digest must not see the order of items");
        for job in &jobs_before {
            let same = jobs(&after).into_iter().find(|other| other.name == job.name).unwrap();
            let mut shuffled = same.clone();
            numbers.shuffle(&mut shuffled.lines);
            let (one, two) = (decide(&before, job, None), decide(&after, &shuffled, None));
            let (Ok(one), Ok(two)) = (one, two) else { continue };
            assert_eq!(summary(&one.answer), summary(&two.answer), "{path}: {}", job.name);
            compared += 1;
        }
    }
    assert!(compared > 250, "only {compared} jobs were compared");
}

#[test]
fn deciding_twice_gives_the_same_words() {
    for path in files() {
        let library = library(&path, &Repository);
        for job in jobs(&library) {
            let words = |decided: Decided| knockon_lang::decide::words::answer(&decided.answer).to_plain();
            if let (Ok(one), Ok(two)) = (decide(&library, &job, None), decide(&library, &job, None)) {
                assert_eq!(words(one), words(two));
            }
        }
    }
}

#[test]
fn a_rule_twice_or_for_another_car_changes_no_verdict() {
    let mut compared = 0;
    for path in files() {
        let before = library(&path, &Repository);
        let mut resolved = before.resolved.clone();
        // Every rule once more under another name; exceptions between rules go by name, so those files are left out.
        let by_name = resolved.rules.iter().any(|rule| {
            !rule.gives_way.is_empty()
                || rule.conclusions.iter().any(|conclusion| {
                    matches!(conclusion.kind, knockon_lang::terms::resolved::ConclusionKind::WaiveRule(_))
                })
        });
        if by_name {
            continue;
        }
        let mut copies = resolved.rules.clone();
        for copy in &mut copies {
            copy.name.push_str(" again");
        }
        resolved.rules.extend(copies);
        let (after, problems) = Library::new(resolved);
        assert!(problems.is_empty());
        for job in jobs(&before) {
            let (Ok(one), Ok(two)) = (decide(&before, &job, None), decide(&after, &job, None)) else { continue };
            let verdicts = |answer: &Answer| -> Vec<(String, Verdict)> {
                answer.duties.iter().map(|duty| (duty.name.clone(), duty.verdict)).collect()
            };
            assert_eq!(verdicts(&one.answer), verdicts(&two.answer), "{path}: {}", job.name);
            compared += 1;
        }
    }
    assert!(compared > 150, "only {compared} jobs were compared");
}

/// Lines that answer one open fact, one for each answer it can have.
fn answers(decided: &Decided, variable: usize) -> Vec<Entry> {
    let Some(found) = decided.grounded.program.variables.get(variable) else { return Vec::new() };
    match &found.fact {
        Fact::Condition(condition, of) => [Judgement::Yes, Judgement::No]
            .into_iter()
            .map(|answer| Entry::Holds { condition: *condition, of: *of, answer, by: None, because: None })
            .collect(),
        Fact::Equipped(term) => {
            [true, false].into_iter().map(|yes| Entry::Equipped { what: vec![*term], yes }).collect()
        }
        Fact::WorkComplete | Fact::NothingUnlisted => vec![Entry::WorkComplete],
        Fact::Quality { new, part, quality } => [true, false]
            .into_iter()
            .map(|yes| Entry::Quality { new: *new, part: *part, quality: *quality, yes })
            .collect(),
        Fact::Why(event) => match decided.grounded.events.get(event.0 as usize) {
            Some(Event { what, subject: Some(subject), .. }) => {
                let causes = found.values.iter().filter_map(|value| match value {
                    Value::Term(cause) => Some(*cause),
                    _ => None,
                });
                causes.map(|cause| Entry::Because { what: *what, subject: *subject, cause }).collect()
            }
            _ => Vec::new(),
        },
        Fact::Choice(choice, of) => match &found.domain {
            Domain::Terms(values) => values
                .iter()
                .map(|value| Entry::Chosen { choice: *choice, of: *of, value: *value, yes: true })
                .collect(),
            _ => Vec::new(),
        },
        Fact::Occurred(event) => match decided.grounded.events.get(event.0 as usize) {
            Some(event) => vec![Entry::NotHappened { what: event.what, subject: event.subject }],
            None => Vec::new(),
        },
        _ => Vec::new(),
    }
}

#[test]
fn learning_a_fact_never_opens_what_was_settled() {
    let mut learnt = 0;
    for path in files() {
        let library = library(&path, &Repository);
        for job in jobs(&library) {
            let Ok(before) = decide(&library, &job, None) else { continue };
            for question in &before.answer.questions {
                for entry in answers(&before, question.fact.variable.0 as usize) {
                    let mut wiser = job.clone();
                    wiser.lines.push(Line {
                        entry: entry.clone(),
                        span: job.span,
                        number: 0,
                        written: "learnt".to_string(),
                    });
                    let Ok(after) = decide(&library, &wiser, None) else { continue };
                    learnt += 1;
                    for duty in &before.answer.duties {
                        // A new line may rule the event out that was the only cause of a settled *not needed*.
                        let now = after.answer.duties.iter().find(|now| now.name == duty.name).map(|now| now.verdict);
                        let kept = match duty.verdict {
                            Verdict::Open => true,
                            Verdict::Required => now == Some(Verdict::Required),
                            Verdict::Conflict => now == Some(Verdict::Conflict),
                            Verdict::Advised => now == Some(Verdict::Advised),
                            Verdict::NotNeeded => matches!(now, Some(Verdict::NotNeeded) | None),
                        };
                        assert!(
                            kept,
                            "{path}: {}: {} was {} and is {now:?} after {entry:?}",
                            job.name,
                            duty.name,
                            duty.verdict.words()
                        );
                    }
                    for operation in &before.answer.operations {
                        let now = after
                            .answer
                            .operations
                            .iter()
                            .find(|now| now.name == operation.name)
                            .map(|now| now.verdict);
                        assert!(
                            operation.verdict == OperationAnswer::Open || now == Some(operation.verdict),
                            "{path}: {}: {}",
                            job.name,
                            operation.name
                        );
                    }
                }
            }
        }
    }
    assert!(learnt > 100, "only {learnt} facts were learnt");
}
