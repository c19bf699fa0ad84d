#!/usr/bin/python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""Documents a board from outside: a board from a photo, three test points placed with the mouse, their
expected values typed, one refused, a stage and a component; then the program is killed by force, and
everything is found again. Then boards from a WebP photo and from one that lies on its side.
Usage: run-board.py PROGRAM"""

import json
import os
import shutil
import sqlite3
import struct
import subprocess
import sys
import zlib

try:
    import pyatspi  # noqa: F401
    from drive import Program, wait_for
except ImportError as error:
    print(error)
    sys.exit(77)
if "DISPLAY" not in os.environ:
    print("no display")
    sys.exit(77)

WIDTH, HEIGHT = 400, 300


def write_png(path):
    """A picture of squares, RGB, without filters."""
    rows = b"".join(b"\0" + bytes(v for x in range(WIDTH) for v in (20 + 40 * ((x // 40 + y // 40) % 2), 90, 60))
                    for y in range(HEIGHT))

    def chunk(kind, data):
        body = kind + data
        return struct.pack(">I", len(data)) + body + struct.pack(">I", zlib.crc32(body))
    with open(path, "wb") as file:
        file.write(b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", struct.pack(">IIBBBBB", WIDTH, HEIGHT, 8, 2, 0, 0, 0))
                   + chunk(b"IDAT", zlib.compress(rows)) + chunk(b"IEND", b""))


def choose_file(app, path):
    """In the toolkit's own file dialog, which has the focus."""
    app.keys("ctrl+l")
    app.keys("ctrl+a")
    app.type(path)
    app.keys("Return")


def rows(app):
    listed = app.find("Parts of the board", "list")
    return [node.name for node in app.nodes("list item", listed)]


def place(app, x, y, expected, name):
    """Presses on the photo at a share of its width and height and types the expected value."""
    left, top, width, height = app.box(app.find("Photo with…"))
    app.click_at(left + x * width, top + y * height)
    app.find(f"Expected value at {name}", "text")
    app.type(expected)
    app.keys("Return")
    wait_for(lambda: any(row.startswith(name + ",") and expected in row for row in rows(app)), f"{name} in the list")


def main():
    data = os.environ["XDG_DATA_HOME"]
    photo, broken, library = (os.path.join(data, name) for name in ("board.png", "broken.png", "test.library"))
    write_png(photo)
    with open(photo, "rb") as whole, open(broken, "wb") as part:
        part.write(whole.read(60))
    app = Program([sys.argv[1], "--library", library])
    app.keys("ctrl+2")

    # A picture that cannot be read makes no board and says why.
    app.open_dialog("New from a photo…", "Photo of the board")
    choose_file(app, broken)
    app.find("No board was made…")
    assert not [n for n in app.names("list item") if "edition" in n], "a board was made from a broken photo"

    app.open_dialog("New from a photo…", "Photo of the board")
    choose_file(app, photo)
    app.find("Nothing in hand")
    app.keys("p")
    place(app, 0.3, 0.4, "12 V ±5 %", "TP1")
    place(app, 0.6, 0.5, "4.8..5.2 V", "TP2")
    place(app, 0.5, 0.65, "< 0.3 V", "TP3")

    # What is no voltage is refused, with the reason, and nothing is lost.
    field = app.find("expected of M2…", "text")
    app.click(field)
    app.keys("ctrl+a")
    app.type("5 ohm")
    app.keys("Return")
    app.find("expected: …")
    assert any("4.8..5.2 V" in row for row in rows(app)), rows(app)
    app.keys("Escape")
    # Undo and redo by key, labelled.
    app.keys("Escape", "Escape", "ctrl+z")
    wait_for(lambda: not any("0.3 V" in row for row in rows(app)), "the undo of the third measurement")
    app.keys("ctrl+shift+z")
    wait_for(lambda: any("0.3 V" in row for row in rows(app)), "its redo")

    # A point is renamed by a double press on the photo.
    left, top, width, height = app.box(app.find("Photo with…"))
    app.double_click_at(left + 0.3 * width, top + 0.4 * height)
    app.keys("ctrl+a")
    app.type("TPX")
    app.keys("Return")
    wait_for(lambda: any(row.startswith("TPX,") for row in rows(app)), "the point by its new name")
    app.keys("Escape", "Escape")

    # The scale of the photo from two places, and a landmark.
    app.keys("alt+7")
    app.click(app.find("Press two places on the photo and say how far apart they are", "push button"))
    app.click_at(left + 0.2 * width, top + 0.5 * height)
    app.click_at(left + 0.8 * width, top + 0.5 * height)
    app.click(app.find("How far apart the two places are, mm", "text"))
    app.type("48 mm")
    app.keys("Return")
    app.find("undo: Set scale", "push button")
    app.click(app.find("Photo with…"))
    app.keys("k")
    app.click_at(left + 0.5 * width, top + 0.5 * height)
    app.find("landmark of landmark L1", "text")
    app.keys("Escape")
    if len(sys.argv) > 2:
        app.picture(sys.argv[2])

    # A section, a stage and a component with its usual modes.
    app.keys("alt+2")
    app.click(app.find("Add a section", "push button"))
    app.type("Supply")
    app.keys("Return")
    app.click(app.find("Add a stage to this section", "push button"))
    app.type("12 V rail")
    app.keys("Return")
    app.click(app.find("Add a component to this stage", "push button"))
    app.keys("ctrl+a")
    app.type("C3")
    app.keys("Return")
    app.click(app.find("kind of C3", "text"))
    app.keys("ctrl+a")
    app.type("capacitor.electrolytic")
    app.keys("Return")
    app.click(app.find("Add the failure modes of this kind…", "push button"))
    wait_for(lambda: any(row.startswith("Component C3") and "4 failure modes" in row for row in rows(app)), "four modes")
    app.kill()
    with sqlite3.connect(library) as kept:
        photo = json.loads(kept.execute("SELECT document FROM board").fetchone()[0])["photos"][0]
    # The photo is shown as large as it fits, so 0.6 of the pane are 240 to 400 of its 400 pixels.
    assert 48 / 400 <= photo["mm_per_px"] <= 48 / 240 + 0.001, photo
    assert [mark["id"] for mark in photo["landmarks"]] == ["L1"] and photo["landmarks"][0]["x"] > 100, photo

    app = Program([sys.argv[1], "--library", library])
    app.keys("ctrl+2")
    listed = wait_for(lambda: [n for n in app.nodes("list item") if "edition" in n.name], "the board in the list")
    assert "3 measurements · 1 component" in listed[0].name, listed[0].name
    app.click(listed[0])
    wait_for(lambda: len(rows(app)) >= 3, "the board open")
    app.keys("alt+1")  # the press may have been on what is missing, which opens that
    wait_for(lambda: any(row.startswith("TPX,") for row in rows(app)), "its measurements")
    found = rows(app)
    for name, expected in (("TPX", "12 V ±5 %"), ("TP2", "4.8..5.2 V"), ("TP3", "< 0.3 V")):
        assert any(row.startswith(name + ",") and expected in row for row in found), (name, found)
    app.keys("alt+2")
    wait_for(lambda: {"Section Supply", "Component C3, electrolytic capacitor, 4 failure modes"} <= set(rows(app)),
             "section and component")
    app.close()


