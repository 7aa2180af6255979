import { endingsCost, LONGEST_ENDING, MOST_ENDINGS, ODD_ENDING, repeatCost } from './cost.js';
import type { Likeness } from './likeness.js';

/** A repeat that could be written for the items from `start` to before `end`. */
export interface Repeat {
  readonly start: number;
  readonly end: number;
  /** Items of every pass before its ending. */
  readonly body: number;
  /** Where each pass begins. */
  readonly passes: readonly number[];
  /** In the order written; empty for a plain repeat. */
  readonly endings: readonly RepeatEnding[];
  /** Bars written and what the signs cost. */
  readonly cost: number;
}

export interface RepeatEnding {
  /** Its place in the first pass that has it. */
  readonly from: number;
  readonly length: number;
  /** Numbers of the passes that have it, from 1. */
  readonly passes: readonly number[];
}

/** How sections bound what may be repeated. */
export interface RepeatRules {
  /** Only one whole section again, or the second half of a section, with a first and a second ending at most. */
  readonly plain: boolean;
}

/** More passes than this: only the most there are, and those that end with a section, are looked at. */
const FEW_PASSES = 8;
/** Chains of passes looked at for one start and one body. */
const MOST_CHAINS = 48;

/**
 * All repeats that may be written, by their start. A repeat either lies inside one section, or each of its passes begins
 * with a section; then it ends with a section too, unless its last pass lies in one section (a tag may follow). It
 * never holds a free stretch or a pickup.
 */
export function repeatsByStart(like: Likeness, rules: RepeatRules): readonly (readonly Repeat[])[] {
  return Array.from({ length: like.size }, (_, start) => {
    const found: Repeat[] = [];
    if (like.barsEnd(start) > start) {
      for (const scope of scopesAt(like, start, rules)) {
        addPlain(found, like, start, scope);
        addWithEndings(found, like, start, scope);
      }
    }
    return cheapest(found);
  });
}

/** One way for a repeat to sit in the sections. */
interface Scope {
  /** Nothing of the repeat lies at or behind it. */
  readonly limit: number;
  readonly run: (a: number, b: number) => number;
  /** Whether a pass can go from here to there, where the next begins. */
  readonly passes: (from: number, to: number) => boolean;
  /** Whether a repeat whose last pass begins at `last` can end here. */
  readonly ends: (last: number, end: number) => boolean;
  /** Most passes of a repeat without endings, and of one with them. */
  readonly most: number;
  readonly mostWithEndings: number;
}

function scopesAt(like: Likeness, start: number, rules: RepeatRules): Scope[] {
  return rules.plain ? plainScopes(like, start) : allScopes(like, start);
}

function allScopes(like: Likeness, start: number): Scope[] {
  const most = { most: Infinity, mostWithEndings: Infinity };
  const end = like.sectionEnd(start);
  const scopes: Scope[] = [{ limit: end, run: like.looseRun, passes: () => true, ends: () => true, ...most }];
  if (!like.starts(start)) return scopes;
  scopes.push({
    limit: like.barsEnd(start),
    run: like.run,
    passes: (_, to) => like.starts(to),
    ends: (last, at) => like.sectionEnd(last) >= at || like.edge(at),
    ...most,
  });
  return scopes;
}

function plainScopes(like: Likeness, start: number): Scope[] {
  if (!like.starts(start)) return [];
  const end = like.sectionEnd(start);
  const halves = { passes: () => true, ends: (_: number, at: number) => at === end, most: 2, mostWithEndings: 2 };
  const whole = {
    passes: (from: number, to: number) => like.sectionEnd(from) === to,
    ends: (last: number, at: number) => like.sectionEnd(last) === at,
    most: Infinity,
    mostWithEndings: 2,
  };
  return [
    { limit: end, run: like.looseRun, ...halves },
    { limit: like.barsEnd(start), run: like.run, ...whole },
  ];
}

function addPlain(found: Repeat[], like: Likeness, start: number, scope: Scope): void {
  const { limit, run } = scope;
  for (let body = 1; start + 2 * body <= limit; body++) {
    const alike = Math.min(run(start, start + body), limit - start - body);
    if (alike < body || !scope.passes(start, start + body)) continue;
    // The same in shorter passes is another repeat, unless that would have too many.
    if (scope.most === Infinity && isRepetition(start, body, run)) continue;
    const most = Math.min(scope.most, 1 + Math.floor(alike / body));
    for (let passes = 2; passes <= most; passes++) {
      const end = start + passes * body;
      if (!scope.ends(end - body, end)) continue;
      if (passes > FEW_PASSES && passes < most && !like.edge(end)) continue;
      const cost = body + repeatCost(body, passes);
      if (cost >= end - start) continue;
      const starts = Array.from({ length: passes }, (_, pass) => start + pass * body);
      found.push({ start, end, body, passes: starts, endings: [], cost });
    }
  }
}

