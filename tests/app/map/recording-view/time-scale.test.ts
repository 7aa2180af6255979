import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  fitWindow,
  PAGE_TO,
  SHORTEST_SPAN,
  showTime,
  timeToX,
  turnPage,
  xToTime,
  zoomWindow,
} from '../../../../src/app/map/recording-view/time-scale.js';

const number = (min: number, max: number) => fc.double({ min, max, noNaN: true });

describe('the scale of the close-up', () => {
  it('takes a time to a pixel and back', () => {
    fc.assert(
      fc.property(number(0, 600), number(0.5, 600), number(100, 4000), number(0, 1), (from, span, width, share) => {
        const scale = { from, span, width };
        const time = from + share * span;
        expect(xToTime(scale, timeToX(scale, time))).toBeCloseTo(time, 8);
        expect(timeToX(scale, from)).toBe(0);
        expect(timeToX(scale, from + span)).toBeCloseTo(width, 6);
      }),
    );
  });

  it('never leaves the recording and never closes in beyond the nearest look', () => {
    fc.assert(
      fc.property(number(-500, 1500), number(0.01, 3000), number(5, 1200), (from, span, duration) => {
        const fitted = fitWindow({ from, span }, duration);
        expect(fitted.from).toBeGreaterThanOrEqual(0);
        expect(fitted.from + fitted.span).toBeLessThanOrEqual(duration + 1e-9);
        expect(fitted.span).toBeGreaterThanOrEqual(SHORTEST_SPAN);
      }),
    );
  });

  it('keeps what is under the pointer where it is while zooming inside the recording', () => {
    fc.assert(
      fc.property(number(100, 300), number(5, 40), number(0, 1), number(0.4, 2.5), (from, span, share, factor) => {
        const around = from + share * span;
        const zoomed = zoomWindow({ from, span }, factor, around, 600);
        expect(zoomed.span).toBeCloseTo(span * factor, 8);
        expect((around - zoomed.from) / zoomed.span).toBeCloseTo(share, 8);
      }),
    );
  });

  it('shows the whole of a recording at most', () => {
    expect(zoomWindow({ from: 10, span: 20 }, 100, 15, 60)).toEqual({ from: 0, span: 60 });
  });

  it('stays when a moment is in sight and goes to it when it is not', () => {
    const window = { from: 20, span: 10 };
    expect(showTime(window, 25, 0.3, 100)).toBe(window);
    expect(showTime(window, 50, 0.3, 100)).toEqual({ from: 47, span: 10 });
    expect(showTime(window, 1, 0.3, 100)).toEqual({ from: 0, span: 10 });
  });

  it('turns the page near the right edge only', () => {
    const window = { from: 20, span: 10 };
    expect(turnPage(window, 28.7, 100)).toBe(window);
    expect(turnPage(window, 28.9, 100).from).toBeCloseTo(28.9 - PAGE_TO * 10, 9);
    expect(turnPage({ from: 90, span: 10 }, 99.5, 100)).toEqual({ from: 90, span: 10 });
  });
});
