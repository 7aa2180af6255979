import { describe, expect, it } from 'vitest';
import { CLIP_SIZES, clipMarks, type ClipShape } from '../../src/export/clip/clip-marks.js';
import { clipLength, clipScenes } from '../../src/export/clip/clip-scene.js';
import { barsOf, beatTimes } from '../../src/model/map-queries.js';
import { planPlay, type PlayPlan } from '../../src/model/play-plan.js';
import type { SongMap } from '../../src/model/song-map.js';
import { bars } from '../support/notation.js';

const CLICK = { on: true, parts: 1, firstBarOnly: false } as const;

function planOf(map: SongMap, speed = 1, stretches = [{ from: map.start, until: map.end }]): PlayPlan {
  return planPlay(map, stretches, { speed, countIn: { bars: 1 }, spoken: false, click: CLICK });
}

/** Where a moment of the recording lies in the file. */
function fileTime(plan: PlayPlan, time: number): number {
  const piece = plan.pieces.find(({ from, until }) => time >= from && time < until)!;
  return piece.at + (time - piece.from) / piece.rate;
}

describe('the scenes of a clip', () => {
  const map = bars('- Verse: (1):G 4:C,D:7@3 3:G 4 | Chorus: 4:F -');

  it.each([1, 0.5, 1.3])('show the beat that sounds, from its first moment on, at speed %f', (speed) => {
    const plan = planOf(map, speed);
    const sceneAt = clipScenes(map, plan);
    barsOf(map).forEach((bar) =>
      bar.beats.forEach((beat, i) => {
        const at = fileTime(plan, beat);
        expect(sceneAt(at + 1e-4)).toMatchObject({ beat: i, current: { beats: bar.meter.count } });
        expect(sceneAt(at - 1e-4).key).not.toBe(sceneAt(at + 1e-4).key);
      }),
    );
  });

  it('say the section, what is left of it, the next bar and whether it is odd', () => {
    const plan = planOf(map);
    const scene = clipScenes(map, plan)(fileTime(plan, 1.2));
    expect(scene).toMatchObject({
      section: { name: 'Verse', letter: 'A' },
      left: '2 more bars, then Chorus',
      current: {
        name: 'bar 1',
        chords: [
          { text: 'C', beat: 0 },
          { text: 'D7', beat: 2 },
        ],
      },
      next: { name: 'bar 2', odd: '3 beats' },
    });
  });

  it('count in, and follow the order that is played', () => {
    const [, second] = barsOf(map);
    const plan = planOf(map, 1, [
      { from: second!.start, until: second!.start + 2 },
      { from: second!.start, until: second!.start + 2 },
    ]);
    const sceneAt = clipScenes(map, plan);
    expect(plan.counts.map(({ at }) => sceneAt(at + 0.01).count)).toEqual(plan.counts.map(({ number }) => number));
    expect(sceneAt(plan.counts[0]!.at + 0.01).next?.name).toBe('bar 1');
    expect(sceneAt(plan.pieces[0]!.at + 0.5).next?.name).toBe('bar 1');
    expect(sceneAt(plan.pieces[1]!.at + 0.5).next).toBeUndefined();
    expect(clipLength(map, plan)).toBeCloseTo(plan.pieces[1]!.at + 2, 6);
  });

  it('are drawn inside the frame, chords and beats aligned, with nothing on top of another', () => {
    const plan = planOf(map);
    const sceneAt = clipScenes(map, plan);
    for (const shape of Object.keys(CLIP_SIZES) as ClipShape[]) {
      const { width, height } = CLIP_SIZES[shape];
      for (const time of beatTimes(map)) {
        const marks = clipMarks(sceneAt(fileTime(plan, time) + 0.01), shape, 'plain');
        const texts = marks.flatMap((mark) => {
          if (mark.kind !== 'text') return [];
          // Letters are at most as wide as they have room, and stand on their baseline.
          const from =
            mark.align === 'left' ? mark.x : mark.align === 'right' ? mark.x - mark.room : mark.x - mark.room / 2;
          return [{ text: mark.text, from, to: from + mark.room, low: mark.y, high: mark.y - 0.75 * mark.size }];
        });
        for (const one of texts) {
          expect(one.from).toBeGreaterThanOrEqual(0);
          expect(one.to).toBeLessThanOrEqual(width);
          expect(one.high, `${shape} ${one.text}`).toBeGreaterThanOrEqual(0);
          expect(one.low).toBeLessThanOrEqual(height);
          const over = texts.filter(
            (other) =>
              other !== one &&
              other.from < one.to - 1e-6 &&
              other.to > one.from + 1e-6 &&
              other.high < one.low &&
              other.low > one.high,
          );
          expect(
            over.map(({ text }) => text),
            `${shape} ${one.text}`,
          ).toEqual([]);
        }
        const discs = marks.filter((mark) => mark.kind === 'disc');
        expect(discs.filter(({ filled }) => filled)).toHaveLength(1);
      }
    }
  });
});
