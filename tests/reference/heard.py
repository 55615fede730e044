"""Plucked wires and swinging masses as sensors would hear them, made and read without our program.

The plucks: a clamped beam under tension by finite elements, its own shapes set off at a fifth of the
span. The rival for pitch is librosa's YIN; a swing's frequency is scipy's Lomb–Scargle's.
"""

import os

# What is played is short: compiling harder than this takes longer than it saves.
os.environ.setdefault("NUMBA_OPT", "0")

import librosa
import numpy as np
from scipy import linalg, optimize, signal

from shared import answer, beam


def shapes(case, count=40):
    """Frequencies of a clamped wire and how far each shape stands out at the pluck, by elements."""
    even = np.linspace(0, 1, 101)
    nodes = np.append(case["length"] * (0.5 - 0.5 * np.cos(np.pi * even)), case["length"] * case["place"])
    stiffness, mass, basis = beam(nodes, case["bending"], case["tension"], case["mass"])
    ends = np.isin(basis.mesh.p[0], [0.0, case["length"]])
    free = np.setdiff1d(np.arange(stiffness.shape[0]), basis.nodal_dofs[:, ends].ravel())
    inner = np.ix_(free, free)
    squares, modes = linalg.eigh(stiffness.toarray()[inner], mass.toarray()[inner], subset_by_index=[0, count - 1])
    plucked = int(np.argmin(np.abs(basis.mesh.p[0] - case["length"] * case["place"])))
    row = list(free).index(basis.nodal_dofs[0][plucked])
    return np.sqrt(squares), modes[row]


def plucks(case):
    """Recordings of one wire plucked at some places, and the tension each pitch would mean."""
    dice = np.random.default_rng(case["seed"])
    return [pluck(dict(case, place=place), dice) for place in case["places"]]


def pluck(case, dice):
    """Each shape decays, is heard as speed, and lies in white noise. 16-bit samples."""
    turns, out = shapes(case)
    time = np.arange(int(case["rate"] * case["seconds"])) / case["rate"]
    sound = np.zeros_like(time)
    for turn, stands in zip(turns, out):
        pitch = turn / (2 * np.pi)
        if pitch > 0.45 * case["rate"]:
            break
        # Let go from rest under one newton: a displacement of (shape/turn)², heard as its speed.
        finger = np.exp(-((pitch / 1500) ** 2))
        decay = np.exp(-time / (0.9 / (1 + pitch / 600)))
        sound += stands**2 / turn * finger * decay * np.sin(turn * time + dice.uniform(0, 0.3))
    # A telephone hears little of the bass.
    sound = signal.sosfilt(signal.butter(2, case["bass"], "highpass", fs=case["rate"], output="sos"), sound)
    level = sound.std() * 10 ** (-case["decibels"] / 20)
    before = int(0.1 * case["rate"])
    whole = np.concatenate([np.zeros(before), sound]) + dice.normal(0.0, level, before + len(sound))
    least, most = (np.sqrt(n / case["mass"]) / (2 * case["length"]) for n in case["between"])
    pitch = np.median(librosa.yin(whole, fmin=least, fmax=most, sr=case["rate"], frame_length=4096))
    return {
        "samples": [int(round(s)) for s in whole / np.abs(whole).max() * 20000],
        "yin": float(4 * case["mass"] * case["length"] ** 2 * pitch**2),
    }


def swung(case):
    """The frequency whose sine with a mean of its own explains most of a motion, and what share."""
    time, moved = np.array(case["times"]), np.array(case["values"])
    shares = lambda pitches: signal.lombscargle(
        time, moved, 2 * np.pi * pitches, normalize=True, floating_mean=True
    )
    grid = np.arange(2.5, min(60.0, case["top"]), 1 / (20 * (time[-1] - time[0])))
    best = grid[np.argmax(shares(grid))]
    step = grid[1] - grid[0]
    found = optimize.minimize_scalar(
        lambda pitch: -shares(np.array([pitch])).item(), bounds=(best - step, best + step), method="bounded", options={"xatol": 1e-9}
    )
    return {"pitch": float(found.x), "share": float(-found.fun)}


def evened(case):
    values = np.array(case["values"])
    return {"median": float(np.median(values)), "over": list(values / np.median(values) - 1)}


answer({"plucks": plucks, "swung": swung, "evened": evened})
