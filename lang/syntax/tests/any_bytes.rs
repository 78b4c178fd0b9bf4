//! Whatever bytes come in, reading never panics, says what is wrong in places that exist, and what it
//! calls in order can be printed.

#![expect(clippy::unwrap_used, clippy::indexing_slicing, reason = "helpers of tests")]

mod common;

use common::{Chance, format_well, generate, read, samples};
use knockon_syntax::parse::Parsed;
use knockon_syntax::tree::{Item, ItemKind};
use knockon_syntax::{Tok, dump, print};

/// What must hold of any text.
fn check(text: &str) -> bool {
    let (sources, parsed) = read(text);
    check_tokens(text, &parsed);
    for problem in &parsed.problems {
        for label in problem.main.iter().chain(&problem.context) {
            let (start, end) = (label.span.start as usize, label.span.end as usize);
            assert!(text.get(start..end).is_some(), "{problem:?} leaves the text or cuts a character: {text:?}");
        }
        assert!(problem.main.is_some() && problem.help.is_some(), "{problem:?}");
        assert!(problem.message.chars().next().is_some_and(|first| !first.is_uppercase()), "{problem:?}");
    }
    let broken = holds_broken(&parsed.file.items);
    assert!(!broken || !parsed.problems.is_empty(), "a broken item without a problem: {text:?}");
    check_ranges(&parsed.file.items, 0, parsed.tokens.len(), text);
    // Drawing and dumping must stand anything that reading does. Drawing takes long, so not every time.
    if text.len().is_multiple_of(4) {
        let drawn = knockon_text::draw::draw(&parsed.problems, &sources, false);
        assert_eq!(drawn.is_empty(), parsed.problems.is_empty());
    }
    assert!(!dump::tree(text, &parsed).contains('\r') && !dump::tokens(text, &parsed.tokens).contains('\u{202e}'));
    let printed = print::format(text, &parsed);
    assert_eq!(printed.is_some(), parsed.problems.is_empty(), "{text:?}");
    parsed.problems.is_empty()
}

fn check_tokens(text: &str, parsed: &Parsed) {
    let tokens = &parsed.tokens;
    let mut end_before = 0;
    for (index, &(start, end)) in tokens.spans.iter().enumerate() {
        assert!(end_before <= start && start < end, "token {index} of {text:?}");
        assert!(text.get(start as usize..end as usize).is_some(), "token {index} of {text:?}");
        end_before = end;
    }
    // Nothing is lost: between tokens and comments stand only blanks, line ends and a byte order mark.
    let mut rest: Vec<u8> = text.as_bytes().to_vec();
    let comments = tokens.comments.iter().map(|&(start, end, _)| (start, end));
    for (start, end) in tokens.spans.iter().copied().chain(comments) {
        rest[start as usize..end as usize].fill(b' ');
    }
    let rest = String::from_utf8(rest).unwrap();
    let rest = rest.strip_prefix('\u{feff}').unwrap_or(&rest);
    assert!(rest.chars().all(|character| matches!(character, ' ' | '\t' | '\r' | '\n')), "lost in {text:?}");
    assert!(!tokens.kinds.iter().any(|kind| matches!(kind, Tok::Newline | Tok::Comment)));
    for starts in [&tokens.line_starts, &tokens.item_starts] {
        assert!(starts.is_sorted_by(|one, two| one < two) && starts.iter().all(|&start| start < tokens.len()));
    }
    assert_eq!(tokens.is_empty(), tokens.item_starts.is_empty());
}

fn holds_broken(items: &[Item]) -> bool {
    items.iter().any(|item| match &item.kind {
        ItemKind::Broken => true,
        ItemKind::Scope(scope) => holds_broken(&scope.items),
        _ => false,
    })
}

/// Items stand in order, inside what holds them, and do not overlap.
fn check_ranges(items: &[Item], first: u32, end: u32, text: &str) {
    let mut before = first;
    for item in items {
        assert!(before <= item.range.first && item.range.first < item.range.end && item.range.end <= end, "{text:?}");
        if let ItemKind::Scope(scope) = &item.kind {
            check_ranges(&scope.items, item.range.first, item.range.end, text);
        }
        before = item.range.end;
    }
}

