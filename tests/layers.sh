#!/bin/sh
# SPDX-License-Identifier: GPL-3.0-or-later
# Refuses an include that points up the layers: core <- store <- model <- app, core <- report <- app,
# cli beside app without GTK. The build gives each layer only the folders below it; this also catches
# system headers in the default path and includes by relative path.
set -u
root=${1:?usage: layers.sh SOURCE_ROOT}
failed=0
check () # LAYER, extended regular expression of banned include paths
{
  found=$(grep -rnE "^[[:space:]]*#[[:space:]]*include[[:space:]]*[<\"]($2)" "$root/src/$1" --include='*.c' --include='*.h')
  [ -z "$found" ] || { printf 'layer %s must not include:\n%s\n' "$1" "$found"; failed=1; }
}
headers () # LAYER...: alternation of the layers' header names
{
  for layer; do find "$root/src/$layer" -name '*.h' -printf '%f\n'; done | sed 's/\./\\./g' | paste -sd '|' - | sed 's/^$/no header/'
}
check core "\.\./|gio/|gtk/|adwaita|gdk|cairo|pango|sqlite3|archive|$(headers store model report app)"
check store "\.\./|gtk/|adwaita|gdk/|cairo|pango|$(headers model report app)"
check model "\.\./|gtk/|adwaita|gdk/|cairo|pango|sqlite3|$(headers report app)"
check report "\.\./|gtk/|adwaita|gdk/|sqlite3|$(headers store model app)"
check cli "\.\./|gtk/|adwaita|gdk/|$(headers app)"
check app "\.\./|sqlite3"
# A page asks its window through bl-shell.h, so that it can be in another one.
known=$(grep -lE '^#include "bl-window\.h"' "$root"/src/app/*.[ch] | grep -vE '/(main|bl-application|bl-window)\.c$')
[ -z "$known" ] || { printf 'must not know the window:\n%s\n' "$known"; failed=1; }
exit $failed
