"""Fits the weights of level-score.ts: among all ways to count a song, which is the annotated one (conditional logistic regression).

    fit_levels.py FACTS.json[,MORE.json] [RIDGE]

FACTS comes from tests/bench/rhythm-facts.ts, where `worth` of a way is its beat F (with bars: the mean with its bar line F). Prints
what would be chosen for each song when it is left out (with all whose names end alike: the same notes played otherwise),
then the weights.
"""
import json
import sys

import numpy as np
from scipy.optimize import minimize


# As in level-score.ts: beats beyond these tempi are hardly ever counted.
FASTEST, SLOWEST, EXTREME = 200, 54, 8
NOT_WEIGHED = {"firstThird"}


def extreme(way):
    bpm = 60 / way["period"]
    return -EXTREME * (max(0, np.log2(bpm / FASTEST)) + max(0, np.log2(SLOWEST / bpm)))


def main():
    facts = {}
    for path in sys.argv[1].split(","):
        facts.update(json.load(open(path))["levels"])
    ridge = float(sys.argv[2]) if len(sys.argv) > 2 else 12
    names = sorted(set(next(iter(facts.values()))[0]["facts"]) - NOT_WEIGHED)
    bars = [3, 2, 6, 5, 7]
    rows = {s: np.array([[w["facts"][n] for n in names] + [float(w["beats"] == b) for b in bars] for w in ways]) for s, ways in facts.items()}
    every = np.concatenate(list(rows.values()))
    mean, spread = every.mean(0), every.std(0) + 1e-9
    songs = []
    for name, ways in facts.items():
        worth = np.array([w["worth"] for w in ways])
        target = np.exp((worth - worth.max()) / 0.05)
        songs.append((name, (rows[name] - mean) / spread, target / target.sum(), worth, np.array([extreme(w) for w in ways])))

    def fit(some):
        def loss(w):
            total, slope = ridge * (w**2).sum(), 2 * ridge * w
            for _, x, target, _, known in some:
                a = x @ w + known
                p = np.exp(a - a.max())
                p /= p.sum()
                total -= (target * np.log(p + 1e-12)).sum()
                slope = slope + x.T @ (p - target)
            return total, slope

        return minimize(loss, np.zeros(len(mean)), jac=True, method="L-BFGS-B").x

    for name, x, _, worth, known in songs:
        pick = int(np.argmax(x @ fit([song for song in songs if song[0][1:] != name[1:]]) + known))
        way = facts[name][pick]
        print(f"{name} left out: {60 / way['period']:.1f} bpm in {way['beats']}, worth {worth[pick]:.2f}, best {worth.max():.2f}")
    for name, w in zip(names + [f"bars of {b}" for b in bars], fit(songs) / spread):
        print(f"  {name}: {w:.3f},")


main()
