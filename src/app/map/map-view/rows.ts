import { msg, str } from '@lit/localize';
import { clockText } from '../../../music/clock-text.js';
import { numberText } from '../../../music/number-text.js';
import { counted } from '../../kit/sentences.js';
import { meterText, sameMeter, type Meter } from '../../../music/meter.js';
import type { Seconds } from '../../../music/units.js';
import type { Section, SongMap } from '../../../model/song-map.js';
import { barWidth, beatsText } from './bar-scale.js';
import { boxesOf, type BarBox, type FreeBox } from './boxes.js';
import { chooseWrap, wrapBoxes, type Wrapped } from './wrap.js';

/** The map as rows, top to bottom: lead-in, sections, stretches outside sections, tail. */
export interface MapLayout extends Wrapped {
  /** Length of a prevailing bar in its own beats. */
  readonly barBeats: number;
  readonly rows: readonly MapRow[];
}

export type MapRow = SectionRow | EdgeRow;

export interface SectionRow {
  readonly kind: 'section';
  readonly key: string;
  readonly section: Section;
  /** The how-manieth section of its letter, and how many there are: 2 of 3. */
  readonly pass: number;
  readonly passes: number;
  /** "4+4+4+2", "8 bars". */
  readonly summary: string;
  readonly lines: readonly Line[];
}

/** Lead-in, tail, or a free stretch before the first section. */
export interface EdgeRow {
  readonly kind: 'lead-in' | 'tail' | 'free';
  readonly key: string;
  readonly start: Seconds;
  readonly end: Seconds;
  readonly text: string;
  /** The first or last moment of the map was set by the user. */
  readonly locked: boolean;
}

export interface Line {
  readonly boxes: readonly (BarBox | FreeBox)[];
  /** Empty beats before the first box: pickups stand in a margin, so that bar lines stand above one another. */
  readonly indent: number;
  readonly width: number;
}

/**
 * Lays a map out for a width.
 *
 * @param room pixels that a line may take
 * @param wanted bars to a line that the user asked for
 */
export function layoutMap(map: SongMap, room: number, wanted?: number): MapLayout {
  const barBeats = barWidth(map.prevailing, map.prevailing);
  const groups = groupBySection(map, boxesOf(map));
  const margin = marginOf(groups, barBeats);
  const wrapped = chooseWrap(
    groups.map(({ boxes }) => boxes.slice(hangs(boxes[0], margin) ? 1 : 0)),
    barBeats,
    room,
    wanted,
    margin,
  );
  const passes = countBy(groups.flatMap(({ section }) => (section ? [section.letter] : [])));
  const seen = new Map<string, number>();
  const rows: MapRow[] = [];
  const first = map.spans[0];
  if (first?.kind === 'lead-in') rows.push(edgeRow('lead-in', first.start, map.spans[1]?.start ?? map.end, map));
  for (const { section, boxes } of groups) {
    if (!section) {
      for (const box of boxes) rows.push(edgeRow('free', box.start, box.end, map));
      continue;
    }
    const pass = (seen.get(section.letter) ?? 0) + 1;
    seen.set(section.letter, pass);
    const bars = boxes.filter((box) => box.kind === 'bar');
    rows.push({
      kind: 'section',
      key: section.id,
      section,
      pass,
      passes: passes.get(section.letter) ?? 1,
      summary: summaryOf(
        bars.filter((bar) => !bar.pickup).map((bar) => bar.meter),
        map.prevailing,
      ),
      lines: linesOf(boxes, wrapped.perLine, barBeats, margin),
    });
  }
  const last = map.spans[map.spans.length - 1];
  if (last?.kind === 'tail') rows.push(edgeRow('tail', last.start, map.end, map));
  return { ...wrapped, barBeats, rows: rows.filter((row) => row.kind === 'section' || isWorthARow(row)) };
}

/** An edge too short to hear needs no row, unless the user put it there. */
function isWorthARow(row: EdgeRow): boolean {
  return row.locked || row.end - row.start >= TOO_SHORT;
}

/** Seconds that would be said as "0.0 s". */
const TOO_SHORT: Seconds = 0.05;

/** A section in figures: its bar lengths where they differ ("4+4+4+2", "7×4+2"), else how many bars. */
export function summaryOf(meters: readonly Meter[], prevailing: Meter): string {
  const [first] = meters;
  if (!first) return msg('no bars');
  const count = counted(meters.length, msg('bar'), msg('bars'));
  if (meters.every((meter) => sameMeter(meter, first))) {
    const meter = meterText({ ...first, grouping: undefined });
    return sameMeter(first, prevailing) ? count : msg(str`${count} of ${meter}`);
  }
  const lengths = meters.map((meter) => beatsText(barWidth(meter, prevailing)));
  if (meters.length <= 6) return lengths.join('+');
  const runs: { text: string; times: number }[] = [];
  for (const text of lengths) {
    const last = runs[runs.length - 1];
    if (last?.text === text) last.times++;
    else runs.push({ text, times: 1 });
  }
  const short = runs.map(({ text, times }) =>
    times === 1 ? text : times === 2 ? `${text}+${text}` : `${times}×${text}`,
  );
  if (short.length <= 7) return short.join('+');
  const odd = meters.filter((meter) => !sameMeter(meter, prevailing)).length;
  return msg(str`${count}, ${odd} irregular`);
}

