"""Training songs made of packed notes (pop909.py): another key, tempo and timing, drums and bass of our own, cut bars."""
import numpy as np

from drums import drum_pattern, write_drums
from score import BASS, COMP, DRUMS, LEAD, OTHER, Context, Note, Song, weighted
from songs import choose_band, place_in_time

MELODY, BRIDGE, PIANO = range(3)
TICKS = 480
HELD_OUT = 650  # numbers above are never trained on; validate.py uses them
PIANOS = [0, 0, 0, 0, 1, 2, 3, 4, 5, 6, 7, 24, 25, 26, 46, 11, 88]
BRIDGES = [48, 49, 50, 51, 52, 24, 25, 27, 0, 4, 11, 46, 40, 42, 60, 61, 73, 88, 89, 91, 95]
LEADS = [40, 41, 54, 56, 57, 60, 64, 65, 66, 68, 69, 71, 72, 73, 74, 75, 22, 80, 81, 82, 0, 26, 53]


class Notes:
    """The packed songs, those that train or those that are kept for measuring."""

    def __init__(self, path, held_out=False):
        with np.load(path) as packed:
            self.data = {k: packed[k] for k in packed.files}
        use = self.data["number"] > HELD_OUT if held_out else self.data["number"] <= HELD_OUT
        self.songs = np.flatnonzero(use)
        weight = np.where(self.data["size"][self.songs] == 3, 4.0, 1.0)
        self.weight = weight / weight.sum()

    def song(self, i):
        """(bar length, beat times, notes [n, 5]: start and length in beats, pitch, velocity, track)."""
        d = self.data
        a, b = (d["notes"][i - 1] if i else 0), d["notes"][i]
        c, e = (d["beats"][i - 1] if i else 0), d["beats"][i]
        columns = (d["start"][a:b] / TICKS, d["length"][a:b] / TICKS, d["pitch"][a:b], d["velocity"][a:b], d["track"][a:b])
        return int(d["size"][i]), d["times"][c:e].astype(float), np.stack(columns, 1).astype(float)


def arrange(bank, seed, seconds=78.0, which=None):
    """A song of about `seconds` from a stretch of a packed one, always the same for the same seed."""
    rng = np.random.default_rng([seed, 909])
    song = Song(seed, sections_known=False)
    chosen = int(rng.choice(bank.songs, p=bank.weight)) if which is None else which
    size, times, source = bank.song(chosen)
    gaps = np.diff(times)
    factor = float(np.exp(np.clip(rng.normal(0, 0.13), -0.3, 0.3)))
    pieces = cut(rng, size, gaps / factor, source, seconds + 6)
    notes, song.bar_lengths, again = assemble(pieces, source, size)
    beats = sum(b - a for a, b, _ in pieces)
    song.bar_of_beat = np.concatenate([np.arange(n) for n in song.bar_lengths])
    song.bar_starts = np.concatenate([[0], np.cumsum(song.bar_lengths)])
    block = int(rng.choice([4, 8, 8, 16]))
    song.section_bars = list(range(0, len(song.bar_lengths), block))
    song.section_beats = [int(song.bar_starts[b]) for b in song.section_bars]
    old = np.concatenate([gaps[a:b] for a, b, _ in pieces])
    if rng.random() < 0.55:
        lead = rng.choice([0.05, rng.uniform(0.05, 1), rng.uniform(0.5, 4)])
        song.beat_times = lead + np.concatenate([[0], np.cumsum(old / factor)])
        song.pauses = []
    else:
        place_in_time(song, rng, factor * 60 / float(np.median(old)), beats + 1)
    shift = int(rng.integers(-6, 6))
    song.jitter = [rng.uniform(0.001, m) for m in (0.008, 0.012, 0.008, 0.008, 0.015)]
    parts = subdivision(notes)
    sound = choose_band(rng, parts)
    sound["comp"] = "block"
    sound["drums"] = weighted(rng, [("kit", 0.55), ("percussion", 0.07), ("none", 0.38)])
    sound["lead"] = weighted(rng, [("voice", 0.55), ("instrument", 0.4), ("none", 0.05)])
    song.programs = [0, int(rng.choice([32, 33, 33, 34, 35, 38, 39])), int(rng.choice(PIANOS)), int(rng.choice(BRIDGES)), int(rng.choice(LEADS))]
    place_notes(song, rng, notes, shift, sound)
    if sound["drums"] != "none":
        add_drums(song, rng, sound, size, parts)
    song.description = {"meter": f"{size}/4", "profile": "notes", "number": int(bank.data["number"][chosen]), "repeated": again, **sound,
                        "bpm": round(factor * 60 / float(np.median(old)), 1)}
    return song


