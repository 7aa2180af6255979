"""Renders a composed song to one mono int16 signal a stem at 22050 Hz.

Pitched parts and sampled drums through libfluidsynth (LGPL-2.1), called in process; singing and a second kind of
drum kit are synthesised here. Soundfonts are named on the command line of train.py and listed in the model card.
"""
import ctypes
import ctypes.util
import os

import numpy as np

import score as S

RATE = 22050
BLOCK = 64  # fluidsynth starts notes on blocks of this many samples


class Fluid:
    """One synthesiser with one output for each stem."""

    def __init__(self, fonts, drum_fonts, library=None):
        lib = ctypes.CDLL(library or ctypes.util.find_library("fluidsynth"))
        for name in ("new_fluid_settings", "new_fluid_synth"):
            getattr(lib, name).restype = ctypes.c_void_p
        settings = ctypes.c_void_p(lib.new_fluid_settings())
        lib.fluid_settings_setnum.argtypes = [ctypes.c_void_p, ctypes.c_char_p, ctypes.c_double]
        lib.fluid_settings_setint.argtypes = [ctypes.c_void_p, ctypes.c_char_p, ctypes.c_int]
        lib.fluid_settings_setnum(settings, b"synth.sample-rate", float(RATE))
        lib.fluid_settings_setnum(settings, b"synth.gain", 0.5)
        for key, value in ((b"synth.audio-channels", 5), (b"synth.audio-groups", 5), (b"synth.polyphony", 256),
                           (b"synth.reverb.active", 0), (b"synth.chorus.active", 0)):
            lib.fluid_settings_setint(settings, key, value)
        self.lib = lib
        self.synth = ctypes.c_void_p(lib.new_fluid_synth(settings))
        lib.fluid_synth_sfload.argtypes = [ctypes.c_void_p, ctypes.c_char_p, ctypes.c_int]
        self.fonts = [lib.fluid_synth_sfload(self.synth, f.encode(), 1) for f in fonts]
        self.drum_fonts = [lib.fluid_synth_sfload(self.synth, f.encode(), 1) for f in drum_fonts]
        if any(f < 0 for f in self.fonts + self.drum_fonts):
            raise OSError(f"a soundfont could not be loaded: {fonts} {drum_fonts}")
        lib.fluid_synth_set_channel_type(self.synth, 0, 1)
        lib.fluid_synth_process.argtypes = [ctypes.c_void_p, ctypes.c_int, ctypes.c_int, ctypes.c_void_p, ctypes.c_int, ctypes.c_void_p]

    def render(self, song, rng, samples, skip=()):
        """float32 [stems, samples]. `skip`: stems that are synthesised elsewhere."""
        lib, synth = self.lib, self.synth
        lib.fluid_synth_system_reset(synth)
        lib.fluid_synth_all_sounds_off(synth, -1)
        lib.fluid_synth_set_channel_type(synth, 0, 1)
        drum = [*self.drum_fonts, *self.fonts][rng.integers(len(self.drum_fonts) + len(self.fonts))]
        brushes = song.description["style"] == "brushes" and rng.random() < 0.6
        if brushes:
            drum = self.fonts[rng.integers(len(self.fonts))]
        kit = 40 if brushes else 0 if drum in self.drum_fonts else int(rng.choice([0, 0, 0, 8, 16, 25, 40]))
        if lib.fluid_synth_program_select(synth, 0, drum, 128, kit) != 0 and lib.fluid_synth_program_select(synth, 0, drum, 128, 0) != 0:
            lib.fluid_synth_program_select(synth, 0, drum, 0, 0)
        for stem in range(1, len(S.STEMS)):
            font = self.fonts[rng.integers(len(self.fonts))]
            lib.fluid_synth_program_select(synth, stem, font, 0, song.programs[stem])
        events = []
        for stem, notes in enumerate(song.notes):
            if stem in skip or not notes:
                continue
            on, off = note_times(song, rng, stem, notes)
            for note, a, b in zip(notes, on, off):
                events.append((int(round(a * RATE / BLOCK)), 1, stem, int(note.pitch), int(note.velocity)))
                events.append((max(int(round(a * RATE / BLOCK)) + 2, int(round(b * RATE / BLOCK))), 0, stem, int(note.pitch), 0))
        events.sort()
        blocks = samples // BLOCK
        left = np.zeros((5, blocks * BLOCK), np.float32)
        right = np.zeros((5, blocks * BLOCK), np.float32)
        pointers = (ctypes.c_void_p * 10)()
        now = 0

        def run(until):
            nonlocal now
            until = min(until, blocks)
            if until <= now:
                return
            for i in range(5):
                pointers[2 * i] = left.ctypes.data + (i * blocks * BLOCK + now * BLOCK) * 4
                pointers[2 * i + 1] = right.ctypes.data + (i * blocks * BLOCK + now * BLOCK) * 4
            lib.fluid_synth_process(synth, (until - now) * BLOCK, 0, None, 10, pointers)
            now = until

        for at, kind, stem, pitch, velocity in events:
            if at >= blocks:
                break
            run(at)
            if kind:
                lib.fluid_synth_noteon(synth, stem, pitch, max(1, velocity))
            else:
                lib.fluid_synth_noteoff(synth, stem, pitch)
        run(blocks)
        out = np.zeros((5, samples), np.float32)
        out[:, : blocks * BLOCK] = (left + right) * 0.5
        return out


