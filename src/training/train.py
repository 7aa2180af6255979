"""Trains the rhythm network on songs composed and rendered while it runs.

    python3 train.py --out DIR --fonts A.sf2 B.sf2 --drum-fonts C.sf2 --seconds 500 --total 1500

A call trains for --seconds and leaves DIR/checkpoint.pt, from which the next one goes on (--resume FILE). The
learning rate follows the share of --total that has passed, so a run may be cut into pieces of any length.
"""
import argparse
import json
import math
import multiprocessing as mp
import os
import threading
import time

import numpy as np
import torch

from network import BANDS, HOP, RATE, RhythmNet, features, slaney_bank, tolerant_loss

SONG_SECONDS = 78
SAMPLES = SONG_SECONDS * RATE
STEMS = 5
MAX_BEATS = 420
FRAMES = 3000


def composer(first, step, free, ready, shared, options):
    """One process: composes and renders songs into free slots of the shared memory."""
    import arrange
    import songs
    import synth
    os.nice(5)
    bank = arrange.Notes(options["notes"]) if options["notes"] else None
    fluid = synth.Fluid(options["fonts"], options["drum_fonts"], options["library"])
    slots = np.memmap(shared, np.int16, "r+", shape=(options["slots"], STEMS, SAMPLES))
    seed = first
    while True:
        slot = free.get()
        lent = bank is not None and np.random.default_rng([seed, 1]).random() < options["share"]
        song = arrange.arrange(bank, seed, SONG_SECONDS) if lent else songs.compose(seed, SONG_SECONDS)
        slots[slot] = synth.render(song, fluid, SONG_SECONDS)
        n = min(MAX_BEATS, len(song.bar_of_beat))
        marks = np.full((MAX_BEATS, 3), -100.0, np.float32)
        marks[:n, 0] = song.beat_times[:n]
        marks[:n, 1] = song.bar_of_beat[:n] == 0
        marks[[b for b in song.section_beats if b < n], 2] = 1
        heavy = song.description["comp"] == "riff" or song.description["style"] == "heavy"
        ready.put((slot, song.sections_known, marks, heavy))
        seed += step


class Ring:
    """The newest songs, on the GPU, refilled by a thread."""

    def __init__(self, size, args, device):
        self.audio = torch.zeros((size, STEMS, SAMPLES), dtype=torch.int16, device=device)
        self.marks = torch.full((size, MAX_BEATS, 3), -100.0, device=device)
        self.heavy = torch.zeros(size, dtype=torch.bool, device=device)
        self.known = torch.zeros(size, dtype=torch.bool, device=device)
        self.count, self.size = 0, size
        slots = 3 * args.workers
        shared = "/dev/shm/barwright-songs"
        np.memmap(shared, np.int16, "w+", shape=(slots, STEMS, SAMPLES)).flush()
        self.memory = np.memmap(shared, np.int16, "r+", shape=(slots, STEMS, SAMPLES))
        context = mp.get_context("spawn")
        self.free, self.ready = context.Queue(), context.Queue()
        for slot in range(slots):
            self.free.put(slot)
        options = {"fonts": args.fonts, "drum_fonts": args.drum_fonts, "library": args.library, "slots": slots,
                   "notes": args.notes, "share": args.share}
        self.workers = [context.Process(target=composer, args=(args.first_seed + i, args.workers, self.free, self.ready, shared, options), daemon=True)
                        for i in range(args.workers)]
        for worker in self.workers:
            worker.start()
        threading.Thread(target=self.fill, daemon=True).start()

    def fill(self):
        pinned = torch.empty((STEMS, SAMPLES), dtype=torch.int16, pin_memory=True)
        stream = torch.cuda.Stream()
        while True:
            slot, known, marks, heavy = self.ready.get()
            pinned.copy_(torch.from_numpy(self.memory[slot]))
            self.free.put(slot)
            place = self.count % self.size
            with torch.cuda.stream(stream):
                self.audio[place].copy_(pinned, non_blocking=True)
                self.marks[place] = torch.from_numpy(marks).to(self.marks.device)
                self.heavy[place] = bool(heavy)
                self.known[place] = bool(known)
            stream.synchronize()
            self.count += 1

    def wait(self, songs):
        while self.count < songs:
            if not all(worker.is_alive() for worker in self.workers):
                raise RuntimeError("a composing process ended; its message stands above")
            time.sleep(0.2)


