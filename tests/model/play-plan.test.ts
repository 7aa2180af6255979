import { describe, expect, it } from 'vitest';
import { arrangementStretches, barsStretch, itemOf, ladderSpeed, sectionStretch } from '../../src/model/play-order.js';
import { planPlay, sharesOf, type PlayWish } from '../../src/model/play-plan.js';
import { JOIN, pieceEnd, placeAt, type Sounding } from '../../src/music/timeline.js';
import { TUNINGS } from '../../src/music/tuning.js';
import { chooseShape, setFingering } from '../../src/model/edits/fingering.js';
import type { SongMap } from '../../src/model/song-map.js';
import { bars } from '../support/notation.js';

const WISH: PlayWish = {
  speed: 1,
  countIn: { bars: 0 },
  spoken: false,
  click: { on: true, parts: 1, firstBarOnly: false },
};
const wish = (part: Partial<PlayWish>): PlayWish => ({ ...WISH, ...part });
const click = (part: Partial<PlayWish['click']>) => wish({ click: { ...WISH.click, ...part } });
const said = (soundings: readonly Sounding[]) =>
  soundings.map(({ at, sound }) => `${Math.round(at * 1000) / 1000} ${sound}`);

describe('a plan', () => {
  it('puts a click on every beat of the map, at the chosen speed, and marks irregular bars', () => {
    const map = bars('4 2 4');
    const plan = planPlay(map, [{ from: 0, until: 5 }], wish({ speed: 0.5 }));
    expect(plan.pieces).toEqual([{ at: JOIN, from: 0, until: 5, rate: 0.5 }]);
    expect(said(plan.soundings.slice(0, 7))).toEqual([
      '0.012 one',
      '1.012 beat',
      '2.012 beat',
      '3.012 beat',
      '4.012 odd',
      '5.012 beat',
      '6.012 one',
    ]);
    expect(plan.end).toBeCloseTo(JOIN + 10);
  });

  it('counts in the bar of the place where playing starts, at its tempo and speed', () => {
    const map = bars('4 3 4');
    const plan = planPlay(map, [{ from: 2, until: 5.5 }], wish({ countIn: { bars: 1 }, speed: 0.5 }));
    expect(plan.counts).toEqual([0, 1, 2].map((i) => ({ at: i, until: i + 1, number: i + 1, of: 3 })));
    expect(said(plan.soundings.slice(0, 4))).toEqual(['0 count one', '1 count', '2 count', '3 odd']);
    expect(plan.pieces[0]!.at).toBe(3);
  });

  it('counts a pickup so that it falls where it should', () => {
    const plan = planPlay(bars('(1) 4 4'), [{ from: 0, until: 4.5 }], wish({ countIn: { bars: 1 } }));
    expect(plan.counts.map(({ number }) => number)).toEqual([1, 2, 3, 4, 1, 2, 3]);
    expect(plan.pieces[0]!.at).toBeCloseTo(3.5);
  });

  it('counts up to the first beat where playing starts before it, what sounds there being heard under the count', () => {
    const counted = (lead: number) =>
      planPlay(bars(`-${lead} (2) 4`), [{ from: 0, until: 6 }], wish({ countIn: { bars: 1 }, speed: 0.5 }));
    const short = counted(1.5);
    expect(short.counts.map(({ number }) => number)).toEqual([1, 2, 3, 4, 1, 2]);
    expect(short.counts.map(({ at }) => at)).toEqual([0, 1, 2, 3, 4, 5]);
    expect(short.pieces[0]).toMatchObject({ at: 4.5, from: 0 });
    expect(short.soundings.find(({ bus }) => bus === 'click')!.at).toBe(6);
    const long = counted(8);
    expect(long.pieces[0]!.at).toBeCloseTo(JOIN);
    expect(long.counts.map(({ at }) => at - JOIN)).toEqual([2, 3, 4, 5, 6, 7].map((at) => expect.closeTo(at)));
    expect(long.soundings.every(({ bus }, i) => bus === (i < 6 ? 'count' : 'click'))).toBe(true);
  });

  it('counts a given number of beats up to the place, and from within a bar the beats before it', () => {
    const map = bars('4 4');
    const beats = planPlay(map, [{ from: 2, until: 4 }], wish({ countIn: { beats: 6 } }));
    expect(beats.counts.map(({ number }) => number)).toEqual([3, 4, 1, 2, 3, 4]);
    const within = planPlay(map, [{ from: 1, until: 4 }], wish({ countIn: { bars: 1 } }));
    expect(within.counts.map(({ number }) => number)).toEqual([1, 2, 3, 4, 1, 2]);
  });

  it('speaks the numbers on request', () => {
    const plan = planPlay(bars('3 3'), [{ from: 0, until: 3 }], wish({ countIn: { bars: 1 }, spoken: true }));
    expect(said(plan.soundings.slice(0, 3))).toEqual(['0 say 1', '0.5 say 2', '1 say 3']);
  });

  it('clicks the parts of a beat, swung where the section is, and only those that a half beat has room for', () => {
    const map = bars('4 3.5 4');
    const swung = { ...map, sections: map.sections.map((section) => ({ ...section, swing: 2 })) };
    const plan = planPlay(swung, [{ from: 2, until: 3.75 }], click({ parts: 2 }));
    expect(said(plan.soundings)).toEqual([
      '0.012 odd',
      '0.345 part',
      '0.512 beat',
      '0.845 part',
      '1.012 beat',
      '1.345 part',
      '1.512 beat',
    ]);
    expect(sharesOf(4, 1)).toEqual([0.25, 0.5, 0.75]);
    expect(sharesOf(3, 2)).toEqual([1 / 3, 2 / 3]);
  });

  it('strums in tune with a recording that is moved or lies off A440', () => {
    const plain = bars('4:C');
    const map = { ...plain, sections: [{ ...plain.sections[0]!, strum: { parts: 1 as const, strokes: 'd---' } }] };
    const notes = (strumShift: number) =>
      planPlay(map, [{ from: 0, until: 2 }], wish({ strum: TUNINGS[0]!, strumShift }))
        .soundings.filter(({ sound }) => sound.startsWith('pluck'))
        .map(({ sound }) => Number(sound.split(' ')[1]));
    expect(notes(0)).toHaveLength(4);
    expect(notes(2.28)).toEqual(notes(0).map((note) => note + 2.28));
  });

  it('strums the shapes that are shown, at the pitch that sounds', () => {
    const plain = bars('4:D');
    const map = { ...plain, sections: [{ ...plain.sections[0]!, strum: { parts: 1 as const, strokes: 'd---' } }] };
    const notes = (shown: SongMap) =>
      planPlay(shown, [{ from: 0, until: 2 }], wish({ strum: TUNINGS[0]! }))
        .soundings.filter(({ sound }) => sound.startsWith('pluck'))
        .map(({ sound }) => Number(sound.split(' ')[1]));
    // D is 2220 on g4 C4 E4 A4; behind a capo on the second fret it is C, 0003, two semitones higher.
    expect(notes(map)).toEqual([69, 62, 66, 69]);
    expect(notes(setFingering(map, { capo: 2 }))).toEqual([69, 62, 66, 74]);
    const high = chooseShape(map, '67 60 64 69', 'D', [7, 6, 5, 5]);
    expect(notes(high)).toEqual([74, 66, 69, 74]);
  });

  it('clicks in the first bar only, or in some bars of every few', () => {
    const map = bars('4 4 4 4 4');
    const all = [{ from: 0, until: 10 }];
    expect(planPlay(map, all, click({ firstBarOnly: true })).soundings).toHaveLength(4);
    const dropped = planPlay(map, all, click({ dropOut: { sound: 1, of: 2 } }));
    expect(dropped.soundings.map(({ at }) => Math.floor((at - JOIN) / 2 + 1e-9))).toEqual([
      ...[0, 0, 0, 0],
      ...[2, 2, 2, 2],
      ...[4, 4, 4, 4],
    ]);
    const later = planPlay(map, all, click({ firstBarOnly: true }), { barsBefore: 3 });
    expect([later.soundings.length, later.bars]).toEqual([0, 8]);
  });

  it('joins stretches at their bar lines, and keeps one flow where they follow one another', () => {
    const map = bars('4 4 | 4 4 | 4 4');
    const [a, b, c] = [0, 1, 2].map((i) => sectionStretch(map, i)!);
    const plan = planPlay(map, [a!, b!, a!, c!], WISH);
    expect(plan.pieces).toEqual([
      { at: JOIN, from: 0, until: 8, rate: 1 },
      { at: JOIN + 8, from: 0, until: 4, rate: 1 },
      { at: JOIN + 12, from: 8, until: 12, rate: 1 },
    ]);
    const beats = plan.soundings.map(({ at }) => at);
    for (const [i, at] of beats.entries()) if (i > 0) expect(at - beats[i - 1]!).toBeCloseTo(0.5);
    expect(pieceEnd(plan.pieces.at(-1)!)).toBe(plan.end);
    expect(placeAt(plan.pieces, JOIN + 9)).toBeCloseTo(1);
  });

  it('refuses a speed of nothing', () => {
    expect(() => planPlay(bars('4'), [{ from: 0, until: 2 }], wish({ speed: 0 }))).toThrow(/speed of 0/);
  });
});

