"""Applies each printed cure to the brief and asks again. A cure is a list of changes {"key", "from", "to"}."""

import copy
import json
import re
import tempfile
from pathlib import Path


def text_of(value):
    if isinstance(value, dict):
        return "{ " + ", ".join(f"{key_text(k)} = {text_of(v)}" for k, v in value.items()) + " }"
    if isinstance(value, list):
        return "[" + ", ".join(text_of(v) for v in value) + "]"
    return json.dumps(value, ensure_ascii=False)


def key_text(key):
    return key if key.replace("-", "").replace("_", "").isalnum() and key.isascii() else json.dumps(key, ensure_ascii=False)


def toml_of(document):
    """The document as a file again: plain keys first, then sections, every entry of a list as [[key]]."""
    lines = [f"{key_text(k)} = {text_of(v)}" for k, v in document.items() if not isinstance(v, (dict, list))]
    for key, value in document.items():
        entries = value if isinstance(value, list) else [value] if isinstance(value, dict) else []
        for entry in entries:
            lines.append(f"[[{key}]]" if isinstance(value, list) else f"[{key}]")
            lines += [f"{key_text(k)} = {text_of(v)}" for k, v in entry.items()]
    return "\n".join(lines) + "\n"


def place_of(document, key):
    """(table, last key) that "want.alcohol", "have[2].amount" or "kit.kettle" points at; None if there is none."""
    path, last = key.rsplit(".", 1)
    found = re.fullmatch(r"(\w+)(?:\[(\d+)\])?", path)
    if not found:
        return None
    section, index = found.groups()
    if index is None:
        return document.setdefault(section, {}), last
    entries = document.get(section, [])
    entries = entries if isinstance(entries, list) else [entries]
    return (entries[int(index) - 1], last) if int(index) <= len(entries) else None


def applied(document, cure):
    changed = copy.deepcopy(document)
    for change in cure["changes"]:
        place = place_of(changed, change["key"])
        if place is None:
            return None
        table, last = place
        table[last] = change["to"]
    return changed


def tried(program, brief, answer, asked):
    """One finding for each cure that does not do what it promises."""
    findings = []
    for clash in answer["clashes"]:
        if clash["least_change"] and "cures" not in clash:
            findings.append(("cure-unreadable", "a least change without what a machine could apply"))
        for cure in clash.get("cures", []):
            changed = applied(brief.document, cure)
            if changed is None:
                findings.append(("cure-fails", f"{cure['words']}: points at nothing"))
                continue
            with tempfile.TemporaryDirectory() as folder:
                path = Path(folder) / brief.path.name
                path.write_text(toml_of(changed), encoding="utf-8")
                code, _, complaints = asked(program, "compose", path, "--json")
            if code != 0:
                findings.append(("cure-fails", f"{cure['words']}: exit code {code} {complaints.strip()[:200]}"))
    return findings
