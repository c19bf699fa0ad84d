#!/usr/bin/python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""The fault tree in full as a screen reader and a keyboard have it: F6 opens it on the leading suspect, arrows
move along it, Space folds, the search flies to a part, what is pressed leads both ways, Esc goes back to the
entry. Usage: run-tree.py PROGRAM LIBRARY SCHEMAS [PICTURE]"""

import os
import shutil
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
path = os.path.join(os.environ["XDG_CACHE_HOME"], "tree.benchlore-library")
shutil.copy(library, path)
app = Program([program, "--library", path], GSETTINGS_SCHEMA_DIR=schemas)


def items():
    """Those shown; looked up again when one vanishes meanwhile."""
    return wait_for(lambda: [list(app.nodes("tree item"))], "the items")[0]


def selected():
    return wait_for(lambda: next(n for n in items() if n.getState().contains(pyatspi.STATE_SELECTED)), "a selected item")


def unlike(name):
    return wait_for(lambda: selected().name if selected().name != name else None, f"another item than {name}")


assert not items()
app.keys("F6")
suspect = selected().name
assert "on the way to the leading suspect" in suspect, suspect
count = len(items())
assert count > 5, count

app.keys("Right")
gate = unlike(suspect)
assert "causes, unfolded" in gate, gate
app.keys("space")
wait_for(lambda: ", folded" in selected().name, "the gate folded")
assert len(items()) < count
app.keys("Left")  # unfolds, then goes on to the suspect
assert unlike(gate.replace("unfolded", "folded")) == suspect
assert len(items()) == count

app.keys("z", "asterisk")
wait_for(lambda: len(items()) > 3 * count, "everything unfolded")
app.keys("BackSpace")
wait_for(lambda: len(items()) == count, "folded again")

app.keys("alt+f")
app.type("tb1")
app.keys("Return")
wait_for(lambda: selected().name.startswith("TB1 "), "the part found")
if len(sys.argv) > 4:
    app.picture(sys.argv[4])

# From the list of suspects to the tree.
app.click(app.find("Suspect RF1…"))
wait_for(lambda: selected().name.startswith("RF1 "), "the suspect pressed, in the tree")

app.keys("Escape")
wait_for(lambda: not items(), "the tree closed")
# Typing is a value again: it is kept at the point in hand.
app.type("12")
app.keys("Return")
app.find("kept…", "label")
app.close()
