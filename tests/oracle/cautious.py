"""The one shape of case in which the command may ask more than clingo finds needed, never less. See the README."""


def asks_more(case):
    """Whether a case denies a state or a duty while its work list is open."""
    return not case["job"]["work_complete"] and any(
        hangs(form) for rule in case["rules"] for form in (rule["when"], rule["unless"]))


def hangs(form, inside=False):
    """Whether a condition denies a state or a duty."""
    if form is None:
        return False
    if form[0] in ("and", "or"):
        return any(hangs(part, inside) for part in form[1])
    if form[0] == "not":
        return hangs(form[1], True)
    return inside and (form[0] == "due" or form[0] == "is" and form[2] != "touched")
