import { describe, expect, it } from 'vitest';
import { barSlots, beatSlots } from '../../src/analysis/bars/bar-grid.js';
import { findChords } from '../../src/analysis/chords/find-chords.js';
import { keepUserChords } from '../../src/analysis/chords/keep-user-chords.js';
import type { Evidence } from '../../src/analysis/evidence/evidence.js';
import { harmonyTracks, type HarmonyTracks } from '../../src/analysis/evidence/harmony-evidence.js';
import { harmonySpectra } from '../../src/analysis/evidence/harmony-spectra.js';
import { findKey } from '../../src/analysis/evidence/tonality.js';
import { tuningOf } from '../../src/dsp/tuning.js';
import type { Bar, ChordMark, Key } from '../../src/model/song-map.js';
import { COMMON_TIME } from '../../src/music/meter.js';
import { loadEssentia } from '../../src/platform/worker/essentia-loader.js';
import { loadFfts } from '../../src/platform/worker/fft-loader.js';
import { synthesise, type Stretch } from '../support/synth.js';

const essentia = await loadEssentia();
const ffts = await loadFfts();

const tracksOf = (signal: Float32Array, tuning: number): HarmonyTracks =>
  harmonyTracks(harmonySpectra(signal, ffts), tuning);

function tonalityOf(signal: Float32Array): { readonly tuning: number; readonly key: Key | undefined } {
  const tuning = tuningOf(harmonySpectra(signal, ffts).peaks);
  return { tuning, key: findKey(signal, tuning, essentia) };
}

function bars(count: number, period = 0.5, from = 0.5): Bar[] {
  return Array.from({ length: count }, (_, i) => {
    const start = from + i * 4 * period;
    const beats = [0, 1, 2, 3].map((k) => start + k * period);
    return { kind: 'bar', start, beats, meter: COMMON_TIME, confidence: 1 };
  });
}

function evidenceOf(signal: Float32Array, tuning: number): Evidence {
  const none = { rate: 100, width: 1, data: new Uint8Array(0) };
  const harmony = tracksOf(signal, tuning);
  return {
    version: 'test',
    duration: signal.length / 22050,
    tuning,
    tracks: { ...harmony, beat: none, downbeat: none, onset: none, level: none },
  };
}

function chordsOf(stretches: readonly Stretch[], tuning = 0): ChordMark[] {
  const count = stretches.reduce((sum, s) => sum + s.beats, 0) / 4;
  const evidence = evidenceOf(synthesise(stretches, { cents: tuning }), tuning);
  const slots = barSlots(bars(count), 0.5 + count * 2);
  return findChords(evidence, slots, beatSlots(slots));
}

const play = (text: string, beats = 4): Stretch[] => text.split(' ').map((harte) => ({ harte, beats }));

describe('tuning and key', () => {
  it.each([0, 30, -20, 45])('finds a song tuned %i cents off A440, and its key', (cents) => {
    const signal = synthesise(play('D G A D B:min G A D D G A D'), { cents });
    const { tuning, key } = tonalityOf(signal);
    expect(Math.abs(tuning - cents)).toBeLessThanOrEqual(3);
    expect(key).toMatchObject({ tonic: 'D', mode: 'major' });
    expect(key?.confidence).toBeGreaterThan(0.7);
  });

  it('names flat keys with flats and minor keys as such', () => {
    expect(tonalityOf(synthesise(play('Bb Eb F Bb G:min Eb F Bb Bb Eb F Bb'))).key).toMatchObject({
      tonic: 'Bb',
      mode: 'major',
    });
    expect(tonalityOf(synthesise(play('A:min D:min E A:min F D:min E A:min A:min'))).key).toMatchObject({
      tonic: 'A',
      mode: 'minor',
    });
  });

  it('takes silence for A440 without a key', () => {
    expect(tonalityOf(new Float32Array(22050 * 6))).toEqual({ tuning: 0, key: undefined });
  });
});

