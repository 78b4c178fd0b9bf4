//! Conditions: limbs grouped by `and` and `or` once it is known which words are whole sentences.

use knockon_syntax::tree::{self, Joint, Limb, Range};
use knockon_text::{Code, Problem, Span};

use super::own_words::any_of_several;
use super::sentence::{Piece, Sentences, wrap};
use crate::resolved::{Condition, Form, Happens, Subject};
use crate::vocabulary::Class;

impl Sentences<'_> {
    /// A condition of the tree.
    pub fn condition(&mut self, condition: &tree::Condition) -> Result<Condition, Problem> {
        // A class word in one limb of an `or` cannot be pointed at from outside; which `or` joins only words
        // inside a sentence is known after reading, so what was bound is put back if it turns out so.
        let before = self.nameable.clone();
        let mut limbs: Vec<Limbed> = Vec::with_capacity(condition.rest.len() + 1);
        let mut named = self.nameable.len();
        // Where the names begin that belong to the limbs of the present run of `or`.
        let mut run = named;
        limbs.push(self.limbed(None, &condition.first)?);
        for (joint, at, limb) in &condition.rest {
            let named_before = std::mem::replace(&mut named, self.nameable.len());
            let next = match joint {
                Joint::And => {
                    run = self.nameable.len();
                    self.limbed(Some((*joint, *at)), limb)?
                }
                Joint::Or => {
                    // What one limb of an `or` names, another cannot point at.
                    let hidden = self.nameable.split_off(run.min(self.nameable.len()));
                    let next = self.limbed(Some((*joint, *at)), limb);
                    let place = run.min(self.nameable.len());
                    self.nameable.splice(place..place, hidden);
                    next?
                }
            };
            // An `or` between words inside a sentence, as in `any sensor or any module removed`.
            let is_half = |limb: &Limbed| matches!(limb.piece, Ok(Piece::Subject(_)));
            if *joint == Joint::Or && (is_half(&next) || limbs.last().is_some_and(is_half)) {
                self.nameable.truncate(named_before);
                named = named_before;
            }
            limbs.push(next);
        }
        let limbs = self.merge(limbs)?;
        let has = |wanted: Joint| {
            limbs.iter().find_map(|limb| limb.joint.filter(|(joint, _)| *joint == wanted).map(|(_, at)| at))
        };
        let (and, or) = (has(Joint::And), has(Joint::Or));
        if let (Some(and), Some(or)) = (and, or) {
            return Err(self.mixed(condition, and, or));
        }
        if let (Some(or), Some(Limb::Not(at, _))) = (or, limbs.first().map(|limb| limb.limb)) {
            return Err(self.not_before_or(condition, *at, or));
        }
        let mut parts: Vec<Condition> = limbs.into_iter().filter_map(|limb| limb.whole()).map(any_of_several).collect();
        if or.is_some() {
            self.nameable = before;
        }
        // A list inside one of its own kind is the same list: `A and (B and C)`.
        Ok(match (parts.len(), or) {
            (1, _) => parts.remove(0),
            (_, Some(_)) => Condition::AnyOf(flat(parts, |part| match part {
                Condition::AnyOf(inner) => Ok(inner),
                other => Err(other),
            })),
            (_, None) => Condition::All(flat(parts, |part| match part {
                Condition::All(inner) => Ok(inner),
                other => Err(other),
            })),
        })
    }

    fn limbed<'t>(&mut self, joint: Option<(Joint, u32)>, limb: &'t Limb) -> Result<Limbed<'t>, Problem> {
        let piece = match limb {
            Limb::Group(inner) => Ok(Piece::Whole(self.condition(inner)?)),
            Limb::Not(_, inner) => {
                let was = std::mem::replace(&mut self.binding, false);
                let inner = self.limbed(None, inner);
                self.binding = was;
                match inner?.piece {
                    Ok(Piece::Whole(condition)) => Ok(Piece::Whole(Condition::Not(Box::new(condition)))),
                    Ok(other) => return Err(self.half(other_span(&other))),
                    Err(problem) => return Err(problem),
                }
            }
            Limb::Sentence(range) => self.piece(*range),
            Limb::Apart { subject, happenings } => Ok(Piece::Whole(self.apart(*subject, happenings)?)),
        };
        let range = match limb {
            Limb::Sentence(range) => *range,
            _ => Range::default(),
        };
        Ok(Limbed { joint, limb, range, piece })
    }

    /// A sentence in two cells of a table: who, and one of these things that happen to it.
    fn apart(&mut self, subject: Range, happenings: &[Range]) -> Result<Condition, Problem> {
        let asked = self.reading(subject, |reader, cursor| reader.asked(cursor))?;
        let mut whole: Option<Condition> = None;
        for &range in happenings {
            let happens = self.reading(range, |reader, cursor| reader.happening(cursor, Some(asked.subject)))?;
            let span = self.view.span(range);
            whole = match whole {
                None => Some(wrap(&asked, Condition::Sentence(Form::Happens(happens), span))),
                Some(before) => beside(&before, Joint::Or, &happens, span),
            };
        }
        whole.ok_or_else(|| self.half(self.view.span(subject)))
    }

    fn half(&self, span: Span) -> Problem {
        Problem::at(Code::UnexpectedWord, span, "half a sentence", "the rest of the sentence is missing")
            .help("write who it happens to and what happens, as in `front fascia removed`")
    }

    /// Joins halves of sentences: `A or B removed`, `removed or replaced`, `left or right headlamp removed`.
    fn merge<'t>(&mut self, mut limbs: Vec<Limbed<'t>>) -> Result<Vec<Limbed<'t>>, Problem> {
        // From the right, so that a half finds the whole sentence after it already whole.
        let mut index = limbs.len();
        while index > 0 {
            index -= 1;
            let next_at = index + 1;
            let Some(limb) = limbs.get(index) else { break };
            let joined = limbs.get(next_at).and_then(|next| next.joint);
            match (&limb.piece, joined) {
                (Ok(Piece::Subject(asked)), Some((joint, _))) => {
                    let asked = asked.clone();
                    let after = limbs.get(next_at).and_then(|next| next.piece.as_ref().ok().cloned());
                    if let Some(Piece::Whole(condition)) = after
                        && let Some(happens) = first_happening(&condition)
                    {
                        let sentence = Condition::Sentence(
                            Form::Happens(Happens { subject: Some(asked.subject), ..happens }),
                            asked.span,
                        );
                        let both = join(joint, wrap(&asked, sentence), condition);
                        replace_pair(&mut limbs, index, both);
                    }
                }
                (Err(_), Some((joint, _))) => {
                    // `left or right headlamp removed`: the words before `or` are half a name.
                    let second =
                        limbs.get(next_at).and_then(|next| Some((next.range, next.piece.as_ref().ok()?.clone())));
                    if let (Some(range), Some((after, Piece::Whole(second)))) =
                        (limbs.get(index).map(|limb| limb.range), second)
                        && let Some(condition) = self.half_name(range, after, &second)
                    {
                        let both = join(joint, condition, second);
                        replace_pair(&mut limbs, index, both);
                    }
                }
                _ => {}
            }
        }
        // What only says what happens takes its subject from the sentence before it.
        let mut index = 1;
        while index < limbs.len() {
            let half = match limbs.get(index).map(|limb| &limb.piece) {
                Some(Ok(Piece::Happening(happens, span))) => Some((happens.clone(), *span)),
                _ => None,
            };
            let before = index.checked_sub(1).and_then(|before| limbs.get(before));
            let joint = limbs.get(index).and_then(|limb| limb.joint);
            if let (Some((happens, span)), Some(Limbed { piece: Ok(Piece::Whole(condition)), .. }), Some((joint, _))) =
                (half, before, joint)
                && let Some(with) = beside(condition, joint, &happens, span)
            {
                replace_pair(&mut limbs, index - 1, with);
            } else {
                index += 1;
            }
        }
        // `equipped with A or B`: the second name stands alone.
        let mut index = 1;
        while index < limbs.len() {
            let alone = match limbs.get(index).map(|limb| &limb.piece) {
                Some(Ok(Piece::Subject(asked))) => Some(asked.clone()),
                _ => None,
            };
            let before = index.checked_sub(1).and_then(|before| limbs.get(before));
            let joint = limbs.get(index).and_then(|limb| limb.joint);
            if let (Some(asked), Some(Limbed { piece: Ok(Piece::Whole(condition)), .. }), Some((joint, _))) =
                (alone, before, joint)
                && ends_in_equipped(condition)
            {
                let more = wrap(&asked, Condition::Sentence(Form::Equipped(asked.subject), asked.span));
                let both = join(joint, condition.clone(), more);
                replace_pair(&mut limbs, index - 1, both);
            } else {
                index += 1;
            }
        }
        for limb in &limbs {
            match &limb.piece {
                Ok(Piece::Whole(condition)) => self.reasons_of_work(condition)?,
                Ok(other) => return Err(self.half(other_span(other))),
                Err(problem) => return Err(problem.clone()),
            }
        }
        Ok(limbs)
    }

    /// Reads `left` before `right headlamp removed` as `left headlamp removed`; `second` is what that sentence says.
    fn half_name(&self, half: Range, whole: Range, second: &Condition) -> Option<Condition> {
        if half.is_empty() || whole.is_empty() {
            return None;
        }
        let happens = first_happening(second)?;
        let half_name = self.view.name(half);
        for skip in 1..whole.len() {
            for end in (whole.first + skip + 1..=whole.end).rev() {
                let tail = self.view.name(Range { first: whole.first + skip, end });
                let Some(term) = self.vocabulary.by_name(&format!("{half_name} {tail}")) else {
                    continue;
                };
                let found = self.vocabulary.term(term);
                if !found.class.is_part() || !self.vocabulary.sees(self.view.source.file, found.span.file) {
                    continue;
                }
                let first = Condition::Sentence(
                    Form::Happens(Happens { subject: Some(Subject::Term(term)), ..happens }),
                    self.view.span(half),
                );
                return Some(first);
            }
        }
        None
    }

    /// `cracked or replaced because of stone damage`: a reason after a list is said of all of it, and all must be work.
    fn reasons_of_work(&self, condition: &Condition) -> Result<(), Problem> {
        match condition {
            Condition::All(parts) | Condition::AnyOf(parts) => {
                parts.iter().try_for_each(|part| self.reasons_of_work(part))
            }
            Condition::Quantified { body, .. } => self.reasons_of_work(body),
            Condition::Sentence(Form::Happens(happens), span) if happens.because.is_some() => {
                match happens.what.iter().find(|&&what| self.vocabulary.class(what) != Class::Operation) {
                    Some(&other) => Err(super::reasons::of_no_work(self.vocabulary, other, *span)),
                    None => Ok(()),
                }
            }
            Condition::Not(_) | Condition::Sentence(..) => Ok(()),
        }
    }

    fn mixed(&self, condition: &tree::Condition, and: u32, or: u32) -> Problem {
        let text = |range: Range| self.view.written(range);
        let (first, second) = if and < or { (and, or) } else { (or, and) };
        let range = condition.range;
        let left = Range { first: range.first, end: first };
        let middle = Range { first: first + 1, end: second };
        let right = Range { first: second + 1, end: range.end };
        let (one, two) = (self.view.text(first), self.view.text(second));
        Problem::at(
            Code::AndOrMixed,
            self.view.span(range),
            "`and` and `or` are mixed without brackets",
            "this can be read in two ways",
        )
        .context(self.view.span_of(and), "`and` here")
        .context(self.view.span_of(or), "`or` here")
        .help(format!(
            "write either `({} {one} {}) {two} {}` or `{} {one} ({} {two} {})`",
            text(left),
            text(middle),
            text(right),
            text(left),
            text(middle),
            text(right)
        ))
    }

    fn not_before_or(&self, condition: &tree::Condition, not: u32, or: u32) -> Problem {
        let range = condition.range;
        let inner = self.view.written(Range { first: not + 1, end: range.end });
        let first = self.view.written(Range { first: not, end: or });
        let rest = self.view.written(Range { first: or + 1, end: range.end });
        Problem::at(Code::NotBeforeOr, self.view.span(range), "`not` before a list with `or`", "what does `not` reach?")
            .help(format!("write either `not ({inner})` or `({first}) or {rest}`"))
    }
}

