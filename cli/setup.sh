# Shared by cli/demo and tests/run: install Debian packages that are missing; build quietly.

need() {
    missing=
    for package in "$@"; do
        dpkg-query -W -f '${Status}' "$package" 2>/dev/null | grep -q 'ok installed' ||
            missing="$missing $package"
    done
    [ -n "$missing" ] || return 0
    echo "installing:$missing" >&2
    root=
    [ "$(id -u)" -eq 0 ] || root=sudo
    quietly sh -c "$root apt-get update -qq &&
        $root env DEBIAN_FRONTEND=noninteractive DEBCONF_NOWARNINGS=yes \
            apt-get install -y -qq -o Dpkg::Use-Pty=0 --no-install-recommends $missing"
}

# quietly COMMAND: what it says is shown when it fails
quietly() {
    log=$(mktemp)
    if ! "$@" >"$log" 2>&1; then
        cat "$log" >&2
        rm -f "$log"
        exit 1
    fi
    rm -f "$log"
}

# build CMAKE_OPTION FOLDER
build() {
    quietly cmake -S . -B "$2" "$1"
    quietly cmake --build "$2" -j "$(nproc)"
}
