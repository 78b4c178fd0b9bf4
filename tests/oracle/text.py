"""Writes a generated case in Knockon's language: the library, then one job."""

from words import (
    CHOICES, CONDITIONS, EVENTS, FINDINGS, HARMLESS_FINDINGS, HARMLESS_OPERATIONS, JUDGED_CONDITIONS, KINDS,
    MAKER, MEASURE, MODEL, OPERATIONS, OPTIONS, OTHER_MODEL, PART_KINDS, PROCEDURES, RELATIONS, RESULTS, STATES,
    UNIT,
)


def subject(words):
    """A subject: a term, or a quantifier over a class and perhaps a relation."""
    kind = words[0]
    if kind == "term":
        return words[1]
    if kind == "that":
        return f"that {words[1]}"
    if kind == "at least":
        return f"at least {words[1]} {members(words[2], words[3])}"
    return f"{kind} {members(words[1], words[2])}"


def members(name, relation):
    """A class, perhaps with what its members are tied to."""
    return name if relation is None else f"{name} {relation[0]} {relation[1]}"


def test_words(test):
    """A comparison with limits."""
    if test[0] == "within":
        return f"within {test[1]} {UNIT} to {test[2]} {UNIT}"
    return f"{test[0]} {test[1]} {UNIT}"


def duty(procedure, of):
    """A procedure of a subject, or alone."""
    return procedure if of is None else f"{procedure} of {subject(of)}"


def years(span):
    """Model years, ends included."""
    low, high = span
    if low == high:
        return str(low)
    if high is None:
        return f"from {low}"
    if low is None:
        return f"until {high}"
    return f"{low} to {high}"


def sentence(form):
    """One sentence of a condition."""
    kind = form[0]
    if kind == "happens":
        return f"{subject(form[1])} {' or '.join(form[2])}"
    if kind == "is":
        return f"{subject(form[1])} is {form[2]}"
    if kind == "event":
        return form[1]
    if kind == "equipped":
        return f"equipped with {form[1]}"
    if kind == "measure":
        return f"{MEASURE} of {form[1]} {test_words(form[2])}"
    if kind == "year":
        return f"model year {years(form[1])}"
    if kind == "condition":
        return form[1]
    if kind == "choice":
        return f"{form[1]} is {form[2]}"
    if kind == "work complete":
        return "work is complete"
    if kind == "due":
        return f"{duty(form[1], form[2])} due"
    if kind == "done":
        how = "done" if form[3] is None else f"ended in {form[3]}"
        since = "" if form[4] is None else f" since {sentence(form[4])}"
        return f"{duty(form[1], form[2])} {how}{since}"
    raise ValueError(kind)


def condition(form, inside=False):
    """A condition; brackets where lists stand inside lists."""
    kind = form[0]
    if kind in ("and", "or"):
        text = f" {kind} ".join(condition(part, True) for part in form[1])
        return f"({text})" if inside else text
    if kind == "not":
        return f"not {condition(form[1], True)}"
    text = sentence(form)
    return f"({text})" if inside and kind == "happens" and len(form[2]) > 1 else text


def conclusion(entry):
    """One conclusion."""
    kind = entry[0]
    if kind == "state":
        return f"{subject(entry[1])} is {entry[2]}"
    if kind == "waive what":
        return f'waive what "{entry[1]}" asks'
    text = f"{kind} {duty(entry[1], entry[2])}"
    if kind == "waive" and entry[3] is not None:
        text += f" after {sentence(entry[3])}"
    return text


def rule_lines(rule):
    """A rule, line by line."""
    lines = [f'rule "{rule["name"]}"', f'  cites {rule["source"]} section "{rule["section"]}"']
    when = rule["when"]
    parts = when[1] if when[0] == "and" else [when]
    for index, part in enumerate(parts):
        lines.append(f"  {'when' if index == 0 else ' and'} {condition(part, True)}")
    if rule["unless"] is not None:
        lines.append(f"  unless {condition(rule['unless'])}")
    for index, entry in enumerate(rule["then"]):
        lines.append(f"  {'then' if index == 0 else ' and'} {conclusion(entry)}")
    if rule["gives_way"] is not None:
        lines.append(f'  gives way to "{rule["gives_way"]}"')
    return lines


