"""Features and network of the rhythm model. Torch.

Input `mel` float32 [batch, frames, 80] as `features` makes it; output logits [batch, frames, 3]: beat, downbeat,
section start, at 50 frames a second of the recording.
"""
import numpy as np
import torch
from torch import nn
import torch.nn.functional as F

RATE, WINDOW, HOP, BANDS = 22050, 1024, 441, 80


def slaney_bank(bands=BANDS, low=30.0, high=10000.0):
    """[bands, WINDOW / 2 + 1] triangles of unit peak on the scale of Slaney's Auditory Toolbox (1998)."""
    def to_mel(f):
        f = np.asarray(f, float)
        return np.where(f < 1000, 3 * f / 200, 15 + 27 * np.log(np.maximum(f, 1e-9) / 1000) / np.log(6.4))

    def to_hz(m):
        return np.where(m < 15, 200 * m / 3, 1000 * np.exp((m - 15) * np.log(6.4) / 27))

    edges = to_hz(np.linspace(to_mel(low), to_mel(high), bands + 2))
    bins = np.arange(WINDOW // 2 + 1) * RATE / WINDOW
    up = (bins[None] - edges[:-2, None]) / (edges[1:-1] - edges[:-2])[:, None]
    down = (edges[2:, None] - bins[None]) / (edges[2:] - edges[1:-1])[:, None]
    return np.maximum(0, np.minimum(up, down)).astype(np.float32)


def features(signal, bank, window, hop=HOP):
    """[batch, samples] at RATE, any level -> [batch, frames, BANDS]; frame i is centred on sample i * hop."""
    signal = signal * (0.1 / signal.pow(2).mean(1, keepdim=True).sqrt().clamp_min(1e-6))
    spectrum = torch.stft(signal, WINDOW, hop, window=window, center=True, pad_mode="constant", return_complex=True).abs()
    mel = torch.matmul(bank, spectrum).transpose(1, 2) / 256
    mel = mel * (0.02 / mel.pow(2).mean((1, 2), keepdim=True).sqrt().clamp_min(1e-7))
    return torch.log1p(300 * mel)


class Residual(nn.Module):
    def __init__(self, width, dilation, drop):
        super().__init__()
        self.conv = nn.Conv1d(width, width, 5, padding=2 * dilation, dilation=dilation)
        self.norm = nn.BatchNorm1d(width)
        self.mix = nn.Conv1d(width, width, 1)
        self.drop = nn.Dropout(drop)

    def forward(self, x):
        return x + self.drop(self.mix(F.relu(self.norm(self.conv(x)))))


class RhythmNet(nn.Module):
    def __init__(self, channels=(20, 36, 56), width=96, recurrent=64, drop=0.1):
        super().__init__()
        self.scale = nn.BatchNorm1d(BANDS)
        blocks, before = [], 1
        for c in channels:
            blocks += [nn.Conv2d(before, c, 3, padding=1), nn.BatchNorm2d(c), nn.ReLU(), nn.MaxPool2d((1, 2)), nn.Dropout2d(drop / 2)]
            before = c
        self.front = nn.Sequential(*blocks)
        self.gather = nn.Conv2d(before, width, (1, BANDS // 8))
        self.tcn = nn.ModuleList([Residual(width, 2**i, drop) for i in range(10)])
        self.gru = nn.GRU(width, recurrent, batch_first=True, bidirectional=True)
        self.head = nn.Linear(width + 2 * recurrent, 3)

    def forward(self, mel):
        x = self.scale(mel.transpose(1, 2)).transpose(1, 2).unsqueeze(1)
        x = F.relu(self.gather(self.front(x))).squeeze(3)
        y = x
        for block in self.tcn:
            y = block(y)
        r, _ = self.gru(x.transpose(1, 2))
        return self.head(torch.cat([F.relu(y).transpose(1, 2), r], 2))


def tolerant_loss(logits, target, positive):
    """Shift-tolerant binary cross-entropy (Foscarin, Schlueter & Widmer, ISMIR 2024). [batch, frames] both."""
    pooled = F.max_pool1d(logits.unsqueeze(1), 5, 1, 2).squeeze(1)
    near = F.max_pool1d(target.unsqueeze(1), 9, 1, 4).squeeze(1)
    hit = positive * target * F.softplus(-pooled)
    miss = (1 - near) * F.softplus(logits)
    return (hit + miss).sum() / (1 - near + target).sum().clamp_min(1)
