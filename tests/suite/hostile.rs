//! Whatever stands in a text: loading and deciding end, never panic, and say what is wrong in places that exist.

#![expect(clippy::unwrap_used, clippy::panic, reason = "helpers of tests")]

use std::collections::BTreeMap;
use std::path::Path;

use knockon_lang::decide::decide;
use knockon_lang::rules::{Library, year_problems};
use knockon_lang::syntax::tree::{Item, ItemKind};
use knockon_lang::text::draw::{draw, draw_plain_line};
use knockon_lang::text::neutral::is_hidden;
use knockon_lang::text::{Code, Severity};
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
    assert_eq!(all(&|item| matches!(item.kind, ItemKind::Scope(_))) + 1, resolved.scopes.len(), "scopes");
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
    "and", "or", "not", "of", "to", "on", "in", "from", "when", "unless", "then", "that", "any", "every", "no", "is",
    "at", "by", "with", "where", "use", "part", "sensor", "kind", "state", "rule", "job", "test", "source", "for",
    "cites", "says", "because", "because of", "require", "advise", "waive", "forbid", "allow", "hold", "until",
    "after", "before", "per", "section", "dated", "due", "done", "ended in", "since", "over", "under", "at least",
    "within", "either way", "upwards", "touched", "complete", "list", "equipped with", "not equipped with", "only",
    "work", "found", "happened", "given", "judged", "measured", "suppose", "expect", "table", "|", ";", ",", "(", ")",
    "{", "}", "\"a\"", "2", "-0.5", "2022", "2024-02-30", "um", "deg", "%", "±", "front radar", "headlamp", "removed",
    "misaligned", "VEL-1",
];

const PIECES: [&str; 24] = [
    "\u{202e}", "\u{200b}", "\u{feff}", "\u{0}", "\r", "\r\n", "\t", "\"", "#", "\u{301}", "ü", "校", "\u{1f697}", ">=",
    "99999999999999999999999", "1,200", "25:61", "0000-00-00", "9999-12-31", "-", "/", "`", "\\n", "\u{a0}",
];

/// One change of a text, at the level of lines, words or bytes.
fn change(text: &str, others: &[&str], chance: &mut Chance) -> String {
    let lines: Vec<&str> = text.split('\n').collect();
    let at = chance.below(lines.len());
    let mut changed: Vec<String> = lines.iter().map(|line| line.to_string()).collect();
    match chance.below(12) {
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
    assert_eq!(seeds(&file("hostile/seeds.knock")).len(), 13);
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
