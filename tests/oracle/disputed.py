"""Which shapes of a case are in dispute between the documents and the evaluator, so that neither is bent to suit.

The README says what each is about. A shape is taken off this list when it is settled.
"""

from generate import leaves


def shapes(case):
    """The names of the disputed shapes a case has."""
    found = set()
    weak = {one["name"] for one in case["sources"]
            if not one["second"] or one["in_part"] or one["borrowed"] or one["checked"] == "2024-05-20"}
    for rule in case["rules"]:
        sentences = list(leaves(rule["when"]))
        kinds = {entry[0] for entry in rule["then"]}
        names_none = any(leaf[0] not in ("happens", "event") for leaf in sentences)
        if rule["source"] in weak and (kinds & {"waive", "waive what"} or rule["unless"] is not None):
            found.add("a text that may not waive, beside another cause")
        if "waive what" in kinds:
            found.add("a rule waived by name")
        if rule["unless"] is not None and names_none and kinds & {"require", "advise"}:
            found.add("an exception for the car as it stands")
        for leaf in sentences:
            if leaf[0] == "is" and leaf[1][0] in ("every", "at least") and leaf[2] == "touched":
                found.add("touched under every")
        if not case["job"]["work_complete"] and any(hangs(form) for form in (rule["when"], rule["unless"])):
            found.add("not a state, not due, with an open work list")
    return found


def hangs(form, inside=False):
    """Whether a condition denies a state or a duty."""
    if form is None:
        return False
    if form[0] in ("and", "or"):
        return any(hangs(part, inside) for part in form[1])
    if form[0] == "not":
        return hangs(form[1], True)
    return inside and (form[0] == "due" or form[0] == "is" and form[2] != "touched")
