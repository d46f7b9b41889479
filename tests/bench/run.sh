#!/usr/bin/env bash
# Builds and runs the benchmarks (libbenchmark-dev is installed where it is missing). Timings are printed, never asserted.
set -euo pipefail
cd "$(dirname "$0")/../.."
# shellcheck source=src/cmake/prepare.sh
. src/cmake/prepare.sh
# shellcheck disable=SC2086
install_missing $build_packages $run_packages libbenchmark-dev
configure_and_build build -DODDPLATE_BENCH=ON -- bench
build/bench "$@"