/// A limb with what it turned out to be.
struct Limbed<'t> {
    joint: Option<(Joint, u32)>,
    limb: &'t Limb,
    range: Range,
    piece: Result<Piece, Problem>,
}

impl Limbed<'_> {
    fn whole(self) -> Option<Condition> {
        match self.piece {
            Ok(Piece::Whole(condition)) => Some(condition),
            _ => None,
        }
    }
}

fn other_span(piece: &Piece) -> Span {
    match piece {
        Piece::Subject(asked) => asked.span,
        Piece::Happening(_, span) | Piece::Whole(Condition::Sentence(_, span)) => *span,
        Piece::Whole(_) => Span::new(knockon_text::FileId(0), 0, 0),
    }
}

fn replace_pair(limbs: &mut Vec<Limbed<'_>>, index: usize, with: Condition) {
    limbs.remove(index + 1);
    if let Some(limb) = limbs.get_mut(index) {
        limb.piece = Ok(Piece::Whole(with));
    }
}

fn join(joint: Joint, one: Condition, two: Condition) -> Condition {
    let mut parts = vec![one];
    match (joint, two) {
        (Joint::And, Condition::All(more)) | (Joint::Or, Condition::AnyOf(more)) => parts.extend(more),
        (_, two) => parts.push(two),
    }
    match joint {
        Joint::And => Condition::All(parts),
        Joint::Or => Condition::AnyOf(parts),
    }
}