def uniform(shape, low, high, device):
    return torch.rand(shape, device=device) * (high - low) + low


def batch(ring, size, bank, window, device, augment=True):
    """features [size, FRAMES, BANDS], targets [size, FRAMES, 3], and whether the section starts are known [size]."""
    have = min(ring.count, ring.size)
    pick = torch.randint(0, have, (size,), device=device)
    hop = int(np.random.randint(365, 531)) if augment and np.random.random() < 0.7 else HOP
    length = (FRAMES - 1) * hop
    start = int(np.random.randint(0, SAMPLES - length))
    stems = ring.audio[pick, :, start : start + length].float() / 16384
    if augment:
        mixed = mix(stems, ring.heavy[pick], device)
        mixed = room(mixed, device)
    else:
        mixed = stems.sum(1)
    mel = features(mixed, bank, window, hop)[:, :FRAMES]
    if augment:
        mel = mask(mel, device)
    marks = ring.marks[pick]
    frame = torch.round((marks[:, :, 0] * RATE - start) / hop).long()
    inside = (frame >= 0) & (frame < FRAMES)
    target = torch.zeros((size, FRAMES + 1, 3), device=device)
    where = torch.where(inside, frame, FRAMES)
    for channel, on in enumerate((inside, inside & (marks[:, :, 1] > 0), inside & (marks[:, :, 2] > 0))):
        target[:, :, channel].scatter_reduce_(1, where, on.float(), "amax")
    return mel, target[:, :FRAMES], ring.known[pick]


def mix(stems, heavy, device):
    """Random levels, parts left out, drive on the accompaniment."""
    n = stems.shape[0]
    gain = 10 ** (uniform((n, STEMS), -14, 4, device) / 20)
    keep = torch.rand((n, STEMS), device=device) > torch.tensor([0.06, 0.08, 0.05, 0.15, 0.12], device=device)
    alone = torch.rand(n, device=device) < 0.06  # accompaniment alone
    keep = keep & ~(alone[:, None] & (torch.arange(STEMS, device=device) != 2)[None])
    keep[:, 2] |= ~keep.any(1)
    driven = (heavy & (torch.rand(n, device=device) < 0.8)) | (torch.rand(n, device=device) < 0.08)
    drive = torch.where(driven, uniform(n, 4, 40, device), torch.ones(n, device=device))
    rest = torch.rand(n, device=device) < 0.2  # a stretch without one part, mostly the drums
    part = torch.where(torch.rand(n, device=device) < 0.6, 0, torch.randint(0, STEMS, (n,), device=device))
    length = stems.shape[2]
    first = (torch.rand(n, device=device) * length).long()
    last = first + (uniform(n, 4, 25, device) * RATE).long()
    place = torch.arange(length, device=device)
    silent = rest[:, None] & (place >= first[:, None]) & (place < last[:, None])
    rows = torch.arange(n, device=device)
    stems[rows, part] = stems[rows, part].masked_fill(silent, 0)
    comp = stems[:, 2]
    stems[:, 2] = torch.where(driven[:, None], torch.tanh(comp * drive[:, None]) * 0.15, comp)
    return (stems * (gain * keep)[:, :, None]).sum(1)


