#!/usr/bin/python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""A simulated bench meter that answers SCPI (IEEE 488.2 common commands, SCPI-99) on a loopback port.

Usage: instrument.py METER_PROGRAM

It prints "port N" and then takes commands on standard input, one a line; it ends with the input:
  value 4.980       what it shows, with these digits
  over              beyond its range (SCPI-99: 9.9E37)
  function VOLT     VOLT, VOLT:AC, CURR, CURR:AC, RES, DIOD, CONT, FREQ, CAP, TEMP
  slow 1.5          seconds it takes for each answer from now on
  silent            answers nothing any more
  garbage           answers nonsense
  disconnect        ends the connection, takes new ones
  refuse            ends the connection and the port
  answer            answers again
  wait 2            lets seconds pass before the next command
Each change of function by the other side is printed as "function RES".

The driver of the library only reads meters whose makers and models it knows, and none is named here: they are
taken from the strings of the installed library, where its models stand before the driver's name, and tried
with METER_PROGRAM until the driver finds a meter.
"""
import ctypes
import ctypes.util
import itertools
import re
import socket
import subprocess
import sys
import threading
import time

FUNCTIONS = ("VOLT", "VOLT:AC", "CURR", "CURR:AC", "RES", "DIOD", "CONT", "FREQ", "CAP", "TEMP")
state = {"identity": "", "function": "VOLT", "value": "0.000", "slow": 0.02, "mode": "answer"}
lock = threading.Lock()
connections = []


def strings_of_library():
    name = ctypes.util.find_library("sigrok")
    if name is None:
        sys.exit("the meter library is not installed")
    ctypes.CDLL(name)
    with open("/proc/self/maps", encoding="ascii") as maps:
        path = next(line.split()[-1] for line in maps if "libsigrok" in line)
    with open(path, "rb") as file:
        return [text.decode() for text in re.findall(rb"[\x20-\x7e]{2,}(?=\0)", file.read())]


def identities():
    """Maker and model, the likeliest first: models stand right before the driver's name, makers behind the question
    for the identity, where the library tells their spellings."""
    texts = strings_of_library()
    driver = texts.index("scpi-dmm")
    models = [t for t in texts[max(0, driver - 100):driver][::-1] if re.fullmatch(r"[0-9]{4,6}[A-Z]?|[A-Z]{1,4}[0-9]{3,6}[A-Z]?", t)]
    asked = [i for i, t in enumerate(texts) if t == "*IDN?"]
    makers = [t for i in asked for t in texts[i + 1:i + 16] if re.fullmatch(r"[A-Z][A-Za-z-]+( [A-Za-z]+)*", t)]
    return itertools.islice(((maker, model) for maker in dict.fromkeys(makers) for model in dict.fromkeys(models)), 300)


def configuration():
    digits = len(state["value"].partition(".")[2])
    return f'"{state["function"]} +1.000000E+01,+1.000000E-{digits:02}"'


def answer(command):
    if command == "*IDN?":
        return state["identity"]
    if command == "*OPC?":
        return "1"
    if command.startswith("CONF:"):
        function = command[5:].split(" ")[0].replace(":DC", "")
        if function in FUNCTIONS and function != state["function"]:
            state["function"] = function
            print("function", function, flush=True)
        return None
    if command == "CONF?":
        return configuration()
    if command in ("READ?", "FETC?"):
        return "+9.90000000E+37" if state["value"] == "over" else f"{float(state['value']):+.8E}"
    return None


def serve(connection):
    try:
        with connection, connection.makefile("rwb", buffering=0) as file:
            for line in iter(file.readline, b""):
                command = line.decode("ascii", "replace").strip()
                if command.endswith("?"):
                    time.sleep(state["slow"])
                with lock:
                    mode, text = state["mode"], answer(command)
                if text is not None and mode != "silent":
                    file.write((text if mode == "answer" else "%&/()=\x07?!").encode() + b"\n")
    except OSError:
        pass


def accept(server):
    while True:
        try:
            connection, _ = server.accept()
        except OSError:
            return
        connections.append(connection)
        threading.Thread(target=serve, args=(connection,), daemon=True).start()


def hang_up():
    for connection in connections:
        try:
            connection.shutdown(socket.SHUT_RDWR)
        except OSError:
            pass
    connections.clear()


def find_identity(program, port):
    for maker, model in identities():
        state["identity"] = f"{maker},{model},0,1.0"
        found = subprocess.run([program, "scan", "scpi-dmm", f"tcp-raw/127.0.0.1/{port}"], capture_output=True,
                               text=True, timeout=10, check=False)
        if '"device"' in found.stdout:
            return
    sys.exit("no identity is known to the driver")


def obey(words, server):
    command, argument = words[0], words[1] if len(words) > 1 else ""
    if command == "wait":
        time.sleep(float(argument))
        return
    with lock:
        if command in ("silent", "garbage", "answer"):
            state["mode"] = command
        elif command == "over":
            state["value"] = "over"
        elif command == "slow":
            state["slow"] = float(argument)
        elif command in ("value", "function"):
            state[command] = argument
        elif command == "refuse":
            server.shutdown(socket.SHUT_RDWR)
            server.close()
    if command in ("disconnect", "refuse"):
        hang_up()


def main():
    server = socket.create_server(("127.0.0.1", 0))
    port = server.getsockname()[1]
    threading.Thread(target=accept, args=(server,), daemon=True).start()
    find_identity(sys.argv[1], port)
    print("port", port, flush=True)
    for line in sys.stdin:
        if line.split():
            obey(line.split(), server)


main()
