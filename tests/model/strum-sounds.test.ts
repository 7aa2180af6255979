import { describe, expect, it } from 'vitest';
import { planPlay } from '../../src/model/play-plan.js';
import { strokesInBar } from '../../src/model/strum-sounds.js';
import { JOIN } from '../../src/music/timeline.js';
import { TUNINGS } from '../../src/music/tuning.js';
import { bars } from '../support/notation.js';

const plain = bars('Verse: 4:C,F@3 2:G 4');
const strum = { parts: 2, strokes: 'd-du-udu' } as const;
const map = { ...plain, sections: plain.sections.map((section) => ({ ...section, strum })) };
const wish = {
  speed: 1,
  countIn: { bars: 0 },
  spoken: false,
  click: { on: false, parts: 1, firstBarOnly: false },
  strum: TUNINGS[0]!,
} as const;

describe('strums', () => {
  it('lie on the beats of the map, with the chord that sounds there, and a down on each beat of a short bar', () => {
    const brief = strokesInBar(map, 0).map(({ time, stroke, harte }) => `${time} ${stroke} ${harte}`);
    // The F on beat 3 is struck although the pattern rests there.
    expect(brief).toEqual(['0 d C', '0.5 d C', '0.75 u C', '1 d F', '1.25 u F', '1.5 d F', '1.75 u F']);
    expect(strokesInBar(map, 1).map(({ time, stroke }) => `${time} ${stroke}`)).toEqual(['2 D', '2.5 d']);
    expect(strokesInBar(plain, 0)).toEqual([]);
  });

  it('swing with their section', () => {
    const swung = { ...map, sections: map.sections.map((section) => ({ ...section, swing: 2 })) };
    expect(strokesInBar(swung, 0)[2]!.time).toBeCloseTo(0.5 + 1 / 3);
  });

  it('are heard string after string, downwards and upwards, each string cutting itself off', () => {
    const { soundings } = planPlay(map, [{ from: 0, until: 1 }], wish);
    const down = soundings.slice(0, 4);
    // C on a ukulele: g, c, e and the third fret of the a string.
    expect(down.map(({ sound }) => sound)).toEqual(['pluck 67', 'pluck 60', 'pluck 64', 'pluck 72']);
    expect(down.map(({ choke }) => choke)).toEqual([1, 2, 3, 4]);
    expect(down[0]!.at).toBe(JOIN);
    const up = soundings.slice(8, 12);
    expect(up.map(({ sound }) => sound)).toEqual(['pluck 72', 'pluck 64', 'pluck 60', 'pluck 67']);
    expect(soundings.every(({ bus }) => bus === 'strum')).toBe(true);
  });
});
