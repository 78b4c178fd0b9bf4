//! The one style: what it looks like, and that printing changes nothing a text says.

mod common;

use common::{Chance, format_well, generate, read, read_well, samples};
use knockon_syntax::{Tok, dump, lex, print};

#[test]
fn a_thousand_generated_files_keep_their_meaning_and_are_printed_the_same_twice() {
    let mut characters = 0;
    for seed in 1..=1_000 {
        let text = generate::file(&mut Chance::new(seed));
        characters += format_well(&text).len();
    }
    assert!(characters > 400_000, "the generated files are too small to say much: {characters}");
}

#[test]
fn the_generated_files_hold_every_kind_of_item_and_clause() {
    let mut trees = String::new();
    for seed in 1..=300 {
        let text = generate::file(&mut Chance::new(seed));
        trees.push_str(&dump::tree(&text, &read_well(&text)));
    }
    let nodes = [
        "Use",
        "Declaration Maker",
        "Declaration Quality",
        "Declaration Line",
        "AlsoWritten",
        "CountsAs",
        "DisturbsNothing",
        "DisturbsWhenChanged",
        "PutsOnAnotherPart",
        "PassesAlong",
        "PassesDisturbance",
        "Serves",
        "AskedAs",
        "JudgedByAPerson",
        "EndsIn",
        "CarriedOutBy",
        "Concerns",
        "OneOf",
        "Doing",
        "OnTheWay",
        "Positive",
        "Makes",
        "Source",
        "Title",
        "Issuer",
        "Rank",
        "Issued",
        "Revised",
        "InForceFrom",
        "Replaces",
        "Review",
        "ReadInPart",
        "ReadFrom",
        "BorrowedFrom",
        "EncodedBy",
        "Scope",
        "Fact",
        "SaysNothingOf",
        "per",
        "Rule",
        "Cites",
        "Says",
        "When",
        "Unless",
        "Then",
        "Because",
        "WithoutIt",
        "GivesWayTo",
        "ReadAs",
        "And",
        "Or",
        "Sentence",
        "Not",
        "Group",
        "Require",
        "RequireEither",
        "RequireOpenList",
        "AdviseOpenList",
        "Advise",
        "Waive",
        "Forbid",
        "Allow",
        "AllowOnly",
        "LeaveOpen",
        "where",
        "Hold",
        "Ask",
        "Warn",
        "UntilThen",
        "Statement",
        "Job",
        "dated",
        "JobLine",
        "Test",
        "Suppose",
        "Expect",
        "Table",
        "Row",
    ];
    for node in nodes {
        let found = trees.lines().any(|line| {
            let line = line.trim_start();
            line == node || line.starts_with(&format!("{node} "))
        });
        assert!(found, "no generated file holds {node}");
    }
}

#[test]
fn a_text_laid_out_on_as_few_lines_as_possible_comes_out_as_one_with_a_line_for_every_clause() {
    let short = "rule \"a\" cites VEL-9 when front fascia removed and any sensor behind front fascia is touched then require road check because \"b\"";
    let long = "rule \"a\"\n cites VEL-9\n\nwhen front fascia removed\n\tand any sensor behind front fascia\n   is touched\nthen\n require road check\nbecause\n\"b\"\n";
    let styled = "rule \"a\"
  cites VEL-9
  when front fascia removed
   and any sensor behind front fascia is touched
  then require road check
  because \"b\"
";
    assert_eq!(format_well(short), styled);
    assert_eq!(format_well(long), styled);
}

#[test]
fn a_declaration_that_fits_stays_on_one_line_and_one_that_does_not_has_a_line_for_each_clause() {
    assert_eq!(
        format_well("choice rear axle\none of solid,\nindependent"),
        "choice rear axle one of solid, independent\n"
    );
    let long = "condition damage more than cosmetic judged by a person, asked as \"Is the damage at the place more than cosmetic?\"";
    assert_eq!(
        format_well(long),
        "condition damage more than cosmetic
  judged by a person,
  asked as \"Is the damage at the place more than cosmetic?\"
"
    );
}

