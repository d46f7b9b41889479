#!/usr/bin/env bash
# Installs what is missing, builds everything, runs every test. The last line says how many passed and failed.
#   tests/run.sh            all tests with the release build
#   tests/run.sh sanitize   the unit tests again under ASan and UBSan
set -euo pipefail
cd "$(dirname "$0")/.."
# shellcheck source=src/cmake/prepare.sh
. src/cmake/prepare.sh
# shellcheck disable=SC2086
install_missing $build_packages $run_packages $test_packages
command -v node >/dev/null || install_missing nodejs
command -v npm >/dev/null || install_missing npm
(cd tests/web/browser && npm ci --ignore-scripts --no-audit --no-fund --silent)

folder=build
flags=(-DODDPLATE_TESTS=ON)
only=()
if [ "${1:-}" = sanitize ]; then
    folder=build-sanitize
    flags+=(-DODDPLATE_SANITIZE=address,undefined)
    only=(-L fast)
fi
configure_and_build "$folder" "${flags[@]}" -- all

log="$folder/tests.log"
status=0
ctest --test-dir "$folder" --output-on-failure -j"$(nproc)" "${only[@]}" | tee "$log" || status=$?
total=$(sed -n 's/.* tests failed out of \([0-9]*\)$/\1/p' "$log" | tail -n 1)
failed=$(sed -n 's/.*, \([0-9]*\) tests failed out of [0-9]*$/\1/p' "$log" | tail -n 1)
echo "$((total - failed)) passed, $failed failed"
exit "$status"
