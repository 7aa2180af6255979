import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { copyChords, pasteChords } from '../../src/model/edits/chord-clips.js';
import { moveChord, replaceChord, transposeChords } from '../../src/model/edits/chord-changes.js';
import { check } from '../../src/model/invariants.js';
import { barsOf, chordsInBar } from '../../src/model/map-queries.js';
import type { SongMap } from '../../src/model/song-map.js';
import { runs } from '../support/runs.js';
import { bars } from '../support/notation.js';

/** "1:G 2:C,D@3": bars from 1 and the chords that begin in them, as Harte syntax. */
function chords(map: SongMap): string {
  return barsOf(map)
    .map((_, bar) => {
      const own = chordsInBar(map, bar).map(({ chord, beat }) => chord.harte + (beat === 0 ? '' : `@${beat + 1}`));
      return own.length > 0 ? `${bar + 1}:${own.join(',')}` : '';
    })
    .filter(Boolean)
    .join(' ');
}

describe('a change of chord that is moved', () => {
  const map = bars('4:G 4:C,D@3 4:G');

  it('begins on the other beat, also of another bar, and is the user’s', () => {
    expect(chords(moveChord(map, 2, 0, 3))).toBe('1:G,C@4 2:D@3 3:G');
    expect(chords(moveChord(map, 3, 1, 1.5))).toBe('1:G 2:C,D@2.5 3:G');
    expect(moveChord(map, 2, 0, 3).chords[1]).toMatchObject({ origin: 'user', confidence: 1 });
  });

  it('never passes another, and says so', () => {
    expect(() => moveChord(map, 2, 1, 2)).toThrow(/cannot move past another/);
    expect(() => moveChord(map, 2, 2, 1)).toThrow(/cannot move past another/);
    expect(() => moveChord(map, 2.5, 1, 1)).toThrow(/No chord begins there/);
    expect(() => moveChord(map, 2, 1, 4)).toThrow(/no beat 5 in this bar: it has 4/);
  });
});

describe('copied chords', () => {
  const map = bars('4:G 4 4:C,D@3 4 4 3 4');

  it('are pasted on the same beats, with what sounded on into the first of them', () => {
    const { map: pasted, shortened } = pasteChords(map, 4, copyChords(map, 1, 2));
    expect(chords(pasted)).toBe('1:G 3:C,D@3 5:G 6:C,D@3');
    expect(shortened).toEqual([]);
  });

  it('leave out what a shorter bar has no beat for, and say where', () => {
    const wide = bars('4:G,D@4 4 3 4');
    const { map: pasted, shortened } = pasteChords(wide, 2, copyChords(wide, 0, 0));
    expect(chords(pasted)).toBe('1:G,D@4 3:G 4:D');
    expect(shortened).toEqual([2]);
  });

  it('need as many bars as were copied', () => {
    expect(() => pasteChords(map, 6, copyChords(map, 0, 1))).toThrow(/2 bars were copied, but only 1 are left/);
  });

  it('come out as they are when pasted where they were', () => {
    const place = fc.record({ first: fc.nat(5), more: fc.nat(3), seed: fc.nat(3) });
    fc.assert(
      fc.property(place, ({ first, more, seed }) => {
        const song = [
          bars('4:G 4 4:C,D@3 3 4:A:min 2 4'),
          bars('3:G,C@2,D@3 3 3:G 3 3 3:C'),
          map,
          bars('4:N 4:G 2 4 4 4:C'),
        ][seed];
        const last = Math.min(barsOf(song!).length - 1, first + more);
        if (first > last) return;
        const clip = copyChords(song!, first, last);
        const again = pasteChords(song!, first, clip).map;
        expect(check(again)).toEqual([]);
        expect(copyChords(again, first, last)).toEqual(clip);
      }),
      { numRuns: runs(40) },
    );
  });
});

describe('a chord replaced', () => {
  const map = bars('A: 4:G 4:C | B: 4 4:G 4:C | A: 4 4:G');

  it('everywhere is replaced wherever it begins', () => {
    const { map: next, count } = replaceChord(map, 'C', 'C:maj7');
    expect(chords(next)).toBe('1:G 2:C:maj7 4:G 5:C:maj7 7:G');
    expect(count).toBe(2);
  });

  it('in one section is replaced from its start to its end only', () => {
    const { map: next, count } = replaceChord(map, 'C:maj', 'A:min', 1);
    expect(chords(next)).toBe('1:G 2:C 3:A:min 4:G 5:A:min 6:C 7:G');
    expect(count).toBe(2);
    expect(check(next)).toEqual([]);
  });

  it('is found by its notes and bass, not by its writing', () => {
    expect(() => replaceChord(map, 'C:maj/3', 'F')).toThrow(/does not sound there/);
    expect(replaceChord(bars('4:Db'), 'C#', 'F').count).toBe(1);
    expect(() => replaceChord(map, 'C', 'F', 7)).toThrow(/not on the map any more/);
  });
});

describe('transposing', () => {
  const map: SongMap = { ...bars('4:Bb 4:F,G:min7/b3@3 4:N'), key: { tonic: 'Bb', mode: 'major', confidence: 0.9 } };

  it('moves chords and key, spelled as the new key asks, and makes them the user’s', () => {
    const up = transposeChords(map, 2);
    expect(up.chords.map(({ harte }) => harte)).toEqual(['C', 'G', 'A:min7/b3', 'N']);
    expect(up.key).toEqual({ tonic: 'C', mode: 'major', confidence: 0.9 });
    expect(up.chords.every(({ origin }) => origin === 'user')).toBe(true);
    expect(transposeChords(map, -3).chords[1]?.harte).toBe('D');
    expect(transposeChords(map, 12)).toBe(map);
  });

  it('keeps what cannot be read as it is', () => {
    const odd = { ...map, chords: [{ time: 0, harte: 'G7alt?', origin: 'user', confidence: 1 } as const] };
    expect(transposeChords(odd, 5).chords).toEqual(odd.chords);
  });

  it('moves the chords of one section alone, from its start to its end', () => {
    const song: SongMap = {
      ...bars('A: 4:G 4:C | B: 4 4:D | A: 4 4:G'),
      key: { tonic: 'G', mode: 'major', confidence: 1 },
    };
    const up = transposeChords(song, 2, 1);
    expect(chords(up)).toBe('1:G 2:C 3:D 4:E 5:D 6:G');
    expect(up.key).toEqual(song.key);
    expect(check(up)).toEqual([]);
  });

  it('up and down again gives the same chords', () => {
    for (let n = 1; n < 12; n++)
      expect(transposeChords(transposeChords(map, n), -n).chords.map(({ harte }) => harte)).toEqual(
        map.chords.map(({ harte }) => harte),
      );
  });
});
