import { describe, expect, it } from 'vitest';
import { chooseShape, setFingering } from '../../src/model/edits/fingering.js';
import { keptFrets, songShape, songShapes, stringsText, timedChords } from '../../src/model/song-shapes.js';
import { shapeText } from '../../src/music/shapes.js';
import { TUNINGS, type Tuning } from '../../src/music/tuning.js';
import { bars } from '../support/notation.js';

const [UKE, LOW, , GUITAR] = TUNINGS as [Tuning, Tuning, Tuning, Tuning];
const song = bars('4:G 4:C,G@3 4:N 4:D:7 -4');
const written = (map = song, tuning = UKE): string[] =>
  songShapes(map, tuning).map(({ harte, shape }) => `${harte} ${shape ? shapeText(shape) : '-'}`);

describe('the shapes of a song', () => {
  it('are those of its chords, each once, the easiest of each', () => {
    expect(written()).toEqual(['G 0232', 'C 0003', 'D:7 2223']);
  });

  it('follow the capo and the key it is played in', () => {
    expect(written(setFingering(song, { capo: 2 })).map((text) => text.split(' ')[0])).toEqual(['F', 'Bb', 'C:7']);
  });

  it('are the ones chosen, on that instrument alone', () => {
    const [, second] = songShape(song, 'C', UKE).choices;
    const map = chooseShape(song, stringsText(UKE), 'C', keptFrets(second!));
    expect(songShape(map, 'C', UKE)).toMatchObject({ chosen: true, shape: second });
    expect(songShape(map, 'C', LOW).chosen).toBe(false);
    const own = chooseShape(song, stringsText(GUITAR), 'C', [-1, 3, 5, 5, 5, 3]);
    const { shape, choices } = songShape(own, 'C', GUITAR);
    expect(shapeText(shape!)).toBe('x35553');
    expect(choices.map(shapeText)).toContain('x35553');
  });

  it('say where none is to be had', () => {
    expect(written({ ...song, chords: [{ time: 0, harte: 'H7', origin: 'user', confidence: 1 }] })).toEqual(['H7 -']);
  });

  it('last as long as their chords sound, to the end of the last bar', () => {
    expect(timedChords(song)).toEqual([
      { harte: 'G', seconds: 2 },
      { harte: 'C', seconds: 1 },
      { harte: 'G', seconds: 1 },
      { harte: 'N', seconds: 2 },
      { harte: 'D:7', seconds: 2 },
    ]);
  });
});
