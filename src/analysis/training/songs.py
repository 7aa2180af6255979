"""Procedural training songs: notes by stem and the truth about their beats and bars. Numpy only; seeded.

A song is composed on a beat axis (beat 0 is the first downbeat, fractions inside a beat are exact), then placed in
time by a table of beat times with drift, and every note is moved a little as players do. All material is invented
by the generator; nothing is taken from a published song.
"""
from dataclasses import dataclass, field

import numpy as np

STEMS = ("drums", "bass", "comp", "other", "lead")
DRUMS, BASS, COMP, OTHER, LEAD = range(5)
KICK, SNARE, STICK, HAT, OPEN, CRASH, RIDE, TAMB, SHAKER, CLAP, TOM1, TOM2, TOM3 = (
    36, 38, 37, 42, 46, 49, 51, 54, 70, 39, 50, 47, 43)


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
    swing: float = 0.0
    jitter: list = None
    description: dict = None

    def time(self, beat):
        """Seconds of places on the beat axis; beyond the table by its first or last interval."""
        t = self.beat_times
        b = np.asarray(beat, float)
        i = np.clip(np.floor(b).astype(int), 0, len(t) - 2)
        return t[i] + (b - i) * (t[i + 1] - t[i])


# name, beats a bar, parts of a beat, weight, tempo range of the beat
METERS = [
    ("4/4", 4, 4, 0.56, (62, 190)),
    ("4/4 swung", 4, 3, 0.07, (70, 180)),
    ("3/4", 3, 4, 0.09, (70, 200)),
    ("6/8", 2, 3, 0.09, (45, 120)),
    ("12/8", 4, 3, 0.05, (45, 120)),
    ("2/4", 2, 4, 0.04, (70, 180)),
    ("5/4", 5, 4, 0.04, (80, 190)),
    ("6/4", 6, 4, 0.02, (90, 200)),
    ("7/4", 7, 4, 0.02, (100, 210)),
    ("9/8", 3, 3, 0.02, (50, 110)),
]

PROGRESSIONS = [
    (0, 4, 5, 3), (0, 5, 3, 4), (5, 3, 0, 4), (0, 3, 4, 4), (0, 3, 0, 4), (0, 0, 3, 4), (1, 4, 0, 0), (0, 2, 3, 4),
    (0, 4, 3, 3), (5, 4, 3, 4), (0, 6, 3, 0), (3, 4, 2, 5), (0, 5, 1, 4), (0, 1, 3, 0), (3, 0, 4, 5), (0, 0, 0, 0),
    (0, 3), (0, 4), (0, 5), (0, 3, 0, 3, 5, 4, 3, 4), (0, 0, 0, 0, 3, 3, 0, 0, 4, 3, 0, 4),
]
MAJOR = np.array([0, 2, 4, 5, 7, 9, 11])
MINOR = np.array([0, 2, 3, 5, 7, 8, 10])


def weighted(rng, pairs):
    names, weights = zip(*pairs)
    return names[rng.choice(len(names), p=np.array(weights) / sum(weights))]


def compose(seed, seconds=78.0):
    """A song of about `seconds`, always the same for the same seed."""
    rng = np.random.default_rng(seed)
    song = Song(seed)
    meter = METERS[rng.choice(len(METERS), p=np.array([m[3] for m in METERS]) / sum(m[3] for m in METERS))]
    name, per_bar, parts, _, (low, high) = meter
    sound = choose_band(rng, parts)
    usual = 85 if parts == 3 else 145 if sound["style"] == "heavy" else 110
    bpm = float(np.exp(rng.normal(np.log(usual), 0.3))) if rng.random() < 0.75 else rng.uniform(low, high)
    bpm = float(np.clip(bpm, low, max(high, 210 if sound["style"] == "heavy" else high)))
    total = int(np.ceil((seconds + 6) * bpm / 60)) + per_bar
    plan_form(song, rng, per_bar, parts, total)
    place_in_time(song, rng, bpm, len(song.bar_of_beat) + 1)
    song.swing = rng.choice([0, 0, 0, 0, 0.1, 0.2]) if parts == 4 else 0.0
    song.jitter = [rng.uniform(0.001, m) for m in (0.008, 0.012, 0.012, 0.012, 0.025)]
    song.description = {"meter": name, "bpm": round(bpm, 1), **sound}
    write_parts(song, rng, sound, per_bar, parts)
    return song


