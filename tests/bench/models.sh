#!/usr/bin/env bash
# Mixed model on 3,000 tasters x 4: this program, with profile limits, against the general package in R, without. R is installed here where it
# is missing; no test needs it.   tests/bench/models.sh
set -euo pipefail
cd "$(dirname "$0")/../.."
# shellcheck source=src/cmake/prepare.sh
. src/cmake/prepare.sh
install_missing r-cran-lme4
ours=$(tests/bench/run.sh --benchmark_filter='mixed_model/two_afc' --benchmark_format=json | sed -n '/^{/,$p')
Rscript tests/bench/models.R | OURS=$ours python3 -c '
import json, os, sys
ours = json.loads(os.environ["OURS"])["benchmarks"][0]
took, height = ours["real_time"], ours["log_likelihood"]
print(f"here, with limits: {took:.2f} ms, log-likelihood {height:.8f}")
for line in sys.stdin:
    points, seconds, theirs = line.split()
    ratio = float(seconds) * 1000 / took
    print(f"R, {points} points, without: {float(seconds) * 1000:.0f} ms, log-likelihood {theirs}: {ratio:.0f} times as long")
'
