import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { clickSound } from '../../src/dsp/click.js';
import { FADE, Playback } from '../../worklets/playback.js';
import type { PlayerReport, PlayerRequest } from '../../worklets/player-messages.js';

const RATE = 48000;
const BLOCK = 128;

/** Plays requests placed on frames (multiples of BLOCK) and keeps all that comes out. */
function rendered(
  frames: number,
  requests: readonly (readonly [frame: number, request: PlayerRequest])[],
  rate = RATE,
) {
  const reports: PlayerReport[] = [];
  const playback = new Playback(rate, (report) => reports.push({ ...report }));
  const left = new Float32Array(frames);
  const right = new Float32Array(frames);
  for (let frame = 0; frame < frames; frame += BLOCK) {
    for (const [at, request] of requests) if (at === frame) playback.take(request, frame);
    const end = Math.min(frames, frame + BLOCK);
    playback.render(left.subarray(frame, end), right.subarray(frame, end), end - frame, frame);
  }
  return { left, right, reports, gone: playback.gone };
}

const ramp = (length: number, value: (i: number) => number) => Float32Array.from({ length }, (_, i) => value(i));
const load = (channels: Float32Array[], sampleRate = RATE): PlayerRequest => ({ kind: 'load', sampleRate, channels });
const levels = (recording: number, click: number): PlayerRequest => ({ kind: 'levels', recording, click });
const play = (id: number, ...segments: [number, number][]): PlayerRequest => ({
  kind: 'play',
  id,
  segments: segments.map(([from, until]) => ({ from, until })),
});
const clicks = (places: number[], accents: number[] = places.map(() => 0)): PlayerRequest => ({
  kind: 'clicks',
  places: Float64Array.from(places),
  accents: Uint8Array.from(accents),
});
const fadeFrames = Math.round(FADE * RATE);

describe('the recording', () => {
  it('comes out sample for sample between the fades, each side its own', () => {
    const [l, r] = [ramp(RATE, (i) => i / RATE), ramp(RATE, (i) => -i / RATE)];
    const out = rendered(RATE, [
      [0, load([l, r])],
      [0, levels(1, 0)],
      [256, play(1, [0.25, 0.5])],
    ]);
    for (let i = fadeFrames; i < RATE / 4 - fadeFrames; i += 7) {
      expect(out.left[256 + i]).toBe(l[RATE / 4 + i]);
      expect(out.right[256 + i]).toBe(r[RATE / 4 + i]);
    }
  });

  it('is silent before the start and after the end, and says where both were', () => {
    const out = rendered(RATE, [
      [0, load([ramp(RATE, () => 1)])],
      [0, levels(1, 0)],
      [1280, play(7, [0.1, 0.35])],
    ]);
    const end = 1280 + RATE / 4;
    expect(out.left.findIndex((x) => x !== 0)).toBe(1280);
    expect([out.left[end - 1] !== 0, out.left.subarray(end).every((x) => x === 0)]).toEqual([true, true]);
    expect(out.reports).toEqual([
      { kind: 'started', id: 7, frame: 1280 },
      { kind: 'ended', id: 7, frame: end },
    ]);
  });

  it('never jumps: starting, stopping, seeking and changing a level are all fades', () => {
    const out = rendered(RATE, [
      [0, load([ramp(RATE, () => 1)])],
      [0, levels(1, 0)],
      [128, play(1, [0, 1])],
      [12800, levels(0.2, 0)],
      [19200, levels(1, 0)],
      [25600, play(2, [0.5, 1])],
      [38400, { kind: 'stop' }],
    ]);
    const jumps = out.left.map((x, i) => (i === 0 ? 0 : Math.abs(x - out.left[i - 1]!)));
    expect(Math.max(...jumps)).toBeLessThan(1.5 / fadeFrames);
    expect(out.left[38400 + fadeFrames]).toBe(0);
    expect(out.reports.map((report) => [report.kind, report.id])).toEqual([
      ['started', 1],
      ['stopped', 1],
      ['started', 2],
      ['stopped', 2],
    ]);
  });

  it('keeps its pitch and place in a context of another rate', () => {
    const tone = (rate: number, i: number) => Math.sin((2 * Math.PI * 440 * i) / rate);
    const out = rendered(RATE, [
      [0, load([ramp(44100, (i) => tone(44100, i))], 44100)],
      [0, levels(1, 0)],
      [0, play(1, [0, 1])],
    ]);
    const errors = out.left.subarray(1000, 40000).map((x, i) => Math.abs(x - tone(RATE, i + 1000)));
    expect(Math.max(...errors)).toBeLessThan(1e-3);
  });

  it('plays a list of segments without a gap', () => {
    const out = rendered(RATE, [
      [0, load([ramp(RATE, (i) => (i < RATE / 2 ? 0.5 : 1))])],
      [0, levels(1, 0)],
      [0, play(1, [0.5, 0.6], [0.1, 0.2], [0.7, 0.8])],
    ]);
    const middle = (n: number) => out.left[Math.round((n + 0.5) * 0.1 * RATE)];
    expect([middle(0), middle(1), middle(2), middle(3)]).toEqual([1, 0.5, 1, 0]);
    expect(out.reports.at(-1)).toEqual({ kind: 'ended', id: 1, frame: Math.round(0.3 * RATE) });
  });

  it('is let go of only after the fade', () => {
    const out = rendered(9600, [
      [0, load([ramp(RATE, () => 1)])],
      [0, levels(1, 0)],
      [0, play(1, [0, 1])],
      [4864, { kind: 'unload' }],
    ]);
    expect(out.left[4864 + fadeFrames / 2]).toBeGreaterThan(0.3);
    expect(out.left[4864 + fadeFrames]).toBe(0);
    expect(out.gone).toBe(true);
  });
});

