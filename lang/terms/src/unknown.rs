//! What is said of a phrase nobody declared: where it stands, what it nearly matched, how to declare it.

use knockon_syntax::Tok;
use knockon_syntax::tree::Range;
use knockon_text::suggest::nearest;
use knockon_text::{Code, Problem};

use crate::phrases::Meaning;
use crate::view::{Cursor, View};
use crate::vocabulary::{Class, TermId, Vocabulary};
use crate::words::{WordId, known};

/// Words that go on with a sentence after a name, so that a name nobody declared ends before them.
const GOES_ON: &[WordId] = &[
    known::SINCE,
    known::OVER,
    known::UNDER,
    known::WITHIN,
    known::TOUCHING,
    known::OUTSIDE,
    known::TOUCHED,
    known::DUE,
    known::DONE,
    known::STORED,
    known::PENDING,
    known::READ,
    known::ENDED,
    known::BEFORE,
    known::AFTER,
    known::UNTIL,
    known::BUILT,
    known::DATED,
    known::VIN,
    known::HAS,
    known::USUALLY,
    known::LIST,
    known::YES,
    known::CANNOT,
    known::REQUIRED,
    known::CONFLICT,
    known::OPEN,
    known::ADVISED,
    known::ABSENT,
    known::MET,
    known::HELD,
    known::SILENT,
    known::FORBIDDEN,
    known::ALLOWED,
    known::HOLDS,
];

/// No name is longer than this many words; a longer run of them is told as it stands.
const MOST_NAME_WORDS: usize = 12;

/// The class words, as [`Class::Kind`] is wanted beside them where `any` stands.
const CLASS_WORDS: [&str; 4] = ["part", "sensor", "system", "module"];

/// A word with `a` or `an` before it, by its sound as far as its spelling shows.
pub fn a(word: &str) -> String {
    let vowel = word.chars().next().is_some_and(|first| "aeiou".contains(first.to_ascii_lowercase()));
    format!("{} {word}", if vowel { "an" } else { "a" })
}

/// The problem of a range that names no term `accept` takes. `wanted` says what it should be.
pub fn phrase(
    view: &View<'_>,
    vocabulary: &Vocabulary,
    range: Range,
    wanted: &str,
    accept: &dyn Fn(TermId, Class) -> bool,
) -> Problem {
    if range.is_empty() {
        return Problem::at(
            Code::UnexpectedWord,
            view.span(range),
            format!("{wanted} is missing"),
            "the line ends here, and something more is needed",
        )
        .help(format!("write {wanted} that is declared in this file or in one it uses"));
    }
    let range = narrowed(view, vocabulary, range);
    let shown = view.name(range);
    let mut cursor = Cursor::new(view, vocabulary, range);
    if let Some((term, _)) = cursor.take_term(|_| true)
        && cursor.is_done()
    {
        return wrong_class(view, vocabulary, range, term, wanted, accept);
    }
    let near = near(view, vocabulary, &shown, wanted, accept);
    let label = if near.is_empty() {
        match wanted {
            "a sentence" => "no sentence begins like this".to_string(),
            "a class" => "part, sensor, system, module or a kind is meant here".to_string(),
            _ => format!("{wanted} is meant here"),
        }
    } else {
        format!("did you mean {}?", near.join(" or "))
    };
    let noun = wanted.strip_prefix("a ").or(wanted.strip_prefix("an ")).unwrap_or(wanted);
    let message = match wanted {
        "a sentence" => format!("nobody declared `{shown}`"),
        _ => format!("`{shown}` is no declared {noun}"),
    };
    let problem = Problem::at(Code::UnknownPhrase, view.span(range), message, label);
    // Declared, but in a file this one does not use?
    let elsewhere = vocabulary.iter().find(|(id, term)| {
        accept(*id, term.class)
            && term.name.eq_ignore_ascii_case(&shown)
            && !vocabulary.sees(view.source.file, term.span.file)
    });
    if let Some((_, term)) = elsewhere {
        return problem
            .context(term.span, "declared here, in a file that the other does not use")
            .help("name that file in a line `use \"...\"`: only the words of files in use count");
    }
    if let Some(joined) = (range.first..range.end).map(|token| view.text(token)).find(|word| word.contains('/')) {
        return problem.help(format!(
            "a `/` is part of a word; if two things are meant, write them with `or`: `{}`",
            joined.replace('/', " or ")
        ));
    }
    let declare = declaration(wanted, &shown);
    problem.help(if near.is_empty() {
        format!("use a word that is declared, or {declare}")
    } else {
        format!("if it is a new word, {declare}")
    })
}

