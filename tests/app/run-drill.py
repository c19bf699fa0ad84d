#!/usr/bin/python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""Fault drills from outside: one by keyboard alone, one by mouse alone. The cautions are read, the state is declared and the
supply said, readings are taken from the drill, part and stage are named, the path is gone through again. No odds are
shown while a drill lasts. What the window scored is what the command line scores for the same list of measurements.

  run-drill.py PROGRAM CLI LIBRARY SCHEMAS BOARD [PICTURES]"""

import csv
import glob
import json
import os
import shutil
import sqlite3
import subprocess
import sys
import time

try:
    from drive import Program, wait_for
except ImportError as problem:  # pyatspi is not there
    print(f"skipped: {problem}")
    sys.exit(77)
if not os.environ.get("DISPLAY") or not os.environ.get("XDG_CACHE_HOME"):
    print("skipped: no display of its own, see tests/headless.sh")
    sys.exit(77)

command, cli, demo, schemas, board = sys.argv[1:6]
pictures = sys.argv[6] if len(sys.argv) > 6 else None
library = os.path.join(os.environ["XDG_CACHE_HOME"], "drill.benchlore-library")
folder = os.path.join(os.environ["XDG_DATA_HOME"], "benchlore")
shutil.copy(demo, library)
seed = os.environ.get("BENCHLORE_SEED", "1")  # what is drawn follows from it, so that a failure comes again


def ask(sql):
    [practice] = glob.glob(os.path.join(folder, "practice-*.benchlore-library"))  # that of the demo's copy
    with sqlite3.connect(f"file:{practice}?mode=ro", uri=True) as db:
        return db.execute(sql).fetchall()


def picture(app, name):
    if pictures:
        app.picture(os.path.join(pictures, name + ".png"))


def place_of(app):
    """The place Practice alone: the bench of jobs, out of sight, has odds and words of its own."""
    node = app.find("Who practises", "label")
    while not any(n.name == "Suspects" for n in app.nodes(within=node.parent)):
        node = node.parent
    return node


def few(node):
    """Everything in the place but the long lists, which take seconds to ask for."""
    yield node
    count = node.childCount
    for index in range(count if count <= 40 else 0):
        child = node.getChildAtIndex(index)
        if child is not None:
            yield from few(child)


def has(app, words, seconds=20):
    return wait_for(lambda: next(n for n in few(app.place) if words in n.name), f"the words “{words}”", seconds)


def readings():
    """Measurement and value of each line of the newest drill's log, in order."""
    job = ask("SELECT job FROM drill ORDER BY id DESC LIMIT 1")[0][0]
    return ask(f"SELECT subject, text FROM record WHERE job = {job} AND kind = 'reading' ORDER BY id")


def read_again(n):
    wait_for(lambda: len(readings()) == n, f"{n} readings in the log")


def no_help(app):
    names = [n.name for n in few(app.place)]
    told = [n for n in names if "likely failed" in n or n.startswith(("Suspect ", "Measure next 1", "Fault tree of"))]
    assert not told, told


def score(steps):
    """What the command line makes of the newest drill with these steps."""
    seed, stage, component = ask("SELECT seed, stage, component FROM drill ORDER BY id DESC LIMIT 1")[0]
    path = os.path.join(os.environ["XDG_CACHE_HOME"], "steps.csv")
    with open(path, "w", encoding="utf-8") as file:
        writer = csv.writer(file)
        writer.writerow(["measurement"])
        for step in steps + [f"stage:{stage}", f"component:{component}"]:
            writer.writerow([step])
    text = subprocess.run([cli, "drill", "--board", board, "--seed", str(seed), "--kind", "single", "--steps", path, "--json"],
                          check=True, capture_output=True, text=True).stdout
    return json.loads(text)


def agrees(steps):
    """Readings, regret and outcome of the window and of the command line."""
    said = score(steps)
    row = ask("SELECT faults, component_right, failed, regret_s, n_measured, n_right FROM drill ORDER BY id DESC LIMIT 1")[0]
    taken = [step for step in said["steps"] if step["reading"] is not None]
    assert [(s["measurement"], s["reading"]) for s in taken] == readings(), (taken, readings())
    assert said["fault"] == json.loads(row[0]), (said["fault"], row)
    assert said["component_right"] == bool(row[1]) and said["failed"] == bool(row[2]), (said, row)
    assert abs(said["regret_s"] - row[3]) < 1e-6, (said["regret_s"], row[3])
    assert len(taken) == row[4] and sum(s["right"] for s in taken) == row[5], (taken, row)
    return said


def faulty_part():
    return json.loads(ask("SELECT faults FROM drill ORDER BY id DESC LIMIT 1")[0][0])[0].split(":")[0]


def close_cautions(app):
    app.wait_dialog("Cautions")
    app.keys("Escape")
    wait_for(lambda: not any(n is not None and n.name == "Cautions" for n in app.root), "the cautions are closed")
    app.focus()


