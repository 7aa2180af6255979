"""Whole songs with a known form whose passes differ in known ways, to fit and to try sections and passes on.

    python3 form_songs.py --out DIR --first 0 --count 40 --fonts A.sf2 B.sf2 --drum-fonts C.sf2

Writes DIR/{id}.wav (22050 Hz, mono) and DIR/{id}.json: beats [s, position], bars [s, beats], sections [s, s, letter],
chords [s, s, Harte], shifts (semitones of each section above the first of its letter) and planted differences
{section, kind, bar, beats}: bars count from 0 at the section's own start; of a dropped bar, where it is missing.
"""
import argparse
import copy
import json
import os
import wave

import numpy as np

import songs as S
import synth

FORMS = ["IAABABCBO", "IABABCB", "AABA", "IABABB", "AABABCAB", "ABABAB", "IABABDBO", "AAABAO", "IAABAABA", "ABCABCB",
         "IABCABCDCO", "ABACADA", "IABABDABB", "AABBAAB"]
TRIADS = {(0, 4, 7): "maj", (0, 3, 7): "min", (0, 3, 6): "dim", (0, 4, 8): "aug"}


def compose(seed):
    """(song, letters, shifts, planted), the same for the same seed."""
    rng = np.random.default_rng(seed + 7_000_000)
    song = S.Song(seed)
    meters = S.METERS[:5]
    meter = meters[rng.choice(len(meters), p=np.array([m[3] for m in meters]) / sum(m[3] for m in meters))]
    name, per_bar, parts, _, (low, high) = meter
    sound = S.choose_band(rng, parts)
    bpm = float(np.clip(np.exp(rng.normal(np.log(85 if parts == 3 else 112), 0.25)), low, high))
    key = int(rng.integers(0, 12))
    scale = S.MINOR if rng.random() < 0.35 else S.MAJOR
    letters = str(rng.choice(FORMS))
    ideas = {k: material(rng, sound, per_bar, parts, k) for k in sorted(set(letters))}
    sections, planted = plant(rng, letters, ideas, per_bar)
    lengths = [n for section in sections for n in section["lengths"]]
    song.bar_lengths = lengths
    song.bar_of_beat = np.concatenate([np.arange(n) for n in lengths])
    song.bar_starts = np.concatenate([[0], np.cumsum(lengths)])
    firsts = np.concatenate([[0], np.cumsum([len(s["lengths"]) for s in sections])]).astype(int)
    song.section_bars = firsts[:-1].tolist()
    song.section_beats = [int(song.bar_starts[b]) for b in song.section_bars]
    S.place_in_time(song, rng, bpm, len(song.bar_of_beat) + 1)
    song.swing = rng.choice([0, 0, 0, 0, 0.1, 0.2]) if parts == 4 else 0.0
    song.jitter = [rng.uniform(0.001, m) for m in (0.008, 0.012, 0.012, 0.012, 0.025)]
    song.description = {"meter": name, "bpm": round(bpm, 1), **sound}
    programs(song, rng, sound)
    song.chord_marks = []
    # What a band may do to any pass of a section without another chord: leave parts out, play softer.
    for index, section in enumerate(sections):
        quiet = set()
        if index == 0 and rng.random() < 0.4:
            quiet = {S.DRUMS} | ({S.BASS} if rng.random() < 0.5 else set()) | ({S.LEAD} if rng.random() < 0.7 else set())
        elif rng.random() < 0.15:
            quiet = {int(rng.choice([S.DRUMS, S.BASS, S.LEAD, S.OTHER]))}
        if section["letter"] in "IO":
            quiet.add(S.LEAD)
        write(song, rng, sound, key, scale, section, int(firsts[index]), quiet, parts, index)
    return song, sections, planted


def material(rng, sound, per_bar, parts, letter):
    """An idea with the chords of each of its bars written out: [(beat, degree), ...] a bar."""
    idea = S.section_idea(rng, sound, per_bar, parts)
    bars = int(rng.choice([4, 4, 8, 2])) if letter in "IO" else int(rng.choice([8, 8, 8, 8, 4, 12, 16, 6, 7, 10]))
    chords = [S.chords_of_bar(idea, place, per_bar) for place in range(bars)]
    if letter not in "IO" and bars >= 4 and rng.random() < 0.6:
        chords[-1] = [(0, int(rng.choice([0, 4, 4])))]
    idea["bars"] = chords
    return idea


