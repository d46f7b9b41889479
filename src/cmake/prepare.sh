# Sourced by examples/run.sh and tests/run.sh: what must be installed, and one build tree for both.
# Nothing is installed that is there already; the list is printed first; no package is ever removed.

build_packages="g++ cmake ninja-build pkg-config ccache lld libboost-dev libeigen3-dev nlohmann-json3-dev libcli11-dev libfmt-dev
 libsqlitecpp-dev libsqlite3-dev libsodium-dev libutf8proc-dev libcairo2-dev libpango1.0-dev libqrcodegencpp-dev libmicrohttpd-dev libxlsxwriter-dev
 esbuild"
run_packages="fonts-b612 fonts-dejavu-core"
test_packages="catch2 librapidcheck-dev poppler-utils qpdf zbar-tools python3 sqlite3 chromium"

install_missing() {
    local missing=""
    local package
    for package in "$@"; do
        if [ "$(dpkg-query -W -f='${db:Status-Status}' "$package" 2>/dev/null)" != installed ]; then missing="$missing $package"; fi
    done
    [ -z "$missing" ] && return 0
    echo "installing:$missing"
    local sudo=""
    if [ "$(id -u)" -ne 0 ]; then sudo="sudo"; fi
    $sudo env DEBIAN_FRONTEND=noninteractive apt-get update -qq </dev/null
    # shellcheck disable=SC2086  # a list of names
    $sudo env DEBIAN_FRONTEND=noninteractive apt-get install -y -qq --no-remove --no-install-recommends $missing </dev/null >/dev/null
}

# configure_and_build FOLDER [cmake flags...] -- targets...
configure_and_build() {
    local folder="$1"
    shift
    local flags=()
    while [ $# -gt 0 ] && [ "$1" != "--" ]; do
        flags+=("$1")
        shift
    done
    shift
    local generator=()
    if [ ! -f "$folder/CMakeCache.txt" ]; then generator=(-G Ninja); fi
    cmake -S . -B "$folder" "${generator[@]}" "${flags[@]}" >/dev/null
    if ! cmake --build "$folder" -j"$(nproc)" --target "$@" >"$folder/build.log" 2>&1; then
        grep -E "error|FAILED" "$folder/build.log" | head -n 40 >&2
        echo "the build failed; all of it stands in $folder/build.log" >&2
        return 1
    fi
    tail -n 1 "$folder/build.log"
}