/// A declared term where another class is needed.
fn wrong_class(
    view: &View<'_>,
    vocabulary: &Vocabulary,
    range: Range,
    term: TermId,
    wanted: &str,
    accept: &dyn Fn(TermId, Class) -> bool,
) -> Problem {
    let found = vocabulary.term(term);
    let shown = view.name(range);
    let class = a(found.class.word());
    let at = |message: String, label: String| {
        Problem::at(Code::WrongClass, view.span(range), message, label).context(found.span, "declared here")
    };
    if found.is_group() && accept(term, found.class) {
        return at(format!("`{shown}` names several, where {wanted} is meant"), "which one of them?".to_string())
            .help("name one of its members");
    }
    if wanted == "a sentence" {
        return at(format!("`{shown}` is {class}, and no sentence begins with one"), format!("{class} by itself"))
            .help(match found.class {
                Class::State => "a state stands after its part and `is`: `front radar is misaligned`",
                Class::Zone => "a zone stands after what happened: `front fascia cracked in radar window`",
                Class::Value => "a value stands after its choice and `is`: `rear axle is solid`",
                Class::Outcome => "an outcome stands after `ended in`: `wheel alignment ended in passed`",
                Class::Maker | Class::Model => "cars are named by the scope around: `for MAKER MODEL { ... }`",
                _ => "begin with what the sentence is about: a part, a measure, a condition, a procedure",
            });
    }
    at(format!("`{shown}` is {class}, where {wanted} is meant"), format!("{wanted} is meant here"))
        .help(format!("name {wanted}; if `{shown}` is one, change its declaration"))
}

fn near(
    view: &View<'_>,
    vocabulary: &Vocabulary,
    shown: &str,
    wanted: &str,
    accept: &dyn Fn(TermId, Class) -> bool,
) -> Vec<String> {
    let words: &[&str] = if wanted == "a class" { &CLASS_WORDS } else { &[] };
    let names = vocabulary
        .iter()
        .filter(|(id, term)| accept(*id, term.class) && vocabulary.sees(view.source.file, term.span.file))
        .flat_map(|(_, term)| std::iter::once(term.name.as_str()).chain(term.aliases.iter().map(String::as_str)))
        .chain(words.iter().copied());
    nearest(shown, names).into_iter().map(|name| format!("`{name}`")).collect()
}

