#!/usr/bin/env bash
# What the tests need from the system besides Python: a software OpenGL library for the OpenCascade oracle.
set -eu
python="$1"
if "$python" -c 'import OCP.gp' >/dev/null 2>&1; then exit 0; fi
if command -v apt-get >/dev/null 2>&1 && [ "$(id -u)" = 0 ]; then
    echo "== Installing libgl1, which the solid-modelling oracle of the tests loads"
    apt-get update -q >/dev/null && apt-get install -y -q libgl1 >/dev/null
fi
"$python" -c 'import OCP.gp' || { echo "The tests need libgl1 (Debian package) for their solid-modelling oracle."; exit 1; }