def carrying_out_lines(item):
    """What a procedure does."""
    lines = [f"carrying out {item['procedure']}" + ("" if item["of"] is None else f" of {item['of']}"),
             f"  cites {item['source']} section \"{item['section']}\""]
    what = ", ".join(happening if place is None else f"{place} {happening}" for happening, place in item["involves"])
    when = "" if item["when"] is None else f" when {condition(item['when'])}"
    return lines + [f"  involves {what}{when}"]


def scope_line(scope):
    """The head of a scope."""
    span = "" if scope["years"] is None else f" {years(scope['years'])}"
    return f"for {MAKER} {scope['model']}{span} {{"


def words_text():
    """The words that are the same in every case: what `words.knock` holds, which each case uses."""
    lines = ["# The words of every generated case, made by text.py.", "", f"maker {MAKER} makes {MODEL}, {OTHER_MODEL}"]
    for name, along in RELATIONS.items():
        steps = "passes along, " if along else ""
        lines.append(f"relation {name} of part to part, {steps}passes disturbance")
    lines += [f"option {name}" for name in OPTIONS]
    for name, (doing, way, counts) in OPERATIONS.items():
        clauses = [f'doing "{doing}"' + ("" if way is None else f', on the way "{way}"')]
        if counts:
            clauses.append(f"counts as {', '.join(counts)}")
        if name in HARMLESS_OPERATIONS:
            clauses.append("disturbs nothing")
        # One word beside the name, more below it: the one style.
        beside = clauses[:1] if way is None else []
        lines.append(" ".join([f"operation {name}", *beside]))
        lines += [f"  {clause}" for clause in clauses[len(beside):]]
    for name in FINDINGS:
        lines.append(f"finding {name} of part" + (", disturbs nothing" if name in HARMLESS_FINDINGS else ""))
    lines += [f'event {name} asked as "{asked}"' for name, asked in EVENTS.items()]
    lines += [f"state {name} of part" for name in STATES]
    for name, asked in CONDITIONS.items():
        judged = "judged by a person, " if name in JUDGED_CONDITIONS else ""
        lines.append(f'condition {name} {judged}asked as "{asked}"')
    lines += [f"choice {name} one of {', '.join(values)}" for name, values in CHOICES.items()]
    lines.append(f"measure {MEASURE} in {UNIT} of part")
    for name, of in PROCEDURES:
        lines.append(f"procedure {name}{'' if of is None else f' of {of}'} ends in {', '.join(RESULTS)}")
    return "\n".join(lines) + "\n"


def car_lines(case):
    """The parts and sensors of a case."""
    lines = ['use "words"']
    for word, names in (("part", case["parts"]), ("sensor", case["sensors"])):
        for name in names:
            ties = [f"{fact['relation']} {fact['y']}" for fact in case["facts"]
                    if fact["kind"] == "tie" and fact["declared"] and fact["x"] == name]
            lines.append(f"{word} {name} {', '.join(ties)}".rstrip())
    for kind, names, of in kinds_of(case):
        lines.append(f"kind {kind} of {of} {', '.join(names)}")
    return lines


def kinds_of(case):
    """The kinds that have members here, with them and their class."""
    found = []
    for kinds, of, names in ((KINDS, "sensor", case["sensors"]), (PART_KINDS, "part", case["parts"])):
        for kind, all_names in kinds.items():
            here = [name for name in all_names if name in names]
            if here:
                found.append((kind, here, of))
    return found


def source_lines(source):
    """A source."""
    lines = [f"source {source['name']}", f'  title "{source["name"]}"', f"  issuer {source['issuer']}"]
    lines += [f"  rank {source['rank']}", f"  issued {source['issued']}"]
    if source["revised"]:
        lines.append(f"  revised {source['revised']}")
    if source["in_force"]:
        lines.append(f"  in force from {source['in_force']}")
    if source["replaces"]:
        lines.append(f"  replaces {source['replaces']}")
    if source["checked"]:
        lines.append(f"  review every 12 months, checked {source['checked']}")
    if source["in_part"]:
        lines.append("  read in part")
    if source["borrowed"]:
        lines.append(f"  borrowed from {MAKER} {OTHER_MODEL}")
    second = ', second reading by "hand B"' if source["second"] else ""
    lines.append(f'  encoded by "hand A"{second}')
    return lines


