#!/usr/bin/python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""A job with both hands on the probes: a simulated bench meter on the loopback is read live, and ten readings of
ten measurements are taken without one key. Then an absent value waits for the key, a meter on ohms on a live board
is told of, a far-off value is asked about, and when the meter goes away typing goes on.

  run-capture.py PROGRAM CLI METER_PROGRAM INSTRUMENT DEMO_LIBRARY SCHEMA_FOLDER

The values are those of one simulated fault of the roof unit's document, so that they are possible together.
BL_TEST_SHOTS names a folder for pictures of the screens on the way.
"""

import csv
import io
import json
import os
import shutil
import sqlite3
import subprocess
import sys
import threading
import time

try:
    import drive
except ImportError as problem:  # pyatspi is not there
    print(f"skipped: {problem}")
    sys.exit(77)
if not os.environ.get("DISPLAY") or not os.environ.get("XDG_CACHE_HOME"):
    print("skipped: no display of its own, see tests/headless.sh")
    sys.exit(77)

command, cli, meter_program, instrument_program, demo, schemas = sys.argv[1:7]
cache = os.environ["XDG_CACHE_HOME"]
library = os.path.join(cache, "job.benchlore-library")
JOB, STATE, FAULT = 1050, "standby", "R4:drifted +20 %"
READ_BEFORE = ("NT", "NDS", "FDS")  # drops so small that leads in the air show the same: only the key takes them
FUNCTIONS = {"V DC": "VOLT", "V AC": "VOLT:AC", "ohm": "RES", "Hz": "FREQ"}


class Instrument:
    """The simulated meter; what it is set to by the program is in functions."""

    def __init__(self):
        self.process = subprocess.Popen([sys.executable, instrument_program, meter_program], stdin=subprocess.PIPE,
                                        stdout=subprocess.PIPE, text=True, bufsize=1)
        first = self.process.stdout.readline().split()
        if not first:
            print("skipped: no simulated meter")
            sys.exit(77)
        self.port = int(first[1])
        self.function = "VOLT"
        threading.Thread(target=self._listen, daemon=True).start()

    def _listen(self):
        for line in self.process.stdout:
            self.function = line.split()[-1]

    def say(self, *lines):
        for line in lines:
            print(line, file=self.process.stdin, flush=True)

    def lift(self):
        self.say("over" if self.function in ("RES", "DIOD", "CONT") else "value 0.000")
        time.sleep(1.2)

    def touch(self, text):
        self.lift()
        self.say(f"value {text}")

    def end(self):
        self.process.stdin.close()
        self.process.wait(10)


def settings(**values):
    folder = os.path.join(os.environ["XDG_CONFIG_HOME"], "glib-2.0", "settings")
    os.makedirs(folder, exist_ok=True)
    with open(os.path.join(folder, "keyfile"), "w", encoding="utf-8") as file:
        file.write("[org/benchlore/Benchlore]\n")
        for key, value in values.items():
            file.write(f"{key.replace('_', '-')}={value}\n")


def prepare(port):
    """A job of the roof unit in standby, and a meter of the shop that is read live. Returns document and job id."""
    shutil.copy(demo, library)
    meter = {"format": "benchlore-meter", "version": 1, "name": "bench meter", "true_rms": True, "driver": "scpi-dmm",
             "connection": f"tcp-raw/127.0.0.1/{port}",
             "ranges": [{"measures": "A DC", "full_scale": 10, "percent": 1}]}  # none for what is read: exact
    with sqlite3.connect(library) as db:
        document = json.loads(db.execute("SELECT document FROM board WHERE board_number LIKE 'BM-R350%'").fetchone()[0])
        board = db.execute("SELECT id FROM board WHERE board_number LIKE 'BM-R350%'").fetchone()[0]
        now = time.time_ns() // 1000
        job = db.execute("INSERT INTO job (uid, number, board, complaint, state, closed, created, changed) "
                         "VALUES (hex(randomblob(16)), ?, ?, ?, 'on the bench', 0, ?, ?)",
                         (JOB, board, "Lamp flickers.", now, now)).lastrowid
        db.execute("INSERT INTO record (uid, job, time, kind, subject, unproven) "
                   "VALUES (hex(randomblob(16)), ?, ?, 'state', ?, 0)",
                   (job, now, STATE))
        db.execute("INSERT INTO record (uid, job, time, kind, subject, text, unproven) "
                   "VALUES (hex(randomblob(16)), ?, ?, 'supply', ?, 'supply: isolated', 0)", (job, now, STATE))
        for subject in READ_BEFORE:
            db.execute("INSERT INTO record (uid, job, time, kind, subject, text, state, unproven) "
                       "VALUES (hex(randomblob(16)), ?, ?, 'reading', ?, '0.21', ?, 0)", (job, now, subject, STATE))
        db.execute("INSERT INTO meter (name, document, usual, changed) VALUES (?, ?, 1, ?)",
                   (meter["name"], json.dumps(meter), now))
    db.close()
    return document, job


def simulated(document):
    """What each measurement reads with the fault: id -> value."""
    path = os.path.join(cache, "board.json")
    with open(path, "w", encoding="utf-8") as file:
        json.dump(document, file)
    text = subprocess.run([cli, "simulate", "--board", path, "--fault", FAULT], capture_output=True, text=True,
                          check=True).stdout
    return {row["measurement"]: row["reading"] for row in csv.DictReader(io.StringIO(text))}


def readings(job):
    with sqlite3.connect(library) as db:
        rows = db.execute("SELECT subject, text FROM record WHERE job = ? AND kind = 'reading' ORDER BY id LIMIT -1 OFFSET 3",
                          (job,)).fetchall()
    db.close()
    return rows


def meters_said(job):
    """Which of the shop's meters the log says it was measured with."""
    with sqlite3.connect(library) as db:
        rows = db.execute("SELECT subject FROM record WHERE job = ? AND kind = 'meter'", (job,)).fetchall()
    db.close()
    return [row[0] for row in rows]