def by_keyboard(app):
    app.keys("ctrl+4")
    app.find("Who practises", "label")
    app.place = place_of(app)
    app.type("JB")
    app.keys("Return")
    has(app, "JB")
    app.keys("Tab", "Tab", "4")  # out of the entry: a digit begins
    has(app, "What failed?")
    has(app, "Enter on an empty field takes the reading.")
    picture(app, "keyboard-begun")
    app.keys("alt+c")
    close_cautions(app)
    has(app, "read in this drill")
    app.keys("F2")
    has(app, "Which state is the board in now?")
    app.keys("2")
    has(app, "what feeds it?")
    app.keys("i")
    has(app, "LIVE")
    for n, measurement in enumerate(["LAMP", "LN"], 1):
        app.type(measurement)
        app.keys("Return")
        time.sleep(0.3)
        app.keys("Return")
        read_again(n)
    no_help(app)
    assert not any(n.name.startswith("Unsafe:") for n in few(app.place)), "nothing unsafe was done"
    app.type("7.5")  # a reading of one's own is refused
    app.keys("Return")
    has(app, "The drill gives the readings")
    app.keys("Escape")
    read_again(2)
    part = faulty_part()
    app.keys("ctrl+f")
    app.type(part)
    has(app, "Named: " + part)
    picture(app, "keyboard-named")
    app.keys("Return", "Return")
    has(app, "Right: " + part, 40)
    has(app, "No unsafe act.")
    app.keys("End")
    has(app, "Your path, step")
    app.keys("Home")
    has(app, "Your path, step 0 of")
    app.keys("Right")
    has(app, "Your path, step 1 of")
    app.keys("b", "Right")
    has(app, "Best plan, step 1 of")
    app.keys("End")
    has(app, "Suspect ", 30)  # odds again
    picture(app, "keyboard-replay")
    said = agrees(["cautions:", *(f"state:{s}" for (s,) in states()), "supply:isolated", *(m for m, _ in readings())])
    assert said["component_right"] and said["stage_right"] and not said["failed"], said
    app.keys("alt+q")
    has(app, "Who practises")


def states():
    job = ask("SELECT job FROM drill ORDER BY id DESC LIMIT 1")[0][0]
    return ask(f"SELECT subject FROM record WHERE job = {job} AND kind = 'state' ORDER BY id")


def by_mouse(app):
    app.click(has(app, "Fault drill"))
    has(app, "What failed?")
    before = ask("SELECT count(*) FROM drill")[0][0]
    assert before == 2, before
    app.click(has(app, "State not set"))  # the banner
    has(app, "Which state is the board in now?")
    app.click(wait_for(lambda: next(n for n in few(app.place) if n.name.startswith("Mains on")), "a live state"))
    has(app, "what feeds it?")
    app.click(has(app, "an isolating transformer"))
    has(app, "Unsafe: live without reading the cautions")  # told at once
    app.click(wait_for(lambda: next(n for n in few(app.place) if n.name == "reads"), "Enter's word"))
    read_again(1)
    no_help(app)
    picture(app, "mouse-unsafe")
    app.click(wait_for(lambda: next(n for n in app.nodes("list item", app.place) if n.name.startswith("TB1 ")), "a part to name"))
    has(app, "Named: TB1")
    app.click(has(app, "That failed: end the drill"))
    has(app, "Drill failed, whatever was named.", 40)
    app.click(wait_for(lambda: next(n for n in few(app.place) if n.name.startswith("Step 0:")), "the path"))
    has(app, "Your path, step 0 of")
    app.click(wait_for(lambda: next(n for n in few(app.place) if n.name.startswith("Best plan 1:")), "the best plan"))
    has(app, "Best plan, step 1 of")
    said = agrees([f"state:{s}" for (s,) in states()] + ["supply:isolated"] + [m for m, _ in readings()])
    assert said["failed"], said
    app.click(has(app, "Back to practice"))
    row = has(app, "failed: unsafe")
    app.click(row)  # one that has ended opens with its score
    has(app, "Drill failed, whatever was named.", 40)
    app.click(has(app, "Back to practice"))
    has(app, "Who practises")


def nothing_in_the_shop():
    """Nothing that was practised is in the shop's library."""
    with sqlite3.connect(library) as db:
        assert db.execute("SELECT count(*) FROM drill").fetchone()[0] == 0
        assert db.execute("SELECT count(*) FROM person").fetchone()[0] == 0


begun = time.monotonic()
program = Program([command, "--library", library], GSETTINGS_SCHEMA_DIR=schemas, BENCHLORE_SEED=seed)
try:
    by_keyboard(program)
    keyboard = time.monotonic()
    by_mouse(program)
    print(f"keyboard {keyboard - begun:.0f} s, mouse {time.monotonic() - keyboard:.0f} s")
    program.close()
    nothing_in_the_shop()
except BaseException:
    if pictures:
        program.picture(os.path.join(pictures, "failed.png"))
    program.process.kill()
    raise
