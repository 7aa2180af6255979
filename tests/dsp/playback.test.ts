import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { BOTH_SIDES } from '../../src/dsp/side-mix.js';
import { FADE, Playback, type PlaybackReport } from '../../src/dsp/playback.js';
import { packedSound } from '../../src/dsp/packed-sound.js';
import { packed } from '../../src/dsp/voices.js';
import { JOIN, pieceEnd, type Piece, type Sounding } from '../../src/music/timeline.js';
import { instantiate } from '../../src/platform/worker/instantiate.js';

const RATE = 48000;
const BLOCK = 128;
const fadeFrames = Math.round(FADE * RATE);

type Action = readonly [frame: number, act: (playback: Playback) => void];

/** Does each action before the block that holds its frame and keeps all that comes out. */
function rendered(frames: number, actions: readonly Action[], rate = RATE) {
  const reports: PlaybackReport[] = [];
  const playback = new Playback(rate, instantiate, (report) => reports.push({ ...report }));
  const left = new Float32Array(frames);
  const right = new Float32Array(frames);
  for (let frame = 0; frame < frames; frame += BLOCK) {
    for (const [at, act] of actions) if (at >= frame && at < frame + BLOCK) act(playback);
    const end = Math.min(frames, frame + BLOCK);
    playback.render(left.subarray(frame, end), right.subarray(frame, end), end - frame, frame);
  }
  return { left, right, reports, gone: playback.gone };
}

/** In 16 bits, as recordings are kept. */
const sound = (seconds: number, value: (t: number) => number, rate = RATE) =>
  Float32Array.from({ length: Math.round(seconds * rate) }, (_, i) => Math.round(value(i / rate) * 2 ** 15) / 2 ** 15);
const programme = (pieces: readonly Piece[], soundings: readonly Sounding[] = []) => ({
  pieces,
  soundings: packed(soundings, (sound) => (sound === 'one' ? 1 : 0)),
  end: Math.max(0, ...pieces.map(pieceEnd), ...soundings.map(({ at }) => at + 0.01)),
});
const piece = (at: number, from: number, until: number, rate = 1): Piece => ({ at, from, until, rate });
const load = (left: Float32Array, right = left, rate = RATE): Action => [
  0,
  (p) => p.load(packedSound({ sampleRate: rate, channels: [left, right] })),
];
const levels = (frame: number, ...values: number[]): Action => [frame, (p) => p.setLevels(values)];
const play = (frame: number, id: number, pieces: readonly Piece[], soundings?: readonly Sounding[]): Action => [
  frame,
  (p) => p.play(id, programme(pieces, soundings)),
];

/** Hz of a single tone, from the first and the last time it rises through zero. */
function frequency(samples: Float32Array, rate = RATE): number {
  const rises: number[] = [];
  for (let i = 1; i < samples.length; i++) {
    const [a, b] = [samples[i - 1]!, samples[i]!];
    if (a < 0 && b >= 0) rises.push(i - 1 + a / (a - b));
  }
  return ((rises.length - 1) / (rises.at(-1)! - rises[0]!)) * rate;
}

const cents = (a: number, b: number) => 1200 * Math.log2(a / b);

