#!/bin/sh
# From a bare checkout to finished cards (demo) or to a tested tree (test), with nothing but a POSIX shell and Python.
# Everything Python lands in .venv, pinned by hash; system libraries come by apt where that is allowed, else one line
# says what to install. Safe to run again: what is already in place is left alone.
set -eu

usage() {
    cat <<'TEXT'
usage: sh builder/bootstrap.sh demo    check and build the procedures of this checkout into out/
       sh builder/bootstrap.sh test    lint, type check and run every test, those with PDF and browser included

Needs Python 3.11 or newer; PYTHON=/path/to/python names a certain one. The environment is .venv in the checkout.
TEXT
}

say() { printf 'bootstrap: %s\n' "$*"; }
die() {
    printf 'bootstrap: %s\n' "$*" >&2
    exit 1
}

# --- Python -----------------------------------------------------------------------------------------------------------

# Whether $1 runs and is new enough.
is_python() { "$1" -c 'import sys; sys.exit(sys.version_info < (3, 11))' </dev/null >/dev/null 2>&1; }

find_python() {
    if [ -n "${PYTHON-}" ]; then
        is_python "$PYTHON" || die "PYTHON=$PYTHON does not run, or is older than Python 3.11"
        python=$PYTHON
        return
    fi
    for python in python3.14 python3.13 python3.12 python3.11 python3 python; do
        if is_python "$python"; then
            return
        fi
    done
    die "no Python 3.11 or newer found (looked for python3.14, python3.13, python3.12, python3.11, python3, python)"
}

# Debian and its kin ship Python without the part that makes environments; the package that has it is named after both.
need_ensurepip() {
    if "$python" -c 'import ensurepip, venv' >/dev/null 2>&1; then
        return
    fi
    package=$("$python" -c 'import sys; print("python%d.%d-venv" % sys.version_info[:2])')
    apt_install "$package" || true
    "$python" -c 'import ensurepip, venv' >/dev/null 2>&1 ||
        die "$python cannot make environments; on Debian or Ubuntu: sudo apt-get install $package"
}

# --- the environment --------------------------------------------------------------------------------------------------

# One line that changes with whatever the environment depends on.
digest() {
    "$1" - "builder/lock/$2.txt" pyproject.toml <<'TEXT'
import hashlib, os, sys
h = hashlib.sha256(repr((sys.version, os.getcwd())).encode())
for name in sys.argv[1:]:
    with open(name, "rb") as file:
        h.update(file.read())
print(h.hexdigest())
TEXT
}

# Whether the environment holds the lock $1 already; develop holds runtime too.
is_ready() {
    [ ! -e .venv/making ] && is_python .venv/bin/python || return 1
    [ -z "${PYTHON-}" ] || [ "$("$PYTHON" -V 2>&1)" = "$(.venv/bin/python -V 2>&1)" ] || return 1
    for lock in "$1" develop; do
        if [ -f ".venv/ready-$lock" ] && [ "$(cat ".venv/ready-$lock")" = "$(digest .venv/bin/python "$lock")" ]; then
            return 0
        fi
    done
    return 1
}

# Makes .venv hold exactly the lock $1 (runtime or develop) and this project.
make_environment() {
    if is_ready "$1"; then
        return
    fi
    find_python
    need_ensurepip
    # Half made, or made for another lock or Python: begin anew. One that somebody made by hand is filled instead.
    if [ -e .venv/making ] || [ -e .venv/ready-runtime ] || [ -e .venv/ready-develop ] ||
        ! is_python .venv/bin/python || ! .venv/bin/python -m pip --version >/dev/null 2>&1; then
        rm -rf .venv
    fi
    mkdir -p .venv
    : >.venv/making
    if [ ! -x .venv/bin/python ]; then
        say "making .venv with $("$python" -V 2>&1)"
        "$python" -m venv .venv
    fi
    say "installing the packages of builder/lock/$1.txt"
    pip_install --require-hashes --only-binary :all: -r "builder/lock/$1.txt"
    pip_install --no-deps --no-build-isolation --no-index --editable .
    digest .venv/bin/python "$1" >".venv/ready-$1"
    rm .venv/making
}

