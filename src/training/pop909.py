"""Training songs from the notes of POP909 (Wang et al., ISMIR 2020, MIT licence): read, checked, packed, arranged anew.

    python3 pop909.py FOLDER NOTES.npz

reads FOLDER/NNN/NNN.mid, beat_midi.txt and chord_midi.txt for NNN from 001 to 700 and packs the songs whose bars can
be trusted. The notes belong to others: the packed file is for training only and is never committed.
"""
import os
import sys

import numpy as np

MELODY, BRIDGE, PIANO = range(3)
TRACKS = {"MELODY": MELODY, "BRIDGE": BRIDGE, "PIANO": PIANO}
TICKS = 480  # a beat, in the packed file
LAST = 700  # songs above measure, they never train
SUSTAIN = 64


# ---------------------------------------------------------------- reading
def read_midi(path):
    """(ticks a quarter, [(tick, microseconds a quarter)], {track name: [(from, to, pitch, velocity)]}), ticks; pedal held.

    Standard MIDI File 1.0 with ticks a quarter note.
    """
    with open(path, "rb") as file:
        data = file.read()
    count, division = int.from_bytes(data[10:12], "big"), int.from_bytes(data[12:14], "big")
    at, tempi, tracks = 14, [], {}
    for _ in range(count):
        size = int.from_bytes(data[at + 4 : at + 8], "big")
        name, notes = read_track(data[at + 8 : at + 8 + size], tempi)
        if notes:
            tracks[name] = notes
        at += 8 + size
    return division, sorted(tempi) or [(0, 500000)], tracks


def read_track(data, tempi):
    at, tick, status, name = 0, 0, 0, ""
    held, notes, waiting, pedal = {}, [], [], False

    def number():
        nonlocal at
        value = 0
        while True:
            byte = data[at]
            at += 1
            value = value << 7 | byte & 127
            if byte < 128:
                return value

    while at < len(data):
        tick += number()
        if data[at] >= 0x80:
            status = data[at]
            at += 1
        if status == 0xFF:
            kind = data[at]
            at += 1
            size = number()
            content = data[at : at + size]
            at += size
            if kind == 3:
                name = content.decode("latin1")
            elif kind == 0x51:
                tempi.append((tick, int.from_bytes(content, "big")))
            continue
        if status in (0xF0, 0xF7):
            at += number()
            continue
        kind = status >> 4
        first = data[at]
        second = data[at + 1] if kind not in (12, 13) else 0
        at += 1 if kind in (12, 13) else 2
        if kind == 9 and second > 0:
            held.setdefault(first, []).append((tick, second))
        elif kind in (8, 9) and held.get(first):
            begin, velocity = held[first].pop(0)
            (waiting if pedal else notes).append([begin, tick, first, velocity])
        elif kind == 11 and first == SUSTAIN:
            pedal = second >= 64
            if not pedal:
                notes += [[begin, tick, pitch, velocity] for begin, _, pitch, velocity in waiting]
                waiting = []
    return name, sorted(notes + waiting)


def seconds_of(division, tempi, ticks):
    places = np.array([t for t, _ in tempi], float)
    each = np.array([u for _, u in tempi]) / 1e6 / division
    starts = np.concatenate([[0], np.cumsum(np.diff(places) * each[:-1])])
    i = np.clip(np.searchsorted(places, ticks, "right") - 1, 0, None)
    return starts[i] + (np.asarray(ticks, float) - places[i]) * each[i]


# ---------------------------------------------------------------- trust
def longest_run(firsts, size):
    """[from, to] of the longest stretch of beats in which every bar has `size` beats."""
    best, start = (0, 0), 0
    for k in range(len(firsts)):
        if k + 1 == len(firsts) or firsts[k + 1] - firsts[k] != size:
            if firsts[k] - firsts[start] > best[1] - best[0]:
                best = (firsts[start], firsts[k])
            start = k + 1
    return best


