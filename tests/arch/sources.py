#!/usr/bin/env python3
"""What holds for the sources as text: heavy headers stay where they are, chance comes from one place, names of tests are unique, files stay short.

    sources.py --root .
"""

import argparse
import collections
import pathlib
import re
import sys

# Header -> where it may be included, with the reason.
HOMES = {
    r"nlohmann/": (r"src/core/json\.cpp", "13 s of compiling under sanitizers; everybody else has core's own Json"),
    r"CLI/": (r"src/cli/parse\.cpp", "7 s of compiling, and its texts are for no user"),
    r"boost/": (r"src/stats/(\w+\.cpp|policy\.hpp)", "numbers are the business of one layer"),
    r"(unsupported/)?Eigen/": (r"src/stats/\w+\.cpp", "numbers are the business of one layer"),
    r"sqlite3|SQLiteCpp/": (r"src/book/.*|tests/(unit/book|fault)/.*", "only the book knows SQL"),
    r"sodium\.h": (r"src/core/.*|tests/unit/core/.*", "secrets are made and locked in one place"),
    r"microhttpd": (r"src/web/http\.cpp", "the server is behind our own request and reply"),
    r"cairo|pango/": (r"src/report/.*", "only pages are drawn"),
    r"xlsxwriter": (r"src/report/spreadsheet\.cpp", "opened late, and behind our own sheets"),
    r"rapidcheck": (r"tests/property/.*", "slow to compile"),
    r"random>": (r"(?!)", "its distributions differ between libraries"),
    r"oddplate/core/philox\.hpp": (r"(?!src/draw/|include/oddplate/draw/).*", "its key has 64 bits and it is no cipher: never for a draw"),
}

# Words that no source of the program may hold.
FORBIDDEN = {
    r"std::shuffle|std::random_device|std::mt19937": "chance comes from core, and is the same on every machine",
    r"^using namespace": "a file's names are its own",
    r"\bTO" r"DO\b|\bFIX" r"ME\b": "what is missing is an issue",
}

LONGEST = 400   # lines; at 300 one looks twice


def sources(root, *folders):
    for folder in folders:
        for path in sorted((root / folder).rglob("*")):
            if path.suffix in (".cpp", ".hpp", ".py", ".cmake", ".sql") and path.is_file():
                yield str(path.relative_to(root)), path.read_text(encoding="utf-8")


def misplaced_headers(root):
    for name, text in sources(root, "src", "include", "tests"):
        for header in re.findall(r'^\s*#\s*include\s*[<"]([^>"]+[>"])', text, re.M):
            for pattern, (home, reason) in HOMES.items():
                if re.match(pattern, header) and not re.fullmatch(home, name):
                    yield f"{name}: includes {header[:-1]}, which stays in {home} ({reason})"


def forbidden_words(root):
    for name, text in sources(root, "src", "include"):
        for pattern, reason in FORBIDDEN.items():
            for found in re.finditer(pattern, text, re.M):
                yield f"{name}:{text.count(chr(10), 0, found.start()) + 1}: {found.group()} ({reason})"


def names_that_repeat(root):
    """Two tests of one name leave it open which of them failed."""
    homes = collections.defaultdict(list)
    for name, text in sources(root, "tests"):
        if name.endswith(".cpp"):
            for test in re.findall(r'\b(?:TEMPLATE_)?TEST_CASE\(\s*"((?:[^"\\]|\\.)*)"', text):
                homes[test].append(name)
    if len(homes) < 100:
        yield f"only {len(homes)} tests were found: this check looks in the wrong place"
    for test, names in homes.items():
        if len(names) > 1:
            yield f"two tests are named \"{test}\": {', '.join(names)}"


def files_too_long(root):
    for name, text in sources(root, "src", "include", "tests"):
        if text.count("\n") > LONGEST:
            yield f"{name}: {text.count(chr(10))} lines, at most {LONGEST}"


TOP = {"CMakeLists.txt", "README.md", "DEVELOPERS.md", "src", "include", "designs", "tests", "examples"}


def strays_at_the_top(root):
    """Eight names, dotfiles and build trees: whatever else lies there was left behind."""
    for path in sorted(root.iterdir()):
        if path.name not in TOP and not path.name.startswith((".", "build")):
            yield f"{path.name}: at the top level stand only {', '.join(sorted(TOP))}"


def main():
    arguments = argparse.ArgumentParser()
    arguments.add_argument("--root", required=True, type=pathlib.Path)
    root = arguments.parse_args().root
    faults = [fault for rule in (misplaced_headers, forbidden_words, names_that_repeat, files_too_long, strays_at_the_top) for fault in rule(root)]
    print("\n".join(faults) or "headers, words, names and lengths are as they should be")
    return 1 if faults else 0


if __name__ == "__main__":
    sys.exit(main())