def note_times(song, rng, stem, notes):
    on = song.time([n.beat for n in notes]) + np.array([n.late for n in notes])
    off = song.time([n.beat + n.length for n in notes])
    # Notes struck together are moved together; a part as a whole may lean early or late.
    place = np.round(np.array([n.beat for n in notes]) * 24).astype(int)
    shared = {p: rng.normal(0, song.jitter[stem]) for p in set(place.tolist())}
    lean = rng.normal(0, 0.004)
    move = np.array([shared[p] for p in place.tolist()]) + lean
    return np.maximum(0, on + move), np.maximum(0.02, off + move)


VOWELS = ((730, 1090, 2440), (270, 2290, 3010), (300, 870, 2240), (530, 1840, 2480), (570, 840, 2410))
# Peterson & Barney 1952, mean formants of men's vowels /a i u e o/ (values from memory).


def voice(song, rng, samples):
    """A singing-like lead: harmonics under formants, vibrato, late and soft onsets, a consonant's noise before some."""
    notes = sorted(song.notes[S.LEAD], key=lambda n: n.beat)
    out = np.zeros(samples, np.float32)
    if not notes:
        return out
    on, off = note_times(song, rng, S.LEAD, notes)
    low = rng.random() < 0.5
    noise = rng.normal(0, 1, RATE).astype(np.float32)
    vibrato = rng.uniform(4.5, 6.5)
    depth = rng.uniform(0, 0.012)
    bend = rng.uniform(0, 2.5)
    for note, a, b in zip(notes, on, off):
        start, end = int(a * RATE), min(samples, int(b * RATE) + int(0.04 * RATE))
        n = end - start
        if n < 400 or start < 0:
            continue
        t = np.arange(n, dtype=np.float32) / RATE
        f = 440 * 2 ** ((note.pitch - 69 - (12 if low else 0)) / 12)
        glide = -bend * np.exp(-t / 0.04) / 12
        contour = f * 2 ** glide * (1 + depth * np.sin(2 * np.pi * vibrato * t) * np.minimum(1, t / 0.3))
        phase = 2 * np.pi * np.cumsum(contour) / RATE
        formants = VOWELS[rng.integers(len(VOWELS))]
        shape = rng.uniform(0.9, 1.2)
        tone = np.zeros(n, np.float32)
        for h in range(1, min(14, int(9000 / f)) + 1):
            gain = sum(w / (1 + ((h * f - F * shape) / (90 + 40 * i)) ** 2) for i, (F, w) in enumerate(zip(formants, (1, 0.6, 0.3)))) + 0.05 / h
            tone += gain * np.sin(h * phase)
        attack = rng.uniform(0.012, 0.07)
        envelope = np.minimum(1, t / attack) * np.minimum(1, (n / RATE - t) / 0.05)
        out[start:end] += tone * envelope * note.velocity / 100
        if rng.random() < 0.45:
            length = int(rng.uniform(0.02, 0.09) * RATE)
            begin = max(0, start - int(length * rng.uniform(0.2, 0.9)))
            length = min(length, samples - begin)
            hiss = np.diff(noise[:length + 1]) if rng.random() < 0.6 else noise[:length]
            out[begin : begin + length] += hiss[:length] * np.hanning(length) * rng.uniform(0.05, 0.4)
    return out


