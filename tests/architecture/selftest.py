#!/usr/bin/env python3
"""Shows that each check can fail: small trees, each with a known breach, and one without any."""

import subprocess
import sys
import tempfile
import unittest
from pathlib import Path

import check
import hardened

HERE = Path(__file__).resolve().parent

GOOD = {
    "src/quantity/mass.hpp": "#pragma once\n#include <string>\n",
    "src/quantity/README.md": "Masses.\n",
    "src/science/heat.hpp": '#pragma once\n#include "quantity/mass.hpp"\n',
    "src/science/heat.cpp": '#include "science/heat.hpp"\n\n#include <cvode/cvode.h>\n',
    "src/science/README.md": "Heat.\n",
    "src/compose/README.md": "Compose.\n",
    "src/compose/solve.cpp": '#include <coin/CbcModel.hpp>\n#include "science/heat.hpp"\n',
    "src/cli/README.md": "Commands.\n",
    "src/cli/main.cpp": '#include <CLI/CLI.hpp>\n#include "compose/solve.hpp"\n',
    "tests/science/heat_test.cpp": '#include <gtest/gtest.h>\n#include "science/heat.hpp"\n',
    "tests/outside/all_test.cpp": '#include "compose/solve.hpp"\n',
    "tests/ifct/package-lock.json": '{ "packages": { "x": { "version": "1.0.0", "integrity": "sha512-x" } } }\n',
    "docs/notes.md": "See https://example.org/work/1 and the folder homework/work/x.\n",
    "build/left.cpp": "/root/ in a build folder is nobody's business\n",
}


def breaches_of(name, changes):
    """The breaches of the good tree with the changes laid over it."""
    with tempfile.TemporaryDirectory() as folder:
        root = Path(folder)
        for file, text in {**GOOD, **changes}.items():
            if text is None:
                continue
            path = root / file
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_text(text, encoding="utf-8")
        _, breaches = check.CHECKS[name](root)
        return breaches


class CanFail(unittest.TestCase):
    def expect(self, name, changes, *starts):
        breaches = breaches_of(name, changes)
        self.assertEqual(len(starts), len(breaches), breaches)
        for start, breach in zip(starts, breaches):
            self.assertTrue(breach.startswith(start), f"{breach!r} does not start with {start!r}")

    def test_a_good_tree_passes_every_check(self):
        for name in check.CHECKS:
            with self.subTest(name):
                self.assertEqual([], breaches_of(name, {}))

    def test_a_proof_that_is_not_there(self):
        self.expect("proofs", {"docs/security.md": "`Heat.IsRight` `Heat.IsKind` `tests/page/none.mjs`\n",
                               "tests/science/heat_test.cpp": "TEST(Heat, IsRight) {}\n"},
                    "docs/security.md:1: there is no test Heat.IsKind", "docs/security.md:1: there is no file tests/page/none.mjs")

    def test_a_room_that_includes_upwards(self):
        self.expect("includes", {"src/science/heat.hpp": '#pragma once\n\n#include "compose/brief.hpp"\n'},
                    "src/science/heat.hpp:3: science may not include compose")

    def test_present_may_not_read_files(self):
        self.expect("includes", {"src/present/sheet.cpp": '#  include "files/json.hpp"\n'},
                    "src/present/sheet.cpp:1: present may not include files")

    def test_a_test_that_includes_upwards(self):
        self.expect("includes", {"tests/science/heat_test.cpp": '#include "process/kit.hpp"\n'},
                    "tests/science/heat_test.cpp:1: science may not include process")

    def test_an_include_that_is_not_rooted(self):
        self.expect("includes", {"src/science/heat.cpp": '#include "../quantity/mass.hpp"\n#include "heat.hpp"\n'},
                    "src/science/heat.cpp:1:", "src/science/heat.cpp:2:")

    def test_a_room_in_angle_brackets(self):
        self.expect("includes", {"src/science/heat.cpp": "#include <quantity/mass.hpp>\n"},
                    "src/science/heat.cpp:1: write")

    def test_a_room_nobody_knows(self):
        self.expect("includes", {"src/misc/all.hpp": "#pragma once\n"}, "src/misc/all.hpp:1: src/misc is not a room")

    def test_every_room_of_the_table_only_uses_rooms_before_it(self):
        names = list(check.ROOMS)
        for name, allowed in check.ROOMS.items():
            self.assertTrue(set(allowed) <= set(names[:names.index(name)]), name)

    def test_a_foreign_library_in_the_wrong_room(self):
        headers = {"CBC": "coin/ClpSimplex.hpp", "SUNDIALS": "nvector/nvector_serial.h", "toml++": "toml++/toml.h",
                   "CLI11": "CLI/CLI.hpp", "SQLite": "sqlite3.h", "HTTP": "httplib.h", "utf8proc": "utf8proc.h"}
        self.assertEqual(set(check.FOREIGN), set(headers))
        for library, header in headers.items():
            with self.subTest(library):
                self.expect("foreign", {"src/gyle/log.cpp": f"#include <{header}>\n"}, f"src/gyle/log.cpp:1: {library}")

    def test_a_foreign_library_in_a_header(self):
        self.expect("foreign", {"src/science/heat.hpp": "#include <sundials/sundials_types.h>\n"},
                    "src/science/heat.hpp:1: SUNDIALS")

    def test_a_solver_in_two_files(self):
        self.expect("foreign", {"src/compose/other.cpp": '#include "coin/OsiClpSolverInterface.hpp"\n'},
                    "src/compose/other.cpp:1: CBC is used in 2 files", "src/compose/solve.cpp:1: CBC is used in 2 files")

    def test_a_long_file(self):
        self.expect("length", {"src/science/heat.cpp": "\n" * 601}, "src/science/heat.cpp:601: 601 lines")
        self.expect("length", {"src/science/heat.cpp": "\n" * 600})

    def test_forbidden_words(self):
        self.expect("words", {"docs/notes.md": "ok\nsee /home/anna/x and\n\"/work/x\"\n"}, "docs/notes.md:2:", "docs/notes.md:3:")
        self.expect("words", {"docs/notes.md": "as the Seed Document says"}, "docs/notes.md:1:")
        self.expect("words", {".npmrc": "registry=https://registry.npmjs.org/"}, ".npmrc:1:")

    def test_a_lock_file_that_names_a_host(self):
        self.expect("lock", {"tests/ifct/package-lock.json": '{\n "resolved": "https://example.org/x-1.0.0.tgz"\n}\n'},
                    "tests/ifct/package-lock.json:2:")

    def test_a_room_without_a_readme(self):
        self.expect("readme", {"src/science/README.md": None}, "src/science/README.md:1:")
        self.expect("readme", {"src/science/README.md": " \n"}, "src/science/README.md:1:")

    def test_an_empty_tree_fails(self):
        for name in check.CHECKS:
            with self.subTest(name), tempfile.TemporaryDirectory() as folder:
                (Path(folder) / "src").mkdir()
                command = [sys.executable, HERE / "check.py", name, folder]
                run = subprocess.run(command, capture_output=True, check=False)
                self.assertEqual(1, run.returncode, run.stdout + run.stderr)

    def test_the_format_check(self):
        for text, status in {"int main() { return 0; }\n": 0, "int main( ) {return 0;}\n": 1}.items():
            with self.subTest(text), tempfile.TemporaryDirectory() as folder:
                (Path(folder) / "src").mkdir()
                (Path(folder) / ".clang-format").write_text((HERE.parents[1] / ".clang-format").read_text())
                (Path(folder) / "src" / "main.cpp").write_text(text)
                command = ["bash", HERE / "format_check.sh", folder]
                run = subprocess.run(command, capture_output=True, check=False)
                self.assertEqual(status, run.returncode, run.stdout + run.stderr)


