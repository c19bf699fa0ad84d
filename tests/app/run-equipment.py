#!/usr/bin/python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""A job on an equipment by keyboard, seen from outside: begun from the boards, which box feeds which asked first, field
checks typed until one board is isolated, that board opened with what was read of it, and back; then a job with the fault
in a conductor, which opens no board; then one whose first answer denies the supply direction.

  run-equipment.py PROGRAM DEMO_LIBRARY SCHEMA_FOLDER

A relay that clicks and passes nothing is looked at first; mains at one end of a conductor and none at the other is the
conductor (common practice, no source).
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
library = os.path.join(os.environ["XDG_CACHE_HOME"], "equipment.benchlore-library")
shutil.copy(demo, library)
WALL_FEEDS = "Hearthway 350: wall unit feeds roof unit"
ROOF_FEEDS = "Hearthway 350: roof unit feeds wall unit"


def head(program, beginning):
    drive.wait_for(lambda: any(n.name.startswith(beginning) for n in program.nodes("label")), f"the head “{beginning}”")


def has(program, words):
    drive.wait_for(lambda: any(words in n.name for n in program.nodes()), f"the words “{words}”", 30)


def start_job(program, title):
    program.keys("ctrl+2")
    program.click(program.find(f"start a job: {title}"))
    has(program, "Which box feeds which?")


def enter(program, text):
    program.keys("slash")
    program.type(text)
    program.keys("Return")


def row(program, beginning, verdict):
    def look():
        return any(n.name.startswith(beginning) and n.name.endswith((f", {verdict}", f": {verdict}"))
                   for n in program.nodes("list item"))  # of a check the verdict says it all
    drive.wait_for(look, f"a row “{beginning} … {verdict}”")


def suspect_board(program):
    start_job(program, ROOF_FEEDS)  # the wrong one, put right by the answer
    program.keys("2")
    head(program, f"Job 1044 · {WALL_FEEDS}")
    program.find("which box feeds which?", "push button")
    program.keys("ctrl+b")  # rows in band, too
    program.type("yes")  # the first check is in hand: the house supply arrives at the wall unit
    program.keys("Return")
    row(program, "DIR ", "as expected")
    drive.wait_for(lambda: not any(n.name == "which box feeds which?" for n in program.nodes("push button")),
                   "no more choice of the direction once something was read")
    enter(program, "wall/LAMP yes")
    enter(program, "wall/K1K yes")
    enter(program, "PASS no")
    enter(program, "LN-WALL 0.1")
    enter(program, "LN-ROOF 0.1")
    enter(program, "wall/K1O 0.1")
    row(program, "wall/TPC2 supply of the roof unit after the contact", "absent")
    has(program, "Isolated: wall board.")
    has(program, "the likeliest place")

    program.keys("alt+b")
    head(program, "Job 1045 · BM-W350-CTL")
    has(program, "Begun from job 1044")
    row(program, "TPC2 supply of the roof unit after the contact", "absent")
    has(program, "Suspect K1")
    enter(program, "K1X 229")  # typed on the board, without a role
    program.keys("alt+b")
    head(program, f"Job 1044 · {WALL_FEEDS}")
    program.keys("alt+b")
    head(program, "Job 1045 · BM-W350-CTL")  # the same one, not another
    program.keys("alt+b")
    head(program, f"Job 1044 · {WALL_FEEDS}")


def drawing(program):
    """What lies between the boxes brings the drawing; the key changes to a photo and back."""
    def shown():
        return any(n.name == "Boxes and conductors of the equipment" for n in program.nodes("list"))

    program.click(program.find("conductors…", "push button"))
    drive.wait_for(shown, "the drawing in the photo's place")
    program.keys("ctrl+e")
    drive.wait_for(lambda: not shown(), "a photo in its place")
    program.keys("ctrl+e")
    drive.wait_for(shown, "the drawing again")


def conductor(program):
    start_job(program, WALL_FEEDS)
    program.keys("1")
    head(program, f"Job 1046 · {WALL_FEEDS}")
    enter(program, "LN-WALL 230")
    enter(program, "LN-ROOF 0.1")
    enter(program, "L-DROP 229")
    has(program, "Isolated: conductors.")
    program.keys("alt+b")  # no board is suspected: it asks
    has(program, "Which board as a job of its own?")
    program.keys("Escape")


def denied(program):
    """The house supply arrives at the other unit: the first check says so, and one key goes over to that document."""
    start_job(program, WALL_FEEDS)
    program.keys("1")
    head(program, f"Job 1047 · {WALL_FEEDS}")
    program.type("no")
    program.keys("Return")
    has(program, "Not as this job's document says it")
    program.keys("o")
    head(program, f"Job 1047 · {ROOF_FEEDS}")
    program.keys("alt+w")  # said there, and nothing read: it can be put right once more
    has(program, "as the job is now")
    program.keys("Escape")
    enter(program, "LN-ROOF 230")
    program.keys("alt+w")
    has(program, "another job")
    program.keys("o")
    head(program, f"Job 1048 · {WALL_FEEDS}")


def main():
    program = drive.Program([command, "--library", library], GSETTINGS_SCHEMA_DIR=schemas)
    suspect_board(program)
    drawing(program)
    conductor(program)
    denied(program)
    program.complaints()
    program.close()
    print("a job on an equipment: all seen")


main()
