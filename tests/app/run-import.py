#!/usr/bin/python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""Imports a bundle of which the library has the board already, from outside: what differs is shown, a conflict is
decided by key, the other ways are a second edition and nothing at all; a bundle that
brings nothing new says so. Then an equipment is deleted and brought back.
Usage: run-import.py PROGRAM CLI LIBRARY SCHEMAS [PICTURE]"""

import json
import os
import shutil
import sqlite3
import subprocess
import sys
import zipfile

try:
    import pyatspi  # noqa: F401
    from drive import Program, wait_for
except ImportError as error:
    print(error)
    sys.exit(77)
if "DISPLAY" not in os.environ:
    print("no display")
    sys.exit(77)

NUMBER = "BM-W350-CTL"


def choose_file(app, path):
    """In the toolkit's own file dialog, which has the focus."""
    app.keys("ctrl+l")
    app.keys("ctrl+a")
    app.type(path)
    app.keys("Return")


def change(source, target):
    """The same bundle with another title of one measurement, a new point, and one value that the library lacks."""
    with zipfile.ZipFile(source) as old, zipfile.ZipFile(target, "w") as new:
        for name in old.namelist():
            data = old.read(name)
            if name == "board.json":
                board = json.loads(data)
                board["measurements"][3]["title"] = "as the other shop calls it"
                board["components"][0]["notes"] = "runs warm in summer"
                board["test_points"].append({"id": "TP-NEW", "photo": board["photos"][0]["id"], "x": 100, "y": 100})
                data = json.dumps(board)
            new.writestr(name, data)


def boards(library):
    with sqlite3.connect(library) as kept:
        return [json.loads(row[0]) for row in kept.execute("SELECT document FROM board ORDER BY id")]


def wall(library):
    return next(b for b in boards(library) if b["board_number"] == NUMBER and b["edition"] == "C")


def has_new_point(board):
    return any(point["id"] == "TP-NEW" for point in board["test_points"])


def open_import(app, path):
    app.open_dialog("Import…", "Import a board")
    choose_file(app, path)


def main():
    program, cli, demo, schemas = sys.argv[1:5]
    data = os.environ["XDG_DATA_HOME"]
    # The bundles lie beside the library: the file dialog looks into all of that folder, and a second program opens and
    # closes the library meanwhile.
    shop = os.path.join(data, "shop")
    os.mkdir(shop)
    library = os.path.join(shop, "shop.library")
    same, other = (os.path.join(shop, name) for name in ("same.benchlore", "other.benchlore"))
    shutil.copyfile(demo, library)
    subprocess.run([cli, "export", f"{NUMBER}/C", same, "--library", library], check=True)
    change(same, other)
    app = Program([program, "--library", library], GSETTINGS_SCHEMA_DIR=schemas)
    app.keys("ctrl+2")

    # A bundle that brings nothing new.
    open_import(app, same)
    app.find("The library has all of…")

    # What differs: two things that only the file has are taken, the title that both have is not.
    open_import(app, other)
    app.find("Merge 2 differences", "push button")
    conflict = wait_for(
        lambda: next((n for n in app.nodes("list item") if "as the other shop calls it" in n.name), None), "the conflict")
    assert "chosen: the library's" in conflict.name, conflict.name
    added = next(n for n in app.nodes("list item") if n.name.startswith("TP-NEW"))
    assert "chosen: the file's" in added.name, added.name
    if len(sys.argv) > 5:
        app.picture(sys.argv[5])
    # By keys: to the conflict, and its other side.
    app.keys("Home")
    for _ in range(6):
        focused = next((n for n in app.nodes("list item") if n.getState().contains(pyatspi.STATE_FOCUSED)), None)
        if focused is not None and "as the other shop" in focused.name:
            break
        app.keys("Down")
    app.keys("Right")
    app.find("Merge 3 differences", "push button")
    app.keys("ctrl+Return")

    # It is shown in the edition.
    wait_for(lambda: has_new_point(wall(library)), "the merge")
    merged = wall(library)
    assert has_new_point(merged) and merged["components"][0]["notes"] == "runs warm in summer"
    assert merged["measurements"][3]["title"] == "as the other shop calls it"
    # Both, in the library as it was.
    app.close()
    library += "-2"
    shutil.copyfile(demo, library)
    app = Program([program, "--library", library], GSETTINGS_SCHEMA_DIR=schemas)
    app.keys("ctrl+2")
    count = len(boards(library))
    open_import(app, other)
    app.find("Merge 2 differences", "push button")
    app.keys("alt+2")
    field = app.find("What the second one is called", "text")
    app.click(field)
    app.keys("ctrl+a")
    app.type("C other shop")
    app.keys("ctrl+Return")
    wait_for(lambda: len(boards(library)) == count + 1, "the second edition")
    second = next(b for b in boards(library) if b["edition"] == "C other shop")
    assert has_new_point(second) and second["uid"] != wall(library)["uid"]

    # Nothing.
    open_import(app, other)
    app.find("Merge 2 differences", "push button")
    app.keys("Escape")
    app.find("Import…", "push button")
    assert len(boards(library)) == count + 1 and not has_new_point(wall(library))

    # The equipment that no job is about: deleted, and back by key.
    idle = "Hearthway 350: roof unit feeds wall unit"

    def listed():
        return [n for n in app.names("list item") if n.startswith(idle)]
    wait_for(listed, "the equipment")
    app.click(app.find(f"delete: {idle}", "push button"))
    app.find(f"undo: delete the equipment {idle}…", "push button")
    assert not listed()
    app.keys("ctrl+z")
    wait_for(listed, "the equipment again")
    app.close()


main()
