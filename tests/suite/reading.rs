//! Reading aloud: what is read of a file is a file in the one style, and read again it says the same.

#![expect(
    clippy::unwrap_used,
    clippy::indexing_slicing,
    clippy::print_stdout,
    reason = "helpers of tests, and counts for whoever asks for them"
)]

mod conditions;
mod counted;
mod facts;
mod jobs;
mod pen;
mod procedures;
mod rules;
mod tables;
mod words;

use std::collections::BTreeMap;

use knockon_lang::syntax::{dump, parse, print};
use knockon_lang::terms::{Resolved, reading};
use knockon_lang::text::{FileId, draw};
use knockon_lang::{Loaded, Shelf, load};

use crate::shelf::{Changed, Repository, knock_files, root};
use counted::Counted;

/// All that was resolved but places in texts: where it stands, how a line was written, what a row of a table is called.
fn meaning(resolved: &Resolved) -> String {
    let mut resolved = resolved.clone();
    let lines = resolved.jobs.iter_mut().flat_map(|job| &mut job.lines);
    let of_tests = resolved.tests.iter_mut().flat_map(|test| &mut test.lines);
    for line in lines.chain(of_tests) {
        line.number = 0;
        line.written.clear();
    }
    for test in &mut resolved.tests {
        if let Some(row) = &test.row {
            let number = test.name.strip_prefix(&row.test).unwrap().split(':').next().unwrap().to_string();
            test.name = format!("{}{number}", row.test);
            // A column in which nothing stands says nothing.
            if let Some(row) = &mut test.row {
                row.cells.clear();
            }
        }
    }
    let Resolved { vocabulary, scopes, uses, sources, facts, rules, carrying_out, jobs, tests, digest: _ } = &resolved;
    let mut out = String::new();
    for (id, term) in vocabulary.iter() {
        out.push_str(&format!("{id:?} {term:?}\n"));
    }
    let rest = [
        scopes.iter().map(|scope| format!("{scope:?}")).collect::<Vec<_>>(),
        uses.iter().map(|used| format!("{used:?}")).collect(),
        sources.iter().map(|source| format!("{source:?}")).collect(),
        facts.iter().map(|fact| format!("{fact:?}")).collect(),
        rules.iter().map(|rule| format!("{rule:?}")).collect(),
        carrying_out.iter().map(|item| format!("{item:?}")).collect(),
        jobs.iter().map(|job| format!("{job:?}")).collect(),
        tests.iter().map(|test| format!("{test:?}")).collect(),
    ];
    for line in rest.into_iter().flatten() {
        out.push_str(&line);
        out.push('\n');
    }
    without_spans(&out)
}

fn without_spans(text: &str) -> String {
    let mut out = String::with_capacity(text.len() / 2);
    let mut rest = text;
    while let Some((before, after)) = rest.split_once("Span {") {
        out.push_str(before);
        out.push_str("Span");
        rest = after.split_once('}').map_or("", |(_, after)| after);
    }
    out.push_str(rest);
    out
}

/// What is wrong with the reading of the first file of a load; `again` loads the reading in its place.
fn wrong_reading(loaded: &Loaded, again: impl Fn(&str) -> Loaded) -> Option<String> {
    let read = reading::file(&loaded.resolved, FileId(0));
    let second = again(&read);
    if second.has_errors() {
        let drawn = draw::draw(&second.problems, &second.sources, false);
        return Some(format!("the reading is refused:\n{drawn}\n{read}"));
    }
    let parsed = parse(FileId(0), &read);
    if print::format(&read, &parsed).as_deref() != Some(&read) {
        return Some(format!("the reading is not in the one style:\n{read}"));
    }
    let (one, two) = (meaning(&loaded.resolved), meaning(&second.resolved));
    if one != two {
        let line = one.lines().zip(two.lines()).find(|(one, two)| one != two);
        let (one, two) = line.unwrap_or(("", "more, or less"));
        let same = one.chars().zip(two.chars()).take_while(|(one, two)| one == two).count();
        let from_there = |text: &str| text.chars().skip(same.saturating_sub(150)).take(500).collect::<String>();
        let (one, two) = (from_there(one), from_there(two));
        return Some(format!("the reading says something else:\n  {one}\n  {two}\n{read}"));
    }
    let twice = reading::file(&second.resolved, FileId(0));
    (twice != read).then(|| format!("read again it reads otherwise:\n{read}\n{twice}"))
}

