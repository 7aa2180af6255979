"""Drum parts: patterns of a bar by style, and their playing with fills, crashes and percussion."""
import numpy as np

from score import CLAP, CRASH, DRUMS, HAT, KICK, OPEN, RIDE, SHAKER, SNARE, STICK, TAMB, TOM1, TOM2, TOM3


def backbeats(rng, per_bar, parts, groups):
    if per_bar == 3:
        return [[1, 2], [2], [1], [1]][rng.integers(4)]
    if per_bar == 2 and parts == 3:
        return [1]
    if per_bar in (5, 6, 7) and groups and rng.random() < 0.6:
        ends = [b - 1 for b in groups[1:]] + [per_bar - 1]
        return groups[1:] if rng.random() < 0.5 else sorted(set(ends))
    if per_bar == 5:
        return [[3], [1, 3], [2, 4]][rng.integers(3)]
    if per_bar == 7:
        return [[2, 4, 6], [1, 3, 5], [3, 6]][rng.integers(3)]
    return [b for b in range(per_bar) if b % 2 == 1]


def drum_pattern(rng, style, per_bar, parts, groups=None):
    """Kick and snare strength by slot of the bar (parts a beat). `groups`: beats on which the groups of an odd bar begin."""
    slots = per_bar * parts
    kick, snare = np.zeros(slots), np.zeros(slots)
    half = parts / 2
    back = backbeats(rng, per_bar, parts, groups)
    kick[0] = 1
    for b in (groups or [])[1:]:
        if b not in back and rng.random() < 0.8:
            kick[b * parts] = 0.9
    if style in ("rock", "heavy", "broken", "brushes", "sparse"):
        for b in range(1, per_bar):
            if b not in back and rng.random() < (0.65 if not groups else 0.2):
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
        if rng.random() < 0.3:
            kick[parts::2 * parts] = 0
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
    elif style == "offsnare":  # single off-beat snares among the back-beats
        for b in range(per_bar):
            if b % 2 == 0:
                kick[b * parts] = 0.9
            snare[min(slots - 1, b * parts + (0 if b % 2 and rng.random() < 0.5 else int(np.ceil(half))))] = 0.9 * (rng.random() < 0.7)
    if style == "broken" and rng.random() < 0.5:
        snare += (rng.random(slots) < 0.15) * 0.3
    if rng.random() < 0.05:
        kick[0] = 0
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
    side = STICK if (light and sound.get("stick", True)) or rng.random() < 0.03 else SNARE
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
            plays = {"eighth": s % 2 == 0, "quarter": on_beat, "sixteenth": True, "offbeat": s % 4 == 2, "ride": s % 2 == 0,
                     "none": False}[hat]
        if plays:
            ctx.add(DRUMS, at, 0.1, OPEN if hat == "offbeat" else metal,
                    gain * (0.75 if on_beat else 0.55) * rng.uniform(0.8, 1.1))
    if opens and rng.random() < 0.6 and not percussion:
        ctx.add(DRUMS, 0, 1, CRASH, gain * 1.1)