const PIECES: &[&str] = &[
    "\"",
    "(",
    ")",
    "{",
    "}",
    ",",
    ";",
    "|",
    "±",
    "+/-",
    "%",
    ":",
    "#",
    "\n",
    "\r",
    "\r\n",
    "\t",
    " ",
    "-",
    "'",
    "/",
    "not ",
    "and ",
    "or ",
    "when ",
    "then ",
    "unless ",
    "until ",
    "any ",
    "rule ",
    "part ",
    "for ",
    "test ",
    "job ",
    "source ",
    "table ",
    "suppose ",
    "expect ",
    "given ",
    "counts as ",
    "ends in ",
    "carried out by ",
    "concerns ",
    "ends inside ",
    "in the words ",
    "because ",
    "because of ",
    "read as ",
    "1,200",
    "2026-02-11",
    "09:14",
    "-3.5",
    "\u{202e}",
    "\u{200b}",
    "\u{feff}",
    "\u{a0}",
    "“",
    "é",
    "e\u{301}",
    "漢",
    "🚗",
    "\0",
    "\u{85}",
    "\u{2028}",
    ">",
    ">=",
    "_",
    ".",
    "=",
    "&",
];

/// A piece of a sample, changed in a few places.
fn mutated(chance: &mut Chance, samples: &[String]) -> String {
    let sample = samples[chance.below(samples.len())].as_bytes();
    let from = chance.below(sample.len());
    let mut bytes = sample[from..(from + 20 + chance.below(300)).min(sample.len())].to_vec();
    for _ in 0..1 + chance.below(6) {
        let at = chance.below(bytes.len() + 1);
        match chance.below(6) {
            0 if at < bytes.len() => bytes[at] ^= 1 << chance.below(8),
            1 if at < bytes.len() => {
                bytes.remove(at);
            }
            2 => {
                let end = (at + 1 + chance.below(30)).min(bytes.len());
                let copy = bytes[at..end].to_vec();
                let to = chance.below(bytes.len() + 1);
                bytes.splice(to..to, copy);
            }
            3 => {
                let end = (at + chance.below(20)).min(bytes.len());
                bytes.drain(at..end);
            }
            _ => {
                bytes.splice(at..at, chance.pick(PIECES).bytes());
            }
        }
    }
    String::from_utf8_lossy(&bytes).into_owned()
}

#[test]
fn twenty_thousand_changed_samples_are_read_without_a_panic_and_with_places_that_exist() {
    let samples = samples();
    let mut chance = Chance::new(7);
    let good = (0..20_000).filter(|_| check(&mutated(&mut chance, &samples))).count();
    // Both kinds must come up, or the test would say nothing about one of them.
    assert!((1_000..19_000).contains(&good), "{good} of 20,000 were in order");
}

#[test]
fn ten_thousand_runs_of_pieces_are_read_without_a_panic() {
    let mut chance = Chance::new(11);
    for _ in 0..10_000 {
        let count = 1 + chance.below(24);
        let text: String = (0..count)
            .map(|_| match chance.below(5) {
                0 => ["a", "front fascia ", "removed ", "is ", "x"][chance.below(5)].to_string(),
                1 => char::from_u32(chance.below(0x11_0000) as u32).unwrap_or('\u{fffd}').to_string(),
                _ => chance.pick(PIECES).to_string(),
            })
            .collect();
        check(&text);
    }
}

#[test]
fn changed_samples_that_are_still_in_order_keep_their_meaning_when_printed() {
    let samples = samples();
    let mut chance = Chance::new(13);
    let mut printed = 0;
    for _ in 0..6_000 {
        let text = mutated(&mut chance, &samples);
        if read(&text).1.problems.is_empty() {
            format_well(&text);
            printed += 1;
        }
    }
    assert!(printed > 300, "{printed}");
}

#[test]
fn generated_files_cut_anywhere_are_read_without_a_panic() {
    for seed in 1..=400 {
        let mut chance = Chance::new(seed);
        let text = generate::file(&mut chance);
        let mut cut = chance.below(text.len() + 1);
        while !text.is_char_boundary(cut) {
            cut -= 1;
        }
        check(&text[..cut]);
        check(&text[cut..]);
    }
}
