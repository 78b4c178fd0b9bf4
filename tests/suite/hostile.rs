//! Whatever stands in a text: loading and deciding end, never panic, and say what is wrong in places that exist.

#![expect(clippy::unwrap_used, clippy::panic, reason = "helpers of tests")]

use std::collections::BTreeMap;
use std::path::Path;

use knockon_lang::decide::decide;
use knockon_lang::rules::{Library, year_problems};
use knockon_lang::syntax::tree::{Item, ItemKind};
use knockon_lang::text::draw::{draw, draw_plain_line};
use knockon_lang::text::neutral::is_hidden;
use knockon_lang::text::{Place, Severity};
use knockon_lang::{Loaded, Shelf, load};

/// Texts by their paths.
#[derive(Default)]
struct Memory(BTreeMap<String, String>);

impl Shelf for Memory {
    fn read(&self, path: &str) -> Result<String, String> {
        self.0.get(path).cloned().ok_or_else(|| "it is not there".to_string())
    }
}

impl Memory {
    fn with(mut self, path: &str, text: &str) -> Memory {
        self.0.insert(path.to_string(), text.to_string());
        self
    }
}

fn file(name: &str) -> String {
    std::fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join("tests").join(name)).unwrap()
}

/// The words, and a text that uses them.
fn load_text(words: &str, text: &str) -> Loaded {
    let memory = Memory::default().with("words.knock", words).with("own.knock", text);
    load(&["own.knock"], &memory)
}

/// The same numbers on every run: xorshift64*, Vigna, "An experimental exploration of Marsaglia's xorshift
/// generators, scrambled" (2016).
struct Chance(u64);

impl Chance {
    fn new(seed: u64) -> Chance {
        Chance(seed.wrapping_mul(0x9E37_79B9_7F4A_7C15) | 1)
    }

    fn below(&mut self, limit: usize) -> usize {
        self.0 ^= self.0 >> 12;
        self.0 ^= self.0 << 25;
        self.0 ^= self.0 >> 27;
        let number = self.0.wrapping_mul(0x2545_F491_4F6C_DD1D) >> 33;
        number as usize % limit.max(1)
    }

    fn pick<'a, T: ?Sized>(&mut self, list: &[&'a T]) -> &'a T {
        let at = self.below(list.len());
        list.get(at).copied().unwrap()
    }
}

/// The seeds, each an item or a scope with its items.
fn seeds(text: &str) -> Vec<&str> {
    text.split("\n\n").skip(1).collect()
}

/// What must hold of any load.
struct Checked {
    loaded: Loaded,
    decided: usize,
}

fn check(words: &str, text: &str, whole: bool) -> Checked {
    let loaded = load_text(words, text);
    for problem in &loaded.problems {
        assert!(problem.help.is_some(), "{problem:?}");
        let main = problem.main.as_ref().unwrap();
        for label in std::iter::once(main).chain(&problem.context) {
            let source = loaded.sources.get(label.span.file).unwrap();
            let (start, end) = (label.span.start as usize, label.span.end as usize);
            assert!(source.text().get(start..end).is_some(), "{problem:?} leaves the text or cuts a character");
        }
    }
    let broken = loaded.parsed.iter().any(|parsed| count(&parsed.file.items, &is_broken) > 0);
    assert!(!broken || loaded.has_errors(), "a broken item without a problem");
    if whole {
        let drawn = draw(&loaded.problems, &loaded.sources, false);
        let lines: String = loaded.problems.iter().map(|problem| draw_plain_line(problem, &loaded.sources)).collect();
        let hidden = drawn.chars().chain(lines.chars()).find(|&shown| is_hidden(shown) && shown != '\n');
        assert_eq!(hidden, None, "{drawn}");
        let again = load_text(words, text);
        assert_eq!(format!("{:?}", again.problems), format!("{:?}", loaded.problems), "not the same twice");
    }
    let mut decided = 0;
    if !loaded.has_errors() {
        nothing_is_lost(&loaded);
        decided = decide_all(&loaded);
    }
    Checked { loaded, decided }
}

