"""Asks clingo and the command the same fresh cases and compares: `live.py --seeds N [--binary PATH] [--from SEED] [--carrying-out]`.

Prints the seeds and what differs; ends with 1 if anything does. `generate.py SEED` prints a case again.
"""

import argparse
import json
import os
import pathlib
import random
import subprocess
import sys
import tempfile

from cautious import asks_more
from encode import TooLarge, outcomes
from generate import generate
from text import text_of, words_text

TOP = pathlib.Path(__file__).resolve().parents[2]


def differences(expected, answer, cautious=False):
    """What the command says otherwise than clingo, in words; `cautious`: where it may leave more open."""
    found = []
    said = {duty["name"]: duty for duty in answer["duties"]}
    for name in sorted(set(said) | set(expected["duties"])):
        want = expected["duties"].get(name, {"verdict": "absent"})["verdict"]
        have = said[name]["verdict"] if name in said else "absent"
        if cautious and have == "open" and holds_all(said[name], expected["duties"].get(name)):
            continue
        if want != have:
            found.append(f"{name}: clingo {want}, the command {have}")
    certain = {(one["sensor"], one["because_of"]): one["certain"] for one in answer["silences"]}
    wanted = {(sensor, event): how == "always" for sensor, event, how in expected["silences"]}
    for key in sorted(set(certain) | set(wanted)):
        # A silence that some completions give may also be shown by an open duty of that sensor.
        shown = any(duty["of"] == key[0] and any(one["outcome"] == "silent" for one in duty["outcomes"])
                    for duty in answer["duties"])
        if wanted.get(key) is False and key not in certain and shown:
            continue
        if cautious and certain.get(key) is False:
            continue
        if wanted.get(key) != certain.get(key):
            words = {None: "no", True: "always", False: "perhaps"}
            found.append(f"silent {key[0]} ({key[1]}): clingo {words[wanted.get(key)]}, "
                         f"the command {words[certain.get(key)]}")
    return found


def holds_all(said, wanted):
    """Whether the outcomes the command leaves open hold all that clingo finds possible."""
    listed = {one["outcome"].replace(" asked", "") for one in said["outcomes"]}
    return wanted is not None and set(wanted["outcomes"]) <= listed


def ask(binary, folder, case):
    """The command's answer to a case, as it prints it for machines."""
    path = pathlib.Path(folder) / "case.knock"
    path.write_text(text_of(case))
    run = subprocess.run([binary, "decide", "--json", str(path)], capture_output=True, text=True, check=False)
    if not run.stdout.strip():
        raise RuntimeError(f"case {case['seed']}: {run.stderr or run.stdout}")
    return json.loads(run.stdout.splitlines()[0])


def main():
    arguments = argparse.ArgumentParser(description=__doc__)
    built = pathlib.Path(os.environ.get("CARGO_TARGET_DIR", TOP / "target"))
    arguments.add_argument("--binary", default=str(built / "release" / "knockon"))
    arguments.add_argument("--seeds", type=int, default=200)
    arguments.add_argument("--from", dest="start", type=int, default=None)
    arguments.add_argument("--carrying-out", action="store_true", help="also sets with what procedures do; see the README")
    given = arguments.parse_args()
    start = random.SystemRandom().randrange(10**6, 10**9) if given.start is None else given.start
    print(f"seeds {start} to {start + given.seeds - 1}")
    wrong, skipped, more, left_out = 0, 0, 0, 0
    with tempfile.TemporaryDirectory() as folder:
        (pathlib.Path(folder) / "words.knock").write_text(words_text())
        for seed in range(start, start + given.seeds):
            case = generate(seed)
            if case["carrying_out"] and not given.carrying_out:
                left_out += 1
                continue
            try:
                expected = outcomes(case)
            except TooLarge:
                skipped += 1
                continue
            answer = ask(given.binary, folder, case)
            found = differences(expected, answer)
            if found and asks_more(case):
                found = differences(expected, answer, cautious=True)
                more += not found
            for line in found:
                print(f"{seed}: {line}")
            wrong += bool(found)
    compared = given.seeds - skipped - left_out
    print(f"{compared} cases compared, {skipped} too large, {left_out} with what procedures do left out, "
          f"in {more} the command asks more, {wrong} differ")
    return 1 if wrong else 0


if __name__ == "__main__":
    sys.exit(main())
