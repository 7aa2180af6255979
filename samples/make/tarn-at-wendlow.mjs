// "The Tarn at Wendlow": A minor, 3/4, nylon-string guitar, flute, cello and bass, tuned 31 cents sharp. Bars of another
// length: a held bar of 4 in the second verse, a bar of 2 at the end of both choruses, a bar of 4 before the last verse closes.
import { section } from './score.mjs';

const VERSE = 'Am | Am/G | Fmaj7 | E | Am | Dm | E7 | Am | C | G | F | C/E | Dm | Am/E | E7 | Am';
const CHORUS = 'C | G/B | Am | Em | F | C | Dm | G | C | G/B | Am | F | Dm | Bm7b5 | E | E7';

const of = (fields) => section({ beats: 3, ...fields });

const verse = (fields) =>
  of({
    name: 'verse',
    chords: VERSE,
    tune: `E5:2 D5:1 | C5:1.5 B4:.5 A4:1 | A4:1 C5:1 E5:1 | B4:3 | C5:2 D5:.5 E5:.5 | F5:2 E5:.5 D5:.5 | D5:1 B4:1 G#4:1 | A4:2 r:1
         | G5:2 E5:1 | D5:1.5 E5:.5 D5:1 | C5:1 A4:1 C5:1 | E5:3 | F5:1 E5:1 D5:1 | C5:1.5 D5:.5 E5:1 | D5:1 C5:.5 B4:.5 G#4:1 | A4:2.5 r:.5`,
    ...fields,
  });

const chorus = (fields) =>
  of({
    name: 'chorus',
    chords: CHORUS,
    lengths: { 16: 2 },
    tune: `E5:1 G5:1.5 A5:.5 | G5:2 D5:1 | E5:1 C5:1 A4:1 | B4:2.5 r:.5 | A4:1 C5:1 F5:1 | E5:2 G5:1 | F5:1 E5:.5 D5:.5 A4:1 | B4:2 r:1
         | E5:1 G5:1.5 A5:.5 | B5:2 G5:1 | A5:1 E5:1 C5:1 | A5:1 G5:.5 F5:.5 C5:1 | F5:1.5 E5:.5 D5:1 | F5:1 D5:1 B4:1 | E5:2 D5:1 | B4:1.5 r:.5`,
    ...fields,
  });

