"""Stores the cases that `cargo test` decides, with clingo's answers: `store.py` writes answers/ anew.

The first 500 seeds are stored whose case is not too large for clingo, nor one where the command may ask more.
"""

import pathlib
import sys

from cautious import asks_more
from encode import TooLarge, outcomes
from generate import generate
from text import text_of, words_text

HOW_MANY = 500
IN_A_FILE = 100


def stored(seed):
    """A case with its answers, or none."""
    case = generate(seed)
    if asks_more(case):
        return None
    try:
        answer = outcomes(case)
    except TooLarge:
        return None
    lines = [f"=== {seed}", text_of(case).rstrip(), "--- clingo"]
    for name, duty in answer["duties"].items():
        lines.append(f"duty | {name} | {duty['verdict']} | {', '.join(duty['outcomes'])}")
    for sensor, event, how in answer["silences"]:
        lines.append(f"silent | {sensor} | {event} | {how}")
    return "\n".join(lines) + "\n"


def main():
    folder = pathlib.Path(__file__).parent / "answers"
    folder.mkdir(exist_ok=True)
    found, seed = [], 0
    while len(found) < HOW_MANY:
        text = stored(seed)
        if text is not None:
            found.append(text)
        seed += 1
    (folder / "words.knock").write_text(words_text())
    for number in range(HOW_MANY // IN_A_FILE):
        part = found[number * IN_A_FILE:(number + 1) * IN_A_FILE]
        (folder / f"cases-{number + 1}.txt").write_text("".join(part))
    print(f"{len(found)} cases from the seeds 0 to {seed - 1}")


if __name__ == "__main__":
    sys.exit(main())