def in_hand(program, document):
    """The measurements that the panel can mean: of the point and the title it shows, in this state."""
    names = program.names("label")
    point, title = names[names.index("expected") - 3:names.index("expected") - 1]
    titles = {p["id"]: p.get("title", p["id"]) for p in document["test_points"]}
    return [m for m in document["measurements"]
            if m.get("at", m["id"]) == point and m.get("title", titles.get(point)) == title and m["state"] == STATE]


def picture(program, name):
    folder = os.environ.get("BL_TEST_SHOTS")
    if folder:
        time.sleep(0.4)
        program.picture(os.path.join(folder, name + ".png"))


def said(program, words, seconds=15):
    drive.wait_for(lambda: any(words in n.name for n in program.nodes()), f"the words “{words}”", seconds)


def likely(program):
    return next(n.name for n in program.nodes("image") if n.name.startswith("Photo "))


def main():
    instrument = Instrument()
    document, job = prepare(instrument.port)
    values = simulated(document)
    settings(capture_on="true", capture_sound="false", last_job=str(job))
    program = drive.Program([command, "--library", library], GSETTINGS_SCHEMA_DIR=schemas, GSETTINGS_BACKEND="keyfile")
    try:
        run(program, instrument, document, job, values)
    except AssertionError:
        picture(program, "failed")
        print([n.name for n in program.nodes("text")], [n for n in program.names("label")][:60])
        raise
    finally:
        instrument.end()
        if program.process.poll() is None:
            program.kill()


def next_one(program, instrument, document, job):
    """The measurement in hand that was not read yet, once the meter is set for it."""
    read = [subject for subject, _ in readings(job)]
    measurement = drive.wait_for(lambda: next((m for m in in_hand(program, document) if m["id"] not in read), None),
                                 "the next in hand")
    wanted = FUNCTIONS[measurement["measures"]]
    drive.wait_for(lambda: instrument.function == wanted, f"the meter set to {wanted}")
    return measurement["id"]


