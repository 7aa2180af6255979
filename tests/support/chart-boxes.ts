import { GLYPHS } from '../../src/export/chart/glyphs.js';
import { textBox, type Box, type LineMark, type Mark } from '../../src/export/chart/marks.js';

/** What of a page must not touch: texts and signs with the group they belong to. */
export interface Placed extends Box {
  readonly group: string;
  readonly what: string;
}

export function placedMarks(marks: readonly Mark[]): readonly Placed[] {
  return marks.flatMap((mark): readonly Placed[] => {
    if (mark.kind === 'text') return [{ ...textBox(mark), group: mark.group ?? '', what: mark.text }];
    if (mark.kind !== 'glyph' || mark.group === undefined) return [];
    const { width } = GLYPHS[mark.glyph];
    const box = { x: mark.x, y: mark.y, width: width * mark.size * (mark.squeeze ?? 1), height: mark.size };
    return [{ ...box, group: mark.group, what: mark.glyph }];
  });
}

/** Everything wrong with a page, in words: what overlaps, what leaves the paper, what a bar line crosses. */
export function faultsOf(marks: readonly Mark[], page: { readonly width: number; readonly height: number }): string[] {
  const faults: string[] = [];
  const placed = placedMarks(marks);
  const lines = marks.filter((mark): mark is LineMark => mark.kind === 'line' && mark.barLine === true);
  const sorted = [...placed].sort((a, b) => a.y - b.y);
  sorted.forEach((a, i) => {
    for (let j = i + 1; j < sorted.length; j++) {
      const b = sorted[j]!;
      if (b.y >= a.y + a.height) break;
      if (a.group !== b.group && overlap(a, b))
        faults.push(`"${a.what}" (${a.group}) lies on "${b.what}" (${b.group})`);
    }
    for (const { x1, y1, y2 } of lines)
      if (x1 > a.x + SLACK && x1 < a.x + a.width - SLACK && a.y < y2 - SLACK && a.y + a.height > y1 + SLACK)
        faults.push(`a bar line crosses "${a.what}" (${a.group})`);
  });
  for (const mark of marks) {
    const box = mark.kind === 'text' ? textBox(mark) : mark.kind === 'rect' ? mark : undefined;
    const ends = box
      ? [box.x, box.y, box.x + box.width, box.y + box.height]
      : mark.kind === 'line'
        ? [
            Math.min(mark.x1, mark.x2),
            Math.min(mark.y1, mark.y2),
            Math.max(mark.x1, mark.x2),
            Math.max(mark.y1, mark.y2),
          ]
        : mark.kind === 'glyph'
          ? [mark.x, mark.y, mark.x + GLYPHS[mark.glyph].width * mark.size, mark.y + mark.size]
          : [];
    const [left = 0, top = 0, right = 0, bottom = 0] = ends;
    if (left < EDGE || top < EDGE || right > page.width - EDGE || bottom > page.height - EDGE)
      faults.push(`${JSON.stringify(mark).slice(0, 120)} leaves the paper`);
  }
  return faults;
}

/** Hairs that do not count, in points; and the edge that printers cannot reach. */
const SLACK = 0.35;
const EDGE = 18;

function overlap(a: Box, b: Box): boolean {
  const wide = Math.min(a.x + a.width, b.x + b.width) - Math.max(a.x, b.x);
  const high = Math.min(a.y + a.height, b.y + b.height) - Math.max(a.y, b.y);
  return wide > SLACK && high > SLACK;
}
