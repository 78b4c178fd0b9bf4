//! Completion: from the words before the cursor to the phrases that go on with them.

use std::collections::BTreeSet;

use knockon_lang::syntax::{Tok, lex};
use knockon_lang::terms::Vocabulary;
use knockon_lang::terms::forms::SENTENCE_FORMS;

use super::words::WORDS;

/// A phrase of more words than this is not looked for.
const MOST_WORDS: usize = 8;

/// More phrases than this are no help.
const MOST_CANDIDATES: usize = 40;

/// First words of lines: items and the lines of a job.
const FIRST: &[&str] = &[
    "use",
    "maker",
    "part",
    "sensor",
    "system",
    "module",
    "option",
    "kind",
    "operation",
    "event",
    "finding",
    "state",
    "procedure",
    "measure",
    "condition",
    "choice",
    "zone",
    "relation",
    "source",
    "for",
    "rule",
    "job",
    "test",
    "vehicle",
    "equipped with",
    "not equipped with",
    "equipment is complete",
    "work",
    "also removed",
    "nothing else came off",
    "work is complete",
    "found",
    "looked over",
    "looked over everything, nothing else found",
    "happened",
    "not happened",
    "measured",
    "measured change in",
    "given",
    "given not",
    "judged",
    "done",
    "scan after work of",
    "dated",
];

/// All phrases there are to complete.
#[derive(Default)]
pub struct Phrases {
    /// At the start of a line: words of the prompt, items, job lines.
    first: Vec<Phrase>,
    /// Anywhere: declared terms and the fixed words of sentences.
    anywhere: Vec<Phrase>,
}

struct Phrase {
    words: Vec<String>,
    text: String,
}

impl Phrase {
    fn new(text: &str) -> Phrase {
        Phrase { words: text.split_whitespace().map(str::to_lowercase).collect(), text: text.to_string() }
    }

    /// Whether the phrase begins with the words, the last of which may be the beginning of one only.
    fn begins(&self, words: &[String]) -> bool {
        let Some((last, whole)) = words.split_last() else { return false };
        self.words.starts_with(whole) && self.words.get(whole.len()).is_some_and(|word| word.starts_with(last.as_str()))
    }
}

/// What may stand in place of the last words of a line.
#[derive(Debug, Default, PartialEq, Eq)]
pub struct Completion {
    /// The byte the words begin at.
    pub start: usize,
    /// The phrases, in order.
    pub phrases: Vec<String>,
}

impl Phrases {
    /// The phrases of a vocabulary, of the language, and the names `why` may be asked about.
    pub fn new(vocabulary: &Vocabulary, names: &[String]) -> Phrases {
        let first: BTreeSet<&str> = WORDS.iter().map(|entry| entry.name).chain(FIRST.iter().copied()).collect();
        let mut anywhere: BTreeSet<String> = names.iter().cloned().collect();
        for (_, term) in vocabulary.iter() {
            anywhere.insert(term.name.clone());
            anywhere.extend(term.aliases.iter().cloned());
        }
        for form in SENTENCE_FORMS {
            anywhere.extend(fixed_words(form.form));
        }
        Phrases {
            first: first.into_iter().map(Phrase::new).collect(),
            anywhere: anywhere.iter().map(|text| Phrase::new(text)).collect(),
        }
    }

    /// What may stand in place of the last words before the cursor: the longest run of words that begins a phrase
    /// counts, compared word by word, so that blanks and capitals do not matter.
    pub fn complete(&self, before: &str) -> Completion {
        let words = last_words(before);
        for (index, &(start, _)) in words.iter().enumerate() {
            let run: Vec<String> = words.iter().skip(index).map(|(_, word)| word.clone()).collect();
            let line_start = before.get(..start).and_then(|text| text.rsplit('\n').next()).unwrap_or("");
            let at_start = line_start.trim().is_empty();
            let first = self.first.iter().filter(|_| at_start);
            let mut phrases: Vec<String> = first
                .chain(&self.anywhere)
                .filter(|phrase| phrase.begins(&run))
                .map(|phrase| phrase.text.clone())
                .collect();
            phrases.dedup();
            phrases.truncate(MOST_CANDIDATES);
            if !phrases.is_empty() {
                return Completion { start, phrases };
            }
        }
        Completion::default()
    }

    /// The rest of the first phrase that adds something, where at least two letters of it are there.
    pub fn hint(&self, before: &str) -> Option<String> {
        let completion = self.complete(before);
        let typed = before.get(completion.start..)?;
        if typed.chars().count() < 2 {
            return None;
        }
        completion.phrases.iter().find_map(|phrase| rest_of(phrase, typed))
    }
}

/// What of a phrase is not typed yet; nothing where all of it is.
fn rest_of(phrase: &str, typed: &str) -> Option<String> {
    let words: Vec<&str> = typed.split_whitespace().collect();
    let of_phrase: Vec<&str> = phrase.split_whitespace().collect();
    let last = words.last()?;
    let begun = of_phrase.get(words.len() - 1)?;
    let mut rest: String = begun.chars().skip(last.chars().count()).collect();
    for word in of_phrase.iter().skip(words.len()) {
        rest.push(' ');
        rest.push_str(word);
    }
    (!rest.is_empty()).then_some(rest)
}