fn is_broken(item: &Item) -> bool {
    item.kind == ItemKind::Broken
}

fn count(items: &[Item], wanted: &dyn Fn(&Item) -> bool) -> usize {
    items
        .iter()
        .map(|item| {
            let inner = match &item.kind {
                ItemKind::Scope(scope) => count(&scope.items, wanted),
                _ => 0,
            };
            inner + usize::from(wanted(item))
        })
        .sum()
}

/// Where nothing is wrong, every item of the trees is there in what they mean.
fn nothing_is_lost(loaded: &Loaded) {
    let all = |wanted: &dyn Fn(&Item) -> bool| -> usize {
        loaded.parsed.iter().map(|parsed| count(&parsed.file.items, wanted)).sum()
    };
    let resolved = &loaded.resolved;
    assert_eq!(all(&|item| matches!(item.kind, ItemKind::Rule(_))), resolved.rules.len(), "rules");
    assert_eq!(all(&|item| matches!(item.kind, ItemKind::Source(_))), resolved.sources.len(), "sources");
    assert_eq!(all(&|item| matches!(item.kind, ItemKind::Job(_))), resolved.jobs.len(), "jobs");
    assert!(all(&|item| matches!(item.kind, ItemKind::Test(_))) <= resolved.tests.len(), "tests");
    assert!(all(&|item| matches!(item.kind, ItemKind::Fact(_))) <= resolved.facts.len(), "facts");
    let portions = resolved.sources.iter().flat_map(|source| source.replaces.iter().chain(&source.carries_over));
    let of_sources = portions.filter(|portion| portion.cars.is_some()).count();
    assert_eq!(all(&|item| matches!(item.kind, ItemKind::Scope(_))) + 1 + of_sources, resolved.scopes.len(), "scopes");
}

fn decide_all(loaded: &Loaded) -> usize {
    let (library, problems) = Library::new(loaded.resolved.clone());
    if !problems.is_empty() {
        return 0;
    }
    let mut decided = 0;
    for job in &library.resolved.jobs {
        year_problems(&library, job);
        match decide(&library, job, None) {
            Ok(_) => decided += 1,
            Err(problems) => assert!(problems.iter().all(|problem| problem.severity() == Severity::Error)),
        }
    }
    decided
}

/// Checks one text, and shows it where something about it goes wrong.
fn try_text(words: &str, text: &str, whole: bool) -> Checked {
    match std::panic::catch_unwind(|| check(words, text, whole)) {
        Ok(checked) => checked,
        Err(_) => panic!("went wrong with the text:\n{text}\n{text:?}"),
    }
}

const WORDS: [&str; 92] = [
    "and",
    "or",
    "not",
    "of",
    "to",
    "on",
    "in",
    "from",
    "when",
    "unless",
    "then",
    "that",
    "any",
    "every",
    "no",
    "is",
    "at",
    "by",
    "with",
    "where",
    "use",
    "part",
    "sensor",
    "kind",
    "state",
    "rule",
    "job",
    "test",
    "source",
    "for",
    "cites",
    "says",
    "because",
    "because of",
    "require",
    "advise",
    "waive",
    "forbid",
    "allow",
    "hold",
    "until",
    "after",
    "before",
    "per",
    "section",
    "dated",
    "due",
    "done",
    "ended in",
    "since",
    "over",
    "under",
    "at least",
    "within",
    "either way",
    "upwards",
    "touched",
    "complete",
    "list",
    "equipped with",
    "not equipped with",
    "only",
    "work",
    "found",
    "happened",
    "given",
    "judged",
    "measured",
    "suppose",
    "expect",
    "table",
    "|",
    ";",
    ",",
    "(",
    ")",
    "{",
    "}",
    "\"a\"",
    "2",
    "-0.5",
    "2022",
    "2024-02-30",
    "um",
    "deg",
    "%",
    "±",
    "front radar",
    "headlamp",
    "removed",
    "misaligned",
    "VEL-1",
];

