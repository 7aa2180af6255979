import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { midiClock, TICKS } from '../../src/export/midi/midi-clock.js';
import { toMidi } from '../../src/export/midi/midi.js';
import { pitchesOf } from '../../src/export/midi/midi-notes.js';
import { barsOf, beatTimes } from '../../src/model/map-queries.js';
import type { SongMap } from '../../src/model/song-map.js';
import { strokesInBar } from '../../src/model/strum-sounds.js';
import { SAMPLES } from '../../src/app/library/samples.js';
import { applyEdit, editArbitrary, mapArbitrary } from '../support/arbitraries.js';
import { readMidiFile } from '../support/midi.js';
import { bars } from '../support/notation.js';
import { runs } from '../support/runs.js';
import { analysedSample } from '../support/sample-evidence.js';

/** Farthest that a click is from its beat, seconds; there are as many as beats. */
function farthest(map: SongMap): number {
  const clicks = readMidiFile(toMidi(map)).notes(1);
  const beats = beatTimes(map);
  expect(clicks).toHaveLength(beats.length);
  return Math.max(0, ...clicks.map(({ from }, i) => Math.abs(from - (beats[i] as number))));
}

/** The map played unevenly: each beat up to 15 % longer or shorter, by a fixed pattern. */
function uneven(map: SongMap, begin: number): SongMap {
  const at = (time: number): number => begin + time + 0.07 * Math.sin(time * 1.7) + 0.0123 * Math.sin(time * 11.3);
  return {
    ...map,
    start: at(map.start),
    end: at(map.end),
    recording: { ...map.recording, duration: at(map.end) },
    spans: map.spans.map((span) =>
      span.kind === 'bar'
        ? { ...span, start: at(span.start), beats: span.beats.map(at) }
        : { ...span, start: at(span.start) },
    ),
    sections: map.sections.map((section) => ({ ...section, start: at(section.start) })),
    chords: map.chords.map((chord) => ({ ...chord, time: at(chord.time) })),
  };
}