describe('the recording at its own speed', () => {
  it('comes out sample for sample between the fades, each side its own', () => {
    const [l, r] = [sound(1, (t) => t), sound(1, (t) => -t)];
    const out = rendered(RATE, [load(l, r), levels(0, 1), play(256, 1, [piece(JOIN, 0.25, 0.5)])]);
    const start = 256 + Math.round(JOIN * RATE);
    for (let i = 0; i < RATE / 4 - Math.round(JOIN * RATE); i += 7) {
      expect(out.left[start + i]).toBeCloseTo(l[RATE / 4 + i]!, 6);
      expect(out.right[start + i]).toBeCloseTo(r[RATE / 4 + i]!, 6);
    }
  });

  it('says when it began and ended, and is silent before and after', () => {
    const out = rendered(RATE, [load(sound(1, () => 1)), levels(0, 1), play(1280, 7, [piece(0.1, 0.1, 0.35)])]);
    const [start, end] = [1280 + 4800, 1280 + 4800 + RATE / 4];
    expect(out.left.findIndex((x) => x !== 0)).toBe(start - Math.round(JOIN * RATE));
    expect(out.left[start]).toBe(1);
    expect(out.left.subarray(end).every((x) => x === 0)).toBe(true);
    expect(out.reports).toEqual([
      { kind: 'started', id: 7, frame: 1280 },
      { kind: 'ended', id: 7, frame: end },
    ]);
  });

  it('never jumps: starting, stopping, seeking and changing a level are all fades', () => {
    const out = rendered(RATE, [
      load(sound(1, () => 1)),
      levels(0, 1),
      play(128, 1, [piece(JOIN, 0.1, 1)]),
      levels(12800, 0.2),
      levels(19200, 1),
      play(25600, 2, [piece(JOIN, 0.5, 1)]),
      [38400, (p) => p.stop()],
    ]);
    const jumps = out.left.map((x, i) => (i === 0 ? 0 : Math.abs(x - out.left[i - 1]!)));
    expect(Math.max(...jumps)).toBeLessThan(1.6 / fadeFrames);
    expect(out.left[38400 + fadeFrames]).toBe(0);
    expect(out.reports.map((report) => [report.kind, report.id])).toEqual([
      ['started', 1],
      ['stopped', 1],
      ['started', 2],
      ['stopped', 2],
    ]);
  });

  it('keeps its pitch and place in a context of another rate', () => {
    const tone = (t: number) => Math.sin(2 * Math.PI * 440 * t);
    const out = rendered(RATE, [
      load(sound(1, tone, 44100), undefined, 44100),
      levels(0, 1),
      play(0, 1, [piece(JOIN, 0, 1)]),
    ]);
    const first = Math.round(JOIN * RATE);
    const errors = out.left.subarray(first + 100, 40000).map((x, i) => Math.abs(x - tone((i + 100) / RATE)));
    expect(Math.max(...errors)).toBeLessThan(1e-3);
  });

  it('joins unrelated pieces at an even power, the attack at the join whole', () => {
    // Two tones that have nothing in common.
    const out = rendered(2 * RATE, [
      load(sound(4, (t) => 0.5 * Math.sin(2 * Math.PI * (t < 2 ? 311 : 523.7) * t))),
      levels(0, 1),
      play(0, 1, [piece(JOIN, 0.5, 1.3), piece(JOIN + 0.8, 3, 3.7)]),
    ]);
    const power = (from: number, until: number) => {
      const part = out.left.subarray(Math.round(from * RATE), Math.round(until * RATE));
      return part.reduce((sum, x) => sum + x * x, 0) / part.length;
    };
    expect(power(JOIN + 0.788, JOIN + 0.8) / power(0.3, 0.5)).toBeGreaterThan(0.7);
    expect(power(JOIN + 0.788, JOIN + 0.8) / power(0.3, 0.5)).toBeLessThan(1.4);
    const at = Math.round((JOIN + 0.8) * RATE);
    expect(out.left[at + 50]).toBeCloseTo(0.5 * Math.sin(2 * Math.PI * 523.7 * (3 + 50 / RATE)), 3);
  });

  it('is let go of only after the fade', () => {
    const out = rendered(9600, [
      load(sound(1, () => 1)),
      levels(0, 1),
      play(0, 1, [piece(JOIN, 0, 1)]),
      [4864, (p) => p.unload()],
    ]);
    expect(out.left[4864 + fadeFrames / 2]).toBeGreaterThan(0.3);
    expect(out.left[4864 + fadeFrames]).toBe(0);
    expect(out.gone).toBe(true);
  });

  it('gives one side, or what is not in the middle', () => {
    const sides = { leftFromLeft: 0, leftFromRight: 1, rightFromLeft: 0, rightFromRight: 1 };
    const out = rendered(9600, [
      load(
        sound(1, () => 0.25),
        sound(1, () => 0.5),
      ),
      [0, (p) => p.setTone(0, sides)],
      levels(0, 1),
      play(0, 1, [piece(JOIN, 0, 1)]),
    ]);
    expect([out.left[5000], out.right[5000]]).toEqual([0.5, 0.5]);
  });
});

