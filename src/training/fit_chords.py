"""Fits the small network of ../analysis/chords/chord-net.ts, which says what chord sounds on a beat.

    fit_chords.py OUT.ts FACTS.jsonl [MORE.jsonl ...]

FACTS come from tests/bench/chord-facts.ts: a made song a line. What is heard on a beat, the one before and the one after is turned
round to each of the twelve roots; one network scores every kind of chord on the first of them, so that it knows no key. A tenth of
the songs is left out, and their agreement is printed; the weights are written as TypeScript, 16 bits each.
"""
import base64
import json

import sys

import numpy as np
import torch

# As KINDS in ../analysis/chords/vocabulary.ts: the network's outputs in this order, "no chord" after them.
KINDS = ["maj", "min", "7", "maj7", "min7", "hdim7", "dim", "aug", "sus2", "sus4",
         "maj/3", "maj/5", "maj/2", "maj/b7", "min/b3", "min/5", "min/b7", "7/3"]
PLAIN = {"maj6": "maj", "min6": "min", "9": "7", "maj9": "maj7", "min9": "min7", "maj(9)": "maj", "min(9)": "min",
         "sus4(b7)": "sus4", "dim7": "dim", "aug7": "aug", "minmaj7": "min"}
SAME = {"7/b7": "maj/b7", "min7/b7": "min/b7", "9/b7": "maj/b7", "9/3": "7/3", "maj6/6": None, "maj6/5": "maj/5", "maj6/3": "maj/3",
        "7/9": "7", "min7/5": "min/5", "maj/9": "maj/2"}
PITCH = {"C": 0, "D": 2, "E": 4, "F": 5, "G": 7, "A": 9, "B": 11}
HIDDEN = (64, 32)
CONTEXT = 3
BATCH = 512
EPOCHS = 40


def label(harte):
    """(kind, root), (len(KINDS), 0) for no chord, None for what the network need not know."""
    if harte == "N":
        return len(KINDS), 0
    root, _, rest = harte.partition(":")
    kind, _, bass = rest.partition("/")
    pitch = (PITCH[root[0]] + root.count("#") - root.count("b")) % 12
    whole = SAME.get(rest, rest)
    if whole in KINDS:
        return KINDS.index(whole), pitch
    kind = PLAIN.get(kind, kind)
    whole = SAME.get(f"{kind}/{bass}", f"{kind}/{bass}") if bass else kind
    if whole in KINDS:
        return KINDS.index(whole), pitch
    return (KINDS.index(kind), pitch) if kind in KINDS else None


def prepare(values):
    """As `prepared` in chord-net.ts: square roots of chroma and bass, each over its largest of the beat."""
    v = np.sqrt(values).reshape(-1, 2, 12)
    v = v / np.maximum(v.max(2, keepdims=True), 0.05)
    return v.reshape(-1, 24)


def load(paths):
    songs = []
    for path in paths:
        for line in open(path):
            try:
                song = json.loads(line)
            except ValueError:
                continue
            values = np.frombuffer(base64.b64decode(song["values"]), np.float32).reshape(-1, 24)
            x = prepare(values)
            pad = np.zeros((1, 24), np.float32)
            wide = np.hstack([np.vstack([pad, x[:-1]]), x, np.vstack([x[1:], pad])])
            found = [label(h) for h in song["chords"]]
            keep = [i for i, one in enumerate(found) if one]
            y = np.array([found[i][0] * 12 + found[i][1] if found[i][0] < len(KINDS) else len(KINDS) * 12 for i in keep])
            songs.append((wide[keep].astype(np.float32), y))
    return songs


def turned(x):
    """[n, 72] to [n, 12, 72]: the pitch classes counted from each root."""
    parts = x.reshape(-1, 6, 12)
    return torch.stack([torch.roll(parts, -r, 2).reshape(-1, 72) for r in range(12)], 1)


def disturbed(x):
    """Other sounds than the songs have: a tune's foreign notes, another balance of partials, an octave's or fifth's partial, no bass,
    an even hiss. Each beat of a sample keeps the same balance, as it would in one recording."""
    parts = x.reshape(-1, CONTEXT, 2, 12).clone()
    n = len(parts)

    def some(share, *shape):
        return (torch.rand(n, *shape) < share).float()

    parts = parts.clamp(min=1e-4) ** torch.empty(n, 1, 1, 1).uniform_(0.6, 1.6)
    fifth = torch.roll(parts, 7, 3) * torch.empty(n, 1, 1, 1).uniform_(0, 0.35) * some(0.4, 1, 1, 1)
    third = torch.roll(parts, 4, 3) * torch.empty(n, 1, 1, 1).uniform_(0, 0.25) * some(0.3, 1, 1, 1)
    tune = (torch.rand(n, CONTEXT, 1, 12) < 0.09).float() * torch.rand(n, CONTEXT, 1, 12) * some(0.6, 1, 1, 1)
    tune = torch.cat([tune, 0.3 * tune * some(0.3, 1, 1, 1)], 2)
    hiss = torch.rand(n, 1, 2, 1) * 0.3 * some(0.4, 1, 1, 1) * torch.rand_like(parts)
    parts = parts + fifth + third + tune + hiss
    bass = parts[:, :, 1]
    lost = some(0.12, 1, 1)
    bass = (1 - lost) * bass + lost * (torch.rand(n, CONTEXT, 12) * 0.6 + 0.4 * parts[:, :, 0] / parts[:, :, 0].amax(2, keepdim=True))
    parts = torch.stack([parts[:, :, 0], bass], 2)
    empty = (x.reshape(n, CONTEXT, 2, 12).amax(3, keepdim=True) > 0).float()
    parts = empty * parts / parts.amax(3, keepdim=True)
    return (parts + 0.03 * torch.randn_like(parts)).clamp(min=0).reshape(n, -1)


