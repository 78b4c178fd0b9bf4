//! Bytes to tokens to tree, on a generated library of 10 MB; prints each stage as a ratio to lexing.

use std::hint::black_box;
use std::time::{Duration, Instant};

use knockon_lang::syntax::{lex, parse};
use knockon_lang::text::FileId;
use knockon_lang::{Shelf, load};

/// A shelf with one text on it.
struct One<'a>(&'a str);

impl Shelf for One<'_> {
    fn read(&self, _: &str) -> Result<String, String> {
        Ok(self.0.to_string())
    }
}

#[path = "generated.rs"]
mod generated;

fn median(mut run: impl FnMut()) -> Duration {
    let mut times: Vec<Duration> = (0..7)
        .map(|_| {
            let start = Instant::now();
            run();
            start.elapsed()
        })
        .collect();
    times.sort();
    times.get(3).copied().unwrap_or_default()
}

fn main() {
    let text = generated::library(10_000_000);
    let megabytes = text.len() as f64 / 1e6;
    let speed = |time: Duration| megabytes / time.as_secs_f64();
    let lexing = median(|| {
        black_box(lex(black_box(&text)));
    });
    let parsing = median(|| {
        black_box(parse(FileId(0), black_box(&text)));
    });
    let parsed = parse(FileId(0), &text);
    let mut out = String::new();
    out.push_str(&format!(
        "{megabytes:.1} MB, {} tokens, {} items, {} problems\n",
        parsed.tokens.len(),
        parsed.file.items.len(),
        parsed.problems.len()
    ));
    out.push_str(&format!("lexing           {:7.1} ms {:6.0} MB/s  1.00\n", lexing.as_secs_f64() * 1e3, speed(lexing)));
    out.push_str(&format!(
        "bytes to tree    {:7.1} ms {:6.0} MB/s  {:.2}\n",
        parsing.as_secs_f64() * 1e3,
        speed(parsing),
        parsing.as_secs_f64() / lexing.as_secs_f64()
    ));
    let resolving = median(|| {
        black_box(load(black_box(&["generated.knock"]), &One(&text)));
    });
    let loaded = load(&["generated.knock"], &One(&text));
    out.push_str(&format!(
        "bytes to resolved {:6.1} ms {:6.0} MB/s  {:.2}   ({} rules, {} problems)\n",
        resolving.as_secs_f64() * 1e3,
        speed(resolving),
        resolving.as_secs_f64() / lexing.as_secs_f64(),
        loaded.resolved.rules.len(),
        loaded.problems.len()
    ));
    use std::io::Write;
    let _ = std::io::stdout().write_all(out.as_bytes());
}
