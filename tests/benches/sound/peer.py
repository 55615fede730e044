"""The peer of the sound estimate: librosa's pitch of plucks in WAV files, taken for a bare string's.

Reads FOLDER/plucks.json, a list of {file, lengthM, massKgPerM, least, most}: the tensions that are
looked for give the pitches that are. Prints one JSON object: for `yin` and `pyin` the seconds a
pluck took (median) and the tension that each pluck's pitch means, 4·m·L²·f², in newtons.
"""

import json
import pathlib
import statistics
import sys
import time

import librosa
import numpy


def pitch_by_yin(sound, rate, least, most):
    """Median of the pitches of all frames, Hz."""
    return float(numpy.median(librosa.yin(sound, fmin=least, fmax=most, sr=rate, frame_length=4096)))


def pitch_by_pyin(sound, rate, least, most):
    """Median of the pitches of the frames that are voiced, Hz; none where no frame is."""
    pitches, voiced, _ = librosa.pyin(sound, fmin=least, fmax=most, sr=rate, frame_length=4096)
    heard = pitches[voiced]
    return float(numpy.median(heard)) if heard.size else None


def told(pitch_of, folder, plucks):
    """Seconds a pluck, median, and the tension that each means."""
    seconds, tensions = [], []
    for pluck in plucks:
        sound, rate = librosa.load(folder / pluck["file"], sr=None, mono=True)
        length, mass = pluck["lengthM"], pluck["massKgPerM"]

        def pitch(tension):
            return (tension / mass) ** 0.5 / (2 * length)

        least, most = pitch(pluck["least"]), pitch(pluck["most"])
        begun = time.perf_counter()
        found = pitch_of(sound, rate, least, most)
        seconds.append(time.perf_counter() - begun)
        tensions.append(None if found is None else 4 * mass * length**2 * found**2)
    return {"medianS": statistics.median(seconds), "newtons": tensions}


def main():
    folder = pathlib.Path(sys.argv[1])
    plucks = json.loads((folder / "plucks.json").read_text())
    # The first call compiles what follows; it is not the figure.
    for warm in (pitch_by_yin, pitch_by_pyin):
        told(warm, folder, plucks[:1])
    print(json.dumps({
        "librosa": librosa.__version__,
        "yin": told(pitch_by_yin, folder, plucks),
        "pyin": told(pitch_by_pyin, folder, plucks),
    }))


main()
