import { INSIDE_REPEAT, INSIDE_SECTION, jumpCost, SHORTEST_REPLAY, WITH_REPEATS } from './cost.js';
import type { Likeness } from './likeness.js';
import type { Repeat } from './repeats.js';
import { tilingsFrom, tilingsTo, type Piece, type Tilings } from './tiling.js';

/** How the whole song is written: the pieces in written order, and the jump with the items it plays again. */
export interface Plan {
  readonly pieces: readonly Piece[];
  readonly cost: number;
  readonly replay?: Replay;
}

export interface Replay {
  /** Where it goes back to, and where in the song that is played again: from `from` to before `to`. */
  readonly segno: number;
  readonly from: number;
  readonly to: number;
  readonly withRepeats: boolean;
}

/**
 * Which jumps may be written: any; `plain`: only those without repeats, whose signs stand at the end of a section and at no
 * repeat; none.
 */
export type Jumps = 'any' | 'plain' | 'none';

type Repeats = readonly (readonly Repeat[])[];

/** The cheapest plan, with one jump or without. */
export function bestPlan(like: Likeness, repeats: Repeats, jumps: Jumps): Plan {
  const { size } = like;
  const toEnd = tilingsTo(repeats, size);
  let best: { cost: number; make: () => Plan } = {
    cost: toEnd.cost(0),
    make: () => ({ pieces: toEnd.pieces(0), cost: toEnd.cost(0) }),
  };
  // Whatever the jump, each kind of bar is written at least once.
  const least = like.kinds + jumpCost({ segno: false, coda: false });
  if (jumps === 'none' || best.cost <= least) return best.make();
  const fromStart = tilingsFrom(repeats, 0);
  const heads = Array.from({ length: size }, (_, place) => place).filter((place) => like.starts(place));
  const plain = jumps === 'plain';
  const insides = plain ? [] : insideStarts(like, repeats, fromStart);
  const froms = new Map<number, Tilings>();
  const leastToEnd: number[] = [];
  for (let place = 0; place <= size; place++)
    leastToEnd.push(Math.min(leastToEnd[place - 1] ?? Infinity, toEnd.cost(place)));
  for (const from of heads) {
    const segnos = heads.filter((head) => head < from && like.run(head, from) > 0);
    const inner = insides.filter(({ repeat, at }) => repeat.end <= from && like.run(at, from) > 0);
    if (segnos.length + inner.length === 0) continue;
    const own = plain ? repeats.map((each) => each.filter((repeat) => repeat.end !== from)) : repeats;
    const toJump = tilingsTo(own, from);
    const search: Search = { like, repeats: own, fromStart, toJump, toEnd, from, leastToEnd, bound: best.cost, plain };
    for (const segno of plain ? [] : segnos) {
      const found = withRepeats(search, segno, froms);
      if (found && found.cost < best.cost - 1e-9) best = found;
    }
    const found = withoutRepeats({ ...search, bound: best.cost }, segnos, inner);
    if (found && found.cost < best.cost - 1e-9) best = found;
  }
  return best.make();
}

/** What the search for a jump to one place of the song knows. */
interface Search {
  readonly like: Likeness;
  readonly repeats: Repeats;
  /** Of the stretches from the song's start, to the jump sign, and to the song's end. */
  readonly fromStart: Tilings;
  readonly toJump: Tilings;
  readonly toEnd: Tilings;
  /** Where the replay begins in the song as played; the jump sign is written before it. */
  readonly from: number;
  /** The least that `toEnd` costs from a place or any before it. */
  readonly leastToEnd: readonly number[];
  /** What the cheapest plan so far costs. */
  readonly bound: number;
  /** As Jumps says. */
  readonly plain: boolean;
}

/** Jump cost, by where it goes back to, where the replay ends, and whether Coda or Fine ends a section. */
function signs({ like }: Search, segno: number, to: number, end: number): number {
  return jumpCost({ segno: segno > 0, coda: to < like.size }) + (like.edge(end) ? 0 : INSIDE_SECTION);
}

/** The best jump back to `segno` after which repeats are taken again: any writing of the stretch will do. */
function withRepeats(
  search: Search,
  segno: number,
  froms: Map<number, Tilings>,
): { cost: number; make: () => Plan } | undefined {
  const { like, from, fromStart, toJump, toEnd } = search;
  const most = Math.min(from - 1, segno + like.run(segno, from)) - segno;
  if (most < SHORTEST_REPLAY) return undefined;
  const between = froms.get(segno) ?? tilingsFrom(search.repeats, segno);
  froms.set(segno, between);
  let cost = Infinity;
  let length = 0;
  for (let n = SHORTEST_REPLAY; n <= most; n++) {
    const inner = between.cost(segno + n);
    const outer = fromStart.cost(segno) + toJump.cost(segno + n) + toEnd.cost(from + n);
    const total = inner + outer + signs(search, segno, from + n, segno + n) + (inner < n - 1e-9 ? WITH_REPEATS : 0);
    if (total < cost) [cost, length] = [total, n];
  }
  const make = (): Plan => {
    const inner = between.pieces(segno + length);
    return {
      pieces: [...fromStart.pieces(segno), ...inner, ...toJump.pieces(segno + length), ...toEnd.pieces(from + length)],
      cost,
      replay: { segno, from, to: from + length, withRepeats: inner.some((piece) => piece.kind === 'repeat') },
    };
  };
  return { cost, make };
}

