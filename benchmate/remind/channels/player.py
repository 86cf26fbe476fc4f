"""A small program that plays a WAV from its standard input, or says what it would play on.

A process of its own, because the system's sound libraries write their complaints straight to
the terminal (file descriptor 2), over whatever screen is there, and because a driver that
crashes or hangs must take no bench with it.

    python -m benchmate.remind.channels.player --probe     prints the device's name
    python -m benchmate.remind.channels.player < tone.wav  plays it

Exit codes: 0 played or there; 3 no sound device; 4 no sound library.
"""

from __future__ import annotations

import io
import sys
import wave
from collections.abc import Generator

from benchmate.clock import wait_s

NO_DEVICE = 3
NO_LIBRARY = 4
NULL_BACKEND = "Null"
TAIL_S = 0.15


def main(arguments: list[str]) -> int:
    """Play or probe; what went wrong is said on standard error in one sentence."""
    try:
        import miniaudio
    except ImportError as error:
        print(f"The sound library can't be loaded: {error}", file=sys.stderr)  # noqa: T201
        return NO_LIBRARY
    try:
        if "--probe" in arguments:
            print(_probe())  # noqa: T201
        else:
            _play(sys.stdin.buffer.read())
    except (miniaudio.MiniaudioError, OSError) as error:
        print(f"No sound device could be opened: {error}", file=sys.stderr)  # noqa: T201
        return NO_DEVICE
    return 0


def _probe() -> str:
    """The kind of sound system a tone would go to."""
    import miniaudio

    with miniaudio.PlaybackDevice(
        output_format=miniaudio.SampleFormat.SIGNED16, nchannels=1, app_name="benchmate"
    ) as device:
        if device.backend == NULL_BACKEND:
            raise OSError("only the silent device is there")
        return str(device.backend)


def read_wav(data: bytes) -> tuple[int, int, bytes]:
    """Rate, channels and samples of a 16-bit WAV; a stream's header may lie about its length."""
    with wave.open(io.BytesIO(data), "rb") as file:
        if file.getsampwidth() != 2:
            raise OSError("only 16-bit sound can be played")
        return file.getframerate(), file.getnchannels(), file.readframes(len(data))


def _play(data: bytes) -> None:
    import miniaudio

    rate_hz, channels, samples = read_wav(data)
    with miniaudio.PlaybackDevice(
        output_format=miniaudio.SampleFormat.SIGNED16,
        nchannels=channels,
        sample_rate=rate_hz,
        app_name="benchmate",
    ) as device:
        if device.backend == NULL_BACKEND:
            raise OSError("only the silent device is there")
        feed = _feed(samples, 2 * channels)
        next(feed)
        device.start(feed)
        wait_s(len(samples) / (2 * channels * rate_hz) + TAIL_S)


def _feed(samples: bytes, frame_bytes: int) -> Generator[bytes, int, None]:
    wanted = yield b""
    place = 0
    while place < len(samples):
        end = place + wanted * frame_bytes
        wanted = yield samples[place:end]
        place = end


if __name__ == "__main__":
    raise SystemExit(main(sys.argv[1:]))
