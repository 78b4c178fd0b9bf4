"""Encodes a generated case as a logic program for clingo, from Knockon's documents alone.

The program is `semantics.lp` and what this file adds: the facts of the case, the truth of every sentence
(`true_..` it holds, `false_..` its denial holds; both may fail while the work list is not complete), and the
ways in which each rule can hold. `outcomes` asks clingo for every completion and puts the answers together.
"""

import itertools
import pathlib
import re

import clingo

from generate import leaves
from words import (
    CHOICES, CONDITIONS, FINDINGS, HARMLESS_FINDINGS, HARMLESS_OPERATIONS, LIMITS, MODEL, OPERATIONS, OPTIONS,
    PART_KINDS, PROCEDURES, RELATIONS, counts_as,
)
from text import kinds_of

SEMANTICS = (pathlib.Path(__file__).parent / "semantics.lp").read_text()
YEARS = range(2017, 2028)
LEVELS = ["nothing", "not needed", "silent", "advised", "conflict", "required"]
STANDINGS = {"maker statement": "maker", "workshop text": "maker", "common practice": "practice",
             "shop policy": "policy"}
MOST_WAYS = 400
MOST_GENERATIONS = 8
# How far a condition names causes: see `ways_of`.
NOT, BEHIND, EVENTS = range(3)


class TooLarge(Exception):
    """More ways than are worth trying."""


def quoted(words):
    """A clingo string."""
    return f'"{words}"'


def event_name(happening, place):
    """An event in words, as the language prints it."""
    return happening if place is None else f"{place} {happening}"