def room(x, device):
    """Reverb, equaliser, band limits in one spectral product; then drive, level changes and noise."""
    n, length = x.shape
    size = 1 << (length + RATE - 1).bit_length()
    spectrum = torch.fft.rfft(x, size)
    t = torch.arange(RATE, device=device) / RATE
    tail = torch.randn((n, RATE), device=device) * torch.exp(-6.9 * t / uniform((n, 1), 0.15, 1.8, device))
    tail[:, : int(0.005 * RATE)] = 0
    wet = torch.where(torch.rand((n, 1), device=device) < 0.5, uniform((n, 1), 0.0, 0.05, device), torch.zeros((n, 1), device=device))
    response = tail * wet
    response[:, 0] += 1
    spectrum = spectrum * torch.fft.rfft(response, size)
    bins = spectrum.shape[1]
    octave = torch.log2(torch.arange(bins, device=device).clamp_min(1) * RATE / size / 30).clamp(0, 8.49) / 8.5
    points = torch.randn((n, 1, 10), device=device) * uniform((n, 1, 1), 0, 7, device)
    curve = torch.nn.functional.interpolate(points, 512, mode="linear", align_corners=True)[:, 0]
    eq = curve[:, (octave * 511).long()]
    low = torch.where(torch.rand((n, 1), device=device) < 0.12, uniform((n, 1), 0.1, 0.4, device), torch.full((n, 1), -1.0, device=device))
    high = torch.where(torch.rand((n, 1), device=device) < 0.2, uniform((n, 1), 0.72, 1.0, device), torch.full((n, 1), 2.0, device=device))
    eq = eq - 60 * ((low - octave[None]).clamp_min(0) * 4 + (octave[None] - high).clamp_min(0) * 6)
    spectrum = spectrum * 10 ** (eq.clamp(-80, 24) / 20)
    x = torch.fft.irfft(spectrum, size)[:, :length]
    x = x / x.pow(2).mean(1, keepdim=True).sqrt().clamp_min(1e-6)
    clip = torch.rand((n, 1), device=device) < 0.35
    limit = uniform((n, 1), 1.2, 4, device)
    x = torch.where(clip, limit * torch.tanh(x / limit), x)
    noise = torch.randn_like(x) * 10 ** (uniform((n, 1), -70, -18, device) / 20)
    return x + noise


def mask(mel, device):
    """A band and a few stretches of time set to silence in some songs."""
    n, frames, bands = mel.shape
    b = torch.arange(bands, device=device)
    first, wide = torch.randint(0, bands, (n, 1), device=device), torch.randint(0, 14, (n, 1), device=device)
    hide = (b >= first) & (b < first + wide) & (torch.rand((n, 1), device=device) < 0.3)
    mel = mel.masked_fill(hide[:, None], 0)
    t = torch.arange(frames, device=device)
    for _ in range(2):
        first, wide = torch.randint(0, frames, (n, 1), device=device), torch.randint(0, 60, (n, 1), device=device)
        hide = (t >= first) & (t < first + wide) & (torch.rand((n, 1), device=device) < 0.3)
        mel = mel.masked_fill(hide[:, :, None], 0)
    return mel


def losses(logits, target, known):
    return (tolerant_loss(logits[..., 0], target[..., 0], 4), tolerant_loss(logits[..., 1], target[..., 1], 8),
            tolerant_loss(logits[known][..., 2], target[known][..., 2], 8))