/// The texts of the outside solver's cases, each of which uses words of its own.
struct Stored(BTreeMap<String, String>);

impl Shelf for Stored {
    fn read(&self, path: &str) -> Result<String, String> {
        self.0.get(path).cloned().ok_or_else(|| "there is no such file".to_string())
    }
}

#[test]
fn every_file_of_the_repository_is_read_aloud_as_a_file_that_says_the_same() {
    let folders = [
        "stdlib",
        "examples",
        "tests/decisions",
        "tests/constructs",
        "tests/sources",
        "tests/stages",
        "tests/published",
        "tests/command",
        "tests/prompt",
    ];
    let (mut read, mut wrong) = (0, Vec::new());
    for file in folders.iter().flat_map(|folder| knock_files(folder)) {
        let loaded = load(&[file.as_str()], &Repository);
        if loaded.has_errors() {
            // What holds a mistake on purpose is read as far as it goes, and no further.
            reading::file(&loaded.resolved, FileId(0));
            continue;
        }
        read += 1;
        let again =
            |text: &str| load(&[file.as_str()], &Changed { texts: BTreeMap::from([(file.clone(), text.to_string())]) });
        wrong.extend(wrong_reading(&loaded, again).map(|wrong| format!("{file}: {wrong}")));
    }
    println!("{read} files read aloud");
    assert!(
        wrong.is_empty(),
        "{} are wrong, such as\n{}",
        wrong.len(),
        wrong.iter().take(4).cloned().collect::<Vec<_>>().join("\n\n")
    );
    assert!(read > 150, "{read}");
}

#[test]
fn every_stored_text_of_the_outside_solver_is_read_aloud_as_a_text_that_says_the_same() {
    let stored = |name: &str| std::fs::read_to_string(root().join("tests/oracle/answers").join(name)).unwrap();
    let words = stored("words.knock");
    let mut read = 0;
    for number in 1..=5 {
        for piece in stored(&format!("cases-{number}.txt")).split("=== ").skip(1) {
            let (_, rest) = piece.split_once('\n').unwrap();
            let (text, _) = rest.split_once("--- clingo\n").unwrap();
            let shelf = |text: &str| {
                Stored(BTreeMap::from([("words.knock".into(), words.clone()), ("case.knock".into(), text.to_string())]))
            };
            let loaded = load(&["case.knock"], &shelf(text));
            assert_eq!(wrong_reading(&loaded, |text| load(&["case.knock"], &shelf(text))), None);
            read += 1;
        }
    }
    assert!(read >= 500, "{read}");
}

#[test]
fn files_with_a_mistake_in_them_are_read_as_far_as_they_go() {
    for file in knock_files("tests/errors").iter().chain(&knock_files("tests/hostile")) {
        let loaded = load(&[file.as_str()], &Repository);
        let read = reading::file(&loaded.resolved, FileId(0));
        let parsed = parse(FileId(0), &read);
        assert!(parsed.problems.is_empty(), "{file}: {:?}\n{read}", parsed.problems);
    }
}

/// How many files are made: 2,000, or as many as the environment variable KNOCKON_GENERATED says.
fn how_many() -> u64 {
    std::env::var("KNOCKON_GENERATED").ok().and_then(|count| count.parse().ok()).unwrap_or(2_000)
}

#[test]
fn generated_files_of_every_construct_are_read_and_formatted_as_what_they_say() {
    let mut counted = Counted::default();
    let (mut bytes, mut rules) = (0, 0);
    let files = how_many();
    let started = std::time::Instant::now();
    for seed in 1..=files {
        let texts = pen::file(seed);
        let shelf = |own: Option<&str>| {
            let mut texts = texts.clone();
            if let Some(own) = own {
                texts.insert("own.knock".to_string(), own.to_string());
            }
            Stored(texts)
        };
        let own = &texts["own.knock"];
        let loaded = load(&["own.knock"], &shelf(None));
        let problems = draw::draw(&loaded.problems, &loaded.sources, false);
        assert!(!loaded.has_errors(), "seed {seed} is refused:\n{problems}\n{own}");
        let wrong = wrong_reading(&loaded, |text| load(&["own.knock"], &shelf(Some(text))));
        assert!(wrong.is_none(), "seed {seed}: {}\nof:\n{own}", wrong.unwrap_or_default());
        formats(seed, own);
        counted.add(&loaded.resolved);
        bytes += own.len();
        rules += loaded.resolved.rules.len();
    }
    println!("{files} files, {bytes} bytes, {rules} rules, in {:.1} s", started.elapsed().as_secs_f64());
    println!("{}", counted.shares());
    let missing = counted.missing();
    assert!(missing.is_empty(), "never generated: {missing:?}; each is one function of the generator");
}

