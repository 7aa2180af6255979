"""Plays one song of the training generators into a WAV file: play.py songs|form SEED SECONDS FILE.

Needs what src/training needs to play: libfluidsynth3 and the sound fonts of its README (Debian's
timgm6mb-soundfont, csound-soundfont, avldrums.lv2-soundfont), NumPy. SECONDS counts for songs alone.
"""
import os
import sys
import wave

import numpy as np

sys.path.insert(0, os.path.join(os.path.dirname(__file__), "..", "..", "..", "src", "analysis", "training"))
import form_songs  # noqa: E402
import songs  # noqa: E402
import synth  # noqa: E402

FONTS = "/usr/share/sounds/sf2/"


def main():
    kind, seed, seconds, path = sys.argv[1], int(sys.argv[2]), float(sys.argv[3]), sys.argv[4]
    fluid = synth.Fluid([FONTS + "TimGM6mb.sf2", FONTS + "sf_GMbank.sf2"], [FONTS + "Black_Pearl_4_LV2.sf2"])
    if kind == "form":
        song, sections, planted = form_songs.compose(seed)
        seconds = form_songs.truth(song, sections, planted)["duration"]
    else:
        song = songs.compose(seed, seconds)
    sound = form_songs.mix(synth.render(song, fluid, seconds), np.random.default_rng(seed + 9))
    with wave.open(path, "wb") as file:
        file.setnchannels(1)
        file.setsampwidth(2)
        file.setframerate(synth.RATE)
        file.writeframes((sound * 32767).astype("<i2").tobytes())


main()
