import { describe, expect, it } from 'vitest';
import { barSlots, beatSlots } from '../../src/analysis/bars/bar-grid.js';
import { chordLikelihoods } from '../../src/analysis/chords/chord-net.js';
import { findChords } from '../../src/analysis/chords/find-chords.js';
import { passGroups } from '../../src/analysis/chords/pool-passes.js';
import { CHORD_STATES, KINDS, movedState, stateName } from '../../src/analysis/chords/vocabulary.js';
import type { Evidence, Track } from '../../src/analysis/evidence/evidence.js';
import type { Bar, Section } from '../../src/model/song-map.js';
import { bassPitch, chordPitches, parseHarte } from '../../src/music/chord.js';
import { COMMON_TIME } from '../../src/music/meter.js';

const RATE = 10;
const NONE: Track = { rate: 100, width: 1, data: new Uint8Array(0) };

/** Evidence of bars of two seconds that hold one chord each; where a bar is unclear, notes of no
 * chord are as loud as the chord's. */
function song(chords: readonly string[], unclear: readonly number[] = []): Evidence {
  const frames = chords.length * 2 * RATE + 1;
  const chroma = new Uint8Array(frames * 12);
  const bass = new Uint8Array(frames * 12);
  let state = 7;
  const noise = (): number => (state = (state * 16807) % 2147483647) / 2147483647;
  const foreign = chords.map(() => Array.from({ length: 24 }, () => 220 * noise()));
  for (let i = 0; i < frames; i++) {
    const bar = Math.min(chords.length - 1, Math.floor(i / (2 * RATE)));
    const chord = parseHarte(chords[bar]!)!;
    const hidden = unclear.includes(bar);
    for (let k = 0; k < 12; k++) {
      chroma[i * 12 + k] = hidden ? foreign[bar]![k]! : 25 * noise();
      bass[i * 12 + k] = hidden ? foreign[bar]![12 + k]! : 25 * noise();
    }
    for (const pitch of chordPitches(chord)) chroma[i * 12 + pitch] = hidden ? 208 : 200 + 55 * noise();
    if (!hidden) bass[i * 12 + bassPitch(chord)!] = 255;
  }
  const track = (data: Uint8Array): Track => ({ rate: RATE, width: 12, data });
  return {
    version: 'test',
    duration: chords.length * 2,
    tuning: 0,
    tracks: {
      chroma: track(chroma),
      bass: track(bass),
      timbre: track(new Uint8Array(frames * 12)),
      beat: NONE,
      downbeat: NONE,
      onset: NONE,
      level: NONE,
    },
  };
}

function slots(count: number) {
  const bars = Array.from({ length: count }, (_, i): Bar => {
    return {
      kind: 'bar',
      start: 2 * i,
      beats: [0, 0.5, 1, 1.5].map((b) => 2 * i + b),
      meter: COMMON_TIME,
      confidence: 1,
    };
  });
  return barSlots(bars, 2 * count);
}

const section = (start: number, letter: string): Section => ({
  id: `${start}`,
  name: letter,
  letter,
  start,
  origin: 'suggested',
});

/** The chord of each bar. */
function perBar(
  evidence: Evidence,
  count: number,
  pooled: boolean,
  passes = [section(0, 'A'), section(8, 'A')],
): string[] {
  const bars = slots(count);
  const marks = findChords(evidence, bars, beatSlots(bars), undefined, pooled ? passGroups(passes, bars) : []);
  return bars.map(({ start }) => marks.filter(({ time }) => time <= start + 1).at(-1)?.harte ?? '');
}

describe('passes of a section', () => {
  const clear = ['C', 'F', 'D:min', 'G'];

  it('let an unclear pass learn from a clear one', () => {
    const evidence = song([...clear, ...clear], [4, 5, 6, 7]);
    const alone = perBar(evidence, 8, false);
    const pooled = perBar(evidence, 8, true);
    const right = (found: string[]): number => found.filter((harte, i) => harte === clear[i % 4]).length;
    expect(right(pooled)).toBeGreaterThan(right(alone));
    expect(pooled.slice(0, 4)).toEqual(clear);
  });

  it('leave a bar its own chord where it really differs', () => {
    const other = ['C', 'F', 'E', 'G'];
    expect(perBar(song([...clear, ...other]), 8, true)).toEqual([...clear, ...other]);
  });

  it('are heard in another key where they are played in one', () => {
    const up = ['D', 'G', 'E:min', 'A'];
    expect(perBar(song([...clear, ...up]), 8, true)).toEqual([...clear, ...up]);
  });

  it('are the sections of one letter, without a pickup', () => {
    const bars = slots(8);
    const passes = [section(0, 'A'), section(4, 'B'), section(8, 'A'), section(12, 'C')];
    expect(passGroups(passes, bars)).toEqual([
      [
        { first: 0, last: 1 },
        { first: 4, last: 5 },
      ],
    ]);
  });

  it('give a stretch of bars the chords that it has in the whole song', () => {
    const evidence = song([...clear, ...clear], [6]);
    const bars = slots(8);
    const passes = passGroups([section(0, 'A'), section(8, 'A')], bars);
    const whole = findChords(evidence, bars, beatSlots(bars), undefined, passes);
    const part = findChords(evidence, bars, beatSlots(bars), undefined, passes, { first: 4, last: 7 });
    expect(part.map(({ harte }) => harte)).toEqual(whole.filter(({ time }) => time >= 8).map(({ harte }) => harte));
  });
});

describe('the chord network', () => {
  it('says the same of every key, and probabilities that add up', () => {
    const bars = slots(2);
    const values = (root: number): Float32Array => {
      const out = new Float32Array(beatSlots(bars).length * 24);
      for (let at = 0; at < out.length; at += 24) {
        for (const [i, step] of [0, 4, 7, 10].entries()) out[at + ((root + step) % 12)] = 1 - 0.1 * i;
        out[at + 12 + root] = 1;
      }
      return out;
    };
    const size = CHORD_STATES.length;
    const one = chordLikelihoods(values(0)).subarray(size, 2 * size);
    const other = chordLikelihoods(values(5)).subarray(size, 2 * size);
    expect(one.reduce((sum, score) => sum + Math.exp(score), 0)).toBeCloseTo(1, 6);
    for (let s = 0; s < size; s++) expect(other[movedState(s, 5)]).toBeCloseTo(one[s]!, 3);
    const best = one.indexOf(Math.max(...one));
    expect(stateName(CHORD_STATES[best]!, undefined)).toBe('C:7');
  });

  it('knows every kind of chord that it may suggest by its notes', () => {
    expect(CHORD_STATES).toHaveLength(KINDS.length * 12 + 1);
    for (const state of CHORD_STATES.slice(0, -1)) {
      const chord = parseHarte(stateName(state, undefined))!;
      expect([...state.tones].sort()).toEqual([...chordPitches(chord)].sort());
      expect(state.bassPitch).toBe(bassPitch(chord));
    }
  });
});
