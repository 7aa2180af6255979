"""Measures networks on songs that never train: the last of the packed notes and fresh seeds, or WAV files with known beats.

    python3 validate.py --nets A.onnx B.onnx --notes NOTES.npz --fonts FONT.sf2 --songs 30
    python3 validate.py --nets A.onnx B.onnx --audio DIR --truth DIR

Prints for each network and set what a plain beat decoder makes of it (F measure at 70 ms; the same where half or double the
tempo counts as right), and how well the downbeat output tells first beats from others (area under the ROC curve, mean
output at both, F at 0.5). The fonts should be others than those of training. NumPy, Torch, onnx, mir_eval.
"""
import argparse
import json
import os
import wave

import numpy as np
import torch

import arrange
import network
import songs
import synth
import warm

FPS = network.RATE / network.HOP
FIRST_SEED = 9_000_000


def decode(beat, slowest=55, fastest=215, tightness=100.0):
    """Beat times in s of a [frames] activation: Viterbi over beat periods, as in Ellis 2007 with a period that may drift."""
    p = np.clip(np.maximum(beat, np.maximum(np.roll(beat, 1), np.roll(beat, -1)) * 0.6), 1e-4, 1 - 1e-4)
    worth = np.log(p / (1 - p)) + 2
    periods = np.arange(int(60 * FPS / fastest), int(np.ceil(60 * FPS / slowest)) + 1)
    change = -tightness * np.abs(np.log(periods[:, None] / periods[None])) ** 1.5
    frames, states = len(beat), len(periods)
    best = np.zeros((frames, states))
    back = np.full((frames, states), -1)
    for t in range(frames):
        before = t - periods
        inside = before >= 0
        if inside.any():
            arriving = best[np.maximum(before, 0)] + change  # [period of this step, period before]
            pick = arriving.argmax(1)
            value = np.where(inside, arriving[np.arange(states), pick], 0)
            back[t] = np.where(inside & (value > 0), pick, -1)
            best[t] = worth[t] + np.maximum(value, 0)
        else:
            best[t] = worth[t]
    t, s = np.unravel_index(best[-periods[-1] :].argmax(), (periods[-1], states))
    t += frames - periods[-1]
    out = []
    while True:
        out.append(t)
        if back[t, s] < 0:
            break
        t, s = t - periods[s], back[t, s]
    return np.array(out[::-1]) / FPS


def heard(net, mono):
    with torch.no_grad():
        mel = network.features(torch.from_numpy(mono[None].astype(np.float32)), BANK, torch.hann_window(network.WINDOW))
        return torch.sigmoid(net(mel))[0].numpy()


def judge(act, beats, first, odd=None):
    """`first` is True, False at true beats; None where bars are unknown. `odd`: True at the beats around irregular bars."""
    from mir_eval.beat import evaluate
    found = decode(act[:, 0])
    found = found[(found > beats[0] - 0.3) & (found < beats[-1] + 0.3)]
    scores = evaluate(beats, found)
    out = {"F": scores["F-measure"], "AMLt": scores["Any Metric Level Total"], "CMLt": scores["Correct Metric Level Total"]}
    if first is None:
        return out
    near = np.round(beats * FPS).astype(int)[:, None] + np.arange(-2, 3)
    down = act[np.clip(near, 0, len(act) - 1), 1].max(1)
    yes, no = down[first], down[~first]
    out |= {"yes": yes.mean(), "no": no.mean(), "auc": (yes[:, None] > no[None]).mean() + 0.5 * (yes[:, None] == no[None]).mean()}
    hit = (down > 0.5) & first
    out["barF"] = 2 * hit.sum() / max(1, (down > 0.5).sum() + first.sum())
    if odd is not None and odd.any():
        out["oddF"] = 2 * (hit & odd).sum() / max(1, ((down > 0.5) & odd).sum() + (first & odd).sum())
    return out


def around_odd(places):
    """True from two beats before an irregular bar's end to its next bar's end: where regular counting goes wrong."""
    starts = np.append(np.flatnonzero(places), len(places))
    lengths = np.diff(starts)
    usual = np.bincount(lengths).argmax()
    odd = np.zeros(len(places), bool)
    for i in np.flatnonzero(lengths[:-1] != usual):
        odd[starts[i] + 1 : starts[min(i + 2, len(starts) - 1)]] = True
    return odd


def rendered(args):
    """(set, mono signal, beats, first)"""
    fluid = synth.Fluid(args.fonts, [], args.library)
    bank = arrange.Notes(args.notes, held_out=True)
    for k in range(args.songs):
        for name, song in (("notes", arrange.arrange(bank, FIRST_SEED + k, 78, int(bank.songs[k % len(bank.songs)]))), ("own", songs.compose(FIRST_SEED + k))):
            rng = np.random.default_rng(k)
            stems = synth.render(song, fluid, 78).astype(np.float32) / 16384
            mono = (stems * 10 ** (rng.uniform(-8, 2, (5, 1)) / 20)).sum(0)
            n = len(song.bar_of_beat)
            beats = song.beat_times[:n]
            inside = beats < 77
            drums = "drums" if song.notes[0] else "none"
            yield f"{name} {drums}", f"{song.seed} {song.description['meter']} {song.description['bpm']}", mono, beats[inside], (song.bar_of_beat == 0)[inside]


def recorded(args):
    from scipy.signal import resample_poly
    for name in sorted(os.listdir(args.truth)):
        with open(f"{args.truth}/{name}") as file:
            truth = json.load(file)
        with wave.open(f"{args.audio}/{name[:-5]}.wav") as file:
            x = np.frombuffer(file.readframes(file.getnframes()), np.int16).reshape(-1, file.getnchannels()).mean(1) / 32768
            mono = resample_poly(x, 1, file.getframerate() // network.RATE)
        places = np.array([p for _, p in truth["beats"]])
        yield name[0], name[:-5], mono, np.array([t for t, _ in truth["beats"]]), places == 1 if (places > 0).all() else None


def main():
    parser = argparse.ArgumentParser()
    parser.add_argument("--nets", nargs="+", required=True)
    parser.add_argument("--notes")
    parser.add_argument("--fonts", nargs="*", default=[])
    parser.add_argument("--library")
    parser.add_argument("--songs", type=int, default=30)
    parser.add_argument("--audio")
    parser.add_argument("--truth")
    parser.add_argument("--each", action="store_true", help="also a line a song")
    args = parser.parse_args()
    nets = []
    for path in args.nets:
        net = network.RhythmNet()
        warm.load(net, path)
        nets.append(net.eval())
    table = {}
    for group, label, mono, beats, first in recorded(args) if args.audio else rendered(args):
        odd = around_odd(first) if first is not None else None
        for path, net in zip(args.nets, nets):
            scores = judge(heard(net, mono), beats, first, odd)
            table.setdefault((group, path), []).append(scores)
            if args.each:
                print(group, label, os.path.basename(path), {k: round(float(v), 3) for k, v in scores.items()}, flush=True)
    for (group, path), rows in sorted(table.items()):
        mean = {k: round(float(np.mean([r[k] for r in rows if k in r])), 3) for k in ("F", "AMLt", "CMLt", "yes", "no", "auc", "barF", "oddF") if any(k in r for r in rows)}
        print(group, len(rows), path, mean)


BANK = torch.from_numpy(network.slaney_bank())

if __name__ == "__main__":
    main()
