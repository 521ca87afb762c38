#!/usr/bin/env python3
"""Checks of the source tree itself. `check.py NAME ROOT` prints each breach as "file:line: what is wrong" and fails on any.

A check that finds nothing to look at fails too. selftest.py shows each check a tree that breaks it.
"""

import os
import re
import sys
from pathlib import Path

# From the ground up. A room may include itself and the rooms named beside it, nothing else.
ROOMS = {
    "quantity": [],
    "science": ["quantity"],
    "larder": ["quantity", "science"],
    "process": ["quantity", "science", "larder"],
    "compose": ["quantity", "science", "larder", "process"],
    "round": ["quantity", "science", "larder", "process", "compose"],
    "gyle": ["quantity", "science", "larder", "process", "compose"],
    "files": ["quantity", "science", "larder", "process", "compose", "round", "gyle"],
    "store": ["quantity", "science", "larder", "process", "compose", "round", "gyle", "files"],
    "present": ["quantity", "science", "larder", "process", "compose", "round", "gyle"],
    "server": ["quantity", "science", "larder", "process", "compose", "round", "gyle", "files", "store", "present"],
    "cli": ["quantity", "science", "larder", "process", "compose", "round", "gyle", "files", "store", "present", "server"],
}

SUNDIALS = r"(sundials|sunmatrix|sunlinsol|sunnonlinsol|nvector|cvodes?|arkode|kinsol|idas?)/"

# A foreign library: how its headers are called, which files may include them, and how many of those files there may be.
FOREIGN = {
    "CBC": (r"(coin/)?(Cbc|Clp|Cgl|Osi|Coin)\w*\.(h|hpp)$", r"src/compose/[^/]+\.cpp$", 1),
    "SUNDIALS": (SUNDIALS, r"src/science/[^/]+\.cpp$", None),
    "toml++": (r"(toml\+\+/|toml\.hpp$)", r"src/(files|larder)/", None),
    "utf8proc": (r"utf8proc", r"src/larder/plain_words\.cpp$", 1),
    "CLI11": (r"CLI/", r"src/cli/", None),
    "SQLite": (r"(sqlite3|SQLiteCpp/)", r"src/store/[^/]+\.cpp$", None),
    "HTTP": (r"(httplib|boost/(asio|beast)\b)", r"src/server/[^/]+\.cpp$", 1),
}

LINE_LIMIT = 600
SOURCE_SUFFIXES = {".cpp", ".hpp", ".h", ".py", ".sh", ".mjs", ".js", ".cmake"}
NOT_OURS = {".git", "build", "node_modules", ".cache", "__pycache__"}

# What would tie the text to one person's machine, or to papers the reader does not have.
FORBIDDEN = [
    (re.compile(r"(?<![\w.~-])/(home|root|work)/"), "a path of somebody's machine"),
    (re.compile(r"seed\W+document", re.IGNORECASE), "a paper the reader does not have"),
    (re.compile(r"\b(registry\.npmjs|deb\.debian|security\.debian|pypi)\.org\b"), "a registry host"),
]
HOLDS_THE_WORDS = "tests/architecture/"

INCLUDE = re.compile(r'^\s*#\s*include\s*([<"])([^>"]+)[>"]')


def files_below(root, *folders):
    """Every file of ours below the folders (the whole tree if none), as (path, name from the root)."""
    for folder in folders or ("",):
        for place, inner, names in os.walk(root / folder):
            inner[:] = sorted(name for name in inner if name not in NOT_OURS)
            for name in sorted(names):
                path = Path(place) / name
                yield path, path.relative_to(root).as_posix()


def lines_of(path):
    return path.read_text(encoding="utf-8", errors="replace").splitlines()


def includes_below(root, *folders):
    for path, name in files_below(root, *folders):
        if path.suffix in {".cpp", ".hpp", ".h"}:
            numbered = enumerate(lines_of(path), 1)
            yield name, [(number, *match.groups()) for number, line in numbered if (match := INCLUDE.match(line))]


def check_includes(root):
    """Rooms include one way only; tests of a room see what the room sees."""
    seen = 0
    breaches = []
    for name, includes in includes_below(root, "src", "tests"):
        seen += 1
        tree, room = name.split("/")[:2]
        if tree == "src" and room not in ROOMS:
            breaches.append(f"{name}:1: src/{room} is not a room; tests/architecture/check.py lists them")
            continue
        allowed = set(ROOMS[room]) | {room} if room in ROOMS else set(ROOMS)
        for number, bracket, target in includes:
            first = target.split("/")[0]
            if first in ROOMS and "/" in target:
                if bracket == "<":
                    breaches.append(f'{name}:{number}: write "{target}" in quotation marks, it is ours')
                if first not in allowed:
                    breaches.append(f"{name}:{number}: {room} may not include {first}")
            elif bracket == '"' and tree == "src":
                breaches.append(f'{name}:{number}: "{target}" does not start at a room of src/')
    return seen, breaches