def main():
    parser = argparse.ArgumentParser()
    parser.add_argument("--out", required=True)
    parser.add_argument("--fonts", nargs="+", required=True)
    parser.add_argument("--drum-fonts", nargs="*", default=[])
    parser.add_argument("--library")
    parser.add_argument("--notes", help="packed by pop909.py")
    parser.add_argument("--share", type=float, default=0.31, help="of the songs that come from --notes")
    parser.add_argument("--warm", help="an exported network to start from")
    parser.add_argument("--seconds", type=float, default=500)
    parser.add_argument("--total", type=float, default=1500)
    parser.add_argument("--resume")
    parser.add_argument("--workers", type=int, default=15)
    parser.add_argument("--batch", type=int, default=48)
    parser.add_argument("--ring", type=int, default=1500)
    parser.add_argument("--rate", type=float, default=2.5e-3)
    parser.add_argument("--first-seed", type=int, default=0)
    args = parser.parse_args()
    began = time.time()
    torch.manual_seed(args.first_seed)
    np.random.seed(args.first_seed % 2**32)
    torch.backends.cuda.matmul.allow_tf32 = True
    torch.backends.cudnn.benchmark = True
    device = torch.device("cuda")
    ring = Ring(args.ring, args, device)
    bank = torch.from_numpy(slaney_bank()).to(device)
    window = torch.hann_window(1024, device=device)
    ring.wait(150)
    print("first songs after", round(time.time() - began, 1), "s", flush=True)
    net = RhythmNet()
    if args.warm:
        import warm
        warm.load(net, args.warm)
    net = net.to(device)
    if args.warm and not args.resume:
        warm.measure(net, [batch(ring, 16, bank, window, device)[0] for _ in range(24)])
    net.front.to(memory_format=torch.channels_last)
    mean = {k: v.detach().clone().float() for k, v in net.state_dict().items()}
    optimiser = torch.optim.AdamW(net.parameters(), args.rate, weight_decay=0.01)
    step, trained = 0, 0.0
    if args.resume and os.path.exists(args.resume):
        kept = torch.load(args.resume, map_location=device, weights_only=False)
        net.load_state_dict(kept["net"])
        mean = {k: v.to(device) for k, v in kept["mean"].items()}
        optimiser.load_state_dict(kept["optimiser"])
        step, trained = kept["step"], kept["trained"]
    print("parameters", sum(p.numel() for p in net.parameters()), "resumed at step", step, flush=True)
    log, net_train, last = [], net.train(), time.time()
    running = np.zeros(3)
    while time.time() - began < args.seconds:
        rate = args.rate * min(1, (step + 1) / 400) * 0.5 * (1 + math.cos(math.pi * min(1, trained / args.total)))
        for group in optimiser.param_groups:
            group["lr"] = max(rate, 1e-6)
        mel, target, known = batch(ring, args.batch, bank, window, device)
        with torch.autocast("cuda", torch.bfloat16):
            logits = net(mel)
        parts = losses(logits.float(), target, known)
        loss = parts[0] + parts[1] + 0.3 * parts[2]
        optimiser.zero_grad(set_to_none=True)
        loss.backward()
        torch.nn.utils.clip_grad_norm_(net.parameters(), 1.0)
        optimiser.step()
        step += 1
        with torch.no_grad():
            decay = min(0.999, step / (step + 20))
            for key, value in net.state_dict().items():
                mean[key].lerp_(value.float(), 1 - decay) if value.is_floating_point() else mean[key].copy_(value)
        now = time.time()
        trained += now - last
        last = now
        if step % 20 == 0:
            running = 0.9 * running + 0.1 * np.array([float(p) for p in parts])
        if step % 200 == 0:
            line = {"step": step, "trained": round(trained), "rate": rate, "songs": ring.count, "loss": running.round(4).tolist()}
            print(json.dumps(line), flush=True)
            log.append(line)
    os.makedirs(args.out, exist_ok=True)
    torch.save({"net": net.state_dict(), "mean": mean, "optimiser": optimiser.state_dict(), "step": step, "trained": trained},
               f"{args.out}/checkpoint.pt")
    from export import export
    export(mean, f"{args.out}/rhythm.onnx")
    with open(f"{args.out}/log.jsonl", "a") as file:
        file.writelines(json.dumps(line) + "\n" for line in log)
    print("done: step", step, "trained", round(trained), "s, songs", ring.count, flush=True)
    for worker in ring.workers:
        worker.kill()
    os._exit(0)


if __name__ == "__main__":
    main()
