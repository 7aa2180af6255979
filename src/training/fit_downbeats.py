"""Fits the weights of bars/downbeat-evidence.ts: logistic regression of "is beat 1" on what is heard around each true beat.

    fit_downbeats.py FACTS.json[,MORE.json] [RIDGE]

FACTS comes from tests/bench/rhythm-facts.ts. Every song counts the same, songs with real voices (v) four times. Prints the area under
the ROC curve of each song when it is left out, then the weights as rows before, here, after.
"""
import json
import sys

import numpy as np
from scipy.optimize import minimize

NAMES = ["chord", "bass", "track", "low", "middle", "high", "half", "network"]


def features(song):
    """[beats, 24]: NAMES at the beat before, here and after; all but the network's log odds standardised."""
    rows = np.sqrt(np.array(song["rows"]))
    z = np.clip((rows - rows.mean(0)) / (rows.std(0) + 1e-6), -3, 3)
    net = np.array(song["network"])[:, None]
    here = np.hstack([z[:, :4], z[:, 4:6].mean(1, keepdims=True), z[:, 6:8].mean(1, keepdims=True), z[:, 8:].mean(1, keepdims=True), net])
    none = np.zeros((1, len(NAMES)))
    return np.hstack([np.vstack([none, here[:-1]]), here, np.vstack([here[1:], none])])


def fit(songs, ridge):
    x = np.vstack([s[1] for s in songs])
    y = np.concatenate([s[2] for s in songs])
    share = np.concatenate([np.full(len(s[2]), 200 * (4 if s[0][0] == "v" else 1) / len(s[2])) for s in songs])

    def loss(w):
        p = 1 / (1 + np.exp(-(x @ w[1:] + w[0])))
        value = -(share * (y * np.log(p + 1e-9) + (1 - y) * np.log(1 - p + 1e-9))).sum() + ridge * (w[1:] ** 2).sum()
        slope = share * (p - y)
        return value, np.concatenate([[slope.sum()], x.T @ slope + 2 * ridge * w[1:]])

    return minimize(loss, np.zeros(x.shape[1] + 1), jac=True, method="L-BFGS-B").x


def area(score, truth):
    rank = np.argsort(np.argsort(score))
    ones = truth.sum()
    return (rank[truth > 0].sum() - ones * (ones - 1) / 2) / (ones * (len(truth) - ones))


def main():
    facts = {}
    for path in sys.argv[1].split(","):
        facts.update(json.load(open(path))["downbeats"])
    ridge = float(sys.argv[2]) if len(sys.argv) > 2 else 40
    songs = [(name, features(song), (np.array(song["places"]) == 1).astype(float)) for name, song in facts.items()]
    for k, (name, x, y) in enumerate(songs):
        print(f"{name} left out: area {area(x @ fit(songs[:k] + songs[k + 1:], ridge)[1:], y):.3f}")
    w = fit(songs, ridge)
    print(f"bias {w[0]:.3f}")
    for name, row in zip(NAMES, w[1:].reshape(3, len(NAMES)).T):
        print(f"  {name}: [{', '.join(f'{v:.3f}' for v in row)}],")


main()