def plan_form(song, rng, per_bar, parts, total):
    """Sections of 4, 8, sometimes odd numbers of bars; 0 to 4 irregular bars, mostly where sections end."""
    lengths, letters, starts = [], [], []
    kinds = "ABC"[: rng.integers(1, 4)]
    size = {k: int(rng.choice([4, 4, 8, 8, 8, 12, 6, 5, 7])) for k in kinds}
    beats, previous = 0, None
    while beats < total:
        k = rng.choice(list(kinds)) if previous is None or rng.random() < 0.75 else previous
        n = size[k]
        if rng.random() < 0.08:
            n = max(2, n + int(rng.choice([-1, 1, 2])))
        starts.append(len(lengths))
        letters.append(k)
        lengths += [per_bar] * n
        beats += per_bar * n
        previous = k
    irregular = rng.choice([0, 1, 2, 3, 4, 8], p=[0.35, 0.2, 0.18, 0.15, 0.08, 0.04])
    ends = [s - 1 for s in starts[1:]]
    odd = {4: [2, 2, 2, 6, 6, 3, 5, 1, 7], 3: [2, 2, 4, 5, 6, 1], 2: [1, 3, 3, 4], 5: [4, 3, 6], 6: [4, 3, 5], 7: [4, 6, 5]}
    for _ in range(irregular):
        bar = int(rng.choice(ends)) if ends and rng.random() < 0.6 else int(rng.integers(1, len(lengths)))
        lengths[bar] = int(rng.choice(odd[per_bar]))
        if rng.random() < 0.25 and bar + 1 < len(lengths):
            lengths[bar + 1] = lengths[bar]
    song.bar_lengths = lengths
    song.bar_of_beat = np.concatenate([np.arange(n) for n in lengths])
    bar_starts = np.concatenate([[0], np.cumsum(lengths)])
    song.section_beats = [int(bar_starts[s]) for s in starts]
    song.letters = letters
    song.section_bars = starts
    song.bar_starts = bar_starts


def place_in_time(song, rng, bpm, beats):
    period = np.full(beats, 60.0 / bpm)
    kind = rng.random()
    if kind < 0.55:  # live: slow walk and small steps from beat to beat
        walk = np.cumsum(rng.normal(0, 1, beats))
        walk = np.convolve(np.pad(walk, 8, mode="edge"), np.ones(17) / 17, "valid")
        walk -= walk.mean()
        period *= np.exp(rng.uniform(0.003, 0.03) * walk / (np.abs(walk).max() + 1e-9) * 2)
        period *= np.exp(rng.normal(0, rng.uniform(0, 0.012), beats))
    if rng.random() < 0.15:  # another tempo from a section on
        at = int(rng.choice(song.section_beats))
        period[at:] *= rng.uniform(0.88, 1.14)
    if rng.random() < 0.2:  # ritardando at the very end of what is heard
        period[-12:] *= np.linspace(1, rng.uniform(1.2, 1.8), 12)
    lead = rng.choice([0.05, rng.uniform(0.05, 1), rng.uniform(0.5, 6)])
    song.beat_times = lead + np.concatenate([[0], np.cumsum(period)])[:beats]