def plant(rng, letters, ideas, per_bar):
    sections, planted, seen, shift = [], [], {}, 0
    cut = {4: [3, 2, 2, 5, 6], 3: [2, 4, 2], 2: [1, 3]}[per_bar]
    for index, letter in enumerate(letters):
        chords = [list(bar) for bar in ideas[letter]["bars"]]
        lengths = [per_bar] * len(chords)
        number = seen.get(letter, 0)
        seen[letter] = number + 1
        differences = []
        last_half = index >= len(letters) * 0.6
        if number > 0 and last_half and letters.count(letter) > 1 and shift == 0 and rng.random() < 0.22:
            shift = int(rng.choice([1, 2, 2, -1, 3]))
        if number > 0 and rng.random() < 0.75:
            differences = [plant_one(rng, chords, lengths, per_bar, cut)]
            if rng.random() < 0.4 and differences[0] and differences[0]["kind"] in ("chord", "length"):
                differences.append(plant_one(rng, chords, lengths, per_bar, cut, avoid=differences[0]["bar"]))
        differences = [d for d in differences if d]
        sections.append({"letter": letter, "idea": ideas[letter], "chords": chords, "lengths": lengths, "shift": shift})
        planted += [{"section": index, **d} for d in differences]
    first = {}
    for section in sections:
        section["above"] = section["shift"] - first.setdefault(section["letter"], section["shift"])
    planted += [{"section": i, "kind": "key", "bar": 0, "beats": 0} for i, s in enumerate(sections) if s["above"]]
    return sections, planted


def plant_one(rng, chords, lengths, per_bar, cut, avoid=None):
    kind = str(rng.choice(["length", "chord", "chord", "added", "dropped"] if avoid is None else ["length", "chord"]))
    n = len(chords)
    bar = n - 1 if kind != "chord" and rng.random() < 0.5 else int(rng.integers(0, n))
    if avoid is not None and abs(bar - avoid) < 2:
        return None
    if kind == "length":
        lengths[bar] = int(rng.choice(cut))
        chords[bar] = [c for c in chords[bar] if c[0] < lengths[bar]]
        return {"kind": kind, "bar": bar, "beats": lengths[bar]}
    if kind == "chord":
        at = int(rng.integers(len(chords[bar])))
        beat, old = chords[bar][at]
        chords[bar][at] = (beat, int(rng.choice([d for d in (0, 1, 2, 3, 4, 5) if d != old])))
        return {"kind": kind, "bar": bar, "beats": lengths[bar], "beat": beat}
    if kind == "added":
        count = int(rng.choice([1, 1, 2])) if bar == n - 1 else 1
        for _ in range(count):
            chords.insert(bar + 1, list(chords[bar]))
            lengths.insert(bar + 1, per_bar)
        return {"kind": kind, "bar": bar + 1, "beats": count}
    if n < 4:
        return None
    del chords[bar], lengths[bar]
    return {"kind": kind, "bar": bar, "beats": 1}


def programs(song, rng, sound):
    song.programs = [0, int(rng.choice([32, 33, 33, 34, 35, 36, 38, 39])), 0, 0, 0]
    song.programs[S.COMP] = int(rng.choice([24, 24, 25] if sound["ukulele"] else [24, 25, 25, 26, 27, 28, 0, 1, 4, 16, 105]))
    if sound["comp"] == "riff":
        song.programs[S.COMP] = int(rng.choice([29, 30, 30, 27]))
    song.programs[S.OTHER] = int(rng.choice([0, 1, 4, 16, 18, 19, 48, 49, 50, 52, 88, 89, 11, 46, 24, 25]))
    song.programs[S.LEAD] = int(rng.choice([40, 56, 60, 65, 68, 71, 73, 74, 75, 22, 80, 81, 0, 26, 105, 53, 54]))


