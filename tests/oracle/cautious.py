"""The shapes of case in which the command may ask more than clingo finds needed, never less. See the README."""


def asks_more(case):
    """Whether a case denies a state or a duty while its work list is open, or denies anything while it asks for that."""
    if case["job"]["work_complete"]:
        return False
    forms = [form for rule in case["rules"] for form in (rule["when"], rule["unless"])]
    forms += [item["when"] for item in case["carrying_out"]]
    asked = any(holds("work complete", form) for form in forms)
    return any(hangs(form) for form in forms) or asked and any(holds("not", form) for form in forms)


def holds(kind, form):
    """Whether a form of a kind stands in a condition."""
    if not isinstance(form, (list, tuple)) or not form:
        return False
    return form[0] == kind or any(holds(kind, part) for part in form[1:] if isinstance(part, (list, tuple))) or any(
        holds(kind, inner) for part in form[1:] if isinstance(part, list) for inner in part)


def hangs(form, inside=False):
    """Whether a condition denies a state or a duty."""
    if form is None:
        return False
    if form[0] in ("and", "or"):
        return any(hangs(part, inside) for part in form[1])
    if form[0] == "not":
        return hangs(form[1], True)
    return inside and (form[0] == "due" or form[0] == "is" and form[2] != "touched")
