#!/usr/bin/python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""Documents a board from its bare photographs, by keys and mouse alone, and counts both; then the edition that came of
it is exported and has to find simulated faults.

What is typed is what a technician knows of a good board: values, places, names. They are read from the demo's
document of the same board, which nothing else here looks at: no file is loaded into the program but photographs. The
readings of faulty circuits (tests/fixtures/circuits, computed with a circuit simulator, where they come from is said
there) then go through the diagnosis, measurement by measurement, by the ids of the edition just documented.

Time of a person: keystroke-level model (Card, Moran and Newell 1980; operators from memory): a key 0.28 s for an
average, 0.2 s for a skilled typist, pointing 1.1 s, a hand from keys to mouse or back 0.4 s, a thought before each
line or place 1.35 s. Metering: 20 s for each measurement, what the program itself takes where a document says
nothing, and the time that the states say it takes to bring the board into them. Both are assumptions.

Usage: run-document.py PROGRAM CLI DEMO-FOLDER PHOTO-FOLDER FIXTURES [--whole]
Without --whole: the mains inlet only, its nominal faults only."""

import csv
import json
import os
import re
import sqlite3
import struct
import subprocess
import sys
import time
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

WHOLE = "--whole" in sys.argv
PROGRAM, CLI, DEMO, PHOTOS, FIXTURES = sys.argv[1:6]
DATA = os.environ["XDG_DATA_HOME"]
LIBRARY = os.path.join(DATA, "documented.library")

KEY, SKILLED_KEY, POINT, HAND, THOUGHT = 0.28, 0.2, 1.1, 0.4, 1.35
METER = 20.0  # s for a measurement
SHIFTED = set('~!@#$%^&*()_+{}|:"<>?')


# --- what the technician knows ---------------------------------------------------------------------

with open(os.path.join(DEMO, "roof-board.json"), encoding="utf-8") as known_file:
    KNOWN = json.load(known_file)
POINTS = {point["id"]: point for point in KNOWN["test_points"]}
READ = {measurement["id"]: measurement for measurement in KNOWN["measurements"]}
# The states of the templates are called otherwise.
STATE = {"off": "off", "standby": "run", "run": "load"}
UNIT = {"V DC": "V DC", "V AC": "V AC", "V pp": "Vpp", "ohm": "ohm", "diode": "diode", "Hz": "Hz"}
# Template's point -> where it is on this board, by the name of the demo's point. An AC pin of the bridge is the same
# node as the thermistor's far end, a little beside it.
PLACES = {"TPC": "TPCL", "TPB": "TPI"}
# Template's measurement -> the same of the demo, for the readings of the circuits.
SAME = {"R-LN": "R-LN", "R-F1": "R-F1", "R-RV1": "R-RV1", "R-RT1": "R-RT1", "LN": "LN", "FO": "LNF", "LS": "LNB",
        "NTR": "BYPASS", "FDR": "F-DROP", "NDR": "N-DROP", "BUS": "BUS", "BUSR": "BUS-L", "RIPR": "RIPPLE",
        "RIP": "RIPPLE-R", "R-12": "R-12", "V12": "V12", "V12R": "V12-L", "LA": "OPTO", "RF": "REF", "DR": "DRAIN",
        "CS": "CHIP", "FB": "FB", "FBR": "FB-L", "LK": "CATH", "SFD": "RF-DROP"}
# Where a fault sits, in the demo's stages -> in those of the templates.
STAGE = {"feed_in": "terminals", "inlet": "inlet", "filter": "choke", "inrush": "inrush", "bridge": "bridge",
         "bulk": "bulk", "smps_feed": "feed", "smps_chip": "chip", "smps_switch": "primary", "smps_out": "secondary",
         "smps_fb": "regulation"}
TEMPLATES = ["Mains inlet and protection", "Rectifier and bulk capacitor", "Isolated switch-mode supply"]
# What no template has: at which point, in this order.
INLET = ["LNR", "FDS", "CO", "CLR", "LSR", "NDS", "CNR", "R-L1L", "R-L1N"]
SUPPLY = ["SF", "RIPF", "D-LP", "D-NP", "D-0L", "D-0N", "R-T1P", "D-LA", "D-FB", "R-DIV", "R-R6"]
LOAD = ["V5", "R-5", "XO", "XI", "K2B", "K2V", "K2V0", "R-K2", "K2C", "K2D", "K2D0", "D-K2", "K2O", "K2O0", "K2I",
        "K2X", "R-K2X", "K2T"]
# Sections and stages drawn as rectangles; the stages have neither components nor feeds yet.
DRAWN = [("5 V and controller", [("5 V rail", ["TP5"]), ("Controller", ["TPXI", "TPXO"])]),
         ("Relay outputs", [("K2 driver and coil", ["TPB2", "TPK2", "TPK2P"]),
                            ("K2 contact", ["TPH1", "TPH2"])])]


def number(value):
    return value if isinstance(value, str) else f"{value:g}"


def line(name, black, state, volts):
    """The line that documents a measurement. black, state: where they are not as before, volts: the kind of voltage
    that was measured last."""
    known = READ[name]
    expected = known["expected"]
    low, high, nominal = (expected.get(key) for key in ("low", "high", "nominal"))
    unit = "V" if known["measures"] == volts else UNIT[known["measures"]]
    words = []
    if low is not None and high is not None:
        if nominal is not None and unit != "diode":
            words.append(f"{number(nominal)} {unit} {number(low)}..{number(high)}")
        else:
            words.append(f"{number(low)}..{number(high)} {unit}")
    else:
        words.append(f"{'<' if high is not None else '>'} {number(high if high is not None else low)} {unit}")
    for key, word in (("absent_below", "absent"), ("shorted_below", "short"), ("open_above", "open")):
        if key in expected:
            words.append(f"{word} {number(expected[key])}")
    words.append(state)
    if black:
        words.append(f"to {black}")
    return " ".join(word for word in words if word)


# --- hands that count ------------------------------------------------------------------------------

class Technician(Program):
    """The driver, and what a person would have done for the same."""

    def __init__(self, command):
        self.count = {"keys": 0, "clicks": 0, "hands": 0, "thoughts": 0}
        self.at_mouse = True
        super().__init__(command)

    def hand(self, mouse):
        self.count["hands"] += mouse != self.at_mouse
        self.at_mouse = mouse

    def keys(self, *names):
        self.hand(False)
        for name in names:
            self.count["keys"] += len(name.split("+")) if name != "plus" else 1
        super().keys(*names)

    def type(self, text):
        self.hand(False)
        self.count["keys"] += len(text) + sum(c in SHIFTED or c.isupper() for c in text)
        subprocess.run(["xdotool", "type", "--clearmodifiers", "--delay", "12", text], check=True)
        time.sleep(0.05)

    def click_at(self, x, y, button=1):
        self.hand(True)
        self.count["clicks"] += 1
        super().click_at(x, y, button)

    def drag(self, x0, y0, x1, y1):
        self.hand(True)
        self.count["clicks"] += 2
        move = ["mousemove", str(round(x1)), str(round(y1))]
        subprocess.run(["xdotool", "mousemove", str(round(x0)), str(round(y0)), "mousedown", "1", "mousemove",
                        str(round((x0 + x1) / 2)), str(round((y0 + y1) / 2)), "sleep", "0.05", *move, "sleep", "0.05",
                        *move, "mouseup", "1"], check=True)
        time.sleep(0.2)

    def think(self):
        self.count["thoughts"] += 1

    def seconds(self, key):
        count = self.count
        return (count["keys"] * key + count["clicks"] * (POINT + key) + count["hands"] * HAND
                + count["thoughts"] * THOUGHT)


def document():
    """What the program has kept so far; looked at, never written."""
    with sqlite3.connect(f"file:{LIBRARY}?mode=ro", uri=True) as kept:
        row = kept.execute("SELECT document FROM board").fetchone()
    return json.loads(row[0]) if row else {}


def size_of(path):
    """Width and height in a JPEG's frame header (marker C0 or C2)."""
    with open(path, "rb") as file:
        data = file.read()
    at = 2
    while data[at + 1] not in (0xC0, 0xC2):
        at += 2 + struct.unpack(">H", data[at + 2:at + 4])[0]
    height, width = struct.unpack(">HH", data[at + 5:at + 9])
    return width, height


