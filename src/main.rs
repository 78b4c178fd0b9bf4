//! The command.
use knockon_lang::{Shelf, load};
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
    use std::io::Write;
    for path in std::env::args().skip(1) {
        let loaded = load(&[&path], &Disk);
        let out = knockon_lang::text::draw::draw(&loaded.problems, &loaded.sources, false);
        let _ = write!(std::io::stdout(), "{out}");
        let r = &loaded.resolved;
        let _ = writeln!(
            std::io::stdout(),
            "{path}: {} terms {} facts {} rules {} jobs {} tests {} problems",
            r.vocabulary.len(),
            r.facts.len(),
            r.rules.len(),
            r.jobs.len(),
            r.tests.len(),
            loaded.problems.len()
        );
    }
}