/// A list with the lists in it opened; those have none in them any more.
fn flat(parts: Vec<Condition>, open: fn(Condition) -> Result<Vec<Condition>, Condition>) -> Vec<Condition> {
    parts.into_iter().flat_map(|part| open(part).unwrap_or_else(|part| vec![part])).collect()
}

/// What happens in the first sentence of a condition.
fn first_happening(condition: &Condition) -> Option<Happens> {
    match condition {
        Condition::Sentence(Form::Happens(happens), _) if happens.subject.is_some() => Some(happens.clone()),
        Condition::Quantified { body, .. } => first_happening(body),
        Condition::All(parts) | Condition::AnyOf(parts) => parts.first().and_then(first_happening),
        _ => None,
    }
}

/// The condition with one more thing that may happen to the same subject.
fn beside(condition: &Condition, joint: Joint, more: &Happens, span: Span) -> Option<Condition> {
    match condition {
        Condition::Sentence(Form::Happens(happens), first) if happens.subject.is_some() => {
            // `removed or refinished in radar window`: the place, size and reason after a list belong to all of it.
            let mut happens = happens.clone();
            if happens.place.is_none() && happens.sizes.is_empty() && happens.because.is_none() {
                happens.place = more.place;
                happens.sizes.clone_from(&more.sizes);
                happens.because = more.because;
            }
            let second = Condition::Sentence(Form::Happens(Happens { subject: happens.subject, ..more.clone() }), span);
            Some(join(joint, Condition::Sentence(Form::Happens(happens), *first), second))
        }
        Condition::Quantified { quantifier, variable, body } => {
            let body = beside(body, joint, more, span)?;
            Some(Condition::Quantified { quantifier: *quantifier, variable: *variable, body: Box::new(body) })
        }
        Condition::AnyOf(parts) if joint == Joint::Or => Some(Condition::AnyOf(beside_each(parts, joint, more, span)?)),
        Condition::All(parts) if joint == Joint::And => Some(Condition::All(beside_each(parts, joint, more, span)?)),
        // `A and B removed or replaced`: either of both. `A removed and replaced or loosened` has no one reading.
        Condition::All(parts)
            if !parts.windows(2).any(|two| matches!(two, [one, two] if subject(one) == subject(two))) =>
        {
            let each: Option<Vec<Condition>> = parts.iter().map(|part| beside(part, joint, more, span)).collect();
            each.map(Condition::All)
        }
        Condition::Not(_) | Condition::AnyOf(_) | Condition::All(_) | Condition::Sentence(..) => None,
    }
}

