#!/usr/bin/python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""Lays the edition over a photo of a job's own board, from outside: the demo's photo of job 1041 is taken again by
another camera (a perspective drawn by ImageMagick from four places), its four screw holes are pressed with the mouse,
the corner is foretold where that camera sees it, one pressed wrongly is named and undone. With a folder pictures are
taken. Usage: run-job-photo.py PROGRAM LIBRARY [FOLDER]"""

import os
import shutil
import sqlite3
import subprocess
import sys

try:
    import pyatspi  # noqa: F401
    from drive import Program, wait_for
except ImportError as error:
    print(error)
    sys.exit(77)
if "DISPLAY" not in os.environ or not shutil.which("convert"):
    print("no display, or no ImageMagick")
    sys.exit(77)

JOB = 1041
SIZE = 1600, 1200
# The front's landmarks as the demo's document has them, and where the other camera sees the first four.
FRONT = {"L1": (232.7, 326.6), "L2": (2436.8, 286.2), "L3": (263.9, 1858.0), "L4": (2464.5, 1813.8),
         "L5": (155.2, 252.1), "L6": (2541.2, 1887.7)}
SEEN = {"L1": (300, 210), "L2": (1320, 160), "L3": (190, 1010), "L4": (1400, 940)}


def solve(rows):
    """Gauss with pivots: rows are coefficients and right side."""
    n = len(rows)
    for i in range(n):
        pivot = max(range(i, n), key=lambda r: abs(rows[r][i]))
        rows[i], rows[pivot] = rows[pivot], rows[i]
        for r in range(n):
            if r != i:
                factor = rows[r][i] / rows[i][i]
                rows[r] = [a - factor * b for a, b in zip(rows[r], rows[i])]
    return [rows[i][n] / rows[i][i] for i in range(n)]


def camera():
    """The map that takes the front's four landmarks where they are seen: eight equations."""
    rows = []
    for name, (u, v) in SEEN.items():
        x, y = FRONT[name]
        rows.append([x, y, 1, 0, 0, 0, -u * x, -u * y, u])
        rows.append([0, 0, 0, x, y, 1, -v * x, -v * y, v])
    a, b, c, d, e, f, g, h = solve(rows)
    return lambda x, y: ((a * x + b * y + c) / (g * x + h * y + 1), (d * x + e * y + f) / (g * x + h * y + 1))


def take_again(library):
    """Puts the other camera's picture in the place of the job's photo; its number."""
    picture = os.path.join(os.environ["XDG_CACHE_HOME"], "own.jpg")
    with sqlite3.connect(library) as kept:
        number, image = kept.execute("SELECT p.id, p.image FROM job_photo p JOIN job j ON j.id = p.job"
                                     " WHERE j.number = ? ORDER BY p.id", (JOB,)).fetchone()
        with open(picture, "wb") as file:
            file.write(image)
        pairs = "  ".join(f"{FRONT[n][0]},{FRONT[n][1]} {u},{v}" for n, (u, v) in SEEN.items())
        subprocess.run(["convert", picture, "-virtual-pixel", "black", "-set", "option:distort:viewport",
                        f"{SIZE[0]}x{SIZE[1]}+0+0", "-distort", "Perspective", pairs, "+repage", picture], check=True)
        with open(picture, "rb") as file:
            kept.execute("UPDATE job_photo SET image = ? WHERE id = ?", (file.read(), number))
    return number


def landmarks(library, photo):
    with sqlite3.connect(library) as kept:
        return {name: (x, y) for name, x, y in
                kept.execute("SELECT landmark, x, y FROM job_landmark WHERE job_photo = ?", (photo,))}


class Pane:
    """A photo shown as large as it fits."""

    def __init__(self, app, name):
        left, top, width, height = app.box(app.find(name))
        self.zoom = min(width / SIZE[0], height / SIZE[1])
        self.left = left + (width - SIZE[0] * self.zoom) / 2
        self.top = top + (height - SIZE[1] * self.zoom) / 2

    def at(self, place):
        return self.left + place[0] * self.zoom, self.top + place[1] * self.zoom


def main():
    library = os.path.join(os.environ["XDG_DATA_HOME"], "own.library")
    folder = sys.argv[3] if len(sys.argv) > 3 else None
    shutil.copy(sys.argv[2], library)
    photo, seen = take_again(library), camera()
    app = Program([sys.argv[1], "--library", library])

    def picture(name):
        if folder:
            app.picture(os.path.join(folder, name + ".png"))

    app.keys("ctrl+3")
    app.find(f"{JOB}…")
    app.type(str(JOB))
    app.keys("Return")
    app.find("Measurements", "list")
    app.find("Photo Front…", seconds=30)
    app.keys("F3", "F3")
    shown = "Photo as it came…"
    app.find(shown)
    wait_for(lambda: not any(n.startswith("opening") for n in app.names()), "the photo", 30)
    picture("own")
    app.keys("alt+k")
    app.find("Press L1 (screw hole)")
    pane = Pane(app, shown)
    for name in ("L1", "L2", "L3", "L4"):
        app.find(f"Press {name} (screw hole)")
        app.click_at(*pane.at(SEEN[name]))
    app.find("Press L5 (corner of the board)")
    app.find("4 landmarks, which always fit…")
    picture("foretold")
    kept = landmarks(library, photo)
    for name, (u, v) in SEEN.items():
        x, y = kept[name]
        assert abs(x - u) + abs(y - v) < 4 / pane.zoom, (name, kept[name], u, v)
    app.click_at(*pane.at(seen(*FRONT["L5"])))
    app.find("5 landmarks agree to…")

    # The sixth far beside its place: named; undone, the rest agrees again.
    app.find("Press L6 (corner of the board)")
    u, v = seen(*FRONT["L6"])
    app.click_at(*pane.at((u - 300, v - 160)))
    said = app.find("6 landmarks agree to…").name
    assert "L6 does not agree with the rest" in said and "mm off" in said, said
    picture("wrong")
    app.keys("ctrl+z")
    app.find("Press L6 (corner of the board)")
    wait_for(lambda: len(landmarks(library, photo)) == 5, "the undo of L6")
    app.click_at(*pane.at((u, v)))
    app.find("6 landmarks agree to…")
    picture("all")
    app.keys("alt+k")
    wait_for(lambda: "All landmarks are set" not in app.names(), "the panel gone")
    picture("laid")
    app.close()


main()
