#!/usr/bin/python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""Drawing on the photo of a board with mouse and keys: the search flies to a relay, components are placed press
after press and taken back, a rectangle catches on a corner unless Ctrl is held, an edge makes a corner that is
taken out again, an outline moves whole, layers go on and off; then search and layers on the bench.
Usage: run-draw.py PROGRAM LIBRARY SCHEMAS [PICTURES]"""

import json
import os
import shutil
import sqlite3
import sys

try:
    import pyatspi
    from drive import Program, wait_for
except ImportError as error:
    print(error)
    sys.exit(77)
if "DISPLAY" not in os.environ:
    print("no display")
    sys.exit(77)

program, library, schemas = sys.argv[1:4]
path = os.path.join(os.environ["XDG_CACHE_HOME"], "draw.benchlore-library")
shutil.copy(library, path)
app = Program([program, "--library", path], GSETTINGS_SCHEMA_DIR=schemas)


def board():
    """The board that has K1, as it is on disk."""
    with sqlite3.connect(path) as kept:
        documents = [json.loads(row[0]) for row in kept.execute("SELECT document FROM board")]
    return next(d for d in documents if d.get("edition") == title[1] and d.get("board_number") == title[0])


def component(name):
    return next((c for c in board()["components"] if c["id"] == name), None)


def find(text):
    app.keys("ctrl+j")
    app.find("Find on the board", "text")
    app.type(text)
    app.keys("Return")


def picture(name):
    if len(sys.argv) > 4:
        app.picture(os.path.join(sys.argv[4], name + ".png"))


app.keys("ctrl+2")
app.keys("Return")
app.find("Nothing in hand")
head = next(n for n in app.names("label") if ", edition " in n and not n.startswith("Job"))
title = head.split(", edition ")
app.keys("alt+2")

# The search flies to the relay: what is pressed in the middle of the pane lies there.
find("k1")
app.find("kind of K1", "text")


def row_in_view():
    row = next(n for n in app.nodes("list item") if n.name.startswith("Component K1,"))
    _, frame_top, _, frame_height = app.box(app.window)
    return app.box(app.find("kind of K1", "text"))[1] < app.box(row)[1] < frame_top + frame_height - 40


wait_for(row_in_view, "the row of K1 in view")
left, top, width, height = app.box(app.find("Photo with…"))
k1 = component("K1")


def at(x, y):
    return left + x * width, top + y * height


# Press after press, each the next name; two of them tell how the photo lies in the pane.
app.keys("p")
app.find("Name that the next press places", "text")
app.type("R60")
app.keys("Return")
app.click_at(*at(0.30, 0.42))
wait_for(lambda: component("R60"), "R60 in the document")
app.click_at(*at(0.70, 0.62))
wait_for(lambda: component("R61"), "R61 in the document")
app.click_at(*at(0.62, 0.40))
wait_for(lambda: component("R62"), "R62 in the document")
picture("placed")
assert component("R60")["kind"].startswith("resistor"), component("R60")
app.find("undo: Place R62", "push button")
app.keys("BackSpace")
wait_for(lambda: component("R62") is None, "R62 taken back")
app.click_at(*at(0.62, 0.40))
wait_for(lambda: component("R62"), "R62 again")
app.keys("Escape")
first, second = component("R60"), component("R61")
scale = (second["x"] - first["x"]) / (0.4 * width)  # photo pixels in one of the screen
assert abs(scale - (second["y"] - first["y"]) / (0.2 * height)) < 0.02 * scale, (first, second)
middle = (first["x"] + 0.2 * width * scale, first["y"] + 0.08 * height * scale)
assert abs(middle[0] - k1["x"]) < 4 * scale and abs(middle[1] - k1["y"]) < 4 * scale, (middle, k1, scale)


def screen(x, y):
    return (left + 0.30 * width + (x - first["x"]) / scale, top + 0.42 * height + (y - first["y"]) / scale)


# A stage's outline decides where a component belongs.
def inside(points, x, y):
    hit, j = False, len(points) - 1
    for i in range(len(points)):
        (ax, ay), (bx, by) = points[i], points[j]
        if (ay > y) != (by > y) and x < (bx - ax) * (y - ay) / (by - ay) + ax:
            hit = not hit
        j = i
    return hit


for name in ("R60", "R61", "R62"):
    part = component(name)
    under = [s["id"] for s in board()["stages"] for o in s.get("outlines", [])
             if o["photo"] == part["photo"] and inside(o["points"], part["x"], part["y"])]
    assert not under or part["stage"] in under, (name, part, under)

# A rectangle begun six pixels beside the corner of K1's stage catches on it; with Ctrl it does not.
stage = next(s for s in board()["stages"] if s["id"] == k1["stage"])
outline = next(o for o in stage["outlines"] if o["photo"] == k1["photo"])
corner = min(outline["points"], key=lambda p: abs(screen(*p)[0] - (left + width / 2)) +
             abs(screen(*p)[1] - (top + height / 2)))
target = board()["sections"][0]["title"]


def outlines():
    return next(s for s in board()["sections"] if s["title"] == target).get("outlines", [])


before = len(outlines())


def draw(held):
    x, y = screen(*corner)
    app.keys("r")
    app.drag(x + 5, y + 4, x + 60, y + 70, held)
    count = before + 1 + drawn
    wait_for(lambda: len(outlines()) == count, "the rectangle in the document")
    return outlines()[-1]["points"]


def take_section():
    """Without moving the photo: by its row."""
    app.find(target, "push button").queryAction().doAction(0)
    app.find("Draw a rectangle", "push button")


drawn = 0
app.keys("Escape")
take_section()
points = draw(None)
assert min(abs(p[0] - corner[0]) + abs(p[1] - corner[1]) for p in points) < 1e-6, (points, corner)
drawn = 1
points = draw("ctrl")
near = min(abs(p[0] - corner[0]) + abs(p[1] - corner[1]) for p in points)
assert near > 3 * scale, (points, corner)
app.keys("ctrl+z")
wait_for(lambda: len(outlines()) == before + 1, "one rectangle")

# Its edge dragged makes a corner; pressed and Del takes it out; Shift drags it whole.
points = outlines()[-1]["points"]
xs, ys = [p[0] for p in points], [p[1] for p in points]
x, y = screen((min(xs) + max(xs)) / 2, max(ys))
app.drag(x, y, x + 6, y + 25, "ctrl")
wait_for(lambda: len(outlines()[-1]["points"]) == 5, "a fifth corner")
app.find("undo: Add corner to outline", "push button")
picture("corner")
app.click_at(x + 6, y + 25)
app.keys("Delete")
wait_for(lambda: len(outlines()[-1]["points"]) == 4, "four corners")
app.find("undo: Remove corner of outline", "push button")
x, y = screen((min(xs) + max(xs)) / 2, (min(ys) + max(ys)) / 2)
app.drag(x, y, x + 20, y + 10, "shift")
app.find("undo: Move outline", "push button")
moved = outlines()[-1]["points"]
assert all(abs((b[0] - a[0]) - (moved[0][0] - points[0][0])) < 1e-6 for a, b in zip(points, moved)), (points, moved)
assert abs(moved[0][0] - points[0][0] - 20 * scale) < 10 * scale, (points, moved, scale)


# Layers: test points come to the components, and go again.
def things():
    return int(app.find("Photo with…").name.split()[2])


app.keys("Escape")
parts = things()
app.keys("l", "1")
wait_for(lambda: things() > parts, "test points beside the components")
app.keys("3")
wait_for(lambda: things() < parts + 45, "the components gone")
picture("layers")
app.keys("3", "1")
wait_for(lambda: things() == parts, "as before")
app.keys("Escape")

# On the bench.
app.keys("ctrl+1")
find("tp")
wait_for(lambda: not any(n.name == "What was found" and n.getState().contains(pyatspi.STATE_SHOWING)
                         for n in app.nodes("list")), "the search closed")
app.keys("alt+l")
pressed = pyatspi.STATE_PRESSED
row = app.find("stage outlines", "push button")
was = row.getState().contains(pressed)
app.keys("4")
wait_for(lambda: row.getState().contains(pressed) != was, "the layer switched")
picture("bench")
app.keys("4", "Escape")
app.complaints()
app.kill()
