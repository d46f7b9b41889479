#!/usr/bin/env bash
# Installs what is missing, builds build/oddplate, and runs a whole made-up tasting. Never waits for input.
set -euo pipefail
cd "$(dirname "$0")/.."
# shellcheck source=src/cmake/prepare.sh
. src/cmake/prepare.sh
# shellcheck disable=SC2086
install_missing $build_packages $run_packages
configure_and_build build -- oddplate

into="${1:-build/demo}"
rm -rf "$into"
build/oddplate demo --into "$into"

echo
echo "The page: build/oddplate host --book $into/book.sqlite (for phones in the same network add --bind 0.0.0.0), then open the link that it prints."
