"""Procedural training songs: notes by stem and the truth about their beats and bars. Numpy only; seeded.

A song is composed on a beat axis (beat 0 is the first downbeat, fractions inside a beat are exact), then placed in
time by a table of beat times with drift, and every note is moved a little as players do. All material is invented
by the generator; nothing is taken from a published song.

The beat is what the solver counts: the quarter in /4, the dotted quarter in 6/8, 9/8 and 12/8, the eighth in 5/8 and 7/8.
"""
import numpy as np

from drums import drum_pattern, write_drums
from parts import motif, strum_pattern, write_bass, write_comp, write_lead
from score import (BASS, CLAP, COMP, CRASH, DRUMS, HAT, KICK, LEAD, MAJOR, MINOR, OPEN, OTHER, RIDE, SHAKER, SNARE, STEMS,  # noqa: F401
                   STICK, TAMB, TOM1, TOM2, TOM3, Context, Note, Song, chord_at, triad, weighted)

# name, beats a bar, parts of a beat, weight, tempo range of the beat
METERS = [
    ("4/4", 4, 4, 0.43, (55, 190)),
    ("4/4 swung", 4, 3, 0.06, (62, 180)),
    ("3/4", 3, 4, 0.14, (58, 200)),
    ("6/8", 2, 3, 0.09, (42, 120)),
    ("12/8", 4, 3, 0.06, (42, 120)),
    ("2/4", 2, 4, 0.04, (70, 180)),
    ("5/4", 5, 4, 0.04, (80, 190)),
    ("6/4", 6, 4, 0.03, (80, 200)),
    ("7/4", 7, 4, 0.02, (100, 200)),
    ("9/8", 3, 3, 0.02, (45, 110)),
    ("3/4 swung", 3, 3, 0.02, (80, 200)),
    ("7/8", 7, 2, 0.035, (150, 230)),
    ("5/8", 5, 2, 0.015, (150, 230)),
]
GROUPS = {5: [[0, 3], [0, 2]], 6: [[0, 3], [0, 4], [0, 2, 4]], 7: [[0, 2, 4], [0, 2, 4], [0, 3, 5], [0, 2, 5], [0, 4]]}

PROGRESSIONS = [
    (0, 4, 5, 3), (0, 5, 3, 4), (5, 3, 0, 4), (0, 3, 4, 4), (0, 3, 0, 4), (0, 0, 3, 4), (1, 4, 0, 0), (0, 2, 3, 4),
    (0, 4, 3, 3), (5, 4, 3, 4), (0, 6, 3, 0), (3, 4, 2, 5), (0, 5, 1, 4), (0, 1, 3, 0), (3, 0, 4, 5), (0, 0, 0, 0),
    (0, 3), (0, 4), (0, 5), (0, 3, 0, 3, 5, 4, 3, 4), (0, 0, 0, 0, 3, 3, 0, 0, 4, 3, 0, 4),
]
PROFILES = [("band", 0.49), ("ballad", 0.23), ("solo", 0.13), ("offbeat", 0.09), ("heavy", 0.06)]
# Meters of ballads and their weights: three slow beats of four parts and four of three are told apart by practice alone.
BALLADS = {"4/4": 0.4, "3/4": 0.3, "6/8": 0.15, "12/8": 0.15}


def compose(seed, seconds=78.0):
    """A song of about `seconds`, always the same for the same seed."""
    rng = np.random.default_rng(seed)
    song = Song(seed)
    profile = weighted(rng, PROFILES)
    meters = METERS
    if profile == "ballad":
        meters = [(*m[:3], BALLADS[m[0]], m[4]) for m in METERS if m[0] in BALLADS]
    elif profile in ("offbeat", "heavy"):
        meters = METERS[:4] + [METERS[5]]
    meter = meters[rng.choice(len(meters), p=np.array([m[3] for m in meters]) / sum(m[3] for m in meters))]
    name, per_bar, parts, _, (low, high) = meter
    sound = choose_band(rng, parts)
    dress(rng, sound, profile)
    bpm = choose_tempo(rng, profile, sound, parts, low, high)
    sound["bpm"] = bpm
    if parts == 2:
        sound["inside"] = False
        sound["comp"] = "boom" if sound["comp"] == "skank" else sound["comp"]
    if per_bar in GROUPS and (parts == 2 or rng.random() < 0.7):
        sound["groups"] = GROUPS[per_bar][rng.integers(len(GROUPS[per_bar]))]
    ends = rng.random() < 0.2  # the song ends inside what is rendered
    total = int(np.ceil((seconds * (rng.uniform(0.75, 0.95) if ends else 1) + (0 if ends else 6)) * bpm / 60)) + per_bar
    plan_form(song, rng, per_bar, parts, total)
    if ends:
        song.bar_of_beat = np.append(song.bar_of_beat, 0)
    free = rng.random() < 0.07
    sound["quiet_start"] = free
    place_in_time(song, rng, bpm, len(song.bar_of_beat) + 1, ends, free)
    song.swing = rng.choice([0, 0, 0, 0, 0.1, 0.2]) if parts == 4 else 0.0
    song.jitter = [rng.uniform(0.001, m) for m in (0.008, 0.012, 0.012, 0.012, 0.025)]
    song.description = {"meter": name, "profile": profile, **sound, "bpm": round(bpm, 1)}
    write_parts(song, rng, sound, per_bar, parts)
    finish(song, rng, ends)
    return song