def fact_line(fact):
    """A fact about cars."""
    kind = fact["kind"]
    if kind == "tie":
        return f"{fact['x']} is {fact['relation']} {fact['y']}, per {fact['per']}"
    if kind == "access":
        doing = OPERATIONS[fact["operation"]][0]
        way = OPERATIONS[fact["on_the_way"]][1]
        return f"{doing} {fact['part']} {way} {', '.join(fact['takes'])}, per {fact['per']}"
    if kind == "has":
        return f"{'every' if fact['yes'] else 'no'} car has {fact['what']}, per {fact['per']}"
    if kind == "complete":
        article = "the " if fact["what"] in ("sensor", "part") else ""
        return f"{article}{fact['what']} list is complete, per {fact['per']}"
    raise ValueError(kind)


def job_lines(case):
    """The job."""
    job = case["job"]
    lines = [f'job "case {case["seed"]}" dated {job["dated"]}']
    year = "" if job["year"] is None else f" {job['year']}"
    lines.append(f"  vehicle {MAKER} {MODEL}{year}")
    for fitted, word in ((job["equipped"], "equipped with"), (job["not_equipped"], "not equipped with")):
        if fitted:
            lines.append(f"  {word} {', '.join(fitted)}")
    if job["equipment_complete"]:
        lines.append("  equipment is complete, per looking at the car")
    for (operation, part), at in zip(job["work"], job["times"]):
        lines.append(f"  work {operation} {part}" + ("" if at is None else f" at {at}"))
    for part in job["also_removed"]:
        lines.append(f"  also removed {part}")
    lines.append("  nothing else came off")
    if job["work_complete"]:
        lines.append("  work is complete")
    for finding, part in job["found"]:
        lines.append(f"  found {part} {finding}")
    if job["looked"] == "everything":
        lines.append("  looked over everything, nothing else found")
    elif job["looked"]:
        lines.append(f"  looked over {', '.join(job['looked'])}, nothing found")
    for event, yes in job["happened"].items():
        lines.append(f"  {'happened' if yes else 'not happened'} {event}")
    for part, (value, about) in job["measured"].items():
        plus = "" if about is None else f" ± {about} {UNIT}"
        lines.append(f"  measured {MEASURE} of {part} {value} {UNIT}{plus}")
    for name, yes in job["conditions"].items():
        if name in JUDGED_CONDITIONS:
            lines.append(f'  judged {name} {yes} by "R. Ames" because "seen"')
        else:
            lines.append(f"  given {'' if yes == 'yes' else 'not '}{name}")
    for name, value in job["choices"].items():
        lines.append(f"  given {name} is {value}")
    for procedure, of, result, at in job["done"]:
        on = "" if of is None else f" of {of}"
        lines.append(f"  done {procedure}{on} ended in {result} at {at}")
    return lines


def text_of(case):
    """The whole case."""
    lines = car_lines(case)
    for source in case["sources"]:
        lines += source_lines(source)
    lines += [fact_line(fact) for fact in case["facts"] if fact["scope"] is None and not fact.get("declared")]
    lines += [line for rule in case["rules"] if rule["scope"] is None for line in rule_lines(rule)]
    lines += [line for item in case["carrying_out"] if item["scope"] is None for line in carrying_out_lines(item)]
    for index, scope in enumerate(case["scopes"]):
        inside = [fact_line(fact) for fact in case["facts"] if fact["scope"] == index]
        inside += [line for rule in case["rules"] if rule["scope"] == index for line in rule_lines(rule)]
        inside += [line for item in case["carrying_out"] if item["scope"] == index for line in carrying_out_lines(item)]
        if inside:
            lines += [scope_line(scope), *("  " + line for line in inside), "}"]
    return "\n".join(lines + job_lines(case)) + "\n"
