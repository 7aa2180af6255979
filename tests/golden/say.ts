/** "1:02.31". */
export function clock(time: number): string {
  const hundredths = Math.round(100 * time);
  const seconds = (hundredths % 6000) / 100;
  return `${Math.floor(hundredths / 6000)}:${seconds < 10 ? '0' : ''}${seconds.toFixed(2)}`;
}

/** At most four figures: 95.13, 0.9871, 0.000013. */
export function number(value: number | undefined): string {
  return value === undefined ? 'none' : String(Number(value.toPrecision(4)));
}

/** The largest distance from a time to that at the same place, with its sign. */
export function moved(was: readonly number[], now: readonly number[]): number {
  return was.reduce((most, time, i) => {
    const by = (now[i] ?? time) - time;
    return Math.abs(by) > Math.abs(most) ? by : most;
  }, 0);
}

/** "bar 3", "bars 3 to 6", "bars 3, 5 to 7 and the pickup to bar 9". */
export function runs(names: readonly string[]): string {
  if (names.length === 1) return names[0] as string;
  const parts: { from: number; to: number }[] = [];
  const others: string[] = [];
  for (const name of names) {
    const bar = /^bar (\d+)$/.exec(name);
    const last = parts[parts.length - 1];
    if (!bar) others.push(name);
    else if (last?.to === Number(bar[1]) - 1) last.to++;
    else parts.push({ from: Number(bar[1]), to: Number(bar[1]) });
  }
  const bars = parts.map(({ from, to }) => (from === to ? `${from}` : `${from} to ${to}`)).join(', ');
  return [...(bars ? [`bars ${bars}`] : []), ...others].join(' and ');
}

/** Most that are said one by one. */
const FEW = 4;

/** A sentence each for a few; for more their number, what `many` says of them, and the first. */
export function several<T>(some: readonly T[], say: (one: T) => string, many: string): string[] {
  if (some.length <= FEW) return some.map(say);
  return [`${some.length} ${many} (first: ${say(some[0] as T)})`];
}

/** The first place at which two values differ, for what has no words of its own. */
export function otherwise(was: unknown, now: unknown, path = ''): string {
  if (typeof was !== 'object' || typeof now !== 'object' || !was || !now)
    return `${path || 'it'} is ${JSON.stringify(now)} instead of ${JSON.stringify(was)}`;
  const [a, b] = [was, now] as [Readonly<Record<string, unknown>>, Readonly<Record<string, unknown>>];
  const key = [...new Set([...Object.keys(a), ...Object.keys(b)])].find(
    (one) => JSON.stringify(a[one]) !== JSON.stringify(b[one]),
  );
  return key === undefined ? `${path || 'it'} is otherwise` : otherwise(a[key], b[key], path ? `${path}.${key}` : key);
}
