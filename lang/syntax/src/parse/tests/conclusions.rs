//! Conclusions: where each ends, and what is said of one that is almost right.

use knockon_text::Code;

use super::{told, tree};

#[test]
fn any_one_of_several_duties_is_one_conclusion() {
    let text = "rule \"a\" then require either b of c or d of c\n  or e in the words \"f\" and advise either b or d";
    let rule = "
      RequireEither
        ways
          `b of c`
          `d of c`
          `e`
        words `\"f\"`
      AdviseEither
        ways
          `b`
          `d`
";
    assert!(tree(text).ends_with(rule.trim_start_matches('\n')), "{}", tree(text));
    assert_eq!(told("rule \"a\" then require either b of c and require d"), [(Code::UnexpectedWord, "and")]);
}

#[test]
fn what_is_allowed_may_have_a_limit_that_ends_where_the_next_conclusion_begins() {
    let text = "rule \"a\" then allow only b of c in d where not e over 5 mm and f and forbid b of c and allow g of c";
    let rule = "
      AllowOnly
        what `b of c in d`
        where
          Not
            Sentence `e over 5 mm`
          And
          Sentence `f`
      Forbid `b of c`
      Allow
        what `g of c`
";
    assert!(tree(text).ends_with(rule.trim_start_matches('\n')), "{}", tree(text));
    assert_eq!(told("rule \"a\" then allow only b of c and require d"), [(Code::UnexpectedWord, "and")]);
}

#[test]
fn what_is_left_open_has_its_reason_beside_that_of_the_rule() {
    let text = "rule \"a\" then leave open b of c because \"d\" and require e because \"f\"";
    let rule = "
      LeaveOpen
        what `b of c`
        because `\"d\"`
      Require
        what `e`
    Because `\"f\"`
";
    assert!(tree(text).ends_with(rule.trim_start_matches('\n')), "{}", tree(text));
    assert_eq!(told("rule \"a\" then leave open b of c and require d"), [(Code::UnexpectedWord, "and")]);
    assert_eq!(told("rule \"a\" then leave open because \"d\""), [(Code::UnexpectedWord, "because")]);
}
