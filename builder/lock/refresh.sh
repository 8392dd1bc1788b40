#!/bin/sh
# Makes runtime.txt and develop.txt anew from pyproject.toml: one resolution for all systems and Pythons from 3.11 on,
# every file by its hash, no index address. With --newest it takes the newest versions; without, it keeps what still
# fits. Needs uv (`python -m pip install uv` in any environment) and the network.
set -eu

root=$(CDPATH='' cd -- "$(dirname -- "$0")/../.." && pwd)
cd "$root"

uv=$(command -v uv || true)
[ -x .venv/bin/uv ] && uv=.venv/bin/uv
if [ -z "$uv" ]; then
    echo "refresh.sh: uv is needed: python -m pip install uv" >&2
    exit 2
fi

newest=
case ${1-} in
'') ;;
--newest) newest=--upgrade ;;
*)
    echo "usage: sh builder/lock/refresh.sh [--newest]" >&2
    exit 2
    ;;
esac

lock() {
    out=$1
    shift
    # The build backend belongs to both: the project is installed without fetching anything outside the lock.
    # shellcheck disable=SC2086
    printf 'hatchling\n' | "$uv" pip compile pyproject.toml - "$@" $newest \
        --quiet --universal --python-version 3.11 --generate-hashes \
        --no-emit-index-url --no-annotate --no-header --output-file "builder/lock/$out.txt"
    echo "builder/lock/$out.txt: $(grep -c '==' "builder/lock/$out.txt") packages"
}

lock runtime
lock develop --extra develop --constraint builder/lock/runtime.txt
