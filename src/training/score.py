"""What a training song is made of: stems, notes on a beat axis, and the truth about beats and bars. Numpy only."""
from dataclasses import dataclass, field

import numpy as np

STEMS = ("drums", "bass", "comp", "other", "lead")
DRUMS, BASS, COMP, OTHER, LEAD = range(5)
KICK, SNARE, STICK, HAT, OPEN, CRASH, RIDE, TAMB, SHAKER, CLAP, TOM1, TOM2, TOM3 = (
    36, 38, 37, 42, 46, 49, 51, 54, 70, 39, 50, 47, 43)
MAJOR = np.array([0, 2, 4, 5, 7, 9, 11])
MINOR = np.array([0, 2, 3, 5, 7, 8, 10])


@dataclass
class Note:
    beat: float
    length: float
    pitch: int
    velocity: float
    late: float = 0.0  # seconds after the place on the beat axis (strings of a strum, a singer's delay)


@dataclass
class Song:
    seed: int
    notes: list = field(default_factory=lambda: [[] for _ in STEMS])
    programs: list = field(default_factory=lambda: [0] * len(STEMS))
    beat_times: np.ndarray = None
    bar_of_beat: np.ndarray = None  # position in the bar, from 0
    bar_lengths: list = None
    section_beats: list = None
    sections_known: bool = True
    swing: float = 0.0
    jitter: list = None
    description: dict = None

    def time(self, beat):
        """Seconds of places on the beat axis; beyond the table by its first or last interval."""
        t = self.beat_times
        b = np.asarray(beat, float)
        i = np.clip(np.floor(b).astype(int), 0, len(t) - 2)
        return t[i] + (b - i) * (t[i + 1] - t[i])


def weighted(rng, pairs):
    names, weights = zip(*pairs)
    return names[rng.choice(len(names), p=np.array(weights) / sum(weights))]


@dataclass
class Context:
    """A bar about to be written: where it is and what it is to sound like."""
    song: Song
    rng: object
    key: int
    scale: np.ndarray
    start: int
    n: int
    place: int
    bars: int
    chords: list
    next_degree: int
    parts: int
    idea: dict

    def add(self, stem, beat, length, pitch, velocity, late=0.0):
        inside = beat - np.floor(beat)
        if self.parts == 4 and self.song.swing and abs(inside - 0.5) < 0.01:
            beat += self.song.swing * 0.33
        self.song.notes[stem].append(Note(self.start + beat, length, int(pitch), float(np.clip(velocity, 8, 127)), late))


def triad(ctx, degree, seventh=False):
    tones = [ctx.scale[(degree + k) % 7] + 12 * ((degree + k) // 7) for k in ((0, 2, 4, 6) if seventh else (0, 2, 4))]
    return [ctx.key + t for t in tones]


def chord_at(ctx, beat):
    degree = ctx.chords[0][1]
    for at, d in ctx.chords:
        if beat >= at - 1e-6:
            degree = d
    if ctx.idea["push"] and beat >= ctx.n - 0.51:
        degree = ctx.next_degree
    return degree


def tied(ctx, at):
    """True where a pushed chord sounds on over the bar line, so that beat 1 is not struck."""
    return at == 0 and ctx.place > 0 and ctx.idea["push"] and ctx.idea.get("tied", False)