const PIECES: [&str; 24] = [
    "\u{202e}",
    "\u{200b}",
    "\u{feff}",
    "\u{0}",
    "\r",
    "\r\n",
    "\t",
    "\"",
    "#",
    "\u{301}",
    "ü",
    "校",
    "\u{1f697}",
    ">=",
    "99999999999999999999999",
    "1,200",
    "25:61",
    "0000-00-00",
    "9999-12-31",
    "-",
    "/",
    "`",
    "\\n",
    "\u{a0}",
];

/// One change of a text, at the level of lines, words or bytes.
fn change(text: &str, others: &[&str], chance: &mut Chance) -> String {
    let lines: Vec<&str> = text.split('\n').collect();
    let at = chance.below(lines.len());
    let mut changed: Vec<String> = lines.iter().map(|line| line.to_string()).collect();
    match chance.below(12) {
        5 if text.is_empty() => {}
        0 => drop(changed.remove(at)),
        1 => changed.insert(at, changed.get(chance.below(lines.len())).cloned().unwrap()),
        2 => changed.truncate(at + 1),
        3 => {
            let other = chance.pick(others);
            let lines: Vec<&str> = other.split('\n').collect();
            changed.insert(at, chance.pick(&lines).to_string());
        }
        4 => changed.swap(at, chance.below(lines.len())),
        5 => {
            let bytes = text.as_bytes();
            let place = chance.below(bytes.len());
            let mut bytes = bytes.to_vec();
            match chance.below(3) {
                0 => drop(bytes.remove(place)),
                1 => bytes.insert(place, chance.below(256) as u8),
                _ => *bytes.get_mut(place).unwrap() = chance.below(256) as u8,
            }
            return String::from_utf8_lossy(&bytes).into_owned();
        }
        6 => {
            let mut places: Vec<usize> = text.char_indices().map(|(place, _)| place).collect();
            places.push(text.len());
            let place = places.get(chance.below(places.len())).copied().unwrap();
            let (before, after) = text.split_at(place);
            return format!("{before}{}{after}", chance.pick(&PIECES));
        }
        kind => {
            let line = changed.get_mut(at).unwrap();
            let mut words: Vec<&str> = line.split(' ').collect();
            let place = chance.below(words.len());
            match kind {
                7 => drop(words.remove(place)),
                8 => words.insert(place, chance.pick(&WORDS)),
                9 => *words.get_mut(place).unwrap() = chance.pick(&WORDS),
                10 => {
                    let other = chance.below(words.len());
                    words.swap(place, other);
                }
                _ => words.insert(place, words.get(chance.below(words.len())).copied().unwrap()),
            }
            let joined = words.join(" ");
            *line = joined;
        }
    }
    changed.join("\n")
}

/// Loads `times` texts made of the seeds by a few changes each.
fn change_and_load(seed: u64, times: usize) {
    let (words, seeds_text) = (file("hostile/words.knock"), file("hostile/seeds.knock"));
    let seeds = seeds(&seeds_text);
    let mut chance = Chance::new(seed);
    let (mut good, mut decided) = (0, 0);
    for round in 0..times {
        let mut text = String::from("use \"words\"\n");
        for _ in 0..=chance.below(3) {
            text.push_str(chance.pick(&seeds));
            text.push('\n');
        }
        for _ in 0..chance.below(5) {
            text = change(&text, &seeds, &mut chance);
        }
        let checked = try_text(&words, &text, round % 10 == 0);
        good += usize::from(!checked.loaded.has_errors());
        decided += checked.decided;
    }
    // Were all of them refused, nothing but the parser would have been tried.
    assert!(good * 12 > times && decided * 30 > times, "{good} of {times} good, {decided} decided");
}

