#!/bin/sh
# SPDX-License-Identifier: GPL-3.0-or-later
# The template of translations can be made, and a translation made from it builds: English into
# English, so that format marks and plurals are checked as in any other language. Words that English has for two senses
# stand in it twice.
# usage: template.sh SOURCE-TREE
set -u
cd "$1" || exit 2
for needed in xgettext msgen msgfmt; do
  command -v $needed >/dev/null || { echo "skipped: no $needed"; exit 77; }
done
folder=$(mktemp -d)
trap 'rm -rf "$folder"' EXIT
fail () { echo "$*"; exit 1; }

xgettext --from-code=UTF-8 --files-from=po/POTFILES.in --keyword=_ --keyword=N_ --keyword=C_:1c,2 --keyword=NC_:1c,2 \
  --keyword=ngettext:1,2 --add-comments=Translators --output="$folder/all.pot" 2>"$folder/said" || fail "$(cat "$folder/said")"
# Other complaints are none of a text's: XML files have rules of their own.
grep -E "error|non-ASCII|Non-ASCII" "$folder/said" && fail "the template has faults"
[ "$(grep -c '^msgid' "$folder/all.pot")" -gt 3000 ] || fail "the template is not whole"
sed -i 's/charset=CHARSET/charset=UTF-8/; s/nplurals=INTEGER; plural=EXPRESSION/nplurals=2; plural=n != 1/' "$folder/all.pot"

msgen "$folder/all.pot" --output="$folder/en.po" || fail "no translation can be made of it"
msgfmt --check-format --output-file="$folder/en.mo" "$folder/en.po" || fail "a translation does not build"

# Senses that English has one word for.
for pair in "job|open" "job|closed" "the library file|reading" "on a photo|mark" "of an edition|mark" "meter|live" \
  "parts in stock|keep" "connection of a meter|at" "noun|cause" "lamp|lit"; do
  context=${pair%|*} word=${pair#*|}
  grep -A1 "^msgctxt \"$context\"" "$folder/all.pot" | grep -q "^msgid \"$word\"" || fail "no context “$context” for “$word”"
done
exit 0