#[test]
fn the_longer_clauses_of_a_declaration_have_a_line_of_their_own() {
    assert_eq!(
        format_well("operation removed doing \"removing\", on the way \"takes off\" counts as loosened, unplugged"),
        "operation removed\n  doing \"removing\", on the way \"takes off\"\n  counts as loosened, unplugged\n"
    );
    assert_eq!(
        format_well("finding found tight of part, disturbs nothing"),
        "finding found tight of part, disturbs nothing\n"
    );
}

#[test]
fn a_long_list_is_broken_after_commas_and_goes_on_deeper() {
    let names = (1..=14).map(|number| format!("bracket {number}")).collect::<Vec<_>>().join(", ");
    let printed = format_well(&format!("operation removed counts as {names}"));
    assert_eq!(
        printed,
        "operation removed
  counts as bracket 1, bracket 2, bracket 3, bracket 4, bracket 5, bracket 6, bracket 7, bracket 8,
    bracket 9, bracket 10, bracket 11, bracket 12, bracket 13, bracket 14
"
    );
}

#[test]
fn after_a_comma_an_item_word_may_begin_a_line_and_is_an_ordinary_word_before_and_after() {
    let text = "operation removed counts as a very long name for nothing much, another very long name for something else, sensor taken off, rule broken";
    let printed = format_well(text);
    let tokens = lex(&printed);
    assert_eq!(tokens.item_starts, [0]);
    assert!(printed.contains(",\n    sensor taken off, rule broken"), "{printed}");
}

#[test]
fn a_fact_too_long_for_a_line_has_its_citation_on_the_next() {
    let text = "replacing left headlamp takes off front fascia, undertray, grille, wheel arch liner, per BRI-WM-7 of 2024-03-01 section \"4.1.2\"";
    assert_eq!(
        format_well(text),
        "replacing left headlamp takes off front fascia, undertray, grille, wheel arch liner,
  per BRI-WM-7 of 2024-03-01 section \"4.1.2\"
"
    );
}

#[test]
fn conclusions_stand_one_a_line_and_a_long_one_goes_on_deeper() {
    let text = "rule \"a\" then require static calibration of front radar and advise a road check on a straight road without any traffic of front radar in the words \"it is recommended\" and hold road check of front radar until static calibration of front radar ended in passed and tyre pressures at placard";
    assert_eq!(
        format_well(text),
        "rule \"a\"
  then require static calibration of front radar
   and advise a road check on a straight road without any traffic of front radar
     in the words \"it is recommended\"
   and hold road check of front radar
     until static calibration of front radar ended in passed
      and tyre pressures at placard
"
    );
}

#[test]
fn an_or_stays_on_its_line_unless_a_bracket_is_beside_it_or_the_line_is_too_long() {
    assert_eq!(
        format_well("rule \"a\" when left or right headlamp replaced and (a removed or b removed) then x is y"),
        "rule \"a\"
  when left or right headlamp replaced
   and (a removed or b removed)
  then x is y
"
    );
    assert_eq!(
        format_well("rule \"a\" when a removed or (b removed and c removed) then x is y"),
        "rule \"a\"
  when a removed
   or (b removed and c removed)
  then x is y
"
    );
    assert_eq!(
        format_well(
            "rule \"a\" unless front fascia removed or rear cover removed or left mirror removed or windscreen replaced or radar bracket bent"
        ),
        "rule \"a\"
  unless front fascia removed
   or rear cover removed
   or left mirror removed
   or windscreen replaced
   or radar bracket bent
"
    );
}

#[test]
fn a_bracket_too_long_for_a_line_is_broken_at_its_joints() {
    assert_eq!(
        format_well(
            "rule \"a\" when (front fascia removed and any sensor behind front fascia is touched and film thickness of front fascia over 280 um)"
        ),
        "rule \"a\"
  when (front fascia removed
     and any sensor behind front fascia is touched
     and film thickness of front fascia over 280 um)
"
    );
}