class Documenting:
    def __init__(self, app):
        self.app = app
        self.ids = dict(SAME)   # the demo's measurement -> that of the edition
        self.point = {}         # the demo's point -> that of the edition
        self.typed = 0
        self.side = "front"
        self.sizes = {side: size_of(os.path.join(PHOTOS, f"roof-{side}.jpg")) for side in ("front", "back")}
        self.pane = None

    def choose_file(self, path):
        """The path is typed, which is surest here; a person presses the picture in the list twice, and is counted so."""
        counted = dict(self.app.count)
        self.app.keys("ctrl+l", "ctrl+a")
        self.app.type(path)
        self.app.keys("Return")
        self.app.count = {**counted, "clicks": counted["clicks"] + 2, "thoughts": counted["thoughts"] + 1}
        self.app.at_mouse = True

    def screen(self, x, y):
        """Where a pixel of the whole photo is on the screen."""
        left, top, width, height = self.pane
        photo_width, photo_height = self.sizes[self.side]
        scale = min(width / photo_width, height / photo_height)
        return (left + (width - photo_width * scale) / 2 + x * scale,
                top + (height - photo_height * scale) / 2 + y * scale)

    def press(self, point, dx=0, dy=0):
        known = POINTS[point]
        self.app.click_at(*self.screen(known["x"] + dx, known["y"] + dy))

    def begin(self):
        app = self.app
        app.keys("ctrl+2")
        app.open_dialog("New from a photo…", "Photo of the board")
        self.choose_file(os.path.join(PHOTOS, "roof-front.jpg"))
        app.find("Nothing in hand")
        self.pane = app.box(app.find("Photo with…"))
        time.sleep(0.5)

    # --- sections from templates ---

    def insert(self, title):
        app = self.app
        stages = len(document().get("stages", []))
        app.think()
        app.keys("t")
        app.click(app.find(title + "…", "push button"))
        app.find("insert this section", "push button")
        app.think()
        app.keys("Return")
        wait_for(lambda: len(document().get("stages", [])) > stages, f"the stages of {title}")

    def place_waiting(self):
        """Shift P, then a press for each point that waits."""
        app = self.app
        app.keys("alt+1")
        time.sleep(0.3)
        waiting = [point["id"] for point in document()["test_points"] if "photo" not in point]
        app.keys("shift+p")
        time.sleep(0.4)
        assert app.box(app.find("Photo with…"))[2] == self.pane[2], "the photo gave way to the panel"
        for number_placed, name in enumerate(waiting):
            place = "TPI" if name == "TPAC" else PLACES.get(name, name)
            app.think()
            self.press(place, dx=90 if name == "TPAC" else 0)
            self.point.setdefault(place, name)
            wait_for(lambda n=number_placed: sum("photo" in p for p in document()["test_points"]) > n, f"{name} placed")
        if "TPAC" in waiting:
            self.point["TPI"] = "TPB"

    # --- measurements in one line ---

    def place(self, point):
        """A test point that no template has; left with the line ready. Its title is what the technician calls it."""
        app = self.app
        before = {p["id"] for p in document()["test_points"]}
        app.think()
        self.press(point)
        new = wait_for(lambda: {p["id"] for p in document()["test_points"]} - before, f"{point} placed")
        self.point[point] = new.pop()

    def enter(self, name):
        """The measurement of the demo by this name, at its point, which is placed first where it has to be."""
        app, known = self.app, READ[name]
        at, black = known["at"], known.get("black")
        if black and black not in self.point:
            self.place(black)
            app.keys("Return")  # nothing to be measured there now
            self.last = None
        fresh = at not in self.point
        if fresh:
            self.place(at)
        elif self.last != at:
            app.think()
            self.press(at)
            time.sleep(0.15)
        self.last = at
        black = self.point.get(black)
        state = STATE[known["state"]]
        # Ohms and diodes go without power by themselves.
        text = line(name, black if black != self.black else "", state if state not in ("off", self.live) else "", self.volts)
        self.black = black
        self.live = state if state != "off" else self.live
        self.volts = known["measures"] if known["measures"].startswith("V ") else self.volts
        before = [m["id"] for m in document()["measurements"]]
        app.think()
        if fresh:
            app.type(POINTS[at]["title"] + ": ")
        app.type(text)
        app.keys("Return")
        try:
            after = wait_for(lambda: [m for m in document()["measurements"] if m["id"] not in before], f"{name}: {text}", 8)
        except AssertionError:
            print(name, text, [n.name for n in app.nodes("label") if n.name][-30:])
            raise
        self.ids[name] = after[0]["id"]
        self.check(after[0], known, name)
        self.typed += 1

    def check(self, made, known, name):
        """What was understood is what was meant."""
        assert made["measures"] == known["measures"] and made["state"] == STATE[known["state"]], (name, made)
        assert made["at"] == self.point[known["at"]] and made.get("black") == self.point.get(known.get("black")), (name, made)

    def enter_all(self, names):
        app = self.app
        app.keys("p")
        self.last = self.black = None
        self.live, self.volts = "run", "V DC"
        for name in names:
            self.enter(name)
        app.keys("Escape")
        app.keys("Escape")

    # --- stages drawn ---

    def add(self, button, words):
        app = self.app
        app.think()
        app.click(app.find(button, "push button"))
        time.sleep(0.3)
        app.keys("ctrl+a")
        app.type(words)
        app.keys("Return")
        time.sleep(0.2)

    def rectangle(self, points):
        app = self.app
        xs, ys = [POINTS[p]["x"] for p in points], [POINTS[p]["y"] for p in points]
        photo = self.screen(min(xs) - 70, min(ys) - 70) + self.screen(max(xs) + 70, max(ys) + 70)
        drawn = sum(len(stage.get("outlines", [])) for stage in document()["stages"])
        app.think()
        app.click(app.find("Draw a rectangle", "push button"))
        app.drag(*photo)
        wait_for(lambda: sum(len(stage.get("outlines", [])) for stage in document()["stages"]) > drawn, "the rectangle")

    def draw(self):
        app = self.app
        app.keys("alt+2")
        for section, stages in DRAWN:
            self.add("Add a section", section)
            for count, (stage, points) in enumerate(stages):
                if count:
                    app.click(app.find(f"Section {section}", "list item"))
                    time.sleep(0.3)
                self.add("Add a stage to this section", stage)
                self.rectangle(points)

    # --- altogether ---

    def whole(self):
        app = self.app
        app.keys("alt+2")
        if WHOLE:
            self.draw()
        for title in TEMPLATES if WHOLE else TEMPLATES[:1]:
            self.insert(title)
        self.place_waiting()
        self.enter_all(INLET + (SUPPLY + LOAD if WHOLE else []))


