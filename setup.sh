# Read by ./run and ./test (". ./setup.sh"), never started by itself. POSIX sh.
#
#   prepare VENV LOCK MEGABYTES   VENV holds exactly what LOCK names, and can import headstock from src/
#   system_package COMMAND NAME   COMMAND is there, or the Debian package NAME is installed, or its name is said
#
# "set -e" does not reach into "f || die", so every step inside a function ends in its own "|| return 1".

say() { printf '%s\n' "headstock: $*" >&2; }
type_this() { printf '    %s\n' "$*" >&2; }
die() { say "$@"; exit 1; }

# Another tool's modules must not come before ours, nor another tool's home replace that of the environment.
unset PYTHONPATH PYTHONHOME PIP_TARGET PIP_PREFIX PIP_USER PIP_REQUIRE_HASHES

# The first Python that really starts and is new enough. What a package offers wheels for comes first.
find_python() {
    for python in "${PYTHON:-}" python3 python3.13 python3.12 python3.14 python3.11; do
        [ -n "$python" ] || continue
        "$python" -c 'import sys; sys.exit(not (3, 11) <= sys.version_info[:2] <= (3, 14))' 2>/dev/null && return 0
    done
    for python in python3 python; do
        "$python" -c 'import sys; sys.exit(sys.version_info[:2] < (3, 11))' 2>/dev/null && return 0
    done
    say "needs Python 3.11 or newer, and found none. Install it: on Debian and Ubuntu"
    type_this "sudo apt-get update && sudo apt-get install python3 python3-venv"
    say "on macOS"
    type_this "brew install python"
    say "or, if there is one in a place of its own"
    type_this "PYTHON=/path/to/python3 $0"
    return 1
}

# apt-get as root without a question asked, or exactly what to type. $1: why it is needed; the rest: package names.
install_system_packages() {
    why=$1
    shift
    if [ "$(id -u)" = 0 ] && command -v apt-get >/dev/null 2>&1; then
        say "installing $* ($why)"
        DEBIAN_FRONTEND=noninteractive apt-get -qq update >/dev/null </dev/null &&
            DEBIAN_FRONTEND=noninteractive apt-get -qq -y -o Dpkg::Use-Pty=0 install --no-install-recommends "$@" \
                >/dev/null </dev/null && return 0
        say "apt-get could not install $*"
        return 1
    fi
    say "$why is missing. On Debian and Ubuntu type"
    type_this "sudo apt-get update && sudo apt-get install --no-install-recommends $*"
    say "elsewhere install what brings it, then start again."
    return 1
}

# For what a test or a sheet needs from the system: one command, one package.
system_package() {
    command -v "$1" >/dev/null 2>&1 || install_system_packages "$1" "$2"
}

make_venv() {
    # What a killed start left running may still be writing here for a moment.
    rm -rf "$1" 2>/dev/null || { sleep 3 && rm -rf "$1"; } || return 1
    find_python || return 1
    if ! "$python" -c 'import ensurepip, venv' 2>/dev/null; then # Debian keeps these in a package of their own
        if command -v uv >/dev/null 2>&1; then
            uv venv -q --no-python-downloads --python "$python" "$1" || return 1
            return 0
        fi
        install_system_packages "Python's venv module" \
            "$("$python" -c 'import sys; print("python%d.%d-venv" % sys.version_info[:2])')" || return 1
    fi
    "$python" -m venv "$1" || return 1
}

# uv is about ten times faster than pip; pip is what is left where uv cannot be had or cannot reach its index.
fill_venv() {
    in_venv=$1/bin/python
    fast=uv
    command -v uv >/dev/null 2>&1 || {
        fast=$1/bin/uv
        "$in_venv" -m pip install -q --disable-pip-version-check --retries 1 --no-deps --require-hashes \
            -r requirements/installer.txt 2>/dev/null || fast=
    }
    if [ -z "$fast" ] ||
        ! "$fast" pip install -q --compile-bytecode --no-deps --require-hashes --python "$in_venv" -r "$2"; then
        say "uv could not do it, trying pip (slower)"
        "$in_venv" -m pip install -q --disable-pip-version-check --no-deps --require-hashes -r "$2" || return 1
    fi
    # A plain path file: no build step, and an edit under src/ is there at the next start.
    site=$("$in_venv" -c 'import sysconfig; print(sysconfig.get_path("purelib"))') || return 1
    printf '%s\n' "$PWD/src" >"$site/headstock_src.pth" || return 1
    "$in_venv" -c 'import headstock' || return 1
}

# Two starts at once: the holder's number is the target of a symbolic link, so that lock and number appear in one act.
take_lock() {
    lock=$1
    waited_s=0
    until ln -s "pid-$$" "$lock" 2>/dev/null; do
        link=$(readlink "$lock") || link=
        if [ -z "$link" ]; then
            # Gone between the two looks, or the folder cannot be written to at all.
            [ -w . ] || die "cannot write to $PWD"
            [ ! -e "$lock" ] || die "$PWD/$lock is in the way: remove it"
        elif ! kill -0 "${link#pid-}" 2>/dev/null; then
            # The holder died. Renaming is one act too: of several waiters one gets the link, and puts back a live one.
            if mv "$lock" "$lock.$$" 2>/dev/null && [ "$(readlink "$lock.$$")" != "$link" ]; then
                mv "$lock.$$" "$lock" || return 1
            fi
            rm -f "$lock.$$"
        elif [ "$waited_s" = 0 ]; then
            say "another start is preparing this folder, waiting for it"
        fi
        [ "$waited_s" -lt 900 ] || die "waited a quarter of an hour for process ${link#pid-}; remove $PWD/$lock if it is not ours"
        waited_s=$((waited_s + 1))
        sleep 1
    done
    trap 'rm -f "$lock"' EXIT
    trap 'exit 129' HUP
    trap 'exit 130' INT
    trap 'exit 143' TERM
}

drop_lock() {
    rm -f "$lock"
    trap - EXIT HUP INT TERM
}

is_ready() { [ -x "$1/bin/python" ] && [ -f "$1/.ready" ] && [ "$(cat "$1/.ready")" = "$key" ]; }

prepare() {
    # The folder is part of the key: a moved copy has scripts that point at the old place.
    [ -r "$2" ] || die "cannot read $PWD/$2"
    key=$({ cat "$2" requirements/installer.txt setup.sh && printf '%s' "$PWD"; } | cksum)
    is_ready "$1" && return 0
    take_lock "$1.lock"
    if ! is_ready "$1"; then # else another start made it while this one waited
        say "first start with this version, about $3 MB to download"
        rm -f "$1/.ready"
        make_venv "$1" || die "could not make $1. The next start begins again"
        fill_venv "$1" "$2" || die "could not fill $1 from $2 (is there a network?). The next start begins again"
        printf '%s\n' "$key" >"$1/.ready" || die "cannot write $1/.ready"
    fi
    drop_lock
}
