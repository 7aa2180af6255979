import { describe, expect, it } from 'vitest';
import { diagramMarks, diagramName, type DiagramMark } from '../../../src/export/chart/shape-diagram.js';
import { shapeFromFrets, type Shape } from '../../../src/music/shapes.js';

const shape = (...frets: number[]): Shape => shapeFromFrets(frets)!;
function marksOf<K extends DiagramMark['kind']>(
  kind: K,
  of: Shape,
  leftHanded = false,
): Extract<DiagramMark, { kind: K }>[] {
  return diagramMarks(of, leftHanded).marks.filter(
    (mark): mark is Extract<DiagramMark, { kind: K }> => mark.kind === kind,
  );
}
/** Centres of the dots, as [string from the left, fret from the top], both from 1. */
function dots(of: Shape, leftHanded = false): string[] {
  return marksOf('dot', of, leftHanded)
    .map(({ x, y }) => `${(x - 11) / 10 + 1}/${(y - 10) / 12 + 0.5}`)
    .sort();
}

describe('a chord diagram', () => {
  it('has a dot where each finger presses, the nut on top', () => {
    expect(dots(shape(0, 2, 1, 2))).toEqual(['2/2', '3/1', '4/2']);
    expect(marksOf('number', shape(0, 2, 1, 2))).toEqual([]);
  });

  it('is mirrored for a left-handed player', () => {
    expect(dots(shape(0, 0, 0, 3))).toEqual(['4/3']);
    expect(dots(shape(0, 0, 0, 3), true)).toEqual(['1/3']);
  });

  it('says at which fret it begins where it lies high', () => {
    expect(marksOf('number', shape(5, 7, 6, 7)).map(({ text }) => text)).toEqual(['5']);
    expect(dots(shape(5, 7, 6, 7))).toEqual(['1/1', '2/3', '3/2', '4/3']);
  });

  it('draws a barre in one stroke, open strings as rings, silent ones as crosses', () => {
    const barred = shape(4, 2, 2, 2);
    expect(barred.barre).toEqual({ fret: 2, from: 1, to: 3 });
    expect(marksOf('line', barred).filter(({ round }) => round)).toHaveLength(1);
    expect(dots(barred)).toEqual(['1/4']);
    const guitar = shape(-1, 3, 2, 0, 1, 0);
    expect(marksOf('ring', guitar)).toHaveLength(2);
    expect(marksOf('line', guitar).filter(({ d }) => /^M[\d.]+ [\d.]+L[\d.]+ [\d.]+M/.test(d))).toHaveLength(1);
  });

  it('has a name for those who do not see it', () => {
    expect(diagramName('F♯m7', shape(2, 4, 2, 4))).toBe('F♯m7: 2424');
    expect(diagramName('C', shape(-1, 3, 2, 0, 1, 0))).toBe('C: x32010');
  });
});
