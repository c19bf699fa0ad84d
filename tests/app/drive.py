# SPDX-License-Identifier: GPL-3.0-or-later
"""Drives the program from outside, as a person and a screen reader would: keys and mouse by xdotool,
what is shown by AT-SPI. Needs an X display and a session bus (tests/headless.sh gives both)."""

import os
import subprocess
import time

import pyatspi


def wait_for(look, what, seconds=30):
    """The first true result of look(), or a failure that says what was missing."""
    end = time.monotonic() + seconds
    while time.monotonic() < end:
        try:
            result = look()
            if result:
                return result
        except Exception:  # an object may vanish while the tree changes
            pass
        time.sleep(0.05)
    raise AssertionError(f"not seen within {seconds} s: {what}")


def walk(node):
    yield node
    for index in range(node.childCount):
        child = node.getChildAtIndex(index)
        if child is not None:
            yield from walk(child)


class Program:
    def __init__(self, command, **environment):
        self.errors = open(os.path.join(os.environ["XDG_CACHE_HOME"], "stderr"), "w+", encoding="utf-8")
        self.process = subprocess.Popen(command, stderr=self.errors, env=dict(os.environ, **environment))
        self.root = wait_for(self._on_bus, "the program on the accessibility bus")
        self.window = wait_for(lambda: next(n for n in self.root if n.getRoleName() == "frame"), "its window")
        self.x_window = wait_for(self._x_window, "its X window")
        time.sleep(0.7)  # the first frames
        self.focus()

    def _on_bus(self):
        pid = self.process.pid
        return next((a for a in pyatspi.Registry.getDesktop(0) if a and a.get_process_id() == pid), None)

    def _x_window(self):
        """The largest window: a tooltip, or what the toolkit opens for a moment at start, is not it."""
        found = subprocess.run(["xdotool", "search", "--onlyvisible", "--pid", str(self.process.pid)],
                               capture_output=True, text=True, check=False).stdout.split()
        sizes = {}
        for window in found:
            shell = subprocess.run(["xdotool", "getwindowgeometry", "--shell", window], capture_output=True,
                                   text=True, check=False).stdout
            place = dict(line.split("=") for line in shell.split())
            if int(place.get("WIDTH", 0)) >= 400:
                sizes[window] = int(place["WIDTH"]) * int(place["HEIGHT"])
        return max(sizes, key=sizes.get, default=None)

    def focus(self):
        subprocess.run(["xdotool", "windowfocus", self.x_window], check=False, stderr=subprocess.DEVNULL)

    # --- what a person does ---

    def keys(self, *names):
        for name in names:
            subprocess.run(["xdotool", "key", "--clearmodifiers", name], check=True)
            time.sleep(0.12)

    def type(self, text):
        subprocess.run(["xdotool", "type", "--clearmodifiers", "--delay", "25", text], check=True)
        time.sleep(0.15)

    def click_at(self, x, y, button=1):
        subprocess.run(["xdotool", "mousemove", str(round(x)), str(round(y))], check=True)
        time.sleep(0.15)
        subprocess.run(["xdotool", "click", str(button)], check=True)
        time.sleep(0.25)

    def double_click_at(self, x, y):
        subprocess.run(["xdotool", "mousemove", str(round(x)), str(round(y)), "click", "--repeat", "2", "--delay", "60",
                        "1"], check=True)
        time.sleep(0.4)

    def drag(self, x, y, to_x, to_y, held=None):
        """With the first button, in steps as a hand makes them; held: a key held down meanwhile."""
        def tool(*words):
            subprocess.run(["xdotool", *words], check=True)
        tool("mousemove", str(round(x)), str(round(y)))
        time.sleep(0.15)
        if held:
            tool("keydown", held)
        tool("mousedown", "1")
        for step in range(1, 9):
            tool("mousemove", str(round(x + (to_x - x) * step / 8)), str(round(y + (to_y - y) * step / 8)))
            time.sleep(0.03)
        time.sleep(0.1)
        tool("mouseup", "1")
        if held:
            tool("keyup", held)
        time.sleep(0.3)

    def box(self, node):
        """Screen rectangle of a node: x, y, width, height."""
        extents = node.queryComponent().getExtents(pyatspi.WINDOW_COORDS)
        frame = self.window.queryComponent().getExtents(pyatspi.WINDOW_COORDS)
        shell = subprocess.check_output(["xdotool", "getwindowgeometry", "--shell", self.x_window], text=True)
        place = dict(line.split("=") for line in shell.split())
        pad = (int(place["WIDTH"]) - frame.width) // 2
        return int(place["X"]) + pad + extents.x, int(place["Y"]) + pad + extents.y, extents.width, extents.height

    def click(self, node):
        x, y, width, height = self.box(node)
        self.click_at(x + width / 2, y + height / 2)

    # --- what a screen reader finds ---

    def nodes(self, role=None, within=None):
        for node in walk(within or self.window):
            if role is None or node.getRoleName() == role:
                yield node

    def find(self, name, role=None, seconds=30):
        """The node whose name is, or (name ending in …) begins with, name."""
        def look():
            for node in self.nodes(role):
                if node.name == name or (name.endswith("…") and node.name.startswith(name[:-1])):
                    return node
            return None
        return wait_for(look, f"{role or 'anything'} named {name!r}", seconds)

    def names(self, role=None):
        return [node.name for node in self.nodes(role) if node.name]

    def picture(self, path):
        subprocess.run(["import", "-window", "root", path], check=True)

    def wait_dialog(self, title, seconds=30):
        """A second window of the program, by its title; the keys go there."""
        def look():
            frames = [node for node in self.root if node is not None and node.name == title]
            found = subprocess.run(["xdotool", "search", "--onlyvisible", "--name", title], capture_output=True,
                                   text=True, check=False).stdout.split()
            return found[-1] if frames and found else None
        window = wait_for(look, f"window {title!r}", seconds)
        time.sleep(0.5)
        subprocess.run(["xdotool", "windowfocus", window], check=False, stderr=subprocess.DEVNULL)
        time.sleep(0.2)

    def open_dialog(self, button, title):
        """Presses a button until its dialog is there: a page that is still coming in may move it away."""
        for _ in range(3):
            self.click(self.find(button, "push button"))
            try:
                return self.wait_dialog(title, 6)
            except AssertionError:
                pass
        raise AssertionError(f"pressed, but no window {title!r}")

    # --- ends ---

    def kill(self):
        """By force: no chance to save."""
        self.process.kill()
        self.process.wait()

    def close(self):
        self.keys("ctrl+q")
        status = self.process.wait(10)
        assert status == 0, f"exit status {status}"
        self.complaints()

    def complaints(self):
        """Nothing may have been warned about."""
        self.errors.seek(0)
        lines = [line for line in self.errors if "CRITICAL" in line or "WARNING" in line or "ERROR" in line]
        assert not lines, "".join(lines)
