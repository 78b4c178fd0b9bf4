"""Generates random small libraries with one job each; the same seed gives the same case, byte for byte.

`python3 generate.py SEED` prints the case in the language.
"""

import random
import sys

from text import kinds_of, text_of
from words import (
    CHOICES, CONDITIONS, EVENTS, FINDINGS, HARMLESS_OPERATIONS, JUDGED_CONDITIONS, LIMITS, MAKER, MODEL, OPERATIONS,
    OPTIONS, OTHER_MODEL, PARTS, PROCEDURES, RESULTS, SENSORS, STATES, counts_as,
)

MOST_UNKNOWNS = 8
RANKS = ["maker statement"] * 5 + ["workshop text"] * 3 + ["common practice"] * 2 + ["shop policy"]
# The order matters: duties of a later procedure may hang on one of an earlier.
PROCEDURE_NAMES = [name for name, _ in PROCEDURES]


def generate(seed):
    """A case: everything of it that text.py prints and encode.py encodes."""
    for attempt in range(1000):
        case = Maker(random.Random(f"{seed}/{attempt}"), seed).case()
        if case is not None:
            return case
    raise RuntimeError(f"no case for seed {seed}")


class Maker:
    """Makes one case out of one stream of random numbers."""

    def __init__(self, rng, seed):
        self.rng = rng
        self.seed = seed

    def chance(self, share):
        """True in this share of calls."""
        return self.rng.random() < share

    def case(self):
        """One case, or none where too much would be unknown."""
        rng = self.rng
        self.parts = PARTS[: rng.randint(3, 6)]
        self.sensors = SENSORS[: rng.randint(2, 4)]
        case = {"seed": self.seed, "parts": self.parts, "sensors": self.sensors}
        self.case_so_far = case
        case["sources"] = self.make_sources()
        case["scopes"] = self.make_scopes()
        case["facts"] = self.make_ties()
        job = case["job"] = self.make_job()
        case["facts"] += self.make_access(job) + self.make_has(job)
        case["rules"] = self.make_rules(case)
        case["carrying_out"] = []
        self.settle(case)
        case["carrying_out"] = self.make_carrying_out(case)
        return case if unknowns(case) <= MOST_UNKNOWNS else None

    # --- texts, scopes, the car ---

    def make_sources(self):
        sources = []
        for index in range(self.rng.randint(2, 4)):
            rank = "maker statement" if index == 0 else self.rng.choice(RANKS)
            source = {
                "name": f"TXT-{index + 1}", "issuer": "North Bay" if rank == "shop policy" else MAKER, "rank": rank,
                "issued": "2024-05-06", "revised": None, "in_force": None, "replaces": None, "checked": None,
                "in_part": False, "borrowed": False, "second": self.chance(0.85),
            }
            if index > 0:
                if self.chance(0.15):
                    source["revised"] = self.rng.choice(["2024-11-05", "2025-08-01"])
                if self.chance(0.1):
                    source["in_force"] = self.rng.choice(["2025-01-01", "2025-07-01"])
                # The first text stands: the facts cite it.
                if index > 1 and self.chance(0.1):
                    source["replaces"] = sources[-1]["name"]
                if self.chance(0.15):
                    source["checked"] = self.rng.choice(["2024-05-20", "2025-02-01"])
                source["in_part"] = self.chance(0.06)
                source["borrowed"] = self.chance(0.06) and rank != "shop policy"
            sources.append(source)
        return sources

    def make_scopes(self):
        scopes = [{"model": MODEL, "years": None}]
        for _ in range(2):
            low = self.rng.randint(2019, 2023)
            span = self.rng.choice([(low, low + self.rng.randint(0, 3)), (low, None), (None, low)])
            model = OTHER_MODEL if self.chance(0.12) else MODEL
            scopes.append({"model": model, "years": list(span)})
        return scopes

    def per(self):
        """The text a fact is taken from: the first, most often."""
        names = [source["name"] for source in self.case_so_far["sources"]]
        return self.rng.choice(names) if self.chance(0.2) else names[0]

    def some_scope(self):
        return None if self.chance(0.35) else self.rng.choice([0, 0, 1, 2])

    def make_ties(self):
        facts = []

        def tie(x, relation, y):
            scope = self.rng.randrange(3) if self.chance(0.12) else None
            declared = scope is None and (relation == "looks through" or self.chance(0.5))
            if relation == "looks through" and not declared:
                relation = "behind"
            facts.append({"kind": "tie", "x": x, "relation": relation, "y": y, "scope": scope, "declared": declared,
                          "per": self.per()})

        for index, part in enumerate(self.parts):
            if index > 0 and self.chance(0.4):
                tie(part, self.rng.choice(["mounted on", "behind"]), self.rng.choice(self.parts[:index]))
        for sensor in self.sensors:
            first = self.rng.choice(self.parts)
            tie(sensor, "mounted on", first)
            if self.chance(0.6):
                tie(sensor, self.rng.choice(["behind", "looks through"]),
                    self.rng.choice([part for part in self.parts if part != first]))
        for what in ["mounted on", "behind", "sensor", "part"] + [kind for kind, _, _ in kinds_of(self.case_so_far)]:
            if self.chance(0.9):
                facts.append({"kind": "complete", "what": what, "scope": None, "per": self.per()})
        seen = set()
        return [fact for fact in facts if fact["kind"] != "tie"
                or not ((key := (fact["x"], fact["relation"], fact["y"])) in seen or seen.add(key))]

    def make_access(self, job):
        facts = []
        if self.chance(0.3):
            operation, part = self.rng.choice(job["work"])
            others = [name for name in self.parts if name != part]
            takes = self.rng.sample(others, self.rng.randint(1, 2))
            facts.append({
                "kind": "access", "operation": self.rng.choice(counts_as(operation)), "part": part, "takes": takes,
                "on_the_way": self.rng.choice(["removed", "removed", "loosened"]), "per": self.per(),
                "scope": self.rng.randrange(3) if self.chance(0.3) else None,
            })
        return facts

    def make_has(self, job):
        facts = []
        for what in self.sensors + OPTIONS:
            stated = what in job["equipped"] or what in job["not_equipped"] or what in [p for _, p in job["work"]]
            if not stated and not job["equipment_complete"] and self.chance(0.15):
                facts.append({"kind": "has", "what": what, "yes": self.chance(0.7), "per": self.per(),
                              "scope": self.rng.randrange(3) if self.chance(0.5) else None})
        return facts

    # --- the job ---

    def make_job(self):
        rng = self.rng
        job = {"dated": "2025-06-02", "year": None if self.chance(0.2) else rng.randint(2019, 2024),
               "equipped": [], "not_equipped": [], "equipment_complete": self.chance(0.5), "work": [],
               "also_removed": [], "work_complete": self.chance(0.6), "found": [], "looked": [], "happened": {},
               "measured": {}, "conditions": {}, "choices": {}, "done": []}
        places = self.parts + self.sensors
        for _ in range(rng.choice([1, 1, 2, 2, 3])):
            part = rng.choice(self.parts if self.chance(0.75) else places)
            operation = rng.choice(["replaced", "removed", "removed", "loosened", "refinished", "washed"])
            if [operation, part] not in job["work"]:
                job["work"].append([operation, part])
        worked = [part for _, part in job["work"]]
        if len(worked) == 1 and self.chance(0.4):
            # It came off on the way to that work, there being no other.
            job["also_removed"] = [part for part in rng.sample(self.parts, 1) if part not in worked]
        job["times"] = [rng.choice(["2025-06-01 09:00", "2025-06-02 12:30"]) if self.chance(0.4) else None
                        for _ in worked]
        for what in self.sensors + OPTIONS:
            share = rng.random()
            if what in worked or share < (0.75 if what in SENSORS else 0.4):
                job["equipped"].append(what)
            elif share < 0.85 and not job["equipment_complete"]:
                job["not_equipped"].append(what)
        job["looked"] = "everything" if self.chance(0.7) else []
        if self.chance(0.15):
            job["found"].append([rng.choice(FINDINGS), rng.choice(self.parts)])
        if job["looked"] != "everything":
            found = [part for _, part in job["found"]]
            job["looked"] = [part for part in self.parts if part not in found and self.chance(0.4)]
        for event in EVENTS:
            if self.chance(0.7):
                job["happened"][event] = self.chance(0.4)
        for part in self.parts:
            if self.chance(0.6):
                value = rng.choice([120, 150, 155, 195, 200, 205, 240, 280, 300])
                about = rng.choice([7, 12]) if self.chance(0.25) else None
                job["measured"][part] = [value, about]
        for name in CONDITIONS:
            if self.chance(0.6):
                job["conditions"][name] = rng.choice(["yes", "no"])
            elif name in JUDGED_CONDITIONS and self.chance(0.5):
                job["conditions"][name] = "cannot tell"
        for name, values in CHOICES.items():
            if self.chance(0.6):
                job["choices"][name] = rng.choice(values)
        for _ in range(rng.choice([0, 0, 0, 0, 1, 1, 2])):
            procedure, of = rng.choice(PROCEDURES)
            known = [name for name in self.sensors if name in job["equipped"]]
            if of != "sensor" or known:
                on = {None: None, "part": rng.choice(self.parts), "sensor": rng.choice(known) if known else None}[of]
                at = ["2025-06-01 10:40", "2025-06-02 11:20"][len(job["done"])]
                job["done"].append([procedure, on, rng.choice(RESULTS), at])
        return job

    def settle(self, case):
        """Answers what is open, in random order, until few enough facts are unknown."""
        job = case["job"]
        ways = ["year", "equipment", "looked", "events", "conditions", "choices", "work"]
        self.rng.shuffle(ways)
        for way in ways:
            if unknowns(case) <= MOST_UNKNOWNS:
                return
            if way == "year" and job["year"] is None:
                job["year"] = self.rng.randint(2019, 2024)
            elif way == "equipment":
                told = [fact["what"] for fact in case["facts"] if fact["kind"] == "has"]
                for what in self.sensors + OPTIONS:
                    if what not in job["equipped"] + job["not_equipped"] + told and not job["equipment_complete"]:
                        job["equipped"].append(what)
            elif way == "looked":
                job["looked"] = "everything"
            elif way == "events":
                for event in EVENTS:
                    job["happened"].setdefault(event, self.chance(0.4))
            elif way == "conditions":
                for name in CONDITIONS:
                    if job["conditions"].get(name, "cannot tell") == "cannot tell":
                        job["conditions"][name] = self.rng.choice(["yes", "no"])
            elif way == "choices":
                for name, values in CHOICES.items():
                    job["choices"].setdefault(name, self.rng.choice(values))
            elif way == "work":
                job["work_complete"] = True

    # --- rules ---

    def make_rules(self, case):
        rng = self.rng
        self.job = case["job"]
        self.focus = []
        for _ in range(rng.choice([1, 2, 2, 3])):
            procedure, of = PROCEDURES[0] if self.chance(0.5) else rng.choice(PROCEDURES)
            on = {None: None, "part": rng.choice(self.parts), "sensor": rng.choice(self.sensors)}[of]
            self.focus.append((procedure, on))
        self.states = []
        rules = []
        for index in range(rng.randint(4, 8)):
            rule = self.make_rule(case, index, rules)
            rules.append(rule)
            if rule["then"][0][0] == "state":
                self.states.append((rule["then"][0][1], rule["then"][0][2]))
        return rules

    def make_rule(self, case, index, before):
        rng = self.rng
        rule = {"name": f"rule {index + 1}", "source": rng.choice(case["sources"])["name"], "section": str(index + 1),
                "scope": self.some_scope(), "unless": None, "gives_way": None}
        self.bound = None
        if index < 2 and self.chance(0.25):
            known, self.states = self.states, []
            rule["when"] = self.make_when(None)
            self.states = known
            state = rng.choice(STATES)
            on = ["that", self.bound] if self.bound else ["term", rng.choice(self.parts)]
            rule["then"] = [["state", on, state]]
            return rule
        duty = rng.choice(self.focus)
        kind = rng.choice(["require"] * 6 + ["waive"] * 4 + ["advise"] * 2)
        twins = [other for other in before if other["then"][0][0] in ("require", "waive", "advise")]
        twins = [other for other in twins if other["then"][0][0] != "waive what"]
        if twins and self.chance(0.6):
            # The same cause and the same duty as a rule before, so that texts meet.
            twin = rng.choice(twins)
            rule["when"] = self.bend(twin["when"])
            self.bound = twin["bound"]
            entry = twin["then"][0]
            on = entry[2]
            duty = None
            if entry[0] == "require" and self.chance(0.8):
                kind = "waive"
            elif entry[0] == "waive" and self.chance(0.8):
                kind = "require"
            if self.chance(0.6):
                rule["source"] = twin["source"]
            if self.chance(0.7):
                rule["scope"] = twin["scope"]
            procedure = entry[1]
        else:
            procedure, on = duty
            rule["when"] = self.make_when(procedure)
            of = dict(PROCEDURES)[procedure]
            if of is not None and self.bound and self.bound_class in (of, "sensor") and self.chance(0.75):
                on = ["that", self.bound]
            elif on is not None:
                on = ["term", on]
                if of == "sensor" and self.chance(0.08) and "front sensor" in self.kind_names():
                    on = ["every", "front sensor", None]
        rule["bound"] = self.bound
        hangs = any(leaf[0] == "due" for leaf in leaves(rule["when"]))
        plain = [other["name"] for other in before if other["then"][0][0] == "require"]
        if kind == "waive" and plain and not hangs and self.chance(0.12):
            rule["then"] = [["waive what", rng.choice(plain)]]
        elif kind == "waive":
            after = self.event_of(rule["when"]) if self.chance(0.35) else None
            rule["then"] = [["waive", procedure, on, after]]
        else:
            rule["then"] = [[kind, procedure, on]]
            more = [name for name, of in PROCEDURES if name != procedure and of == dict(PROCEDURES)[procedure]]
            if more and not hangs and self.chance(0.15):
                rule["then"].append([kind, more[0], on])
        if self.chance(0.25):
            rule["unless"] = self.make_unless(rule)
        if self.chance(0.15):
            self.give_way(case, rule, before)
        return rule

    def give_way(self, case, rule, before):
        """Says that a rule gives way to an earlier one of the same standing that says the contrary."""
        ranks = {source["name"]: source["rank"] for source in case["sources"]}

        def standing(other):
            rank = ranks[other["source"]]
            return "maker" if rank in ("maker statement", "workshop text") else rank

        mine = rule["then"][0][0]
        contrary = {"require": ("waive",), "waive": ("require",)}.get(mine, ())
        fits = [other for other in before if other["then"][0][0] in contrary and standing(other) == standing(rule)
                and standing(rule) != "shop policy"]
        if fits:
            rule["gives_way"] = self.rng.choice(fits)["name"]

    def make_carrying_out(self, case):
        """What some procedures do; in cases where each cause of a rule is one that it names or that is behind it."""
        rng = self.rng
        several = any(leaf[0] in ("happens", "is") and leaf[1] is not None and leaf[1][0] in ("every", "at least")
                      for rule in case["rules"] for leaf in leaves(rule["when"]))
        if several or any(fact["kind"] == "access" for fact in case["facts"]) or self.chance(0.2):
            return []
        done = [(one[0], one[1]) for one in case["job"]["done"]]
        asked_for = []
        for rule in case["rules"]:
            for kind, *entry in rule["then"]:
                if kind not in ("require", "advise") or (entry[1] or ["term"])[0] == "every":
                    continue
                of = None if entry[1] is None else entry[1][1]
                if entry[1] is not None and entry[1][0] == "that":
                    of = rng.choice(self.sensors)
                if (entry[0], of) not in asked_for + done:
                    asked_for.append((entry[0], of))
        items = []
        for procedure, of in rng.sample(asked_for, min(len(asked_for), rng.randint(1, 3))):
            involves = []
            for _ in range(rng.choice([1, 1, 2])):
                if self.chance(0.3):
                    one = [rng.choice(list(EVENTS)), None]
                else:
                    asked = [[name, leaf[1][1]] for rule in case["rules"] for leaf in leaves(rule["when"])
                             if leaf[0] == "happens" and leaf[1][0] == "term" for name in leaf[2] if name in OPERATIONS]
                    one = rng.choice(asked) if asked and self.chance(0.85) else \
                        [rng.choice(list(OPERATIONS)), rng.choice(self.parts)]
                if one not in involves:
                    involves.append(one)
            items.append({"procedure": procedure, "of": of, "involves": involves, "scope": self.some_scope(),
                          "source": rng.choice(case["sources"])["name"], "section": str(len(items) + 20),
                          "when": self.plain_condition() if self.chance(0.2) else None})
        for item in list(items):
            if self.chance(0.6):
                self.chain(case, rng.choice(item["involves"]), rng.choice(items + [None]))
        if items and self.chance(0.6):
            self.chain(case, rng.choice(case["job"]["work"]), rng.choice(items))
        return items

    def chain(self, case, cause, other):
        """A rule that asks for something because of what was done, or a procedure does; perhaps for one that does more."""
        happening, place = cause
        procedure, of = self.rng.choice(self.focus) if other is None else (other["procedure"], other["of"])
        rule = {"name": f"rule {len(case['rules']) + 1}", "source": self.rng.choice(case["sources"])["name"],
                "section": str(len(case["rules"]) + 1), "scope": self.some_scope(), "unless": None, "gives_way": None,
                "bound": None,
                "when": ["event", happening] if place is None else ["happens", ["term", place], [happening]],
                "then": [["require", procedure, None if of is None else ["term", of]]]}
        if self.chance(0.3):
            rule["unless"] = self.make_unless(rule)
        case["rules"].append(rule)

    def kind_names(self):
        return [kind for kind, _, _ in kinds_of(self.case_so_far)]

    def bend(self, when):
        """A `when` like another: the same, or with one condition more or less."""
        parts = list(when[1]) if when[0] == "and" else [when]
        if len(parts) > 1 and self.chance(0.25):
            parts = parts[:-1]
        elif len(parts) < 3 and self.chance(0.2):
            parts.append(self.side_condition())
        return parts[0] if len(parts) == 1 else ["and", parts]

    def make_when(self, procedure):
        rng = self.rng
        parts = [self.main_condition(procedure)]
        for _ in range(self.rng.choice([0, 0, 1, 1, 1, 2])):
            parts.append(self.side_condition())
        earlier = self.earlier(procedure)
        if earlier and self.chance(0.05):
            name, on = rng.choice(earlier)
            parts.append(["not", ["due", name, None if on is None else ["term", on]]])
        return parts[0] if len(parts) == 1 else ["and", parts]

    def earlier(self, procedure):
        """The duties of the case whose procedure comes before another."""
        if procedure is None:
            return []
        return [duty for duty in self.focus if PROCEDURE_NAMES.index(duty[0]) < PROCEDURE_NAMES.index(procedure)]

    def happening(self, part=None):
        """A part and what was done to it, mostly as the job has it."""
        rng = self.rng
        if part is None and self.chance(0.8):
            operation, part = rng.choice(self.job["work"])
            name = rng.choice(counts_as(operation))
        else:
            part = part or rng.choice(self.parts)
            name = rng.choice(list(OPERATIONS))
        names = [name]
        if self.chance(0.15):
            names.append(rng.choice([other for other in OPERATIONS if other != name]))
        return ["happens", ["term", part], names]

    def a_class(self):
        """A class to quantify over, with a relation or without."""
        rng = self.rng
        choices = [("sensor", "mounted on"), ("sensor", "behind"), ("part", "mounted on"), ("part", "behind")]
        choices += [(kind, None) for kind in [*self.kind_names(), "sensor"]]
        name, relation = rng.choice(choices)
        if relation is None:
            return name, None
        ties = [fact for fact in self.case_so_far["facts"] if fact["kind"] == "tie" and fact["relation"] == relation
                and (fact["x"] in self.sensors or name == "part")]
        if not ties:
            return "holder", None
        return name, [relation, rng.choice(ties)["y"]]

    def main_condition(self, procedure):
        rng = self.rng
        share = rng.random()
        if share < 0.4:
            return self.happening()
        if share < 0.5:
            name, relation = self.a_class()
            self.bind(name)
            return ["is", ["any", name, relation], "touched"]
        if share < 0.58:
            name, relation = self.a_class()
            self.bind(name)
            return ["happens", ["any", name, relation], [rng.choice(["removed", "loosened", "removed", "cracked"])]]
        if share < 0.63:
            return ["is", ["term", rng.choice(self.sensors + self.parts)], "touched"]
        if share < 0.73 and self.states:
            on, state = rng.choice(self.states)
            if on[0] == "that":
                self.bind(on[1])
                return ["is", ["any", on[1], None], state]
            return ["is", on, state]
        if share < 0.81:
            earlier = self.earlier(procedure)
            if earlier:
                name, on = rng.choice(earlier)
                if on is not None and dict(PROCEDURES)[name] == "sensor" and self.chance(0.4):
                    self.bind("sensor")
                    return ["due", name, ["any", "sensor", None]]
                return ["due", name, None if on is None else ["term", on]]
        if share < 0.87:
            return ["or", [self.happening(), self.plain_condition()]]
        if share < 0.92:
            return ["happens", ["term", rng.choice(self.parts)], [rng.choice(FINDINGS)]]
        if share < 0.96:
            return ["event", rng.choice(list(EVENTS))]
        return self.plain_condition()

    def bind(self, name):
        self.bound = name
        self.bound_class = "sensor" if "sensor" in name else "part"

    def plain_condition(self):
        """A condition that names no event."""
        rng = self.rng
        share = rng.random()
        if share < 0.3:
            return ["condition", rng.choice(list(CONDITIONS))]
        if share < 0.5:
            return ["equipped", rng.choice(OPTIONS + self.sensors)]
        if share < 0.75:
            kind = rng.choice(["over", "under", "at least", "at most", "within"])
            test = ["within", LIMITS[0], LIMITS[1]] if kind == "within" else [kind, rng.choice(LIMITS)]
            return ["measure", rng.choice(self.parts), test]
        if share < 0.85:
            name = rng.choice(list(CHOICES))
            return ["choice", name, rng.choice(CHOICES[name])]
        low = rng.randint(2019, 2023)
        return ["year", rng.choice([[low, low + 1], [low, None], [None, low]])]

    def side_condition(self):
        rng = self.rng
        share = rng.random()
        if share < 0.3:
            return self.plain_condition()
        if share < 0.42:
            return ["not", ["condition", rng.choice(list(CONDITIONS))]]
        if share < 0.55:
            return ["not", ["happens", ["term", rng.choice(self.parts)], [rng.choice(["removed", "replaced", "cracked"])]]]
        if share < 0.6:
            return ["not", ["is", ["term", rng.choice(self.sensors + self.parts)], "touched"]]
        if share < 0.64 and self.states and self.states[0][0][0] == "term":
            return ["not", ["is", self.states[0][0], self.states[0][1]]]
        if share < 0.68:
            return ["not", ["and", [self.plain_condition(), self.plain_condition()]]]
        if share < 0.72:
            return ["not", ["event", rng.choice(list(EVENTS))]]
        if share < 0.82:
            name, relation = self.a_class()
            happening = rng.choice(["removed", "loosened", "replaced"])
            form = ["happens", None, [happening]] if self.chance(0.7) else ["is", None, "touched"]
            form[1] = rng.choice([["no", name, relation], ["every", name, relation], ["at least", 2, name, relation]])
            return form
        if share < 0.86:
            return ["work complete"]
        if share < 0.94:
            return self.happening()
        return ["or", [self.plain_condition(), self.plain_condition()]]

    def event_of(self, when):
        """A sentence that names an event, most often one of the `when`."""
        parts = when[1] if when[0] == "and" else [when]
        own = [part for part in parts if part[0] == "happens" and part[1][0] == "term"]
        form = self.rng.choice(own) if own and self.chance(0.85) else self.happening()
        return form if len(form[2]) == 1 else [form[0], form[1], form[2][:1]]

    def make_unless(self, rule):
        rng = self.rng
        share = rng.random()
        parts = rule["when"][1] if rule["when"][0] == "and" else [rule["when"]]
        own = [part for part in parts if part[0] == "happens" and part[1][0] == "term"]
        if self.job["done"] and share < 0.45:
            procedure, of, result, _ = rng.choice(self.job["done"])
            own = [part for part in own if len(part[2]) == 1]
            since = rng.choice(own) if own and self.chance(0.6) else None
            return ["done", procedure, None if of is None else ["term", of],
                    None if self.chance(0.3) else rng.choice([result, "passed"]), since]
        if share < 0.5:
            return self.plain_condition()
        if share < 0.6:
            return ["happens", ["term", rng.choice(self.parts)], [rng.choice(["removed", "replaced", "cracked"])]]
        if share < 0.65:
            return ["not", ["happens", ["term", rng.choice(self.parts)], [rng.choice(["removed", "replaced"])]]]
        if share < 0.7:
            return ["event", rng.choice(list(EVENTS))]
        if share < 0.75:
            return ["is", ["term", rng.choice(self.sensors)], "touched"]
        if share < 0.85:
            return ["and", [self.plain_condition(), self.side_condition()]]
        return ["condition", rng.choice(list(CONDITIONS))]


