//! Jobs: each entry of their lines in the words of the language.

use crate::resolved::{Entry, FoundCode, Happened, Judgement, ReadWhen, Scan, When};
use crate::vocabulary::{Class, TermId, Vocabulary};

/// A line of a job, with the word it begins with.
pub(super) fn line(vocabulary: &Vocabulary, said: &Entry) -> String {
    let Entry::Happened(happened) = said else { return entry(vocabulary, said) };
    let word = match (happened.on_the_way, vocabulary.class(happened.what)) {
        (true, _) => "also",
        (false, Class::Operation) => "work",
        (false, Class::Finding) => "found",
        (false, _) => "happened",
    };
    format!("{word} {}", happened_words(vocabulary, happened))
}

/// An entry of a job in the words of the language, whatever words it was written in.
pub fn entry(vocabulary: &Vocabulary, entry: &Entry) -> String {
    let name = |term: TermId| vocabulary.name(term);
    let names = |terms: &[TermId]| {
        let names: Vec<&str> = terms.iter().map(|&term| name(term)).collect();
        if names.is_empty() { "nothing".to_string() } else { names.join(", ") }
    };
    let of = |of: Option<TermId>| of.map_or_else(String::new, |of| format!(" of {}", name(of)));
    match entry {
        Entry::Vehicle { maker, model, year, built, vin } => {
            let mut text = format!("vehicle {}", name(*maker));
            if let Some(model) = model {
                text.push_str(&format!(" {}", name(*model)));
            }
            if let Some(year) = year {
                text.push_str(&format!(" {year}"));
            }
            if let Some(built) = built {
                text.push_str(&format!(", built {built}"));
            }
            if let Some(vin) = vin {
                text.push_str(&format!(", vin \"{vin}\""));
            }
            text
        }
        Entry::Equipped { what, yes: true } => format!("equipped with {}", names(what)),
        Entry::Equipped { what, yes: false } => format!("not equipped with {}", names(what)),
        Entry::EquipmentComplete => "equipment is complete".to_string(),
        Entry::Happened(happened) => {
            format!("{}{}", if happened.on_the_way { "on the way " } else { "" }, happened_words(vocabulary, happened))
        }
        Entry::NotHappened { what, subject } => match subject {
            Some(subject) => format!("not happened {} {}", name(*subject), name(*what)),
            None => format!("not happened {}", name(*what)),
        },
        Entry::NothingElseCameOff => "nothing else came off".to_string(),
        Entry::WorkComplete => "work is complete".to_string(),
        Entry::LookedOver(parts) => format!("looked over {}, nothing found", names(parts)),
        Entry::LookedOverEverything => "looked over everything, nothing else found".to_string(),
        Entry::Measured { measure, of: about, change, reading } => {
            format!("measured {}{}{} {reading}", if *change { "change in " } else { "" }, name(*measure), of(*about))
        }
        Entry::Holds { condition, of: about, answer, by, because } => {
            let mut text = match (answer, by, because) {
                (Judgement::Yes, None, None) => {
                    format!("given {}{}", name(*condition), of(*about))
                }
                (Judgement::No, None, None) => {
                    format!("given not {}{}", name(*condition), of(*about))
                }
                (answer, _, _) => format!(
                    "judged {}{} {}",
                    name(*condition),
                    of(*about),
                    match answer {
                        Judgement::Yes => "yes",
                        Judgement::No => "no",
                        Judgement::CannotTell => "cannot tell",
                    }
                ),
            };
            if let Some(by) = by {
                text.push_str(&format!(" by \"{by}\""));
            }
            if let Some(because) = because {
                text.push_str(&format!(" because \"{because}\""));
            }
            text
        }
        Entry::Chosen { choice, of, value, yes } => {
            let of = of.map_or_else(String::new, |of| format!(" of {}", name(of)));
            format!("given {}{}{of} is {}", if *yes { "" } else { "not " }, name(*choice), name(*value))
        }
        Entry::InHand { procedure, of } => {
            let of = of.map_or_else(String::new, |of| format!(" of {}", name(of)));
            format!("in hand {}{of}", name(*procedure))
        }
        Entry::MeasuredValue { measure, procedure, of, reading } => {
            let of = of.map_or_else(String::new, |of| format!(" of {}", name(of)));
            format!("measured {} of {}{of} {reading}", name(*measure), name(*procedure))
        }
        Entry::Placed { what, subject, place: (placing, zone) } => {
            format!("given {} {} {} {}", name(*subject), name(*what), placing.word(), name(*zone))
        }
        Entry::Quality { new, part, quality, yes } => {
            let (age, is) = (if *new { "new" } else { "old" }, if *yes { "is" } else { "is not" });
            format!("{age} {} {is} {}", name(*part), name(*quality))
        }
        Entry::Because { what, subject, cause } => {
            format!("given {} {} because of {}", name(*subject), name(*what), name(*cause))
        }
        Entry::Done { procedure, of: about, outcome, at } => format!(
            "done {}{}{}{}",
            name(*procedure),
            of(*about),
            outcome.map_or_else(String::new, |end| format!(" ended in {}", name(end))),
            at_words(at)
        ),
        Entry::Scan(scan) => scan_words(vocabulary, scan),
        Entry::Dated(date) => format!("dated {date}"),
    }
}

fn happened_words(vocabulary: &Vocabulary, happened: &Happened) -> String {
    let name = |term: TermId| vocabulary.name(term);
    let mut text = String::new();
    if let Some(subject) = happened.subject {
        text.push_str(name(subject));
        text.push(' ');
    }
    text.push_str(name(happened.what));
    if let Some((placing, zone)) = happened.place {
        text.push_str(&format!(" {} {}", placing.word(), name(zone)));
    }
    for (measure, reading) in &happened.sizes {
        text.push_str(&format!(", {} {reading}", name(*measure)));
    }
    if let Some(cause) = happened.because {
        text.push_str(&format!(" because of {}", name(cause)));
    }
    text.push_str(&at_words(&happened.at));
    text
}

fn scan_words(vocabulary: &Vocabulary, scan: &Scan) -> String {
    let mut text = match scan.when {
        ReadWhen::OnArrival => "scan on arrival".to_string(),
        ReadWhen::AfterWork => "scan after work".to_string(),
        ReadWhen::NotSaid => "scan".to_string(),
    };
    text.push_str(&at_words(&scan.at));
    match &scan.modules {
        None => text.push_str(" of every module"),
        Some(modules) => {
            let names: Vec<&str> = modules.iter().map(|&module| vocabulary.name(module)).collect();
            text.push_str(&format!(" of {}", names.join(", ")));
        }
    }
    let codes: Vec<String> = scan.codes.iter().map(|found| found_words(vocabulary, found)).collect();
    text.push_str(&if codes.is_empty() { ", no codes".to_string() } else { format!(", codes {}", codes.join(", ")) });
    match scan.tested {
        Some(true) => text.push_str(", tests run"),
        Some(false) => text.push_str(", tests not run"),
        None => {}
    }
    text
}

fn found_words(vocabulary: &Vocabulary, found: &FoundCode) -> String {
    let mut text = found.code.to_string();
    if found.pending {
        text.push_str(" pending");
    }
    if let Some(status) = found.status {
        text.push_str(&format!(" status {status}"));
    }
    text.push_str(&format!(" in {}", vocabulary.name(found.module)));
    text
}

fn at_words(at: &Option<When>) -> String {
    match at {
        Some(When { date, clock: Some(clock) }) => format!(" at {date} {clock}"),
        Some(When { date, clock: None }) => format!(" at {date}"),
        None => String::new(),
    }
}