class Encoder:
    """Builds the program of one case."""

    def __init__(self, case, to_come=()):
        self.case = case
        # The procedures that may have to be carried out, each with a generation of what it does.
        self.to_come = sorted(to_come, key=str)
        self.horizon = 0
        self.event_generation = {}
        self.doer = {}
        self.causes_of_way = {}
        self.generation_of_way = {}
        self.waiving = []
        self.job = case["job"]
        self.lines = []
        self.count = 0
        self.things = case["parts"] + case["sensors"]
        self.kinds = {kind: names for kind, names, _ in kinds_of(case)}
        self.events = {}
        self.rules = [rule for rule in case["rules"] if self.counts(rule)]
        self.state_ways = {}
        self.state_denials = {}
        self.ask_ways = {}
        self.ask_instances = {}
        self.ways_of_rule = {}
        self.ways = []
        self.duties = set()

    def add(self, line):
        self.lines.append(line)

    def new(self):
        self.count += 1
        return self.count

    # --- texts -----------------------------------------------------------------------------------

    def in_force(self, source):
        """A text holds on the day if it is in force by then and none in force by then replaces it."""
        day = self.job["dated"]

        def started(one):
            return (one["in_force"] or one["revised"] or one["issued"]) <= day

        replaced = any(other["replaces"] == source["name"] and started(other) for other in self.case["sources"])
        return started(source) and not replaced

    def counts(self, rule):
        source = next(one for one in self.case["sources"] if one["name"] == rule["source"])
        return self.in_force(source) and self.scope_possible(rule["scope"])

    def facts(self):
        """The facts whose text is in force."""
        good = {source["name"] for source in self.case["sources"] if self.in_force(source)}
        return [fact for fact in self.case["facts"] if fact.get("declared") or fact["per"] in good]

    def weak(self, source):
        """Whether a text may not waive."""
        checked = source["checked"]
        overdue = checked is not None and f"{int(checked[:4]) + 1}{checked[4:]}" < self.job["dated"]
        unread = not source["second"] and source["rank"] in ("maker statement", "workshop text")
        return overdue or unread or source["in_part"] or source["borrowed"]

    # --- the car, the job ------------------------------------------------------------------------

    def scope_term(self, index):
        return "none" if index is None else str(index)

    def car(self):
        case, job, add = self.case, self.job, self.add
        for name in case["parts"]:
            add(f"part({quoted(name)}).")
        for name in case["sensors"]:
            add(f"sensor({quoted(name)}). equipment({quoted(name)}).")
        for name in OPTIONS:
            add(f"equipment({quoted(name)}).")
        for name in RELATIONS:
            add(f"list({quoted(name)}).")
            if RELATIONS[name]:
                add(f"along({quoted(name)}).")
        for name in [*self.kinds, "sensor", "part"]:
            add(f"list({quoted(name)}).")
            if name in PART_KINDS:
                # A kind of parts alone is the list it was declared with.
                add(f"said_complete({quoted(name)}).")
        for year in YEARS if job["year"] is None else [job["year"]]:
            add(f"possible_year({year}).")
        for index, scope in enumerate(case["scopes"]):
            if scope["model"] == MODEL:
                low, high = scope["years"] or (None, None)
                add(f"scope({index},{low or YEARS[0]},{high or YEARS[-1]}).")
        for source in case["sources"]:
            add(f"standing({quoted(source['name'])},{STANDINGS[source['rank']]}).")
            if self.weak(source):
                add(f"weak({quoted(source['name'])}).")
        worked = {place for _, place in job["work"]}
        for fact in self.facts():
            inside = f"in_scope({self.scope_term(fact['scope'])})"
            if fact["kind"] == "tie":
                add(f"tie({quoted(fact['x'])},{quoted(fact['relation'])},{quoted(fact['y'])},"
                    f"{self.scope_term(fact['scope'])}).")
            elif fact["kind"] == "complete":
                add(f"said_complete({quoted(fact['what'])}) :- {inside}.")
            elif fact["kind"] == "has":
                head = "surely_fitted" if fact["yes"] else "surely_absent"
                add(f"{head}({quoted(fact['what'])}) :- {inside}.")
        for name in case["sensors"] + OPTIONS:
            if name in job["equipped"] or name in worked:
                add(f"surely_fitted({quoted(name)}).")
            elif name in job["not_equipped"] or job["equipment_complete"]:
                add(f"surely_absent({quoted(name)}).")
        if job["work_complete"]:
            add("work_said_complete.")
        if job["equipment_complete"]:
            # Then no sensor is there that is not named; which of them belong to a kind it does not say.
            add(f"said_complete({quoted('sensor')}).")

    def event(self, happening, place):
        """Registers an event that may be in some completion."""
        name = event_name(happening, place)
        if name not in self.events:
            self.events[name] = (happening, place)
            if place is not None:
                self.add(f"on({quoted(name)},{quoted(place)}).")
                if happening not in HARMLESS_OPERATIONS + HARMLESS_FINDINGS:
                    self.add(f"disturbing({quoted(name)}).")
        return name

    def happened(self):
        """Every event that may be: listed, on the way, found, or unknown and asked about."""
        job, add = self.job, self.add
        listed = [tuple(entry) for entry in job["work"]] + [("removed", part) for part in job["also_removed"]]
        listed += [tuple(entry) for entry in job["found"]]
        listed += [(event, None) for event, yes in job["happened"].items() if yes]
        for happening, place in listed:
            add(f"listed({quoted(self.event(happening, place))}).")
            if happening in OPERATIONS:
                add(f"work({quoted(event_name(happening, place))}).")
        for part in job["also_removed"]:
            add(f"comes_off({quoted(event_name(*job['work'][0]))},{quoted(event_name('removed', part))}).")
        open_list = list(listed)
        off_already = {(name, place) for happening, place in listed if happening in OPERATIONS
                       for name in counts_as(happening)}
        while open_list:
            happening, place = open_list.pop()
            for fact in self.facts():
                if fact["kind"] != "access" or fact["part"] != place or happening not in OPERATIONS:
                    continue
                if fact["operation"] not in counts_as(happening) or not self.scope_possible(fact["scope"]):
                    continue
                for taken in fact["takes"]:
                    # What the work list has off already does not come off a second time.
                    if (fact["on_the_way"], taken) in off_already:
                        continue
                    known = event_name(fact["on_the_way"], taken) in self.events
                    other = self.event(fact["on_the_way"], taken)
                    add(f"access({quoted(event_name(happening, place))},{quoted(other)},"
                        f"{self.scope_term(fact['scope'])}).")
                    if not known:
                        open_list.append((fact["on_the_way"], taken))
        for rule in self.rules:
            for form in (rule["when"], rule["unless"]):
                self.asked_about(form)
        for item in self.items():
            self.asked_about(item["when"])
        for procedure, place, generation in self.to_come:
            for item in self.items():
                if (item["procedure"], item["of"]) == (procedure, place):
                    self.does(item, generation)

    def items(self):
        """What procedures do by texts in force, for cars such as this one may be."""
        sources = {source["name"]: source for source in self.case["sources"]}
        return [item for item in self.case["carrying_out"]
                if self.in_force(sources[item["source"]]) and self.scope_possible(item["scope"])]

    def does(self, item, generation):
        """Registers what a procedure does in a generation."""
        duty = item["procedure"] if item["of"] is None else f"{item['procedure']} of {item['of']}"
        for happening, place in item["involves"]:
            name = f"{event_name(happening, place)} by {duty}" + ("" if generation == 1 else f" #{generation}")
            if name not in self.events:
                self.events[name] = (happening, place)
                self.event_generation[name] = generation
                self.doer[name] = (item["procedure"], item["of"])
                if place is not None:
                    self.add(f"on({quoted(name)},{quoted(place)}).")
                    if happening not in HARMLESS_OPERATIONS:
                        self.add(f"disturbing({quoted(name)}).")
                if item["of"] is not None:
                    self.add(f"own_doing({quoted(name)},{quoted(item['of'])}).")

    def carry_out(self):
        """When each procedure is carried out, and what happens then."""
        for procedure, place, generation in self.to_come:
            key = f"carried({quoted(procedure)},{quoted(place or '')},{generation})"
            earlier = [f"not carried({quoted(procedure)},{quoted(place or '')},{other})"
                       for one, on, other in self.to_come if (one, on) == (procedure, place) and other < generation]
            for kind, way in self.asking(procedure, place, generation - 1):
                body = [f"asks({way}), not defeated({way})" if kind == "require" else f"advises({way})", *earlier]
                done = self.new()
                self.done_after(done, procedure, place, way)
                body.append(f"not was_done({done})")
                if kind == "advise":
                    chosen = f"to_be_done({quoted(procedure)},{quoted(place or '')})"
                    self.add(f"{{ {chosen} }}.")
                    body.append(chosen)
                self.add(f"{key} :- {', '.join(body)}.")
            for item in self.items():
                if (item["procedure"], item["of"]) != (procedure, place):
                    continue
                body = [key, f"in_scope({self.scope_term(item['scope'])})"]
                if item["when"] is not None:
                    self.horizon = generation - 1
                    body.append(f"true({self.truth(item['when'], None)})")
                duty = procedure if place is None else f"{procedure} of {place}"
                for happening, on in item["involves"]:
                    name = f"{event_name(happening, on)} by {duty}" + ("" if generation == 1 else f" #{generation}")
                    self.add(f"occurs({quoted(name)}) :- {', '.join(body)}.")

    def asking(self, procedure, place, generation):
        """The ways that ask for or advise a duty, of one generation."""
        return [(kind, way) for ways in self.ways_of_rule.values() for kind, what, on, way in ways
                if kind in ("require", "advise") and (what, on) == (procedure, place)
                and self.generation_of_way.get(way, 0) == generation]

    def done_after(self, node, procedure, place, way):
        """That the record has it done and passed after all causes of a way."""
        for index, entry in enumerate(self.job["done"]):
            if (entry[0], entry[1]) != (procedure, place) or entry[2] != "passed":
                continue
            body = [f"asks({way})"]
            for event in self.causes_of_way.get(way, []):
                if event in self.event_generation:
                    body.append("never")
                    continue
                self.order_of(index, entry, event)
                body.append(f"after({index},{quoted(event)})")
            self.add(f"was_done({node}) :- {', '.join(body)}.")

    def candidates(self):
        """For each procedure that does something, the ways of the last generation that ask for it anew."""
        last = max([generation for _, _, generation in self.to_come], default=0)
        lines, keys = [], {}
        for item in self.items():
            key = (item["procedure"], item["of"])
            earlier = [f"not carried({quoted(key[0])},{quoted(key[1] or '')},{generation})"
                       for one, on, generation in self.to_come if (one, on) == key]
            for kind, way in self.asking(*key, last):
                holds = f"asks({way}), not defeated({way})" if kind == "require" else f"advises({way})"
                keys[f"anew({quoted(key[0])},{quoted(key[1] or '')})"] = key
                lines.append(f"anew({quoted(key[0])},{quoted(key[1] or '')}) :- {', '.join([holds, *earlier])}.")
        return lines, keys, last

    def scope_possible(self, index):
        """Whether this car may be in a scope."""
        if index is None:
            return True
        low, high = self.case["scopes"][index]["years"] or (None, None)
        year = self.job["year"]
        inside = year is None or (low or YEARS[0]) <= year <= (high or YEARS[-1])
        return self.case["scopes"][index]["model"] == MODEL and inside

    def asked_about(self, form):
        """Findings and events of a condition that nobody stated are unknown."""
        if form is None:
            return
        if form[0] in ("and", "or"):
            for part in form[1]:
                self.asked_about(part)
        elif form[0] == "not":
            self.asked_about(form[1])
        elif form[0] == "event" and form[1] not in self.job["happened"]:
            self.add(f"unknown_event({quoted(self.event(form[1], None))}).")
        elif form[0] == "happens":
            for finding in [name for name in form[2] if name in FINDINGS]:
                for place in self.places(form[1]):
                    stated = [finding, place] in self.job["found"]
                    looked = self.job["looked"] == "everything" or place in self.job["looked"]
                    if not stated and not looked:
                        self.add(f"unknown_finding({quoted(self.event(finding, place))},{quoted(place)}).")

    def class_members(self, name):
        if name == "part":
            return self.things
        if name == "sensor":
            return self.case["sensors"]
        return self.kinds[name]

    def places(self, subject):
        """Every thing a subject may mean."""
        if subject[0] == "term":
            return [subject[1]]
        if subject[0] == "that":
            return self.class_members(subject[1])
        return self.class_members(subject[-2])

    def measures(self):
        """One variable a measure, cut at all its limits, within what its reading leaves."""
        values = [LIMITS[0] - 1]
        for low, high in zip(LIMITS, LIMITS[1:] + [LIMITS[-1] + 2]):
            values += [low, (low + high) / 2]
        forms = [form for rule in self.rules for form in (rule["when"], rule["unless"])]
        forms += [item["when"] for item in self.items()]
        asked = {leaf[1] for form in forms for leaf in leaves(form) if leaf[0] == "measure"}
        for part in sorted(asked):
            self.add(f"measured({quoted(part)}).")
            reading = self.job["measured"].get(part)
            if reading is None:
                regions = range(len(values))
            else:
                low, high = reading[0] - (reading[1] or 0), reading[0] + (reading[1] or 0)
                bounds = [(-1e9, LIMITS[0])]
                for start, end in zip(LIMITS, LIMITS[1:] + [1e9]):
                    bounds += [(start, start), (start, end)]
                regions = [index for index, (start, end) in enumerate(bounds)
                           if (low <= start <= high if start == end else low < end and high > start)]
            for region in regions:
                self.add(f"possible_region({quoted(part)},{region}).")
        self.region_values = values

    def world(self):
        """Conditions and choices."""
        for name in CONDITIONS:
            said = self.job["conditions"].get(name, "cannot tell")
            if said == "yes":
                self.add(f"true_condition({quoted(name)}).")
            elif said == "cannot tell":
                self.add(f"unknown_condition({quoted(name)}).")
        for name, values in CHOICES.items():
            self.add(f"choice({quoted(name)}).")
            for value in [self.job["choices"][name]] if name in self.job["choices"] else values:
                self.add(f"choice_value({quoted(name)},{quoted(value)}).")

    # --- sentences -------------------------------------------------------------------------------

    def matching(self, place, happenings):
        """Events of a place that count as one of these happenings."""
        return [name for name, (happening, on) in self.events.items() if on == place
                and self.event_generation.get(name, 0) <= self.horizon and (set(counts_as(happening)) if happening in OPERATIONS else {happening}) & set(happenings)]

    def two_valued(self, body):
        """A sentence that is either true or false in a completion."""
        node = self.new()
        self.add(f"true({node}) :- {body}.")
        self.add(f"false({node}) :- not true({node}).")
        return node

    def truth(self, form, that):
        """The node of a condition, with the bound member in the place of `that CLASS`."""
        kind = form[0]
        if kind in ("and", "or"):
            nodes = [self.truth(part, that) for part in form[1]]
            node = self.new()
            yes, no = ("true", "false") if kind == "and" else ("false", "true")
            self.add(f"{yes}({node}) :- {', '.join(f'{yes}({one})' for one in nodes)}.")
            for one in nodes:
                self.add(f"{no}({node}) :- {no}({one}).")
            return node
        if kind == "not":
            inner, node = self.truth(form[1], that), self.new()
            self.add(f"true({node}) :- false({inner}).")
            self.add(f"false({node}) :- true({inner}).")
            return node
        if kind == "condition":
            return self.two_valued(f"true_condition({quoted(form[1])})")
        if kind == "equipped":
            return self.two_valued(f"fitted({quoted(form[1])})")
        if kind == "event":
            node = self.new()
            for event in self.matching(None, [form[1]]):
                self.add(f"true({node}) :- occurs({quoted(event)}).")
            self.add(f"false({node}) :- not true({node}).")
            return node
        if kind == "choice":
            return self.two_valued(f"chosen({quoted(form[1])},{quoted(form[2])})")
        if kind == "year":
            low, high = form[1]
            return self.two_valued(f"year(Y), Y >= {low or YEARS[0]}, Y <= {high or YEARS[-1]}")
        if kind == "work complete":
            return self.two_valued("work_complete")
        if kind == "measure":
            return self.compared(form)
        if kind == "done":
            return self.done(form, that)
        return self.of_subject(form, form[2] if kind == "due" else form[1], that)

    def compared(self, form):
        node = self.new()
        test, *limits = form[2]
        for region, value in enumerate(self.region_values):
            if {"over": lambda v: v > limits[0], "under": lambda v: v < limits[0], "at least": lambda v: v >= limits[0],
                    "at most": lambda v: v <= limits[0], "within": lambda v: limits[0] <= v <= limits[1]}[test](value):
                self.add(f"true({node}) :- region({quoted(form[1])},{region}).")
        self.add(f"false({node}) :- not true({node}).")
        return node

    def done(self, form, that):
        """The record: no entry is a plain no. `since`: after every such event, of which there is one."""
        _, procedure, of, result, since = form
        place = None if of is None else (that if of[0] == "that" else of[1])
        node = self.new()
        for index, entry in enumerate(self.job["done"]):
            if entry[0] != procedure or entry[1] != place or result not in (None, entry[2]):
                continue
            if since is None:
                self.add(f"true({node}).")
                continue
            events = [event for event in self.matching(since[1][1], since[2])
                      if self.doer.get(event) != (procedure, place)]
            early = self.new()
            for event in events:
                if event in self.event_generation:
                    # What is still to come is after all that was done.
                    self.add(f"some({early}) :- occurs({quoted(event)}).")
                    self.add(f"too_early({early}) :- occurs({quoted(event)}).")
                    continue
                self.order_of(index, entry, event)
                self.add(f"some({early}) :- occurs({quoted(event)}).")
                self.add(f"too_early({early}) :- occurs({quoted(event)}), not after({index},{quoted(event)}).")
            self.add(f"true({node}) :- some({early}), not too_early({early}).")
        self.add(f"false({node}) :- not true({node}).")
        return node

    def order_of(self, index, entry, event):
        """Which of the two came first: a line of the record, or an event."""
        self.add(f"relevant_order({index},{quoted(event)}).")
        at = self.times().get(event)
        if at is None:
            self.add(f"order_unknown({index},{quoted(event)}).")
        elif at < entry[3]:
            self.add(f"order_known({index},{quoted(event)}).")

    def times(self):
        """When a listed event happened, where the job says so."""
        return {event_name(operation, place): at for (operation, place), at in
                zip(self.job["work"], self.job["times"]) if at is not None}

    def of_subject(self, form, subject, that):
        """A sentence about a subject: one thing, or a quantifier over a class."""
        if subject is None:
            return self.of_one(form, None)
        if subject[0] in ("term", "that"):
            return self.of_one(form, that if subject[0] == "that" else subject[1])
        members = [(name, self.inside(subject, name), self.of_one(form, name)) for name in self.places(subject)]
        relation = subject[-1]
        complete = f"list_complete({quoted(subject[-2] if relation is None else relation[0])})"
        node, quantifier = self.new(), subject[0]
        if quantifier in ("any", "no"):
            yes, no = ("true", "false") if quantifier == "any" else ("false", "true")
            for _, inside, one in members:
                self.add(f"{yes}({node}) :- {inside}, true({one}).")
                self.add(f"possible({node}) :- {inside}, not false({one}).")
            self.add(f"{no}({node}) :- {complete}, not possible({node}).")
        elif quantifier == "every":
            for _, inside, one in members:
                self.add(f"false({node}) :- {inside}, false({one}).")
                self.add(f"missing({node}) :- {inside}, not true({one}).")
            self.add(f"true({node}) :- {complete}, not missing({node}).")
        else:
            for name, inside, one in members:
                self.add(f"one_of({node},{quoted(name)}) :- {inside}, true({one}).")
                self.add(f"perhaps({node},{quoted(name)}) :- {inside}, not false({one}).")
            self.add(f"true({node}) :- {subject[1]} <= #count {{ X : one_of({node},X) }}.")
            self.add(f"false({node}) :- {complete}, #count {{ X : perhaps({node},X) }} < {subject[1]}.")
        return node

    def inside(self, subject, name):
        """When a thing is among what a quantifier ranges over."""
        relation = subject[-1]
        here = f"present({quoted(name)})"
        return here if relation is None else f"{here}, tied({quoted(name)},{quoted(relation[0])},{quoted(relation[1])})"

    def of_one(self, form, place):
        """A sentence about one thing."""
        kind, node = form[0], self.new()
        if kind == "happens":
            for event in self.matching(place, form[2]):
                self.add(f"true({node}) :- occurs({quoted(event)}).")
            # Work that is not listed is only taken as not done if the work list is complete.
            listed = ", work_complete" if set(form[2]) & set(OPERATIONS) else ""
            self.add(f"false({node}) :- not true({node}){listed}.")
            self.add(f"false({node}) :- not true({node}), not present({quoted(place)}).")
        elif kind == "is" and form[2] == "touched":
            for event, (_, on) in self.events.items():
                if self.event_generation.get(event, 0) <= self.horizon and on is not None:
                    self.add(f"true({node}) :- touches({quoted(event)},{quoted(place)}).")
            self.add(f"false({node}) :- not true({node}), work_complete.")
            self.add(f"false({node}) :- not present({quoted(place)}).")
        elif kind == "is":
            for way in self.state_ways.get((place, form[2]), []):
                self.add(f"true({node}) :- states({way}).")
            denials = [f"false({one})" for one in self.state_denials.get((place, form[2]), [])]
            self.add(f"false({node}) :- {', '.join(denials)}." if denials else f"false({node}).")
            self.add(f"false({node}) :- not present({quoted(place)}).")
        else:
            for way in self.ask_ways.get((form[1], place), []):
                self.add(f"true({node}) :- asks({way}), not defeated({way}).")
            # That a duty is not due rests on the work list where work could bring it about.
            settled = [f"settled({one})" for one in self.ask_instances.get((form[1], place), [])]
            self.add(f"false({node}) :- {', '.join([f'not true({node})', *settled])}.")
            self.add(f"false({node}) :- not true({node}), work_complete.")
        return node

    # --- rules -----------------------------------------------------------------------------------

    def bound(self, when):
        """The quantifier `any` that stands for one member at a time, if there is one."""
        parts = when[1] if when[0] == "and" else [when]
        for part in parts:
            subject = part[2] if part[0] == "due" else part[1] if part[0] in ("happens", "is") else None
            if subject is not None and subject[0] == "any":
                return part, subject
        return None, None

    def ways_of(self, form, that, binder):
        """Every way a condition may hold: literals, events it names, events behind it, and how far it names causes:
        NOT, by what a class does under a number (BEHIND), or by events (EVENTS)."""
        kind = form[0]
        if kind == "and":
            found = [([], [], [], NOT)]
            for part in form[1]:
                found = [(a[0] + b[0], a[1] + b[1], a[2] + b[2], max(a[3], b[3]))
                         for a in found for b in self.ways_of(part, that, binder)]
                if len(found) > MOST_WAYS:
                    raise TooLarge
            return found
        if kind == "or":
            return [way for part in form[1] for way in self.ways_of(part, that, binder)]
        if kind == "event":
            return [([f"occurs({quoted(event)})"], [quoted(event)], [], EVENTS)
                    for event in self.matching(None, [form[1]])]
        if kind in ("happens", "is", "due"):
            return self.ways_of_subject(form, that, binder)
        return [([f"true({self.truth(form, that)})"], [], [], NOT)]

    def ways_of_subject(self, form, that, binder):
        subject = form[2] if form[0] == "due" else form[1]
        if subject is None:
            return self.ways_of_one(form, None)
        if subject[0] in ("term", "that"):
            return self.ways_of_one(form, that if subject[0] == "that" else subject[1])
        if subject[0] == "any":
            names = [that] if form is binder else self.places(subject)
            return [([self.inside(subject, name)] + literals, named, behind, naming)
                    for name in names for literals, named, behind, naming in self.ways_of_one(form, name)]
        node = self.truth(form, that)
        if subject[0] == "no":
            return [([f"true({node})"], [], [], NOT)]
        # `every` and `at least` name all the events that make them true.
        members = self.places(subject)
        if form[0] == "happens":
            every = [f'E : occurs(E), {self.inside(subject, name)}, E = {quoted(event)}'
                     for name in members for event in self.matching(name, form[2])]
            return [([f"true({node})"], every, [], EVENTS)]
        every = [f"E : touches(E,{quoted(name)}), {self.inside(subject, name)}" for name in members]
        return [([f"true({node})"], [], every, BEHIND)]

    def ways_of_one(self, form, place):
        if form[0] == "happens":
            return [([f"occurs({quoted(event)})"], [quoted(event)], [], EVENTS)
                    for event in self.matching(place, form[2])]
        if form[0] == "is" and form[2] == "touched":
            return [([f"touches({quoted(event)},{quoted(place)})"], [], [quoted(event)], NOT)
                    for event, (_, on) in self.events.items() if on is not None and self.may_touch(on, place)
                    and self.event_generation.get(event, 0) <= self.horizon]
        if form[0] == "is":
            return [([f"states({way})", f"present({quoted(place)})"], [], [f"E : cause({way},E), E != stands"], NOT)
                    for way in self.state_ways.get((place, form[2]), [])]
        return [([f"asks({way})", f"not defeated({way})"], [], [f"E : cause({way},E), E != stands"], NOT)
                for way in self.ask_ways.get((form[1], place), [])]

    def may_touch(self, on, place):
        """Whether what happens to one thing may touch another, in some completion."""
        reached, fresh = {on}, [on]
        while fresh:
            at = fresh.pop()
            for fact in self.facts():
                if fact["kind"] == "tie" and fact["y"] == at and fact["x"] not in reached:
                    reached.add(fact["x"])
                    fresh.append(fact["x"])
        return place in reached

    def conclusions(self, rule, that):
        """What a rule concludes, `every` written out: kind, procedure, subject, after."""
        for entry in rule["then"]:
            if entry[0] == "waive what":
                continue
            if entry[0] == "state":
                yield "state", entry[2], that if entry[1][0] == "that" else entry[1][1], None
            else:
                after = entry[3] if entry[0] == "waive" else None
                for place in self.subjects(entry[2], that):
                    yield entry[0], entry[1], place, after

    def subjects(self, subject, that):
        if subject is None:
            return [None]
        if subject[0] == "every":
            return self.class_members(subject[1])
        return [that if subject[0] == "that" else subject[1]]

    def rule(self, rule):
        binder, subject = self.bound(rule["when"])
        for that in [None] if subject is None else self.places(subject):
            unless = None if rule["unless"] is None else self.truth(rule["unless"], that)
            inside = f"in_scope({self.scope_term(rule['scope'])})"
            found = self.ways_of(rule["when"], that, binder)
            self.deny(rule, that, binder, subject, unless, inside)
            if rule["then"][0][0] == "waive what":
                self.waive_what(rule, found, inside, unless)
                continue
            for literals, named, behind, naming in found:
                here = self.generation_of(literals)
                if here < self.horizon:
                    continue
                causes = self.static_causes(named if naming == EVENTS else behind)
                if naming == EVENTS and max([self.event_generation.get(one, 0) for one in causes], default=0) < here:
                    more = [one for one in self.static_causes(behind) if self.event_generation.get(one, 0) == here]
                    named, causes = named + [quoted(one) for one in more], causes | set(more)
                for kind, what, place, after in self.conclusions(rule, that):
                    own = {one for one in causes if self.doer.get(one) == (what, place)}
                    if own and kind in ("require", "advise"):
                        continue
                    if own and kind == "waive" and after is None:
                        if own == causes:
                            continue
                        named = [one for one in named if one.strip('"') not in own]
                        behind = [one for one in behind if one.strip('"') not in own]
                    body = list(literals) + [inside]
                    if place in self.case["sensors"]:
                        body.append(f"present({quoted(place)})")
                    # An exception of what asks must be shown to hold to end it, one of a waiver not to hold.
                    ended = "false" if kind == "waive" else "not true"
                    free = body + ([] if unless is None else [f"{ended}({unless})"])
                    head = {"require": "asks", "advise": "advises", "waive": "waives", "state": "states"}[kind]
                    way = self.way(rule, named, behind, naming, kind, what, place, after, causes - own, here)
                    if way is None:
                        continue
                    self.add(f"{head}({way}) :- {', '.join(free)}.")
                    if unless is not None and kind in ("require", "advise"):
                        way = self.way(rule, named, behind, naming, "excuse", what, place, None, causes, here)
                        self.add(f"excuses({way}) :- {', '.join(body)}, true({unless}).")
                        if kind == "advise":
                            self.add(f"of_advice({way}).")

    def waive_what(self, rule, found, inside, unless):
        """Waives for every cause that another rule asks for, and prevails over it."""
        node = self.new()
        for literals, _, _, _ in found:
            if self.generation_of(literals) < self.horizon:
                continue
            free = literals + [inside] + ([] if unless is None else [f"false({unless})"])
            self.add(f"waiving({node}) :- {', '.join(free)}.")
        self.waiving.append((rule, node, self.horizon))

    def waive_each(self, rule, node, horizon):
        """What it takes away of each way the other rule asks, once all are known."""
        for kind, what, place, asking in list(self.ways_of_rule.get(rule["then"][0][1], [])):
            if kind == "require":
                here = max(horizon, self.generation_of_way.get(asking, 0))
                way = self.way(rule, [], [], False, "waive", what, place, None, set(), here)
                self.add(f"copies({way},{asking}). waives({way}) :- waiving({node}), asks({asking}).")

    def deny(self, rule, that, binder, subject, unless, inside):
        """When a rule surely does not conclude, for what hangs on its not concluding: a state, or a duty."""
        form = rule["when"] if subject is None else self.instead(rule["when"], binder, that)
        when, node = self.truth(form, that), self.new()
        within = inside
        if subject is not None:
            within += f", {self.inside(subject, that)}"
        out = self.new()
        self.add(f"within({out}) :- {within}.")
        self.add(f"false({node}) :- false({when}).")
        self.add(f"false({node}) :- not within({out}).")
        self.add(f"settled({node}) :- false({node}).")
        self.add(f"settled({node}) :- true({when}), within({out}).")
        if unless is not None:
            self.add(f"false({node}) :- true({unless}).")
        for kind, what, place, _ in self.conclusions(rule, that):
            if kind == "state":
                self.state_denials.setdefault((place, what), []).append(node)
            elif kind == "require":
                self.ask_instances.setdefault((what, place), []).append(node)

    def instead(self, form, binder, that):
        """The condition with one member in the place of the quantifier."""
        if form is binder:
            bare = ["term", that]
            return [form[0], form[1], bare] if form[0] == "due" else [form[0], bare, form[2]]
        return [form[0], [self.instead(part, binder, that) for part in form[1]]] if form[0] == "and" else form

    def generation_of(self, literals):
        """The latest generation that literals look at, of the events and ways they name."""
        latest = 0
        for literal in literals:
            for event in re.findall(r'(?:occurs|touches)\("([^"]*)"', literal):
                latest = max(latest, self.event_generation.get(event, 0))
            for way in re.findall(r"^(?:states|asks)\((\d+)\)", literal):
                latest = max(latest, self.generation_of_way.get(int(way), 0))
        return latest

    def static_causes(self, items):
        """The events among what a way names, or that is behind it."""
        found = set()
        for item in items:
            inner = re.search(r"cause\((\d+),E\)", item)
            if inner:
                found |= self.causes_of_way.get(int(inner.group(1)), set())
            elif " : " not in item:
                found.add(item.strip('"'))
        return found

    def way(self, rule, named, behind, naming, kind, what, place, after, causes, here):
        if after is not None:
            events = [event for event in self.matching(after[1][1], after[2]) if self.doer.get(event) != (what, place)]
            if not events and self.matching(after[1][1], after[2]):
                return None
        way = self.new()
        self.causes_of_way[way], self.generation_of_way[way] = set(causes), here
        if self.to_come:
            self.add(f"generation({way},{here}).")
        self.add(f"rule_of({way},{quoted(rule['name'])}). text_of({way},{quoted(rule['source'])}).")
        if kind == "state":
            self.state_ways.setdefault((place, what), []).append(way)
        else:
            duty = what if place is None else f"{what} of {place}"
            self.duties.add((duty, place))
            self.add(f"about({way},{quoted(duty)}).")
            if kind == "require":
                self.ask_ways.setdefault((what, place), []).append(way)
        self.ways_of_rule.setdefault(rule["name"], []).append((kind, what, place, way))
        if place in self.case["sensors"]:
            self.add(f"of_sensor({way},{quoted(place)}).")
        if after is not None:
            self.add(f"after_sentence({way}).")
            named = [quoted(event) for event in events]
            for event in named:
                self.add(f"names({way},{event}) :- occurs({event}).")
            return way
        if naming == EVENTS:
            self.add(f"naming({way}).")
        if naming == BEHIND:
            self.add(f"numbering({way}).")
        for word, items in (("names", named), ("behind", [] if naming == EVENTS else behind)):
            for item in items:
                if " : " in item:
                    head, body = item.split(" : ", 1)
                    self.add(f"{word}({way},{head}) :- {body}.")
                else:
                    self.add(f"{word}({way},{item}).")
        return way

    def program(self):
        self.car()
        self.happened()
        self.measures()
        self.world()
        for self.horizon in range(max([generation for _, _, generation in self.to_come], default=0) + 1):
            for rule in self.in_order():
                self.rule(rule)
        for waiving in self.waiving:
            self.waive_each(*waiving)
        self.carry_out()
        for rule in self.rules:
            if rule["gives_way"] is not None:
                self.add(f"gives_way_to({quoted(rule['name'])},{quoted(rule['gives_way'])}).")
        for duty, place in sorted(self.duties, key=str):
            self.add(f"duty({quoted(duty)}).")
            if place in self.case["sensors"]:
                self.add(f"of_subject({quoted(duty)},{quoted(place)}).")
        return "\n".join(self.lines) + "\n" + SEMANTICS

    def in_order(self):
        """States first, then duties in the order in which they may hang on each other."""
        order = [name for name, _ in PROCEDURES]

        by_name = {rule["name"]: rule for rule in self.case["rules"]}

        def place(rule):
            if rule["then"][0][0] == "waive what":
                return place(by_name[rule["then"][0][1]]) + 0.5
            return min(-1 if entry[0] == "state" else order.index(entry[1]) for entry in rule["then"])

        return sorted(self.rules, key=place)