def taken(job, count, subject, text):
    drive.wait_for(lambda: len(readings(job)) == count, f"reading {count}: {subject} {text}")
    kept = readings(job)[-1]
    assert kept[0] == subject and abs(float(kept[1]) - float(text)) < 1e-9, (kept, subject, text)
    print(count, *kept, flush=True)


def ten_by_themselves(program, instrument, document, job, values):
    seen = []
    for count in range(10):
        subject = next_one(program, instrument, document, job)
        text = f"{float(values[subject]):.3f}"
        instrument.touch(text)
        if count == 1:
            picture(program, "armed")
        taken(job, count + 1, subject, text)
        seen.append(subject)
    assert len(set(seen)) == 10, seen
    assert meters_said(job) == ["1"], meters_said(job)  # once, before the first
    drive.wait_for(lambda: "likely failed stage: Regulation loop of the 12 V rail" in likely(program), "the likely stage")
    print(likely(program))
    picture(program, "ten")


def what_waits(program, instrument, document, job, values):
    subject = next_one(program, instrument, document, job)
    instrument.touch("0.310")
    said(program, "Press Space to take 0.310 V.")
    said(program, "counts as absent")
    picture(program, "needs-key")
    time.sleep(3)
    assert len(readings(job)) == 10, "an absent value was taken by itself"
    program.keys("space")
    taken(job, 11, subject, "0.310")

    subject = next_one(program, instrument, document, job)
    instrument.touch("47000.0")
    said(program, "Enter again keeps it")
    picture(program, "doubt")
    time.sleep(2)
    assert len(readings(job)) == 11, "a far-off value was taken by itself"
    text = f"{float(values[subject]):.3f}"
    instrument.touch(text)
    taken(job, 12, subject, text)

    subject = next_one(program, instrument, document, job)
    instrument.say("function RES", "value 12.0")
    said(program, "the board is under power: take the leads off")
    picture(program, "mismatch")
    instrument.say("function VOLT", "value 0.000")
    said(program, "Leads in the air")

    # What is answered by eye asks nothing of the meter, and yet it is told.
    check = next(m["id"] for m in document["measurements"] if m["measures"] == "check" and m["state"] == STATE)
    program.type(check)
    program.keys("Return")
    said(program, "This one is typed")
    instrument.say("function RES", "value 12.0")
    said(program, "take the leads off. Meter and board can be damaged.")
    picture(program, "typed-mismatch")
    instrument.say("function VOLT", "value 0.000")
    said(program, "This one is typed")
    program.type(subject)
    program.keys("Return")
    said(program, "Leads in the air")

    text = f"{float(values[subject]):.3f}"
    program.type("4")
    instrument.touch(text)
    time.sleep(2.5)
    assert len(readings(job)) == 12, "a value was taken while something was typed"
    picture(program, "typed")
    program.keys("BackSpace")
    instrument.touch(text)
    taken(job, 13, subject, text)


def probe_view(program, instrument, document, job, values):
    subject = next_one(program, instrument, document, job)
    program.keys("F5")
    instrument.lift()
    picture(program, "probe-waits")
    instrument.touch("0.310")
    time.sleep(1.6)
    picture(program, "probe-needs-key")
    instrument.touch(f"{float(values[subject]):.3f}")
    picture(program, "probe-armed")
    taken(job, 14, subject, f"{float(values[subject]):.3f}")
    picture(program, "probe-taken")
    program.keys("F5")


def lost(program, instrument, document, job):
    instrument.say("refuse")
    said(program, "The meter was lost", 20)
    said(program, "bench meter: lost")
    picture(program, "lost")
    subject = next(m["id"] for m in in_hand(program, document))
    program.type("4.75")
    program.keys("Return")
    taken(job, 15, subject, "4.75")
    program.complaints()


def run(program, instrument, document, job, values):
    said(program, "bench meter: live", 40)
    ten_by_themselves(program, instrument, document, job, values)
    what_waits(program, instrument, document, job, values)
    probe_view(program, instrument, document, job, values)
    lost(program, instrument, document, job)
    print("a job off a live meter: all seen")


main()
