//! What the line table, spans and slices promise.

use super::*;

fn one(text: &str) -> Source {
    Source::new("a.knock".to_owned(), text.to_owned())
}

fn place(line: u32, column: u32) -> Place {
    Place { line, column }
}

#[test]
fn an_empty_text_has_one_empty_line() {
    let source = one("");
    assert_eq!(source.line_count(), 1);
    assert_eq!(source.line_text(1), "");
    assert_eq!(source.place_at(0), place(1, 1));
    assert!(source.is_empty());
}

#[test]
fn a_text_without_a_final_line_end_keeps_its_last_line() {
    let source = one("one\ntwo");
    assert_eq!(source.line_count(), 2);
    assert_eq!(source.line_text(2), "two");
    assert_eq!(source.place_at(7), place(2, 4));
}

#[test]
fn a_final_line_end_opens_an_empty_line() {
    let source = one("one\n");
    assert_eq!(source.line_count(), 2);
    assert_eq!(source.line_text(2), "");
    assert_eq!(source.place_at(4), place(2, 1));
}

#[test]
fn crlf_ends_one_line_and_does_not_show_in_its_text() {
    let source = one("one\r\ntwo\r\n");
    assert_eq!(source.line_count(), 3);
    assert_eq!(source.line_text(1), "one");
    assert_eq!(source.line_text(2), "two");
    assert_eq!(source.place_at(5), place(2, 1));
    assert_eq!(source.place_at(4), place(1, 5), "the \\n still belongs to the line it ends");
}

#[test]
fn a_bare_carriage_return_ends_a_line() {
    let source = one("one\rtwo\r\r\nfour");
    assert_eq!(source.line_count(), 4);
    assert_eq!(source.line_text(1), "one");
    assert_eq!(source.line_text(2), "two");
    assert_eq!(source.line_text(3), "");
    assert_eq!(source.line_text(4), "four");
    assert_eq!(source.place_at(4), place(2, 1));
}

#[test]
fn unicode_separators_and_form_feeds_end_no_line() {
    let source = one("a\u{2028}b\u{2029}c\u{85}d\u{b}e\u{c}f\n");
    assert_eq!(source.line_count(), 2);
    assert_eq!(source.place_at(3 + 1), place(1, 3));
}

#[test]
fn columns_count_characters_and_not_bytes() {
    // é and ° are two bytes, the car four.
    let source = one("é ° 🚗 x");
    let byte = source.text().find('x').map_or(0, |byte| byte as u32);
    assert_eq!(byte, 11);
    assert_eq!(source.place_at(byte), place(1, 7));
}

#[test]
fn a_tab_counts_one_column() {
    assert_eq!(one("\t\tx").place_at(2), place(1, 3));
}

#[test]
fn a_byte_inside_a_character_counts_as_its_first() {
    let source = one("a🚗b");
    for byte in 1..5 {
        assert_eq!(source.place_at(byte), place(1, 2));
    }
    assert_eq!(source.place_at(5), place(1, 3));
}

#[test]
fn a_byte_past_the_end_counts_as_the_end() {
    assert_eq!(one("ab\nc").place_at(u32::MAX), place(2, 2));
}

#[test]
fn every_place_leads_back_to_its_byte() {
    let source = one("é\r\n\rx °\n\u{2028}🚗\n");
    for (byte, _) in source.text().char_indices() {
        let place = source.place_at(byte as u32);
        let start = source.line_start(place.line).unwrap_or(u32::MAX) as usize;
        let rest = source.text().get(start..).unwrap_or("");
        let within = rest.char_indices().nth(place.column as usize - 1).map(|(within, _)| within);
        assert_eq!(within.map(|within| start + within), Some(byte));
    }
}

#[test]
fn the_texts_of_all_lines_with_their_ends_are_the_whole_text() {
    for text in ["", "\n", "\r", "\r\n", "a\r\nb\rc\nd", "\n\r", "\r\r\n\n", "é\u{2028}\r"] {
        let source = one(text);
        let ends = text.replace("\r\n", "\n").replace('\r', "\n");
        let lines: Vec<&str> = (1..=source.line_count()).map(|line| source.line_text(line)).collect();
        assert_eq!(lines.join("\n"), ends, "{text:?}");
    }
}

#[test]
fn a_line_that_is_not_there_is_empty() {
    let source = one("a\nb");
    assert_eq!(source.line_text(0), "");
    assert_eq!(source.line_text(3), "");
    assert_eq!(source.line_text(u32::MAX), "");
    assert_eq!(source.line_start(0), None);
    assert_eq!(source.line_start(3), None);
}

#[test]
fn files_keep_their_numbers_names_and_order() {
    let mut sources = Sources::new();
    let first = sources.add("first", "1");
    let second = sources.add("second", "2");
    assert_eq!((first, second), (FileId(0), FileId(1)));
    assert_eq!(sources.get(second).map(Source::name), Some("second"));
    let listed: Vec<(FileId, &str)> = sources.iter().map(|(file, source)| (file, source.text())).collect();
    assert_eq!(listed, [(first, "1"), (second, "2")]);
    assert!(sources.get(FileId(2)).is_none());
}

#[test]
fn a_slice_outside_the_text_or_inside_a_character_is_empty() {
    let mut sources = Sources::new();
    let file = sources.add("a", "a°b");
    assert_eq!(sources.slice(Span::new(file, 1, 3)), "°");
    assert_eq!(sources.slice(Span::new(file, 2, 3)), "");
    assert_eq!(sources.slice(Span::new(file, 0, 9)), "");
    assert_eq!(sources.slice(Span { file, start: 3, end: 1 }), "");
    assert_eq!(sources.slice(Span::new(FileId(7), 0, 1)), "");
}

#[test]
fn a_span_never_ends_before_it_starts() {
    let file = FileId(0);
    assert_eq!(Span::new(file, 5, 2), Span { file, start: 5, end: 5 });
    assert!(Span::new(file, 5, 2).is_empty());
    assert_eq!(Span::new(file, 2, 5).len(), 3);
    assert_eq!(Span { file, start: 5, end: 2 }.len(), 0);
}

#[test]
fn a_cover_holds_both_spans_of_one_text_only() {
    let file = FileId(0);
    let left = Span::new(file, 2, 4);
    assert_eq!(left.cover(Span::new(file, 7, 9)), Span::new(file, 2, 9));
    assert_eq!(Span::new(file, 7, 9).cover(left), Span::new(file, 2, 9));
    assert_eq!(left.cover(Span::new(FileId(1), 0, 9)), left);
}

#[test]
fn the_place_of_a_span_is_that_of_its_start() {
    let mut sources = Sources::new();
    let file = sources.add("a", "a\n°b");
    assert_eq!(sources.place(Span::new(file, 4, 5)), place(2, 2));
    assert_eq!(sources.place(Span::new(FileId(4), 4, 5)), place(1, 1));
}
