#!/usr/bin/python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""Walks through the boards and the editor and takes a picture of each. Usage: PROGRAM LIBRARY FOLDER NAME"""

import os
import shutil
import subprocess
import sys
import time

from drive import Program

program, library, folder, name = sys.argv[1:]
copy = os.path.join(os.environ["XDG_DATA_HOME"], "copy.benchlore-library")
shutil.copy(library, copy)
os.environ.setdefault("XDG_CACHE_HOME", folder)
app = Program([program, "--library", copy])
width, height = (int(n) for n in name.split("-")[0].split("x"))
subprocess.run(["xdotool", "windowsize", app.x_window, str(width), str(height)], check=True)
time.sleep(1)


def shot(what):
    time.sleep(0.6)
    app.picture(f"{folder}/{name}-{what}.png")


app.keys("ctrl+2")
shot("list")
app.click(next(app.nodes("list item", app.find("Boards", "list"))))
time.sleep(2)
shot("points")
def row(begin, number):
    """A line of the list of parts whose label begins so."""
    within = app.find("Parts of the board", "list")
    return [n for n in app.nodes("list item", within) if n.name.startswith(begin)][number]


def press(line):
    app.click(next(app.nodes("push button", line)))


press(row("TP", 2))
shot("points-in-hand")
app.keys("alt+2")
shot("structure")
press(row("Component", 0))
shot("component")
press(row("Stage", 1))
shot("stage")
app.keys("alt+3")
shot("states")
app.keys("alt+4")
shot("board")
app.keys("alt+5")
shot("checks")
app.close()
