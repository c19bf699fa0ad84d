#!/usr/bin/python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""Joins two photos of the demo's board from outside: its landmarks are taken away, four are pressed with the mouse on
the front and where the asked one lies on the back, the fifth is foretold; one pressed wrongly is named. What was set
is compared with where the demo's own document has it. With a folder pictures are taken.
Usage: run-photos.py PROGRAM LIBRARY [FOLDER]"""

import json
import os
import shutil
import sqlite3
import sys

try:
    import pyatspi  # noqa: F401
    from drive import Program, wait_for
except ImportError as error:
    print(error)
    sys.exit(77)
if "DISPLAY" not in os.environ:
    print("no display")
    sys.exit(77)

SIZE = 3240, 2160  # px of the demo's photos


def document(library, board):
    with sqlite3.connect(library) as kept:
        return json.loads(kept.execute("SELECT document FROM board WHERE id = ?", (board,)).fetchone()[0])


def photo(library, board, name):
    return next(p for p in document(library, board)["photos"] if p["id"] == name)


def strip(library):
    """Takes the landmarks and the scale of the back away from a board; its id and where they were."""
    with sqlite3.connect(library) as kept:
        for board, text in kept.execute("SELECT id, document FROM board ORDER BY id").fetchall():
            content = json.loads(text)
            if [p["id"] for p in content.get("photos", [])] != ["front", "back"]:
                continue
            known = {p["id"]: {m["id"]: (m["x"], m["y"]) for m in p.pop("landmarks", [])} for p in content["photos"]}
            content["photos"][1].pop("mm_per_px")
            kept.execute("UPDATE board SET document = ? WHERE id = ?", (json.dumps(content), board))
            return board, known, content["edition"]
    raise AssertionError("no board with two photos")


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
    library = os.path.join(os.environ["XDG_DATA_HOME"], "photos.library")
    folder = sys.argv[3] if len(sys.argv) > 3 else None
    shutil.copy(sys.argv[2], library)
    board, known, edition = strip(library)
    app = Program([sys.argv[1], "--library", library])

    def picture(name):
        if folder:
            app.picture(os.path.join(folder, name + ".png"))

    app.keys("ctrl+2")
    listed = wait_for(lambda: [n for n in app.nodes("list item", app.find("Boards", "list"))
                               if f"edition {edition}" in n.name], "the board in the list")
    app.click(listed[0])
    app.find("Photo with…", seconds=30)
    app.keys("alt+7")
    app.find("Landmarks join photos")
    app.find("Beside it: Back")
    app.find("0 landmarks in common; four join them")

    # Six on the front: each press is a new one.
    front, back = Pane(app, "Photo with…"), Pane(app, "Beside it: Back")
    app.keys("k")
    names = [f"L{n}" for n in range(1, 7)]
    for name in names:
        app.find(f"Press {name} on Front")
        app.click_at(*front.at(known["front"][name]))
    app.find("Press L7 on Front")
    picture("front-set")

    # The back is shown, the front beside it: each is asked for, after the fourth the place is foretold.
    app.keys("x")
    back = Pane(app, "Photo with…")
    for name in names[:4]:
        app.find(f"Press {name} on Back")
        app.click_at(*back.at(known["back"][name]))
    app.find("Press L5 on Back")
    app.find("The dashed ring shows where it should be…")
    app.find("4 landmarks, which always fit…")
    picture("foretold")
    app.keys("s")
    app.find("Press L6 on Back")
    app.click_at(*back.at(known["back"]["L6"]))
    app.find("5 landmarks agree to…")
    app.keys("Escape")
    for name in ("front", "back"):
        for mark in photo(library, board, name)["landmarks"]:
            x, y = known[name][mark["id"]]
            # A pixel of the screen is several of the photo.
            assert abs(mark["x"] - x) + abs(mark["y"] - y) < 4 / back.zoom, (name, mark, x, y)
    assert len(photo(library, board, "back")["landmarks"]) == 5

    # The last press is undone and done again.
    app.keys("ctrl+z")
    wait_for(lambda: len(photo(library, board, "back")["landmarks"]) == 4, "the undo of L6")
    app.keys("ctrl+shift+z")
    wait_for(lambda: len(photo(library, board, "back")["landmarks"]) == 5, "its redo")

    # The sixth far beside its place: it is named, with what would be left without it, and told in mm by the front.
    app.keys("k")
    app.find("Press L5 on Back")
    wrong = known["back"]["L5"][0] - 500, known["back"]["L5"][1] + 400
    app.click_at(*back.at(wrong))
    app.keys("Escape")
    said = app.find("L5 does not agree with the rest: it lies…").name
    assert "mm off" in said and "Without it the others agree to" in said, said
    picture("suspect")

    # The other side is shown through the board; pressing a point there goes to its own side.
    app.keys("ctrl+z")
    app.keys("alt+1")
    picture("other-side")
    app.keys("alt+2")
    picture("other-side-structure")
    app.close()


main()
