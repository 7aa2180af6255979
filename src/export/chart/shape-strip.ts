import { msg, str } from '@lit/localize';
import type { Shape } from '../../music/shapes.js';
import { chordMarks, chordWidth } from './chord-name.js';
import type { ChartShape } from './chart-shapes.js';
import type { Mark } from './marks.js';
import { fretsSeen } from './shape-diagram.js';
import { textWidth } from './text-widths.js';

/** Sizes at scale 1, in points. */
const STRING = 7;
const FRET = 8.2;
const NAME = 12.5;
const NAME_HIGH = 15;
const OPEN_HIGH = 6.5;
const ROOM = 15;

/** A strip of chord diagrams and how high it is. */
export interface ShapeStrip {
  readonly marks: readonly Mark[];
  readonly height: number;
}

const SCALES = [1, 0.88, 0.76] as const;
const MOST_ROWS = [1, 2, 3] as const;

/**
 * Chord diagrams side by side in as few rows as hold them; strings stand upright in the tuning's order, the nut (or the number of
 * the first fret) on top (common practice, no source). What does not go into three rows is counted in words.
 */
export function drawShapes(shapes: readonly ChartShape[], x: number, y: number, width: number): ShapeStrip {
  if (shapes.length === 0) return { marks: [], height: 0 };
  const strings = Math.max(...shapes.map(({ shape }) => shape.frets.length));
  const frets = Math.max(...shapes.map(({ shape }) => fretsSeen(shape.frets).rows));
  const wide = (scale: number): number => ((strings - 1) * STRING + 2 * ROOM) * scale;
  const perRow = (scale: number): number => Math.max(1, Math.floor((width + 2 * (ROOM - 4) * scale) / wide(scale)));
  const choices = MOST_ROWS.flatMap((rows) => SCALES.map((scale) => ({ rows, scale })));
  const chosen = choices.find(({ rows, scale }) => rows * perRow(scale) >= shapes.length) ?? { rows: 3, scale: 0.76 };
  const { rows, scale } = chosen;
  const held = rows * perRow(scale);
  const drawn = shapes.slice(0, held);
  const inRow = Math.ceil(drawn.length / rows);
  const rowHigh = (NAME_HIGH + OPEN_HIGH + frets * FRET + 8) * scale;
  const marks = drawn.flatMap(({ name, shape }, i) => {
    const left = x + (i % inRow) * wide(scale) + 4 * scale;
    return drawDiagram(name, shape, left, y + Math.floor(i / inRow) * rowHigh, scale, frets, `shape ${i}`);
  });
  const left = shapes.length - drawn.length;
  if (left === 0) return { marks, height: rows * rowHigh };
  const text = left === 1 ? msg('and 1 more chord') : msg(str`and ${left} more chords`);
  const size = 9;
  const more: Mark = {
    kind: 'text',
    x,
    y: y + rows * rowHigh + size,
    text,
    size,
    face: 'sans',
    width: textWidth(text, size, 'sans'),
    tone: 'soft',
    group: 'more shapes',
  };
  return { marks: [...marks, more], height: rows * rowHigh + 1.6 * size };
}

function drawDiagram(
  name: string,
  shape: Shape,
  left: number,
  top: number,
  scale: number,
  frets: number,
  group: string,
): readonly Mark[] {
  const string = STRING * scale;
  const fret = FRET * scale;
  const { first } = fretsSeen(shape.frets);
  const wide = (shape.frets.length - 1) * string;
  const x0 = left + (ROOM / 2) * scale;
  const y0 = top + (NAME_HIGH + OPEN_HIGH) * scale;
  const middle = x0 + wide / 2;
  const room = wide + 1.7 * ROOM * scale;
  const nameWide = Math.min(chordWidth(name, NAME * scale), room);
  const marks: Mark[] = [
    ...chordMarks(name, { x: middle - nameWide / 2, y: top + 0.8 * NAME * scale, size: NAME * scale, room, group }),
  ];
  for (let i = 0; i < shape.frets.length; i++) {
    const x = x0 + i * string;
    marks.push({ kind: 'line', x1: x, y1: y0, x2: x, y2: y0 + frets * fret, thickness: 0.55 * scale, tone: 'soft' });
  }
  for (let i = 0; i <= frets; i++) {
    const y = y0 + i * fret;
    const nut = i === 0 && first === 1;
    const line = { x1: x0, y1: y, x2: x0 + wide, y2: y, thickness: (nut ? 2 : 0.55) * scale };
    marks.push({ kind: 'line', ...line, ...(nut ? {} : { tone: 'soft' as const }) });
  }
  if (first > 1) {
    const size = 7 * scale;
    const width = textWidth(String(first), size, 'sans');
    const at = { x: x0 - width - 2.6 * scale, y: y0 + 0.5 * fret + 0.36 * size };
    marks.push({ kind: 'text', ...at, text: String(first), size, face: 'sans', width, group: `${group} fret` });
  }
  const dot = 5.4 * scale;
  const { barre } = shape;
  if (barre) {
    const y = y0 + (barre.fret - first + 0.5) * fret;
    const [from, to] = [x0 + barre.from * string, x0 + barre.to * string];
    marks.push({ kind: 'line', x1: from, y1: y, x2: to, y2: y, thickness: dot, round: true });
  }
  shape.frets.forEach((at, i) => {
    const x = x0 + i * string;
    if (at === undefined || at === 0) {
      const size = (at === 0 ? 3.8 : 5) * scale;
      const glyph = at === 0 ? ('ring' as const) : ('cross' as const);
      marks.push({ kind: 'glyph', glyph, x: x - size / 2, y: y0 - 3.9 * scale - size / 2, size, tone: 'soft' });
    } else
      marks.push({
        kind: 'glyph',
        glyph: 'dot',
        x: x - dot / 2,
        y: y0 + (at - first + 0.5) * fret - dot / 2,
        size: dot,
      });
  });
  return marks;
}
