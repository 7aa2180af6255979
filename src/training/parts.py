"""Bass, accompaniment and melody of a bar."""
import numpy as np

from score import BASS, LEAD, OTHER, chord_at, tied, triad

# Usual strums of a bar of four (common practice, no source): (place in beats, down, strength).
STRUMS = (
    ((0, True, 0.9), (1, True, 0.7), (1.5, False, 0.6), (2.5, False, 0.7), (3, True, 0.7), (3.5, False, 0.6)),
    ((0, True, 0.9), (1, True, 0.8), (1.5, False, 0.6), (2, True, 0.7), (2.5, False, 0.5), (3, True, 0.8), (3.5, False, 0.6)),
    ((0, True, 0.9), (0.5, True, 0.6), (1, True, 0.9), (1.5, False, 0.5), (2.5, False, 0.7), (3, True, 0.9), (3.5, False, 0.6)),
    ((0, True, 0.9), (1.5, False, 0.8), (2.5, False, 0.7), (3, True, 0.7), (3.5, False, 0.6)),
    ((0, True, 0.9), (0.75, False, 0.6), (1, True, 0.8), (1.75, False, 0.6), (2.25, False, 0.6), (2.5, True, 0.6), (2.75, False, 0.6), (3, True, 0.8), (3.75, False, 0.6)),
)

STEP = {4: 0.5, 3: 1 / 3, 2: 1.0}  # the usual shortest note, in beats, by the parts that a beat has


