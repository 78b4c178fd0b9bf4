//! What the standard library holds, counted, and what it never holds: waivers of common practice, figures.
#![expect(clippy::print_stdout, reason = "counts, for whoever asks for them with --nocapture")]

use knockon_lang::Shelf;
use knockon_lang::terms::Class;
use knockon_lang::terms::resolved::ConclusionKind;

use super::load_well;
use crate::shelf::{Repository, knock_files};

#[test]
fn the_whole_library_knows_enough_parts_sensors_and_systems() {
    let loaded = load_well("standard/all.knock");
    let vocabulary = &loaded.resolved.vocabulary;
    let count = |class: Class| vocabulary.iter().filter(|(_, term)| term.class == class && !term.is_group()).count();
    // A sided name once, however many sides it has.
    let names = |class: Class| vocabulary.iter().filter(|(_, term)| term.class == class && term.side.is_none()).count();
    let counts = [
        ("names of parts", names(Class::Part), 180),
        ("parts, each side of them", count(Class::Part), 300),
        ("names of sensors", names(Class::Sensor), 45),
        ("sensors, each side of them", count(Class::Sensor), 80),
        ("names of modules", names(Class::Module), 25),
        ("systems", count(Class::System), 30),
        ("options", count(Class::Option), 8),
        ("operations", count(Class::Operation), 30),
        ("findings", count(Class::Finding), 25),
        ("events", count(Class::Event), 12),
        ("conditions", count(Class::Condition), 20),
        ("procedures", count(Class::Procedure), 35),
        ("rules", loaded.resolved.rules.len(), 60),
        ("facts", loaded.resolved.facts.len(), 700),
    ];
    println!("the standard library: {counts:?}");
    for (what, found, least) in counts {
        assert!(found >= least, "{found} {what}, where there were to be at least {least}");
    }
}

#[test]
fn common_practice_asks_and_advises_and_takes_nothing_away() {
    let loaded = load_well("standard/all.knock");
    for rule in &loaded.resolved.rules {
        for conclusion in &rule.conclusions {
            assert!(
                matches!(
                    conclusion.kind,
                    ConclusionKind::Require { .. }
                        | ConclusionKind::Advise { .. }
                        | ConclusionKind::Hold { .. }
                        | ConclusionKind::Before(..)
                ),
                "\"{}\" concludes {:?}",
                rule.name,
                conclusion.kind
            );
        }
    }
}

/// Units a figure of the trade would stand beside; the library names units only where it declares measures.
#[test]
fn no_figure_stands_in_a_rule_of_the_library() {
    let mut wrong = Vec::new();
    for file in knock_files("stdlib").into_iter().filter(|file| !file.ends_with(".tests.knock")) {
        let text = Repository.read(&file).unwrap_or_default();
        for line in text.lines().filter(|line| !line.contains("12 V") && !line.trim_start().starts_with("issued ")) {
            if line.split('#').next().is_some_and(|said| said.contains(|letter: char| letter.is_ascii_digit())) {
                wrong.push(format!("{file}: {line}"));
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}
