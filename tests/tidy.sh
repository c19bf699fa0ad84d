#!/bin/sh
# SPDX-License-Identifier: GPL-3.0-or-later
# What a reviewer should not have to look for: licence lines, translatable files listed, names of the
# project's top level. Usage: tests/tidy.sh SOURCE_ROOT
set -u
root=${1:?usage: tests/tidy.sh SOURCE_ROOT}
cd "$root" || exit 1
failed=0
complain () { printf '%s\n' "$@"; failed=1; }

# Lines of the first list that are not in the second; both are words without spaces.
missing () { printf '%s\n' $1 | sort -u | grep -vxF -e "$(printf '%s\n' $2)"; }

files="$(find src ui resources tests data po -type f \( -name '*.c' -o -name '*.h' -o -name '*.py' -o -name '*.sh' \
  -o -name '*.ui' -o -name '*.css' -o -name 'meson.build' \)) meson.build"
licensed=$(printf '%s\n' $files | xargs awk 'FNR > 3 { nextfile }
  /SPDX-License-Identifier: GPL-3.0-or-later/ { print FILENAME; nextfile }')
for file in $(missing "$files" "$licensed"); do complain "no licence line: $file"; done

translated="$(grep -rlE '[^a-zA-Z_](_|ngettext|N_|C_) ?\("' src --include='*.c') $(grep -rl 'translatable="yes"' ui 2>/dev/null)"
for file in $(missing "$translated" "$(cat po/POTFILES.in)"); do complain "not in po/POTFILES.in: $file"; done
grep -v '^#' po/POTFILES.in | while read -r file; do
  [ -z "$file" ] || [ -f "$file" ] || echo "listed in po/POTFILES.in but gone: $file"
done | grep . && failed=1

for entry in $(ls -1); do
  case $entry in
    README.md | DEVELOPERS.md | meson.build | src | ui | resources | data | tests | po | build*) ;;
    *) complain "outside the agreed layout: $entry" ;;
  esac
done
exit $failed
