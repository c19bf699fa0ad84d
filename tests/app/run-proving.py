#!/usr/bin/python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""The end of a job by keyboard alone, seen from outside: a part is replaced with what came out, what went in and
why; what was read before is read again, the board is asked what it does, a soak goes on across a forced end of the
program, the electrical safety test is typed in, the cause is confirmed and the job ended.

  run-proving.py PROGRAM DEMO_LIBRARY SCHEMA_FOLDER

The readings are those of the demo's roof unit whose 12 V rectifier was shorted.
"""

import os
import re
import shutil
import sqlite3
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
library = os.path.join(os.environ["XDG_CACHE_HOME"], "proving.benchlore-library")
shutil.copy(demo, library)


def start():
    return drive.Program([command, "--library", library], GSETTINGS_SCHEMA_DIR=schemas)


def open_job(program, number):
    program.keys("ctrl+3")
    program.find(f"{number}…")
    program.type(str(number))
    program.keys("Return")
    drive.wait_for(lambda: any(n.name.startswith(f"Job {number}") for n in program.nodes("label")), f"job {number}")
    program.find("Measurements", "list")


def seen(program, words, seconds=15):
    drive.wait_for(lambda: any(words in (n.name or "") for n in program.nodes()), f"the words “{words}”", seconds)


def answer(program, title, *keys):
    """Waits for the question, then answers it by its keys."""
    seen(program, title)
    program.keys(*keys)


def typed(program, title, text):
    seen(program, title)
    program.type(text)
    program.keys("Return")


def before_repair(program):
    """The figure says nothing before a repair, so what is to be done stands there instead."""
    program.keys("ctrl+y")
    seen(program, "No repair is in the log yet")
    for act in ("begin the soak", "enter what was measured", "confirm the cause"):
        seen(program, act)
    assert not any("is still wrong" in (n.name or "") for n in program.nodes())
    program.keys("ctrl+y")


def replace(program):
    program.keys("F7")
    answer(program, "Which part was tested, or replaced?", "o")
    typed(program, "Which part?", "D2")
    answer(program, "D2: what became of it?", "r")
    answer(program, "D2: what was taken out?", "Return")  # the document's value stands there already
    typed(program, "D2: what was put in", "5 A 60 V")
    typed(program, "D2: why?", "shorted both ways, case cracked")
    answer(program, "Was D2 the cause?", "Escape")


def read_again(program):
    program.keys("ctrl+y")
    seen(program, "since D2 was replaced")
    seen(program, "that something on it is still wrong")
    seen(program, "TP12 12 V rail: before 0.28, after not read again")
    program.keys("slash")
    program.type("V12 12.1")
    program.keys("Return")
    answer(program, "on the hot side was replaced", "g")  # asked before the first live reading after it
    seen(program, "TP12 12 V rail: before 0.28, after 12.1")
    program.keys("alt+g")
    drive.wait_for(lambda: program.find("Proving"), "the panel stays")


def checks(program):
    program.keys("alt+c")
    answer(program, "does it still show?", "n")
    answer(program, "A check of this edition", "s")
    program.keys("Escape")
    seen(program, "does it still show? no")


def safety(program):
    program.keys("alt+e")
    answer(program, "which class of protection is it?", "1")
    typed(program, "Length of its cord", "3 m")
    typed(program, "Protective conductor: ≤ 0.3 Ω", "0.18")
    typed(program, "Insulation: ≥ 1 MΩ", "OL")
    typed(program, "Protective conductor current: ≤ 3.5 mA", "4.2")
    typed(program, "Contact current: ≤ 0.5 mA", "0.1")
    seen(program, "Protective conductor current ≤ 3.5 mA: 4.2 mA high")
    seen(program, "Insulation ≥ 1 MΩ: OL in band")
    seen(program, "1 outside its limit")


def kept():
    """What is on disk."""
    with sqlite3.connect(library) as database:
        job = database.execute("SELECT id, state, cause FROM job WHERE number = 1043").fetchone()
        lines = database.execute("SELECT kind, subject, text, old, why, expected FROM record WHERE job = ? ORDER BY id",
                                 (job[0],)).fetchall()
    return job, lines


def end(program):
    program.keys("ctrl+f")
    answer(program, "What was the cause of the fault?", "1")
    answer(program, "Was D2 the cause?", "1")
    seen(program, "confirmed: D2")
    program.keys("ctrl+f")
    answer(program, "What was the cause of the fault?", "e")
    drive.wait_for(lambda: kept()[0][1] == "handed back", "the job handed back")  # the notice may be gone by now


def main():
    program = start()
    open_job(program, 1043)
    before_repair(program)
    replace(program)
    read_again(program)
    checks(program)
    program.keys("alt+o")
    seen(program, "for how many minutes")
    program.keys("ctrl+a")
    typed(program, "for how many minutes", "1")
    seen(program, "left of 1 min")
    program.keys("ctrl+t")
    typed(program, "Time spent:", "25 soldering")
    drive.wait_for(lambda: any(re.fullmatch("2[5-9] min, counting", n.name or "") for n in program.nodes("label")),
                   "the minutes typed and those counted")
    program.complaints()

    program.kill()
    program = start()
    open_job(program, 1043)
    program.keys("ctrl+y")
    safety(program)
    seen(program, "1 min are over", 70)
    program.keys("alt+o")
    answer(program, "what was found?", "y")
    typed(program, "Relay cycles", "K1 switched 60 times")
    seen(program, "the fault did not come back")
    end(program)
    program.complaints()
    program.close()

    job, lines = kept()
    assert job[1] == "handed back" and job[2].startswith("D2"), job
    replaced = next(line for line in lines if line[0] == "replaced")
    assert replaced[1] == "D2" and replaced[2] == "5 A 60 V" and replaced[3], replaced
    assert replaced[4] == "shorted both ways, case cracked", replaced
    tests = {line[1]: line for line in lines if line[0] == "test"}
    assert tests["soak"][2].startswith("end 1 min; K1 switched 60 times"), tests["soak"]
    assert "VDE 0701-0702:2008" in tests["safety:insulation"][5], tests["safety:insulation"]
    assert any(line[0] == "time" and line[1:3] == ("soldering", "25") for line in lines)
    assert any(line[0] == "job" and line[2] == "proving" for line in lines)
    print("a repair proved by keyboard: all seen")


main()
