import { msg } from '@lit/localize';
import type { ChartLayout } from './layout.js';
import type { Mark } from './marks.js';

/** What a drawing says in the order in which it is read: an element, its name among the standard types of ISO 32000-1, 14.8.4. */
export interface ReadPart {
  readonly type: 'Document' | 'H1' | 'Sect' | 'H2' | 'P' | 'L' | 'LI' | 'Lbl' | 'LBody' | 'Span';
  /** What is said in place of what is drawn. */
  readonly actual?: string;
  readonly alt?: string;
  readonly parts: readonly ReadPart[];
  /** The marks of its own, on whichever page they are. */
  readonly marks: ReadonlySet<Mark>;
}

interface Making {
  readonly type: ReadPart['type'];
  readonly parts: Making[];
  readonly marks: Set<Mark>;
  readonly group: string;
  actual?: string;
  alt?: string;
}

/**
 * Title, facts, form and shapes; then section by section its name, what stands under it, and its lines, each a list of bars with
 * what is written in them. Marks that say nothing (rules, ticks, colours) are in no part.
 */
export function readingOrder({ pages }: ChartLayout): ReadPart {
  const root = making('Document', '');
  let section = root;
  let line: LineOrder | undefined;
  for (const mark of pages.flatMap(({ marks }) => marks)) {
    const group = mark.kind === 'rect' ? undefined : mark.group;
    if (group === undefined || group === 'foot') continue;
    const { number, rest = '' } = /^line (?<number>\d+) (?<rest>.*)$/.exec(group)?.groups ?? {};
    if (number === undefined) {
      const leaf = leafOf(root, group === 'title' ? 'H1' : 'P', group);
      leaf.marks.add(mark);
      if (group.startsWith('shape')) leaf.actual = (leaf.actual ?? '') + wordOf(mark);
      continue;
    }
    if (line?.number !== number) {
      // What stands over a line comes first, so its first mark tells whether a section begins.
      if (/^(letter|name|count|swing|cue)/.test(rest)) root.parts.push((section = making('Sect', group)));
      line = new LineOrder(number, section);
    }
    line.add(rest, mark);
  }
  return root;
}

/** A line of bars while it is read. */
class LineOrder {
  private readonly list = making('L', 'bars');

  constructor(
    readonly number: string,
    private readonly section: Making,
  ) {}

  add(place: string, mark: Mark): void {
    const [what = '', at = '0', part = '', which = ''] = place.split(' ');
    if (what === 'letter' || what === 'name') return this.head('H2', 'head', place, mark);
    if (what === 'count') return this.head('P', 'counts', place, mark);
    if (what === 'swing' || what === 'cue') return this.head('P', place, place, mark);
    if (this.list.parts.length === 0) this.section.parts.push(this.list);
    const bar = childOf(this.list, 'LI', what === 'number' ? '0' : at);
    // Drawn when the bars are, read before the first of them.
    if (what === 'number') return void bar.parts.unshift({ ...making('Lbl', 'number'), marks: new Set([mark]) });
    const body = childOf(bar, 'LBody', 'body');
    if (part === 'floor') {
      // It stands for what is heard on, and is nothing where a chord is written.
      if (body.parts.some(({ group }) => group.startsWith('chord'))) return;
      const floor = childOf(body, 'Span', 'floor');
      floor.alt = msg('as before');
      floor.marks.add(mark);
      return;
    }
    const span = childOf(body, 'Span', part === '' ? what : `${part} ${which}`);
    span.marks.add(mark);
    if (part === 'chord') span.actual = (span.actual ?? '') + wordOf(mark);
    else if (part === 'meter') span.actual = span.actual ? `${span.actual}/${wordOf(mark)}` : wordOf(mark);
    else if (mark.kind === 'glyph') span.alt = wordOf(mark);
  }

  private head(type: 'H2' | 'P', group: string, span: string, mark: Mark): void {
    childOf(childOf(this.section, type, group), 'Span', span).marks.add(mark);
  }
}

/** What a mark of a chord or a sign is called. */
function wordOf(mark: Mark): string {
  if (mark.kind === 'text') return mark.text;
  if (mark.kind !== 'glyph') return '';
  return { sharp: '#', flat: 'b', segno: msg('Segno'), coda: msg('Coda') }[mark.glyph as string] ?? '';
}

function making(type: Making['type'], group: string): Making {
  return { type, group, parts: [], marks: new Set() };
}

function childOf(parent: Making, type: Making['type'], group: string): Making {
  const known = parent.parts.find((each) => each.group === group && each.type === type);
  if (known) return known;
  const made = making(type, group);
  parent.parts.push(made);
  return made;
}

/** Texts that are written on several lines under one name are one part. */
function leafOf(root: Making, type: 'H1' | 'P', group: string): Making {
  const kind = /^(form|shape|clock)/.exec(group)?.[0] ?? group;
  const parent = childOf(root, type, kind);
  return kind === group ? parent : childOf(parent, 'Span', group);
}