def write_photos(folder):
    """The same picture as WebP, and as a JPEG whose rows lie on their side: EXIF orientation 6, "the 0th row is
    the right-hand side of the picture" (Exif 2.3, tag 0x0112), as a telephone held upright writes it. Paths with
    the upright width and height."""
    try:
        import gi
        gi.require_version("GdkPixbuf", "2.0")
        from gi.repository import GdkPixbuf
    except (ImportError, ValueError):
        return []
    picture = GdkPixbuf.Pixbuf.new_from_file(os.path.join(folder, "board.png"))
    plain, lying, webp = (os.path.join(folder, name) for name in ("plain.jpg", "lying.jpg", "board.webp"))
    picture.savev(plain, "jpeg", [], [])
    with open(plain, "rb") as file:
        jpeg = file.read()
    # One entry of IFD 0: tag 0x0112, type SHORT, count 1, value 6; big-endian TIFF in an APP1 segment after SOI.
    tiff = b"MM\0*" + struct.pack(">IH", 8, 1) + struct.pack(">HHIHH", 0x0112, 3, 1, 6, 0) + struct.pack(">I", 0)
    body = b"Exif\0\0" + tiff
    with open(lying, "wb") as file:
        file.write(jpeg[:2] + b"\xff\xe1" + struct.pack(">H", len(body) + 2) + body + jpeg[2:])
    made = [(lying, "image/jpeg", HEIGHT, WIDTH)]
    convert = shutil.which("convert")
    if convert and subprocess.run([convert, plain, webp], check=False).returncode == 0:
        made.append((webp, "image/webp", WIDTH, HEIGHT))
    return made


def photos():
    """A board from each of these photos; a point in the middle of the pane tells what is upright."""
    data = os.environ["XDG_DATA_HOME"]
    for number, (photo, mime, width, height) in enumerate(write_photos(data)):
        library = os.path.join(data, f"photo{number}.library")
        app = Program([sys.argv[1], "--library", library])
        app.keys("ctrl+2")
        app.open_dialog("New from a photo…", "Photo of the board")
        choose_file(app, photo)
        app.find("Nothing in hand")
        app.keys("p")
        place(app, 0.5, 0.5, "5 V", "TP1")
        app.keys("Escape", "Escape")
        app.close()
        with sqlite3.connect(library) as kept:
            point = json.loads(kept.execute("SELECT document FROM board").fetchone()[0])["test_points"][0]
            stored = kept.execute("SELECT mime FROM board_photo").fetchone()[0]
        assert stored == mime, (photo, stored)
        assert abs(point["x"] - width / 2) < 8 and abs(point["y"] - height / 2) < 8, (photo, point, width, height)


try:
    main()
    photos()
except AssertionError:
    if "BL_TEST_PICTURE" in os.environ:  # what was on the screen when it failed
        os.system("import -window root " + os.environ["BL_TEST_PICTURE"])
    raise