/// How a word is declared, by what it should be; goes on after "or".
fn declaration(wanted: &str, shown: &str) -> String {
    let has = |word: &str| wanted.split(' ').any(|found| found.trim_end_matches(',') == word);
    if wanted == "a class" {
        return format!("declare it as a kind: `kind {shown} of sensor ...`");
    }
    if wanted == "a sentence" || wanted == "equipment" || wanted.starts_with("a part or ") {
        let other = match wanted {
            "a sentence" => "condition",
            "equipment" => "option",
            _ => wanted.rsplit(' ').next().unwrap_or("event"),
        };
        return format!("declare it with its class, as in `part {shown}` or `{other} {shown}`");
    }
    if has("model") {
        return format!("name it with its maker: `maker ... makes ..., {shown}`");
    }
    if has("outcome") {
        return format!("name it with its procedure: `procedure ... ends in passed, {shown}`");
    }
    if has("value") {
        return format!("name it with its choice: `choice ... one of ..., {shown}`");
    }
    let line = [
        ("operation", "operation %"),
        ("event", "event %"),
        ("finding", "finding % of part"),
        ("happened", "event % of part"),
        ("state", "state % of part"),
        ("zone", "zone % of front fascia"),
        ("measure", "measure % in mm"),
        ("procedure", "procedure % of sensor"),
        ("condition", "condition % asked as \"...?\""),
        ("choice", "choice % one of ..., ..."),
        ("relation", "relation % of part to part"),
        ("maker", "maker %"),
        ("system", "system %"),
        ("sensor", "sensor %"),
        ("part", "part %"),
    ]
    .into_iter()
    .find(|(word, _)| has(word))
    .map(|(_, line)| line.replace('%', shown));
    match line {
        Some(line) => format!("declare it: `{line}`"),
        None => format!("declare it with its class, as in `part {shown}`"),
    }
}

/// The beginning of a run of words that a person would take as the name nobody declared: up to a number, to what
/// goes on with a sentence, or to the next declared phrase.
fn narrowed(view: &View<'_>, vocabulary: &Vocabulary, run: Range) -> Range {
    let known_at = |at: u32, accept: &dyn Fn(&Vocabulary, Meaning) -> bool| {
        Cursor::new(view, vocabulary, Range { first: at, end: run.end }).find(accept).is_some()
    };
    let happening = |vocabulary: &Vocabulary, meaning: Meaning| vocabulary.class(meaning.term).happens();
    let ends = |at: u32| {
        let before = Range { first: run.first, end: at };
        matches!(view.kind(at), Some(Tok::Number | Tok::Date | Tok::Time))
            || view.words.get(at as usize).is_some_and(|word| GOES_ON.contains(word))
            || known_at(at, &|vocabulary, meaning| {
                let class = vocabulary.class(meaning.term);
                class.happens() || matches!(class, Class::Relation | Class::Model)
            })
            // Before a part only where something else is named first: `replace left headlamp`.
            || (known_at(at, &|vocabulary, meaning| vocabulary.class(meaning.term).is_equipment())
                && (is_phrase(view, vocabulary, before) || near_one(view, vocabulary, before, &happening)))
    };
    let end = (run.first + 1..run.end).take(MOST_NAME_WORDS).find(|&at| ends(at)).unwrap_or(run.end);
    Range { first: run.first, end }
}

/// Whether a range is a declared phrase and nothing more.
fn is_phrase(view: &View<'_>, vocabulary: &Vocabulary, range: Range) -> bool {
    let mut cursor = Cursor::new(view, vocabulary, range);
    cursor.take_term(|_| true).is_some() && cursor.is_done()
}

/// Whether a range is nearly the name of something `accept` takes.
fn near_one(
    view: &View<'_>,
    vocabulary: &Vocabulary,
    range: Range,
    accept: &dyn Fn(&Vocabulary, Meaning) -> bool,
) -> bool {
    let names = vocabulary
        .iter()
        .filter(|(id, _)| accept(vocabulary, Meaning { term: *id, role: crate::phrases::Role::Name }))
        .map(|(_, term)| term.name.as_str());
    !nearest(&view.name(range), names).is_empty()
}

/// The run of words at a token, up to what joins or ends a sentence: what a person would take as one name. Past
/// the end it is empty, and stands after the last token.
pub fn run_at(view: &View<'_>, at: u32, end: u32) -> Range {
    if at >= end {
        return Range { first: at, end: at };
    }
    let stops = |kind: Tok| !kind.is_wordlike() || kind == Tok::Text;
    let mut last = at;
    while last < end && view.kind(last).is_some_and(|kind| !stops(kind)) {
        last += 1;
    }
    Range { first: at, end: last.max(at + 1) }
}
