import { differs, type SpanFact } from './facts.js';
import { pairs } from './pairs.js';
import { clock, moved, number, runs, several } from './say.js';

/** What differs between the bars and other stretches of two maps. */
export function spanWords(was: readonly SpanFact[], now: readonly SpanFact[]): string[] {
  const differing: { bar: string; how: string }[] = [];
  const surer: { bar: string; from: number; to: number }[] = [];
  const shifts: { bar: string; by: number }[] = [];
  const others: string[] = [];
  const gone: SpanFact[] = [];
  const fresh: SpanFact[] = [];
  pairs(was, now, ({ start }) => start).forEach(([a, b]) => {
    if (!a || !b) {
      if (a) gone.push(a);
      if (b) fresh.push(b);
      return;
    }
    if (!differs(a, b)) return;
    const [kind, other] = [a.times ? 'bar' : a.span, b.times ? 'bar' : b.span];
    if (kind !== other)
      others.push(
        `from ${clock(b.start)} on there is ${b.times ? b.span : `a ${other}`} instead of ${a.times ? a.span : `a ${kind}`}`,
      );
    else if (a.beats !== b.beats)
      differing.push({ bar: b.span, how: `${number(b.beats)} beats instead of ${number(a.beats)}` });
    else if (a.meter !== b.meter)
      differing.push({ bar: b.span, how: `the time signature ${b.meter} instead of ${a.meter}` });
    else if (a.pickup !== b.pickup) others.push(`${b.span} is ${b.pickup ? 'a pickup' : 'no pickup any more'}`);
    if (differs(a.sure, b.sure)) surer.push({ bar: b.span, from: a.sure ?? 0, to: b.sure ?? 0 });
    const by = moved([a.start, ...(a.times ?? [])], [b.start, ...(b.times ?? [])]);
    if (differs(by, 0)) shifts.push({ bar: b.span, by });
  });
  const hows = [...new Set(differing.map(({ how }) => how))];
  return [
    ...hows.map((how) => {
      const bars = differing.filter((one) => one.how === how).map(({ bar }) => bar);
      return `${runs(bars)} ${bars.length === 1 ? 'has' : 'have'} ${how}`;
    }),
    ...others,
    ...several(
      gone,
      ({ span, start }) => `${span} no longer begins at ${clock(start)}`,
      `of ${was.length} bar lines are gone`,
    ),
    ...several(
      fresh,
      ({ span, start, beats }) =>
        `${span} begins at ${clock(start)}${beats === undefined ? '' : `, ${number(beats)} beats`}`,
      `of ${now.length} bar lines are new`,
    ),
    ...(shifts.length > 0 ? [shiftWords(shifts)] : []),
    ...(surer.length > 0 ? [sureWords(surer)] : []),
  ];
}

function shiftWords(shifts: readonly { bar: string; by: number }[]): string {
  const far = shifts.reduce((a, b) => (Math.abs(b.by) > Math.abs(a.by) ? b : a));
  const ms = `${number(1000 * Math.abs(far.by))} ms ${far.by < 0 ? 'earlier' : 'later'}`;
  return shifts.length === 1
    ? `beats of ${far.bar} moved by up to ${ms}`
    : `beats of ${shifts.length} bars moved, farthest in ${far.bar}: ${ms}`;
}

function sureWords(surer: readonly { bar: string; from: number; to: number }[]): string {
  const most = surer.reduce((a, b) => (Math.abs(b.to - b.from) > Math.abs(a.to - a.from) ? b : a));
  const words = `${most.bar} is ${number(most.to)} sure instead of ${number(most.from)}`;
  return surer.length === 1 ? words : `the confidence of ${surer.length} bars differs, most: ${words}`;
}