class Hardened(unittest.TestCase):
    """The same small program, with and without its defences."""

    SOURCE = '#include <cstring>\n#include <cstdio>\nint main(int, char** v) { char b[16]; std::strcpy(b, v[0]); std::puts(b); }\n'
    FULL = ["-O2", "-fPIE", "-pie", "-fstack-protector-strong", "-D_FORTIFY_SOURCE=2", "-fcf-protection=full", "-Wl,-z,relro,-z,now"]

    def missing(self, flags):
        with tempfile.TemporaryDirectory() as folder:
            source, program = Path(folder) / "a.cpp", Path(folder) / "a"
            source.write_text(self.SOURCE, encoding="utf-8")
            subprocess.run(["g++", "-w", *flags, str(source), "-o", str(program)], check=True)
            # A program this small has few functions to mark.
            return [what for what, there in hardened.defences(str(program)).items() if not there and "endbr64" not in what]

    def test_a_program_with_all_of_them_passes(self):
        self.assertEqual([], self.missing(self.FULL))

    def test_each_that_is_left_out_is_named(self):
        for flag, word in {"-pie": "random address", "-fstack-protector-strong": "frame", "-D_FORTIFY_SOURCE=2": "size of buffers",
                           "-Wl,-z,relro,-z,now": "RELRO"}.items():
            without = [other for other in self.FULL if other != flag]
            off = {"-pie": ["-no-pie", "-fno-PIE"], "-fstack-protector-strong": ["-fno-stack-protector"],
                   "-Wl,-z,relro,-z,now": ["-Wl,-z,norelro,-z,lazy"], "-D_FORTIFY_SOURCE=2": ["-U_FORTIFY_SOURCE"]}[flag]
            with self.subTest(flag):
                missing = self.missing(without + off)
                self.assertEqual(1, len(missing), missing)
                self.assertIn(word, missing[0])

    def test_an_executable_stack_is_named(self):
        self.assertTrue(any("stack is not executable" in what for what in self.missing(self.FULL + ["-Wl,-z,execstack"])))


if __name__ == "__main__":
    unittest.main()
