//! The only place that reads and writes files, and that reads standard input whole.

use std::fs;
use std::io::{self, Read, Write};
use std::path::{Path, PathBuf};

/// The name under which standard input is read.
pub const STANDARD_INPUT: &str = "-";

/// What the names of the standard library begin with: they are no files of the disk.
pub const STANDARD_FOLDER: &str = "standard/";

/// What the names of rule files end in.
const ENDING: &str = ".knock";

/// A larger file is no rule set somebody wrote; reading it would only fill the memory.
const LARGEST: u64 = 256 * 1024 * 1024;

/// Reads a text file; or says in words why it cannot be read.
pub fn read(path: &str) -> Result<String, String> {
    let file = fs::File::open(path).map_err(|error| in_words(&error))?;
    let about = file.metadata().map_err(|error| in_words(&error))?;
    if about.is_dir() {
        return Err("it is a folder".to_string());
    }
    read_text(file)
}

/// Reads standard input to its end.
pub fn read_input() -> Result<String, String> {
    read_text(io::stdin().lock())
}

fn read_text(from: impl Read) -> Result<String, String> {
    let mut bytes = Vec::new();
    from.take(LARGEST + 1).read_to_end(&mut bytes).map_err(|error| in_words(&error))?;
    if bytes.len() as u64 > LARGEST {
        return Err(format!("it is larger than {} MB", LARGEST >> 20));
    }
    String::from_utf8(bytes).map_err(|error| {
        let at = error.utf8_error().valid_up_to();
        format!("it is not UTF-8 text (byte {at})")
    })
}

/// Writes a file whole or not at all: into a new file beside it, which then takes its place.
pub fn write(path: &str, text: &str) -> Result<(), String> {
    // What a link points at is to be written, not the link.
    let target = fs::canonicalize(path).unwrap_or_else(|_| PathBuf::from(path));
    let mut beside = target.clone().into_os_string();
    beside.push(format!(".{}.new", std::process::id()));
    let beside = PathBuf::from(beside);
    let written = write_beside(&target, &beside, text);
    if written.is_err() {
        let _ = fs::remove_file(&beside);
    }
    written.map_err(|error| in_words(&error))
}

fn write_beside(target: &Path, beside: &Path, text: &str) -> io::Result<()> {
    let mut file = fs::OpenOptions::new().write(true).create_new(true).open(beside)?;
    file.write_all(text.as_bytes())?;
    file.sync_all()?;
    drop(file);
    if let Ok(about) = fs::metadata(target) {
        if about.permissions().readonly() {
            return Err(io::ErrorKind::PermissionDenied.into());
        }
        fs::set_permissions(beside, about.permissions())?;
    }
    fs::rename(beside, target)
}

/// The files an argument names: itself, or all rule files below a folder, in the order of their names.
pub fn below(path: &str) -> Result<Vec<String>, String> {
    if path == STANDARD_INPUT || path.starts_with(STANDARD_FOLDER) || !Path::new(path).is_dir() {
        return Ok(vec![path.to_string()]);
    }
    let mut found = Vec::new();
    let mut open = vec![path.to_string()];
    while let Some(folder) = open.pop() {
        let entries = fs::read_dir(&folder).map_err(|error| in_words(&error))?;
        for entry in entries {
            let entry = entry.map_err(|error| in_words(&error))?;
            let name = entry.file_name();
            let Some(name) = name.to_str() else { continue };
            let inside =
                if folder == "." { name.to_string() } else { format!("{}/{name}", folder.trim_end_matches('/')) };
            // Not followed: a link to a folder above would never end.
            let kind = entry.file_type().map_err(|error| in_words(&error))?;
            if kind.is_dir() {
                open.push(inside);
            } else if name.ends_with(ENDING) {
                found.push(inside);
            }
        }
    }
    found.sort();
    Ok(found)
}

/// An argument as the loader names files: `/` between the parts, no part that says nothing.
///
/// A name that begins with `standard/` is the library's, unless there is such a file on the disk.
pub fn named(argument: &str) -> String {
    if argument == STANDARD_INPUT {
        return argument.to_string();
    }
    let argument = if cfg!(windows) { argument.replace('\\', "/") } else { argument.to_string() };
    let mut parts: Vec<&str> = Vec::new();
    for (index, part) in argument.split('/').enumerate() {
        match part {
            "" if index > 0 => {}
            "." => {}
            part => parts.push(part),
        }
    }
    let plain = match parts.as_slice() {
        [] => ".".to_string(),
        [""] => "/".to_string(),
        parts => parts.join("/"),
    };
    let library = plain.starts_with(STANDARD_FOLDER);
    if library && (argument.starts_with("./") || Path::new(&plain).exists()) {
        format!("./{plain}")
    } else if plain == STANDARD_INPUT {
        "./-".to_string()
    } else {
        plain
    }
}