def trusted(folder, number):
    """{size, beats, notes} or a word that says why not. Beat 1 must be where the bass and the harmony change."""
    path = f"{folder}/{number:03d}/"
    rows = np.loadtxt(path + "beat_midi.txt")
    size, column = (4, 2) if np.median(np.diff(np.flatnonzero(rows[:, 2]))) == 4 else (3, 1)
    a, b = longest_run(np.flatnonzero(rows[:, column] > 0.5), size)
    if b - a < 24 * size:
        return "no long stretch of equal bars"
    times = rows[a : b + 1, 0]
    gaps = np.diff(times)
    if gaps.min() < 0.25 * np.median(gaps) or gaps.max() > 2.5 * np.median(gaps):
        return "beats missing"
    division, tempi, tracks = read_midi(path + f"{number:03d}.mid")
    if any(name not in tracks for name in ("MELODY", "PIANO")):
        return "a track is missing"
    notes = []
    for name, track in TRACKS.items():
        for begin, end, pitch, velocity in tracks.get(name, []):
            notes.append((begin, end, pitch, velocity, track))
    notes = np.array(notes, float)
    beat_axis = np.arange(len(times))

    def beats_of(ticks):
        s = seconds_of(division, tempi, ticks)
        out = np.interp(s, times, beat_axis)
        out = np.where(s < times[0], (s - times[0]) / gaps[0], out)
        return np.where(s > times[-1], len(times) - 1 + (s - times[-1]) / gaps[-1], out)

    notes[:, 0], notes[:, 1] = beats_of(notes[:, 0]), beats_of(notes[:, 1])
    notes = notes[(notes[:, 0] > -0.5) & (notes[:, 0] < len(times) - 1)]
    piano = notes[notes[:, 4] == PIANO]
    near = np.abs(piano[:, 0] - np.round(piano[:, 0]))
    sounded = set(np.round(piano[near < 0.1, 0]).astype(int).tolist())
    if sum(k in sounded for k in beat_axis) < 0.6 * len(times):
        return "the piano does not play on the beats"
    if sounding := agreement(piano, path, times, size):
        return sounding
    return {"size": size, "times": times, "notes": notes}


def agreement(piano, path, times, size):
    """Empty when low notes and chord changes mark beat 1 in the song as a whole and in nearly every eighth of it."""
    bass = piano[piano[:, 2] < 53]
    places = np.round(bass[:, 0]).astype(int)
    on = np.abs(bass[:, 0] - places) < 0.13
    weight = np.minimum(bass[:, 1] - bass[:, 0], 2.0)
    low = [float(weight[on & (places % size == k)].sum()) for k in range(size)]
    with open(path + "chord_midi.txt") as file:
        starts = np.array([float(line.split()[0]) for line in file if line.strip()])
    starts = starts[(starts > times[0] - 0.2) & (starts < times[-1])]
    change = np.abs(starts[:, None] - times[None]).argmin(1)
    changes = [int((change % size == k).sum()) for k in range(size)]
    both = [x / (sum(low) + 1e-9) + y / (sum(changes) + 1e-9) for x, y in zip(low, changes)]
    if low[0] <= max(low[1:]) or changes[0] <= max(changes[1:]) or both[0] - max(both[1:]) < 0.2:
        return "bass and chords change elsewhere than on beat 1"
    span = -(-len(times) // 8 // size) * size
    wrong = 0
    for first in range(0, len(times) - span + 1, span):
        inside = on & (places >= first) & (places < first + span)
        part = [float(weight[inside & (places % size == k)].sum()) + sum((change >= first) & (change < first + span) & (change % size == k))
                for k in range(size)]
        wrong += part[0] < max(part[1:])
    return "part of the song disagrees with its bar lines" if wrong > 1 else ""


def pack(folder, path):
    kept, why = [], {}
    for number in range(1, LAST + 1):
        if not os.path.exists(f"{folder}/{number:03d}"):
            continue
        got = trusted(folder, number)
        if isinstance(got, str):
            why[got] = why.get(got, 0) + 1
        else:
            kept.append((number, got))
    notes = np.concatenate([g["notes"] for _, g in kept])
    np.savez_compressed(
        path, number=np.array([n for n, _ in kept], np.int16), size=np.array([g["size"] for _, g in kept], np.uint8),
        notes=np.cumsum([len(g["notes"]) for _, g in kept]), beats=np.cumsum([len(g["times"]) for _, g in kept]),
        times=np.concatenate([g["times"] for _, g in kept]).astype(np.float32),
        start=np.round(notes[:, 0] * TICKS).astype(np.int32),
        length=np.clip(np.round((notes[:, 1] - notes[:, 0]) * TICKS), 20, 8 * TICKS).astype(np.uint16),
        pitch=notes[:, 2].astype(np.uint8), velocity=notes[:, 3].astype(np.uint8), track=notes[:, 4].astype(np.uint8))
    threes = sum(g["size"] == 3 for _, g in kept)
    print(f"{len(kept)} of {len(kept) + sum(why.values())} songs packed, {threes} in 3/4, {os.path.getsize(path)} bytes; left out: {why}")


if __name__ == "__main__":
    pack(sys.argv[1], sys.argv[2])