def write_bass(ctx, kind):
    rng, n, parts = ctx.rng, ctx.n, ctx.parts
    low = lambda degree: 28 + (triad(ctx, degree)[0] - 28) % 12 + (12 if ctx.key % 3 == 0 else 0)
    gain = 95 * ctx.idea["gain"]
    groups = ctx.idea.get("groups") or []
    if kind == "root":
        places = sorted({float(at) for at, _ in ctx.chords} | {float(b) for b in groups if b < n})
        for i, at in enumerate(places):
            end = places[i + 1] if i + 1 < len(places) else n
            if not tied(ctx, at):
                ctx.add(BASS, at, (end - at) * 0.95, low(chord_at(ctx, at)), gain)
        if ctx.idea["push"] and ctx.idea.get("tied") and n > 1:
            ctx.add(BASS, n - 0.5, 1.4, low(ctx.next_degree), gain)
    elif kind == "rootfifth":
        for b in range(n):
            degree = chord_at(ctx, b)
            plays = b in groups if groups else b % 2 == 0 or (n == 3 and ctx.idea["gain"] > 0.87)
            if plays:
                ctx.add(BASS, b, 0.9, low(degree) if (b // 2) % 2 == 0 else low(degree + 4), gain * (1 if b == 0 else 0.85))
    elif kind == "eighths":
        step = STEP[parts]
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


def strum_pattern(rng, per_bar, parts, sixteenth, groups=None):
    """(place in beats, down or up, strength) over a bar."""
    if per_bar == 4 and parts == 4 and rng.random() < 0.35:
        return list(STRUMS[4 if sixteenth else rng.integers(4)])
    step = 0.25 if sixteenth and parts == 4 else STEP[parts]
    out = []
    on, off = rng.uniform(0.75, 1), rng.uniform(0.3, 0.85)
    accent = rng.integers(0, 4)
    strong = int(rng.integers(1, per_bar)) if per_bar > 1 else 0
    for i in range(int(round(per_bar / step))):
        at = i * step
        beat = abs(at - round(at)) < 1e-6
        if rng.random() > (on if beat else off) and i > 0:
            continue
        strength = 0.75 if beat else 0.55
        if accent == 1 and beat and int(round(at)) % 2 == 1:
            strength = 1.0
        if accent == 2 and i == 0 or groups and beat and int(round(at)) in groups:
            strength = 1.0
        if accent == 3 and beat and int(round(at)) == strong:
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
    accent = ctx.idea.get("accent")

    def chord(at, length, strength, pitches=None):
        for pitch in pitches or close(chord_at(ctx, at)):
            ctx.add(stem, at, length, pitch, gain * strength * rng.uniform(0.9, 1.05))

    if kind in ("strum", "strum16"):
        spread = rng.uniform(0.004, 0.02)
        pattern = ctx.idea["strum"]
        span = max(at for at, _, _ in pattern) + 0.5
        for rep in range(int(np.ceil(n / np.ceil(span)))):
            for at, down, strength in pattern:
                at = at + rep * np.ceil(span)
                if at >= n - 1e-6 or tied(ctx, at):
                    continue
                pitches = voicing(ctx, chord_at(ctx, at), ukulele, capo)
                if not down:
                    pitches = pitches[::-1][: rng.integers(2, 5)]
                elif rng.random() < 0.3 and not ukulele:
                    pitches = pitches[1:]
                v = gain * strength * rng.uniform(0.85, 1.1)
                chuck = ctx.idea.get("chuck") and at % 2 == 1
                for i, pitch in enumerate(pitches):
                    ctx.add(stem, at, 0.08 if chuck else 0.6, pitch, v * (1 - 0.04 * i), i * spread)
    elif kind in ("block", "half", "pad"):
        step = {"block": 1, "half": 2, "pad": n}[kind]
        places = {float(b) for b in range(0, n, step)} | {float(at) for at, _ in ctx.chords}
        if accent is not None and kind == "half":
            places |= {float(accent)} if accent < n else set()
        if ctx.idea["push"] and ctx.idea.get("tied") and n > 1:
            places |= {n - 0.5}
        places = sorted(p for p in places if not tied(ctx, p))
        for i, at in enumerate(places):
            end = places[i + 1] if i + 1 < len(places) else n
            strength = 1 if at == (accent or 0) else 0.88
            chord(at, (end - at) * (0.98 if kind == "pad" else 0.8), strength)
    elif kind == "arpeggio":
        rate = ctx.idea["arp_rate"]
        for i in range(n * rate):
            at = i / rate
            pitches = voicing(ctx, chord_at(ctx, at), ukulele, capo)
            first = i == 0 or any(abs(at - c) < 1e-6 for c, _ in ctx.chords)
            pitch = pitches[0] if first else pitches[ctx.idea["arp"][i % 8] % len(pitches)]
            strong = first or (accent is not None and abs(at - accent) < 1e-6)
            ctx.add(stem, at, 1.5 / rate, pitch, gain * (0.95 if strong else 0.75) * rng.uniform(0.85, 1.1))
    elif kind == "boom":  # low note, then the chord: over two beats, a waltz's three, or within each beat
        off = 2 / 3 if parts == 3 else 0.5
        groups = ctx.idea.get("groups") or ([0] if n == 3 else range(0, n, 2))
        for b in range(n):
            low = 36 + (triad(ctx, chord_at(ctx, b))[0] - 36 + (7 if b and ctx.idea["gain"] > 0.87 else 0)) % 12
            if ctx.idea["inside"]:
                ctx.add(stem, b, 0.5, low, gain * rng.uniform(0.85, 1))
                chord(b + off, 0.35, 0.85)
            elif b in groups:
                ctx.add(stem, b, 0.9, low, gain * rng.uniform(0.9, 1.05))
            elif not ctx.idea["gaps"] or (accent is None and b == n - 1) or b == accent:
                chord(b, 0.6, 1.05 if b == accent else 0.8)
    elif kind == "riff":
        for s in range(n * parts):
            if ctx.idea["riff"][s % len(ctx.idea["riff"])] and (s % 2 == 0 or parts == 3 or ctx.idea["gain"] > 0.95):
                at = s / parts
                root = 40 + (triad(ctx, chord_at(ctx, at))[0] - 40) % 12
                for pitch in (root, root + 7, root + 12):
                    ctx.add(stem, at, rng.choice([0.2, 0.4]), pitch, gain * (1.1 if s % parts == 0 else 0.85))
    elif kind == "skank":
        off = 2 / 3 if parts == 3 else 0.5
        for b in range(n):
            chord(b + off, 0.25, 1)
            if ctx.idea.get("twice") and parts == 4:
                chord(b + 0.75, 0.2, 0.7)


def motif(rng, per_bar, parts, step=None):
    """A bar of melody: (place, length, step in the scale or None for a chord tone)."""
    step = step or STEP[parts]
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
