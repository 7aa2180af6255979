// "Kites over Brennick": D major, 4/4, a small band. The verse comes back three times, each time changed: the second ends
// its first line a beat early, the third waits a bar there, the fourth goes to G where the others go to B minor. The
// bridge ends on a bar of 6 before the last chorus.
import { section } from './score.mjs';

const VERSE = 'D | D/F# G | D | A | Bm | F#m G | Em A | D';
const CHORUS = 'G | A | F#m | Bm | G | A | D/F# G | Asus4 A';
const INTRO = 'D | G | D | Asus4 A';

const of = (fields) => section({ beats: 4, ...fields });

const chorus = (fields) =>
  of({
    name: 'chorus',
    chords: CHORUS,
    tune: `D5:1.5 B4:.5 D5:1 E5:1 | C#5:2 r:.5 C#5:.5 D5:.5 E5:.5 | F#5:1.5 E5:.5 C#5:1 A4:1 | B4:3 A4:.5 B4:.5
         | D5:1.5 B4:.5 D5:1 G5:1 | E5:2 r:.5 E5:.5 F#5:.5 E5:.5 | D5:1.5 A4:.5 B4:1 D5:1 | E5:2 C#5:1 r:1`,
    ...fields,
  });

export const song = {
  title: 'Kites over Brennick',
  name: 'kites-over-brennick',
  format: 'ogg',
  key: 'D:major',
  scale: [2, 4, 6, 7, 9, 11, 1],
  cents: 0,
  beatUnits: 4,
  seed: 20240611,
  breath: 0.021,
  swing: 0.535,
  leadIn: 0.7,
  pickup: {
    beats: 2,
    usual: 4,
    chords: [{ name: 'D', at: 0, length: 2 }],
    tune: [
      { name: 'A4', at: 0, length: 1 },
      { name: 'B4', at: 1, length: 0.5 },
      { name: 'C#5', at: 1.5, length: 0.5 },
    ],
  },
  sections: [
    of({
      name: 'intro',
      chords: INTRO,
      tune: 'D5:2 A4:2 | B4:1 A4:.5 G4:.5 D4:2 | F#4:1 A4:1 D5:1.5 B4:.5 | A4:3 r:1',
      tempo: 92,
      loud: 0.62,
      guitar: 'travis',
      lead: 'flute',
      bassFrom: 2,
    }),
    of({
      name: 'verse',
      chords: VERSE,
      tune: `F#4:1 A4:1 B4:.5 A4:1.5 | A4:.5 B4:.5 D5:1 B4:2 | A4:1 F#4:.5 G4:.5 A4:1 F#4:1 | E4:3 r:1
           | F#4:1 B4:1 D5:1.5 C#5:.5 | C#5:1 A4:1 B4:2 | G4:.5 A4:.5 B4:1 A4:1 C#5:1 | D5:3 r:1`,
      tempo: 93.5,
      loud: 0.66,
      guitar: 'travis',
      bass: true,
      drums: 'shaker',
      lead: 'clarinet',
    }),
    of({
      name: 'verse',
      chords: VERSE,
      lengths: { 4: 3 },
      tune: `F#4:.5 F#4:.5 A4:1 B4:.5 A4:1.5 | A4:.5 B4:.5 D5:1 B4:1 A4:1 | A4:1 F#4:.5 G4:.5 A4:1 F#4:1 | E4:2 r:1
           | F#4:1 B4:1 D5:1 E5:.5 C#5:.5 | C#5:1 A4:1 B4:2 | G4:.5 A4:.5 B4:1 A4:.5 B4:.5 C#5:1 | D5:2.5 r:.5 A4:.5 B4:.5`,
      tempo: 95,
      loud: 0.74,
      guitar: 'strum',
      bass: true,
      drums: 'soft',
      fill: true,
      lead: 'clarinet',
    }),
    chorus({ tempo: 97, loud: 0.86, guitar: 'strum', ukulele: true, bass: true, drums: 'full', lead: 'clarinet' }),
    of({
      name: 'verse',
      chords: 'D | D/F# G | D | A | A7 | Bm | F#m G | Em A | D',
      tune: `F#4:1 A4:.5 A4:.5 B4:.5 A4:1.5 | A4:.5 B4:.5 D5:1 B4:2 | A4:.5 A4:.5 F#4:.5 G4:.5 A4:1 F#4:1 | E4:3 r:1 | r:2 E4:1 E4:1
           | F#4:1 B4:1 D5:1.5 C#5:.5 | C#5:.5 B4:.5 A4:1 B4:2 | G4:.5 A4:.5 B4:1 A4:1 C#5:1 | D5:2.5 r:.5 A4:.5 B4:.5`,
      tempo: 95.5,
      loud: 0.76,
      guitar: 'strum',
      bass: true,
      drums: 'soft',
      fill: true,
      lead: 'clarinet',
      pad: 0.3,
    }),
    chorus({
      tempo: 97.5,
      loud: 0.88,
      guitar: 'strum',
      ukulele: true,
      bass: true,
      drums: 'full',
      lead: 'clarinet',
      harmony: true,
      pad: 0.36,
    }),
    of({
      name: 'interlude',
      chords: INTRO,
      tune: 'D5:1 F#5:1 A5:1.5 F#5:.5 | G5:1 F#5:.5 E5:.5 D5:2 | F#5:1 E5:.5 D5:.5 A4:1 B4:1 | D5:1 E5:2 r:1',
      tempo: 95,
      loud: 0.7,
      guitar: 'travis',
      ukulele: true,
      bass: true,
      drums: 'shaker',
      lead: 'flute',
      ease: { 4: 0.04 },
    }),
    of({
      name: 'verse',
      chords: 'D | D/F# G | D | A | G | F#m G | Em A | D',
      tune: `F#4:1 A4:1 B4:.5 A4:1.5 | A4:.5 B4:.5 D5:1 B4:1.5 A4:.5 | A4:1 F#4:.5 G4:.5 A4:1 F#4:1 | E4:3 r:1
           | G4:1 B4:1 D5:1.5 C#5:.5 | C#5:1 A4:1 B4:2 | G4:.5 A4:.5 B4:1 A4:1 C#5:1 | D5:3 r:1`,
      tempo: 92.5,
      loud: 0.62,
      guitar: 'travis',
      bass: true,
      lead: 'clarinet',
      pad: 0.26,
    }),
    of({
      name: 'bridge',
      chords: 'Bm | F#m | G | D | Em | Bm | C | A',
      lengths: { 8: 6 },
      tune: `F#5:2 D5:1 B4:1 | C#5:1 A4:1 C#5:2 | B4:1 D5:1 G5:1.5 F#5:.5 | F#5:3 r:1
           | E5:2 G5:1 F#5:1 | F#5:1 D5:1 B4:2 | C5:1 E5:1 G5:1 E5:1 | E5:3 r:1 A4:1 B4:.5 C#5:.5`,
      tempo: 94.5,
      loud: 0.78,
      rises: 0.14,
      guitar: 'strum',
      bass: true,
      drums: 'soft',
      fill: true,
      lead: 'clarinet',
      pad: 0.4,
    }),
    chorus({
      tempo: 98.5,
      loud: 0.92,
      guitar: 'strum',
      ukulele: true,
      bass: true,
      drums: 'full',
      fill: true,
      lead: 'clarinet',
      harmony: true,
      pad: 0.4,
    }),
    of({
      name: 'outro',
      chords: 'G | A | D/F# G | Asus4 A | D | D',
      tune: 'D5:1.5 B4:.5 D5:1 E5:1 | C#5:2 A4:2 | D5:1.5 A4:.5 B4:1 D5:1 | E5:2 C#5:2 | D5:4 | r:4',
      tempo: 94,
      loud: 0.74,
      rises: -0.16,
      guitar: 'strum',
      bass: true,
      drumsUntil: 4,
      drums: 'soft',
      lead: 'clarinet',
      harmony: true,
      pad: 0.32,
      farewell: true,
      ease: { 4: 0.06, 5: 0.12, 6: 0.2 },
    }),
  ],
  // bank, program, volume, pan, reverb: General MIDI numbers from 0.
  band: {
    guitar: { program: 25, volume: 96, pan: 44, reverb: 34, speaks: 0.009 },
    ukulele: { bank: 8, program: 24, volume: 80, pan: 92, reverb: 36, speaks: 0.009 },
    bass: { program: 33, volume: 84, pan: 62, reverb: 12, speaks: 0.026 },
    drums: { program: 0, volume: 114, pan: 64, reverb: 36 },
    clarinet: { program: 71, volume: 112, pan: 68, reverb: 58, speaks: 0.026 },
    flute: { program: 73, volume: 106, pan: 74, reverb: 60, speaks: 0.022 },
    harmony: { program: 73, volume: 90, pan: 84, reverb: 62, speaks: 0.022 },
    pad: { program: 49, volume: 88, pan: 58, reverb: 70 },
  },
};
