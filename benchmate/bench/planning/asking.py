"""The planner's process from outside: started, listened to while keys answer, ended any time."""

from __future__ import annotations

import subprocess
import sys
from collections.abc import Callable
from queue import Empty, SimpleQueue
from threading import Thread

import msgspec

from benchmate.planner.wire import ANSWER, Answer, Request, Told


class Asking:
    """One question on its way. Answers come in a thread of their own and wait until taken."""

    def __init__(self, request: Request) -> None:
        self._answers: SimpleQueue[Answer | None] = SimpleQueue()
        self.is_over = False
        self.trouble = ""
        """What the process said where it failed."""
        self._process = subprocess.Popen(
            [sys.executable, "-m", "benchmate.planner.process"],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            stderr=subprocess.PIPE,
        )
        self._request = msgspec.json.encode(request) + b"\n"
        Thread(target=self._talk, daemon=True).start()

    def _talk(self) -> None:
        process = self._process
        assert process.stdin is not None
        assert process.stdout is not None
        assert process.stderr is not None
        try:
            process.stdin.write(self._request)
            process.stdin.close()
            for row in process.stdout:
                self._answers.put(ANSWER.decode(row))
        except (OSError, msgspec.DecodeError, ValueError) as error:
            self.trouble = str(error)
        failure = process.stderr.read().decode("utf-8", "replace").strip()
        if process.wait() > 0 and failure:
            self.trouble = failure.splitlines()[-1]
        process.stdout.close()
        process.stderr.close()
        self._answers.put(None)

    def take(self, wait_s: float = 0.0) -> list[Answer]:
        """What has been answered since the last time; waits for at most so long."""
        taken: list[Answer] = []
        try:
            while not self.is_over:
                answer = self._answers.get(timeout=wait_s) if wait_s else self._answers.get(False)
                wait_s = 0.0
                if answer is None:
                    self.is_over = True
                else:
                    taken.append(answer)
        except Empty:
            pass
        return taken

    def stop(self) -> None:
        """End it now. Whatever was told stays told."""
        if self._process.poll() is None:
            self._process.terminate()


def asked(request: Request, hear: Callable[[Answer], None] | None = None) -> list[Answer]:
    """Every answer to a question, waiting until all are there. Ctrl+C ends it early."""
    asking, answers = Asking(request), list[Answer]()
    try:
        while not asking.is_over:
            for answer in asking.take(0.5):
                answers.append(answer)
                if hear is not None:
                    hear(answer)
    except KeyboardInterrupt:
        pass
    finally:
        asking.stop()
    return answers


def best_of(answers: list[Answer]) -> Told | None:
    """The last plan told, with the note of the last word."""
    told = [a for a in answers if isinstance(a, Told)]
    plans = [a for a in told if a.steps]
    if not plans:
        return told[-1] if told else None
    last = told[-1]
    return plans[-1] if last.steps else msgspec.structs.replace(plans[-1], note=last.note)