def choose_band(rng, parts):
    drums = weighted(rng, [("kit", 0.66), ("own", 0.0), ("percussion", 0.08), ("none", 0.26)])
    style = weighted(rng, [
        ("rock", 0.3), ("half", 0.09), ("double", 0.07), ("floor", 0.1), ("onedrop", 0.04), ("train", 0.06),
        ("brushes", 0.06), ("heavy", 0.1), ("broken", 0.12), ("sparse", 0.06)])
    comp = weighted(rng, [
        ("strum", 0.36), ("strum16", 0.1), ("block", 0.1), ("half", 0.05), ("arpeggio", 0.16), ("pad", 0.05),
        ("riff", 0.1), ("skank", 0.08)])
    return {
        "drums": drums, "style": style, "comp": comp, "ukulele": bool(rng.random() < 0.2),
        "bass": weighted(rng, [("root", 0.25), ("rootfifth", 0.2), ("eighths", 0.2), ("walk", 0.07), ("kick", 0.18), ("none", 0.1)]),
        "other": weighted(rng, [("pad", 0.3), ("arpeggio", 0.2), ("block", 0.15), ("none", 0.35)]),
        "lead": weighted(rng, [("voice", 0.55), ("instrument", 0.25), ("none", 0.2)]),
        "capo": int(rng.integers(0, 6)),
        "drumpad": bool(rng.random() < 0.3),
    }


def write_parts(song, rng, sound, per_bar, parts):
    key = int(rng.integers(0, 12))
    scale = MINOR if rng.random() < 0.35 else MAJOR
    song.programs = [0, int(rng.choice([32, 33, 33, 34, 35, 36, 38, 39])), 0, 0, 0]
    song.programs[COMP] = int(rng.choice([24, 24, 24, 25] if sound["ukulele"] else [24, 25, 25, 26, 27, 28, 29, 30, 0, 1, 4, 7, 16, 105]))
    if sound["comp"] == "riff":
        song.programs[COMP] = int(rng.choice([29, 30, 30, 27, 81]))
    song.programs[OTHER] = int(rng.choice([0, 1, 4, 16, 18, 19, 48, 49, 50, 52, 88, 89, 11, 46, 24, 25]))
    song.programs[LEAD] = int(rng.choice([40, 56, 60, 65, 68, 71, 73, 74, 75, 22, 80, 81, 0, 26, 105, 53, 54]))
    ideas = {k: section_idea(rng, sound, per_bar, parts) for k in set(song.letters)}
    sections = list(zip(song.section_bars, song.section_bars[1:] + [len(song.bar_lengths)], song.letters))
    for index, (first, last, letter) in enumerate(sections):
        idea = ideas[letter]
        quiet = set()
        if index == 0 and rng.random() < 0.3:
            quiet = {DRUMS} | ({BASS} if rng.random() < 0.6 else set()) | ({LEAD} if rng.random() < 0.7 else set())
        elif rng.random() < 0.1:
            quiet = {int(rng.choice([DRUMS, DRUMS, BASS, LEAD, COMP]))}
        for bar in range(first, last):
            place = bar - first
            start, n = int(song.bar_starts[bar]), song.bar_lengths[bar]
            chords = chords_of_bar(idea, place, n)
            next_degree = chords_of_bar(idea, place + 1, per_bar)[0][1]
            ctx = Context(song, rng, key, scale, start, n, place, last - first, chords, next_degree, parts, idea)
            if DRUMS not in quiet and sound["drums"] != "none":
                write_drums(ctx, sound, index > 0 and place == 0, bar == last - 1)
            if BASS not in quiet and sound["bass"] != "none":
                write_bass(ctx, sound["bass"])
            if COMP not in quiet:
                write_comp(ctx, COMP, sound["comp"], sound["ukulele"], sound["capo"])
            if OTHER not in quiet and sound["other"] != "none":
                write_comp(ctx, OTHER, sound["other"], False, 0)
            if LEAD not in quiet and sound["lead"] != "none":
                write_lead(ctx)


@dataclass
class Context:
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


