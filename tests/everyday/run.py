"""Runs the everyday briefs through the program and prints a table; the last line is "N of M pass".

run.py PROGRAM [--part] [--generated N] [--only WORD] [--findings] [--shrink]

known-failures.txt lists what is known to be wrong today: `brief: code code` for a written brief, `drawn: code=count code=count` for those
drawn by chance. It may only shrink: a finding that is not listed fails, and so does a listed one that is gone.
"""

import argparse
import concurrent.futures
import json
import os
import subprocess
import sys
import tempfile
from pathlib import Path

import cures
import generate
import judge
from brief import Brief

HERE = Path(__file__).resolve().parent
LIMIT_S = 90


def asked(program, *words):
    """Exit code and output of one call; a call that takes too long counts as a crash."""
    try:
        done = subprocess.run([program, *map(str, words)], capture_output=True, text=True, timeout=LIMIT_S, check=False)
        return done.returncode, done.stdout, done.stderr
    except subprocess.TimeoutExpired:
        return -1, "", f"no answer in {LIMIT_S} s"


def answer_to(program, path):
    code, out, _ = asked(program, "sheet", path, "--json")
    try:
        answer = json.loads(out)
    except json.JSONDecodeError:
        return {}, {"code": code if code < 0 or code > 100 else 70, "text": "", "sheet": "", "mash code": 0}
    text_code, text, complaints = asked(program, "compose", path)
    run = {"code": code, "text": text + complaints, "sheet": "", "mash code": 0}
    if text_code != code:
        run["code"] = text_code
    if "outcome" in answer and answer["proposals"]:
        run["sheet"] = asked(program, "sheet", path)[1]
        run["mash code"] = asked(program, "mash", path)[0]
    return answer, run


def case(program, path):
    try:
        brief = Brief(path)
        answer, run = answer_to(program, path)
        outcome, findings = judge.judge(brief, answer, run)
        if "outcome" in answer:
            findings += cures.tried(program, brief, answer, asked)
    except (ValueError, KeyError, TypeError, StopIteration) as fault:
        # A brief that the judge cannot read itself is a fault of the suite, unless it is meant to be wrong.
        if "# expect: error" not in path.read_text(encoding="utf-8"):
            return path.stem, "judge", [("judge", repr(fault))]
        code, out, complaints = asked(program, "compose", path)
        outcome = "error" if code == 65 else f"code {code}"
        findings = [] if code == 65 else [("expect-error", f"exit code {code}")]
    allowed = {line.split()[0] for line in brief.all_notes("allows")} if "brief" in locals() else set()
    return path.stem, outcome, [finding for finding in findings if finding[0] not in allowed]


def known_failures():
    known = {}
    for line in (HERE / "known-failures.txt").read_text(encoding="utf-8").splitlines():
        if line.strip() and not line.startswith("#"):
            name, codes = line.split(":")
            known[name.strip()] = set(codes.split())
    return known


def paths_of(options, folder):
    paths = sorted((HERE / "briefs").glob("*.toml"))
    if not paths:
        sys.exit("run.py: there are no briefs")
    if not options.part:
        paths += generate.written(folder, options.generated)
    return [p for p in paths if options.only in p.stem]


def is_drawn(name):
    return name.startswith("made-")


def tally(results):
    counts = {}
    for _, _, findings in results:
        for code in {code for code, _ in findings}:
            counts[code] = counts.get(code, 0) + 1
    return counts


def drawn_against(results, listed):
    """What is worse than the counts listed for the drawn briefs, and what is better, as {code: count}."""
    now = tally([each for each in results if is_drawn(each[0])])
    allowed = {code: int(count) for code, count in (each.split("=") for each in listed)}
    worse = {code: count for code, count in now.items() if count > allowed.get(code, 0)}
    better = {code: now.get(code, 0) for code, count in allowed.items() if now.get(code, 0) < count}
    return worse, better


def report(results, known, options):
    """Prints the table; true if nothing is new and nothing listed is gone."""
    passed, sound = 0, True
    complete = not options.part and not options.only and options.generated == 1000
    worse, better = drawn_against(results, known.get("drawn", set())) if complete else ({}, {})
    for name, outcome, findings in results:
        codes = {code for code, _ in findings}
        listed = codes - set(worse) if is_drawn(name) else known.get(name, set())
        fresh, gone = codes - listed, listed - codes
        passed += not findings
        sound = sound and not fresh and not gone
        if findings or gone or not options.quiet:
            verdict = "NEW" if fresh else "known" if codes else "pass"
            print(f"{verdict:5} {name:34} {outcome:8} {' '.join(sorted(codes))}")
        for code, text in findings:
            if options.findings or code in fresh:
                print(f"        {code}: {text}")
        for code in sorted(gone):
            print(f"        {code} is gone: take it out of known-failures.txt")
    for code, count in sorted({**worse, **better}.items()):
        print(f"drawn briefs: {code} {count} times, listed otherwise in known-failures.txt")
    print("\nFindings by cause")
    for code, count in sorted(tally(results).items(), key=lambda each: -each[1]):
        print(f"  {count:5} {code}")
    print(f"{passed} of {len(results)} pass")
    return sound and not worse and not better


def shrink(results, known):
    """Takes out of known-failures.txt what is gone. Nothing is ever put in."""
    found = {name: {code for code, _ in findings} for name, _, findings in results}
    counts = tally([each for each in results if is_drawn(each[0])])
    lines = []
    for line in (HERE / "known-failures.txt").read_text(encoding="utf-8").splitlines():
        name = line.split(":")[0].strip()
        if name == "drawn" and counts:
            kept = [(code, min(int(count), counts.get(code, 0))) for code, count in
                    (each.split("=") for each in sorted(known[name]))]
            line = "drawn: " + " ".join(f"{code}={count}" for code, count in kept if count)
        elif name in found:
            kept = sorted(known[name] & found[name])
            line = f"{name}: {' '.join(kept)}" if kept else None
        if line is not None:
            lines.append(line)
    (HERE / "known-failures.txt").write_text("\n".join(lines) + "\n", encoding="utf-8")


def main():
    parser = argparse.ArgumentParser()
    parser.add_argument("program")
    parser.add_argument("--part", action="store_true", help="the written briefs alone")
    parser.add_argument("--generated", type=int, default=1000)
    parser.add_argument("--only", default="")
    parser.add_argument("--findings", action="store_true", help="say each finding in words")
    parser.add_argument("--quiet", action="store_true", help="no line for a brief that passes")
    parser.add_argument("--shrink", action="store_true", help="take out of known-failures.txt what is gone")
    options = parser.parse_args()
    known = known_failures()
    with tempfile.TemporaryDirectory() as folder, concurrent.futures.ThreadPoolExecutor(os.cpu_count()) as pool:
        paths = paths_of(options, Path(folder))
        results = list(pool.map(lambda path: case(options.program, path), paths))
    if options.shrink:
        shrink(results, known)
        known = known_failures()
    names = {name for name, _, _ in results}
    stale = [name for name in known if name != "drawn" and name not in names and not options.part and not options.only]
    for name in stale:
        print(f"known-failures.txt names {name}, which is no brief")
    return 0 if report(results, known, options) and not stale else 1


if __name__ == "__main__":
    sys.exit(main())
