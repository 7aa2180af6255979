import { describe, expect, it } from 'vitest';
import { chooseShape, setFingering } from '../../src/model/edits/fingering.js';
import { check } from '../../src/model/invariants.js';
import { shownMap, soundingChord } from '../../src/model/shown-chords.js';
import type { SongMap } from '../../src/model/song-map.js';
import { parseLeadSheet } from '../../src/music/lead-sheet.js';
import { readMap } from '../../src/project/read-map.js';
import { bars } from '../support/notation.js';

const song = (): SongMap => ({
  ...bars('4:A 4:F#:min 4:D 4:E:7'),
  key: { tonic: 'A', mode: 'major', confidence: 0.9 },
});
const hartes = (map: SongMap): string[] => map.chords.map(({ harte }) => harte);

describe('what is shown of chords', () => {
  it('is what sounds, while nothing is set', () => {
    const map = song();
    expect(shownMap(map)).toBe(map);
    expect(soundingChord(map, 'Bb')).toBe('Bb');
  });

  // Common practice, no source: behind a capo on the second fret, G Em C D7 sound as A F#m D E7.
  it('are the shapes behind the capo, in their own key', () => {
    const map = setFingering(song(), { capo: 2 });
    expect(hartes(shownMap(map))).toEqual(['G', 'E:min', 'C', 'D:7']);
    expect(shownMap(map).key).toMatchObject({ tonic: 'G', mode: 'major' });
    expect(hartes(map)).toEqual(hartes(song()));
    expect(shownMap(map)).toBe(shownMap(map));
  });

  it('are the sounding chords with a capo where the user wants those', () => {
    const map = setFingering(setFingering(song(), { capo: 2 }), { sounding: true });
    expect(shownMap(map)).toBe(map);
    expect(setFingering(map, { capo: 0 }).fingered).toBeUndefined();
  });

  it('lie in the key the song is played in, and behind a capo there', () => {
    const down = setFingering(song(), { transpose: -2 });
    expect(hartes(shownMap(down))).toEqual(['G', 'E:min', 'C', 'D:7']);
    const both = setFingering(song(), { transpose: -1, capo: 1 });
    expect(hartes(shownMap(both))).toEqual(['G', 'E:min', 'C', 'D:7']);
  });

  it('go back to what sounds when they are typed', () => {
    const map = setFingering(song(), { capo: 2 });
    expect(['Em', 'C/E', 'G7'].map((typed) => soundingChord(map, parseLeadSheet(typed)))).toEqual([
      'F#:min',
      'D:maj/3',
      'A:7',
    ]);
  });

  it('refuses what is no capo and no transposition', () => {
    expect(() => setFingering(song(), { capo: 10 })).toThrow(/frets 1 to 9; found 10/);
    expect(() => setFingering(song(), { transpose: 1.5 })).toThrow(/whole semitones/);
  });
});

describe('shapes chosen', () => {
  it('are kept one a chord and instrument, and can be given up', () => {
    const one = chooseShape(song(), '67 60 64 69', 'A', [2, 1, 0, 0]);
    const other = chooseShape(chooseShape(one, '67 60 64 69', 'A', [6, 4, 5, 4]), '55 60 64 69', 'A', [2, 1, 0, 0]);
    expect(other.fingered?.shapes?.map(({ frets }) => frets.join(' '))).toEqual(['6 4 5 4', '2 1 0 0']);
    expect(chooseShape(one, '67 60 64 69', 'A', undefined).fingered).toBeUndefined();
  });

  it('come back from a project file, and do not where they cannot be', () => {
    const map = chooseShape(setFingering(song(), { transpose: 3, capo: 1, sounding: true }), '1 2', 'C', [-1, 3]);
    expect(check(map)).toEqual([]);
    expect(readMap(JSON.parse(JSON.stringify(map)), 'the map').fingered).toEqual(map.fingered);
    const broken = { ...map, fingered: { capo: 40 } };
    expect(check(broken)).toEqual(['the capo is on fret 40']);
    expect(() => readMap(JSON.parse(JSON.stringify(broken)), 'the map')).toThrow(/capo/);
    expect(check(chooseShape(map, '1 2 3', 'C', [0, 0]))).toEqual(['the shape of C does not fit its strings']);
  });
});
