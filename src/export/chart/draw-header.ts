import { msg, str } from '@lit/localize';
import { sectionColour } from '../../model/section-colours.js';
import type { ChartOptions } from '../../model/chart-options.js';
import type { ChartSong } from './chart-song.js';
import type { Mark } from './marks.js';
import { MARGIN } from './paper.js';
import { drawShapes } from './shape-strip.js';
import type { Face } from './face.js';
import { shortened, textWidth, wrapped } from './text-widths.js';

const TITLE = { small: 22, normal: 25, large: 28, stage: 34 } as const;
const FACTS = { small: 10, normal: 11, large: 13, stage: 17 } as const;
/** Heights of the band that shows the form. */
const BAND = 5;
const BAND_LETTERS = 8;

/** Title, facts, form and shapes over the whole width of the first page; `height` is where the bars may begin. */
export function drawHeader(
  song: ChartSong,
  options: Pick<ChartOptions, 'size' | 'form'>,
  pageWidth: number,
): { readonly marks: readonly Mark[]; readonly height: number } {
  const big = TITLE[options.size];
  const small = FACTS[options.size];
  const width = pageWidth - 2 * MARGIN;
  const marks: Mark[] = [];
  const put = (text: string, y: number, size: number, face: Face, group: string): void => {
    const wide = textWidth(text, size, face);
    const soft = face === 'sans' ? { tone: 'soft' as const } : {};
    marks.push({ kind: 'text', x: MARGIN, y, text, size, face, width: wide, group, ...soft });
  };
  let y = MARGIN + 0.8 * big;
  wrapped(song.title, width, big, 'serifBold', 2).forEach((text, i) => {
    if (i > 0) y += 1.12 * big;
    put(text, y, big, 'serifBold', 'title');
  });
  y += 0.34 * big;
  for (const text of factLines(song.facts, width, small)) {
    y += 1.2 * small;
    put(text, y, small, 'sans', 'facts');
  }
  y += 0.8 * small;
  if (options.form && song.form.length > 1) {
    marks.push(...drawBand(song, y, width));
    y += BAND + BAND_LETTERS + 3;
  } else marks.push({ kind: 'line', x1: MARGIN, y1: y, x2: pageWidth - MARGIN, y2: y, thickness: 0.7 });
  y += 10;
  const strip = drawShapes(song.shapes, MARGIN, y, width);
  marks.push(...strip.marks);
  return { marks, height: strip.height > 0 ? y + strip.height + 8 : y + 0.5 * small };
}

/** The sections side by side as long as they are, in their colours, with their letters. */
function drawBand({ form }: ChartSong, y: number, width: number): readonly Mark[] {
  const beats = form.reduce((sum, part) => sum + part.beats, 0);
  const marks: Mark[] = [];
  let x = MARGIN;
  form.forEach(({ letter, beats: own }, i) => {
    const wide = (own / beats) * width;
    const gap = i + 1 < form.length ? Math.min(1.2, 0.2 * wide) : 0;
    marks.push({ kind: 'rect', x, y, width: wide - gap, height: BAND, fill: sectionColour(letter) });
    const size = BAND_LETTERS;
    const text = textWidth(letter, size, 'sansBold');
    if (text <= wide - gap) {
      const letterMark = { text: letter, size, face: 'sansBold' as const, width: text, group: `form ${i}` };
      marks.push({ kind: 'text', x, y: y + BAND + 0.98 * size, ...letterMark, tone: 'soft' });
    }
    x += wide;
  });
  return marks;
}

/** The facts in as few lines as hold them, none broken. */
function factLines(facts: readonly string[], width: number, size: number): readonly string[] {
  const lines: string[] = [];
  for (const fact of facts) {
    const last = lines.at(-1);
    const longer = last === undefined ? fact : `${last}  ·  ${fact}`;
    if (last === undefined || textWidth(longer, size, 'sans') > width) lines.push(shortened(fact, width, size, 'sans'));
    else lines[lines.length - 1] = longer;
  }
  return lines;
}

/** The title and which page this is, at the foot of each page of several. */
export function drawFoot(
  { title }: ChartSong,
  page: { readonly width: number; readonly height: number },
  place: number,
  count: number,
): readonly Mark[] {
  if (count === 1) return [];
  const size = 9;
  const number = msg(str`page ${place + 1} of ${count}`);
  const room = page.width - 2 * MARGIN - textWidth(`  ·  ${number}`, size, 'sans');
  const name = shortened(title, room, size, 'sans');
  const text = name === '' ? number : `${name}  ·  ${number}`;
  const width = textWidth(text, size, 'sans');
  const y = page.height - MARGIN + 2;
  return [
    { kind: 'text', x: (page.width - width) / 2, y, text, size, face: 'sans', width, tone: 'soft', group: 'foot' },
  ];
}
