//! Rooms: inside a crate a file uses only rooms below its own.

use std::collections::BTreeMap;

use super::{CRATES, code_only, is_unit_test, nothing_wrong, sources_of};

/// The rooms of each crate, lowest first: a room is a file or a folder beside `lib.rs`. A room may use those
/// before it and no other.
pub const ROOMS: &[(&str, &[&str])] = &[
    ("knockon-text", &["neutral", "source", "suggest", "markup", "codes", "problem", "draw"]),
    ("knockon-syntax", &["token", "tree", "parse", "print", "dump"]),
];

/// Arrows that go up, and how each is to be undone. They are not fine: the list may only get shorter.
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
            let known = UNDONE.iter().any(|known| (known.0, known.1, known.2) == (*krate, room.as_str(), used.as_str()));
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
fn uses_of(
    folder: &str,
    rooms: &[&str],
    krate: &str,
    wrong: &mut Vec<String>,
) -> BTreeMap<(String, String), String> {
    let files = sources_of(folder);
    let passed_on: BTreeMap<String, String> = files
        .iter()
        .filter(|file| room_of(folder, &file.path) == "lib")
        .flat_map(|file| passed_on(&code_only(&file.text)))
        .collect();
    let mut uses = BTreeMap::new();
    for file in files.iter().filter(|file| !is_unit_test(&file.path)) {
        let room = room_of(folder, &file.path);
        if room == "lib" || room == "main" {
            continue;
        }
        for name in first_steps(&code_only(&file.text), depth(folder, &file.path)) {
            let used = passed_on.get(&name).map_or(name.as_str(), String::as_str);
            if !rooms.contains(&used) {
                wrong.push(format!("{}: `{name}` is no room of {krate}, and lib.rs passes it on from none", file.path));
            } else if used != room {
                uses.insert((room.clone(), used.to_string()), file.path.clone());
            }
        }
    }
    uses
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
/// `super::super::draw` are `draw`; of `crate::{draw, token::Tok}` both are told.
fn first_steps(code: &str, depth: usize) -> Vec<String> {
    let mut found = Vec::new();
    for top in ["crate::".to_string(), "super::".repeat(depth)] {
        for (at, _) in code.match_indices(&top) {
            let before = code[..at].chars().next_back().unwrap_or(' ');
            let rest = &code[at + top.len()..];
            // `super::super::x` from a file one step deep, and words that only end so, lead elsewhere.
            if before.is_alphanumeric() || before == '_' || before == ':' || before == '$' || rest.starts_with("super::") {
                continue;
            }
            if let Some(group) = rest.strip_prefix('{') {
                found.extend(names_of_group(group));
            } else {
                found.extend(leading_name(rest));
            }
        }
    }
    found.retain(|name| name != "self" && name != "tests");
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
    let code = "use crate::{draw, token::{Tok, lex}};\nfn f(x: &crate::source::Span) -> super::problem::Label {}\n";
    assert_eq!(first_steps(code, 1), ["draw", "problem", "source", "token"]);
    assert_eq!(first_steps("use super::super::draw::line;", 2), ["draw"]);
    assert_eq!(first_steps("use super::super::draw::line;", 1), Vec::<String>::new());
    assert_eq!(first_steps("use super::line;", 2), Vec::<String>::new());
    assert_eq!(code_only("let a = \"crate::draw\"; // crate::draw\n"), "let a = ; \n");
    assert_eq!(depth("lang/text", "lang/text/src/draw/line.rs"), 2);
    assert_eq!(depth("", "src/prompt/mod.rs"), 1);
    assert_eq!(
        passed_on("pub use source::{FileId,\n    Span};\npub use draw::draw;"),
        [("FileId", "source"), ("Span", "source"), ("draw", "draw")].map(|(a, b)| (a.to_string(), b.to_string()))
    );
}