# --- what the edition is worth ---------------------------------------------------------------------

def rows(name):
    with open(os.path.join(FIXTURES, "circuits", name), encoding="utf-8", newline="") as file:
        return list(csv.reader(file))[1:]


def diagnose(board, readings):
    path = os.path.join(DATA, "readings.csv")
    with open(path, "w", encoding="utf-8") as file:
        file.write("measurement,reading,meter\n" + "".join(f"{name},{value},\n" for name, value in readings))
    answer = subprocess.run([CLI, "diagnose", "--board", board, "--readings", path, "--json"], capture_output=True,
                            text=True, check=False)
    assert answer.returncode == 0, answer.stderr
    return json.loads(answer.stdout)


def judge(board, ids, folder, circuits):
    """How many simulated faults come out with their stage first, within two, of how many that leave a trace."""
    first = two = traced = 0
    for circuit in circuits:
        values = {(state, fault, point): value for state, fault, _, point, value in rows(folder + circuit + ".csv")}
        used = [(state, point, ids[name]) for file, of, state, point, name in rows("map.csv")
                if file == "roof-board.json" and of == circuit and name in ids]
        for fault, where in [("OK", "")] + [(f, w) for of, f, w in rows("truth.csv") if of == circuit]:
            readings = [(name, values[state, fault, point]) for state, point, name in used
                        if (state, fault, point) in values]
            if not readings:
                continue
            answer = diagnose(board, readings)
            deviating = [r["measurement"] for r in answer["readings"] if r["verdict"] not in ("in band", "as expected")]
            if fault == "OK":
                assert not deviating, f"{circuit}: the good board deviates at {deviating}"
                continue
            if not deviating:
                continue
            order = [stage["id"] for stage in answer["stages"]]
            rank = min(order.index(STAGE[stage]) for stage in where.split("|"))
            traced += 1
            first += rank == 0
            two += rank <= 1
            if rank:
                print(f"  {circuit} {fault}: sits in {where}, named {order[:2]}")
    return first, two, traced