pip_install() {
    .venv/bin/python -m pip --no-input --disable-pip-version-check --quiet install "$@" </dev/null ||
        die "pip could not install (its message stands above); run this again once that is mended"
}

# --- system libraries -------------------------------------------------------------------------------------------------

as_root() {
    if [ "$(id -u)" = 0 ]; then
        "$@"
    else
        sudo -n "$@"
    fi
}

# Installs Debian packages where that needs no question; otherwise returns 1.
apt_install() {
    command -v apt-get >/dev/null 2>&1 || return 1
    [ "$(id -u)" = 0 ] || sudo -n true </dev/null >/dev/null 2>&1 || return 1
    say "installing system packages: $*"
    # With one source out of reach the package may still be had from another.
    as_root apt-get -qq update </dev/null || say "apt-get update failed; trying with the lists at hand"
    as_root env DEBIAN_FRONTEND=noninteractive apt-get -qq -y --no-install-recommends install "$@" </dev/null >/dev/null
}

has_pango() {
    .venv/bin/python -c 'import sys; from weasyprint.text import ffi; sys.exit(ffi.harfbuzz_subset is None)' >/dev/null 2>&1
}

has_browser() { command -v chromium >/dev/null 2>&1; }

has_ngspice() { command -v ngspice >/dev/null 2>&1; }

has_poppler() { command -v pdftotext >/dev/null 2>&1 && command -v pdftoppm >/dev/null 2>&1; }

# Prints the Debian packages that the verb $1 still lacks; the answer about Pango is kept, since asking takes a second.
missing() {
    if [ ! -e .venv/has-pango ]; then
        if has_pango; then : >.venv/has-pango; else echo libpango-1.0-0 libpangoft2-1.0-0 libharfbuzz-subset0; fi
    fi
    if [ "$1" = test ]; then
        has_browser || echo chromium
        has_poppler || echo poppler-utils
        has_ngspice || echo ngspice
    fi
}

need_system() {
    lacking=$(missing "$1" | tr '\n' ' ')
    [ -n "$lacking" ] || return 0
    # shellcheck disable=SC2086
    apt_install $lacking || true
    lacking=$(missing "$1" | tr '\n' ' ')
    [ -n "$lacking" ] || return 0
    cat >&2 <<TEXT
bootstrap: system libraries are missing: ${lacking% }. Install them and run this again:
  Debian, Ubuntu:  sudo apt-get install libpango-1.0-0 libpangoft2-1.0-0 libharfbuzz-subset0 chromium poppler-utils ngspice
  Fedora:          sudo dnf install pango harfbuzz chromium poppler-utils ngspice
  macOS:           brew install pango poppler ngspice && brew install --cask chromium
(chromium, poppler and ngspice are needed by the tests only)
TEXT
    exit 1
}

# --- verbs ------------------------------------------------------------------------------------------------------------

# Byte code ahead of time, also where the shell forbids Python to leave any: it is a third of the time of a start.
compile_ahead() { .venv/bin/python -m compileall -q builder/benchleaf; }

demo() {
    make_environment runtime
    need_system demo
    compile_ahead
    say "checking procedures/"
    .venv/bin/benchleaf check </dev/null
    say "building into out/"
    .venv/bin/benchleaf build </dev/null
    say "done: open $root/out/index.html; the cards and checklists stand in the folders beside it"
}

# Runs the check named $1; a failure is remembered, so that one run shows all that is wrong.
gate() {
    name=$1
    shift
    say "$name"
    "$@" </dev/null || failed="$failed $name,"
}

run_tests() {
    make_environment develop
    need_system test
    compile_ahead
    failed=
    gate "ruff check" .venv/bin/ruff check
    gate "ruff format" .venv/bin/ruff format --check
    gate "mypy" .venv/bin/mypy
    gate "pytest" .venv/bin/python -m pytest -n 2 --dist loadfile -q
    [ -z "$failed" ] || die "failed:${failed%,}"
    say "all green"
}

unset PYTHONPATH PYTHONHOME
root=$(CDPATH='' cd -- "$(dirname -- "$0")/.." && pwd)
cd "$root"

case ${1-} in
demo) demo ;;
test) run_tests ;;
-h | --help) usage ;;
*)
    usage >&2
    exit 2
    ;;
esac
