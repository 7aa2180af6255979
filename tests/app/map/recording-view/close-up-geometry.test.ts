import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { Lock } from '../../../../src/model/locks.js';
import { lockStretch } from '../../../../src/model/lock-stretch.js';
import { closeUp, nearestBeat, numberStep } from '../../../../src/app/map/recording-view/close-up-geometry.js';
import { bars } from '../../../support/notation.js';

const whole = (map: ReturnType<typeof bars>, width: number) => ({ from: map.start, span: map.end - map.start, width });

describe('the close-up', () => {
  it('draws a bar line where each bar starts, and a closing one', () => {
    const map = bars('4 4 2 4');
    const picture = closeUp(map, whole(map, 1400));
    expect(picture.bars.map((mark) => mark.x)).toEqual([0, 400, 800, 1000]);
    expect(picture.bars.map((mark) => mark.width)).toEqual([400, 400, 200, 400]);
    expect(picture.closing).toBe(1400);
  });

  it('marks only irregular bars with a notch that says their beats', () => {
    const map = bars('(1) 4 4 2 4 3.5 4 6 4 4');
    const notches = closeUp(map, whole(map, 3000)).bars.map((mark) => mark.notch);
    expect(notches).toEqual([
      undefined,
      undefined,
      undefined,
      '2',
      undefined,
      '3½',
      undefined,
      '6',
      undefined,
      undefined,
    ]);
  });

  it('keeps every notch however far out it looks', () => {
    const map = bars(Array.from({ length: 300 }, (_, i) => (i % 50 === 7 ? '2' : '4')).join(' '));
    expect(closeUp(map, whole(map, 360)).bars.filter((mark) => mark.notch === '2')).toHaveLength(6);
  });

  it('draws beats only when there is room', () => {
    const map = bars('4 4 4 4');
    expect(closeUp(map, whole(map, 320)).beats).toHaveLength(12);
    expect(closeUp(map, whole(map, 60)).beats).toHaveLength(0);
    expect(closeUp(map, whole(map, 320)).beats.map(({ beat }) => beat)).not.toContain(0);
  });

  it('leaves out what lies outside', () => {
    const map = bars('4 4 4 4 4 4 4 4');
    const picture = closeUp(map, { from: 5, span: 4, width: 400 });
    expect(picture.bars.map((mark) => mark.bar)).toEqual([2, 3, 4]);
    expect(picture.closing).toBeUndefined();
  });

  it('never lets two bar numbers touch, at any zoom', () => {
    const map = bars(Array.from({ length: 300 }, (_, i) => (i % 37 === 5 ? '2' : i % 53 === 9 ? '1' : '4')).join(' '));
    fc.assert(
      fc.property(
        fc.double({ min: 0, max: 500, noNaN: true }),
        fc.double({ min: 1, max: 600, noNaN: true }),
        fc.integer({ min: 320, max: 2500 }),
        (from, span, width) => {
          const labels = closeUp(map, { from, span, width }).bars.filter((mark) => mark.label !== undefined);
          labels.slice(1).forEach((mark, i) => {
            expect(mark.labelX - (labels[i]?.labelX ?? 0)).toBeGreaterThanOrEqual(20);
          });
        },
      ),
    );
  });

  it('thins bar numbers to those that begin phrases', () => {
    expect([200, 30, 29, 10, 4, 0.1].map(numberStep)).toEqual([1, 1, 2, 4, 8, 128]);
    const map = bars('4 4 4 4 4 4 4 4 4');
    const shown = closeUp(map, whole(map, 9 * 12)).bars.flatMap((mark) => mark.label ?? []);
    expect(shown).toEqual(['1', '5', '9']);
  });

  it('says the number of a bar whose line is out of sight at the left edge', () => {
    const map = bars('4 4 4');
    const first = closeUp(map, { from: 1, span: 4, width: 400 }).bars[0];
    expect(first).toMatchObject({ bar: 0, label: '1', labelX: 0, x: -100 });
  });

  it('dashes a bar that a doubt names or whose probability is low', () => {
    const map = bars('4 4 4');
    const doubted = {
      ...map,
      doubts: [{ time: 2, weight: 0.5, kind: 'length' as const, text: '', keep: [], other: [] }],
      spans: map.spans.map((span, i) => (i === 2 && span.kind === 'bar' ? { ...span, confidence: 0.3 } : span)),
    };
    expect(closeUp(doubted, whole(map, 900)).bars.map((mark) => mark.doubtful)).toEqual([false, true, true]);
  });

  it('puts sections, free stretches and the tail where they are', () => {
    const map = bars('-2 Verse: 4 4 | Chorus: 4 ~4 4 -2');
    const picture = closeUp(map, whole(map, 240));
    expect(picture.bands.map(({ name, x, width }) => [name, x, width])).toEqual([
      ['Verse', 20, 80],
      ['Chorus', 100, 120],
    ]);
    expect(picture.stretches.map(({ kind, x, width }) => [kind, x, width])).toEqual([
      ['lead-in', 0, 20],
      ['free', 140, 40],
      ['tail', 220, 20],
    ]);
  });

  it('pins each lock at its time, a stretch at both ends', () => {
    const map = bars('4 4 4 4');
    const locks: Lock[] = [
      { id: 'a', kind: 'downbeat', time: 2 },
      { id: 'b', kind: 'free', from: 4, to: 6 },
      { id: 'c', kind: 'tap', beats: [6, 6.5, 7], downbeats: [] },
    ];
    const pins = closeUp({ ...map, locks }, whole(map, 800)).pins;
    expect(pins.map(({ id, x, to }) => [id, x, to])).toEqual([
      ['a', 200, undefined],
      ['b', 400, 600],
      ['c', 600, 700],
    ]);
    expect(lockStretch({ id: 'd', kind: 'bar-lines', starts: [1, 3, 9] })).toEqual({ from: 1, to: 9 });
  });

  it('finds the line next to the pointer and none beyond reach', () => {
    const map = bars('4 4');
    const scale = whole(map, 800);
    expect(nearestBeat(map, scale, 303, 4)).toEqual({ time: 1.5, bar: 0, beat: 3 });
    expect(nearestBeat(map, scale, 397, 4)).toEqual({ time: 2, bar: 1, beat: 0 });
    expect(nearestBeat(map, scale, 350, 4)).toBeUndefined();
  });
});
