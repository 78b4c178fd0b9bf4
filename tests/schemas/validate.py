"""Checks the JSON schemas, and every answer to the jobs of some folders against them, with an outside implementation.

    python3 tests/schemas/validate.py COMMAND FOLDER...

COMMAND is the built `knockon`. It needs the package `jsonschema`. The test program of the repository checks the same
answers, and many more, with a small validator of its own; this one is there so that both can be seen to agree.
"""

import json
import pathlib
import subprocess
import sys

from jsonschema import Draft202012Validator
from referencing import Registry, Resource

FOLDER = pathlib.Path(__file__).resolve().parents[2] / "lang" / "reference" / "schemas"


def main() -> int:
    command, folders = sys.argv[1], sys.argv[2:]
    schemas = {path.name: json.loads(path.read_text()) for path in sorted(FOLDER.glob("*.json"))}
    for schema in schemas.values():
        Draft202012Validator.check_schema(schema)
    registry = Registry().with_resources((name, Resource.from_contents(schema)) for name, schema in schemas.items())
    validator = Draft202012Validator(schemas["answer.schema.json"], registry=registry)
    answers, wrong = 0, 0
    for path in sorted(path for folder in folders for path in pathlib.Path(folder).rglob("*.knock")):
        run = subprocess.run([command, "decide", "--json", str(path)], capture_output=True, text=True, check=False)
        for line in run.stdout.splitlines():
            answers += 1
            for error in validator.iter_errors(json.loads(line)):
                wrong += 1
                print(f"{path}: {'/'.join(str(part) for part in error.absolute_path)}: {error.message}")
    # A schema that takes anything would pass the above.
    loose = [value for value in ({}, {"form": "knockon-answer"}, []) if validator.is_valid(value)]
    print(f"{len(schemas)} schemas, {answers} answers, {wrong} wrong")
    return 0 if answers > 20 and not wrong and not loose else 1


if __name__ == "__main__":
    sys.exit(main())
