/** Starts at most so far apart, in seconds, are those of the same bar, section or doubt. */
const SAME_PLACE = 0.07;

/** Each of `was` with the nearest of `now` at its place, and of the same key where there is one; then those left over. */
export function pairs<T>(
  was: readonly T[],
  now: readonly T[],
  time: (one: T) => number,
  key: (one: T) => string = () => '',
): (readonly [T | undefined, T | undefined])[] {
  const free = new Set(now);
  const found = was.map((one): readonly [T | undefined, T | undefined] => {
    let best: T | undefined;
    for (const other of free) {
      const away = Math.abs(time(other) - time(one));
      if (away <= SAME_PLACE && key(other) === key(one) && (!best || away < Math.abs(time(best) - time(one))))
        best = other;
    }
    if (best) free.delete(best);
    return [one, best];
  });
  return [...found, ...[...free].map((other): readonly [undefined, T] => [undefined, other])];
}