#[test]
fn the_seeds_of_hostile_texts_are_in_order_themselves() {
    let loaded = load_text(&file("hostile/words.knock"), &file("hostile/seeds.knock"));
    assert!(loaded.problems.is_empty(), "{}", draw(&loaded.problems, &loaded.sources, false));
    assert_eq!(decide_all(&loaded), 2);
    assert_eq!(seeds(&file("hostile/seeds.knock")).len(), 12);
}

#[test]
fn five_thousand_changed_texts_are_loaded_and_decided_first_part() {
    change_and_load(1, 5_000);
}

#[test]
fn five_thousand_changed_texts_are_loaded_and_decided_second_part() {
    change_and_load(2, 5_000);
}

#[test]
fn five_thousand_changed_texts_are_loaded_and_decided_third_part() {
    change_and_load(3, 5_000);
}

#[test]
fn five_thousand_changed_texts_are_loaded_and_decided_fourth_part() {
    change_and_load(4, 5_000);
}

/// Every character of [`is_hidden`] that a text can hold, one of each run of them.
const HIDDEN: [char; 16] = [
    '\u{0}',
    '\u{8}',
    '\u{1b}',
    '\u{7f}',
    '\u{85}',
    '\u{ad}',
    '\u{61c}',
    '\u{180e}',
    '\u{200b}',
    '\u{200f}',
    '\u{2028}',
    '\u{202e}',
    '\u{2066}',
    '\u{feff}',
    '\u{fff9}',
    '\u{e0041}',
];

#[test]
fn a_hidden_character_is_reported_wherever_it_stands_and_shows_in_no_message() {
    let words = file("hostile/words.knock");
    let places = [
        "part gr*ille",
        "part grille also written \"gr*ille\"",
        "rule \"a*b\"\n  cites VEL-1\n  when front fascia removed\n  then require wheel alignment",
        "rule \"a\"\n  cites VEL-1 section \"2*\"\n  when front fascia removed\n  then require wheel alignment",
        "rule \"a\"\n  cites VEL-1\n  when front fascia remo*ved\n  then require wheel alignment",
        "use \"be*side\"",
        "# a comm*ent",
        "job \"j*\" dated 2026-02-11\n  vehicle Brindle Sedge",
        "test \"t\"\n  expect not*hing else",
        "rule \"a\"\n  gives way to \"b*\"",
        "*part grille",
        "part grille *",
    ];
    for hidden in HIDDEN {
        assert!(is_hidden(hidden));
        for place in places {
            let text = format!("use \"words\"\n{}\n", place.replace('*', &hidden.to_string()));
            let checked = try_text(&words, &text, true);
            assert!(!checked.loaded.problems.is_empty(), "{text:?}");
        }
    }
}

#[test]
fn a_hidden_character_in_the_name_of_a_file_shows_in_no_message() {
    for hidden in HIDDEN {
        let path = format!("a{hidden}\nb.knock");
        let there = Memory::default().with(&path, "ruel");
        for loaded in [load(&[&path], &there), load(&[&path], &Memory::default())] {
            assert!(!loaded.problems.is_empty());
            let drawn = draw(&loaded.problems, &loaded.sources, false);
            assert!(!drawn.chars().any(|shown| is_hidden(shown) && shown != '\n'), "{drawn:?}");
        }
    }
}

/// The lines and columns of all main places, with the codes.
fn places(loaded: &Loaded) -> Vec<(&'static str, Place)> {
    let place = |problem: &knockon_lang::text::Problem| {
        (problem.code.entry().number, loaded.sources.place(problem.main.as_ref().unwrap().span))
    };
    loaded.problems.iter().map(place).collect()
}

