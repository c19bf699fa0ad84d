#!/bin/bash
# SPDX-License-Identifier: GPL-3.0-or-later
# Runs a command on an X display and a session bus of its own, with throw-away XDG folders, and ends
# them afterwards. Usage: tests/headless.sh COMMAND [ARGUMENT...]
# HEADLESS_SIZE sets the screen (1280x800). The command's exit status is kept; 77 where there is no Xvfb, session bus or xdotool.
set -u
for needed in Xvfb dbus-run-session xdotool; do
  command -v "$needed" >/dev/null || { echo "skipped: no $needed"; exit 77; }
done
folder=$(mktemp -d)
server=
finish ()
{
  [ -n "$server" ] && kill "$server" 2>/dev/null && wait "$server" 2>/dev/null
  rm -rf "$folder"
}
trap finish EXIT
mkdir -m 700 "$folder/run" "$folder/home" "$folder/config" "$folder/data" "$folder/cache"

Xvfb -displayfd 3 -screen 0 "${HEADLESS_SIZE:-1280x800}x24" -nolisten tcp -noreset \
  3>"$folder/display" >"$folder/server.log" 2>&1 &
server=$!
for _ in $(seq 200); do
  [ -s "$folder/display" ] && break
  sleep 0.05
done
[ -s "$folder/display" ] || { cat "$folder/server.log" >&2; exit 99; }

unset WAYLAND_DISPLAY DBUS_SESSION_BUS_ADDRESS AT_SPI_BUS_ADDRESS
export DISPLAY=":$(tr -d '\n' <"$folder/display")"
export XDG_RUNTIME_DIR=$folder/run XDG_CONFIG_HOME=$folder/config XDG_DATA_HOME=$folder/data XDG_CACHE_HOME=$folder/cache
export GDK_BACKEND=x11 GSK_RENDERER=cairo GDK_DEBUG=gl-disable GSETTINGS_BACKEND=memory LC_ALL=${LC_ALL:-C.UTF-8}
dbus-run-session -- "$@" 2> >(grep -v -E 'Failed to set fd limit|dbus-daemon\[|SpiRegistry' >&2)
