#!/usr/bin/env bash
# What the tests need from the system besides Python: a software OpenGL library for the OpenCascade oracle, the
# Chromium browser in which the pages are tried, and node for the tests of their scripts.
set -eu
python="$1"
wanted=()
"$python" -c 'import OCP.gp' >/dev/null 2>&1 || wanted+=(libgl1)
command -v chromium >/dev/null 2>&1 || wanted+=(chromium)
command -v node >/dev/null 2>&1 || wanted+=(nodejs)
if [ ${#wanted[@]} -gt 0 ] && command -v apt-get >/dev/null 2>&1 && [ "$(id -u)" = 0 ]; then
    echo "== Installing ${wanted[*]} for the tests"
    apt-get update -q >/dev/null && apt-get install -y -q "${wanted[@]}" >/dev/null
fi
"$python" -c 'import OCP.gp' || { echo "The tests need libgl1 (Debian package) for their solid-modelling oracle."; exit 1; }
command -v chromium >/dev/null 2>&1 || { echo "The tests need chromium (Debian package) to try the pages."; exit 1; }
command -v node >/dev/null 2>&1 || { echo "The tests need nodejs (Debian package) to try the pages' scripts."; exit 1; }
