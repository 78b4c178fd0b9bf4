"""The words of every generated case: an invented car small enough to try everything that is unknown."""

MAKER = "Brindle"
MODEL = "Sedge"
OTHER_MODEL = "Fen"

# Relation, whether it is followed over several steps. All three pass disturbance.
RELATIONS = {"mounted on": True, "behind": False, "looks through": False}

PARTS = ["front fascia", "radar bracket", "windscreen", "camera bracket", "radar carrier", "undertray"]
SENSORS = ["front radar", "forward camera", "side radar", "rear camera"]
KINDS = {"front sensor": ["front radar", "forward camera"]}
PART_KINDS = {"holder": ["radar bracket", "camera bracket", "radar carrier"]}
OPTIONS = ["comfort pack", "tow package"]

# Operation: its -ing form, its verb on the way, what else it counts as.
OPERATIONS = {
    "replaced": ("replacing", "renews", ["removed"]),
    "removed": ("removing", "takes off", ["loosened"]),
    "loosened": ("loosening", "loosens", []),
    "refinished": ("refinishing", None, []),
    "washed": ("washing", None, []),
}
HARMLESS_OPERATIONS = ["washed"]
FINDINGS = ["cracked", "seen tight"]
HARMLESS_FINDINGS = ["seen tight"]
EVENTS = {"supply lost": "Was the supply lost?", "kerb struck": "Was a kerb struck?"}
STATES = ["misaligned", "suspect"]
CONDITIONS = {
    "supporter connected": "Was a supporter connected?",
    "same part number": "Is the part number the same?",
    "marks kept": "Were the marks kept?",
}
JUDGED_CONDITIONS = ["marks kept"]
CHOICES = {"rear axle": ["solid", "independent", "twist beam"]}
MEASURE, UNIT = "film thickness", "um"
LIMITS = [150, 200, 280]
# In this order: a rule may ask whether one is due only to conclude about a later one.
PROCEDURES = [
    ("static calibration", "sensor"),
    ("wheel alignment", None),
    ("replacement", "part"),
    ("road check", "sensor"),
]
RESULTS = ["passed", "failed"]


def counts_as(operation):
    """The operation and everything it counts as, over several steps."""
    found = [operation]
    for other in OPERATIONS[operation][2]:
        found += [name for name in counts_as(other) if name not in found]
    return found
