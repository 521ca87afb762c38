#!/usr/bin/env python3
"""attack.py BINARY: attacks `oddgrist serve` from outside, on loopback only: plain and with TLS as a stranger, then as a device that is let
in. Every attack is bounded; throughout, the program must stay up, under 64 MB, and say within a second that it is well. The last line
counts; exit code 1 if there is a hole."""
import signal
import subprocess
import sys
import tempfile
import time
from pathlib import Path

sys.dont_write_bytecode = True

import attacks  # noqa: E402
from target import SECRET_NAME, Target  # noqa: E402


def prepare(binary, folder):
    brief = attacks.ROOT / "examples/saltmarsh-round.toml"
    subprocess.run([binary, "gyle", "start", SECRET_NAME, brief, "--store", folder / "store.db"], check=True, capture_output=True)


def run_one(target, name, one):
    began = time.monotonic()
    try:
        found = one(target)
    except OSError as trouble:
        found = [f"broke off: {trouble}"]
    found += target.holes()
    told = "no hole" if not found else f"{len(found)} HOLES"
    print(f"  {name:8} {one.__name__.replace('_', ' '):32} {told:10} {time.monotonic() - began:6.1f} s", flush=True)
    for hole in found[:5]:
        print(f"           {hole[:200]}", flush=True)
    return found


def attack(binary, name, secure, ask_codes, chosen):
    """Runs the attacks on a program of their own; returns how many, and what was found."""
    holes = []
    with tempfile.TemporaryDirectory(prefix="oddgrist-attack-") as place:
        folder = Path(place)
        prepare(binary, folder)
        target = Target(binary, folder, secure, ask_codes)
        try:
            for one in chosen:
                holes += run_one(target, name, one)
                if target.process.poll() is not None:
                    print(target.said().decode(errors="replace")[-2000:])
                    break
            else:
                print(f"  {name:8} at most {target.resident_kb('VmHWM')} kB of memory", flush=True)
        finally:
            at_the_end = target.end()
            holes += at_the_end
            for hole in at_the_end:
                print(f"  {name:8} {hole}", flush=True)
    return len(chosen), holes


def main():
    if len(sys.argv) not in (2, 3):
        sys.exit("usage: attack.py BINARY [NAME OF AN ATTACK]")
    signal.signal(signal.SIGTERM, lambda *_: sys.exit(1))  # so that the program is ended too
    binary = Path(sys.argv[1]).resolve()
    only = sys.argv[2] if len(sys.argv) == 3 else ""
    everybody = attacks.MEMORY + attacks.TIME + attacks.SHAPES + attacks.STRANGER
    count, holes = 0, []
    for name, secure, ask_codes, chosen in (("plain", False, True, everybody), ("TLS", True, True, attacks.TLS + everybody),
                                            ("let in", False, False, attacks.LET_IN)):
        chosen = [one for one in chosen if only in one.__name__]
        if chosen:
            done, found = attack(binary, name, secure, ask_codes, chosen)
            count += done
            holes += found
    print(f"{count} attacks, {len(holes)} holes")
    sys.exit(1 if holes or count == 0 else 0)


if __name__ == "__main__":
    main()
