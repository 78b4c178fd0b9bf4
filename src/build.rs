//! Lists the standard library for the command, in the order of its names, so that it travels inside.

use std::fmt::Write as _;
use std::io::{self, Write as _};
use std::path::Path;

fn main() -> io::Result<()> {
    writeln!(io::stdout(), "cargo::rerun-if-changed=stdlib")?;
    let root = std::env::var_os("CARGO_MANIFEST_DIR").ok_or(io::ErrorKind::NotFound)?;
    let mut names = Vec::new();
    collect(&Path::new(&root).join("stdlib"), "", &mut names)?;
    names.sort();
    // The text names no folder of this machine, so two machines build the same bytes.
    let mut text = String::from("&[\n");
    for name in &names {
        let _ = writeln!(
            text,
            "    ({:?}, include_str!(concat!(env!(\"CARGO_MANIFEST_DIR\"), {:?}))),",
            format!("standard/{name}"),
            format!("/stdlib/{name}"),
        );
    }
    text.push_str("]\n");
    let out = std::env::var_os("OUT_DIR").ok_or(io::ErrorKind::NotFound)?;
    std::fs::write(Path::new(&out).join("standard_library.rs"), text)
}

/// The names of all rule files below a folder, with `/` between their parts.
fn collect(folder: &Path, before: &str, names: &mut Vec<String>) -> io::Result<()> {
    for entry in std::fs::read_dir(folder)? {
        let entry = entry?;
        let Ok(name) = entry.file_name().into_string() else {
            continue;
        };
        let name = if before.is_empty() { name } else { format!("{before}/{name}") };
        if entry.file_type()?.is_dir() {
            collect(&entry.path(), &name, names)?;
        } else if name.ends_with(".knock") {
            names.push(name);
        }
    }
    Ok(())
}
