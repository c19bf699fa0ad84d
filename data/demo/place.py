#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""Puts the coordinates of a board picture into the board document: landmarks of the photos, photo, x and y of
components and test points, outlines of sections and stages. Run again whenever the picture changes.

  place.py DOCUMENT.json LAYOUT.json PARTS.csv

The layout gives pixels of the picture; the parts list says on which pad a test point sits when the
layout names no place for it. Everything else in the document stays as it is.
"""
import csv
import json
import sys


def dump(document):
    """One element of a list a line, one failure mode a line: readable, and small changes stay small."""
    def one(value):
        return json.dumps(value, ensure_ascii=False)

    def element(item):
        modes = item.get("modes") if isinstance(item, dict) else None
        if not modes:
            return "    " + one(item)
        rest = dict(item)
        rest.pop("modes")
        notes = rest.pop("notes", None)
        lines = ",\n".join("      " + one(mode) for mode in modes)
        tail = ', "notes": ' + one(notes) if notes else ""
        return "    " + one(rest)[:-1] + ', "modes": [\n' + lines + "\n    ]" + tail + "}"

    parts = []
    for key, value in document.items():
        if isinstance(value, list) and value and isinstance(value[0], dict):
            body = ",\n".join(element(item) for item in value)
            parts.append(f"  {one(key)}: [\n{body}\n  ]")
        else:
            parts.append(f"  {one(key)}: {one(value)}")
    return "{\n" + ",\n".join(parts) + "\n}\n"


def point(entry):
    """A place in the layout: [x, y] or {"photo", "x", "y", "w", "h"} with x, y the top left corner
    when there is a size. Gives photo or None, x, y."""
    if isinstance(entry, dict):
        return (entry.get("photo"), entry["x"] + entry.get("w", 0) / 2,
                entry["y"] + entry.get("h", 0) / 2)
    return None, entry[0], entry[1]


def outlines(entry):
    """[[x, y] ...] on the front, {"front": [[x, y] ...]}, or a list of {"photo", "points"}."""
    if isinstance(entry, dict):
        return [{"photo": photo, "points": points} for photo, points in entry.items()]
    if entry and isinstance(entry[0], dict):
        return [{"photo": e["photo"], "points": e["points"]} for e in entry]
    return [{"photo": "front", "points": entry}]


def put(target, photo, x, y):
    target["photo"], target["x"], target["y"] = photo or "front", round(x), round(y)


def place(document, layout, parts):
    missing = []
    for photo in document["photos"]:
        photo["landmarks"] = layout.get("landmarks", {}).get(photo["side"], [])
    where = layout.get("parts", {})
    for component in document["components"]:
        entry = where.get(component["id"])
        if entry:
            put(component, *point(entry))
        elif component["kind"] != "track":
            missing.append(component["id"])
    rows = {row["id"]: row for row in parts if row["row"] == "point"}
    for test_point in document["test_points"]:
        row = rows.get(test_point["id"])
        entry = layout.get("test_points", {}).get(test_point["id"])
        if entry is None and row:
            entry = layout.get("pads", {}).get(row["pad"])
        if entry is None:
            missing.append(test_point["id"])
            continue
        photo, x, y = point(entry)
        put(test_point, photo or (row["side"] if row else None), x, y)
    for name in ("sections", "stages"):
        for element in document[name]:
            entry = layout.get(name, {}).get(element["id"])
            if entry:
                element["outlines"] = outlines(entry)
    return missing


def main():
    if len(sys.argv) != 4:
        sys.exit(__doc__)
    with open(sys.argv[1], encoding="utf-8") as file:
        document = json.load(file)
    with open(sys.argv[2], encoding="utf-8") as file:
        layout = json.load(file)
    with open(sys.argv[3], encoding="utf-8", newline="") as file:
        parts = list(csv.DictReader(file))
    missing = place(document, layout, parts)
    with open(sys.argv[1], "w", encoding="utf-8") as file:
        file.write(dump(document))
    if missing:
        print("no place for: " + ", ".join(missing), file=sys.stderr)


if __name__ == "__main__":
    main()