/// The name of the file at `to` as a file at `from` has to write it; both as the loader names files.
pub fn relative(from: &str, to: &str) -> String {
    if to.starts_with(STANDARD_FOLDER) {
        return to.to_string();
    }
    let (Some(from), Some(to_whole)) = (whole(from), whole(to)) else {
        return to.to_string();
    };
    let folders = from.len().saturating_sub(1);
    let common = from.iter().take(folders).zip(&to_whole).take_while(|(one, two)| one == two).count();
    let up = std::iter::repeat_n("..", folders - common);
    let down = to_whole.iter().skip(common).map(String::as_str);
    up.chain(down).collect::<Vec<_>>().join("/")
}

/// All parts of a name from the top of the disk, nothing where the folder we are in is not known.
fn whole(name: &str) -> Option<Vec<String>> {
    let mut parts: Vec<String> = Vec::new();
    let here = if name.starts_with('/') { String::new() } else { std::env::current_dir().ok()?.to_str()?.to_string() };
    let here = if cfg!(windows) { here.replace('\\', "/") } else { here };
    for part in here.split('/').chain(name.split('/')) {
        match part {
            "" | "." => {}
            ".." => {
                parts.pop();
            }
            part => parts.push(part.to_string()),
        }
    }
    Some(parts)
}

/// Whether there is something under that name already.
pub fn exists(path: &str) -> bool {
    Path::new(path).exists()
}

/// The file the prompt keeps its history in, its folder made where it can be; nothing where there is none.
pub fn history() -> Option<PathBuf> {
    let set = |name: &str| std::env::var_os(name).filter(|value| !value.is_empty()).map(PathBuf::from);
    let state = match set("XDG_STATE_HOME").or_else(|| set("LOCALAPPDATA")) {
        Some(folder) => folder,
        None => set("HOME")?.join(".local").join("state"),
    };
    let folder = state.join("knockon");
    fs::create_dir_all(&folder).ok()?;
    Some(folder.join("history"))
}

/// What went wrong, without the number the system gives it.
fn in_words(error: &io::Error) -> String {
    match error.kind() {
        io::ErrorKind::NotFound => "there is no such file".to_string(),
        io::ErrorKind::PermissionDenied => "it is not allowed".to_string(),
        io::ErrorKind::IsADirectory => "it is a folder".to_string(),
        io::ErrorKind::NotADirectory => "a part of its name is no folder".to_string(),
        _ => {
            let text = error.to_string();
            match text.find(" (os error") {
                Some(at) => text.get(..at).unwrap_or(&text).to_string(),
                None => text,
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_name_is_the_same_however_it_is_written() {
        for (argument, name) in [
            ("a/b.knock", "a/b.knock"),
            ("./a//b.knock", "a/b.knock"),
            ("a/./b.knock", "a/b.knock"),
            ("../a.knock", "../a.knock"),
            ("/a/b.knock", "/a/b.knock"),
            (".", "."),
            ("./", "."),
            ("/", "/"),
            ("-", "-"),
            ("./-", "./-"),
            ("standard/all.knock", "standard/all.knock"),
            ("./standard/all.knock", "./standard/all.knock"),
        ] {
            assert_eq!(named(argument), name, "{argument}");
        }
    }

    #[test]
    fn a_file_names_another_from_where_it_stands() {
        for (from, to, written) in [
            ("prompt", "yard.knock", "yard.knock"),
            ("jobs/a.knock", "yard.knock", "../yard.knock"),
            ("jobs/a.knock", "jobs/b.knock", "b.knock"),
            ("a.knock", "jobs/b.knock", "jobs/b.knock"),
            ("/x/y/a.knock", "/x/z/b.knock", "../z/b.knock"),
            ("jobs/a.knock", "standard/all.knock", "standard/all.knock"),
        ] {
            assert_eq!(relative(from, to), written, "{from} {to}");
        }
    }

    #[test]
    fn a_file_is_written_whole_and_nothing_is_left_beside_it() {
        let folder = std::env::temp_dir().join(format!("knockon-files-{}", std::process::id()));
        fs::create_dir_all(&folder).unwrap();
        let path = folder.join("a.knock");
        let name = path.to_str().unwrap();
        write(name, "one").unwrap();
        write(name, "two").unwrap();
        assert_eq!(read(name).unwrap(), "two");
        assert_eq!(fs::read_dir(&folder).unwrap().count(), 1);
        assert_eq!(write(folder.join("none/a.knock").to_str().unwrap(), "x"), Err("there is no such file".to_string()));
        assert_eq!(read(folder.to_str().unwrap()), Err("it is a folder".to_string()));
        fs::remove_dir_all(&folder).unwrap();
    }

    #[test]
    fn text_that_is_not_utf_8_is_refused_with_its_place() {
        assert_eq!(read_text(&b"ab\xff"[..]), Err("it is not UTF-8 text (byte 2)".to_string()));
    }
}