def main():
    app = Technician([PROGRAM, "--library", LIBRARY])
    begun = time.monotonic()
    work = Documenting(app)
    try:
        work.begin()
        work.whole()
    except AssertionError:
        if "BL_TEST_PICTURE" in os.environ:
            app.picture(os.environ["BL_TEST_PICTURE"])
        app.errors.seek(0)
        print("the program's end:", app.process.poll(), app.errors.read()[-2000:])
        raise
    made = document()
    if "BL_TEST_PICTURE" in os.environ:
        app.picture(os.environ["BL_TEST_PICTURE"])
    app.close()
    listed = subprocess.run([CLI, "boards", "--library", LIBRARY], capture_output=True, text=True, check=True).stdout
    bundle = os.path.join(DATA, "documented.benchlore")
    subprocess.run([CLI, "export", re.search(r"^\s*(\d+)\s", listed, re.M).group(1), bundle, "--library", LIBRARY], check=True)
    with zipfile.ZipFile(bundle) as file:
        assert {name for name in file.namelist() if name.startswith("photos/")}, file.namelist()
        board = json.loads(file.read("board.json"))
    # As in the check of the demo's own documents: the simulation knows no wrong lead or state.
    board.setdefault("odds", {})["setup"] = 0
    judged = os.path.join(DATA, "judged.json")
    with open(judged, "w", encoding="utf-8") as file:
        json.dump(board, file)
    report(app, work, made, judged, time.monotonic() - begun)


