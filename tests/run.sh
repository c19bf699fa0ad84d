#!/bin/bash
# SPDX-License-Identifier: GPL-3.0-or-later
# Builds everything and runs all tests: warnings as errors, the suites on a display of their own, then
# the suites without a window again under the address and undefined-behaviour sanitizers. Missing
# Debian 12 packages are installed first. Ends with the line 'N passed, N failed'.
# Works as a user, as root and with sudo, and again when it has run before.
set -u
cd "$(dirname "$0")/.." || exit 1
sh data/packages.sh test || exit 1
# Two times 150 programs are linked: a faster linker saves minutes. Only where a folder is configured anew.
export CC_LD="${CC_LD:-mold}"

plain=build-tests
sanitized=build-sanitized
if [ ! -w . ] || { [ -e $plain ] && [ ! -w $plain ]; }; then
  plain=$(mktemp -d)/plain
  sanitized=$plain-sanitized
fi

configure () # FOLDER [MESON OPTION...]
{
  folder=$1
  shift
  if [ -f "$folder/build.ninja" ]; then
    meson setup --reconfigure "$folder" "$@" >"$folder/setup.log" 2>&1 || { cat "$folder/setup.log"; return 1; }
  else
    rm -rf "$folder"
    meson setup "$folder" "$@" || return 1
  fi
}

passed=0
failed=0
count () # FOLDER: adds the figures of its last test run
{
  figures=$(python3 - "$1/meson-logs/testlog.junit.xml" <<'PY'
import json, os, sys, xml.etree.ElementTree as tree
try:
    cases = tree.parse(sys.argv[1]).getroot().findall('.//testcase')
except (OSError, tree.ParseError):
    print(0, 1)
    raise SystemExit
bad = [c for c in cases if c.find('failure') is not None or c.find('error') is not None]
skipped = [c for c in cases if c.find('skipped') is not None]
for case in bad:
    print('FAILED', case.get('classname'), case.get('name'), file=sys.stderr)
# A program that died, or leaked, may have no failed case: it counts as one all the same.
programs = set()
with open(os.path.join(os.path.dirname(sys.argv[1]), 'testlog.json'), encoding='utf-8') as log:
    for line in log:
        entry = json.loads(line)
        if entry['result'] not in ('OK', 'SKIP', 'EXPECTEDFAIL'):
            programs.add(entry['name'])
            print('FAILED', entry['name'], entry['result'], file=sys.stderr)
print(len(cases) - len(bad) - len(skipped), max(len(bad), len(programs)))
PY
  )
  passed=$((passed + ${figures% *}))
  failed=$((failed + ${figures#* }))
}

run () # FOLDER [MESON TEST OPTION...]
{
  folder=$1
  shift
  rm -f "$folder/meson-logs/testlog.junit.xml"
  tests/headless.sh meson test -C "$folder" --no-rebuild --print-errorlogs "$@"
  status=$?
  before=$failed
  count "$folder"
  # A suite that died without a failed case still counts.
  [ $status -eq 0 ] || [ "$failed" -gt "$before" ] || failed=$((failed + 1))
}

# What the tests of these suites run, by its files in the build folder: the window is not compiled a second time.
needed () # FOLDER SUITE...
{
  python3 - "$@" <<'PY'
import json, os, subprocess, sys
folder, suites = os.path.abspath(sys.argv[1]), set(sys.argv[2:])
def introspect(what):
    return json.loads(subprocess.run(['meson', 'introspect', what, folder], check=True, capture_output=True).stdout)
made = {target['id']: target['filename'] for target in introspect('--targets')}
files = set()
for test in introspect('--tests'):
    if suites & {suite.split(':')[-1] for suite in test['suite']}:
        files.update(test['cmd'])
        for target in test['depends']:
            files.update(made.get(target, []))
files = {os.path.normpath(file) for file in files}
print(*sorted(os.path.relpath(file, folder) for file in files if file.startswith(folder + os.sep)))
PY
}

layers='core store model report cli'
# Lines for the reports are all the debugger's words that are needed here, and optimizing further takes longer than it
# saves.
compile_sanitized ()
{
  configure $sanitized -Dwerror=true -Db_sanitize=address,undefined -Db_lundef=false -Doptimization=1 -Ddebug=false \
    -Dc_args=-g1 && files=$(needed $sanitized $layers) && ninja -C $sanitized $files
}

configure $plain -Dwerror=true -Db_pch=true -Ddebug=false && meson compile -C $plain
compiled=$?
# The scripted runs mostly wait for what they pressed: one more at a time than there are processors, and the sanitized
# programs are compiled in what they leave.
log=$(mktemp)
(renice -n 19 -p $BASHPID >/dev/null; compile_sanitized) >"$log" 2>&1 &
sanitized_compiled=$!
if [ $compiled -eq 0 ]; then
  run $plain --timeout-multiplier 2 --num-processes $(($(nproc) + 1))
else
  failed=$((failed + 1))
fi

export ASAN_OPTIONS=detect_stack_use_after_return=1 UBSAN_OPTIONS=halt_on_error=1:print_stacktrace=1
export G_SLICE=always-malloc
if wait $sanitized_compiled; then
  # shellcheck disable=SC2046 # words
  run $sanitized $(printf -- '--suite %s ' $layers) --timeout-multiplier 4
else
  cat "$log"
  failed=$((failed + 1))
fi
rm -f "$log"

echo "$passed passed, $failed failed"
[ "$failed" -eq 0 ] && [ "$passed" -gt 0 ]
