#!/usr/bin/env bash
# Linear mixed model on 10,000 tasters x 6 samples: this program against the general package in R, in one run. R is installed here where it is
# missing; no test needs it.   tests/bench/linear_mixed.sh
set -euo pipefail
cd "$(dirname "$0")/../.."
# shellcheck source=src/cmake/prepare.sh
. src/cmake/prepare.sh
install_missing r-cran-lme4
ours=$(tests/bench/run.sh --benchmark_filter='linear_mixed/large_10000_x_6$' --benchmark_format=json | sed -n '/^{/,$p')
Rscript tests/bench/linear_mixed.R | OURS=$ours python3 -c '
import json, os, sys
ours = json.loads(os.environ["OURS"])["benchmarks"][0]
took, height = ours["real_time"], ours["deviance"]
print(f"here: {took:.2f} ms, deviance {height:.8f}")
seconds, theirs = sys.stdin.read().split()
print(f"R: {float(seconds) * 1000:.0f} ms, deviance {theirs}: {float(seconds) * 1000 / took:.0f} times as long")
'