describe('a MIDI file', () => {
  it('keeps to the rules of Standard MIDI Files 1.0', () => {
    const check = (map: SongMap): void => {
      const bytes = toMidi(map);
      const file = readMidiFile(bytes);
      expect([file.format, file.ticks, file.tracks.length]).toEqual([1, TICKS, 4]);
      // "MThd", length 6; each track ends with an end of track and nothing after it.
      expect(String.fromCharCode(...bytes.slice(0, 8))).toBe('MThd\0\0\0\u0006');
      for (const track of file.tracks)
        expect(track.findIndex(({ subtype }) => subtype === 0x2f)).toBe(track.length - 1);
      // A format 1 file has tempo, time signatures, markers and key in its first track alone.
      for (const kind of ['tempo', 'time', 'marker', 'key'] as const)
        expect(file.metas(kind).every(({ event }) => event.track === 0)).toBe(true);
      for (const track of [1, 2, 3]) file.notes(track);
    };
    fc.assert(
      fc.property(mapArbitrary(), fc.array(editArbitrary(), { maxLength: 3 }), (map, edits) => {
        check(edits.reduce(applyEdit, map));
      }),
      { numRuns: runs(40) },
    );
    check({ ...bars('4'), spans: [{ kind: 'lead-in', start: 0 }], sections: [] });
  });

  it('follows the recording within a millisecond a beat over ten minutes', () => {
    const song = Array.from({ length: 200 }, (_, i) => (i % 17 === 0 ? '2 3.5' : i % 23 === 0 ? '6/8 ~3 4' : '4')).join(
      ' ',
    );
    const map = uneven(bars(`(1) ${song} ${song} 4`, { beat: 0.377 }), 3.217);
    expect(map.end).toBeGreaterThan(600);
    expect(farthest(map)).toBeLessThan(0.001);
    // Far better in truth: rounding to microseconds never adds up.
    expect(farthest(map)).toBeLessThan(0.00002);
  });

  it.each(SAMPLES.map(({ file }) => file))('follows %s', async (file) => {
    expect(farthest((await analysedSample(file)).map)).toBeLessThan(0.001);
  });

  it('begins with the recording: what is before the first bar is a bar at a tempo of its own', () => {
    const at = (begin: number): SongMap => uneven(bars('4:G 4:C'), begin);
    for (const begin of [0.0004, 0.05, 1.234, 7.9, 45]) {
      const map = at(begin);
      const lead = midiClock(map).bars[0];
      expect(lead?.bar).toBeUndefined();
      expect(lead?.meter.unit).toBe(4);
      expect(farthest(map)).toBeLessThan(0.001);
    }
    expect(midiClock(bars('4:G')).bars[0]?.bar).toBeDefined();
  });

  it('has the time signatures of irregular bars, of a pickup, of the lead-in', () => {
    const file = readMidiFile(toMidi(bars('-3 (1) 4 4 7/8(2+2+3) 3.5 6/8 ~3 4')));
    const found = file.metas('time').map(({ time, event }) => {
      return `${time.toFixed(2)} ${event.param1}/${2 ** (event.param2 as number)} ${event.param3}`;
    });
    // The metronome clicks every so many of 24 clocks a quarter: an eighth, a dotted quarter.
    expect(found).toEqual([
      '0.00 3/4 24',
      '1.50 1/4 24',
      '2.00 4/4 24',
      '6.00 7/8 12',
      '9.50 7/8 24',
      '11.25 6/8 36',
      '12.25 3/4 24',
      '13.75 4/4 24',
    ]);
  });

  it('marks sections, names chords, knows the key', () => {
    const map: SongMap = {
      ...bars('- Verse: 4:G,C@3 | Häuser_«2»: 4:A:min7'),
      key: { tonic: 'Eb', mode: 'minor', confidence: 1 },
    };
    const file = readMidiFile(toMidi(map));
    expect(file.metas('marker').map(({ time, text }) => [time, text])).toEqual([
      [0.5, 'Verse'],
      [2.5, 'Häuser «2»'],
    ]);
    expect(file.metas('text').map(({ time, text }) => [time, text])).toEqual([
      [0.5, 'G'],
      [1.5, 'C'],
      [2.5, 'Am7'],
    ]);
    expect(file.metas('name').map(({ text }) => text)).toEqual(['Paper Lanterns', 'Click', 'Chords', 'Strum']);
    expect(file.metas('key').map(({ event }) => [((event.key as number) << 24) >> 24, event.scale])).toEqual([[-6, 1]]);
  });

  it('plays the first beat of a bar higher, on the percussion channel', () => {
    const clicks = readMidiFile(toMidi(bars('(1) 2 3'))).notes(1);
    expect(clicks.map(({ note }) => note)).toEqual([77, 76, 77, 76, 77, 77]);
    expect(new Set(clicks.map(({ channel }) => channel))).toEqual(new Set([9]));
  });

  it('plays chords from where they begin to the next, with their bass below', () => {
    const notes = readMidiFile(toMidi(bars('- 4:G:maj/3,N@3 4:C -'))).notes(2);
    expect(notes.map(({ note, from, to }) => [note, from, to])).toEqual([
      ...[47, 55, 59, 62].map((note) => [note, 0.5, 1.5]),
      ...[48, 55, 60, 64].map((note) => [note, 2.5, 4.5]),
    ]);
    expect(pitchesOf('X')).toEqual([]);
  });

  it('plays the strum patterns within a millisecond of their strokes', () => {
    const straight = bars('Verse: 4:G 4:C,D@3 | Chorus: 3:G');
    const strum = { parts: 2, strokes: 'D-duxudu' } as const;
    const sections = straight.sections.map((section, i) => (i === 0 ? { ...section, strum, swing: 1.7 } : section));
    const map = uneven({ ...straight, sections }, 1);
    const strokes = [0, 1].flatMap((bar) => strokesInBar(map, bar));
    const notes = readMidiFile(toMidi(map)).notes(3);
    expect(strokes).toHaveLength(14);
    for (const { time } of strokes)
      expect(Math.min(...notes.map(({ from }) => Math.abs(from - time)))).toBeLessThan(0.001);
    expect(notes.every(({ from }) => strokes.some(({ time }) => from > time - 0.001 && from < time + 0.05))).toBe(true);
    expect(Math.max(...notes.map(({ to }) => to))).toBeLessThanOrEqual((barsOf(map)[2]?.start ?? 0) + 0.001);
  });
});