describe('harmony tracks', () => {
  it('hold a detuned tone in its own pitch class once the tuning is known', () => {
    const signal = Float32Array.from(
      { length: 22050 * 3 },
      (_, i) => 0.3 * Math.sin((2 * Math.PI * 440 * 2 ** (30 / 1200) * i) / 22050),
    );
    const { chroma } = tracksOf(signal, 30);
    const frame = chroma.data.subarray(15 * 12, 16 * 12);
    expect(frame[9]).toBe(255);
    expect([...frame].filter((v) => v > 40)).toHaveLength(1);
  });

  it('have floor(duration x rate) + 1 frames and are zero in silence', () => {
    const signal = new Float32Array(22050 * 4);
    for (let i = 0; i < 22050 * 2; i++) signal[i] = 0.3 * Math.sin((2 * Math.PI * 220 * i) / 22050);
    const { chroma, bass, timbre } = tracksOf(signal, 0);
    expect([chroma, bass, timbre].map((t) => t.data.length / t.width)).toEqual([41, 41, 41]);
    expect(Math.max(...chroma.data.subarray(30 * 12))).toBe(0);
    expect(chroma.data[10 * 12 + 9]).toBe(255);
    expect(bass.data[10 * 12 + 9]).toBe(255);
  });
});

describe('chord suggestions', () => {
  it('follow a song of two chords, changes on beat 1', () => {
    const marks = chordsOf(play('G D:min G D:min G D:min'));
    expect(marks.map((m) => m.harte)).toEqual(['G', 'D:min', 'G', 'D:min', 'G', 'D:min']);
    expect(marks.map((m) => m.time)).toEqual([0.5, 2.5, 4.5, 6.5, 8.5, 10.5]);
    for (const mark of marks) expect(mark).toMatchObject({ origin: 'suggested' });
    expect(Math.min(...marks.map((m) => m.confidence))).toBeGreaterThan(0.8);
  });

  it('find two chords a bar, and the same when all is 30 cents sharp', () => {
    const song = [...play('C F', 2), ...play('G'), ...play('C F', 2), ...play('G')];
    const names = ['C', 'F', 'G', 'C', 'F', 'G'];
    expect(chordsOf(song).map((m) => m.harte)).toEqual(names);
    expect(chordsOf(song, 30).map((m) => m.harte)).toEqual(names);
  });

  it.each(['C:7', 'A:min7', 'F:maj7', 'B:dim', 'C:aug', 'D:sus4', 'C:maj/3'])('tell %s from a plain triad', (harte) => {
    const marks = chordsOf(play(`G ${harte} ${harte} G`));
    expect(marks[1]?.harte).toBe(harte);
  });

  it('say "no chord" where there is only silence', () => {
    expect(chordsOf(play('C N N N')).map((m) => m.harte)).toEqual(['C', 'N']);
  });
});

describe("the user's chords", () => {
  const slots = beatSlots(barSlots(bars(4), 8.5));
  const mark = (time: number, harte: string, origin: ChordMark['origin'] = 'suggested'): ChordMark => ({
    time,
    harte,
    origin,
    confidence: 1,
  });

  it('stay, follow a beat that moved, and keep their place between beats', () => {
    const kept = keepUserChords(
      [mark(2.6, 'F', 'user'), mark(4.75, 'E', 'user')],
      [mark(0.5, 'C'), mark(2.5, 'G'), mark(6.5, 'C')],
      slots,
    );
    expect(kept.map((m) => [m.time, m.harte])).toEqual([
      [0.5, 'C'],
      [2.5, 'F'],
      [4.75, 'E'],
      [6.5, 'C'],
    ]);
  });

  it('make a suggestion that only repeats them unnecessary, and never go two on one beat', () => {
    const kept = keepUserChords(
      [mark(2.5, 'G', 'user'), mark(2.55, 'A', 'user')],
      [mark(0.5, 'C'), mark(3, 'A')],
      slots,
    );
    expect(kept.map((m) => [m.time, m.harte])).toEqual([
      [0.5, 'C'],
      [2.5, 'G'],
      [2.55, 'A'],
    ]);
  });
});
