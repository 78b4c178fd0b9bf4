//! Runs the test blocks of files: a throwaway while the command is being written.
use knockon_lang::{Shelf, load};
use std::io::Write;
struct Disk;
impl Shelf for Disk {
    fn read(&self, path: &str) -> Result<String, String> {
        let real = match path.strip_prefix("standard/") {
            Some(rest) => format!("stdlib/{rest}"),
            None => path.to_string(),
        };
        std::fs::read_to_string(real).map_err(|e| e.to_string())
    }
}
fn main() {
    let (mut good, mut bad) = (0, 0);
    let mut out = std::io::stdout();
    for path in std::env::args().skip(1) {
        let loaded = load(&[&path], &Disk);
        if loaded.has_errors() {
            let _ = writeln!(
                out,
                "{path}: ERRORS\n{}",
                knockon_lang::text::draw::draw(&loaded.problems, &loaded.sources, false)
            );
            bad += 1;
            continue;
        }
        let sources = loaded.sources.clone();
        let file0 = knockon_lang::text::FileId(0);
        let (library, _) = knockon_lang::rules::Library::new(loaded.resolved);
        for test in library.resolved.tests.iter().filter(|t| t.span.file == file0) {
            let r = knockon_lang::study::run(&library, test);
            if r.passed {
                good += 1
            } else {
                bad += 1;
                for p in &r.failures {
                    let _ = writeln!(out, "{}", knockon_lang::text::draw::draw_plain_line(p, &sources));
                    let _ = writeln!(out, "     -> {}", p.main.as_ref().map_or("", |m| &m.text));
                }
            }
            if r.never_fails {
                let _ = writeln!(out, "NEVER FAILS {}", test.name);
            }
        }
    }
    let _ = writeln!(out, "{good} passed, {bad} failed");
}
