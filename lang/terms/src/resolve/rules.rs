//! Rules: clauses into one resolved rule, or a report of what is missing.

use knockon_syntax::tree::{self, Range, RuleClause};
use knockon_text::suggest::nearest;
use knockon_text::{Code, Problem, Span};

use super::Resolver;
use super::sentence::Sentences;
use crate::resolved::{ConclusionKind, Rule, RuleId, ScopeId};
use crate::view::{Seconds, View};

impl<'a> Resolver<'a> {
    pub(super) fn rule(
        &mut self,
        view: &'a View<'a>,
        rule: &tree::Rule,
        Named { name, span }: Named,
        range: Range,
        scope: ScopeId,
    ) {
        let before = self.problems.len();
        let mut sentences = Sentences::new(view, self.vocabulary, self.sources);
        // The words of the text it cites are known before its sentences are read.
        sentences.cited = rule.clauses.iter().find_map(|clause| match clause {
            RuleClause::Cites(reference) => self.source_names.get(&view.name(reference.source).to_lowercase()).copied(),
            _ => None,
        });
        sentences.second = Some(Seconds::default());
        let mut out = Rule {
            name: name.clone(),
            scope,
            cites: crate::resolved::Citation { source: crate::resolved::SourceId(0), of: None, section: None, span },
            says: Vec::new(),
            variables: Vec::new(),
            when: None,
            unless: None,
            conclusions: Vec::new(),
            readings: Vec::new(),
            gives_way: Vec::new(),
            read_as: Vec::new(),
            because: None,
            without_it: None,
            span: view.span(range),
        };
        let mut cited = false;
        // `when` first, whatever the order of the text: `that` in the others points into it.
        for clause in &rule.clauses {
            if let RuleClause::When(condition) = clause {
                if out.when.is_some() {
                    self.problems.push(twice(view, condition.range, "when", JOIN));
                    continue;
                }
                match sentences.condition(condition) {
                    Ok(condition) => out.when = Some(condition),
                    Err(problem) => self.problems.push(problem),
                }
            }
        }
        if self.problems.len() > before {
            // What `that` points at is not known now; its complaints would be about nothing.
            return;
        }
        // Then `unless`, so that a rule says the same in whatever order its clauses stand.
        for clause in &rule.clauses {
            if let RuleClause::Unless(condition) = clause {
                if out.unless.is_some() {
                    self.problems.push(twice(view, condition.range, "unless", JOIN));
                    continue;
                }
                sentences.binding = false;
                match sentences.condition(condition) {
                    Ok(condition) => out.unless = Some(condition),
                    Err(problem) => self.problems.push(problem),
                }
                sentences.binding = true;
            }
        }
        for clause in &rule.clauses {
            match clause {
                RuleClause::When(_) | RuleClause::Unless(_) => {}
                RuleClause::Cites(reference) => {
                    if cited {
                        self.problems.push(twice(
                            view,
                            reference.source,
                            "cites",
                            "a rule stands on one place of one source; write a second rule for the other",
                        ));
                    }
                    cited = true;
                    if let Some(citation) = self.citation(view, reference) {
                        out.cites = citation;
                    }
                }
                RuleClause::Says(token) => out.says.push(view.quoted(*token)),
                RuleClause::Then(conclusions) => {
                    for conclusion in conclusions {
                        match sentences.conclusion(conclusion, &out.conclusions) {
                            Ok(conclusion) => out.conclusions.push(conclusion),
                            Err(problem) => self.problems.push(problem),
                        }
                    }
                }
                RuleClause::Because(token) => out.because = Some(view.quoted(*token)),
                RuleClause::WithoutIt(token) => out.without_it = Some(view.quoted(*token)),
                RuleClause::GivesWayTo(tokens) => {
                    out.gives_way.extend(tokens.iter().map(|&token| (view.quoted(token), view.span_of(token))));
                }
                RuleClause::ReadAs { reading, because } => {
                    out.read_as.push((view.quoted(*reading), because.map(|token| view.quoted(token))));
                }
                // Read once it is known what they are another reading of.
                RuleClause::CouldAlsoBeReadAs(_) => {}
                // Taken apart into rules of their own.
                RuleClause::Table(_) => {}
            }
        }
        if !cited {
            self.problems.push(
                Problem::at(
                    Code::MissingCitation,
                    span,
                    format!("the rule \"{name}\" cites no source"),
                    "on whose word?",
                )
                .help("add `cites SOURCE of DATE section \"...\"`; what is only usual cites a source of the rank common practice"),
            );
        }
        if (out.when.is_none() || out.conclusions.is_empty()) && is_cut_off(view, range) {
            return;
        }
        if (out.when.is_none() || out.conclusions.is_empty()) && !self.has_erred(before) {
            let missing = if out.when.is_none() { "`when`" } else { "`then`" };
            self.problems.push(
                Problem::at(
                    Code::RuleConcludesNothing,
                    span,
                    format!("the rule \"{name}\" has no {missing}"),
                    format!("{missing} is missing"),
                )
                .help("a rule says when something holds and then what follows"),
            );
        }
        let again = self.rule_names.get(&name).and_then(|id| self.rules.get(id.0 as usize)).map(|rule| rule.span);
        if let Some(first) = again.or_else(|| self.tables.get(&name).map(|table| table.span)) {
            let message = format!("there are two rules \"{name}\"");
            let help = "give each rule a name of its own: answers and exceptions name rules";
            self.named_again(Code::RuleTwice, message, first, span, help);
        }
        if self.has_erred(before) {
            return;
        }
        if let Err(problem) = sentences.readings(rule, range, &mut out) {
            self.problems.push(problem);
            return;
        }
        out.variables = sentences.variables;
        if let Some(problem) = super::known::decides_nothing(&out) {
            self.problems.push(problem);
            return;
        }
        let id = RuleId(self.rules.len() as u32);
        self.rule_names.insert(name, id);
        self.rules.push(out);
    }