class Net(torch.nn.Module):
    def __init__(self):
        super().__init__()
        self.a = torch.nn.Linear(24 * CONTEXT, HIDDEN[0])
        self.b = torch.nn.Linear(HIDDEN[0], HIDDEN[1])
        self.c = torch.nn.Linear(HIDDEN[1], len(KINDS) + 1)
        self.drop = torch.nn.Dropout(0.1)

    def forward(self, x):
        """[n, 12, 72] to log-probabilities [n, kinds * 12 + 1], kind by kind from C."""
        h = self.drop(torch.relu(self.a(x)))
        out = self.c(self.drop(torch.relu(self.b(h))))
        kinds = out[:, :, :-1].transpose(1, 2).reshape(len(x), -1)
        return torch.log_softmax(torch.cat([kinds, out[:, :, -1].mean(1, keepdim=True)], 1), 1)


def fit(songs, epochs, seed=0):
    torch.manual_seed(seed)
    rng = np.random.default_rng(seed)
    x = np.vstack([s[0] for s in songs])
    y = np.concatenate([s[1] for s in songs])
    net = Net()
    optimiser = torch.optim.AdamW(net.parameters(), 3e-3, weight_decay=1e-3)
    steps = epochs * (len(y) // BATCH)
    plan = torch.optim.lr_scheduler.OneCycleLR(optimiser, 4e-3, steps + 1)
    for epoch in range(epochs):
        order = rng.permutation(len(y))
        total = 0.0
        for at in range(0, len(y) - BATCH + 1, BATCH):
            pick = order[at:at + BATCH]
            batch = disturbed(torch.from_numpy(x[pick]))
            loss = torch.nn.functional.nll_loss(net(turned(batch)), torch.from_numpy(y[pick]))
            optimiser.zero_grad()
            loss.backward()
            optimiser.step()
            plan.step()
            total += float(loss)
        if epoch % 10 == 9:
            print(f"epoch {epoch + 1}: loss {total / (len(y) // BATCH):.3f}", flush=True)
    return net.eval()


def agreement(net, songs):
    with torch.no_grad():
        found = [net(turned(torch.from_numpy(x))).argmax(1).numpy() for x, _ in songs]
    y = np.concatenate([s[1] for s in songs])
    p = np.concatenate(found)
    third = np.array([KINDS[k].startswith(("min", "hdim", "dim")) for k in range(len(KINDS))] + [False])
    same_root = (p % 12 == y % 12) & ((p == len(KINDS) * 12) == (y == len(KINDS) * 12))
    print(f"left out: exact {np.mean(p == y):.3f}, root and third {np.mean(same_root & (third[p // 12] == third[y // 12])):.3f}, "
          f"{len(y)} beats of {len(songs)} songs")
    for k, name in enumerate(KINDS + ["N"]):
        own = y // 12 == k
        if own.any():
            others = np.bincount(p[own] // 12, minlength=len(KINDS) + 1)
            top = ", ".join(f"{(KINDS + ['N'])[j]} {others[j] / own.sum():.2f}" for j in np.argsort(-others)[:4] if others[j])
            print(f"  {name}: {own.sum()} beats, exact {np.mean(p[own] == y[own]):.2f}; said {top}")


def write(net, songs, path):
    counts = np.bincount(np.concatenate([s[1] for s in songs]) // 12, minlength=len(KINDS) + 1)
    text = ["// Made by src/training/fit_chords.py; see its model card in src/training/README.md.", ""]
    for name, layer in (("FIRST", net.a), ("SECOND", net.b), ("LAST", net.c)):
        w = np.hstack([layer.weight.detach().numpy(), layer.bias.detach().numpy()[:, None]])
        scale = float(np.abs(w).max()) / 32767
        data = base64.b64encode(np.round(w / scale).astype("<i2").tobytes()).decode()
        text += [f"/** {w.shape[0]} outputs of {w.shape[1] - 1} inputs and a constant, row by row: little-endian 16-bit, times `scale`. */",
                 f"export const {name} = {{", f"  outputs: {w.shape[0]},", f"  inputs: {w.shape[1] - 1},", f"  scale: {scale:.9g},",
                 f"  data: '{data}',", "};", ""]
    shares = ", ".join(f"{c / counts.sum():.4f}" for c in counts)
    text += ["/** How often each kind of chord was met in the songs it was fitted on, no chord last. */", f"export const SHARES = [{shares}];", ""]
    open(path, "w").write("\n".join(text))


def main():
    torch.set_num_threads(2)
    songs = load(sys.argv[2:])
    held = songs[::10]
    net = fit([s for i, s in enumerate(songs) if i % 10], EPOCHS)
    agreement(net, held)
    write(net, songs, sys.argv[1])


if __name__ == "__main__":
    main()