/// Formatting keeps the tree, and formatting again changes nothing.
fn formats(seed: u64, text: &str) {
    let parsed = parse(FileId(0), text);
    let printed = print::format(text, &parsed);
    assert!(printed.is_some(), "seed {seed} is not formatted:\n{text}");
    let printed = printed.unwrap_or_default();
    let again = parse(FileId(0), &printed);
    assert_eq!(dump::tree(text, &parsed), dump::tree(&printed, &again), "seed {seed}: the tree changed:\n{printed}");
    assert_eq!(print::format(&printed, &again).as_deref(), Some(printed.as_str()), "seed {seed}: again it changes");
}

/// The words of the tests below: a text of its own for each.
const WORDS: &str = "maker Brindle makes Sedge\n\
    operation removed doing \"removing\", on the way \"takes off\"\n\
    operation loosened\n\
    finding cracked of part\n\
    relation behind of part to part, passes disturbance\n\
    part front fascia\n  also written \"bumper cover\"\n\
    part work light\n\
    part headlamp on left, right\n\
    sensor front radar\n\
    sensor rear camera\n\
    procedure aiming of sensor\n\
    measure gap in mm of part\n\
    source S-1\n  rank maker statement\n  issued 2025-01-01\n";

/// What is read of a text after the words.
fn read_of(text: &str) -> String {
    let shelf = Stored(BTreeMap::from([("own.knock".to_string(), format!("{WORDS}{text}"))]));
    let loaded = load(&["own.knock"], &shelf);
    assert!(!loaded.has_errors(), "{}", draw::draw(&loaded.problems, &loaded.sources, false));
    reading::file(&loaded.resolved, FileId(0))
}

#[test]
fn a_rule_is_read_with_its_terms_own_names_its_quantifiers_and_the_brackets_it_needs() {
    let read = read_of(
        "rule \"r\"\n cites s-1\n unless front radar cracked or rear camera removed\n when (Bumper Cover removed or \
         loosened)\n and (headlamp removed\n and not (front radar is touched or equipped with rear camera))\n and any \
         part as first behind front fascia where not gap of it over 2 mm cracked\n then require aiming of every sensor\n",
    );
    let rule = "rule \"r\"\n  cites S-1\n  when (front fascia removed or front fascia loosened)\n   and any headlamp \
                removed\n   and not (front radar is touched or equipped with rear camera)\n   and any part behind front \
                fascia as first where not gap of it over 2 mm cracked\n  unless front radar cracked or rear camera \
                removed\n  then require aiming of every sensor\n";
    assert!(read.ends_with(rule), "{read}\n{rule}");
}

#[test]
fn what_stands_in_a_kind_without_a_class_word_is_all_of_it() {
    // The first member stood where the class word may stand, and was lost.
    let read = read_of("kind camera set of rear camera, front radar\n");
    assert!(read.contains("kind camera set of rear camera, front radar\n"), "{read}");
}

#[test]
fn a_name_that_begins_like_a_line_is_read_after_the() {
    let read = read_of("the work light is behind bumper cover, per S-1\n");
    assert!(read.contains("the work light is behind front fascia, per S-1\n"), "{read}");
}

#[test]
fn what_is_written_on_a_line_of_a_job_is_without_the_remarks_in_it() {
    let text = format!("{WORDS}job \"j\"\n  vehicle Brindle Sedge\n  measured gap of front fascia # so far\n  3 mm\n");
    let loaded = load(&["own.knock"], &Stored(BTreeMap::from([("own.knock".to_string(), text)])));
    assert!(!loaded.has_errors());
    let line = loaded.resolved.jobs[0].lines.last().unwrap();
    assert_eq!(line.written, "measured gap of front fascia 3 mm");
}
