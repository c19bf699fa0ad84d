#!/bin/bash
# SPDX-License-Identifier: GPL-3.0-or-later
# Pictures of the boards and of every part of the editor, light and dark, small and large.
# Usage: tests/app/shots-boards.sh PROGRAM LIBRARY FOLDER
set -eu
here=$(cd "$(dirname "$0")" && pwd)
program=$(realpath "$1")
library=$(realpath "$2")
mkdir -p "$3"
folder=$(realpath "$3")
for size in 1280x800 1920x1080; do
  for scheme in force-light force-dark; do
    HEADLESS_SIZE=$size ADW_DEBUG_COLOR_SCHEME=${scheme/force/prefer} "$here/../headless.sh" \
      /usr/bin/python3 "$here/shots-boards.py" "$program" "$library" "$folder" "$size-${scheme#force-}"
  done
done