/** Keeps the row objects of `before` that are equal to their successors, so that only changed rows draw again. */
export function keepRows(before: MapLayout | undefined, after: MapLayout): MapLayout {
  if (!before || before.beatPx !== after.beatPx || before.perLine !== after.perLine) return after;
  const known = new Map(before.rows.map((row) => [row.key, row]));
  const rows = after.rows.map((row) => {
    const old = known.get(row.key);
    return old !== undefined && textOf(old) === textOf(row) ? old : row;
  });
  return { ...after, rows };
}

const texts = new WeakMap<MapRow, string>();

/** All of a row; it is the old one at the next edit, so its text is kept. */
function textOf(row: MapRow): string {
  const known = texts.get(row);
  if (known !== undefined) return known;
  const text = JSON.stringify(row);
  texts.set(row, text);
  return text;
}

/** A duration as a musician says it: "0.8 s", "12 s", "1:42". */
export function durationText(seconds: Seconds): string {
  if (seconds < 9.95) return msg(str`${numberText(seconds, 1, 1)} s`);
  if (seconds < 59.5) return msg(str`${Math.round(seconds)} s`);
  return clockText(Math.round(seconds));
}

interface Group {
  readonly section: Section | undefined;
  readonly boxes: (BarBox | FreeBox)[];
}

function groupBySection(map: SongMap, boxes: readonly (BarBox | FreeBox)[]): Group[] {
  const groups: Group[] = map.sections.map((section) => ({ section, boxes: [] }));
  const before: Group = { section: undefined, boxes: [] };
  let at = -1;
  for (const box of boxes) {
    while (at + 1 < map.sections.length && (map.sections[at + 1]?.start ?? Infinity) <= box.start + 1e-6) at++;
    // A pickup before the first section's own start belongs to it; free time before all bars stands by itself.
    const group = at < 0 && (box.kind === 'bar' || groups[0]?.boxes.length) ? groups[0] : groups[at];
    (group ?? before).boxes.push(box);
  }
  return [...(before.boxes.length > 0 ? [before] : []), ...groups.filter((group) => group.boxes.length > 0)];
}

/** A pickup up to half a bar long stands in a margin before its line; a longer one would cost every line too much room. */
function marginOf(groups: readonly Group[], barBeats: number): number {
  const widths = groups.flatMap(({ boxes: [first] }) => (first && isPickup(first) ? [first.width] : []));
  return Math.max(0, ...widths.filter((width) => width <= barBeats / 2 + 1e-9));
}

function isPickup(box: BarBox | FreeBox): boolean {
  return box.kind === 'bar' && box.pickup;
}

function hangs(box: BarBox | FreeBox | undefined, margin: number): boolean {
  return box !== undefined && isPickup(box) && box.width <= margin + 1e-9;
}

function linesOf(boxes: readonly (BarBox | FreeBox)[], perLine: number, barBeats: number, margin: number): Line[] {
  const [first, ...rest] = boxes;
  if (!first || !isPickup(first)) return wrapBoxes(boxes, perLine, barBeats).map((line) => lineOf(line, margin));
  const lines = wrapBoxes(rest, perLine, barBeats).map((line) => lineOf(line, margin));
  if (!hangs(first, margin)) return [lineOf([first], margin + Math.max(0, barBeats - first.width)), ...lines];
  const [top, ...others] = lines;
  return [lineOf([first, ...(top?.boxes ?? [])], margin - first.width), ...others];
}

function lineOf(boxes: readonly (BarBox | FreeBox)[], indent: number): Line {
  return { boxes, indent, width: indent + boxes.reduce((sum, box) => sum + box.width, 0) };
}

function edgeRow(kind: EdgeRow['kind'], start: Seconds, end: Seconds, map: SongMap): EdgeRow {
  const name = kind === 'free' ? msg('free time') : kind === 'tail' ? msg('tail') : msg('lead-in');
  const edge = kind === 'lead-in' ? 'start' : kind === 'tail' ? 'end' : undefined;
  const locked = map.locks.some((lock) => lock.kind === 'edge' && lock.edge === edge);
  return { kind, key: `${kind}:${start}`, start, end, text: `${name}, ${durationText(end - start)}`, locked };
}

function countBy(texts: readonly string[]): Map<string, number> {
  const counts = new Map<string, number>();
  for (const text of texts) counts.set(text, (counts.get(text) ?? 0) + 1);
  return counts;
}
