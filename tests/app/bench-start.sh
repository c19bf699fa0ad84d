#!/bin/bash
# SPDX-License-Identifier: GPL-3.0-or-later
# How long the program takes from its start until the list of 5,000 jobs stands on the screen. Run in an X display
# (tests/headless.sh). usage: bench-start.sh BENCH-LIBRARY BENCHLORE SCHEMAS
# The picture is looked at as often as it can be taken; until it shows more than a bare window nothing is there.
# Wanted: below 2 s on a machine that does nothing else; the processor time is what it would need there at most.
set -u
make=$1 program=$2
export GSETTINGS_SCHEMA_DIR=$3
command -v import >/dev/null || { echo "skipped: no import (ImageMagick)"; exit 77; }
folder=$(mktemp -d)
trap 'rm -rf "$folder"' EXIT
"$make" "$folder/big.benchlore-library" || exit 1
now () { date +%s%N; }
for run in first second third; do
  began=$(now)
  "$program" --library "$folder/big.benchlore-library" & process=$!
  until window=$(xdotool search --onlyvisible --pid $process 2>/dev/null | tail -1) && [ -n "$window" ]; do sleep 0.02; done
  mapped=$(now)
  until [ "$(import -silent -window "$window" -format %k info: 2>/dev/null || echo 0)" -gt 30 ]; do sleep 0.02; done
  shown=$(now)
  spent=$(awk '{ print ($14 + $15) * 10 }' /proc/$process/stat) # ms, at 100 ticks a second
  echo "$run start: window after $(((mapped - began) / 1000000)) ms, jobs shown after $(((shown - began) / 1000000)) ms, processor $spent ms"
  kill $process; wait $process 2>/dev/null || true # ended by us
done