def report(app, work, made, bundle, ran):
    measurements, count = len(made["measurements"]), app.count
    used = {m["state"] for m in made["measurements"]}
    states = sum(state.get("enter_s", 60) for state in made["states"] if state["id"] in used)
    print(f"documented: {len(made['stages'])} stages, {len(made['components'])} components, {len(made['test_points'])} test"
          f" points, {measurements} measurements, {work.typed} of them typed ({ran:.0f} s of the machine)")
    print(f"by hand: {count['keys']} keys, {count['clicks']} presses, {count['hands']} times from keys to mouse or back,"
          f" {count['thoughts']} thoughts; each measurement {count['keys'] / measurements:.1f} keys,"
          f" {count['clicks'] / measurements:.1f} presses")
    for words, key in (("average", KEY), ("skilled", SKILLED_KEY)):
        hands = app.seconds(key)
        meter = measurements * METER + states
        forty = 40 * (hands / measurements + METER) + states
        print(f"time of a person, {words} typist: {hands / 60:.1f} min of hands, {meter / 60:.1f} min of metering"
              f" (assumed); 40 measurements {forty / 60:.1f} min")
    hands = 40 * app.seconds(KEY) / measurements + 40 * METER + states
    assert hands < 25 * 60, f"40 measurements take {hands / 60:.1f} min"
    circuits = ["a_inlet", "b_bulk", "c_smps"] if WHOLE else ["a_inlet"]
    for folder in ("", "spread/") if WHOLE else ("",):
        first, two, traced = judge(bundle, work.ids, folder, circuits)
        print(f"{folder or 'nominal'}: right stage first {first} of {traced}, within two {two}")
        assert traced >= (40 if WHOLE else 14), traced
        assert first >= 0.9 * traced and two >= 0.95 * traced, (first, two, traced)


main()