describe('an arrangement', () => {
  const map = bars('A: 4 4 | B: 4 4 | C: 4 4');
  const item = (section: number, early?: number) => ({ ...itemOf(map, section)!, early });

  it('never cuts a pickup: it takes the place of the last beats before', () => {
    const stretches = arrangementStretches(map, [item(2), item(1, 1)]);
    expect(stretches).toEqual([
      { from: 8, until: 11.5 },
      { from: 3.5, until: 8 },
    ]);
  });

  it('takes the pickup bar of the song for early', () => {
    const song = bars('A: (1) 4 4 | B: 4 4');
    const stretches = arrangementStretches(song, [itemOf(song, 1)!, itemOf(song, 0)!]);
    expect(stretches).toEqual([
      { from: 4.5, until: 8 },
      { from: 0, until: 4.5 },
    ]);
  });

  it('cuts nothing where a section follows in the recording itself, and leaves out what is gone', () => {
    expect(arrangementStretches(map, [item(0), item(1, 2), { time: 99 }])).toEqual([
      { from: 0, until: 4 },
      { from: 4, until: 8 },
    ]);
  });
});

describe('a loop', () => {
  it('runs over whole bars', () => {
    expect(barsStretch(bars('4 2 4'), 1, 2)).toEqual({ from: 2, until: 5 });
    expect(barsStretch(bars('4'), 3, 4)).toBeUndefined();
  });

  it('climbs in equal ratios from the first round to the last', () => {
    const speeds = [0, 1, 2, 3, 7].map((round) => ladderSpeed({ from: 0.5, to: 1, rounds: 4 }, round));
    expect(speeds[1]! / speeds[0]!).toBeCloseTo(speeds[2]! / speeds[1]!);
    expect([speeds[0], speeds[3], speeds[4]]).toEqual([0.5, 1, 1]);
  });
});
