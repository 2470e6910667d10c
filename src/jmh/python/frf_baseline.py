"""The frequency response of ten taps in NumPy, for comparison; started by FrequencyResponseBench.

Reads two arrays (float64, force then response) from a file, answers every line on standard input
with the time of one run in nanoseconds, and ends with the input. One run is the least that has to be
done: cut the blocks, take the resting value off, apply both windows, transform, average, and form
H1 as receptance, coherence and random error. No tap is looked for or judged.
"""

import sys
import time

import numpy as np


def response(channels, starts, n, pre, window, exponential, s2):
    blocks = np.stack([channels[:, start : start + n] for start in starts])
    blocks -= blocks[:, :, : pre // 2].mean(axis=2, keepdims=True)
    blocks[:, 0] *= window
    blocks[:, 1] *= exponential
    spectra = np.fft.rfft(blocks, axis=2)[:, :, 1:]
    f, x = spectra[:, 0], spectra[:, 1]
    sff = (f.real**2 + f.imag**2).sum(axis=0)
    sxx = (x.real**2 + x.imag**2).sum(axis=0)
    sfx = (f.conj() * x).sum(axis=0)
    coherence = np.minimum((sfx.real**2 + sfx.imag**2) / (sff * sxx), 1)
    error = np.sqrt((1 - coherence) / (2 * len(starts) * coherence))
    return sfx / sff / s2, coherence, error


def main():
    path, fs, n, pre, tau, length, taper = sys.argv[1], *map(float, sys.argv[2:8])
    starts = [int(v) for v in sys.argv[8:]]
    n, pre, length, taper = int(n), int(pre), int(length), int(taper)
    channels = np.fromfile(path, dtype="<f8").reshape(2, -1)
    exponential = np.exp(-np.arange(n) / (fs * tau))
    window = np.zeros(n)
    window[: pre + length] = 1
    window[pre + length : pre + length + taper] = 0.5 * (1 + np.cos(np.pi * np.arange(taper) / taper))
    window *= exponential
    s2 = (2j * np.pi * np.arange(1, n // 2 + 1) * fs / n + 1 / tau) ** 2
    h, coherence, _ = response(channels, starts, n, pre, window, exponential, s2)
    print(repr(float(np.abs(h).max())), flush=True)
    for _ in sys.stdin:
        begin = time.perf_counter_ns()
        response(channels, starts, n, pre, window, exponential, s2)
        print(time.perf_counter_ns() - begin, flush=True)


main()
