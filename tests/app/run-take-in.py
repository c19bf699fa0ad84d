#!/usr/bin/python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""Takes in jobs at the counter, from outside and by keys alone: board and edition are typed, what is doubtful about the
edition is said, the job waits; its label is written as PDF, printed to pixels, and opens the job again: as a picture
among the photos, before a camera that is played by a file, typed by a hand scanner, and on the command line. The same
serial number comes back and is offered as a return.
Usage: run-take-in.py PROGRAM CLI LIBRARY SCHEMAS [PICTURES]"""

import os
import shutil
import sqlite3
import subprocess
import sys
import time

try:
    import pyatspi  # noqa: F401
    from drive import Program, wait_for
except ImportError as error:
    print(error)
    sys.exit(77)
if "DISPLAY" not in os.environ or not shutil.which("pdftoppm") or not shutil.which("convert"):
    print("no display, or no tool that makes pixels of a PDF")
    sys.exit(77)

SERIAL = "W3-2207-0999"


def jobs(library):
    """The newest first."""
    with sqlite3.connect(f"file:{library}?mode=ro", uri=True) as kept:
        kept.row_factory = sqlite3.Row
        return list(kept.execute("SELECT * FROM job ORDER BY number DESC"))


def newest(library, number):
    return wait_for(lambda: next((j for j in jobs(library) if j["number"] == number), None), f"job {number}")


def picture_of(label, png):
    """As a photo of a printed label: 203 dots an inch, larger, a little turned, not quite sharp."""
    subprocess.run(["pdftoppm", "-r", "203", "-png", "-singlefile", label, png[:-4]], check=True)
    subprocess.run(["convert", png, "-background", "grey70", "-filter", "triangle", "-resize", "170%", "-rotate", "6",
                    "-blur", "0x1", png], check=True)


def camera_of(png, raw):
    """Frames that a camera would give."""
    subprocess.run(["convert", png, "-background", "grey60", "-resize", "620x460", "-gravity", "center", "-extent",
                    "640x480", "-colorspace", "Gray", "-depth", "8", "gray:" + raw], check=True)
    with open(raw, "rb") as one:
        frame = one.read()
    with open(raw, "wb") as many:
        many.write(frame * 60)
    return f"filesrc location={raw} ! rawvideoparse width=640 height=480 format=gray8 framerate=10/1"


def fill(app, *texts):
    """Each text in its field; Enter goes on to the next."""
    for text in texts:
        app.type(text)
        app.keys("Return")


def on_bench(app, number):
    app.find(f"Job {number} · …", "label")


def main():
    program, cli, demo, schemas = map(os.path.abspath, sys.argv[1:5])
    pictures = sys.argv[5] if len(sys.argv) > 5 else None
    shop = os.path.join(os.environ["XDG_DATA_HOME"], "shop")
    shelf = os.path.join(os.environ["XDG_DATA_HOME"], "pictures")
    os.mkdir(shop)
    os.mkdir(shelf)
    os.chdir(shelf)  # where the toolkit prints files to
    library, label, photo = (os.path.join(*parts) for parts in ((shop, "shop.library"), (shelf, "label.pdf"),
                                                                (shelf, "label.png")))
    shutil.copyfile(demo, library)
    number = jobs(library)[0]["number"] + 1
    app = Program([program, "--library", library], GSETTINGS_SCHEMA_DIR=schemas)

    # By keys alone. The number that comes next stands there.
    begun = time.monotonic()
    app.keys("ctrl+n")
    app.find("Board", "text")
    assert str(number) in [n.queryText().getText(0, 20) for n in app.nodes("text") if n.name == "Job number"]
    fill(app, "w350")
    app.type("Q")
    app.find("Edition Q is not documented…", "label")
    app.keys("BackSpace")
    fill(app, "C", SERIAL, "Ms Okafor", "Hearthway 350")
    app.type("blinks five times after rain")
    app.keys("Tab")
    app.type("remote control")
    if pictures:
        app.picture(os.path.join(pictures, "form.png"))
    app.keys("ctrl+Return")
    app.find(f"Job {number} is taken in", "label")
    print(f"taken in {time.monotonic() - begun:.1f} s after Ctrl N")
    job = newest(library, number)
    assert (job["state"], job["serial"], job["customer"], job["unit"], job["complaint"], job["came_with"]) == (
        "waiting", SERIAL, "Ms Okafor", "Hearthway 350", "blinks five times after rain", "remote control"), dict(job)
    if pictures:
        app.picture(os.path.join(pictures, "taken.png"))
    # Printed into a file with the larger label, the customer left out.
    app.keys("2", "c", "ctrl+shift+l")
    app.wait_dialog("Print")
    wait_for(lambda: any(node.name == "Print to File" for node in app.nodes(within=app.root)), "the list of printers")
    time.sleep(0.5)
    app.keys("Tab", "Down", "alt+p")
    printed = os.path.join(shelf, f"Label of job {number}.pdf")
    wait_for(lambda: os.path.getsize(printed) > 1000, printed)
    words = subprocess.check_output(["pdftotext", printed, "-"], text=True)
    assert str(number) in words and SERIAL in words and "blinks five times" in words and "Okafor" not in words, words
    size = subprocess.check_output(["pdfinfo", printed], text=True)
    assert "252.283 x 102.047 pts" in size, size  # 89 x 36 mm
    app.focus()
    app.keys("ctrl+shift+Return")
    on_bench(app, number)

    # Its label.
    subprocess.run([cli, "label", str(number), label, "--size", "62x29", "--library", library], check=True)
    assert subprocess.run([cli, "label", str(number), label, "--size", "7x7", "--library", library], check=False,
                          stderr=subprocess.DEVNULL).returncode == 2
    picture_of(label, photo)

    # A hand scanner types it into the search of the jobs, and the serial number at the counter.
    app.keys("ctrl+3")
    app.click(app.find("Search jobs", "text"))
    fill(app, "benchlore:job/" + job["uid"])
    on_bench(app, number)
    app.keys("ctrl+n")
    fill(app, "w350", "C", SERIAL.lower().replace("-", ""))
    app.find(f"Job {number}, …", "label")
    app.keys("alt+r")
    app.find(f"returned from job {number}", "push button")
    app.keys("ctrl+Return")
    app.find(f"Job {number + 1} is taken in", "label")
    assert newest(library, number + 1)["return_of"] == job["id"]
    app.keys("Escape")
    app.close()

    # A photo of the label says which job comes back; then the camera on the page of the jobs.
    source = camera_of(photo, os.path.join(shelf, "frames.raw"))
    app = Program([program, "--library", library], GSETTINGS_SCHEMA_DIR=schemas, BENCHLORE_CAMERA_SOURCE=source)
    app.keys("ctrl+n")
    app.find("Board", "text")
    app.keys("ctrl+i")
    app.wait_dialog("Photos of what came in")
    app.keys("ctrl+l", "ctrl+a")
    app.type(photo)
    app.keys("Return")
    app.find(f"returned from job {number}", "push button")
    assert SERIAL in [n.queryText().getText(0, 40) for n in app.nodes("text") if n.name == "Serial"]
    if pictures:
        app.picture(os.path.join(pictures, "photo.png"))
    app.keys("Escape", "ctrl+3", "F12")
    on_bench(app, number)
    app.close()

    # No camera: it says so, and nothing waits.
    app = Program([program, "--library", library], GSETTINGS_SCHEMA_DIR=schemas,
                  BENCHLORE_CAMERA_SOURCE="v4l2src device=/dev/no-such-camera")
    app.keys("ctrl+n")
    app.find("Board", "text")
    app.keys("F12")
    app.find("There is no camera…", "label")
    app.type("w350")
    app.find("Brindlemoor Ventilation BM-W350-CTL, edition C…", "list item")
    app.close()

    # On the command line, as the desktop does.
    app = Program([program, "--library", library, "benchlore:job/" + jobs(library)[-1]["uid"]],
                  GSETTINGS_SCHEMA_DIR=schemas)
    on_bench(app, jobs(library)[-1]["number"])
    app.close()


main()
