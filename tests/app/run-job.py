#!/usr/bin/python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""The whole job by keyboard, from the counter to the papers, three times on the demo's equipment: with the fault in a
conductor, in the inside board and in the outside board. Each time the measurements offered are taken as they are
offered, the readings are what a simulated equipment with that fault gives, until the place is isolated; a suspect
board is opened and followed on until its part leads. The part is replaced, read again, confirmed, the job ended, and
the reports are written.

  run-job.py PROGRAM CLI DEMO_LIBRARY SCHEMA_FOLDER DOCUMENTS [PICTURES]

Nothing tells the program what the fault is: it has the symptom and the readings.
"""

import collections
import json
import os
import re
import shutil
import sqlite3
import subprocess
import sys
import time

try:
    import drive
except ImportError as problem:  # pyatspi is not there
    print(f"skipped: {problem}")
    sys.exit(77)
if not os.environ.get("DISPLAY") or not os.environ.get("XDG_CACHE_HOME"):
    print("skipped: no display of its own, see tests/headless.sh")
    sys.exit(77)

command, cli, demo, schemas, documents = sys.argv[1:6]
pictures = sys.argv[6] if len(sys.argv) > 6 else None
library = os.path.join(os.environ["XDG_CACHE_HOME"], "whole.benchlore-library")
shutil.copy(demo, library)
TITLE = "Hearthway 350: wall unit feeds roof unit"
Case = collections.namedtuple("Case", "fault symptom place part replaced")
CASES = [Case("W3:joint corroded, 5k", "Link fault shown", "conductors", "W3", "W3"),
         Case("wall/K1:contact does not close", "Roof unit has no supply", "wall board", "wall/K1", "K1"),
         Case("roof/PC3:transistor open", "Link fault shown", "roof board", "roof/PC3", "PC3")]
KEYS = "123456789acefhijklmpqstuvwx"  # of the choices, in order
MOST = 16  # readings until the place, and as many until the part


def simulate(board, *faults):
    """What every measurement reads; two equal calls give the same values."""
    words = [word for fault in faults for word in ("--fault", fault)]
    text = subprocess.run([cli, "simulate", "--board", os.path.join(documents, board), "--seed", "1", *words], check=True,
                          capture_output=True, text=True).stdout
    return dict(line.split(",")[:2] for line in text.splitlines()[1:])


def shown_names():
    """Point and title, as the window shows them, to the measurement: of the equipment with roles, of a board without."""
    def add(names, document, role):
        for item in document["measurements"]:
            shown = (item.get("at") or item["id"]) + " " + item.get("title", "")
            names[role + shown].append(role + item["id"])

    with open(os.path.join(documents, "pair.json"), encoding="utf-8") as file:
        pair = json.load(file)
    names = collections.defaultdict(list)
    add(names, pair, "")
    for board in pair["boards"]:
        with open(os.path.join(documents, board["board"]), encoding="utf-8") as file:
            document = json.load(file)
        add(names, document, board["role"] + "/")
    return names


NAMES = shown_names()


def has(program, words, seconds=30):
    drive.wait_for(lambda: any(words in n.name for n in program.nodes()), f"the words “{words}”", seconds)


def enter(program, text):
    program.keys("slash")
    program.type(text)
    program.keys("Return")


def now(program, beginning, role="push button"):
    """What is shown at the moment; while the page changes it is looked for again."""
    for _ in range(20):
        try:
            return next((n.name for n in program.nodes(role) if n.name.startswith(beginning)), None)
        except Exception:  # an object may vanish while the tree changes
            time.sleep(0.1)
    return None


def offered(program, role, taken):
    """The measurement offered first, once the offer is about what was read last."""
    def look():
        name = now(program, "Measure next 1: ")
        ids = [i for i in NAMES.get(role + name.split(": ", 1)[1], []) if i not in taken] if name else []
        if not ids:
            return None
        time.sleep(0.6)
        return ids[0] if now(program, "Measure next 1: ") == name else None
    return drive.wait_for(look, "a measurement that is not read yet is offered", 60)


def isolate_place(program, case, values):
    taken = []
    while len(taken) < MOST and not now(program, "Isolated: ", "label"):
        measurement = offered(program, "", taken)
        taken.append(measurement)
        enter(program, f"{measurement} {values[measurement]}")
        time.sleep(1)
    has(program, f"Isolated: {case.place}.")
    return taken


def leading(program):
    name = now(program, "Suspect ") or ""
    match = re.match(r"Suspect (\S+) .*?, >?(\d+)\s%", name)
    return (match.group(1), int(match.group(2))) if match else ("", 0)


def isolate_part(program, case, values, taken):
    role = case.part.split("/")[0] + "/"
    taken = list(taken)
    for _ in range(MOST):
        time.sleep(1)
        if leading(program)[1] >= 80:
            break
        measurement = offered(program, role, taken)
        taken.append(measurement)
        enter(program, f"{measurement.removeprefix(role)} {values[measurement]}")
    drive.wait_for(lambda: leading(program)[0] == case.replaced, f"{case.replaced} leads, not {leading(program)}", 30)
    return taken


def take_in(program, number, case):
    program.keys("ctrl+n")
    program.find("Board", "text")
    for text in (TITLE, "", f"R350-B-{number}", "Mill Lane 3", "Hearthway 350"):
        if text:
            program.type(text)
        program.keys("Return")
    program.type(f"{case.symptom}, since the storm")
    program.keys("Tab")
    program.type("cover plate")
    program.keys("ctrl+shift+Return")
    program.find(f"Job {number} · …", "label")
    has(program, "Which box feeds which?")
    choose(program, TITLE)
    program.find(f"Job {number} · {TITLE}", "label")
    program.keys("ctrl+g")
    has(program, "symptoms without a lamp")
    program.keys("s")
    has(program, "Which symptom?")
    choose(program, case.symptom)  # that of the equipment comes first
    has(program, "does not show")
    program.keys("y")


def open_board(program, case, number):
    program.keys("alt+b")
    program.find(f"Job {number + 1} · …", "label")
    has(program, f"Begun from job {number}")


def replace(program, case):
    program.keys("F7")
    has(program, "Which part was tested, or replaced?")
    program.keys("o")
    has(program, "Which part?")
    program.type(case.replaced)
    program.keys("Return")
    has(program, f"{case.replaced}: what became of it?")
    program.keys("r")
    has(program, f"{case.replaced}: what was taken out?")
    program.keys("Return")
    has(program, f"{case.replaced}: what was put in")
    program.type("new")
    program.keys("Return")
    has(program, f"{case.replaced}: why?")
    program.type("found by measuring")
    program.keys("Return")
    has(program, f"Was {case.replaced} the cause?")
    program.keys("Escape")


def prove(program, taken, healthy):
    """What was read before is read again, on what is healthy now."""
    for measurement in taken:
        enter(program, f"{measurement} {healthy[measurement]}")
    program.keys("ctrl+y")
    has(program, "is still wrong, after all that was read")
    program.keys("ctrl+y")


def choose(program, words):
    """Takes the first choice that says so, by its key."""
    def look():
        found = [n.getIndexInParent() for n in program.nodes("list item") if words in n.name]
        return KEYS[found[0]]
    program.keys(drive.wait_for(look, f"the choice “{words}”"))


def kept(question, *values):
    with sqlite3.connect(f"file:{library}?mode=ro", uri=True) as database:
        return database.execute(question, values).fetchone()


def end(program, case, number):
    program.keys("ctrl+f")
    has(program, "What was the cause of the fault?")
    program.keys("1")
    has(program, f"Was {case.replaced} the cause?")
    choose(program, case.fault.split(":")[1])
    drive.wait_for(lambda: kept("SELECT 1 FROM record JOIN job ON job.id = job WHERE number = ? AND kind = 'cause'", number),
                   "the cause on disk")
    program.keys("ctrl+f")
    has(program, "What was the cause of the fault?")
    program.keys("e")
    head = drive.wait_for(lambda: kept("SELECT state, cause FROM job WHERE number = ? AND closed", number),
                          "the job ended on disk")
    assert head == ("handed back", case.fault.split("/")[-1].replace(":", ": ")), head


def papers(number, case):
    for reader in ("customer", "shop"):
        path = os.path.join(os.environ["XDG_CACHE_HOME"], f"{number}-{reader}.pdf")
        subprocess.run([cli, "report", str(number), path, "--for", reader, "--library", library], check=True)
        text = subprocess.run(["pdftotext", "-layout", path, "-"], check=True, capture_output=True, text=True).stdout
        assert case.replaced in text and str(number) in text and case.symptom in text, text
        if pictures:
            shutil.copy(path, pictures)


def whole(program, number, case):
    """Returns how many jobs it took."""
    values = simulate("pair.json", case.fault)
    healthy = simulate("pair.json", "PE:open or joint bad")  # which no other reading shows
    take_in(program, number, case)
    taken = isolate_place(program, case, values)
    role = case.part.split("/")[0] + "/" if "/" in case.part else ""
    print(f"{case.fault}: {case.place} after {len(taken)} readings: {' '.join(taken)}", flush=True)
    jobs = 1
    if role:
        open_board(program, case, number)
        jobs = 2
        known = [m for m in taken if m.startswith(role)]
        taken = isolate_part(program, case, values, known)
        print(f"  {case.part} leads with {leading(program)[1]} % after {len(taken) - len(known)} more", flush=True)
    replace(program, case)
    prove(program, [m.removeprefix(role) for m in taken[-3:]], {m.removeprefix(role): v for m, v in healthy.items()})
    end(program, case, number + jobs - 1)
    papers(number + jobs - 1, case)
    return jobs


def main():
    program = drive.Program([command, "--library", library], GSETTINGS_SCHEMA_DIR=schemas)
    number = kept("SELECT max (number) FROM job")[0] + 1
    for case in CASES:
        number += whole(program, number, case)
    program.complaints()
    program.close()
    print("three whole jobs: each fault found")


main()
