import { describe, expect, it } from 'vitest';
import { spokenSound } from '../../src/dsp/speech.js';
import { SPOKEN_WORDS } from '../../src/dsp/spoken-words.js';
import { planPlay, type PlayWish } from '../../src/model/play-plan.js';
import { spokenChord } from '../../src/music/spoken-chord.js';
import { decodeFile } from '../../src/platform/decode/node.js';
import { bars } from '../support/notation.js';

const wish: PlayWish = {
  speed: 1,
  countIn: { bars: 0 },
  spoken: false,
  click: { on: false, parts: 1, firstBarOnly: false },
  announce: true,
};
const said = (...args: Parameters<typeof planPlay>) =>
  planPlay(...args).soundings.map(({ at, sound }) => `${Math.round(at * 100) / 100} ${sound}`);

describe('chords spoken before they change', () => {
  const map = bars('4:G 4:E:min,C@3 4:G', { beat: 1 });

  it('come a beat ahead, or as many as their words need, over a join too', () => {
    expect(said(map, [{ from: 0, until: 12 }], { ...wish, countIn: { bars: 1 } })).toEqual([
      '0 count one',
      '1 count',
      '2 count',
      '3 count',
      '3 say G',
      '7 say E minor',
      '9 say C',
      '11 say G',
    ]);
    const joined = said(
      map,
      [
        { from: 4, until: 8 },
        { from: 0, until: 4 },
      ],
      wish,
    );
    expect(joined.map((line) => line.slice(line.indexOf(' ')))).toEqual([' say C', ' say G']);
  });

  it('come earlier where it is faster, and are left out where nobody could follow', () => {
    // Two words do not go into one beat of 0.4 s.
    const two = bars('4:G 4:E:min', { beat: 0.4 });
    expect(said(two, [{ from: 0, until: 3.2 }], wish)).toEqual(['0.81 say E minor']);
    const fast = bars('4:G,A:min7@2,D@3,G@4 4:C', { beat: 0.3 });
    const lines = said(fast, [{ from: 0, until: 2.4 }], { ...wish, countIn: { bars: 1 } });
    const times = lines.filter((line) => line.includes('say')).map((line) => Number(line.split(' ')[0]));
    times.slice(1).forEach((time, i) => expect(time - times[i]!).toBeGreaterThanOrEqual(0.49));
  });

  it('are the chords that are shown', () => {
    const up = { ...map, fingered: { transpose: 2 } };
    expect(said(up, [{ from: 0, until: 8 }], wish).join()).toContain('say F sharp minor');
  });
});

describe('the spoken words', () => {
  it('are all that counts and chords need', () => {
    const qualities = [
      '',
      ':min',
      ':dim7',
      ':hdim7',
      ':aug7',
      ':sus4',
      ':maj13',
      ':minmaj7',
      ':11',
      ':min6',
      ':5',
      ':sus2',
    ];
    const words = ['Ab', 'B', 'C', 'D', 'E', 'F#', 'G'].flatMap((root) =>
      qualities.flatMap((q) => spokenChord(root + q)),
    );
    const numbers = Array.from({ length: 12 }, (_, i) => String(i + 1));
    for (const word of [...words, ...spokenChord('N'), ...numbers]) expect(Object.keys(SPOKEN_WORDS)).toContain(word);
    expect([spokenChord('Bb:min7'), spokenChord('N'), spokenChord('X')]).toEqual([
      ['B', 'flat', 'minor', '7'],
      ['rest'],
      [],
    ]);
  });

  it('lie in the file where the index says, each short enough for a beat and soon loud', async () => {
    const { pcm } = await decodeFile('samples/public/speech/words.ogg');
    const speech = { samples: pcm.channels[0]!, sampleRate: pcm.sampleRate };
    for (const [word, [start, length]] of Object.entries(SPOKEN_WORDS)) {
      const sound = spokenSound(speech, [word], 44100)!;
      const loudest = Math.max(...sound.map(Math.abs));
      expect(loudest, word).toBeGreaterThan(0.5);
      // Between two words is silence.
      const gap = speech.samples.subarray(
        (start + length + 0.03) * pcm.sampleRate,
        (start + length + 0.1) * pcm.sampleRate,
      );
      expect(Math.max(...gap.map(Math.abs)), `after ${word}`).toBeLessThan(0.05);
      if (/^\d+$/.test(word)) expect(sound.findIndex((x) => Math.abs(x) > 0.3 * loudest) / 44100).toBeLessThan(0.1);
    }
    expect(spokenSound(speech, ['A', 'minor'], 44100)!.length / 44100).toBeGreaterThan(0.4);
    expect(spokenSound(speech, ['banjo'], 44100)).toBeUndefined();
  });
});