def write(song, rng, sound, key, scale, section, first, quiet, parts, index):
    # Every pass sings other words: another order of the same motifs.
    idea = {**section["idea"], "motif_order": rng.integers(0, 3, 16) if rng.random() < 0.5 else section["idea"]["motif_order"]}
    bars = section["chords"]
    for place, chords in enumerate(bars):
        bar = first + place
        start, n = int(song.bar_starts[bar]), song.bar_lengths[bar]
        following = bars[place + 1][0][1] if place + 1 < len(bars) else chords[-1][1]
        ctx = S.Context(song, rng, key + section["shift"], scale, start, n, place, len(bars), chords, following, parts, idea)
        for i, (at, degree) in enumerate(chords):
            tones = S.triad(ctx, degree)
            quality = TRIADS[tuple(t - tones[0] for t in tones)]
            song.chord_marks.append((start + at, tones[0] % 12, quality))
        if S.DRUMS not in quiet and sound["drums"] != "none":
            S.write_drums(ctx, sound, index > 0 and place == 0, place == len(bars) - 1)
        if S.BASS not in quiet and sound["bass"] != "none":
            S.write_bass(ctx, sound["bass"])
        S.write_comp(ctx, S.COMP, sound["comp"], sound["ukulele"], sound["capo"])
        if S.OTHER not in quiet and sound["other"] != "none":
            S.write_comp(ctx, S.OTHER, sound["other"], False, 0)
        if S.LEAD not in quiet and sound["lead"] != "none":
            S.write_lead(ctx)


def mix(stems, rng):
    gains = 10 ** (rng.uniform(-8, 3, len(stems)) / 20)
    gains[S.COMP] = 10 ** (rng.uniform(-3, 3) / 20)
    out = (stems.astype(np.float32) / 32768 * gains[:, None]).sum(0)
    return out * 0.6 / (np.abs(out).max() + 1e-9)


def truth(song, sections, planted):
    names = ["C", "Db", "D", "Eb", "E", "F", "F#", "G", "Ab", "A", "Bb", "B"]
    time = lambda beat: round(float(song.time(beat)), 4)
    beats = [[time(b), int(p) + 1] for b, p in enumerate(song.bar_of_beat)]
    bars = [[time(b), n] for b, n in zip(song.bar_starts, song.bar_lengths)]
    edges = [*song.section_beats, int(song.bar_starts[-1])]
    marks = [*song.chord_marks, (int(song.bar_starts[-1]), 0, "maj")]
    chords = [[time(a[0]), time(b[0]), f"{names[a[1]]}:{a[2]}"] for a, b in zip(marks, marks[1:])]
    return {
        "duration": time(edges[-1]) + 1.5, "beats": beats, "bars": bars, "judged": [beats[0][0], time(edges[-1])],
        "sections": [[time(a), time(b), s["letter"]] for a, b, s in zip(edges, edges[1:], sections)],
        "chords": chords, "shifts": [int(s["above"]) for s in sections], "planted": planted, "made": song.description,
    }


def main():
    arguments = argparse.ArgumentParser()
    for name in ("--out", "--library"):
        arguments.add_argument(name, default=None)
    arguments.add_argument("--first", type=int, default=0)
    arguments.add_argument("--count", type=int, default=40)
    arguments.add_argument("--fonts", nargs="+", required=True)
    arguments.add_argument("--drum-fonts", nargs="+", required=True)
    args = arguments.parse_args()
    os.makedirs(args.out, exist_ok=True)
    fluid = synth.Fluid(args.fonts, args.drum_fonts, args.library)
    for seed in range(args.first, args.first + args.count):
        song, sections, planted = compose(seed)
        facts = truth(song, sections, planted)
        seconds = facts["duration"]
        stems = synth.render(song, fluid, seconds)
        sound = mix(stems, np.random.default_rng(seed + 9))
        with wave.open(os.path.join(args.out, f"f{seed:03}.wav"), "wb") as file:
            file.setnchannels(1)
            file.setsampwidth(2)
            file.setframerate(synth.RATE)
            file.writeframes((sound * 32767).astype("<i2").tobytes())
        with open(os.path.join(args.out, f"f{seed:03}.json"), "w") as file:
            json.dump(facts, file)
        print(f"f{seed:03}", f"{seconds:.0f} s", "".join(s["letter"] for s in sections), len(planted), "planted", flush=True)


if __name__ == "__main__":
    main()