def section_idea(rng, sound, per_bar, parts):
    """What all passes of a section share: progression, grooves, motifs."""
    progression = PROGRESSIONS[rng.integers(len(PROGRESSIONS))]
    rate = weighted(rng, [(1, 0.6), (2, 0.25), (0.5, 0.15)]) if per_bar > 2 else weighted(rng, [(1, 0.7), (0.5, 0.3)])
    slots = per_bar * parts
    idea = {
        "progression": progression, "rate": rate, "push": rng.random() < 0.14, "parts": parts,
        "split": int(rng.choice([max(1, per_bar // 2), max(1, per_bar - 1)])),
        "drum": drum_pattern(rng, sound["style"], per_bar, parts),
        "hat": weighted(rng, [("eighth", 0.45), ("quarter", 0.15), ("sixteenth", 0.12), ("offbeat", 0.12), ("ride", 0.16)]),
        "strum": strum_pattern(rng, per_bar, parts, sound["comp"] == "strum16"),
        "arp": rng.permutation(8), "arp_rate": int(rng.choice([2, 2, 4])) if parts == 4 else 3,
        "kickbass": rng.random(slots) < 0.3,
        "motifs": [motif(rng, per_bar, parts) for _ in range(rng.integers(1, 4))],
        "motif_order": rng.integers(0, 3, 16), "gain": rng.uniform(0.75, 1.0),
        "riff": rng.random(slots) < rng.uniform(0.4, 1.0), "rest_bars": rng.random(8) < 0.15,
    }
    return idea


def chords_of_bar(idea, place, n):
    """[(beat in the bar, degree)], ascending."""
    p, rate = idea["progression"], idea["rate"]
    if rate == 2 and n > 1:
        split = min(idea["split"], n - 1)
        return [(0, p[(2 * place) % len(p)]), (split, p[(2 * place + 1) % len(p)])]
    step = place if rate != 0.5 else place // 2
    return [(0, p[step % len(p)])]


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


def drum_pattern(rng, style, per_bar, parts):
    """Kick and snare strength by slot of the bar (parts a beat)."""
    slots = per_bar * parts
    kick, snare = np.zeros(slots), np.zeros(slots)
    half = parts / 2
    back = [b for b in range(per_bar) if b % 2 == 1]
    if per_bar == 3:
        back = [[1, 2], [2], [1]][rng.integers(3)]
    elif per_bar == 2 and parts == 3:
        back = [1]
    elif per_bar == 5:
        back = [[3], [1, 3], [2, 4]][rng.integers(3)]
    elif per_bar == 7:
        back = [[2, 4, 6], [1, 3, 5], [3, 6]][rng.integers(3)]
    kick[0] = 1
    if style in ("rock", "heavy", "broken", "brushes", "sparse"):
        for b in range(1, per_bar):
            if b not in back and rng.random() < 0.65:
                kick[b * parts] = 0.9
        for b in back:
            snare[b * parts] = 1
        for b in range(per_bar):
            if parts == 4 and rng.random() < (0.5 if style == "broken" else 0.28):
                kick[b * parts + 2] = 0.8
            if style == "broken" and parts == 4 and rng.random() < 0.3:
                kick[b * parts + 3] = 0.7
            if parts == 3 and rng.random() < 0.3:
                kick[b * parts + 2] = 0.8
        if style == "heavy" and rng.random() < 0.6:
            kick[:: 1 if rng.random() < 0.4 else 2] = 0.85
        if style == "sparse":
            kick[1:] *= rng.random(slots - 1) < 0.4
    elif style == "half":
        snare[(per_bar // 2) * parts] = 1
        kick[parts:] = (rng.random(slots - parts) < 0.12) * 0.8
    elif style == "double":  # snare on every off-beat
        kick[::parts] = 0.9
        snare[np.minimum(np.arange(per_bar) * parts + int(np.ceil(half)), slots - 1)] = 0.95
    elif style == "floor":
        kick[::parts] = 1
        for b in back:
            snare[b * parts] = 0.9
    elif style == "onedrop":
        kick[0] = 0.2 if rng.random() < 0.7 else 1
        kick[(per_bar // 2) * parts] = 1
        snare[(per_bar // 2) * parts] = 0.9
    elif style == "train":
        snare[:: max(1, parts // 2)] = 0.4
        for b in range(per_bar):
            snare[min(slots - 1, b * parts + (parts // 2 if rng.random() < 0.5 else 0))] = 0.9
        kick[::parts] = 0.7
    if style == "broken" and rng.random() < 0.5:
        snare += (rng.random(slots) < 0.15) * 0.3
    return kick, snare


def write_drums(ctx, sound, opens, closes):
    rng, parts, n = ctx.rng, ctx.parts, ctx.n
    kick, snare = ctx.idea["drum"]
    slots = n * parts
    light = sound["style"] == "brushes"
    gain = 95 * ctx.idea["gain"]
    fill = closes and rng.random() < 0.55
    fill_from = max(0, slots - int(rng.choice([parts, 2 * parts]))) if fill else slots
    percussion = sound["drums"] == "percussion"
    side = STICK if light or rng.random() < 0.03 else SNARE
    for s in range(slots):
        at, k, sn = s / parts, kick[s % len(kick)], snare[s % len(snare)]
        if s >= fill_from:
            if rng.random() < 0.75:
                drum = (SNARE, TOM1, TOM2, TOM3)[min(3, int(4 * (s - fill_from) / max(1, slots - fill_from)))]
                ctx.add(DRUMS, at, 0.1, drum, gain * rng.uniform(0.6, 1.1))
            if s % parts == 0 and rng.random() < 0.4:
                ctx.add(DRUMS, at, 0.1, KICK, gain)
            continue
        if percussion:
            if s % max(1, parts // 2) == 0:
                ctx.add(DRUMS, at, 0.1, SHAKER, gain * (0.9 if s % parts == 0 else 0.55) * rng.uniform(0.8, 1.1))
            if sn > 0.5:
                ctx.add(DRUMS, at, 0.1, TAMB if ctx.idea["gain"] > 0.85 else CLAP, gain)
            if k > 0.5 and ctx.idea["gain"] > 0.9:
                ctx.add(DRUMS, at, 0.1, KICK, gain * 0.8)
            continue
        if k > 0:
            ctx.add(DRUMS, at, 0.1, KICK, gain * k * rng.uniform(0.85, 1.1))
        if sn > 0:
            ctx.add(DRUMS, at, 0.1, side, gain * sn * rng.uniform(0.85, 1.1))
        hat = ctx.idea["hat"]
        metal = RIDE if hat == "ride" else HAT
        on_beat = s % parts == 0
        if parts == 3:
            plays = on_beat or s % 3 == 2 or hat in ("eighth", "sixteenth")
        else:
            plays = {"eighth": s % 2 == 0, "quarter": on_beat, "sixteenth": True, "offbeat": s % 4 == 2, "ride": s % 2 == 0}[hat]
        if plays:
            ctx.add(DRUMS, at, 0.1, OPEN if hat == "offbeat" else metal,
                    gain * (0.75 if on_beat else 0.55) * rng.uniform(0.8, 1.1))
    if opens and rng.random() < 0.6 and not percussion:
        ctx.add(DRUMS, 0, 1, CRASH, gain * 1.1)


def write_bass(ctx, kind):
    rng, n, parts = ctx.rng, ctx.n, ctx.parts
    low = lambda degree: 28 + (triad(ctx, degree)[0] - 28) % 12 + (12 if ctx.key % 3 == 0 else 0)
    gain = 95 * ctx.idea["gain"]
    if kind == "root":
        for i, (at, degree) in enumerate(ctx.chords):
            end = ctx.chords[i + 1][0] if i + 1 < len(ctx.chords) else n
            ctx.add(BASS, at, (end - at) * 0.95, low(degree), gain)
    elif kind == "rootfifth":
        for b in range(n):
            degree = chord_at(ctx, b)
            if b % 2 == 0 or n == 3:
                ctx.add(BASS, b, 0.9, low(degree) if (b // 2) % 2 == 0 else low(degree + 4), gain * (1 if b == 0 else 0.85))
    elif kind == "eighths":
        step = 0.5 if parts == 4 else 1 / 3
        for i in range(int(round(n / step))):
            ctx.add(BASS, i * step, step * 0.9, low(chord_at(ctx, i * step)), gain * (1 if i % 2 == 0 else 0.8) * rng.uniform(0.9, 1.05))
    elif kind == "walk":
        for b in range(n):
            degree = chord_at(ctx, b)
            pitch = low(degree) if b == 0 else low(degree) + int(rng.choice([0, 2, 3, 4, 5, 7, -2, -1]))
            ctx.add(BASS, b, 0.95, pitch, gain * 0.95)
    else:
        kick = ctx.idea["drum"][0]
        for s in range(n * parts):
            if kick[s % len(kick)] > 0 or s == 0 or (ctx.idea["kickbass"][s % len(kick)] and s % 2 == 0):
                at = s / parts
                ctx.add(BASS, at, rng.choice([0.2, 0.45, 0.9]), low(chord_at(ctx, at)), gain * rng.uniform(0.85, 1.05))


def strum_pattern(rng, per_bar, parts, sixteenth):
    """(place in beats, down or up, strength) over a bar."""
    step = (0.25 if sixteenth else 0.5) if parts == 4 else 1 / 3
    out = []
    on, off = rng.uniform(0.75, 1), rng.uniform(0.3, 0.85)
    accent = rng.integers(0, 3)
    for i in range(int(round(per_bar / step))):
        at = i * step
        beat = abs(at - round(at)) < 1e-6
        if rng.random() > (on if beat else off) and i > 0:
            continue
        strength = 0.75 if beat else 0.55
        if accent == 1 and beat and int(round(at)) % 2 == 1:
            strength = 1.0
        if accent == 2 and i == 0:
            strength = 1.0
        out.append((at, i % 2 == 0, strength))
    return out


def voicing(ctx, degree, ukulele, capo, size=6):
    tones = triad(ctx, degree, seventh=ctx.idea["gain"] > 0.93)
    classes = {t % 12 for t in tones}
    strings = (67, 60, 64, 69) if ukulele else (40, 45, 50, 55, 59, 64)
    out = []
    for string in strings[-size:]:
        for fret in range(capo if not ukulele else 0, capo + 9):
            if (string + fret) % 12 in classes:
                out.append(string + fret)
                break
    return out


def write_comp(ctx, stem, kind, ukulele, capo):
    rng, n, parts = ctx.rng, ctx.n, ctx.parts
    gain = 88 * ctx.idea["gain"] * (0.8 if stem == OTHER else 1)
    close = lambda degree: [t + (48 if t % 12 > 5 else 60) - t // 12 * 12 for t in triad(ctx, degree)]
    if kind in ("strum", "strum16"):
        spread = rng.uniform(0.004, 0.02)
        pattern = ctx.idea["strum"]
        span = max(at for at, _, _ in pattern) + 0.5
        for rep in range(int(np.ceil(n / np.ceil(span)))):
            for at, down, strength in pattern:
                at = at + rep * np.ceil(span)
                if at >= n - 1e-6:
                    continue
                pitches = voicing(ctx, chord_at(ctx, at), ukulele, capo)
                if not down:
                    pitches = pitches[::-1][: rng.integers(2, 5)]
                elif rng.random() < 0.3 and not ukulele:
                    pitches = pitches[1:]
                v = gain * strength * rng.uniform(0.85, 1.1)
                for i, pitch in enumerate(pitches):
                    ctx.add(stem, at, 0.6, pitch, v * (1 - 0.04 * i), i * spread)
    elif kind in ("block", "half", "pad"):
        step = {"block": 1, "half": 2, "pad": n}[kind]
        places = sorted({float(b) for b in range(0, n, step)} | {float(at) for at, _ in ctx.chords})
        for i, at in enumerate(places):
            end = places[i + 1] if i + 1 < len(places) else n
            for pitch in close(chord_at(ctx, at)):
                ctx.add(stem, at, (end - at) * (0.98 if kind == "pad" else 0.8), pitch, gain * (1 if at == 0 else 0.88) * rng.uniform(0.9, 1.05))
    elif kind == "arpeggio":
        rate = ctx.idea["arp_rate"]
        for i in range(n * rate):
            at = i / rate
            pitches = voicing(ctx, chord_at(ctx, at), ukulele, capo)
            first = i == 0 or any(abs(at - c) < 1e-6 for c, _ in ctx.chords)
            pitch = pitches[0] if first else pitches[ctx.idea["arp"][i % 8] % len(pitches)]
            ctx.add(stem, at, 1.5 / rate, pitch, gain * (0.95 if first else 0.75) * rng.uniform(0.85, 1.1))
    elif kind == "riff":
        for s in range(n * parts):
            if ctx.idea["riff"][s % len(ctx.idea["riff"])] and (s % 2 == 0 or parts == 3 or ctx.idea["gain"] > 0.95):
                at = s / parts
                root = 40 + (triad(ctx, chord_at(ctx, at))[0] - 40) % 12
                for pitch in (root, root + 7, root + 12):
                    ctx.add(stem, at, rng.choice([0.2, 0.4]), pitch, gain * (1.1 if s % parts == 0 else 0.85))
    elif kind == "skank":
        off = 0.5 if parts == 4 else 2 / 3
        for b in range(n):
            for pitch in close(chord_at(ctx, b)):
                ctx.add(stem, b + off, 0.25, pitch, gain * rng.uniform(0.9, 1.1))


def motif(rng, per_bar, parts):
    """A bar of melody: (place, length, step in the scale or None for a chord tone)."""
    step = 0.5 if parts == 4 else 1 / 3
    at, out = (0.0 if rng.random() < 0.5 else step * rng.integers(0, 4)), []
    degree = int(rng.integers(0, 8))
    while at < per_bar - 1e-6:
        length = step * rng.choice([1, 1, 1, 2, 2, 3, 4])
        if rng.random() < 0.82:
            out.append((at, min(length, per_bar - at), degree if abs(at - round(at)) > 1e-6 else None))
        degree = int(np.clip(degree + rng.choice([-2, -1, -1, 0, 1, 1, 2, 3]), 0, 11))
        at += length
    pickup = [(-(k + 1) * step, step, degree) for k in range(rng.integers(0, 3))] if rng.random() < 0.4 else []
    return out + pickup


def write_lead(ctx):
    rng, idea = ctx.rng, ctx.idea
    if idea["rest_bars"][ctx.place % 8]:
        return
    chosen = idea["motifs"][idea["motif_order"][ctx.place % 16] % len(idea["motifs"])]
    base = 60 if idea["gain"] > 0.85 else 55
    for at, length, degree in chosen:
        if at >= ctx.n - 1e-6 or (at < 0 and ctx.start + at < 0):
            continue
        if degree is None:
            tones = triad(ctx, chord_at(ctx, max(0, at)))
            pitch = base + (tones[int(rng.integers(3))] - base) % 12
        else:
            pitch = base + (ctx.key + ctx.scale[degree % 7] - base) % 12 + 12 * (degree // 7)
        ctx.add(LEAD, at, min(length, ctx.n - at) * 0.92, pitch, rng.uniform(70, 105), max(0.0, rng.normal(0.008, 0.012)))
