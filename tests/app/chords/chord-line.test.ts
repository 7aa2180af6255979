import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { COMMON_TIME, parseMeter, withBeats } from '../../../src/music/meter.js';
import { chordLine, parseChordLine, unreadWords } from '../../../src/app/chords/chord-line.js';

const in4 = COMMON_TIME;
const in3 = parseMeter('3/4');
const read = (text: string, meter = in4): string =>
  parseChordLine(text, meter)
    .map(({ beat, harte }) => `${harte}@${beat}`)
    .join(' ');

describe('chords of a bar as one line', () => {
  it.each([
    ['G', in4, 'G:maj@0'],
    ['G C', in4, 'G:maj@0 C:maj@2'],
    ['G C D', in4, 'G:maj@0 C:maj@2 D:maj@3'],
    ['G C D Em', in4, 'G:maj@0 C:maj@1 D:maj@2 E:min@3'],
    ['G C', in3, 'G:maj@0 C:maj@2'],
    ['G . C D', in4, 'G:maj@0 C:maj@2 D:maj@3'],
    ['. . Am7', in4, 'A:min7@2'],
    ['G . . C', in4, 'G:maj@0 C:maj@3'],
    ['G . . . C . D .', in4, 'G:maj@0 C:maj@2 D:maj@3'],
    ['G . . C . . . .', in4, 'G:maj@0 C:maj@1.5'],
    ['', in4, ''],
  ])('%s', (text, meter, expected) => {
    const plain = (all: string): string => all.replace(/:maj(?=@)/g, '');
    expect(plain(read(text, meter))).toBe(plain(expected));
  });

  it('say what does not fit', () => {
    expect(() => parseChordLine('G C D Em Am', in4)).toThrow(/one for each of the 4 beats, or 8 for the half beats/);
    expect(() => parseChordLine('G C D Em Am F G C D', in4)).toThrow(/9 chords do not fit into 4 beats/);
  });

  it('keep a word that is no chord as it is typed, and name it', () => {
    expect(read('G H7 x9')).toBe('G@0 H7@2 x9@3');
    expect(unreadWords('| G H7 . | H7 Am % | Q |')).toEqual(['H7', 'Q']);
    expect(chordLine(parseChordLine('H7 G', in4), in4)).toBe('H7 G');
    expect(() => parseChordLine('H'.repeat(41), in4)).toThrow(/chord: found "HHH/);
  });

  it('come back as they were written, on beats and half beats of any bar', () => {
    const chords = ['G', 'A:min', 'D:7', 'N', 'C:maj/3'];
    fc.assert(
      fc.property(
        fc.integer({ min: 1, max: 12 }),
        fc.uniqueArray(fc.nat(23), { maxLength: 12 }),
        fc.boolean(),
        (beats, slots, halves) => {
          const meter = withBeats(in4, beats);
          const places = slots
            .map((slot) => (halves ? slot / 2 : slot))
            .filter((beat) => beat < beats)
            .sort((a, b) => a - b);
          const typed = places.map((beat, i) => ({ beat, harte: chords[i % chords.length] as string }));
          const back = parseChordLine(chordLine(typed, meter), meter);
          expect(back.map(({ beat }) => beat)).toEqual(places);
        },
      ),
    );
  });
});