describe('the recording stretched', () => {
  const tone = (t: number) => 0.5 * Math.sin(2 * Math.PI * 440 * t);

  it.each([0.4, 0.5, 0.7, 0.85, 1.2, 1.3])('keeps its pitch at %f of its speed', (rate) => {
    const out = rendered(3 * RATE, [
      load(sound(4, tone)),
      levels(0, 1),
      play(0, 1, [piece(JOIN, 0, 3 * rate - 0.2, rate)]),
    ]);
    expect(Math.abs(cents(frequency(out.left.subarray(RATE, 2 * RATE)), 440))).toBeLessThan(3);
  });

  it.each([-5, -0.28, 0.31, 2])(
    'moves by %f semitones at its own speed, in a context of another rate too',
    (semitones) => {
      for (const rate of [44100, 48000]) {
        const out = rendered(2 * RATE, [
          load(sound(3, tone, rate), undefined, rate),
          [0, (p) => p.setTone(semitones, BOTH_SIDES)],
          levels(0, 1),
          play(0, 1, [piece(JOIN, 0, 3)]),
        ]);
        const expected = 440 * 2 ** (semitones / 12);
        const found = frequency(out.left.subarray(RATE / 2, RATE * 1.5));
        // The library's own map of the spectrum is a few cents off where it moves tones by whole steps.
        expect(Math.abs(cents(found, expected))).toBeLessThan(Math.abs(semitones) < 1 ? 1 : 5);
      }
    },
  );

  it('keeps attacks where the timeline has them, far into a long recording, at every speed', () => {
    const beat = 0.5;
    const clicks = sound(130, (t) => (t % beat < 0.002 ? 0.8 : 0));
    for (const rate of [0.5, 0.7, 0.85, 1.2]) {
      const start = 100;
      const out = rendered(4 * RATE, [
        load(clicks),
        levels(0, 1),
        play(0, 1, [piece(JOIN, 0, start / 100), piece(JOIN + start / 100, start, start + 4 * rate, rate)]),
      ]);
      for (let k = 1; k * (beat / rate) < 2.5; k++) {
        const due = JOIN + start / 100 + (k * beat) / rate;
        const from = Math.round((due - 0.1) * RATE);
        const part = out.left.subarray(from, from + Math.round(0.2 * RATE)).map(Math.abs);
        const peak = Math.max(...part);
        const at = (from + part.findIndex((x) => x > peak / 3)) / RATE;
        expect(Math.abs(at - due), `click ${k} at ${rate}`).toBeLessThan(0.005);
      }
    }
  });

  it('changes its speed while it plays, without a gap, and goes on from where it was', () => {
    const out = rendered(4 * RATE, [
      load(sound(8, tone)),
      levels(0, 1),
      play(0, 1, [piece(JOIN, 0, 6)]),
      [RATE, (p) => p.replace(1, 1.1, programme([piece(1.1, 1.1 - JOIN, 8, 0.8)]))],
      [2 * RATE, (p) => p.replace(1, 2.1, programme([piece(2.1, 1.1 - JOIN + 0.8, 8, 0.5)]))],
      [3 * RATE, (p) => p.replace(1, 3.1, programme([piece(3.1, 1.1 - JOIN + 1.3, 8, 1)]))],
    ]);
    // A gap or a hole would show in the loudness of any 20 ms.
    const step = Math.round(0.02 * RATE);
    for (let i = step; i + step < 3.9 * RATE; i += step) {
      const part = out.left.subarray(i, i + step);
      const rms = Math.sqrt(part.reduce((sum, x) => sum + x * x, 0) / step);
      expect(rms, `at ${i / RATE}`).toBeGreaterThan(0.2);
      expect(rms, `at ${i / RATE}`).toBeLessThan(0.5);
    }
  });
});

describe('sounds', () => {
  const bank = [sound(0.01, () => 0.5), sound(0.02, () => 0.25)];

  it('start to the frame, whatever the programme', () => {
    const times = fc.uniqueArray(fc.integer({ min: 0, max: 1500 }), { minLength: 1, maxLength: 12 });
    fc.assert(
      fc.property(times, (thousandths) => {
        const soundings = thousandths.map((t): Sounding => ({
          at: t / 1000,
          sound: t % 2 ? 'one' : 'beat',
          gain: 1,
          bus: 'click',
        }));
        const out = rendered(RATE * 1.6, [
          [0, (p) => p.addSounds(0, bank)],
          levels(0, 0, 0.5),
          play(0, 1, [], soundings),
        ]);
        const expected = new Float32Array(RATE * 1.6);
        for (const { at, sound } of soundings)
          bank[sound === 'one' ? 1 : 0]!.forEach((x, i) => (expected[Math.round(at * RATE) + i]! += x * 0.5));
        const errors = expected.map((x, i) => Math.abs(x - out.left[i]!));
        expect(Math.max(...errors)).toBeLessThan(1e-6);
      }),
      { numRuns: 20 },
    );
  });

  it('have a level for each kind and cut each other off where they choke', () => {
    const long = [sound(1, () => 0.5)];
    const out = rendered(RATE, [
      [0, (p) => p.addSounds(0, long)],
      levels(0, 0, 0, 0, 1),
      play(
        0,
        1,
        [],
        [
          { at: 0, sound: 'beat', gain: 1, bus: 'strum', choke: 3 },
          { at: 0.2, sound: 'beat', gain: 0.5, bus: 'strum', choke: 3 },
          { at: 0.4, sound: 'beat', gain: 1, bus: 'click' },
        ],
      ),
    ]);
    const at = (t: number) => out.left[Math.round(t * RATE)];
    expect([at(0.1), at(0.3), at(0.45)]).toEqual([0.5, 0.25, 0.25]);
  });
});