def leaves(form):
    """Every sentence of a condition."""
    if form is None:
        return
    if form[0] in ("and", "or"):
        for part in form[1]:
            yield from leaves(part)
    elif form[0] == "not":
        yield from leaves(form[1])
    else:
        yield form


def unknowns(case):
    """How many facts the job leaves unknown that some rule may ask for; never fewer than there are."""
    job = case["job"]
    sentences = [leaf for rule in case["rules"] for form in (rule["when"], rule["unless"]) for leaf in leaves(form)]
    sentences += [leaf for item in case["carrying_out"] for leaf in leaves(item["when"])]
    facts = set()
    for item in case["carrying_out"]:
        if any(entry[0] == "advise" and entry[1] == item["procedure"] for rule in case["rules"] for entry in rule["then"]):
            facts.add(("to be done", item["procedure"], item["of"]))
    told = {fact["what"] for fact in case["facts"] if fact["kind"] == "has" and fact["scope"] is None}
    for what in case["sensors"] + OPTIONS:
        if not (job["equipment_complete"] or what in job["equipped"] + job["not_equipped"] or what in told):
            facts.add(("fitted", what))
    if job["year"] is None:
        facts.add(("year",))
    if not job["work_complete"]:
        facts.add(("work complete",))
    for source in case["sources"]:
        if not source["second"] or source["in_part"] or source["borrowed"] or source["checked"] == "2024-05-20":
            facts.add(("holds", source["name"]))
    for leaf in sentences:
        if leaf[0] == "condition" and job["conditions"].get(leaf[1], "cannot tell") == "cannot tell":
            facts.add(tuple(leaf))
        elif leaf[0] == "event" and leaf[1] not in job["happened"]:
            facts.add(tuple(leaf))
        elif leaf[0] == "choice" and leaf[1] not in job["choices"]:
            facts.add(leaf[1])
        elif leaf[0] == "measure" and job["measured"].get(leaf[1], [0, 1])[1] is not None:
            facts.add((leaf[0], leaf[1]))
        elif leaf[0] == "happens" and set(leaf[2]) & set(FINDINGS) and job["looked"] != "everything":
            places = [leaf[1][1]] if leaf[1][0] == "term" else case["parts"]
            for place in places:
                if place not in job["looked"]:
                    facts.add(("finding", place, tuple(leaf[2])))
        elif leaf[0] == "done" and leaf[4] is not None:
            facts.add(("order", str(leaf)))
    return len(facts)


if __name__ == "__main__":
    print(text_of(generate(int(sys.argv[1]))), end="")
