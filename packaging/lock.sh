#!/bin/sh
# Makes the lock files anew from pyproject.toml; needs uv. Both hold for Python 3.11 to 3.13 on each system.
set -eu
cd "$(dirname "$0")/.."
lock() { out=$1; shift; uv pip compile --universal --python-version 3.11 --generate-hashes --no-emit-index-url --no-annotate --no-header -q "$@" -o "$out" pyproject.toml; }
lock packaging/lock-test.txt --extra checkout --extra test
lock packaging/lock-run.txt --extra checkout --constraint packaging/lock-test.txt
