import { describe, expect, it } from 'vitest';
import { STROKES } from '../../../src/music/strum.js';
import { STROKE_HIGH, STROKE_WIDE, strokeLines, strumShape } from '../../../src/app/kit/strum-geometry.js';

const numbers = (path: string): number[] => [...path.matchAll(/-?\d+(\.\d+)?/g)].map(([text]) => Number(text));

describe('strokes as drawn', () => {
  it('stay in their own room', () => {
    for (const stroke of STROKES) {
      const path = strokeLines(stroke, 20);
      const xs = [...path.matchAll(/[MLH](-?[\d.]+)/g)].map(([, x]) => Number(x));
      expect(Math.min(...xs)).toBeGreaterThanOrEqual(20);
      expect(Math.max(...xs)).toBeLessThanOrEqual(20 + STROKE_WIDE);
      expect(numbers(path).every((n) => n >= 0 && n <= 20 + Math.max(STROKE_WIDE, STROKE_HIGH))).toBe(true);
    }
  });

  it('point where the hand goes, accents like the plain ones but heavier', () => {
    expect(strokeLines('d')).toMatch(/^M4.5 2V14/);
    expect(strokeLines('u')).toMatch(/^M4.5 14V2/);
    expect(strokeLines('D')).toBe(strokeLines('d'));
    const { light, heavy } = strumShape({ parts: 2, strokes: 'dUx-' });
    expect(heavy).toBe(strokeLines('U', STROKE_WIDE));
    expect(light).toContain(strokeLines('d'));
    expect(light).not.toContain(heavy);
  });

  it('keep beats apart', () => {
    const one = strumShape({ parts: 4, strokes: 'dudu' }).width;
    const two = strumShape({ parts: 2, strokes: 'dudu' }).width;
    const four = strumShape({ parts: 1, strokes: 'dudu' }).width;
    expect([one, two - one, four - one]).toEqual([4 * STROKE_WIDE, 5, 15]);
  });
});
