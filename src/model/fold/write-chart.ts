import type { Plan } from './jumps.js';
import type { LinearBar, LinearItem } from './linear.js';
import type { Repeat } from './repeats.js';
import type { Ending, Jump, SectionHead, Signs, WrittenBar, WrittenChart, WrittenItem } from './written-chart.js';

/** A written item while it is made: the items of the song it stands for, and its signs. */
interface Draft {
  readonly places: number[];
  readonly signs: { -readonly [S in keyof Signs]: Signs[S] };
}

/** The chart of a plan, with the items of the song that each written one stands for. */
export function writeChart(items: readonly LinearItem[], plan: Plan): WrittenChart {
  const drafts: Draft[] = [];
  /** The written item that each item of the song was first written as. */
  const writtenAs = new Map<number, Draft>();
  const put = (places: readonly number[], signs: Draft['signs'] = {}): Draft => {
    const draft = { places: [...places], signs };
    drafts.push(draft);
    for (const place of places) writtenAs.set(place, draft);
    return draft;
  };
  for (const piece of plan.pieces) {
    if (piece.kind === 'item') put([piece.place]);
    else putRepeat(piece.repeat, put);
  }
  if (plan.replay) addReplay(plan, drafts, writtenAs, items.length);
  const written = drafts.map((draft) => finished(draft, items));
  const whole = (item: LinearItem | WrittenItem | undefined): boolean => item?.kind === 'bar' && !item.pickup;
  return { items: written, written: written.filter(whole).length, played: items.filter(whole).length };
}

function putRepeat(repeat: Repeat, put: (places: readonly number[], signs?: Draft['signs']) => Draft): void {
  const { body, passes, endings } = repeat;
  const times = passes.length;
  for (let i = 0; i < body; i++) {
    const draft = put(passes.map((start) => start + i));
    if (i === 0) draft.signs.repeatStart = true;
    if (i === body - 1 && endings.length === 0) draft.signs.repeatEnd = { times };
  }
  for (const ending of endings) {
    for (let i = 0; i < ending.length; i++) {
      const draft = put(ending.passes.map((pass) => (passes[pass - 1] as number) + body + i));
      const last = i === ending.length - 1;
      const bracket: Ending = {
        passes: ending.passes,
        ...(i === 0 ? { begins: true } : {}),
        ...(last ? { ends: true } : {}),
      };
      draft.signs.ending = bracket;
      if (last && ending.passes.some((pass) => pass < times)) draft.signs.repeatEnd = { times };
    }
  }
}

function addReplay(plan: Plan, drafts: Draft[], writtenAs: ReadonlyMap<number, Draft>, size: number): void {
  const { replay } = plan;
  if (!replay) return;
  const { segno, from, to, withRepeats } = replay;
  const way = withRepeats ? straightWay(segno, to - from) : lastPasses(plan, segno, to - from);
  const written = way.map((place) => writtenAs.get(place) as Draft);
  written.forEach((draft, i) => draft.places.push(from + i));
  const until = to < size ? 'coda' : 'fine';
  const first = written[0] as Draft;
  const toStart = first === drafts[0];
  if (!toStart) first.signs.segno = true;
  (written.at(-1) as Draft).signs[until === 'coda' ? 'toCoda' : 'fine'] = true;
  if (until === 'coda') (writtenAs.get(to) as Draft).signs.coda = true;
  const jump: Jump = { to: toStart ? 'start' : 'segno', until };
  (writtenAs.get(from - 1) as Draft).signs.jump = withRepeats ? { ...jump, withRepeats } : jump;
}

function straightWay(from: number, length: number): number[] {
  return Array.from({ length }, (_, i) => from + i);
}

/** The places, from the segno on, of the last pass of every repeat and of all that is not repeated. */
function lastPasses(plan: Plan, segno: number, length: number): number[] {
  const places: number[] = [];
  for (const piece of plan.pieces) {
    const [start, end] =
      piece.kind === 'item' ? [piece.place, piece.place + 1] : [piece.repeat.passes.at(-1) as number, piece.repeat.end];
    if (piece.kind === 'item' ? start < segno : end <= segno) continue;
    for (let place = Math.max(start, segno); place < end; place++) {
      if (places.length === length) return places;
      places.push(place);
    }
  }
  return places;
}

function finished({ places, signs }: Draft, items: readonly LinearItem[]): WrittenItem {
  const first = items[places[0] as number] as LinearItem;
  if (first.kind === 'free')
    return { kind: 'free', length: first.length, chords: first.chords, span: first.span, ...signs };
  const all = [...places].sort((a, b) => a - b).map((place) => items[place] as LinearBar);
  const held = all.every((bar) => bar.held);
  const written: WrittenBar = {
    kind: 'bar',
    meter: first.meter,
    ...(first.pickup ? { pickup: true } : {}),
    chords: first.chords.map((chord, i) => (i === 0 && held ? { ...chord, held: true } : chord)),
    heads: headsOf(all),
    bars: all.map(({ bar }) => bar),
    ...signs,
  };
  return written;
}

function headsOf(bars: readonly LinearBar[]): readonly SectionHead[] {
  const heads: { head: SectionHead; times: number[] }[] = [];
  bars.forEach(({ section, starts }, i) => {
    if (!starts) return;
    const { name, letter, swing } = section;
    const known = heads.find(({ head }) => head.name === name && head.letter === letter && head.swing === swing);
    if (known) known.times.push(i + 1);
    else heads.push({ head: { name, letter, ...(swing === undefined ? {} : { swing }) }, times: [i + 1] });
  });
  return heads.map(({ head, times }) => (times.length === bars.length ? head : { ...head, times }));
}
