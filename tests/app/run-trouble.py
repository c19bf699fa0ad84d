#!/usr/bin/python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""Libraries that cannot be opened, and a disk that takes no more: each ends in words that name the file
and the reason, and nothing is lost. The full disk is a limit of the size of files that holds for the program
alone and is lifted again. Usage: run-trouble.py PROGRAM LIBRARY"""

import hashlib
import os
import resource
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

program, library = sys.argv[1:3]
data = os.environ["XDG_DATA_HOME"]


def path_of(name):
    return os.path.join(data, name + ".benchlore-library")


def digest(path):
    with open(path, "rb") as file:
        return hashlib.sha256(file.read()).hexdigest()


def refused(name, reason):
    """The page that stands in the place of everything else."""
    path = path_of(name)
    before = digest(path) if os.path.isfile(path) else None
    app = Program([program, "--library", path])
    app.find("The library cannot be opened")
    said = wait_for(lambda: [text for text in app.names("label") if text.startswith(path)], f"the file {name}")
    assert reason in said[0], said
    app.close()
    assert before == (digest(path) if os.path.isfile(path) else None), f"{name} was changed"


def bad_files():
    with open(path_of("text"), "w", encoding="utf-8") as file:
        file.write("a note\n")
    refused("text", "not a library")
    with open(library, "rb") as whole, open(path_of("truncated"), "wb") as part:
        part.write(whole.read(200000))
    refused("truncated", "damaged")
    shutil.copy(library, path_of("newer"))
    with sqlite3.connect(path_of("newer")) as newer:
        newer.execute("PRAGMA user_version = 999")
    newer.close()
    refused("newer", "newer version")
    os.mkdir(path_of("folder"))
    refused("folder", "this is a folder")


def full_disk():
    copy = path_of("copy")
    shutil.copy(library, copy)
    # A write beyond the limit must fail as on a full disk, not end the program.
    app = Program(["sh", "-c", 'trap "" XFSZ; exec "$0" "$@"', program, "--library", copy])
    app.keys("ctrl+1")
    app.find("Measurements", "list")
    resource.prlimit(app.process.pid, resource.RLIMIT_FSIZE, (4096, resource.RLIM_INFINITY))
    app.type("11.9")
    app.keys("Return")
    app.find("Not kept: …")  # under the entry, not at the foot
    records = "SELECT count(*) FROM record WHERE text = '11.9'"
    with sqlite3.connect(copy) as kept:
        before = kept.execute(records).fetchone()[0]
    resource.prlimit(app.process.pid, resource.RLIMIT_FSIZE, (resource.RLIM_INFINITY, resource.RLIM_INFINITY))
    app.keys("Return")  # what was typed still stands there

    def again():
        with sqlite3.connect(copy) as kept:
            return kept.execute(records).fetchone()[0] == before + 1
    wait_for(again, "the reading, once there is room")
    wait_for(lambda: not [name for name in app.names("label") if name.startswith("Not kept")], "the refusal gone")
    app.close()


try:
    bad_files()
    full_disk()
except AssertionError:
    if "BL_TEST_PICTURE" in os.environ:  # what was on the screen when it failed
        os.system("import -window root " + os.environ["BL_TEST_PICTURE"])
    raise