def choose_tempo(rng, profile, sound, parts, low, high):
    if profile == "ballad":
        return float(rng.uniform(42, 70) if parts == 3 else rng.uniform(52, 84))
    if parts == 2:
        return float(rng.uniform(low, high))
    usual = 80 if parts == 3 else 145 if sound["style"] == "heavy" else 108
    bpm = float(np.exp(rng.normal(np.log(usual), 0.3))) if rng.random() < 0.7 else rng.uniform(low, high)
    return float(np.clip(bpm, low, max(high, 210 if sound["style"] == "heavy" else high)))


def plan_form(song, rng, per_bar, parts, total):
    """Sections of 4, 8, sometimes odd numbers of bars; 0 to 8 irregular bars of 1 to 7 beats, mostly where sections end."""
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
    irregular = rng.choice([0, 1, 2, 3, 4, 8], p=[0.32, 0.2, 0.19, 0.16, 0.09, 0.04])
    ends = [s - 1 for s in starts[1:]]
    odd = {4: [2, 2, 2, 6, 6, 3, 5, 5, 1, 7], 3: [2, 2, 4, 4, 5, 6, 1], 2: [1, 3, 3, 4], 5: [4, 3, 6, 2, 7], 6: [4, 3, 5, 2, 7, 8],
           7: [4, 6, 5, 3, 8]}
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


def place_in_time(song, rng, bpm, beats, ends=False, free=False):
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
    if free:  # an introduction that comes and goes as it likes
        n = min(beats, int(rng.integers(4, 17)))
        sway = np.convolve(rng.normal(0, 0.25, n + 2), np.ones(3) / 3, "valid")
        period[:n] *= np.exp(sway)
    song.pauses = []
    if rng.random() < 0.1:  # a held beat at the end of a section
        for at in rng.choice(song.section_beats, min(2, len(song.section_beats)), replace=False):
            if 8 < at < beats - 8:
                period[at - 1] *= rng.uniform(1.4, 3)
                song.pauses.append(int(at) - 1)
    if ends and rng.random() < 0.7:
        n = min(beats, int(rng.integers(3, 12)))
        period[-n:] *= np.linspace(1, rng.uniform(1.15, 2), n)
    lead = rng.choice([0.05, rng.uniform(0.05, 1), rng.uniform(0.5, 6)])
    song.beat_times = lead + np.concatenate([[0], np.cumsum(period)])[:beats]


def choose_band(rng, parts):
    drums = weighted(rng, [("kit", 0.68), ("percussion", 0.08), ("none", 0.24)])
    style = weighted(rng, [
        ("rock", 0.3), ("half", 0.1), ("double", 0.07), ("floor", 0.1), ("onedrop", 0.04), ("train", 0.06),
        ("brushes", 0.06), ("heavy", 0.08), ("broken", 0.12), ("sparse", 0.06), ("offsnare", 0.03)])
    comp = weighted(rng, [
        ("strum", 0.34), ("strum16", 0.1), ("block", 0.1), ("half", 0.05), ("arpeggio", 0.16), ("pad", 0.04),
        ("riff", 0.08), ("skank", 0.07), ("boom", 0.08)])
    return {
        "drums": drums, "style": style, "comp": comp, "ukulele": bool(rng.random() < 0.2),
        "bass": weighted(rng, [("root", 0.25), ("rootfifth", 0.2), ("eighths", 0.2), ("walk", 0.07), ("kick", 0.18), ("none", 0.1)]),
        "other": weighted(rng, [("pad", 0.28), ("arpeggio", 0.2), ("block", 0.14), ("boom", 0.04), ("none", 0.34)]),
        "lead": weighted(rng, [("voice", 0.6), ("instrument", 0.22), ("none", 0.18)]),
        "capo": int(rng.integers(0, 8)),
        "drumpad": bool(rng.random() < 0.3),
    }


