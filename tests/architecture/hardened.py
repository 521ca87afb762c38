"""Reads a program the way a loader does (readelf, of binutils) and says which defences it lacks.

usage: hardened.py PROGRAM    prints a line for each defence; exit code 1 when one is missing
"""
import re
import subprocess
import sys


ENDBR64 = b"\xf3\x0f\x1e\xfa"
FEWEST_MARKS = 1000  # a program without the option has a dozen, from the start files


def landing_marks(program):
    with open(program, "rb") as file:
        return file.read().count(ENDBR64)


def readelf(program, *flags):
    return subprocess.run(["readelf", "-W", *flags, program], check=True, capture_output=True, text=True).stdout


def defences(program):
    header, segments = readelf(program, "-h"), readelf(program, "-l")
    dynamic, symbols = readelf(program, "-d"), readelf(program, "--dyn-syms")
    stack = re.search(r"GNU_STACK.*", segments)
    loads = re.findall(r"^\s+LOAD\s+.*$", segments, re.M)
    return {
        "loads at a random address (position-independent)": "DYN (" in header
        and re.search(r"\(FLAGS_1\).*PIE", dynamic) is not None,
        "relocations are read-only before main (RELRO, BIND_NOW)": "GNU_RELRO" in segments
        and ("(BIND_NOW)" in dynamic or re.search(r"\(FLAGS_1\).*NOW", dynamic) is not None),
        "the stack is not executable": stack is not None and "RWE" not in stack.group(0),
        "no page is both writable and executable": bool(loads) and not any("RWE" in line for line in loads),
        "functions with buffers check their frame (__stack_chk_fail)": "__stack_chk_fail" in symbols,
        "library calls know the size of buffers (_FORTIFY_SOURCE)": re.search(r"__\w+_chk\b", symbols.replace("__stack_chk_fail", ""))
        is not None,
        # Marks of x86-64 alone. That every function has one is ours; the note that switches the processor's check on is the linker's, and it
        # leaves it out because Debian 12's own start files carry none.
        "functions carry landing marks for indirect jumps (endbr64)": "X86-64" not in header or landing_marks(program) >= FEWEST_MARKS,
    }


def main():
    missing = 0
    for what, there in defences(sys.argv[1]).items():
        print(("yes  " if there else "NO   ") + what)
        missing += not there
    return 1 if missing else 0


if __name__ == "__main__":
    sys.exit(main())