def own_kit(song, rng, samples):
    """Drums from swept sines and filtered noise, another kit each song."""
    out = np.zeros(samples + RATE, np.float32)
    t = np.arange(RATE // 2, dtype=np.float32) / RATE
    noise = rng.normal(0, 1, len(t)).astype(np.float32)
    bright = np.diff(noise, prepend=0)
    brighter = np.diff(bright, prepend=0)

    def decay(seconds):
        return np.exp(-t / seconds)

    kick = np.sin(2 * np.pi * (rng.uniform(42, 65) * t + rng.uniform(2, 7) * (1 - np.exp(-t / 0.03)))) * decay(rng.uniform(0.06, 0.22))
    kick[:200] += rng.uniform(0, 0.5) * bright[:200]
    tone = np.sin(2 * np.pi * rng.uniform(150, 260) * t) * decay(rng.uniform(0.03, 0.1))
    snare = 0.6 * tone + rng.uniform(0.3, 0.8) * (noise * 0.5 + bright) * decay(rng.uniform(0.05, 0.2))
    stick = np.sin(2 * np.pi * rng.uniform(800, 2200) * t) * decay(0.012) + 0.3 * bright * decay(0.01)
    hat = brighter * decay(rng.uniform(0.015, 0.05)) * 0.35
    opened = brighter * decay(rng.uniform(0.12, 0.3)) * 0.3
    crash = brighter * decay(0.35) * 0.4
    ride = (brighter * 0.2 + 0.15 * np.sin(2 * np.pi * rng.uniform(3000, 5200) * t)) * decay(0.2)
    shaker = bright * np.minimum(1, t / 0.02) * decay(0.03) * 0.5
    clap = bright * (decay(0.08) + np.roll(decay(0.01), 220) + np.roll(decay(0.01), 440)) * 0.5
    tom = lambda f: np.sin(2 * np.pi * (f * t + 1.5 * (1 - np.exp(-t / 0.05)))) * decay(0.15)
    kit = {S.KICK: kick, S.SNARE: snare, S.STICK: stick, S.HAT: hat, S.OPEN: opened, S.CRASH: crash, S.RIDE: ride,
           S.TAMB: opened * 0.6, S.SHAKER: shaker, S.CLAP: clap, S.TOM1: tom(180), S.TOM2: tom(130), S.TOM3: tom(90)}
    notes = song.notes[S.DRUMS]
    on, _ = note_times(song, rng, S.DRUMS, notes)
    for note, a in zip(notes, on):
        start = int(a * RATE)
        if start >= samples:
            continue
        hit = kit[note.pitch]
        out[start : start + len(hit)] += hit * (note.velocity / 100) ** 1.5
    return out[:samples]


def render(song, fluid, seconds):
    """int16 [stems, seconds * RATE]; each stem at an RMS of about 0.1 where it sounds at all."""
    rng = np.random.default_rng(song.seed + 1)
    samples = int(seconds * RATE)
    own = bool(song.notes[S.DRUMS]) and rng.random() < 0.3
    sings = song.description["lead"] == "voice"
    skip = ((S.DRUMS,) if own else ()) + ((S.LEAD,) if sings else ())
    out = fluid.render(song, rng, samples, skip)
    if own:
        out[S.DRUMS] = own_kit(song, rng, samples)
    if sings:
        out[S.LEAD] = voice(song, rng, samples)
    for stem, notes in zip(out, song.notes):
        if not notes:
            stem[:] = 0
        loud = np.sqrt(np.mean(stem**2))
        if loud > 1e-5:
            stem *= 0.1 / loud
    return np.clip(out * 32767 * 0.5, -32767, 32767).astype(np.int16)