#[test]
fn line_ends_tabs_and_other_alphabets_before_a_mistake_do_not_move_its_place() {
    let words = file("hostile/words.knock");
    let mistakes = [
        "rule \"a\"\n  cites VEL-1\n  when front fascia remvoed\n  then require wheel alignment\n",
        "rule \"a\"\n  cites VEL-1\n  when front fascia removed and\n  then require wheel alignment\n",
        "part grille\n\npart grille\n",
        "for Brindle Sedge 2023 to 2021 {\n}\n",
        "job \"j\" dated 2026-02-30\n  vehicle Brindle Sedge\n",
        "source X\n  rank maker statement\n",
        "part grille > 2\n",
        "test \"t\"\n  suppose Brindle\n  table\n  | suppose | expect wheel alignment |\n  | headlamp removed | absent |\n",
        "rule \"a\n",
    ];
    for mistake in mistakes {
        let plain = format!("use \"words\"\n# first\n{mistake}");
        let expected = places(&load_text(&words, &plain));
        assert!(!expected.is_empty(), "{mistake}");
        let same = |text: &str| assert_eq!(places(&load_text(&words, text)), expected, "{text:?}");
        same(&plain.replace('\n', "\r\n"));
        same(&plain.replace('\n', "\r"));
        same(&plain.replace("# first", "# Stoßfänger, 保险杠, \u{1f697}"));
        same(&plain.replace(' ', "\t"));
        same(&format!("\u{feff}{plain}").replace("\u{feff}use", "use"));
        same(plain.trim_end());
        let lower: Vec<_> = expected
            .iter()
            .map(|(code, place)| (*code, Place { line: place.line + 3, column: place.column }))
            .collect();
        assert_eq!(places(&load_text(&words, &plain.replace("# first", "# first\n\n#\t校准\n"))), lower);
    }
}

#[test]
fn columns_count_characters_where_letters_of_other_alphabets_stand_before_a_mistake() {
    let words = file("hostile/words.knock");
    let rule = |name: &str| {
        format!(
            "use \"words\"\npart {name}\nrule \"a\"\n  cites VEL-1\n  when {name} remvoed\n  then require wheel alignment\n"
        )
    };
    for (name, characters) in [("grille", 6), ("Stoßfänger", 10), ("保险杠", 3), ("κάλυμμα", 7)] {
        let loaded = load_text(&words, &rule(name));
        assert_eq!(places(&loaded), [("K0301", Place { line: 5, column: 9 + characters })], "{name}");
    }
}

#[test]
fn numbers_and_dates_at_the_edge_are_refused_or_decided() {
    let words = file("hostile/words.knock");
    let numbers = [
        "0",
        "-0",
        "0.0",
        "1",
        "-1",
        "4294967295",
        "4294967296",
        "18446744073709551616",
        "170141183460469231731687303715884105728",
        "0.00000000000000000000000000000000000001",
        "2147483648",
        "-2147483649",
        "007",
        "99999",
    ];
    let dates = ["0000-00-00", "0000-01-01", "0001-01-01", "9999-12-31", "2024-02-29", "2100-02-29", "9999-99-99"];
    let lines = [
        "rule \"r\"\n  cites VEL-1\n  when film thickness of front fascia over N um\n  then require wheel alignment",
        "rule \"r\"\n  cites VEL-1\n  when thrust angle within N deg to N deg\n  then require wheel alignment",
        "rule \"r\"\n  cites VEL-1\n  when change in thrust angle at least N deg downwards\n  then require wheel alignment",
        "rule \"r\"\n  cites VEL-1\n  when at least N sensor is touched\n  then require wheel alignment",
        "rule \"r\"\n  cites VEL-1\n  when model year N to N or model year before N\n  then require wheel alignment",
        "rule \"r\"\n  cites VEL-1 of D\n  when built before D or dated after D\n  then require wheel alignment",
        "for Brindle Sedge N built until D {\n  every car has front radar\n}",
        "source S\n  rank maker statement\n  issued D\n  revised D\n  review every N months, checked D\n",
        "rule \"r\"\n  cites S\n  when front fascia removed\n  then waive wheel alignment\nsource S\n  rank maker statement\n  issued D\n  review every N months",
    ];
    let jobs = [
        "job \"j\" dated D\n  vehicle Brindle Sedge N, built D\n  work removed front fascia at D 00:00\n  measured film thickness of front fascia N um ± N um\n  measured thrust angle -N deg",
        "job \"j\" dated 2026-02-11\n  vehicle Brindle Sedge\n  work removed front fascia\n  done wheel alignment at D 23:59",
    ];
    let mut decided = 0;
    for (number, date) in numbers.iter().flat_map(|number| dates.iter().map(move |date| (number, date))) {
        for line in lines {
            for job in jobs {
                let text = format!("use \"words\"\n{line}\n{job}\n").replace('N', number).replace('D', date);
                // `N` and `D` stand in no other word of these lines in capitals.
                decided += try_text(&words, &text, false).decided;
            }
        }
    }
    assert!(decided > 20, "{decided}");
}

