#!/bin/sh
# SPDX-License-Identifier: GPL-3.0-or-later
# Pictures of the program on the demo library, light and dark, in two sizes, to be looked at by a person.
# Usage: tests/app/shots.sh BUILD-FOLDER FOR-PICTURES [SIZE...]
# Needs Xvfb, a session bus (tests/headless.sh brings both), xdotool and ImageMagick.
set -eu
build=${1:?usage: shots.sh BUILD-FOLDER FOR-PICTURES [SIZE...]}
out=${2:?usage: shots.sh BUILD-FOLDER FOR-PICTURES [SIZE...]}
shift 2
here=$(dirname "$0")
mkdir -p "$out"

if [ "${SHOTS_INSIDE:-}" = yes ]; then
  library=$out/shots.benchlore-library
  rm -f "$library" "$library"-*
  cp "$build/data/demo.benchlore-library" "$library"
  "$build/src/app/benchlore" --library "$library" &
  program=$!
  window=
  while [ -z "$window" ]; do
    sleep 0.2
    kill -0 "$program"
    window=$(xdotool search --onlyvisible --pid "$program" 2>/dev/null | tail -n 1) || true
  done
  sleep 1
  xdotool windowmove "$window" 0 0 windowsize "$window" "${HEADLESS_SIZE%x*}" "${HEADLESS_SIZE#*x}" windowfocus "$window"
  sleep "${SHOTS_WAIT:-8}"
  shot () { sleep 0.7; import -window root "$out/$SHOTS_NAME-$1.png"; }
  keys () { for key; do xdotool key --clearmodifiers "$key"; sleep 0.3; done; }
  shot bench
  xdotool type 11.9
  shot typing
  keys ctrl+a BackSpace F6
  shot tree
  keys Escape F2
  shot state
  keys Escape F7
  shot part
  keys Escape question
  shot why
  keys Escape F9 1
  shot twin
  keys F9 F5
  sleep 1
  shot probe
  keys Escape ctrl+2
  shot boards
  keys ctrl+3
  shot jobs
  keys ctrl+q
  wait "$program"
  exit
fi

for size in ${*:-1280x800 1920x1080}; do
  for scheme in light dark; do
    HEADLESS_SIZE=$size SHOTS_INSIDE=yes SHOTS_NAME=$size-$scheme ADW_DEBUG_COLOR_SCHEME=prefer-$scheme \
      "$here/../headless.sh" sh "$0" "$build" "$out"
  done
done
