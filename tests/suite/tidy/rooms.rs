//! Rooms: inside a crate a file uses only rooms below its own.

use std::collections::BTreeMap;

use super::{CRATES, code_only, is_unit_test, nothing_wrong, sources_of};

/// The rooms of each crate, lowest first: a room is a file or a folder beside `lib.rs`. A room may use those
/// before it and no other.
pub const ROOMS: &[(&str, &[&str])] = &[
    ("knockon-text", &["neutral", "source", "suggest", "markup", "codes", "problem", "draw"]),
    ("knockon-syntax", &["token", "space", "tree", "parse", "print", "dump"]),
    (
        "knockon-measure",
        &[
            "wide", "exact", "double", "decimal", "kind", "unit", "quantity", "range", "reading", "slope", "date",
            "clock", "failure", "code", "vin", "pattern", "status",
        ],
    ),
    ("knockon-geometry", &["bound", "error", "words", "frame", "plane", "datum", "toe", "ride", "floor"]),
    (
        "knockon-terms",
        &[
            "forms",
            "words",
            "phrases",
            "vocabulary",
            "resolved",
            "strata",
            "reading",
            "view",
            "unknown",
            "unread",
            "quantity",
            "declare",
            "dump",
            "resolve",
        ],
    ),
    ("knockon-rules", &["clause", "scope", "source_order", "standing", "order", "library", "program", "years", "dump"]),
    ("knockon-proof", &[]),
    (
        "knockon-decide",
        &[
            "event",
            "fact",
            "job",
            "atoms",
            "naming",
            "precedence",
            "ground",
            "evaluate",
            "settle",
            "combine",
            "answer",
            "words",
            "proving",
            "decide",
            "limits",
            "dump",
            "json",
            "why",
        ],
    ),
    ("knockon-study", &["suite"]),
    ("knockon-lang", &["load"]),
    ("knockon", &["build", "paint", "files", "library", "screen", "loading", "arguments", "command", "prompt", "main"]),
];

/// Arrows that go up, and how each is to be undone. They are not fine, and there is none: crate, room, room, how.
const UNDONE: &[(&str, &str, &str, &str)] = &[];

#[test]
fn every_room_uses_only_rooms_below_it() {
    let mut wrong = Vec::new();
    for (krate, folder, _) in CRATES {
        let rooms = ROOMS.iter().find(|(name, _)| name == krate).map_or(&[][..], |(_, rooms)| rooms);
        let uses = uses_of(folder, rooms, krate, &mut wrong);
        for ((room, used), file) in &uses {
            let place = |name: &str| rooms.iter().position(|room| *room == name);
            let upward = match (place(room), place(used)) {
                (Some(room), Some(used)) => used > room,
                _ => false,
            };
            let known =
                UNDONE.iter().any(|known| (known.0, known.1, known.2) == (*krate, room.as_str(), used.as_str()));
            if upward && !known {
                wrong.push(format!("{file}: `{room}` uses `{used}`, which is above it in {krate}"));
            }
        }
        for (known, room, used, how) in UNDONE.iter().filter(|known| known.0 == *krate) {
            if !uses.contains_key(&((*room).to_string(), (*used).to_string())) {
                wrong.push(format!("{known}: `{room}` does not use `{used}` any more; take the line away ({how})"));
            }
        }
    }
    nothing_wrong(&wrong, "rooms use only rooms below them; the order is in tests/suite/tidy/rooms.rs");
}

#[test]
fn every_room_of_the_table_is_there_and_every_file_is_in_a_room() {
    let mut wrong = Vec::new();
    for (krate, folder, _) in CRATES {
        let rooms = ROOMS.iter().find(|(name, _)| name == krate).map_or(&[][..], |(_, rooms)| rooms);
        let files = sources_of(folder);
        for file in files.iter().filter(|file| !is_unit_test(&file.path)) {
            let room = room_of(folder, &file.path);
            if room != "lib" && !rooms.contains(&room.as_str()) {
                wrong.push(format!("{}: `{room}` is no room of {krate}", file.path));
            }
        }
        for room in rooms {
            if !files.iter().any(|file| room_of(folder, &file.path) == *room) {
                wrong.push(format!("{krate}: the room `{room}` is in the table and not in the house"));
            }
        }
    }
    nothing_wrong(&wrong, "the table of rooms in tests/suite/tidy/rooms.rs is the house as it is");
}

#[test]
fn commands_do_not_use_each_other() {
    let mut wrong = Vec::new();
    let names: Vec<String> = sources_of("")
        .iter()
        .filter_map(|file| file.path.strip_prefix("src/command/")?.strip_suffix(".rs").map(str::to_string))
        .filter(|name| name != "mod")
        .collect();
    for file in sources_of("") {
        let Some(own) = file.path.strip_prefix("src/command/").and_then(|name| name.strip_suffix(".rs")) else {
            continue;
        };
        let code = code_only(&file.text);
        for name in names.iter().filter(|name| *name != own && own != "mod") {
            if code.contains(&format!("command::{name}::")) || code.contains(&format!("super::{name}::")) {
                wrong.push(format!("{}: uses the command `{name}`", file.path));
            }
        }
    }
    nothing_wrong(&wrong, "what two commands share lies below them");
}

/// `lang/text/src/draw/line.rs` is in the room `draw`.
fn room_of(folder: &str, path: &str) -> String {
    let inside = path.strip_prefix(folder).unwrap_or(path).trim_start_matches('/');
    let inside = inside.strip_prefix("src/").unwrap_or(inside);
    inside.split('/').next().unwrap_or("").trim_end_matches(".rs").to_string()
}

