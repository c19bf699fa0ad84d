#!/bin/sh
# SPDX-License-Identifier: GPL-3.0-or-later
# Builds Benchlore and starts it on a copy of the demo library. Your own library is not touched.
#   sh data/start.sh          goes on with the copy of last time
#   sh data/start.sh --fresh  begins with a fresh copy
# Missing Debian 12 packages are installed first. Works as a user, as root and with sudo.
set -eu
cd "$(dirname "$0")/.."
sh data/packages.sh build

# With sudo, only the packages need root: the rest is done as the person who called it.
if [ "$(id -u)" -eq 0 ] && [ -n "${SUDO_USER:-}" ] && [ "$SUDO_USER" != root ]; then
  exec sudo -u "$SUDO_USER" --preserve-env=DISPLAY,WAYLAND_DISPLAY,XAUTHORITY,XDG_RUNTIME_DIR,DBUS_SESSION_BUS_ADDRESS \
    sh data/start.sh "$@"
fi

build=build
if [ -e build ] && [ ! -w build ] || [ ! -w . ]; then
  build=${XDG_CACHE_HOME:-$HOME/.cache}/benchlore/build
  mkdir -p "$build"
fi
[ -f "$build/build.ninja" ] || meson setup "$build" --buildtype=release
# What the window needs; the tests are built by tests/run.sh.
ninja -C "$build" src/app/benchlore src/cli/benchlore-cli data/demo.benchlore-library data/gschemas.compiled

copy=${XDG_CACHE_HOME:-$HOME/.cache}/benchlore/demo.benchlore-library
if [ "${1:-}" = --fresh ]; then
  rm -f "$copy" "$copy-wal" "$copy-shm"
  shift
fi
mkdir -p "$(dirname "$copy")"
[ -f "$copy" ] || cp "$build/data/demo.benchlore-library" "$copy"

if [ -z "${DISPLAY:-}${WAYLAND_DISPLAY:-}" ]; then
  echo "Built. There is no display to open the window on: run this from a desktop session." >&2
  exit 1
fi
exec meson devenv -C "$build" src/app/benchlore --library "$copy" "$@"
