#!/usr/bin/python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""A job by keyboard alone, seen from outside: opens a demo job from the list, types readings, and reads
verdicts and the likely failed stage from the accessibility tree; then takes an entry back, and finds
everything again after the program was ended by force.

  run-bench.py PROGRAM DEMO_LIBRARY SCHEMA_FOLDER

The readings are those of a 12 V rectifier that is shorted, as the roof unit's document describes it.
"""

import os
import shutil
import sys

try:
    import drive
except ImportError as problem:  # pyatspi is not there
    print(f"skipped: {problem}")
    sys.exit(77)
if not os.environ.get("DISPLAY") or not os.environ.get("XDG_CACHE_HOME"):
    print("skipped: no display of its own, see tests/headless.sh")
    sys.exit(77)

command, demo, schemas = sys.argv[1:4]
library = os.path.join(os.environ["XDG_CACHE_HOME"], "job.benchlore-library")
shutil.copy(demo, library)


def start():
    return drive.Program([command, "--library", library], GSETTINGS_SCHEMA_DIR=schemas)


def likely(program):
    """What the photo says of the likely failed stage."""
    return next(n.name for n in program.nodes("image") if n.name.startswith("Photo "))


def open_job(program, number):
    program.keys("ctrl+3")
    program.find(f"{number}…")
    program.type(str(number))  # the search field has the focus, or takes it
    program.keys("Return")
    drive.wait_for(lambda: any(n.name.startswith(f"Job {number}") for n in program.nodes("label")), f"job {number}")
    program.find("Measurements", "list")


def enter(program, text):
    program.keys("slash")
    program.type(text)
    program.keys("Return")


def row(program, beginning, verdict):
    def look():
        return any(n.name.startswith(beginning) and f", {verdict}" in n.name for n in program.nodes("list item"))
    drive.wait_for(look, f"a row “{beginning} … {verdict}”")


def said(program, words):
    """What stands below the entry."""
    drive.wait_for(lambda: any(words in n.name for n in program.nodes()), f"the words “{words}”")


def main():
    program = start()
    open_job(program, 1043)
    drive.wait_for(lambda: "likely failed stage" in likely(program), "a likely stage")
    program.keys("ctrl+b")  # rows in band, too

    enter(program, "FB 5,14")
    row(program, "TPFB feedback pin at light load", "asks for full power")
    enter(program, "FBR 5.11")
    enter(program, "R-12 38.7")
    row(program, "TP12 12 V rail to 0 V", "in band, taken without proof of dead")
    drive.wait_for(lambda: "12 V rectifier and output" in likely(program), "the rectifier stage as the likely one")

    enter(program, "R-12 blue")
    said(program, "“blue”")
    program.keys("Escape")
    enter(program, "nonsense 5")
    said(program, "Not kept: There is no point or part “nonsense”")
    program.keys("Escape")
    enter(program, "V12 47000")
    said(program, "Enter again keeps it")
    program.keys("Escape")
    enter(program, "V12 12.1")
    row(program, "TP12 12 V rail,", "in band")
    program.keys("ctrl+z")
    row(program, "TP12 12 V rail,", "absent")
    program.complaints()

    program.kill()
    program = start()
    open_job(program, 1043)
    row(program, "TPFB feedback pin at light load", "asks for full power")
    drive.wait_for(lambda: "12 V rectifier and output" in likely(program), "the same likely stage after a forced end")
    program.close()
    print("a job by keyboard: all seen")


main()