/// The last words of a text that ends in one, each with the byte it begins at.
fn last_words(before: &str) -> Vec<(usize, String)> {
    let tokens = lex(before);
    let mut words: Vec<(usize, String)> = Vec::new();
    let mut end = before.len();
    for index in (0..tokens.len()).rev() {
        let (start, stop) = tokens.span(index);
        let between = before.get(stop as usize..end).unwrap_or("");
        let first = words.is_empty();
        if (first && !between.is_empty()) || !between.chars().all(|blank| blank == ' ' || blank == '\t') {
            break;
        }
        let kind = tokens.kind(index);
        let wordlike = kind.is_some_and(|kind| {
            kind.is_wordlike() || kind.is_item_word() || kind.is_connecting() || kind as u8 > Tok::Bad as u8
        });
        if !wordlike || words.len() >= MOST_WORDS {
            break;
        }
        // A token of several words counts as several.
        let text = before.get(start as usize..stop as usize).unwrap_or("");
        let mut at = start as usize;
        let mut own = Vec::new();
        for word in text.split([' ', '\t']) {
            if !word.is_empty() {
                own.push((at, word.to_lowercase()));
            }
            at += word.len() + 1;
        }
        words.extend(own.into_iter().rev());
        end = start as usize;
    }
    words.reverse();
    words
}

/// The runs of fixed words in a sentence form: those not in capitals.
fn fixed_words(form: &str) -> Vec<String> {
    let mut runs = Vec::new();
    let mut run: Vec<&str> = Vec::new();
    let mut close = |run: &mut Vec<&str>| {
        if !run.is_empty() {
            runs.push(run.join(" "));
            run.clear();
        }
    };
    for word in form.split_whitespace() {
        let bare = word.trim_matches(['[', ']', '/']);
        let fixed = !bare.is_empty() && bare.chars().all(|letter| letter.is_lowercase());
        if word.starts_with(['[', '/']) || !fixed {
            close(&mut run);
        }
        if fixed {
            run.push(bare);
        }
        if word.ends_with(']') {
            close(&mut run);
        }
    }
    close(&mut run);
    runs
}

#[cfg(test)]
mod tests {
    use super::*;

    fn phrases() -> Phrases {
        let terms = ["front fascia", "front radar", "left headlamp", "replaced", "VEL bracket"];
        Phrases {
            first: ["work", "work is complete", "why", "what"].map(Phrase::new).into(),
            anywhere: terms.map(Phrase::new).into_iter().chain([Phrase::new("is touched")]).collect(),
        }
    }

    fn complete(before: &str) -> (usize, Vec<String>) {
        let completion = phrases().complete(before);
        (completion.start, completion.phrases)
    }

    #[test]
    fn the_longest_run_of_words_that_begins_a_phrase_counts() {
        assert_eq!(complete("work replaced front f"), (14, vec!["front fascia".to_string()]));
        assert_eq!(complete("fr"), (0, vec!["front fascia".to_string(), "front radar".to_string()]));
        assert_eq!(complete("left headlamp re"), (14, vec!["replaced".to_string()]));
    }

    #[test]
    fn blanks_and_capitals_do_not_matter() {
        assert_eq!(complete("removed FRONT   ra"), (8, vec!["front radar".to_string()]));
        assert_eq!(complete("vel br"), (0, vec!["VEL bracket".to_string()]));
    }

    #[test]
    fn first_words_stand_only_first_on_a_line() {
        assert_eq!(complete("wh").1, ["why", "what"]);
        assert_eq!(complete("front wh").1, Vec::<String>::new());
        assert_eq!(complete("vehicle X\n  wor").1, ["work", "work is complete"]);
        assert_eq!(complete("work is c"), (0, vec!["work is complete".to_string()]));
    }

    #[test]
    fn nothing_is_completed_after_a_blank_or_inside_quotes() {
        assert_eq!(complete("front ").1, Vec::<String>::new());
        assert_eq!(complete("says \"front f").1, Vec::<String>::new());
        assert_eq!(complete("").1, Vec::<String>::new());
    }

    #[test]
    fn a_hint_is_the_rest_of_the_first_phrase() {
        assert_eq!(phrases().hint("work replaced fr").as_deref(), Some("ont fascia"));
        assert_eq!(phrases().hint("front radar is t").as_deref(), Some("ouched"));
        assert_eq!(phrases().hint("front radar"), None);
        assert_eq!(phrases().hint("f"), None);
    }

    #[test]
    fn letters_of_more_than_one_byte_are_no_trouble() {
        let phrases = Phrases { first: vec![], anywhere: vec![Phrase::new("öffner links")] };
        assert_eq!(phrases.complete("é öff"), Completion { start: 3, phrases: vec!["öffner links".to_string()] });
        assert_eq!(phrases.hint("ÖFFN").as_deref(), Some("er links"));
    }

    #[test]
    fn fixed_words_come_from_the_one_table_of_forms() {
        assert_eq!(fixed_words("SUBJECT is touched"), ["is touched"]);
        assert_eq!(fixed_words("change in MEASURE [of TERM] LIMIT"), ["change in", "of"]);
        assert_eq!(
            fixed_words("PROCEDURE [of SUBJECT] done / ended in OUTCOME [since SUBJECT HAPPENING]"),
            ["of", "done", "ended in", "since"]
        );
        let all = Phrases::new(&Vocabulary::default(), &["scan of all".to_string()]);
        assert!(all.anywhere.iter().any(|phrase| phrase.text == "equipped with"));
        assert_eq!(all.complete("why scan o").phrases, ["scan of all"]);
    }
}