/// Runs with a stack no larger than 2 MB, as threads have.
fn on_a_small_stack(run: impl FnOnce() + Send + 'static) {
    let thread = std::thread::Builder::new().stack_size(2 * 1024 * 1024).spawn(run).unwrap();
    if thread.join().is_err() {
        panic!("it did not end well on a stack of 2 MB");
    }
}

/// A library of many rules, each for a part and a procedure of its own.
fn many_rules(count: usize) -> String {
    let mut text = String::from("use \"words\"\n");
    for index in 0..count {
        text.push_str(&format!(
            "part panel {index}\nprocedure check {index}\nrule \"r{index}\"\n  cites VEL-1 section \"{index}\"\n  when panel {index} removed\n  then require check {index}\n"
        ));
    }
    text
}

#[test]
fn a_library_of_ten_thousand_rules_is_loaded_and_decided_by() {
    on_a_small_stack(|| {
        let job = "job \"j\" dated 2026-02-11\n  vehicle Brindle Sedge 2022\n  work removed panel 9999; removed panel 0\n  work is complete\n";
        let loaded = load_text(&file("hostile/words.knock"), &format!("{}{job}", many_rules(10_000)));
        assert!(loaded.problems.is_empty());
        let (library, problems) = Library::new(loaded.resolved);
        assert!(problems.is_empty() && library.clauses.len() == 10_000);
        let decided = decide(&library, library.resolved.jobs.first().unwrap(), None).unwrap();
        let names: Vec<&str> = decided.answer.duties.iter().map(|duty| duty.name.as_str()).collect();
        assert_eq!(names, ["check 0", "check 9999"]);
        assert!(decided.answer.limits.is_empty());
    });
}

#[test]
fn a_chain_of_a_hundred_states_in_any_order_is_followed_to_its_end() {
    let chain = |order: &dyn Fn(usize) -> usize| {
        let mut text = String::from("use \"words\"\nstate s0 of part\n");
        text.push_str("rule \"r0\"\n  cites VEL-1\n  when front fascia removed\n  then front fascia is s0\n");
        for index in (0..100).map(order) {
            let next = index + 1;
            text.push_str(&format!(
                "state s{next} of part\nrule \"r{next}\"\n  cites VEL-1\n  when front fascia is s{index}\n  then front fascia is s{next}\n"
            ));
        }
        text.push_str("rule \"end\"\n  cites VEL-1\n  when front fascia is s100\n  then require wheel alignment\n");
        text.push_str(
            "job \"j\" dated 2026-02-11\n  vehicle Brindle\n  work removed front fascia\n  work is complete\n",
        );
        text
    };
    for text in [chain(&|index| index), chain(&|index| 99 - index)] {
        on_a_small_stack(move || {
            let loaded = load_text(&file("hostile/words.knock"), &text);
            assert!(loaded.problems.is_empty());
            let (library, _) = Library::new(loaded.resolved);
            let decided = decide(&library, library.resolved.jobs.first().unwrap(), None).unwrap();
            assert_eq!(decided.answer.duties.len(), 1);
            assert!(decided.answer.limits.is_empty(), "{:?}", decided.answer.limits);
        });
    }
}