#[test]
fn the_bars_of_a_table_stand_under_each_other() {
    let text = "test \"a\"
 table | suppose | expect seat occupant zero |
 |driver seat removed|required|
 | Träger gewaschen | absent | \"x\" |
 | | |
";
    assert_eq!(
        format_well(text),
        "test \"a\"
  table
  | suppose             | expect seat occupant zero |
  | driver seat removed | required                  |
  | Träger gewaschen    | absent                    | \"x\" |
  |                     |                           |
"
    );
}

#[test]
fn a_row_may_lack_its_last_bar_and_goes_on_over_a_comment() {
    let text = "test \"a\"\n  table\n  | suppose | expect  # heads\n  | a removed # why\n  | b | c\n  | d removed;  # because\n   work is complete | required\n";
    assert_eq!(
        format_well(text),
        "test \"a\"
  table
  | suppose   | expect  # heads
  | a removed  # why
  | b         | c
  | d removed;  # because
    work is complete | required
"
    );
}

#[test]
fn spaces_stand_between_tokens_but_not_inside_brackets_or_before_commas() {
    assert_eq!(
        format_well("rule \"a\" when shift ( yaw 0.3 deg ,range 80 m )over 5 % and( b removed )"),
        "rule \"a\"\n  when shift (yaw 0.3 deg, range 80 m) over 5%\n   and (b removed)\n"
    );
    assert_eq!(
        format_well("job\"a\"\nmeasured film thickness 142um±6um ;found a  cracked;"),
        "job \"a\"\n  measured film thickness 142 um ± 6 um; found a cracked;\n"
    );
    assert_eq!(format_well("measure slope in   %"), "measure slope in %\n");
}

#[test]
fn two_numbers_in_a_list_do_not_grow_into_one() {
    let printed = format_well("job \"a\"\n given a 1 ,200,b 1, 200");
    assert_eq!(printed, "job \"a\"\n  given a 1, 200, b 1, 200\n");
}

#[test]
fn quoted_texts_are_printed_letter_for_letter() {
    let text = "part a also written \"  two  spaces\tand a tab # ( ; \"";
    assert!(format_well(text).contains("\"  two  spaces\tand a tab # ( ; \""));
}

#[test]
fn blank_lines_are_kept_between_small_items_and_stand_around_large_ones() {
    let text = "part a\npart b\n\n\n\npart c\nrule \"a\" then x is y\npart d\nfor Brindle {\n\npart e\njob \"x\"\n\n vehicle Brindle\n\n}\npart f\n\n\n";
    assert_eq!(
        format_well(text),
        "part a
part b

part c

rule \"a\"
  then x is y

part d

for Brindle {
  part e

  job \"x\"
    vehicle Brindle
}

part f
"
    );
}

#[test]
fn comments_keep_their_place_beside_or_above_a_token() {
    let text = "\n\n# a library\n\n#  of parts\npart a # the first\n  # its other names\n  also written \"b\",   # short\n    \"c\"\n#last\n";
    assert_eq!(
        format_well(text),
        "# a library

#  of parts
part a  # the first
  # its other names
  also written \"b\",  # short
    \"c\"
#last
"
    );
}

#[test]
fn a_comment_that_goes_on_under_the_one_above_stays_under_it() {
    let text =
        "part a       # one\n             # and more\n # of b\npart b # two\n       #   three\n\n       # four\n";
    assert_eq!(
        format_well(text),
        "part a  # one
        # and more
# of b
part b  # two
        #   three

# four
"
    );
}