def cut(rng, size, gaps, source, seconds):
    """[(from, to, played again)]: a stretch of whole bars, in half of the songs with bars made shorter or longer at their end."""
    bars = len(gaps) // size
    per_bar = gaps[: bars * size].reshape(bars, size).sum(1)
    lengths = np.cumsum(per_bar[::-1])[::-1]
    latest = int((lengths >= seconds).sum())
    first = int(rng.integers(0, max(1, latest))) if rng.random() < 0.8 else 0
    last = min(bars, first + int(np.searchsorted(np.cumsum(per_bar[first:]), seconds)) + 1)
    count = int(rng.choice([0, 1, 2, 3, 5], p=[0.45, 0.2, 0.15, 0.15, 0.05]))
    if count == 0 or last - first < 8:
        return [(first * size, last * size, False)]
    sung = np.histogram(source[source[:, 4] == MELODY, 0], np.arange(bars * size + 1) - 0.1)[0]
    ends = np.arange(first + 1, last - 1)
    rest = np.array([sung[(b + 1) * size - 2 : (b + 1) * size].sum() for b in ends]) + rng.random(len(ends)) + (ends % 4 != 3) * 0.8
    likely = ends[np.argsort(rest)][: max(6, len(ends) // 4)]
    chosen = sorted(set(int(b) for b in rng.choice(likely if rng.random() < 0.8 else ends, count)))
    pieces, at = [], first * size
    for b in chosen:
        end = (b + 1) * size
        k = int(rng.choice([1, 2, 2, 3] if size == 4 else [1, 1, 2]))
        if rng.random() < 0.5 and end - k > at:
            pieces.append((at, end - k, False))
        else:
            pieces += [(at, end, False), (end - k, end, True)]
        at = end
    return pieces + [(at, last * size, False)]


def assemble(pieces, source, size):
    """Notes on the new beat axis, the new bars' lengths, and how many pieces are played again."""
    out, offset = [], 0
    lengths, bar = [], 0
    for i, (a, b, again) in enumerate(pieces):
        goes_on = i + 1 < len(pieces) and pieces[i + 1][0] == b
        inside = (source[:, 0] >= a - 0.12) & (source[:, 0] < b - 0.12)
        part = source[inside]
        if again:
            part = part[part[:, 4] != MELODY]
        part = part.copy()
        if not goes_on:
            part[:, 1] = np.minimum(part[:, 1], b - part[:, 0] + 0.1)
        part[:, 0] += offset - a
        out.append(part)
        for k in range(a, b):
            if k % size == 0 and not again and bar:
                lengths.append(bar)
                bar = 0
            bar += 1
        offset += b - a
    notes = np.concatenate(out)
    return notes[np.argsort(notes[:, 0], kind="stable")], lengths + [bar], sum(p[2] for p in pieces)


def subdivision(notes):
    """3 when thirds of a beat are played clearly more than its other parts, else 4."""
    inside = (notes[:, 0] % 1) * 12
    near = lambda *places: sum(int((np.abs(inside - p) < 0.6).sum()) for p in places)
    return 3 if near(4, 8) > 1.5 * near(3, 6, 9) else 4


def place_notes(song, rng, notes, shift, sound):
    low_part = rng.choice(["keep", "split", "own"], p=[0.35, 0.2, 0.45])
    thin = rng.random() < 0.15  # without the low piano notes where a bass plays
    no_bridge = rng.random() < 0.15
    octave = int(rng.choice([0, 0, 0, -12, 12])) if sound["lead"] != "voice" else 0
    for beat, length, pitch, velocity, track in notes:
        pitch = int(pitch) + shift
        if track == MELODY:
            if sound["lead"] != "none":
                song.notes[LEAD].append(Note(beat, length, int(np.clip(pitch + octave, 36, 96)), velocity, max(0.0, rng.normal(0.006, 0.01))))
            continue
        if track == BRIDGE:
            if not no_bridge:
                song.notes[OTHER].append(Note(beat, length, pitch, velocity))
            continue
        if pitch < 53 and low_part == "split":
            song.notes[BASS].append(Note(beat, length, pitch, velocity))
        elif not (pitch < 50 and low_part == "own" and thin):
            song.notes[COMP].append(Note(beat, length, pitch, velocity))
    if low_part == "split" and rng.random() < 0.6:
        song.programs[BASS] = song.programs[COMP]
    if low_part == "own":
        add_bass(song, rng, notes[notes[:, 4] != MELODY], shift)


def add_bass(song, rng, notes, shift):
    """The lowest note that sounds at each beat, an octave or two down, in one of a few rhythms."""
    kind = weighted(rng, [("root", 0.35), ("half", 0.2), ("eighths", 0.25), ("dotted", 0.2)])
    beats = len(song.bar_of_beat)
    lowest = np.full(beats, 127)
    for beat, length, pitch, _, _ in notes:
        first = max(0, int(np.ceil(beat - 0.13)))
        last = min(beats, max(first + 1, int(np.ceil(beat + length - 0.3))))
        if pitch < 64:
            lowest[first:last] = np.minimum(lowest[first:last], int(pitch))
    low = np.where(lowest < 127, 28 + (lowest + shift - 28) % 12, 0)
    patterns = {"root": [], "half": [0.5], "eighths": [0.5], "dotted": [0.5]}[kind]
    for b in range(beats):
        if not low[b]:
            continue
        place = song.bar_of_beat[b]
        changed = b == 0 or low[b] % 12 != low[b - 1] % 12
        strong = place == 0 or changed or (kind == "half" and place % 2 == 0) or kind == "eighths"
        if strong:
            long = 1
            while kind != "eighths" and b + long < beats and low[b + long] == low[b] and song.bar_of_beat[b + long] and long < 4:
                long += 1
            song.notes[BASS].append(Note(b, 0.45 if kind == "eighths" else 0.9 * (long if kind == "root" else 1), int(low[b]), rng.uniform(80, 100)))
        for extra in patterns:
            if kind == "eighths" or (kind == "half" and place % 2 == 0 and rng.random() < 0.15) or (kind == "dotted" and place % 2 == 1):
                song.notes[BASS].append(Note(b + extra, 0.45, int(low[b]), rng.uniform(70, 90)))


def add_drums(song, rng, sound, size, parts):
    gains = rng.uniform(0.75, 1.0, 2)
    ideas = [{"drum": drum_pattern(rng, sound["style"], size, parts), "gain": g,
              "hat": weighted(rng, [("eighth", 0.5), ("quarter", 0.16), ("sixteenth", 0.1), ("offbeat", 0.08), ("ride", 0.16)])} for g in gains]
    enters = int(rng.choice([0, 0, 0, 2, 4, 8]))
    sections = list(zip(song.section_bars, song.section_bars[1:] + [len(song.bar_lengths)]))
    for index, (first, last) in enumerate(sections):
        if rng.random() < 0.08:
            continue
        idea = ideas[int(rng.random() < 0.4)]
        for bar in range(max(first, enters), last):
            if rng.random() < 0.02:
                continue
            ctx = Context(song, rng, 0, None, int(song.bar_starts[bar]), song.bar_lengths[bar], bar - first, last - first, None, 0, parts, idea)
            write_drums(ctx, sound, bar == first and index > 0, bar == last - 1)
