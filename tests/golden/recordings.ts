import type { GoldenRecording, MadeSource, Source } from './sources.js';

const made = (seed: number, more: Omit<MadeSource, 'by' | 'seed'> = {}): MadeSource => ({
  by: 'made',
  seed,
  maxBars: 36,
  ...more,
});
const song = (seed: number, seconds = 50): Source => ({ by: 'training', generator: 'songs', seed, seconds });

export const RECORDINGS: readonly GoldenRecording[] = [
  {
    id: 'kites-over-brennick',
    about: 'Bundled. 4/4 at 91 to 101 beats a minute with a pickup, a bar of 3 and one of 6',
    from: { by: 'sample', file: 'kites-over-brennick.ogg' },
    edits: [
      [{ do: 'beats', at: 30, beats: 3 }],
      [
        { do: 'beat 1', at: 60, beat: 3 },
        { do: 'shift', at: 120, by: 1 },
        { do: 'lift', which: 'oldest' },
      ],
      [{ do: 'beats', at: 80, beats: 3 }, { do: 'half' }, { do: 'double' }],
      [
        { do: 'accept', at: 70 },
        { do: 'beat 1', at: 70, beat: 3 },
        { do: 'beat 1', at: 70, beat: 3, lifting: true },
      ],
      [
        { do: 'name', from: 12, to: 30, name: 'Strophe' },
        { do: 'chords', at: 40, chords: ['D', 'A/3'] },
        { do: 'refuse section', at: 115 },
        { do: 'beats', at: 38, beats: 4 },
      ],
    ],
  },
  {
    id: 'tarn-at-wendlow',
    about: 'Bundled. 3/4 at 103 to 117, without drums, tuned sharp; two bars of 4 and two of 2',
    from: { by: 'sample', file: 'tarn-at-wendlow.mp3' },
    edits: [
      [
        { do: 'beats', at: 50, beats: 4 },
        { do: 'beats', at: 100, beats: 2 },
      ],
      [{ do: 'meter', meter: '6/8' }],
      [
        { do: 'tap', from: 40, to: 52, bars: true },
        { do: 'free', from: 90, to: 97 },
      ],
      [
        { do: 'accept', at: 60 },
        { do: 'accept', at: 61.7 },
        { do: 'beats', at: 60, beats: 2 },
        { do: 'beat 1', at: 61.7, beat: 2, lifting: true },
      ],
      [
        { do: 'take', doubt: 1 },
        { do: 'keep', doubt: 1 },
      ],
    ],
  },
  {
    id: 'ten-minutes',
    about: 'The first song again and again up to ten minutes, cut off in the middle',
    from: { by: 'repeat', of: 'kites-over-brennick', seconds: 600 },
    edits: [
      [
        { do: 'beats', at: 300, beats: 2 },
        { do: 'edge', edge: 'end', at: 590 },
      ],
      [{ do: 'half', from: 200, to: 400 }],
    ],
  },
  {
    id: 'made-slow',
    about: '4/4 at 72 without drums, in minor, noise over one pass: half or double is a toss-up',
    from: made(7019),
    edits: [
      [{ do: 'double' }, { do: 'beats', at: 40, beats: 6 }],
      [{ do: 'half' }],
      [
        { do: 'take', doubt: 1 },
        { do: 'lift', which: 'newest' },
      ],
      [
        { do: 'free', from: 0, to: 8 },
        { do: 'beats', at: 60, beats: 5 },
      ],
    ],
  },
  {
    id: 'made-fast',
    about: '4/4 at 164, one bar of another length, 20 cents sharp',
    from: made(7009),
    edits: [
      [{ do: 'half' }],
      [{ do: 'half' }, { do: 'double' }, { do: 'double' }],
      [{ do: 'shift', by: 1 }],
      [
        { do: 'no beat', at: 20, beat: 2 },
        { do: 'beat between', at: 30 },
        { do: 'not beat 1', at: 36 },
      ],
    ],
  },
  {
    id: 'made-waltz',
    about: '3/4 at 146 without drums, with reverb',
    from: made(7012),
    edits: [
      [
        { do: 'beats', at: 20, beats: 4 },
        { do: 'beats', at: 30, beats: 2 },
      ],
      [{ do: 'meter', meter: '6/8', from: 10, to: 30 }],
      [{ do: 'meter', meter: '4/4' }],
      [
        { do: 'shift', at: 15, by: -1 },
        { do: 'shift', at: 30, by: 1 },
      ],
    ],
  },
  {
    id: 'made-six-eight',
    about: '6/8 at 64 dotted crotchets a minute',
    from: made(7015),
    edits: [
      [{ do: 'meter', meter: '3/4' }],
      [{ do: 'double' }, { do: 'meter', meter: '6/8' }],
      [{ do: 'beats', at: 30, beats: 3 }],
      [
        { do: 'bar meter', at: 40, meter: '9/8' },
        { do: 'move beat', at: 20, beat: 2, by: 0.03 },
      ],
    ],
  },
  {
    id: 'made-five-four',
    about: '5/4 at 156',
    from: made(7018),
    edits: [
      [{ do: 'meter', meter: '5/4 (3+2)' }],
      [
        { do: 'meter', meter: '5/4' },
        { do: 'beats', at: 20, beats: 4 },
      ],
      [{ do: 'take', doubt: 1 }],
    ],
  },
  {
    id: 'made-no-drums',
    about: '4/4 at 156 without drums, three bars of another length, reverb, 14 cents flat',
    from: made(7027),
    edits: [
      [
        { do: 'beats', at: 15, beats: 2 },
        { do: 'beats', at: 35, beats: 6 },
      ],
      [{ do: 'tap', from: 20, to: 34 }],
      [
        { do: 'tap', from: 20, to: 34, bars: true },
        { do: 'beats', at: 26, beats: 3 },
        { do: 'lift', which: 'all' },
      ],
    ],
  },
  {
    id: 'made-irregular',
    about: '4/4 at 152, four bars of another length',
    from: made(7034),
    edits: [
      [
        { do: 'take', doubt: 1 },
        { do: 'take', doubt: 1 },
        { do: 'take', doubt: 2 },
      ],
      [
        { do: 'keep', doubt: 1 },
        { do: 'keep', doubt: 1 },
      ],
      [
        { do: 'shift', at: 25, by: 1 },
        { do: 'beats', at: 40, beats: 3 },
      ],
    ],
  },
  {
    id: 'planted-length',
    about: 'A bar of another length in one pass, 4/4 at 145 in minor',
    from: made(7104, { maxBars: 44, plant: 'length' }),
    edits: [
      [{ do: 'beats', at: 30, beats: 2 }],
      [
        { do: 'beats', at: 30, beats: 2 },
        { do: 'accept', at: 45 },
        { do: 'lift', which: 'oldest' },
      ],
    ],
  },
  {
    id: 'planted-chord',
    about: 'Another chord in one pass, 4/4 at 163 without drums',
    from: made(7101, { maxBars: 44, plant: 'chord' }),
    edits: [
      [{ do: 'chords', at: 20, chords: ['C', 'G:7', 'A:min'] }, { do: 'half' }],
      [
        { do: 'refuse section', at: 25 },
        { do: 'shift', by: 1 },
      ],
    ],
  },
  {
    id: 'planted-bar',
    about: 'A bar more or less in one pass, 4/4 at 118',
    from: made(7102, { maxBars: 44, plant: 'bar' }),
    edits: [
      [{ do: 'beat 1', at: 20, beat: 2 }],
      [
        { do: 'name', from: 10, to: 24, name: 'Ref' },
        { do: 'beats', at: 12, beats: 5 },
        { do: 'beats', at: 40, beats: 5 },
      ],
    ],
  },
  {
    id: 'planted-key',
    about: 'One pass in another key, 4/4 at 83, one bar of another length',
    from: made(7111, { maxBars: 44, plant: 'key' }),
    edits: [[{ do: 'beats', at: 25, beats: 3 }], [{ do: 'double' }]],
  },
  {
    id: 'cut-out',
    about: 'Beats taken out of a song in 4/4 at 121',
    from: made(7050, { cut: 0 }),
    edits: [
      [{ do: 'take', doubt: 1 }],
      [
        { do: 'beats', at: 30, beats: 4 },
        { do: 'beats', at: 50, beats: 3 },
      ],
    ],
  },
  {
    id: 'cut-repeated',
    about: 'Beats played once more in a song in 4/4 at 117',
    from: made(7030, { cut: 3 }),
    edits: [[{ do: 'take', doubt: 1 }], [{ do: 'shift', at: 30, by: 1 }]],
  },
  {
    id: 'pickup',
    about: 'A song in 4/4 at 113 that begins with its fourth beat',
    from: made(7042, { fromBeat: 3 }),
    edits: [
      [{ do: 'beats', at: 0, beats: 4 }],
      [
        { do: 'beat 1', at: 0 },
        { do: 'beats', at: 20, beats: 3 },
      ],
      [{ do: 'edge', edge: 'start', at: 0.3 }],
    ],
  },
  {
    id: 'damaged',
    about: 'A song in 4/4 at 107 with noise, a narrow band or reverb',
    from: made(7032, { damage: 12 }),
    edits: [
      [
        { do: 'beats', at: 30, beats: 3 },
        { do: 'beats', at: 50, beats: 5 },
      ],
      [{ do: 'half' }],
    ],
  },
  {
    id: 'seven-eight',
    about: '7/8, beats at 156 a minute',
    from: song(9400008),
    edits: [
      [{ do: 'meter', meter: '7/8 (2+2+3)' }],
      [
        { do: 'meter', meter: '7/8' },
        { do: 'beats', at: 25, beats: 6 },
      ],
      [{ do: 'half' }],
    ],
  },
  {
    id: 'twelve-eight',
    about: '12/8 at 66, heavy, sung',
    from: song(9400027),
    edits: [
      [{ do: 'meter', meter: '12/8' }],
      [
        { do: 'beats', at: 22, beats: 2 },
        { do: 'beat 1', at: 33, beat: 3 },
      ],
    ],
  },
  {
    id: 'nine-eight',
    about: '9/8 at 110',
    from: song(9400041),
    edits: [[{ do: 'meter', meter: '9/8' }], [{ do: 'beats', at: 20, beats: 2 }]],
  },
  {
    id: 'ballad',
    about: 'A ballad in 6/8 at 46 without drums',
    from: song(9400007),
    edits: [
      [{ do: 'double' }],
      [
        { do: 'take', doubt: 1 },
        { do: 'beats', at: 25, beats: 3 },
      ],
      [{ do: 'tap', from: 10, to: 30, bars: true }],
    ],
  },
  {
    id: 'quiet-start',
    about: '3/4 at 75 with a free, quiet beginning',
    from: song(9400025),
    edits: [
      [{ do: 'free', from: 0, to: 9 }],
      [
        { do: 'edge', edge: 'start', at: 8 },
        { do: 'beats', at: 30, beats: 4 },
      ],
    ],
  },
  {
    id: 'form-four',
    about: 'Seven sections in 4/4 at 143 with five differences between passes',
    from: { by: 'training', generator: 'form', seed: 4101 },
    edits: [[{ do: 'beats', at: 30, beats: 3 }], [{ do: 'half' }, { do: 'beat 1', at: 40, beat: 2 }]],
  },
  {
    id: 'form-three',
    about: 'Six sections in 3/4 at 96 with four differences between passes',
    from: { by: 'training', generator: 'form', seed: 4110 },
    edits: [
      [{ do: 'shift', by: 1 }],
      [
        { do: 'beats', at: 45, beats: 2 },
        { do: 'name', from: 45, to: 60, name: 'Coda' },
      ],
    ],
  },
  {
    id: 'drift',
    about: '4/4 from 100 to 128 beats a minute and back, the last bars slowing down',
    from: { by: 'band', band: 'drift' },
    edits: [
      [{ do: 'half' }],
      [
        { do: 'half', from: 20, to: 50 },
        { do: 'double', from: 20, to: 50 },
      ],
      [{ do: 'beats', at: 60, beats: 3 }],
    ],
  },
  {
    id: 'free',
    about: 'Free, 4/4, free, 3/4 and a held chord',
    from: { by: 'band', band: 'free' },
    edits: [
      [
        { do: 'free', from: 0, to: 9.6 },
        { do: 'free', from: 36, to: 46 },
      ],
      [
        { do: 'take', doubt: 1 },
        { do: 'take', doubt: 1 },
      ],
      [{ do: 'meter', meter: '3/4', from: 46, to: 70 }],
    ],
  },
  {
    id: 'silence',
    about: 'Twelve seconds of silence',
    from: { by: 'band', band: 'silence' },
    edits: [[{ do: 'beats', at: 4, beats: 3 }], [{ do: 'free', from: 2, to: 8 }]],
  },
  {
    id: 'clicks',
    about: 'Bare clicks at 120, every fourth an accent',
    from: { by: 'band', band: 'clicks' },
    edits: [[{ do: 'beats', at: 8, beats: 3 }], [{ do: 'half' }], [{ do: 'double' }]],
  },
  {
    id: 'short',
    about: 'Six seconds',
    from: { by: 'band', band: 'short' },
    edits: [
      [
        { do: 'beats', at: 2, beats: 2 },
        { do: 'beats', at: 4.5, beats: 32 },
      ],
      [{ do: 'shift', by: 1 }],
      [{ do: 'half' }],
    ],
  },
];