    /// Rules named by others must be there; giving way must not go in a circle.
    pub(super) fn check_rule_names(&mut self) {
        self.give_way_to_rows();
        let mut problems = Vec::new();
        for rule in &self.rules {
            let waived = rule.conclusions.iter().filter_map(|conclusion| match &conclusion.kind {
                ConclusionKind::WaiveRule(name) => Some((name.clone(), conclusion.span)),
                _ => None,
            });
            for (name, span) in rule.gives_way.iter().cloned().chain(waived) {
                if let Some(table) = self.tables.get(&name) {
                    problems.push(
                        Problem::at(Code::UnknownRule, span, format!("\"{name}\" is a table"), "which of its rows?")
                            .context(table.span, "each row of it is a rule of its own")
                            .help(format!(
                                "name one, as \"{name}, row 1\", and write a conclusion for each that is meant"
                            )),
                    );
                    continue;
                }
                // A row that is there and cannot be read has its own problem.
                let of_table = name.rsplit_once(", row ").and_then(|(table, _)| self.tables.get(table));
                if of_table.is_some_and(|table| !table.is_whole) {
                    continue;
                }
                // A rule that is there and cannot be read has its own problem.
                if self.rule_names.contains_key(&name) || self.unread.has_rule(&name) {
                    continue;
                }
                let near: Vec<String> = nearest(&name, self.rule_names.keys().map(String::as_str))
                    .into_iter()
                    .map(|name| format!("\"{name}\""))
                    .collect();
                let label = if near.is_empty() {
                    "no rule of this name is loaded".to_string()
                } else {
                    format!("did you mean {}?", near.join(" or "))
                };
                problems.push(
                    Problem::at(Code::UnknownRule, span, format!("there is no rule \"{name}\""), label)
                        .help("write the name letter for letter as the rule has it; if the rule stands in another file, name that in a line `use \"...\"`"),
                );
            }
        }
        for (index, rule) in self.rules.iter().enumerate() {
            if let Some(path) = self.gives_way_circle(RuleId(index as u32)) {
                problems.push(self.draw_circle(rule, &path));
            }
        }
        self.problems.append(&mut problems);
    }

    fn draw_circle(&self, rule: &Rule, path: &[RuleId]) -> Problem {
        let rules: Vec<&Rule> = path.iter().filter_map(|id| self.rules.get(id.0 as usize)).collect();
        if rules.len() == 1 {
            let message = format!("the rule \"{}\" gives way to itself", rule.name);
            return Problem::at(Code::GivesWayCircle, rule.span, message, "its own name stands in it")
                .help("name the rule it is to give way to, or take the clause out");
        }
        let names: Vec<String> = rules.iter().chain([&rule]).map(|rule| format!("\"{}\"", rule.name)).collect();
        let mut problem = Problem::at(
            Code::GivesWayCircle,
            rule.span,
            format!("rules give way to each other in a circle: {}", names.join(" -> ")),
            "the circle begins here",
        );
        for other in rules.iter().skip(1) {
            problem = problem.context(other.span, "goes on here");
        }
        problem.help("decide which of them is stronger, and take `gives way to` out of that one")
    }

    /// The rules of the circle that begins at one, if it is the first of them.
    fn gives_way_circle(&self, start: RuleId) -> Option<Vec<RuleId>> {
        let next = |id: RuleId| {
            self.rules
                .get(id.0 as usize)
                .into_iter()
                .flat_map(|rule| rule.gives_way.iter().filter_map(|(name, _)| self.rule_names.get(name).copied()))
        };
        let mut path = vec![start];
        let mut seen = std::collections::BTreeSet::new();
        let mut open: Vec<(RuleId, usize)> = next(start).map(|id| (id, 1)).collect();
        while let Some((id, depth)) = open.pop() {
            path.truncate(depth);
            if id == start {
                // Reported once, at the rule that comes first.
                if path.iter().any(|&id| id < start) {
                    return None;
                }
                return Some(path);
            }
            if seen.insert(id) {
                path.push(id);
                open.extend(next(id).map(|next| (next, depth + 1)));
            }
        }
        None
    }
}

/// What a rule is called, and where that stands.
pub(super) struct Named {
    pub name: String,
    pub span: Span,
}

const JOIN: &str = "join the conditions with `and` or `or` in one clause, or write two rules";

fn twice(view: &View<'_>, range: Range, word: &str, help: &str) -> Problem {
    Problem::at(
        Code::UnexpectedWord,
        view.span(range),
        format!("a second `{word}` in one rule"),
        format!("the second `{word}`"),
    )
    .help(help)
}

/// Whether the item after a rule is a line of it that was cut off, such as one that begins with `if`: then what the
/// rule lacks is said there.
fn is_cut_off(view: &View<'_>, range: Range) -> bool {
    let (next, _) = view.source.parsed.tokens.span(range.end);
    range.end < view.source.parsed.tokens.len()
        && view.source.parsed.problems.iter().any(|problem| {
            problem.code == Code::ItemWordMisspelt
                && problem.main.as_ref().is_some_and(|label| label.span.start == next)
        })
}