/** A segno inside a repeat: at the beginning of a section in its last pass. */
interface InsideStart {
  readonly repeat: Repeat;
  readonly at: number;
  /** Of the song up to the end of the repeat. */
  readonly cost: number;
}

/** Of those at the same place in repeats with the same end, the cheapest. */
function insideStarts(like: Likeness, repeats: Repeats, fromStart: Tilings): readonly InsideStart[] {
  const best = new Map<number, InsideStart>();
  for (const repeat of repeats.flat()) {
    const cost = fromStart.cost(repeat.start) + repeat.cost;
    for (let at = (repeat.passes.at(-1) as number) + 1; at < repeat.end; at++) {
      const key = at * (like.size + 1) + repeat.end;
      if (like.starts(at) && cost < (best.get(key)?.cost ?? Infinity)) best.set(key, { repeat, at, cost });
    }
  }
  return [...best.values()];
}

/** A state of the search: the song is written up to `at`, and the replay has come to `heard`. */
interface State {
  readonly at: number;
  readonly heard: number;
  readonly cost: number;
  readonly segno: number;
  /** What was written last; before it, the state before, or at the segno what leads up to it. */
  readonly piece?: Piece;
  readonly before?: State;
}

/**
 * How far the song from `heard` on is what a repeat's last pass is from `at` on. A section that began with the first pass
 * only begins again when the replay comes to it.
 */
function replayed(like: Likeness, repeat: Repeat, at: number, heard: number): number {
  if (at !== repeat.passes.at(-1) || like.starts(at) || !like.starts(repeat.start)) return like.run(at, heard);
  const first = like.starts(heard) && like.looseRun(at, heard) > 0;
  return first ? 1 + like.run(at + 1, heard + 1) : 0;
}

/** The best jump after which repeats are not taken: the replay follows the last pass of each repeat. */
function withoutRepeats(
  search: Search,
  segnos: readonly number[],
  insides: readonly InsideStart[],
): { cost: number; make: () => Plan } | undefined {
  const { like, repeats, from, fromStart, toJump, toEnd, plain } = search;
  // States by `at`, then by `heard`: pieces only lead forward.
  const states: Map<number, State>[] = Array.from({ length: from + 1 }, () => new Map<number, State>());
  const affordable = search.bound - jumpCost({ segno: false, coda: false });
  const reach = (state: State): void => {
    // The rest up to the jump has still to be written, and what the replay can at most not reach.
    const farthest = Math.min(like.size, state.heard + from - state.at);
    if (state.cost + toJump.cost(state.at) + (search.leastToEnd[farthest] as number) >= affordable) return;
    const known = states[state.at]?.get(state.heard);
    if (!known || state.cost < known.cost - 1e-9) states[state.at]?.set(state.heard, state);
  };
  let best: { cost: number; state: State; to: number } | undefined;
  const finish = (state: State, to: number, end: number, extra: number): void => {
    if (to - from < SHORTEST_REPLAY || (plain && (state.piece?.kind === 'repeat' || !like.edge(end)))) return;
    const cost = state.cost + toJump.cost(state.at) + toEnd.cost(to) + signs(search, state.segno, to, end) + extra;
    if (cost < (best?.cost ?? Infinity) - 1e-9) best = { cost, state, to };
  };
  /** The replay goes through the last pass of a repeat from `at` on, as far as the song does; Coda or Fine may cut it. */
  const through = (repeat: Repeat, at: number, heard: number, state: Omit<State, 'at' | 'heard'>): void => {
    const all = repeat.end - at;
    const alike = Math.min(replayed(like, repeat, at, heard), all);
    const next: State = { ...state, at: repeat.end, heard: heard + alike, piece: { kind: 'repeat', repeat } };
    if (alike === all) reach(next);
    if (plain) return;
    for (let n = 1; n <= Math.min(alike, all - 1); n++)
      if (n === alike || like.edge(at + n)) finish(next, heard + n, at + n, INSIDE_REPEAT);
  };
  for (const segno of segnos) reach({ at: segno, heard: from, cost: fromStart.cost(segno), segno });
  for (const { repeat, at, cost } of insides) through(repeat, at, from, { cost: cost + INSIDE_REPEAT, segno: at });
  for (let at = 0; at < from; at++) {
    for (const state of states[at]?.values() ?? []) {
      finish(state, state.heard, at, 0);
      const { heard, cost, segno } = state;
      if (at + 1 < from && like.run(at, heard) > 0)
        reach({
          at: at + 1,
          heard: heard + 1,
          cost: cost + 1,
          segno,
          piece: { kind: 'item', place: at },
          before: state,
        });
      for (const repeat of repeats[at] ?? []) {
        if (repeat.end > from) continue;
        const last = repeat.passes.at(-1) as number;
        through(repeat, last, heard, { cost: cost + repeat.cost, segno, before: state });
      }
    }
  }
  if (!best) return undefined;
  const { cost, state, to } = best;
  const make = (): Plan => {
    const inner: Piece[] = [];
    let first: State = state;
    for (let s: State | undefined = state; s; s = s.before) {
      first = s;
      if (s.piece) inner.push(s.piece);
    }
    const head = first.piece?.kind === 'repeat' ? first.piece.repeat.start : first.at;
    return {
      pieces: [...fromStart.pieces(head), ...inner.reverse(), ...toJump.pieces(state.at), ...toEnd.pieces(to)],
      cost,
      replay: { segno: state.segno, from, to, withRepeats: false },
    };
  };
  return { cost, make };
}