def dress(rng, sound, profile):
    """What a kind of song has of its own."""
    choose = lambda *pairs: weighted(rng, list(pairs))
    if profile == "ballad":
        sound["drums"] = choose(("none", 0.72), ("kit", 0.24), ("percussion", 0.04))
        sound["style"] = choose(("brushes", 0.3), ("sparse", 0.3), ("half", 0.2), ("rock", 0.2))
        sound["comp"] = choose(("arpeggio", 0.5), ("block", 0.22), ("half", 0.12), ("boom", 0.08), ("strum", 0.08))
        sound["comp_program"] = int(rng.choice([0, 0, 0, 0, 1, 4, 5, 24, 25]))
        sound["bass"] = choose(("none", 0.5), ("root", 0.4), ("rootfifth", 0.1))
        sound["other"] = choose(("none", 0.45), ("pad", 0.4), ("arpeggio", 0.15))
        sound["ukulele"] = False
    elif profile == "solo":
        sound["drums"] = choose(("none", 0.9), ("percussion", 0.1))
        sound["bass"] = "none" if rng.random() < 0.85 else "root"
        sound["other"] = "none"
        sound["comp"] = choose(("strum", 0.6), ("strum16", 0.2), ("arpeggio", 0.2))
        sound["ukulele"] = bool(rng.random() < 0.45)
        sound["comp_program"] = int(rng.choice([24, 24, 25, 25, 25, 105]))
        sound["lead"] = choose(("voice", 0.75), ("none", 0.2), ("instrument", 0.05))
    elif profile == "offbeat":
        sound["comp"] = choose(("skank", 0.7), ("boom", 0.3))
        sound["drums"] = choose(("kit", 0.75), ("percussion", 0.1), ("none", 0.15))
        sound["style"] = choose(("onedrop", 0.25), ("double", 0.3), ("floor", 0.12), ("rock", 0.18), ("offsnare", 0.15))
        sound["inside"] = True
    elif profile == "heavy":
        sound["comp"] = "riff"
        sound["style"] = choose(("heavy", 0.5), ("half", 0.25), ("double", 0.15), ("broken", 0.1))
        sound["drums"] = "kit"


def write_parts(song, rng, sound, per_bar, parts):
    key = int(rng.integers(0, 12))
    scale = MINOR if rng.random() < 0.35 else MAJOR
    song.programs = [0, int(rng.choice([32, 33, 33, 34, 35, 36, 38, 39])), 0, 0, 0]
    song.programs[COMP] = int(rng.choice([24, 24, 24, 25] if sound["ukulele"] else [24, 25, 25, 26, 27, 28, 29, 30, 0, 1, 4, 7, 16, 105]))
    if sound["comp"] == "riff":
        song.programs[COMP] = int(rng.choice([29, 30, 30, 27, 81]))
    if "comp_program" in sound and not sound["ukulele"]:
        song.programs[COMP] = sound["comp_program"]
    song.programs[OTHER] = int(rng.choice([0, 1, 4, 16, 18, 19, 48, 49, 50, 52, 88, 89, 11, 46, 24, 25]))
    song.programs[LEAD] = int(rng.choice([40, 56, 60, 65, 68, 71, 73, 74, 75, 22, 80, 81, 0, 26, 105, 53, 54]))
    ideas = {k: section_idea(rng, sound, per_bar, parts) for k in sorted(set(song.letters))}
    enters = int(rng.integers(1, 3)) if sound.get("profile") != "band" and rng.random() < 0.3 else 0
    sections = list(zip(song.section_bars, song.section_bars[1:] + [len(song.bar_lengths)], song.letters))
    for index, (first, last, letter) in enumerate(sections):
        idea = ideas[letter]
        quiet = set()
        if index == 0 and (sound.get("quiet_start") or rng.random() < 0.3):
            quiet = {DRUMS} | ({BASS} if rng.random() < 0.6 else set()) | ({LEAD} if rng.random() < 0.7 else set())
        elif index < enters:
            quiet = {DRUMS}
        elif rng.random() < 0.12:
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
    song.last_chord = (key, scale)


