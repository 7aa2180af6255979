import { describe, expect, it } from 'vitest';
import { parseMeter } from '../../../../src/music/meter.js';
import type { Lock } from '../../../../src/model/locks.js';
import type { SongMap } from '../../../../src/model/song-map.js';
import { barWords } from '../../../../src/app/map/map-view/bar-words.js';
import { boxesOf, chordText, type BarBox } from '../../../../src/app/map/map-view/boxes.js';
import { fitLabel, textEm } from '../../../../src/app/map/map-view/labels.js';
import { locksOfBar } from '../../../../src/app/map/map-view/pins.js';
import { beatAtX, nearestPlace, placeAt, rulerOf } from '../../../../src/app/map/map-view/place.js';
import { song } from './song.js';

const bars = (map: SongMap): BarBox[] => boxesOf(map).filter((box) => box.kind === 'bar');
const withLocks = (map: SongMap, locks: readonly Lock[]): SongMap => ({ ...map, locks });

describe('a bar of the map', () => {
  it('carries a notch when its length is not the usual one', () => {
    expect(bars(song('4 2 4 3.5 6 5/8')).map((box) => box.notch)).toEqual([
      undefined,
      '2',
      undefined,
      '3½',
      '6',
      '5/8',
    ]);
  });

  it('shows a time signature where one begins, not at single bars of another length', () => {
    const signs = bars(song('4 4 2 4 | 3 3 3 3 3 | 4 4 4 4')).map((box) => box.sign);
    expect(signs.map((sign, i) => (sign === undefined ? undefined : [i, sign])).filter(Boolean)).toEqual([
      [0, '4/4'],
      [4, '3/4'],
      [9, '4/4'],
    ]);
    const map = song('4 4 | 3 3');
    const locked = withLocks(map, [{ id: '1', kind: 'meter', from: 5, to: 99, meter: parseMeter('3/4') }]);
    expect(bars(map).map((box) => [box.irregular, box.sign])[2]).toEqual([true, undefined]);
    expect(bars(locked).map((box) => [box.irregular, box.sign])[2]).toEqual([false, '3/4']);
  });

  it('has a dashed line when the solver is unsure or lists a doubt there', () => {
    const map = song('4 4 4', '4/4', [2]);
    const doubt = { time: 5, weight: 1, kind: 'length', text: '', keep: [], other: [] } as const;
    expect(bars({ ...map, doubts: [doubt] }).map((box) => box.sure)).toEqual([true, false, false]);
  });

  it('puts chords on their beats and between them', () => {
    const map = song('4 4');
    const chords = [
      { time: 1, harte: 'G', origin: 'user', confidence: 1 },
      { time: 2.005, harte: 'E:min7', origin: 'suggested', confidence: 1 },
      { time: 2.75, harte: 'C:maj/3', origin: 'user', confidence: 1 },
    ] as const;
    const [first, second] = bars({ ...map, chords });
    expect(first?.chords.map(({ x, text, beat }) => [x, text, beat])).toEqual([
      [0, 'G', 0],
      [2, 'Em7', 2],
      [3.5, 'C/E', 3],
    ]);
    expect(second?.held).toBe('C/E');
  });

  it('is named in words', () => {
    const map = song('4 4 2 4');
    const locked = withLocks({ ...map, chords: [{ time: 5, harte: 'G', origin: 'user', confidence: 1 }] }, [
      { id: '1', kind: 'bar-length', time: 5, meter: parseMeter('2/4') },
    ]);
    const [first, , third] = bars(locked);
    expect(third && barWords(third)).toBe('bar 3, 2 beats, irregular, G, locked');
    expect(first && barWords(first)).toBe('bar 1, 4 beats, time signature 4/4');
    const seven = bars({ ...song('4 7/8 4'), chords: [{ time: 3, harte: 'F#:min7', origin: 'user', confidence: 1 }] });
    expect(seven[1] && barWords(seven[1])).toBe('bar 2, 7/8, irregular, F sharp m7');
    const [pickup] = bars(song('(1) 4'));
    expect(pickup && barWords(pickup)).toBe('pickup, 1 beat');
  });

  it('prints true sharps and flats', () => {
    expect(['F#:min7', 'Bb', 'F#:hdim7', 'N'].map(chordText)).toEqual(['F♯m7', 'B♭', 'F♯m7♭5', 'N.C.']);
  });
});