def grown(case):
    """The program of a case with what procedures do, generation by generation until none is asked for anew."""
    to_come = set()
    while True:
        encoder = Encoder(case, to_come)
        program = encoder.program()
        lines, keys, last = encoder.candidates()
        if not keys:
            return program
        control = clingo.Control(["--warn=none", "--enum-mode=brave", "--models=0"])
        control.add("base", [], program + "\n".join(lines) + "\n#show anew/2. #project anew/2.")
        control.ground([("base", [])])
        found = []
        with control.solve(yield_=True) as handle:
            for model in handle:
                found = [str(atom) for atom in model.symbols(shown=True) if atom.name == "anew"]
        if not found:
            return program
        if last == MOST_GENERATIONS:
            raise TooLarge
        to_come |= {(*keys[one], last + 1) for one in found}


def outcomes(case):
    """For each duty every outcome some completion gives, and for each (sensor, event) how often it is silent."""
    program = grown(case)
    # First every event that is a cause of a duty in some completion, then the outcomes.
    control = clingo.Control(["--warn=none", "--enum-mode=brave", "--models=0"])
    control.add("base", [], program + "#show cause_here/2. #project cause_here/2.")
    control.ground([("base", [])])
    causes = []
    with control.solve(yield_=True) as handle:
        for model in handle:
            causes = [str(atom) for atom in model.symbols(shown=True) if atom.name == "cause_here"]
    control = clingo.Control(["--warn=none", "--project", "--models=0"])
    control.add("base", [], program + "".join(cause.replace("cause_here", "its_cause", 1) + ".\n" for cause in causes))
    control.ground([("base", [])])
    duties, silences, models = {}, {}, 0
    with control.solve(yield_=True) as handle:
        for model in handle:
            models += 1
            for atom in model.symbols(shown=True):
                first, second = atom.arguments
                if atom.name == "outcome":
                    duties.setdefault(first.string, set()).add(LEVELS[second.number])
                else:
                    key = (first.string, second.string.split(" #")[0])
                    silences[key] = silences.get(key, 0) + 1
    if models == 0:
        raise ValueError(f"no completion of case {case['seed']}")
    return {
        "duties": {name: {"verdict": verdict(found), "outcomes": [level for level in LEVELS if level in found]}
                   for name, found in sorted(duties.items())},
        "silences": [[sensor, event, "always" if count == models else "perhaps"]
                     for (sensor, event), count in sorted(silences.items())],
    }


def verdict(found):
    """One outcome in all completions is the verdict; where they differ in what is to be done it is open."""
    if found <= {"nothing", "silent"}:
        return "absent"
    if len(found) == 1:
        return next(iter(found))
    return "not needed" if found == {"nothing", "not needed"} else "open"
