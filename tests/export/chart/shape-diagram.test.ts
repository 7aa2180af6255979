import { DOMParser } from '@xmldom/xmldom';
import { describe, expect, it } from 'vitest';
import { diagramName, shapeDiagram, shapeSvg } from '../../../src/export/chart/shape-diagram.js';
import { shapeFromFrets, type Shape } from '../../../src/music/shapes.js';

const shape = (...frets: number[]): Shape => shapeFromFrets(frets)!;
/** Centres of the dots, as [string from the left, fret from the top], both from 1. */
function dots(of: Shape, leftHanded = false): string[] {
  const { body } = shapeDiagram(of, { leftHanded, ink: 'black' });
  return [...body.matchAll(/<circle cx="([\d.]+)" cy="([\d.]+)" r="3\.7"/g)]
    .map(([, x, y]) => `${(Number(x) - 11) / 10 + 1}/${(Number(y) - 10) / 12 + 0.5}`)
    .sort();
}

describe('a chord diagram', () => {
  it('has a dot where each finger presses, the nut on top', () => {
    expect(dots(shape(0, 2, 1, 2))).toEqual(['2/2', '3/1', '4/2']);
    expect(shapeDiagram(shape(0, 2, 1, 2)).body).not.toContain('<text');
  });

  it('is mirrored for a left-handed player', () => {
    expect(dots(shape(0, 0, 0, 3))).toEqual(['4/3']);
    expect(dots(shape(0, 0, 0, 3), true)).toEqual(['1/3']);
  });

  it('says at which fret it begins where it lies high', () => {
    const { body } = shapeDiagram(shape(5, 7, 6, 7));
    expect(body).toMatch(/<text[^>]*>5<\/text>/);
    expect(dots(shape(5, 7, 6, 7))).toEqual(['1/1', '2/3', '3/2', '4/3']);
  });

  it('draws a barre in one stroke, open strings as rings, silent ones as crosses', () => {
    const barred = shape(4, 2, 2, 2);
    expect(barred.barre).toEqual({ fret: 2, from: 1, to: 3 });
    const { body } = shapeDiagram(barred);
    expect(body.match(/stroke-linecap="round"/g)).toHaveLength(1);
    expect(dots(barred)).toEqual(['1/4']);
    const guitar = shapeDiagram(shape(-1, 3, 2, 0, 1, 0)).body;
    expect(guitar.match(/r="2\.3"/g)).toHaveLength(2);
    expect(guitar.match(/M[\d.]+ [\d.]+L[\d.]+ [\d.]+M/g)).toHaveLength(1);
  });

  it('is well-formed SVG with a name for those who do not see it', () => {
    const text = shapeSvg('F♯m7 <b>', shape(2, 4, 2, 4), 80);
    const svg = new DOMParser({ onError: (_, message) => expect.fail(message) }).parseFromString(text, 'image/svg+xml');
    const root = svg.documentElement!;
    expect(root.getAttribute('role')).toBe('img');
    expect(root.getAttribute('aria-label')).toBe('F♯m7 <b>: 2424');
    expect(Number(root.getAttribute('height'))).toBe(80);
    expect(diagramName('C', shape(-1, 3, 2, 0, 1, 0))).toBe('C: x32010');
  });
});
