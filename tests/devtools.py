"""A headless Chromium told what to do over a pair of pipes, by its own debugging protocol: no port, no driver."""

from __future__ import annotations

import json
import os
import shlex
import subprocess
import time
from pathlib import Path
from typing import Any

SOFTWARE_WEBGL = ("--disable-gpu", "--use-gl=angle", "--use-angle=swiftshader", "--enable-unsafe-swiftshader")


class Refused(Exception):
    """A command that the browser could not carry out, as while a page is being replaced by the next."""


class Browser:
    """One page of a browser; `complaints` collects errors of the console and of scripts."""

    def __init__(self, chromium: str, folder: Path, width: int = 1440, height: int = 900) -> None:
        commands, self._out = os.pipe()
        self._in, answers = os.pipe()
        options = ["--headless=new", "--no-sandbox", "--hide-scrollbars", "--remote-debugging-pipe", *SOFTWARE_WEBGL]
        command = [chromium, *options, f"--user-data-dir={folder / 'browser'}", f"--window-size={width},{height}"]
        # The browser reads its third file and writes its fourth.
        words = f"exec {shlex.join(command)} 3<&{commands} 4>&{answers}"
        self._process = subprocess.Popen(
            ["bash", "-c", words],
            pass_fds=(commands, answers),
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
        )
        os.close(commands)
        os.close(answers)
        self._count, self._rest = 0, b""
        self.complaints: list[str] = []
        page = self.ask("Target.createTarget", url="about:blank")["targetId"]
        self._session = ""
        self._session = self.ask("Target.attachToTarget", targetId=page, flatten=True)["sessionId"]
        for part in ("Page", "Runtime", "Log"):
            self.ask(f"{part}.enable")
        self.resize(width, height)

    def __enter__(self) -> Browser:
        return self

    def __exit__(self, *_: object) -> None:
        self._process.kill()
        self._process.wait()
        os.close(self._out)
        os.close(self._in)

    def ask(self, method: str, **parameters: Any) -> dict[str, Any]:
        """Send a command and wait for its answer; what else comes is looked through for complaints."""
        self._count += 1
        message: dict[str, Any] = {"id": self._count, "method": method, "params": parameters}
        if getattr(self, "_session", ""):
            message["sessionId"] = self._session
        os.write(self._out, json.dumps(message).encode() + b"\0")
        while True:
            answer = self._next()
            if answer.get("id") == self._count:
                if "error" in answer:
                    raise Refused(answer["error"]["message"])
                return dict(answer["result"])
            self._note(answer)

    def _next(self) -> dict[str, Any]:
        while b"\0" not in self._rest:
            more = os.read(self._in, 1 << 20)
            assert more, "the browser has ended"
            self._rest += more
        first, _, self._rest = self._rest.partition(b"\0")
        return dict(json.loads(first))

    def _note(self, event: dict[str, Any]) -> None:
        told = event.get("params", {})
        if event.get("method") == "Runtime.exceptionThrown":
            self.complaints.append(json.dumps(told["exceptionDetails"]))
        entry = told.get("entry", {"level": "", "text": ""})
        # The driver's remarks on its own speed come of reading back what a software renderer drew.
        if entry["level"] in ("error", "warning") and not entry["text"].startswith("[.WebGL-"):
            self.complaints.append(entry["text"])

    def resize(self, width: int, height: int) -> None:
        self.ask(
            "Emulation.setDeviceMetricsOverride", width=width, height=height, deviceScaleFactor=1, mobile=width < 600
        )

    def open(self, address: str) -> None:
        self.ask("Page.navigate", url=address)
        self.until(f"document.readyState === 'complete' && location.href === {json.dumps(address)}")

    def value(self, script: str) -> Any:
        """What a JavaScript expression comes to; a promise is waited for."""
        answer = self.ask("Runtime.evaluate", expression=script, awaitPromise=True, returnByValue=True)
        assert "exceptionDetails" not in answer, answer["exceptionDetails"]
        return answer["result"].get("value")

    def until(self, condition: str, seconds: float = 30.0) -> float:
        """Wait until a JavaScript expression is true of a page that is there; returns how long that took."""
        start = time.monotonic()
        while not self._holds(condition):
            assert time.monotonic() - start < seconds, f"not within {seconds} s: {condition}"
            time.sleep(0.02)
        return time.monotonic() - start

    def _holds(self, condition: str) -> bool:
        try:
            return bool(self.value(f"document.readyState === 'complete' && Boolean({condition})"))
        except Refused:
            return False