#[test]
fn two_thousand_events_on_one_job_are_decided() {
    on_a_small_stack(|| {
        let mut text = many_rules(2_000);
        text.push_str("job \"j\" dated 2026-02-11\n  vehicle Brindle Sedge 2022\n");
        for index in 0..2_000 {
            text.push_str(&format!("  work removed panel {index}\n"));
        }
        text.push_str("  work is complete\n");
        let loaded = load_text(&file("hostile/words.knock"), &text);
        assert!(loaded.problems.is_empty());
        let (library, _) = Library::new(loaded.resolved);
        let decided = decide(&library, library.resolved.jobs.first().unwrap(), None).unwrap();
        assert_eq!(decided.answer.events.len(), 2_000);
        assert_eq!(decided.answer.duties.len(), 2_000);
    });
}

#[test]
fn files_that_use_each_other_in_a_circle_see_each_other_and_are_no_mistake() {
    let one = "use \"two\"\npart radar bracket behind front fascia\npart cover on left, right\n";
    let two = "use \"three\"\nuse \"two\"\nrelation behind of part to part, passes disturbance\n";
    let three = "use \"one\"\npart front fascia\nkind front part of part radar bracket, front fascia\n";
    let memory = Memory::default().with("one.knock", one).with("two.knock", two).with("three.knock", three);
    for first in ["one.knock", "two.knock", "three.knock"] {
        let loaded = load(&[first], &memory);
        assert!(loaded.problems.is_empty(), "{}", draw(&loaded.problems, &loaded.sources, false));
        assert_eq!(loaded.parsed.len(), 3);
        assert!(loaded.sees.iter().all(|sees| sees.len() == 3));
        assert_eq!(loaded.resolved.facts.len(), 1);
    }
}

#[test]
fn a_word_declared_by_two_files_of_a_circle_is_told_once() {
    let memory = Memory::default()
        .with("one.knock", "use \"two\"\npart front fascia\n")
        .with("two.knock", "use \"one\"\npart front fascia\n");
    let loaded = load(&["one.knock"], &memory);
    assert_eq!(places(&loaded).iter().map(|(code, _)| *code).collect::<Vec<_>>(), ["K0303"]);
}

#[test]
fn a_chain_of_a_thousand_files_is_loaded_on_a_small_stack() {
    on_a_small_stack(|| {
        let mut memory = Memory::default();
        for index in 0..1_000 {
            let next = index + 1;
            memory = memory.with(&format!("f{index}.knock"), &format!("use \"f{next}\"\npart panel {index}\n"));
        }
        memory = memory.with("f1000.knock", "part end\n");
        let loaded = load(&["f0.knock"], &memory);
        assert!(loaded.problems.is_empty());
        assert_eq!(loaded.parsed.len(), 1_001);
    });
}

#[test]
fn very_long_words_lines_and_lists_are_read_and_drawn() {
    on_a_small_stack(|| {
        let words = file("hostile/words.knock");
        let long = "x".repeat(100_000);
        let many = "x ".repeat(20_000);
        let list = "headlamp removed or ".repeat(5_000);
        for text in [
            format!("part {long}"),
            format!("part {many}"),
            format!("rule \"{long}\"\n  cites {many}\n  when {many}\n  then require {many}"),
            format!("rule \"a\"\n  cites VEL-1\n  when {list}headlamp removed\n  then require wheel alignment"),
            format!("job \"j\" dated 2026-02-11\n  vehicle {many}\n  work {long}"),
            format!("for {many} {{\n}}"),
            format!("part a also written \"{long}\", {}", "\"b\", ".repeat(3_000)),
            format!("use \"{long}\""),
        ] {
            try_text(&words, &format!("use \"words\"\n{text}\n"), true);
        }
    });
}