#[test]
fn comments_below_a_rule_belong_to_it_if_a_blank_line_follows() {
    let text = "rule \"a\" then x is y\n# of a\n\n# of b\nrule \"b\" then x is y\n# before part c\npart c\nfor Brindle { # these\n# first\npart d\n\n# last\n}\n";
    assert_eq!(
        format_well(text),
        "rule \"a\"
  then x is y
  # of a

# of b
rule \"b\"
  then x is y

# before part c
part c

for Brindle {  # these
  # first
  part d

  # last
}
"
    );
}

#[test]
fn a_comment_where_a_line_would_be_joined_keeps_the_line_broken() {
    let text =
        "rule \"a\"\n when front fascia # the cover\n  # and nothing else\n  with radar window removed then x is y";
    assert_eq!(
        format_well(text),
        "rule \"a\"
  when front fascia  # the cover
    # and nothing else
    with radar window removed
  then x is y
"
    );
}

#[test]
fn words_on_two_lines_that_would_grow_into_one_token_stay_apart() {
    // On one line `ends in` would begin a clause, on two it is a word and a connecting word.
    let text = "event shaft ends\n  in part\nevent other";
    let parsed = read_well(text);
    assert!(dump::tree(text, &parsed).contains("`shaft ends in part`"));
    assert_eq!(format_well(text), "event shaft ends\n    in part\nevent other\n");
    let text = "rule \"a\"\n when front radar because\n of touched";
    assert!(read(text).1.problems.len() == 1, "`because` begins a clause wherever it stands");
}

#[test]
fn a_word_that_counts_only_as_the_first_of_its_line_stays_there() {
    // Nobody would write this, but on one line `given` would be another word.
    let text = "for Brindle\n  given {\n part a\n}";
    assert_eq!(format_well(text), "for Brindle\n    given {\n  part a\n}\n");
}

#[test]
fn empty_texts_and_texts_of_comments_only_are_printed() {
    assert_eq!(format_well(""), "");
    assert_eq!(format_well("\r\n \t\n"), "");
    assert_eq!(format_well("\n# a\r\r\r# b  \n\n"), "# a\n\n# b\n");
    assert_eq!(format_well("for Brindle { }"), "for Brindle {\n}\n");
}

#[test]
fn every_kind_of_line_end_becomes_the_plain_one_and_a_byte_order_mark_goes() {
    assert_eq!(format_well("\u{feff}part a\r\npart b\rpart c"), "part a\npart b\npart c\n");
}

#[test]
fn nothing_is_printed_of_a_text_with_a_problem() {
    for text in ["part \"a\"\npart b", "part a\n}", "for Brindle {\npart a", "part a # \u{202e}", "part a, “b”"] {
        let (_, parsed) = read(text);
        assert!(!parsed.problems.is_empty(), "{text}");
        assert_eq!(print::format(text, &parsed), None, "{text}");
    }
}

#[test]
fn no_line_is_longer_than_a_hundred_characters_if_it_holds_a_comma_to_break_after() {
    for seed in 1..=300 {
        let printed = format_well(&generate::file(&mut Chance::new(seed)));
        for line in printed.lines() {
            let tokens = lex(line);
            let code = tokens.comments.first().map_or(line.len(), |&(start, _, _)| start as usize);
            let code = line.get(..code).unwrap_or(line).trim_end();
            let first_comma = (0..tokens.len()).find(|&index| tokens.text(line, index) == ",");
            let could_break = first_comma.is_some_and(|index| tokens.span(index).1 < code.len() as u32);
            let row = tokens.kinds.contains(&Tok::Bar);
            // What stands before the first comma may alone be too long.
            let before = first_comma.map_or(0, |index| tokens.span(index).1 as usize);
            assert!(code.chars().count() <= 100 || !could_break || row || before > 100, "{line}");
        }
    }
}

#[test]
fn the_samples_of_the_reference_page_are_printed_like_this() {
    let printed: Vec<String> = samples().iter().map(|sample| format_well(sample)).collect();
    insta::assert_snapshot!("formatted_samples", printed.join("\n# ----------\n\n"));
}
