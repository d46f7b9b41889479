#!/usr/bin/env bash
# The planning table and d' with its interval: this program, base R and SciPy in one run. R and SciPy are installed here where they are missing; no test
# needs them.   tests/bench/questions.sh
set -euo pipefail
cd "$(dirname "$0")/../.."
# shellcheck source=src/cmake/prepare.sh
. src/cmake/prepare.sh
install_missing r-base-core python3-scipy
ours=$(tests/bench/run.sh --benchmark_filter='planning|d_with_interval|inverse|ten_million' --benchmark_format=json | sed -n '/^{/,$p')
r=$(Rscript tests/bench/questions.R)
scipy=$(/usr/bin/python3 tests/bench/questions.py)
OURS=$ours R=$r SCIPY=$scipy /usr/bin/python3 -c '
import json, os
unit = {"ns": 1e-9, "us": 1e-6, "ms": 1e-3}
ours = {row["name"]: row["cpu_time"] * unit[row["time_unit"]] for row in json.loads(os.environ["OURS"])["benchmarks"]}
for name, took in ours.items():
    print(f"{name:28} {took * 1e6:10.3f} us")
for title, text in (("base R", os.environ["R"]), ("SciPy", os.environ["SCIPY"])):
    theirs = [line.split() for line in text.splitlines()]
    took = {name: float(value) for name, value in theirs if name != "value"}
    print(title + ": the table takes %.2f ms (%.0f times as long), the triangle'"'"'s d with its interval %.1f us (%.0f times as long)"
          % (took["table"] * 1e3, took["table"] / ours["planning/third"], took["d"] * 1e6, took["d"] / ours["d_with_interval/triangle"]))
    print("  30 of 48 there: " + ", ".join(value for name, value in theirs if name == "value"))
'
