import { unfold } from '../../src/model/fold/unfold.js';
import type {
  Ending,
  Jump,
  SectionHead,
  WrittenBar,
  WrittenChart,
  WrittenFree,
  WrittenItem,
} from '../../src/model/fold/written-chart.js';
import { materialOf } from '../../src/model/letters.js';
import { barsOf } from '../../src/model/map-queries.js';
import type { SongMap } from '../../src/model/song-map.js';
import { beatsOf, meterText, type Meter } from '../../src/music/meter.js';
import { bars } from './notation.js';

/**
 * A written chart on a line:
 *
 *     readChart('Verse: |: 4:G 4:C [1 4:D :| [2 4:G ] $ Chorus: 4:C 4:D >coda | Bridge: 4:Am D.S.coda | (o) 4:G')
 *
 * Bars, free stretches and section names are written as in the notation for maps; `Verse@1,3:` begins the section at
 * the first and third time through only. `|:` and `:|`, with a number `:|4`, repeat; `[1,3` begins an ending and `]` ends
 * the last (`:|` ends the others); `$` is the segno, `(o)` the coda, `>coda` and `fine` stand behind a bar like
 * `D.C.fine`, `D.S.coda` and, with repeats, `D.S.coda+`. `|` only separates. A `4` of no chord has none known.
 */
export function readChart(notation: string): WrittenChart {
  const items: Draft[] = [];
  let before: { segno?: true; coda?: true; repeatStart?: true } = {};
  let heads: SectionHead[] = [];
  let ending: { readonly passes: number[]; fresh: boolean } | undefined;
  for (const token of notation.split(/\s+/).filter((word) => word !== '' && word !== '|')) {
    const last = items.at(-1);
    const head = /^([A-Za-z][^:@]*)(?:@([\d,]+))?:$/.exec(token);
    const jump = /^(D\.[CS]\.)(coda|fine)(\+?)$/.exec(token);
    if (token === '|:') before.repeatStart = true;
    else if (token === '$') before.segno = true;
    else if (token === '(o)') before.coda = true;
    else if (token.startsWith('[')) ending = { passes: numbers(token.slice(1)), fresh: true };
    else if (head) {
      const name = (head[1] as string).replace(/_/g, ' ');
      heads.push({ name, letter: materialOf(name), ...(head[2] ? { times: numbers(head[2]) } : {}) });
    } else if (token === ']' || token.startsWith(':|')) {
      if (last?.ending) last.ending = { ...last.ending, ends: true };
      if (token !== ']' && last) last.repeatEnd = { times: Number(token.slice(2) || 2) };
      ending = undefined;
    } else if (token === '>coda' && last) last.toCoda = true;
    else if (token === 'fine' && last) last.fine = true;
    else if (jump && last) {
      const to = jump[1] === 'D.C.' ? 'start' : 'segno';
      last.jump = { to, until: jump[2] as Jump['until'], ...(jump[3] ? { withRepeats: true } : {}) };
    } else {
      const bracket: Ending | undefined = ending && {
        passes: ending.passes,
        ...(ending.fresh ? { begins: true } : {}),
      };
      items.push({ ...readItem(token, heads), ...before, ...(bracket ? { ending: bracket } : {}) });
      if (ending) ending.fresh = false;
      [before, heads] = [{}, []];
    }
  }
  return counted(items as readonly WrittenItem[]);
}

type Mutable<T> = { -readonly [K in keyof T]: T[K] };
type Draft = Mutable<WrittenBar> | Mutable<WrittenFree>;

/** A chart of these items, with its bars counted. */
function counted(items: readonly WrittenItem[]): WrittenChart {
  const chart = { items, written: 0, played: 0 };
  const whole = (item: { readonly kind: string; readonly pickup?: true }): boolean =>
    item.kind === 'bar' && !item.pickup;
  return { items, written: items.filter(whole).length, played: unfold(chart).filter(whole).length };
}

function readItem(token: string, heads: readonly SectionHead[]): Draft {
  if (token.startsWith('~')) return { kind: 'free', length: Number(token.slice(1) || 4) * 0.5, chords: [], span: 0 };
  const map = bars(token.startsWith('(') ? `${token} 4` : token);
  const bar = barsOf(map)[0];
  if (!bar) throw new Error(`chart notation: "${token}" is no bar`);
  const marks = map.chords.map(({ harte, time }) => ({ harte, beat: time / 0.5 }));
  return { kind: 'bar', meter: bar.meter, ...(bar.pickup ? { pickup: true } : {}), chords: marks, heads, bars: [] };
}

/** The notation of a chart, without separators. */
export function chartText(chart: WrittenChart): string {
  const words: string[] = [];
  for (const item of chart.items) {
    for (const head of item.kind === 'bar' ? item.heads : [])
      words.push(`${head.name.replace(/ /g, '_')}${head.times ? `@${head.times.join()}` : ''}:`);
    if (item.segno) words.push('$');
    if (item.coda) words.push('(o)');
    if (item.repeatStart) words.push('|:');
    if (item.ending?.begins) words.push(`[${item.ending.passes.join()}`);
    words.push(item.kind === 'free' ? `~${item.length === 2 ? '' : item.length / 0.5}` : barText(item));
    if (item.repeatEnd) words.push(item.repeatEnd.times === 2 ? ':|' : `:|${item.repeatEnd.times}`);
    else if (item.ending?.ends) words.push(']');
    if (item.toCoda) words.push('>coda');
    if (item.fine) words.push('fine');
    if (item.jump) {
      const { to, until, withRepeats } = item.jump;
      words.push(`${to === 'start' ? 'D.C.' : 'D.S.'}${until}${withRepeats ? '+' : ''}`);
    }
  }
  return words.join(' ');
}

function barText(bar: WrittenBar): string {
  const chords = bar.chords.map(({ harte, beat }) => (beat === 0 ? harte : `${harte}@${beat + 1}`));
  const measure = measureText(bar.meter);
  return `${bar.pickup ? `(${measure})` : measure}${chords.length > 0 ? `:${chords.join()}` : ''}`;
}

function measureText(meter: Meter): string {
  const quarters = meter.beatUnits * 4 === meter.unit && !meter.grouping;
  return quarters ? String(beatsOf(meter)) : meterText(meter).replace(' ', '');
}

/** The song that a chart is of, as it is played; sections of one material share their letter. */
export function songOf(chart: WrittenChart): SongMap {
  const words: string[] = [];
  for (const item of unfold(chart)) {
    if (item.kind === 'free') words.push(`~${item.length / 0.5}`);
    else {
      if (item.head) words.push(`| ${item.head.name.replace(/ /g, '_')}:`);
      words.push(barText({ ...item, heads: [], bars: [] }));
    }
  }
  return lettered(bars(words.join(' ').replace(/^\| /, '')));
}

/** The map with one letter a material, as the program gives them. */
export function lettered(map: SongMap): SongMap {
  const sections = map.sections.map((section) => ({ ...section, letter: materialOf(section.name) }));
  return { ...map, sections };
}

function numbers(list: string): number[] {
  return list.split(',').map(Number);
}