def check_foreign(root):
    """Foreign libraries stay in their rooms."""
    seen = 0
    breaches = []
    users = {library: [] for library in FOREIGN}
    for name, includes in includes_below(root, "src"):
        seen += 1
        for number, _, target in includes:
            for library, (header, place, _) in FOREIGN.items():
                if re.match(header, target):
                    if not re.match(place, name):
                        breaches.append(f"{name}:{number}: {library} does not belong here, only in {place}")
                    elif name not in users[library]:
                        users[library].append(name)
    for library, (_, _, most) in FOREIGN.items():
        if most is not None and len(users[library]) > most:
            count = len(users[library])
            breaches += [f"{name}:1: {library} is used in {count} files, at most {most} may" for name in users[library]]
    return seen, breaches


def check_length(root):
    """A file that grows too long hides more than one subject."""
    seen = 0
    breaches = []
    for path, name in files_below(root):
        if path.suffix in SOURCE_SUFFIXES or path.name in {"CMakeLists.txt", "dev"}:
            seen += 1
            length = len(lines_of(path))
            if length > LINE_LIMIT:
                breaches.append(f"{name}:{length}: {length} lines, the limit is {LINE_LIMIT}")
    return seen, breaches


def check_words(root):
    """No text ties the project to one machine."""
    seen = 0
    breaches = []
    for path, name in files_below(root):
        raw = path.read_bytes()
        if name.startswith(HOLDS_THE_WORDS) or b"\0" in raw:
            continue
        seen += 1
        for number, line in enumerate(raw.decode("utf-8", errors="replace").splitlines(), 1):
            for pattern, what in FORBIDDEN:
                if match := pattern.search(line):
                    breaches.append(f"{name}:{number}: {match.group()!r} is {what}")
    return seen, breaches


def check_lock(root):
    """A lock file pins versions and checksums, and leaves the place to fetch them from to the machine."""
    seen = 0
    breaches = []
    for path, name in files_below(root):
        if path.suffix in {".cpp", ".hpp"} or path.name == "package-lock.json":
            seen += 1
        if path.name == "package-lock.json":
            for number, line in enumerate(lines_of(path), 1):
                if re.search(r'"resolved"\s*:\s*"[a-z+]+:', line):
                    breaches.append(f"{name}:{number}: names a host; set omit-lockfile-registry-resolved=true in .npmrc")
    return seen, breaches


def check_readme(root):
    """Each room says at its door what it answers."""
    seen = 0
    breaches = []
    for folder in sorted(path for path in (root / "src").iterdir() if path.is_dir()):
        if not any(path.suffix in {".cpp", ".hpp"} for path in folder.iterdir()):
            continue
        seen += 1
        readme = folder / "README.md"
        if not readme.is_file() or not readme.read_text(encoding="utf-8").strip():
            breaches.append(f"src/{folder.name}/README.md:1: missing or empty")
    return seen, breaches


def check_proofs(root):
    """A test that a document names as its proof is there."""
    tests = {"".join((suite, ".", case)) for path, _ in files_below(root, "tests") if path.suffix == ".cpp"
             for suite, case in re.findall(r"^(?:TEST|TEST_F|TEST_P|RC_GTEST_PROP)\((\w+), (\w+)", path.read_text(encoding="utf-8"), re.M)}
    seen, breaches = 0, []
    for path in (root / "docs" / "security.md", root / "docs" / "asvs.md"):
        if not path.exists():
            continue
        for number, line in enumerate(lines_of(path), 1):
            for named in re.findall(r"`([A-Z]\w+\.\w+)`", line):
                seen += 1
                if named not in tests:
                    breaches.append(f"{path.relative_to(root)}:{number}: there is no test {named}")
            for named in re.findall(r"`(tests/[\w./]+)`", line):
                seen += 1
                if not (root / named).exists():
                    breaches.append(f"{path.relative_to(root)}:{number}: there is no file {named}")
    return seen, breaches


CHECKS = {
    "includes": check_includes,
    "foreign": check_foreign,
    "length": check_length,
    "words": check_words,
    "lock": check_lock,
    "readme": check_readme,
    "proofs": check_proofs,
}


def main():
    if len(sys.argv) != 3 or sys.argv[1] not in CHECKS:
        sys.exit(f"usage: check.py {'|'.join(CHECKS)} ROOT")
    seen, breaches = CHECKS[sys.argv[1]](Path(sys.argv[2]))
    print(*breaches, sep="\n", end="\n" if breaches else "")
    print(f"{sys.argv[1]}: looked at {seen}, {len(breaches)} breaches")
    sys.exit(1 if breaches or seen == 0 else 0)


if __name__ == "__main__":
    main()