/// Which room uses which, with a file that does.
fn uses_of(folder: &str, rooms: &[&str], krate: &str, wrong: &mut Vec<String>) -> BTreeMap<(String, String), String> {
    let files = sources_of(folder);
    let passed_on: BTreeMap<String, String> = files
        .iter()
        .filter(|file| room_of(folder, &file.path) == "lib")
        .flat_map(|file| passed_on(&code_only(&file.text)))
        .collect();
    let top: Vec<&str> =
        files.iter().filter(|file| file.path == "src/main.rs").map(|file| file.text.as_str()).collect();
    let mut uses = BTreeMap::new();
    for file in files.iter().filter(|file| !is_unit_test(&file.path)) {
        let room = room_of(folder, &file.path);
        if room == "lib" || room == "main" {
            continue;
        }
        for (name, certain) in first_steps(&code_only(&file.text), depth(folder, &file.path)) {
            let used = match passed_on.get(&name) {
                Some(room) => room.as_str(),
                None if top.iter().any(|word| text_defines(word, &name)) => "main",
                None => name.as_str(),
            };
            if !rooms.contains(&used) && !certain {
                // `super` of a module written inside a file is the file itself.
                continue;
            }
            if !rooms.contains(&used) {
                wrong.push(format!("{}: `{name}` is no room of {krate}, and lib.rs passes it on from none", file.path));
            } else if used != room {
                uses.insert((room.clone(), used.to_string()), file.path.clone());
            }
        }
    }
    uses
}

/// Whether a file defines a name that others may use.
fn text_defines(text: &str, name: &str) -> bool {
    ["const", "enum", "struct", "fn", "static"].iter().any(|what| text.contains(&format!("pub {what} {name}")))
}

/// How many `super::` lead from a file to the top of its crate.
fn depth(folder: &str, path: &str) -> usize {
    let inside = path.strip_prefix(folder).unwrap_or(path).trim_start_matches('/');
    let steps = inside.strip_prefix("src/").unwrap_or(inside).split('/').count();
    if path.ends_with("/mod.rs") { steps - 1 } else { steps }
}

/// What `pub use room::Name;` of a `lib.rs` passes on, with its room.
fn passed_on(code: &str) -> Vec<(String, String)> {
    let mut found = Vec::new();
    for part in code.split("pub use ").skip(1) {
        let path: String = part.split(';').next().unwrap_or("").split_whitespace().collect();
        let Some((room, rest)) = path.split_once("::") else { continue };
        for name in rest.trim_matches(['{', '}']).split(',') {
            let name = name.rsplit("::").next().unwrap_or(name);
            if !name.is_empty() {
                found.push((name.to_string(), room.to_string()));
            }
        }
    }
    found
}

/// The first step of every path from the top of the crate: `crate::draw::line` and, from a file at that depth,
/// `super::super::draw` are `draw`; of `crate::{draw, token::Tok}` both are told. With each, whether it certainly
/// starts from the top.
fn first_steps(code: &str, depth: usize) -> Vec<(String, bool)> {
    let mut found: Vec<(String, bool)> = Vec::new();
    for (top, certain) in [("crate::".to_string(), true), ("super::".repeat(depth), false)] {
        for (at, _) in code.match_indices(&top) {
            let before = code[..at].chars().next_back().unwrap_or(' ');
            let rest = &code[at + top.len()..];
            // `super::super::x` from a file one step deep, and words that only end so, lead elsewhere.
            if before.is_alphanumeric()
                || before == '_'
                || before == ':'
                || before == '$'
                || rest.starts_with("super::")
            {
                continue;
            }
            let names = match rest.strip_prefix('{') {
                Some(group) => names_of_group(group),
                None => leading_name(rest).into_iter().collect(),
            };
            found.extend(names.into_iter().map(|name| (name, certain)));
        }
    }
    found.retain(|(name, _)| name != "self" && name != "tests");
    found.sort();
    found.dedup();
    found
}

fn leading_name(text: &str) -> Option<String> {
    let name: String = text.chars().take_while(|character| character.is_alphanumeric() || *character == '_').collect();
    (!name.is_empty()).then_some(name)
}

/// The first names inside `{a, b::{c, d}, e}`.
fn names_of_group(text: &str) -> Vec<String> {
    let mut names = Vec::new();
    let (mut level, mut fresh) = (0_i32, true);
    for (at, character) in text.char_indices() {
        match character {
            '{' => level += 1,
            '}' if level == 0 => break,
            '}' => level -= 1,
            ',' if level == 0 => fresh = true,
            _ if fresh && (character.is_alphabetic() || character == '_') => {
                names.extend(leading_name(&text[at..]));
                fresh = false;
            }
            _ => {}
        }
    }
    names
}

#[test]
fn paths_are_found_however_they_are_written() {
    let steps = |code: &str, depth: usize| -> String {
        first_steps(code, depth).into_iter().map(|(name, _)| name).collect::<Vec<_>>().join(" ")
    };
    let code = "use crate::{draw, token::{Tok, lex}};\nfn f(x: &crate::source::Span) -> super::problem::Label {}\n";
    assert_eq!(steps(code, 1), "draw problem source token");
    assert_eq!(steps("use super::super::draw::line;", 2), "draw");
    assert_eq!(steps("use super::super::draw::line;", 1), "");
    assert_eq!(steps("use super::line;", 2), "");
    assert_eq!(code_only("let a = \"crate::draw\"; // crate::draw\n"), "let a = ; \n");
    assert_eq!(depth("lang/text", "lang/text/src/draw/line.rs"), 2);
    assert_eq!(depth("", "src/prompt/mod.rs"), 1);
    assert_eq!(
        passed_on("pub use source::{FileId,\n    Span};\npub use draw::draw;"),
        [("FileId", "source"), ("Span", "source"), ("draw", "draw")].map(|(a, b)| (a.to_string(), b.to_string()))
    );
}
