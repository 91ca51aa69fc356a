#!/bin/sh
# Makes the five lock files again:  sh requirements/lock.sh [--upgrade]
# Uses the uv that ./test brings, else the one on the PATH.
set -eu
cd -P -- "$(dirname -- "$0")/.."
uv=.venv-test/bin/uv
[ -x "$uv" ] || uv=uv
lock() { "$uv" pip compile -q --universal --python-version 3.11 --generate-hashes --no-header "$@"; }
lock pyproject.toml -o requirements/run.txt "$@"
lock pyproject.toml --extra test -c requirements/run.txt -o requirements/test.txt "$@"
lock pyproject.toml --extra bench -c requirements/test.txt -o requirements/bench.txt "$@"
lock pyproject.toml --extra proof -c requirements/test.txt -o requirements/proof.txt "$@"
lock --group pyproject.toml:installer -o requirements/installer.txt "$@"