export const song = {
  title: 'The Tarn at Wendlow',
  name: 'tarn-at-wendlow',
  format: 'mp3',
  key: 'A:minor',
  scale: [9, 11, 0, 2, 4, 5, 7, 8],
  cents: 31,
  beatUnits: 4,
  seed: 77031,
  breath: 0.024,
  swing: 0.5,
  leadIn: 0.9,
  sections: [
    of({
      name: 'intro',
      chords: 'Am | Am/G | Fmaj7 | E | Am | Am/G | Fmaj7 | E7',
      tune: 'r:3 | r:3 | r:3 | r:3 | r:3 | r:3 | r:3 | r:3',
      tempo: 106,
      loud: 0.7,
      guitar: 'roll',
      ease: { 8: 0.05 },
    }),
    verse({ tempo: 109, loud: 0.7, guitar: 'roll', lead: 'flute' }),
    verse({
      lengths: { 8: 4 },
      tune: `E5:2 D5:.5 E5:.5 | C5:1.5 B4:.5 A4:1 | A4:1 C5:.5 D5:.5 E5:1 | B4:2.5 r:.5 | C5:2 D5:.5 E5:.5 | F5:1.5 G5:.5 E5:.5 D5:.5 | D5:1 B4:1 G#4:1 | A4:3 r:1
           | G5:2 E5:1 | D5:1 E5:.5 F5:.5 D5:1 | C5:1 A4:1 C5:1 | E5:2.5 r:.5 | F5:1 E5:1 D5:1 | C5:1.5 D5:.5 E5:1 | D5:1 C5:.5 B4:.5 G#4:1 | A4:2 r:1`,
      tempo: 111,
      loud: 0.76,
      guitar: 'roll',
      bass: true,
      lead: 'flute',
      cello: 0.4,
    }),
    chorus({ tempo: 115, loud: 0.86, guitar: 'pluck', bass: true, lead: 'flute', cello: 0.46 }),
    verse({
      tune: `E5:1.5 E5:.5 D5:1 | C5:1 C5:.5 B4:.5 A4:1 | A4:1 C5:1 E5:1 | B4:3 | C5:1 C5:1 D5:.5 E5:.5 | F5:2 E5:.5 D5:.5 | D5:1 B4:1 G#4:.5 B4:.5 | A4:2 r:1
           | G5:1 G5:.5 F5:.5 E5:1 | D5:1.5 E5:.5 D5:1 | C5:1 A4:1 C5:1 | E5:3 | F5:1 E5:1 D5:1 | C5:1 D5:1 E5:1 | D5:1 C5:.5 B4:.5 G#4:1 | A4:2.5 r:.5`,
      tempo: 111.5,
      loud: 0.78,
      guitar: 'roll',
      bass: true,
      lead: 'flute',
      cello: 0.42,
      ease: { 16: 0.05 },
    }),
    of({
      name: 'interlude',
      chords: 'Dm | Am | Dm | Am | F | C/E | Bm7b5 | E7',
      tune: 'D4:1.5 E4:.5 F4:1 | E4:2 C4:1 | F4:1 A4:1 G4:.5 F4:.5 | E4:2.5 r:.5 | F4:1 A4:1 C5:1 | G4:2 E4:1 | D4:1 F4:1 A4:1 | G#4:2 r:1',
      tempo: 107,
      loud: 0.7,
      guitar: 'roll',
      bass: true,
      lead: 'cello',
      ease: { 8: 0.05 },
    }),
    chorus({ tempo: 116, loud: 0.9, guitar: 'pluck', bass: true, lead: 'flute', cello: 0.5 }),
    verse({
      lengths: { 15: 4 },
      tune: `E5:2 D5:1 | C5:1.5 B4:.5 A4:1 | A4:1 C5:1 E5:1 | B4:3 | C5:2 D5:.5 E5:.5 | F5:2 E5:.5 D5:.5 | D5:1 B4:1 G#4:1 | A4:2 r:1
           | G5:2 E5:1 | D5:1.5 E5:.5 D5:1 | C5:1 A4:1 C5:1 | E5:3 | F5:1 E5:1 D5:1 | C5:1.5 D5:.5 E5:1 | D5:1 C5:1 B4:1 G#4:1 | A4:2 r:1`,
      tempo: 110.5,
      loud: 0.76,
      guitar: 'roll',
      bass: true,
      lead: 'flute',
      cello: 0.42,
      ease: { 15: 0.03 },
    }),
    of({
      name: 'outro',
      chords: 'Dm | Am/E | E7 | Am | Dm | E7 | Am | Am',
      tune: 'F5:1 E5:1 D5:1 | C5:1.5 D5:.5 E5:1 | D5:1 C5:.5 B4:.5 G#4:1 | A4:2 r:1 | F5:1 E5:1 D5:1 | B4:1.5 C5:.5 B4:.5 G#4:.5 | A4:3 | r:3',
      tempo: 106,
      loud: 0.68,
      rises: -0.1,
      guitar: 'roll',
      bass: true,
      lead: 'flute',
      cello: 0.36,
      farewell: true,
      ease: { 6: 0.08, 7: 0.1, 8: 0.18 },
    }),
  ],
  band: {
    guitar: { program: 24, volume: 98, pan: 54, reverb: 44, speaks: 0.0105 },
    bass: { program: 32, volume: 80, pan: 66, reverb: 22, speaks: 0.01 },
    flute: { program: 73, volume: 108, pan: 72, reverb: 66, speaks: 0.022 },
    cello: { program: 42, volume: 96, pan: 42, reverb: 60, speaks: 0.03 },
    pad: { program: 42, volume: 92, pan: 40, reverb: 62 },
  },
};
