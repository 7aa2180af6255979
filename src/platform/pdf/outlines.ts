import type { Path } from 'fontkit';
import type { Outlines, OutlinedText } from '../../export/chart/chart-svg.js';
import type { Face } from '../../export/chart/face.js';
import { textWidth } from '../../export/chart/text-widths.js';
import { OpenFaces, type Run } from './open-faces.js';

/** Draws the letters of the bundled faces, as far as a text has any, for drawings that bring no font along. */
export async function outlinesFor(text: string): Promise<Outlines> {
  const faces = await OpenFaces.for(text);
  const known = new Map<string, readonly OutlinedText[]>();
  return (written, face) => {
    const name = `${face} ${written}`;
    const before = known.get(name);
    if (before) return before;
    const made = faces.runs(written, face).map((run) => outlined(run, face));
    known.set(name, made);
    return made;
  };
}

/** Letter by letter, as the layout measures. */
function outlined({ text, face: open }: Run, face: Face): OutlinedText {
  if (!open) return { text, width: textWidth(text, 1000, face) };
  const { font } = open;
  const unit = 1000 / font.unitsPerEm;
  let path = '';
  let width = 0;
  for (const letter of text) {
    const glyph = font.glyphForCodePoint(letter.codePointAt(0) as number);
    path += pathData(glyph.path.commands, unit, width);
    width += glyph.advanceWidth * unit;
  }
  return { text, width, path };
}

const LETTERS = { moveTo: 'M', lineTo: 'L', quadraticCurveTo: 'Q', bezierCurveTo: 'C', closePath: 'Z' } as const;

/** A glyph's outline in whole thousandths, moved to the right by so many. */
function pathData(commands: Path['commands'], unit: number, right: number): string {
  return commands
    .map(({ command, args }) => {
      const places = args.map((value, i) => Math.round(value * unit + (i % 2 === 0 ? right : 0)));
      return LETTERS[command] + places.join(' ');
    })
    .join('');
}
