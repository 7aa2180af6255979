import { msg, str } from '@lit/localize';
import { beatsWords, halfWords } from '../../model/length-words.js';
import type { Bar, Doubt, LockDraft, Span } from '../../model/song-map.js';
import { beatsOf, withBeats } from '../../music/meter.js';
import type { Seconds } from '../../music/units.js';
import { barCases, type BarCase } from '../bars/bar-cases.js';
import type { BuiltSpans } from '../bars/build-spans.js';
import { edgeDoubts } from './edge-doubts.js';
import type { Evidence } from '../evidence/evidence.js';
import { freeDoubts } from './free-doubts.js';
import { LEVEL_WEIGHT, levelDoubts } from './level-doubt.js';
import type { RhythmLocks } from '../locks/rhythm-locks.js';

/** Bars less sure than this are worth a listen. */
const SURE = 0.98;
/** At most so many doubts: a list that nobody finishes helps nobody. */
const MOST = 40;
/** What each further bar of the same cause adds to a doubt's weight, and the most that they add. */
const EACH_MORE = 0.02;
const MOST_MORE = 0.2;

/** The places where the solver is least sure, worst first; bars that a lock settles are not among them. */
export function rhythmDoubts(evidence: Evidence, built: BuiltSpans, locks: RhythmLocks): Doubt[] {
  const all = barCases(built, locks);
  const free = freeDoubts(evidence, all, locks);
  const inFree = (at: number): boolean => free.some(({ first, last }) => at >= first && at <= last);
  const last = all.length - 1;
  const { spans, plan } = built;
  const end = spans[spans.length - 1]?.kind === 'tail' ? (spans[spans.length - 1] as Span).start : locks.end;
  const edges = edgeDoubts(evidence, all, plan, locks, end).filter(({ time }) => {
    return !inFree(time === all[last]?.bar.start ? last : all.findIndex(({ bar }) => bar.start === time));
  });
  const doubts: Doubt[] = [...free.map(({ doubt }) => doubt), ...edges];
  const taken = new Set(doubts.map(({ time }) => time));
  const cases = all.filter(
    ({ bar, settled, kind }, i) =>
      !settled && bar.confidence < SURE && !taken.has(bar.start) && !(kind === 'weak' && inFree(i)),
  );
  for (let i = 0; i < cases.length;) {
    const first = cases[i] as BarCase;
    let to = i;
    while (cases[to + 1] && sameCause(cases[to] as BarCase, cases[to + 1] as BarCase)) to++;
    doubts.push(barDoubt(cases.slice(i, to + 1), first));
    i = to + 1;
  }
  doubts.push(...levelDoubts(evidence, built, locks, taken));
  return doubts.sort((a, b) => b.weight - a.weight).slice(0, MOST);
}

/** Neighbours that are off in the same way, or of which nothing else is known, are one question. */
function sameCause(a: BarCase, b: BarCase): boolean {
  return b.number === a.number + 1 && a.kind === b.kind && a.kind !== 'length' && a.shift === b.shift;
}

function barDoubt(run: readonly BarCase[], first: BarCase): Doubt {
  const worst = Math.min(...run.map(({ bar }) => bar.confidence));
  const weight = Math.min(LEVEL_WEIGHT, 1 - worst + Math.min(MOST_MORE, EACH_MORE * (run.length - 1)));
  const { bar, kind } = first;
  const last = run[run.length - 1] as BarCase;
  const where = run.length > 1 ? barsName(first.number, last.number) : barName(first);
  const base = { time: bar.start, weight, kind };
  if (kind === 'length' && first.otherBeats !== undefined) {
    const { otherBeats, rest } = first;
    const length = (time: Seconds, beats: number): LockDraft => ({
      kind: 'bar-length',
      time,
      meter: withBeats(bar.meter, beats),
    });
    const beats = beatsWords(beatsOf(bar.meter));
    const [one, two] = [halfWords(otherBeats), halfWords(rest?.beats ?? 0)];
    return {
      ...base,
      text: rest ? msg(str`${where}: ${beats}, or ${one} and ${two}?`) : msg(str`${where}: ${beats} or ${one}?`),
      keep: [lengthLock(bar)],
      other: [length(bar.start, otherBeats), ...(rest ? [length(rest.start, rest.beats)] : [])],
    };
  }
  if (kind === 'phase' && first.otherStart !== undefined) {
    return {
      ...base,
      text: phaseText(where, first.shift),
      keep: bar.pickup ? [lengthLock(bar)] : [{ kind: 'downbeat', time: bar.start }, lengthLock(bar)],
      other: [{ kind: 'downbeat', time: first.otherStart }],
    };
  }
  return {
    ...base,
    kind: 'weak',
    text:
      run.length > 1
        ? msg(str`${where}: are they right? Little is heard that tells.`)
        : msg(str`${where}: ${beatsWords(beatsOf(bar.meter))}? Little is heard that tells.`),
    keep: run.map((each) => lengthLock(each.bar)),
    other: [],
  };
}

function barName({ bar, number }: BarCase): string {
  return bar.pickup && number > 0 ? msg(str`The pickup to bar ${number + 1}`) : msg(str`Bar ${number}`);
}

function barsName(first: number, last: number): string {
  return last === first + 1 ? msg(str`Bars ${first} and ${last}`) : msg(str`Bars ${first} to ${last}`);
}

function phaseText(where: string, shift: number): string {
  const beats = Math.abs(shift);
  if (beats === 1)
    return shift > 0
      ? msg(str`${where}: does beat 1 come here, or one beat later?`)
      : msg(str`${where}: does beat 1 come here, or one beat earlier?`);
  return shift > 0
    ? msg(str`${where}: does beat 1 come here, or ${beats} beats later?`)
    : msg(str`${where}: does beat 1 come here, or ${beats} beats earlier?`);
}

function lengthLock(bar: Bar): LockDraft {
  return { kind: 'bar-length', time: bar.start, meter: bar.meter };
}
