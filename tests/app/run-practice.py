#!/usr/bin/python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""Questions of Practice from outside: a round of Find your way and one of What should it read by keyboard alone, then both
by mouse alone, where they are left before the end. What is asked for is pressed where the document has it, on the front
and on the back. Every answer is in the file of practice before the next one is given, marked there as on the screen, and
each topic is due when it should be.

  run-practice.py PROGRAM LIBRARY SCHEMAS [PICTURES]"""

import datetime
import glob
import json
import os
import shutil
import sqlite3
import subprocess
import sys
import time

try:
    import pyatspi

    from drive import Program, wait_for
except ImportError as problem:  # pyatspi is not there
    print(f"skipped: {problem}")
    sys.exit(77)
if not os.environ.get("DISPLAY") or not os.environ.get("XDG_CACHE_HOME"):
    print("skipped: no display of its own, see tests/headless.sh")
    sys.exit(77)

command, demo, schemas = sys.argv[1:4]
pictures = sys.argv[4] if len(sys.argv) > 4 else None
library = os.path.join(os.environ["XDG_CACHE_HOME"], "questions.benchlore-library")
folder = os.path.join(os.environ["XDG_DATA_HOME"], "benchlore")
shutil.copy(demo, library)
os.environ["TZ"] = f"NOON{time.gmtime().tm_hour - 12:+d}"  # about midday here and in the program: no day ends meanwhile
time.tzset()
seed = os.environ.get("BENCHLORE_SEED", "1")  # what is drawn follows from it, so that a failure comes again

MARKS = {(1, 0): "right", (0, 1): "near", (0, 0): "not right"}
KINDS = ("section", "stage", "component", "test point")
WAY_QUESTIONS, MEASUREMENTS = 10, 5
pressed = set()  # photos, and whether a name was refused


def ask(sql, file=None):
    if file is None:
        [file] = glob.glob(os.path.join(folder, "practice-*.benchlore-library"))  # that of the demo's copy
    with sqlite3.connect(f"file:{file}?mode=ro", uri=True) as db:
        return db.execute(sql).fetchall()


def shop_counts():
    tables = [row[0] for row in ask("SELECT name FROM sqlite_schema WHERE type = 'table' AND name NOT LIKE 'log_%'"
                                    " AND name NOT LIKE 'sqlite_%'", library)]
    return {table: ask(f'SELECT count(*) FROM "{table}"', library)[0][0] for table in tables}


# --- what the document says ---

def inside(points, x, y):
    """Even-odd rule."""
    odd = False
    for (x0, y0), (x1, y1) in zip(points, points[-1:] + points[:-1]):
        if (y0 > y) != (y1 > y) and x < x0 + (x1 - x0) * (y - y0) / (y1 - y0):
            odd = not odd
    return odd


def middle(points):
    """A place inside an outline, far from its edges."""
    xs, ys = [p[0] for p in points], [p[1] for p in points]
    steps = [(i + 0.5) / 15 for i in range(15)]
    grid = [(min(xs) + s * (max(xs) - min(xs)), min(ys) + t * (max(ys) - min(ys))) for s in steps for t in steps]
    middle_x, middle_y = sum(xs) / len(xs), sum(ys) / len(ys)
    return min((p for p in grid if inside(points, *p)), key=lambda p: (p[0] - middle_x) ** 2 + (p[1] - middle_y) ** 2)


def titled(element):
    return element.get("title") or element["id"]


def pairs(points):
    return points if isinstance(points[0], list) else list(zip(points[::2], points[1::2]))


def place_of(kind, title, photo):
    """Photo and place of what is asked for; on this photo where it is on several."""
    if kind in ("component", "test point"):
        name = title.split(",")[0]
        [element] = [e for e in board["components" if kind == "component" else "test_points"] if e["id"] == name]
        return element["photo"], element["x"], element["y"]
    [element] = [e for e in board[kind + "s"] if titled(e) == title]
    outlines = element.get("outlines") or [o for s in board["stages"] if s.get("section") == element["id"]
                                           for o in s.get("outlines", [])]
    outline = next((o for o in outlines if o["photo"] == photo), outlines[0])
    return outline["photo"], *middle(pairs(outline["points"]))


def measurement_of(title):
    point, _, words = title.partition(", ")
    [found] = [m for m in board["measurements"] if m.get("at", m["id"]) == point and m.get("title", "") == words]
    return found


def number(quantity):
    """A number, or one with the prefix that is written behind it: "215k"."""
    return float(quantity[:-1]) * 1000 if isinstance(quantity, str) and quantity.endswith("k") else float(quantity)


def value_of(expected):
    """A value that a meter shows on a healthy board."""
    if "nominal" in expected:
        return number(expected["nominal"])
    if "high" not in expected:
        return 2 * number(expected["low"])
    return (number(expected.get("low", 0)) + number(expected["high"])) / 2


# --- what is on the screen ---

class Place:
    """Practice. Of a round its panel is looked at alone: each node costs a few calls to the program."""

    def __init__(self, app):
        self.app = app
        node = app.find("Who practises", "label")
        while not any(n.name == "Suspects" for n in app.nodes(within=node.parent)):
            node = node.parent
        self.home = node

    def enter(self, title):
        """The round that was begun: the panel with what is asked, the photo, and what stays as it is."""
        button = wait_for(lambda: next(n for n in self.app.nodes("push button", self.home) if n.name == "I do not know"), title)
        self.panel = node = button.parent.parent
        while not any(n.name == title for n in self.app.nodes("label", node)):
            node = node.parent
        named = [n for n in self.app.nodes(within=node) if n.name]
        self.fixed = {n.name: n for n in self.app.nodes("push button", node) if n.name in ("back", "Front", "Back")}
        self.picture = next(n for n in named if n.name.startswith("Photo: ") or n.name == "opening the photo")
        self.look()

    def left(self):
        wait_for(lambda: not any(n.name == "I do not know" for n in self.app.nodes("push button", self.home)), "the round is left")

    def find(self, name, role="push button"):
        return wait_for(lambda: next(n for n in self.app.nodes(role, self.home) if n.name == name), f"{role} named {name!r}")

    def look(self):
        self.nodes = []
        self.gather(self.panel)
        return self

    def gather(self, node):
        role, name = node.getRoleName(), node.name
        if name:
            self.nodes.append((role, name, node))
        for index in range(0 if role == "push button" else node.childCount):
            child = node.getChildAtIndex(index)
            if child is not None:
                self.gather(child)

    def labels(self):
        return [name for role, name, _ in self.nodes if role == "label"]

    def buttons(self):
        return [name for role, name, _ in self.nodes if role == "push button"]

    def press(self, name):
        found = [node for role, word, node in self.nodes if role == "push button" and word == name]
        node = found[0] if found else self.fixed[name]
        self.lies_still(node)
        self.app.click(node)

    def lies_still(self, node):
        """What has just been put there is told of before it has its place."""
        places = [None]

        def still():
            time.sleep(0.2)
            places.append(self.app.box(node))
            return places[-1] == places[-2] and places[-1][2] > 1
        wait_for(still, "a place that stays")

    def choices(self):
        return [name for name in self.buttons() if name not in ("I do not know", "Keep", "Next", "Another round")]

    def photo(self):
        """Which one is in sight; "": none yet."""
        return self.picture.name.partition(": ")[2].lower()

    def on_screen(self, x, y):
        """Where a place of the photo is; the whole photo is in sight."""
        left, top, width, height = self.app.box(self.picture)
        image_width, image_height = sizes[self.photo()]
        zoom = min(width / image_width, height / image_height)
        return left + width / 2 + (x - image_width / 2) * zoom, top + height / 2 + (y - image_height / 2) * zoom


def picture(name):
    if pictures:
        place.app.picture(os.path.join(pictures, name + ".png"))


def kept(n):
    """The newest answer, when there are so many."""
    wait_for(lambda: ask("SELECT count(*) FROM answer")[0][0] == n, f"{n} answers in the file")
    return ask("SELECT kind, what, correct, near FROM answer ORDER BY id DESC LIMIT 1")[0]


def settled(words):
    """Looks until one of these is on the screen."""
    wait_for(lambda: any(w in place.look().labels() + place.buttons() for w in words), " or ".join(words))


# --- Find your way ---

def asked():
    """What is to be done with the question, its kind and its title; None: the round is done."""
    labels = place.labels()
    for kind in KINDS:
        if f"Where is this {kind}?" in labels:
            return "press", kind, labels[labels.index(f"Where is this {kind}?") + 1]
        if f"Which {kind} is lit?" in labels:
            return "name", kind, None
    assert "This round is done." in labels, labels
    return None


def turned(kind, title, turn):
    """Where to press; it is turned to the photo that is meant."""
    photo, x, y = place_of(kind, title, "back" if "back" not in pressed else "front")
    if wait_for(place.photo, "a photo") != photo:
        turn(photo)
        wait_for(lambda: place.photo() == photo, f"the photo of the {photo}")
    pressed.add(photo)
    return place.on_screen(x, y)


def answer_by_keys(what, kind, title):
    if what == "press":
        x, y = turned(kind, title, lambda photo: place.app.keys("F3"))
        left, top, width, height = place.app.box(place.picture)
        moves = []
        for way, plus, minus in ((x - left - width / 2, "Right", "Left"), (y - top - height / 2, "Down", "Up")):
            key, steps = plus if way > 0 else minus, round(abs(way) / 4)
            moves += [key] * (steps // 6) + ["shift+" + key] * (steps % 6)
        place.app.keys("Return")  # the cross comes to the middle
        subprocess.run(["xdotool", "key", "--clearmodifiers", "--delay", "3", *moves, "Return"], check=True)
    elif kind != "stage":  # some of which begin with a digit, which is typed then
        if "refused" not in pressed:  # it stands there to be read, and a digit is a choice all the same
            pressed.add("refused")
            place.app.type("no such thing")
            place.app.keys("Return")
            settled(["Nothing here is called “no such thing”."])
        place.app.keys("2")
    else:
        place.app.type(place.choices()[1])
        place.app.keys("Return")


def answer_by_mouse(what, kind, title):
    if what == "press":
        place.app.click_at(*turned(kind, title, lambda photo: place.press(photo.capitalize())))
    else:
        place.press(place.choices()[0])


def way(answer, next_question, n, name, whole):
    """Rounds until something was pressed on both photos: what is asked is drawn by chance. whole: to the end."""
    pressed.clear()
    for _ in range(8):
        for number in range(1, WAY_QUESTIONS + 1):
            question = asked()
            answer(*question)
            n += 1
            kind, what, right, near = kept(n)
            assert kind == "way" and (right or question[0] == "name"), (question, what, right, near)
            settled(["Next"])
            assert MARKS[right, near] in place.labels(), (question, MARKS[right, near], place.labels())
            picture(f"{name}-{n}")
            if not whole and {"front", "back"} <= pressed:
                return n
            next_question("Next")
            wait_for(lambda: "Next" not in place.look().buttons(), "the next question")
        assert asked() is None
        if {"front", "back"} <= pressed:
            return n
        next_question("Another round")
        place.enter("Find your way")
    raise AssertionError("nothing was asked about one of the sides")


# --- What should it read? ---

UNITS = {"ohm": "Ω", "diode": "V diode", "continuity": "Ω", "insulation": "Ω", "ESR": "Ω ESR", "degC": "°C",
         "swing": "V swing"}  # beside the field, where it is not what the document calls it
READS = {"In which board state is this measured?": "state", "What is the meter set to?": "measures",
         "Where is the black probe?": "black", "What does a board that works read here?": "value"}


def reads_words(kind, measurement):
    """The right answer as it is to be chosen or typed."""
    if kind == "state":
        return next(titled(s) for s in board["states"] if s["id"] == measurement["state"])
    if kind == "black":
        return next(n for n in place.choices() if n.split(",")[0] == measurement["black"])
    return measurement["measures"] if kind == "measures" else f"{value_of(measurement['expected']):.7g}"


def reads(answer, next_question, n, name, most):
    """A round, or so many measurements of it."""
    answered = set()
    while "Another round" not in place.buttons() and len(answered) < most:
        while True:
            labels = place.labels()
            question = next((w for w in READS if w in labels), None)
            if question is None:
                break
            title = next(t for t in labels if any(t == name_of(m) for m in board["measurements"]))
            measurement = measurement_of(title)
            if READS[question] == "value":
                assert UNITS.get(measurement["measures"], measurement["measures"]) in labels, (title, labels)
            answer(READS[question], reads_words(READS[question], measurement))
            n += 1
            kind, what, right, near = kept(n)
            answered.add(what)
            assert kind == "reads" and what == measurement["id"] and right, (question, title, what, right, near)
            settled(["Next", *(other for other in READS if other != question)])
            picture(f"{name}-{n}")
        next_question("Next")
        settled([*READS, "Another round"])
    assert len(answered) == most, answered
    return n


def name_of(measurement):
    return ", ".join(w for w in (measurement.get("at", measurement["id"]), measurement.get("title")) if w)


def reads_by_keys(kind, words):
    if kind == "value":
        place.app.type(words)
        place.app.keys("Return")
    else:
        place.app.keys("123456789abcdefghijklmnop"[place.choices().index(words)])


def reads_by_mouse(kind, words):
    """A value has to be typed; the field is pressed, and what keeps it."""
    if kind == "value":
        entry = next(node for role, name, node in place.nodes if name == "What it should read")
        place.lies_still(entry)
        place.app.click(entry)
        place.app.type(words)
        place.press("Keep")
    else:
        place.press(words)


# --- the whole ---

def due_days():
    """Every topic is due again today if its last answer was not right, else tomorrow."""
    last = {(kind, topic): right for kind, topic, right in ask("SELECT kind, topic, correct FROM answer ORDER BY id") if topic}
    today = datetime.date.today().toordinal()  # as GDate counts its days
    due = {(kind, topic): day for kind, topic, day in ask("SELECT kind, topic, due FROM spacing")}
    assert due == {key: today + right for key, right in last.items()}, (due, last, today)


def by_keyboard(app):
    app.keys("ctrl+4")
    app.find("Who practises", "label")
    app.type("AK")
    app.keys("Return")
    app.find("AK", "list item")
    chips = [place.find(title) for title in ("Relays", "Controller", "Defrost sensor")]
    for chip in chips:  # sections with much on both sides
        for _ in range(30):
            if chip.getState().contains(pyatspi.STATE_FOCUSED):
                break
            app.keys("Tab")
        app.keys("space")
    picture("keys-chosen")
    app.keys("1")
    place.enter("Find your way")
    read_document()
    n = way(answer_by_keys, lambda name: app.keys("Return"), 0, "keys-way", True)
    app.keys("Escape")
    place.left()
    app.keys("Tab", "Tab", "2")  # out of the entry: a digit begins
    place.enter("What should it read?")
    n = reads(reads_by_keys, lambda name: app.keys("Return"), n, "keys-reads", MEASUREMENTS)
    app.keys("Escape")
    place.left()
    return n


def by_mouse(app, n):
    """Broken off with "back" when everything was pressed that there is: what was answered stays."""
    app.click(place.find("Find your way"))
    place.enter("Find your way")
    n = way(answer_by_mouse, place.press, n, "mouse-way", False)
    place.press("back")
    place.left()
    app.click(place.find("What should it read?"))
    place.enter("What should it read?")
    n = reads(reads_by_mouse, place.press, n, "mouse-reads", 2)
    place.press("back")
    place.left()
    return n


def read_document():
    """The board of the round: nothing is kept yet, but it is the first one that is documented."""
    global board, sizes
    number = next(n.name for n in program.nodes("label", place.home) if ", edition " in n.name).split(",")[0]
    found = [(row[0], json.loads(row[1])) for row in ask("SELECT id, document FROM board", library)]
    [(board_id, board)] = [(i, d) for i, d in found if d.get("board_number") == number]
    sizes = {}
    for photo in ("front", "back"):
        image = ask(f"SELECT image FROM board_photo WHERE board = {board_id} AND photo = '{photo}'", library)[0][0]
        said = subprocess.run(["identify", "-format", "%w %h", "-"], input=image, capture_output=True, check=True).stdout
        sizes[photo] = [int(word) for word in said.split()]


begun = time.monotonic()
program = Program([command, "--library", library], GSETTINGS_SCHEMA_DIR=schemas, BENCHLORE_SEED=seed)
try:
    before = shop_counts()
    program.keys("ctrl+4")
    place = Place(program)
    count = by_keyboard(program)
    keyboard = time.monotonic()
    due_days()
    count = by_mouse(program, count)
    due_days()
    print(f"{count} answers, keyboard {keyboard - begun:.0f} s, mouse {time.monotonic() - keyboard:.0f} s")
    assert shop_counts() == before, "practice wrote into the shop's library"
    program.close()
except BaseException:
    picture("failed")
    program.process.kill()
    raise
