"""Writes `underlet/types.py` from the JSON Schemas of the documents that the core writes.

Run it after a schema has changed::

    .venv/bin/python tests/python/write_types.py
"""

from __future__ import annotations

import json
import subprocess
from pathlib import Path
from typing import Any

ROOT = Path(__file__).resolve().parents[2]
TYPES = ROOT / "bindings-python" / "python" / "underlet" / "types.py"
PLAIN = {"string": "str", "number": "float", "integer": "int", "boolean": "bool", "null": "None"}
LONGEST_LINE = 115
HEAD = '''"""The parts of the documents, for annotations. Written from the core's types by tests/python/write_types.py."""

from __future__ import annotations

from typing import Literal, TypeAlias, TypedDict
'''


def schemas() -> dict[str, dict[str, Any]]:
    """Return the core's JSON Schemas of the documents it writes, by the names of their types."""
    command = ["cargo", "run", "--quiet", "--package", "underlet-tests", "--bin", "schemas"]
    done = subprocess.run(command, cwd=ROOT, check=True, stdout=subprocess.PIPE)
    printed = json.loads(done.stdout)
    return {
        "PlanDocument": printed["plan"],
        "WaterDocument": printed["water"],
        "FittedIonsDocument": printed["fitted-ions"],
        "DiagnosisDocument": printed["diagnosis"],
        "TankDocument": printed["tank-ledger"],
    }


def module(documents: dict[str, dict[str, Any]]) -> str:
    """Write the module: shared types first, the documents last."""
    shared = {name: part for schema in documents.values() for name, part in schema["$defs"].items()}
    names = sorted(shared, key=lambda name: "oneOf" not in shared[name])
    parts = [definition(name, shared[name]) for name in names]
    return HEAD + "".join([*parts, *(definition(name, schema) for name, schema in documents.items())])


def definition(name: str, schema: dict[str, Any]) -> str:
    """Write one type: a choice of words, or a dictionary with required keys."""
    doc = about(schema)
    if "oneOf" in schema:
        words = [json.dumps(word["const"]) for word in schema["oneOf"]]
        line = f"{name}: TypeAlias = Literal[{', '.join(words)}]"
        if len(line) > LONGEST_LINE:
            line = f"{name}: TypeAlias = Literal[\n" + "".join(f"    {word},\n" for word in words) + "]"
        return f'\n{line}\n"""{doc}"""\n'
    assert sorted(schema["required"]) == sorted(schema["properties"]), name
    fields = "\n".join(field(key, schema["properties"][key]) for key in schema["required"])
    return f'\n\nclass {name}(TypedDict):\n    """{doc}"""\n\n{fields}'


def field(key: str, schema: dict[str, Any]) -> str:
    """Write one key with its type."""
    doc = about(schema)
    return f'    {key}: {annotation(schema)}\n    """{doc}"""\n'


def about(schema: dict[str, Any]) -> str:
    """Return the description on one line, however its source is wrapped."""
    return " ".join(schema["description"].split())


def annotation(schema: dict[str, Any]) -> str:
    """Name the Python type of a value."""
    if "$ref" in schema:
        return str(schema["$ref"]).rpartition("/")[2]
    if "const" in schema:
        return f"Literal[{json.dumps(schema['const'])}]"
    if "anyOf" in schema:
        return " | ".join(annotation(choice) for choice in schema["anyOf"])
    if isinstance(schema.get("additionalProperties"), dict):
        return f"dict[str, {annotation(schema['additionalProperties'])}]"
    kinds = schema["type"] if isinstance(schema["type"], list) else [schema["type"]]
    names = [f"list[{annotation(schema['items'])}]" if kind == "array" else PLAIN[kind] for kind in kinds]
    return " | ".join(names)


if __name__ == "__main__":
    TYPES.write_text(module(schemas()), encoding="utf-8")