describe('the clicks', () => {
  const silence = load([new Float32Array(RATE * 2)]);

  it('start to the sample on their beats, wherever playing began', () => {
    const places = fc.uniqueArray(fc.integer({ min: 0, max: 150 }), { minLength: 1, maxLength: 12 });
    fc.assert(
      fc.property(places, fc.integer({ min: 0, max: 600 }), (hundredths, start) => {
        const times = hundredths.sort((a, b) => a - b).map((h) => h / 100 + 0.0001);
        const from = start / 1000;
        const out = rendered(RATE * 2, [
          [0, silence],
          [0, levels(0, 1)],
          [0, clicks(times)],
          [0, play(1, [from, 1.2])],
        ]);
        const expected = new Float32Array(RATE * 2);
        for (const time of times.filter((t) => t > from - 1e-5 && t < 1.2)) {
          const at = Math.round((time - from) * RATE);
          clickSound(RATE, false).forEach((x, i) => (expected[at + i]! += x));
        }
        const errors = expected.map((x, i) => Math.abs(x - out.left[i]!));
        expect(Math.max(...errors)).toBeLessThan(1e-6);
      }),
      { numRuns: 20 },
    );
  });

  it('sound once on the seam of two segments and not at the end', () => {
    const out = rendered(RATE, [
      [0, silence],
      [0, levels(0, 1)],
      [0, clicks([0.2, 0.4], [0, 1])],
      [0, play(1, [0.1, 0.2], [0.2, 0.4])],
    ]);
    const only = new Float32Array(RATE);
    clickSound(RATE, false).forEach((x, i) => (only[RATE * 0.1 + i] = x));
    expect(out.left.every((x, i) => Math.abs(x - only[i]!) < 1e-6)).toBe(true);
  });

  it('differ on beat 1', () => {
    const out = rendered(RATE, [
      [0, silence],
      [0, levels(0, 1)],
      [0, clicks([0.1, 0.3], [1, 0])],
      [0, play(1, [0, 1])],
    ]);
    const accent = clickSound(RATE, true);
    const same = (a: Float32Array, b: Float32Array) => a.every((x, i) => Math.abs(x - b[i]!) < 1e-7);
    expect(same(accent, out.left.subarray(4800))).toBe(true);
    expect(same(clickSound(RATE, false), out.left.subarray(14400))).toBe(true);
    expect(same(accent, out.left.subarray(14400))).toBe(false);
  });

  it('follow a map corrected while it plays: what is past stays past', () => {
    const out = rendered(RATE, [
      [0, silence],
      [0, levels(0, 1)],
      [0, clicks([0.1, 0.5])],
      [0, play(1, [0, 1])],
      [12800, clicks([0.05, 0.6])],
    ]);
    const onsets = [...out.left.keys()].filter(
      (i) => out.left[i] !== 0 && out.left.subarray(i - 50, i).every((x) => x === 0),
    );
    expect(onsets.map((i) => Math.round((i / RATE) * 1000))).toEqual([100, 600]);
  });

  it('are not heard without a recording playing', () => {
    const out = rendered(RATE, [
      [0, silence],
      [0, levels(1, 1)],
      [0, clicks([0.1])],
    ]);
    expect(out.left.every((x) => x === 0)).toBe(true);
  });
});
