//! The command.
use knockon_lang::{Shelf, load};
struct Disk;
impl Shelf for Disk {
    fn read(&self, path: &str) -> Result<String, String> {
        let real = match path.strip_prefix("standard/") { Some(rest) => format!("stdlib/{rest}"), None => path.to_string() };
        std::fs::read_to_string(real).map_err(|e| e.to_string())
    }
}
fn main() {
    use std::io::Write;
    for path in std::env::args().skip(1) {
        let loaded = load(&[&path], &Disk);
        let out = knockon_lang::text::draw::draw(&loaded.problems, &loaded.sources, false);
        let _ = write!(std::io::stdout(), "{out}");
        let (library, p) = knockon_lang::rules::Library::new(loaded.resolved);
        for job in &library.resolved.jobs {
            let t = std::time::Instant::now();
            match knockon_lang::decide::decide(&library, job, None) {
                Ok(d) => { let _ = writeln!(std::io::stdout(), "{}\n{:?} {} atoms {} clauses {} vars", knockon_lang::decide::words::answer(&d.answer).to_plain(), t.elapsed(), d.grounded.program.claims.len(), d.grounded.program.clauses.len(), d.grounded.program.variables.len()); }
                Err(p) => { let _ = writeln!(std::io::stdout(), "{p:?}"); }
            }
        }
    }
}