describe('pins', () => {
  it('stand on the beat of their lock; what is forbidden is open', () => {
    const map = withLocks(song('4 4'), [
      { id: '1', kind: 'downbeat', time: 3 },
      { id: '2', kind: 'not-downbeat', time: 2.03 },
      { id: '3', kind: 'beat', time: 3 },
    ]);
    expect(bars(map).map((box) => box.pins.pins.map((pin) => [pin.beat, pin.open, pin.ids.join()]))).toEqual([
      [[2, true, '2']],
      [[0, false, '1,3']],
    ]);
  });

  it('stand on the beat next to them when they are a little before it', () => {
    const map = withLocks(song('4 4'), [
      { id: '1', kind: 'no-beat', time: 1.97 },
      { id: '2', kind: 'not-downbeat', time: 2.96 },
    ]);
    expect(bars(map).map((box) => box.pins.pins.map((pin) => pin.beat))).toEqual([[2], [0]]);
  });

  it('become a rail for a lock over a stretch', () => {
    const map = withLocks(song('4 4 4 4'), [{ id: '1', kind: 'bar-lines', starts: [3, 5, 7] }]);
    expect(bars(map).map((box) => box.pins.rail && [box.pins.rail.begins, box.pins.rail.ends])).toEqual([
      undefined,
      [true, false],
      [false, true],
      undefined,
    ]);
    expect(locksOfBar(map.locks, 3, 5).map((lock) => lock.id)).toEqual(['1']);
    expect(locksOfBar(map.locks, 1, 3)).toEqual([]);
  });
});

describe('places', () => {
  const map = song('4 4 ~8 2');
  const ruler = rulerOf(map);

  it('are found by time, also on the very beat', () => {
    expect(placeAt(ruler, 1)).toEqual({ bar: 0, beat: 0 });
    expect(placeAt(ruler, 3.5 - 1e-6)).toEqual({ bar: 1, beat: 1 });
    expect(placeAt(ruler, 3 - 1e-6)).toEqual({ bar: 1, beat: 0 });
    expect(placeAt(ruler, 4.99)).toEqual({ bar: 1, beat: 3 });
  });

  it('are none before, between and after bars, where the nearest bar is meant', () => {
    expect([0.5, 6, 10.5].map((time) => placeAt(ruler, time))).toEqual([undefined, undefined, undefined]);
    expect([0.5, 6, 8.9, 99].map((time) => nearestPlace(ruler, time))).toEqual([
      { bar: 0, beat: 0 },
      { bar: 1, beat: 3 },
      { bar: 2, beat: 0 },
      { bar: 2, beat: 1 },
    ]);
  });

  it('are found under the pointer', () => {
    const [box] = bars(map);
    expect(box && [-1, 0, 0.99, 1, 3.9, 9].map((x) => beatAtX(box, x))).toEqual([0, 0, 0, 1, 3, 3]);
  });
});

describe('labels', () => {
  it('shrink before they are cut, and are cut down to the root', () => {
    expect(fitLabel('G', 20, [18, 12])).toEqual({ text: 'G', size: 18, cut: false });
    const wide = textEm('F♯m7♭5') * 12;
    expect(fitLabel('F♯m7♭5', wide + 1, [18, 12])).toEqual({ text: 'F♯m7♭5', size: 12, cut: false });
    expect(fitLabel('F♯m7♭5', wide - 1, [18, 12])).toEqual({ text: 'F♯m', size: 12, cut: true });
    expect(fitLabel('C/E', 12, [12])).toEqual({ text: 'C', size: 12, cut: true });
    expect(fitLabel('Cmaj7', 10, [12])).toEqual({ text: 'C', size: 12, cut: true });
  });
});
