import { execFileSync, spawnSync } from 'node:child_process';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { packedSound } from '../../src/dsp/packed-sound.js';
import { renderTrack, trackFrames } from '../../src/export/practice-track.js';
import { trackCues } from '../../src/export/track-cues.js';
import { toPcm16, wavHeader } from '../../src/export/wav.js';
import { arrangementStretches, itemOf } from '../../src/model/play-order.js';
import { planPlay, type PlayWish } from '../../src/model/play-plan.js';
import { pieceEnd } from '../../src/music/timeline.js';
import { instantiate } from '../../src/platform/worker/instantiate.js';
import { bars } from '../support/notation.js';

const RATE = 22050;
const LEVELS = { recording: 0.8, click: 0, count: 0.5, strum: 0 };
const map = bars('Verse: 4 4 | Chorus: 4 2 | Verse: 4 4');
const wish = (speed: number): PlayWish => ({
  speed,
  countIn: { bars: 1 },
  spoken: false,
  click: { on: true, parts: 1, firstBarOnly: false },
});
/** A recording of `map` with a short knock on each beat. */
const recording = Float32Array.from({ length: RATE * 12 }, (_, i) => ((i / RATE) % 0.5 < 0.003 ? 0.7 : 0));
const pcm = packedSound({ sampleRate: RATE, channels: [recording] });

function track(speed: number) {
  const [verse, chorus] = [itemOf(map, 0)!, itemOf(map, 1)!];
  const stretches = arrangementStretches(map, [chorus, verse, chorus]);
  const plan = planPlay(map, stretches, wish(speed));
  const blocks = Array.from(
    renderTrack(pcm, plan, instantiate, { levels: LEVELS, transpose: 0 }),
    ({ left, right, frames }) => toPcm16(left, right, frames),
  );
  const samples = new Int16Array(Buffer.concat(blocks).buffer.slice(0));
  return { plan, blocks, left: samples.filter((_, i) => i % 2 === 0) };
}

describe('a practice track', () => {
  it.each([0.6, 1])('holds the recording on the beats of the plan at speed %f, across its joins', (speed) => {
    const { plan, left } = track(speed);
    expect(left).toHaveLength(trackFrames(plan, RATE));
    const beats = plan.pieces.flatMap((piece) => {
      const first = Math.ceil((piece.from - 1e-6) / 0.5);
      const count = Math.round((piece.until - piece.from) / 0.5);
      return Array.from({ length: count }, (_, i) => piece.at + ((first + i) * 0.5 - piece.from) / piece.rate);
    });
    expect(beats).toHaveLength(6 + 8 + 6);
    for (const beat of beats) {
      const from = Math.round((beat - 0.05) * RATE);
      const part = [...left.subarray(from, from + Math.round(0.1 * RATE))].map(Math.abs);
      const peak = Math.max(...part);
      expect(peak).toBeGreaterThan(3000);
      expect(Math.abs((from + part.findIndex((x) => x > peak / 3)) / RATE - beat)).toBeLessThan(0.005);
    }
    expect(left.subarray(Math.round((pieceEnd(plan.pieces.at(-1)!) + 0.4) * RATE)).every((x) => x === 0)).toBe(true);
  });

  it('bends what would be too loud instead of cutting it off', () => {
    const plan = planPlay(map, [{ from: 0, until: 2 }], wish(1));
    const levels = { recording: 1, click: 1, count: 0.5, strum: 0 };
    const blocks = [...renderTrack(pcm, plan, instantiate, { levels, transpose: 0 })];
    const peaks = blocks.map(({ left, frames }) => Math.max(...left.subarray(0, frames).map(Math.abs)));
    expect(Math.max(...peaks)).toBeGreaterThan(0.9);
    expect(Math.max(...peaks)).toBeLessThan(1);
  });

  it('counts in before it', () => {
    const { plan, left } = track(1);
    expect(plan.counts).toHaveLength(4);
    for (const { at } of plan.counts) {
      const part = [...left.subarray(Math.round(at * RATE), Math.round((at + 0.02) * RATE))];
      expect(Math.max(...part)).toBeGreaterThan(8000);
    }
  });

  it('has a cue where each section begins', () => {
    const { plan } = track(1);
    expect(trackCues(map, plan, RATE)).toEqual([
      { frame: 2 * RATE, label: 'Chorus' },
      { frame: 5 * RATE, label: 'Verse' },
      { frame: 9 * RATE, label: 'Chorus' },
    ]);
  });
});

describe('a WAV file', () => {
  // sox (Debian) reads the format chunk and the length; without it there is nothing to compare with.
  it.skipIf(spawnSync('sox', ['--version']).status !== 0)(
    'is read back with its length by an independent program',
    () => {
      const folder = mkdtempSync(join(tmpdir(), 'barwright-wav-'));
      try {
        const { plan, blocks } = track(1);
        const frames = trackFrames(plan, RATE);
        const path = join(folder, 'track.wav');
        const cues = trackCues(map, plan, RATE);
        writeFileSync(path, Buffer.concat([wavHeader({ sampleRate: RATE, channels: 2, frames }, cues), ...blocks]));
        const say = (flag: string) => execFileSync('sox', ['--info', flag, path], { encoding: 'utf8' }).trim();
        expect([say('-r'), say('-c'), say('-s'), say('-b')]).toEqual(['22050', '2', String(frames), '16']);
      } finally {
        rmSync(folder, { recursive: true });
      }
    },
  );

  it('says where its cues are and what they are called', () => {
    const header = wavHeader({ sampleRate: 8000, channels: 1, frames: 100 }, [
      { frame: 10, label: 'Verse' },
      { frame: 60, label: 'Refrain é' },
    ]);
    const view = new DataView(header.buffer);
    const name = (at: number) => String.fromCharCode(...header.subarray(at, at + 4));
    const chunks = new Map<string, number>();
    for (let at = 12; at < header.length; at += 8 + view.getUint32(at + 4, true)) chunks.set(name(at), at);
    expect([...chunks.keys()]).toEqual(['fmt ', 'cue ', 'LIST', 'data']);
    const cue = chunks.get('cue ')!;
    expect([view.getUint32(cue + 8, true), view.getUint32(cue + 16, true), view.getUint32(cue + 40, true)]).toEqual([
      2, 10, 60,
    ]);
    expect(new TextDecoder().decode(header)).toContain('Refrain é\0');
    expect(view.getUint32(4, true)).toBe(header.length - 8 + 200);
    expect(view.getUint32(chunks.get('data')! + 4, true)).toBe(200);
  });

  it('refuses what would not fit', () => {
    expect(() => wavHeader({ sampleRate: 48000, channels: 2, frames: 2 ** 31 })).toThrow(/at most 4 GB/);
  });
});
