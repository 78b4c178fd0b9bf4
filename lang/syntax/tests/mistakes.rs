//! scratch
use knockon_text::Sources;

#[test]
fn show() {
    let text = std::fs::read_to_string("/tmp/kn/printer-mistakes.txt").unwrap();
    for case in text.split("=====\n") {
        let mut sources = Sources::new();
        let file = sources.add("a.knock", case);
        let parsed = knockon_syntax::parse(file, case);
        println!("-----\n{case}\n{}", knockon_text::draw::draw(&parsed.problems, &sources, false));
    }
}