def finish(song, rng, ends):
    """Held beats fall silent, a last chord sounds, and free music may come before the first beat."""
    for at in song.pauses:
        for stem in range(len(STEMS)):
            keep = []
            for note in song.notes[stem]:
                if at + 0.02 < note.beat < at + 0.98:
                    continue
                if abs(note.beat - at) < 0.02 and stem != DRUMS:
                    note.length = max(note.length, 0.95)
                keep.append(note)
            song.notes[stem] = keep
    key, scale = song.last_chord
    chord = [48 + key % 12] + [60 + (key + scale[k]) % 12 for k in (0, 2, 4)]
    if ends:
        last = len(song.bar_of_beat) - 1
        for stem in (BASS, COMP, OTHER):
            if song.notes[stem]:
                for pitch in chord[:1] if stem == BASS else chord:
                    song.notes[stem].append(Note(last, 4, pitch - (12 if stem == BASS else 0), 85))
        if song.notes[DRUMS] and rng.random() < 0.7:
            song.notes[DRUMS] += [Note(last, 1, KICK, 100), Note(last, 1, CRASH, 100)]
    if rng.random() < 0.05:  # free time: sound without a beat
        length = rng.uniform(3, 9)
        song.beat_times = song.beat_times + length
        rate = 1 / (song.beat_times[1] - song.beat_times[0])
        at = 0.3
        while at < length - 1:
            stem = int(rng.choice([COMP, OTHER, LEAD]))
            for pitch in chord if rng.random() < 0.3 else [chord[rng.integers(4)] + int(rng.choice([0, 0, 2, 12]))]:
                song.notes[stem].append(Note((at - length) * rate, rng.uniform(0.3, 3) * rate, pitch, rng.uniform(50, 95)))
            at += rng.choice([rng.uniform(0.15, 0.6), rng.uniform(0.4, 2)])


def section_idea(rng, sound, per_bar, parts):
    """What all passes of a section share: progression, grooves, motifs."""
    progression = PROGRESSIONS[rng.integers(len(PROGRESSIONS))]
    rate = weighted(rng, [(1, 0.6), (2, 0.25), (0.5, 0.15)]) if per_bar > 2 else weighted(rng, [(1, 0.7), (0.5, 0.3)])
    slots = per_bar * parts
    groups, bpm = sound.get("groups"), sound.get("bpm", 110)
    fast, slow = bpm > 150, bpm < 85
    style = sound["style"]
    if rng.random() < 0.12 and per_bar == 4:  # half time or double time in this section, the beat goes on
        style = str(rng.choice(["half", "double", "rock"]))
    split = int(rng.choice(groups[1:])) if groups else int(rng.choice([max(1, per_bar // 2), max(1, per_bar - 1)]))
    step = None
    if parts == 4 and slow and rng.random() < 0.45:
        step = 0.25
    elif parts != 3 and fast and rng.random() < 0.6:
        step = 1.0
    arp_rates = {3: [3], 2: [1, 2]}.get(parts, [2, 2, 4, 4] if slow else [1, 2, 2] if fast else [2, 2, 2, 4])
    hats = [("eighth", 0.45), ("quarter", 0.15), ("sixteenth", 0.12), ("offbeat", 0.1), ("ride", 0.15), ("none", 0.03)]
    if fast and parts != 3:
        hats = [("quarter", 0.6), ("eighth", 0.2), ("ride", 0.15), ("none", 0.05)]
    accent = None
    if rng.random() < 0.3:
        accent = 1.5 if per_bar == 3 and parts == 4 and rng.random() < 0.2 else int(rng.integers(1, per_bar)) if per_bar > 1 else None
        if per_bar == 3 and accent != 1.5 and rng.random() < 0.6:
            accent = 1
    return {
        "progression": progression, "rate": rate, "push": rng.random() < 0.18 and parts == 4, "tied": rng.random() < 0.5, "parts": parts,
        "split": split, "groups": groups, "accent": accent, "inside": bool(sound.get("inside", rng.random() < 0.25)),
        "gaps": bool(rng.random() < 0.25), "chuck": bool(rng.random() < 0.12), "twice": bool(rng.random() < 0.2),
        "drum": drum_pattern(rng, style, per_bar, parts, groups),
        "hat": weighted(rng, hats),
        "strum": strum_pattern(rng, per_bar, parts, sound["comp"] == "strum16", groups),
        "arp": rng.permutation(8), "arp_rate": int(rng.choice(arp_rates)),
        "kickbass": rng.random(slots) < 0.3,
        "motifs": [motif(rng, per_bar, parts, step) for _ in range(rng.integers(1, 4))],
        "motif_order": rng.integers(0, 3, 16), "gain": rng.uniform(0.75, 1.0),
        "riff": rng.random(slots) < rng.uniform(0.4, 1.0), "rest_bars": rng.random(8) < 0.15,
    }


def chords_of_bar(idea, place, n):
    """[(beat in the bar, degree)], ascending."""
    p, rate = idea["progression"], idea["rate"]
    if rate == 2 and n > 1:
        split = min(idea["split"], n - 1)
        return [(0, p[(2 * place) % len(p)]), (split, p[(2 * place + 1) % len(p)])]
    step = place if rate != 0.5 else place // 2
    return [(0, p[step % len(p)])]
