#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
# Counts the figures of a library a second time, straight from the file: everything is read into memory and filtered by
# hand. usage: count-numbers.py LIBRARY FROM TO NOW, times in microseconds, 0: none
import math, sqlite3, statistics, sys, time

path, first, last, now = sys.argv[1], int(sys.argv[2]), int(sys.argv[3]), int(sys.argv[4])
last = last or now + 1
DAY = 86400 * 10**6
db = sqlite3.connect(path)
db.row_factory = sqlite3.Row
jobs = {r["id"]: dict(r) for r in db.execute("select * from job where removed = 0")}
struck = {}
for r in db.execute("select record, struck from strike order by time, id"):
    struck[r[0]] = r[1]
lines = {j: [] for j in jobs}
for r in db.execute("select * from record order by time, id"):
    if r["job"] in lines:
        lines[r["job"]].append(dict(r, struck=struck.get(r["id"], 0)))

def standing(job, *kinds):
    return [l for l in lines[job] if l["kind"] in kinds and not l["struck"]]

def said(job):
    """part -> (is it the cause, since when)"""
    result = {}
    for l in standing(job, "cause", "no cause"):
        cause = l["kind"] == "cause"
        if l["subject"] not in result or result[l["subject"]][0] != cause:
            result[l["subject"]] = (cause, l["time"])
    return result

def causes(job):
    return {part: when for part, (cause, when) in said(job).items() if cause}

def found(job):
    times = []
    for part, when in causes(job).items():
        seen = [l["time"] for l in standing(job, "replaced", "part test")
                if l["subject"] == part and (l["kind"] == "replaced" or l["text"] != "good")]
        times.append(min([when] + seen))
    return min(times) if times else None

inside = lambda t: t is not None and first <= t < last
closed = lambda j: j["state"] in ("handed back", "returned", "not economical")
ended = [j for j in jobs.values() if closed(j) and inside(j["handed_back"])]
back = [j for j in ended if j["state"] != "not economical"]
returned = {}
for j in jobs.values():
    if j["return_of"] in jobs:
        o = j["return_of"]
        returned[o] = min(returned.get(o, j["created"]), j["created"])

def gone(j, days):
    return j["id"] in returned and returned[j["id"]] - j["handed_back"] <= days * DAY

repairs = [j for j in back if causes(j["id"]) and standing(j["id"], "replaced")]
ripe = [j for j in repairs if now - j["handed_back"] >= 90 * DAY or gone(j, 90)]
vain = lambda j: any(not said(j).get(l["subject"], (True,))[0] for l in standing(j, "replaced"))
print("jobs", len(jobs))
print("received", sum(inside(j["created"]) for j in jobs.values()))
print("ended", len(ended))
print("not_economical", len(ended) - len(back))
print("with_cause", sum(bool(causes(j["id"])) for j in ended))
print("no_fault", sum(not causes(j["id"]) and not standing(j["id"], "replaced") for j in back))
print("repairs", len(repairs))
print("first_fix", sum(not vain(j["id"]) and not gone(j, 90) for j in ripe), len(ripe))
for days in (30, 90, 180):
    out = [j for j in back if now - j["handed_back"] >= days * DAY]
    print("back", sum(gone(j, days) for j in out), len(out))
same = other = nothing = 0
for j in jobs.values():
    o = j["return_of"]
    if o in jobs and closed(j) and jobs[o] in back and j["created"] == returned[o]:
        if not causes(j["id"]):
            nothing += not standing(j["id"], "replaced")
        elif set(causes(j["id"])) & set(causes(o)):
            same += 1
        else:
            other += 1
print("returns", sum(j["id"] in returned for j in back), same, other, nothing)

readings, minutes = [], []
for j in ended:
    end = found(j["id"])
    if end is None:
        continue
    before = [l for l in lines[j["id"]] if l["time"] <= end]
    real = [l for l in before if l["kind"] == "reading" and not l["struck"]
            and l["text"] != "-" and not l["text"].startswith("- ")]
    if not real:
        continue
    readings.append(len(real))
    times = [l["time"] for l in before[before.index(real[0]):]]
    pauses = [b - a for a, b in zip(times, times[1:])]
    minutes.append(sum(p for p in pauses if p <= 30 * 60 * 10**6) / 6e7)
spent = [s for s in (sum(float(l["text"]) for l in standing(j["id"], "time")) for j in ended) if s > 0]
f = lambda fn, v: "%.6f" % fn(v) if v else "-"
print("spread", len(readings), len(spent), f(statistics.mean, readings), f(statistics.median, readings),
      f(statistics.mean, minutes), f(statistics.median, minutes), f(statistics.mean, spent))

def counted(items):
    count = {}
    for i in items:
        count[i] = count.get(i, 0) + 1
    return sorted(count.items(), key=lambda kv: (-kv[1], kv[0]))

for part, n in counted(p for j in ended for p in causes(j["id"])):
    print("cause", part, n)
begin = max(min((j["created"] for j in jobs.values()), default=0), first)
months = (min(last, now) - begin) / (30.44 * DAY)
for part, n in counted(l["subject"] for j in jobs for l in standing(j, "replaced") if inside(l["time"])):
    mean, k = n * 3 / months, 0
    while sum(math.exp(-mean) * mean**i / math.factorial(i) for i in range(k + 1)) < 0.9:
        k += 1
    print("part", part, n, k)
month = lambda t: time.strftime("%Y-%m", time.gmtime(t // 10**6))
names = []
t = begin
while t < min(last, now):
    if month(t) not in names:
        names.append(month(t))
    t += DAY
if month(min(last, now) - 1) not in names:
    names.append(month(min(last, now) - 1))
for name in names:
    received = [j for j in jobs.values() if inside(j["created"]) and month(j["created"]) == name]
    print("month", name, len(received), sum(month(j["handed_back"]) == name for j in ended),
          sum(j["return_of"] is not None for j in received))
