#!/usr/bin/python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""Section templates against readings that nobody made from them: each template as a board of its own is given what a
circuit simulator read in a healthy circuit of that kind and in faulty ones (tests/fixtures/circuits), and has to name the
stage that the fault sits in. Where a fault sits was written down from the circuits.

The netlists are our own, and templates were mended where this check failed, so a good figure says that templates and
circuits agree, not that every real board does. Figures from elsewhere are at the end, each with its source; those marked
second-hand were read in a quotation of the source.

Usage: test-template-circuits.py CLI TEMPLATES FIXTURES"""

import csv
import json
import os
import subprocess
import sys
import tempfile

CLI, TEMPLATES, FIXTURES = sys.argv[1:4]


def same(stage, *faults):
    return {fault: stage for fault in faults}


# Template: circuit, measurement -> state and point of the circuit, fault -> stage.
KINDS = {
    "link-far-end": ("f1_loop_24V", {
        "S": ("mark", "S_FAR_END"), "S-FEED": ("space_by_feeding_end", "S_FAR_END"),
        "S-FAR": ("space_by_far_end", "S_FAR_END"), "RX": ("mark", "RX2_PIN"), "CE": ("mark", "TX2_CE"),
        "LED": ("mark", "TX2_LED"), "D-LD": ("off", "s_out-o1 diode"), "R-SER": ("off", "o1-o2 ohm"),
        "R-PTC": ("off", "o2-o3 ohm"), "D-RX": ("off", "o3-o4 diode")},
        {**same("input", "F21", "F22", "F23", "F24"), **same("receiver", "F25", "F26", "F27"),
         **same("sender", "F28", "F29", "F30", "F31")}),
    "link-feeding-end": ("f1_loop_24V", {
        "LOOP": ("mark", "LOOP_SUPPLY"), "S": ("mark", "S_FEED_END"), "S-FEED": ("space_by_feeding_end", "S_FEED_END"),
        "S-FAR": ("space_by_far_end", "S_FEED_END"), "RX": ("mark", "RX1_PIN"),
        "RX-S": ("space_by_feeding_end", "RX1_PIN"), "CE": ("mark", "TX1_CE"), "LED": ("mark", "TX1_LED"),
        "D-RX": ("off", "t1-t2 diode"), "R-SER": ("off", "t2-t3 ohm"), "D-LD": ("off", "t3-s_in diode"),
        "R-ZD": ("off", "vloop-0 ohm")},
        {**same("loopsupply", "F01", "F02", "F03", "F34"), **same("sender", "F04", "F05", "F06", "F07", "F32"),
         **same("receiver", "F08", "F09", "F10", "F33"), **same("line", "F11", "F12", "F13", "F14")}),
    "linear-regulators": ("d_linear", {
        "R-5": ("off", "v5-0 ohm"), "R-33": ("off", "v3-0 ohm"), "IN5": ("on", "REG5_IN"), "V5": ("on", "V5"),
        "GND5": ("on", "REG5_GND"), "V33": ("on", "V3V3")},
        {**same("rail5", "F03", "F04", "F05", "F06", "F07", "F08", "F09", "F16"),
         **same("rail33", "F11", "F12", "F13", "F14", "F15")}),
    # The coil is a part of the relay, which is in the stage of its contact.
    "relay-output": ("e_relay", {
        "R-COIL": ("off", "cp-c ohm"), "R-CON": ("off", "l_in-l_out ohm"), "DIN": ("energised_load", "DRV_IN"),
        "VK": ("energised_load", "V12_COIL"), "DOUT": ("energised_load", "DRV_OUT"), "CV": ("energised_load", "COIL_V"),
        "CV-R": ("released", "COIL_V"), "CDROP": ("energised_load", "CONTACT_DROP_AC"),
        "OUT": ("energised_load", "TERMINAL_AC"), "OUT-R": ("released", "TERMINAL_AC"),
        "NDROP": ("energised_load", "LOAD_DROP_N_AC")},
        {**same("coil", "F01", "F13"), **same("command", "F05"), **same("driver", "F06", "F07", "F08", "F09"),
         **same("contact", "F10", "F11", "F14", "F15", "F16", "F17"), **same("output", "F18", "F19")}),
    "controller-core": ("h_core", {
        "R-VDD": ("off", "vdd-0 ohm"), "VDD": ("run", "VDD"), "RST": ("run", "RESET"), "XO": ("run", "XOUT_DC"),
        "SDA": ("run", "SDA_IDLE")},
        {**same("vdd", "F03"), **same("reset", "F04", "F05", "F06", "F07"), **same("clock", "F08", "F09"),
         **same("core|clock", "F10"), **same("memory", "F11"), **same("core|vdd", "F13")}),
    # The resistance of the template is that of the sensor alone; the circuit has it in place.
    "sensor-inputs": ("i_ntc", {"SN1": ("t25", "SENSE_HI_NTC")},
                      same("sensor1", "F01", "F02", "F03", "F04", "F05", "F06", "F07", "F08")),
}


def rows(name):
    with open(os.path.join(FIXTURES, "circuits", name), encoding="utf-8", newline="") as file:
        return list(csv.reader(file))[1:]


def template(name):
    with open(os.path.join(TEMPLATES, name + ".json"), encoding="utf-8") as file:
        return json.load(file)


def diagnose(folder, board, readings):
    path = os.path.join(folder, "readings.csv")
    with open(path, "w", encoding="utf-8") as file:
        file.write("measurement,reading,meter\n" + "".join(f"{name},{value},\n" for name, value in readings))
    answer = subprocess.run([CLI, "diagnose", "--board", board, "--readings", path, "--json"], capture_output=True,
                            text=True, check=False)
    assert answer.returncode == 0, answer.stderr
    return json.loads(answer.stdout)


def check(folder, name, spread):
    circuit, points, truth = KINDS[name]
    board = template(name)
    board.setdefault("odds", {})["setup"] = 0  # the simulation knows no wrong lead or state
    path = os.path.join(folder, "board.json")
    with open(path, "w", encoding="utf-8") as file:
        json.dump(board, file)
    values = {(state, fault, point): value for state, fault, _, point, value in rows(spread + circuit + ".csv")}
    first = traced = 0
    for fault in ["OK", *truth]:
        readings = [(m, values[state, fault, point]) for m, (state, point) in points.items()
                    if (state, fault, point) in values]
        answer = diagnose(folder, path, readings)
        deviating = [r["measurement"] for r in answer["readings"] if r["verdict"] not in ("in band", "as expected")]
        if fault == "OK":
            assert readings and not deviating, f"{name}: the healthy circuit deviates at {deviating}"
        elif deviating:
            traced += 1
            first += answer["stages"][0]["id"] in truth[fault].split("|")
            if answer["stages"][0]["id"] not in truth[fault].split("|"):
                print(f"  {spread}{circuit} {fault}: sits in {truth[fault]}, named {answer['stages'][0]['id']}")
    print(f"{name}, {spread or 'nominal'}: right stage first {first} of {traced} that leave a trace, of {len(truth)}")
    assert traced >= len(truth) - 1 and first >= 0.9 * traced, name


def band(name, measurement):
    expected = next(m["expected"] for m in template(name)["measurements"] if m["id"] == measurement)
    return expected.get("low"), expected.get("high")


def published():
    low, high = band("linear-regulators", "V5")
    # 7805 class, data sheet: 5 V +-4 %; second-hand, a distributor's data.
    assert (low, high) == (4.8, 5.2), (low, high)
    # Relay class of 12 V and 360 ohm, data sheet: operates at 75 % at most; second-hand, a distributor's data.
    assert band("relay-output", "CV")[0] > 0.75 * 12
    # Coil resistance of that class: 360 ohm +-10 %, the same source.
    assert band("relay-output", "R-COIL") == (324, 396)
    # Darlington array SLRS027: collector-emitter saturation 1.6 V at most at 350 mA; second-hand, a summary of it.
    assert band("relay-output", "DOUT")[1] == 1.6
    # A worked example of a loop of 24 V with 3 k at the feeding end, 4.7 k and 1.8 k at the far end: "about 16 V" on the
    # signal in mark (www.rr66666.com/info/3/1051.shtml, second-hand).
    for end in ("link-far-end", "link-feeding-end"):
        low, high = band(end, "S")
        assert low < 16 < high, (end, low, high)
    # The same by Ohm's law alone: LEDs and diodes 1.1 V and 0.6 V each, current 20.6 V / 9.5 k.
    loop = (24 - 2 * 1.1 - 2 * 0.6) / 9500
    signal = 24 - 1.1 - 0.6 - 3000 * loop
    low, high = band("link-far-end", "S")
    assert low < signal < high, signal
    # IEC 60038: 230 V +-10 % at the supply terminals (from memory); less the drops before the output.
    low, high = band("relay-output", "OUT")
    assert 0.88 * 230 <= low <= 0.9 * 230 and high == 253, (low, high)


def main():
    with tempfile.TemporaryDirectory() as folder:
        for name in KINDS:
            for spread in ("", "spread/"):
                check(folder, name, spread)
    published()


main()
