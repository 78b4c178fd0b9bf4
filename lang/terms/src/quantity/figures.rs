//! Two figures printed for one quantity, `5 mm (printed 0.2 inch)`: whether they agree as they are rounded, and which of
//! them counts where they do not.

use knockon_measure::{Exact, Quantity, Unit, unit};
use knockon_syntax::Tok;
use knockon_syntax::tree::Range;

use crate::view::{Seconds, View};
use crate::words::known;

impl Seconds {
    /// At these pairs.
    pub fn at(pairs: impl IntoIterator<Item = u32>) -> Seconds {
        let mut seconds = Seconds::default();
        for (place, pair) in seconds.0.iter_mut().zip(pairs) {
            *place = Some(pair);
        }
        seconds
    }

    /// Whether it counts at this pair. What is printed alike in one rule is one figure.
    pub(super) fn has(&self, view: &View<'_>, pair: &Pair) -> bool {
        let alike = |first: u32| pair_at(view, first).is_some_and(|other| other.written() == pair.written());
        self.0.into_iter().flatten().any(alike)
    }
}

/// Two figures side by side.
#[derive(Clone, Debug)]
pub struct Pair {
    first: Figure,
    second: Figure,
    /// One past the closing bracket.
    pub end: u32,
}

/// A number as it is printed, with its unit.
#[derive(Clone, Debug)]
struct Figure {
    number: String,
    unit: Unit,
}

impl Figure {
    fn written(&self) -> String {
        if self.unit == Unit::Plain { self.number.clone() } else { format!("{} {}", self.number, self.unit) }
    }

    fn quantity(&self) -> Option<Quantity> {
        Quantity::new(Exact::parse(&self.number).ok()?, self.unit).ok()
    }

    /// Half of the last digit that is printed, in base units.
    fn rounding(&self) -> Option<Exact> {
        let places = self.number.split_once('.').map_or(0, |(_, places)| places.len());
        let half = Exact::parse(&format!("0.{}5", "0".repeat(places))).ok()?;
        Some(Quantity::new(half, self.unit.for_differences()).ok()?.in_base())
    }
}

impl Pair {
    /// Both, in the units' own words.
    pub fn written(&self) -> String {
        format!("{} (printed {})", self.first.written(), self.second.written())
    }

    /// The second alone.
    pub fn second(&self) -> String {
        self.second.written()
    }

    /// The first alone.
    pub fn first(&self) -> String {
        self.first.written()
    }

    /// Whether they are one figure, within the rounding of the coarser of the two.
    pub fn agrees(&self) -> bool {
        let agrees = || {
            let (one, two) = (self.first.quantity()?, self.second.quantity()?);
            let apart = one.in_base().minus(two.in_base()).ok()?.magnitude();
            Some(one.kind() == two.kind() && apart <= self.first.rounding()?.max(self.second.rounding()?))
        };
        agrees() == Some(true)
    }
}

/// The pair that begins with this number, if one does.
pub fn pair_at(view: &View<'_>, number: u32) -> Option<Pair> {
    let (first, at) = figure(view, number)?;
    let is_second = view.kind(at) == Some(Tok::OpenBracket) && view.words.get(at as usize + 1) == Some(&known::PRINTED);
    if !is_second {
        return None;
    }
    let (second, at) = figure(view, at + 2)?;
    (view.kind(at) == Some(Tok::CloseBracket)).then_some(Pair { first, second, end: at + 1 })
}

/// The pair that begins here as it is shown, where its first figure counts.
pub fn both(view: &View<'_>, number: u32, seconds: Seconds) -> Option<String> {
    let pair = pair_at(view, number)?;
    (pair.agrees() || !seconds.has(view, &pair)).then(|| pair.written())
}

/// A number with its unit, and what stands after it. In brackets inches may be written `in`, which joins words elsewhere.
fn figure(view: &View<'_>, at: u32) -> Option<(Figure, u32)> {
    if view.kind(at) != Some(Tok::Number) {
        return None;
    }
    let number = view.text(at).to_string();
    let named = match view.kind(at + 1) {
        Some(Tok::Word | Tok::Percent) => unit(view.text(at + 1)),
        Some(Tok::In) if view.kind(at + 2) == Some(Tok::CloseBracket) => Some(Unit::Inch),
        _ => None,
    };
    let end = at + if named.is_some() { 2 } else { 1 };
    Some((Figure { number, unit: named.unwrap_or(Unit::Plain) }, end))
}

/// The pairs of a range that do not agree, by their first tokens; of those printed alike the first.
pub fn apart(view: &View<'_>, range: Range) -> Vec<u32> {
    let mut found: Vec<(u32, String)> = Vec::new();
    for token in range.first..range.end {
        if let Some(pair) = pair_at(view, token).filter(|pair| !pair.agrees())
            && !found.iter().any(|(_, written)| *written == pair.written())
        {
            found.push((token, pair.written()));
        }
    }
    found.into_iter().map(|(token, _)| token).collect()
}

/// What was written in a range, figures printed twice in the units' own words.
pub fn written(view: &View<'_>, range: Range) -> String {
    let mut out: Vec<String> = Vec::new();
    let mut first = range.first;
    let mut at = range.first;
    while at < range.end {
        match pair_at(view, at) {
            Some(pair) => {
                out.push(view.written(Range { first, end: at }));
                out.push(pair.written());
                (first, at) = (pair.end, pair.end);
            }
            None => at += 1,
        }
    }
    out.push(view.written(Range { first, end: range.end }));
    out.retain(|piece| !piece.is_empty());
    out.join(" ")
}