/// `A or B removed or replaced`: one more thing that may happen to each subject of a list, beside what is said of it. The
/// place, size and reason after the last reach back over all of it.
fn beside_each(parts: &[Condition], joint: Joint, more: &Happens, span: Span) -> Option<Vec<Condition>> {
    let mut all = Vec::with_capacity(parts.len() * 2);
    for (at, part) in parts.iter().enumerate() {
        match beside(part, joint, more, span)? {
            Condition::AnyOf(both) | Condition::All(both) => {
                let is_last = parts.get(at + 1).is_none_or(|next| subject(next) != subject(part));
                all.extend(both.into_iter().take(if is_last { 2 } else { 1 }));
            }
            other => all.push(other),
        }
    }
    Some(all)
}

/// Whom a sentence about what happens is about.
fn subject(condition: &Condition) -> Option<Subject> {
    match condition {
        Condition::Sentence(Form::Happens(happens), _) => happens.subject,
        Condition::Quantified { variable, .. } => Some(Subject::Variable(*variable)),
        Condition::All(_) | Condition::AnyOf(_) | Condition::Not(_) | Condition::Sentence(..) => None,
    }
}

fn ends_in_equipped(condition: &Condition) -> bool {
    match condition {
        Condition::Sentence(Form::Equipped(_), _) => true,
        Condition::Quantified { body, .. } => ends_in_equipped(body),
        Condition::All(parts) | Condition::AnyOf(parts) => parts.last().is_some_and(ends_in_equipped),
        _ => false,
    }
}