/** True when the body is itself something shorter played several times. */
function isRepetition(start: number, body: number, run: Scope['run']): boolean {
  for (let part = 1; 2 * part <= body; part++)
    if (body % part === 0 && run(start, start + part) >= body - part) return true;
  return false;
}

function addWithEndings(found: Repeat[], like: Likeness, start: number, scope: Scope): void {
  const { limit, run } = scope;
  const bodies = new Set<number>();
  for (let next = start + 3; next < limit; next++) {
    const alike = Math.min(run(start, next), limit - next);
    if (alike < 2 || !(scope.passes(start, next) || scope.passes(next - 1, next))) continue;
    // Where two endings part is where two passes stop being alike.
    if (next + alike < limit) bodies.add(alike);
    // Or a later pass stops where an earlier one goes on: [1. a b :| [2. a ].
    const longer = next - start - alike;
    if (alike > 2 && longer > 0 && longer < LONGEST_ENDING && scope.ends(next, next + alike)) bodies.add(alike - 1);
  }
  for (const body of bodies) addChains(found, like, start, body, scope);
}

/** Follows the passes that begin with the same `body` bars, each with its ending, as far as they go. */
function addChains(found: Repeat[], like: Likeness, start: number, body: number, scope: Scope): void {
  const longest = Math.min(LONGEST_ENDING, body);
  const { limit, run } = scope;
  let left = MOST_CHAINS;
  const withEnding = (endings: readonly RepeatEnding[], from: number, length: number, pass: number): RepeatEnding[] => {
    const same = endings.findIndex((ending) => ending.length === length && run(ending.from, from) >= length);
    if (same < 0) return [...endings, { from, length, passes: [pass] }];
    return endings.map((ending, i) => (i === same ? { ...ending, passes: [...ending.passes, pass] } : ending));
  };
  const follow = (passes: readonly number[], endings: readonly RepeatEnding[]): void => {
    if (left-- <= 0) return;
    const pass = passes.length;
    const last = passes[pass - 1] as number;
    const from = last + body;
    if (pass >= 2) {
      const lengths = new Set([...endings.map((ending) => ending.length), 1, like.sectionEnd(from) - from]);
      for (const length of lengths) {
        const end = from + length;
        if (length < 1 || length > longest || end > limit || !scope.ends(last, end)) continue;
        const all = withEnding(endings, from, length, pass);
        const final = all.at(-1);
        if (all.length < 2 || all.length > MOST_ENDINGS || !final?.passes.includes(pass)) continue;
        // What all endings begin with belongs to the body, unless one of them is nothing else.
        const alike = all.every((ending) => ending === all[0] || run(all[0]?.from ?? 0, ending.from) > 0);
        if (alike && all.every((ending) => ending.length > 1)) continue;
        const mixed = all.filter((ending) =>
          ending.passes.some((p, i) => i > 0 && p - (ending.passes[i - 1] ?? p) > 1),
        );
        const headed = all.filter((ending) => like.sectionEnd(ending.from - 1) < ending.from + ending.length);
        const odd = length !== all[0]?.length && !like.edge(end);
        const bars = all.reduce((sum, ending) => sum + ending.length, body);
        const cost = bars + endingsCost(all.length, mixed.length, headed.length) + (odd ? ODD_ENDING : 0);
        if (cost < end - start) found.push({ start, end, body, passes, endings: all, cost });
      }
    }
    if (pass >= scope.mostWithEndings) return;
    for (let next = from + 1; next <= from + longest && next + body < limit; next++) {
      if (!scope.passes(last, next) || run(start, next) < body) continue;
      const so = withEnding(endings, from, next - from, pass);
      if (so.length <= MOST_ENDINGS) follow([...passes, next], so);
    }
  };
  follow([start], []);
}

/** Of repeats over the same bars with a last pass of the same length, the cheapest. */
function cheapest(found: readonly Repeat[]): readonly Repeat[] {
  const best = new Map<string, Repeat>();
  for (const repeat of found) {
    const key = `${repeat.end} ${repeat.passes.at(-1)}`;
    if (repeat.cost < (best.get(key)?.cost ?? Infinity)) best.set(key, repeat);
  }
  return [...best.values()];
}
