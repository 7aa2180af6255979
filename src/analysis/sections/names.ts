import { msg } from '@lit/localize';

/**
 * Names from place and recurrence alone: what opens the song and is short is an intro, what closes it an outro; of what
 * returns, the earlier is the verse and the later the chorus; what alone comes once, in the second half, is a bridge. The rest
 * goes by its letter. Common practice, no source.
 */
export function nameGroups(starts: readonly number[], groups: readonly number[], bars: number): string[] {
  const count = starts.length;
  const lengthOf = (i: number): number => (starts[i + 1] ?? bars) - (starts[i] as number);
  const times = new Map<number, number>();
  const covered = new Map<number, number>();
  groups.forEach((group, i) => {
    times.set(group, (times.get(group) ?? 0) + 1);
    covered.set(group, (covered.get(group) ?? 0) + lengthOf(i));
  });
  const returning = [...times.keys()]
    .filter((group) => (times.get(group) ?? 0) > 1)
    .sort((a, b) => (covered.get(b) ?? 0) - (covered.get(a) ?? 0))
    .slice(0, 2)
    .sort((a, b) => groups.indexOf(a) - groups.indexOf(b));
  const named = new Map<number, string>();
  if (returning[0] !== undefined) named.set(returning[0], msg('Verse'));
  if (returning[1] !== undefined) named.set(returning[1], msg('Chorus'));
  const bridges = groups.filter((group, i) => (times.get(group) ?? 0) === 1 && i !== 0 && i !== count - 1);
  const once = (i: number): boolean => (times.get(groups[i] as number) ?? 0) === 1;
  return groups.map((group, i) => {
    const name = named.get(group);
    if (name !== undefined) return name;
    if (i === 0 && once(i) && count > 2 && lengthOf(i) <= 16) return msg('Intro');
    if (i === count - 1 && once(i) && count > 2 && lengthOf(i) <= 24) return msg('Outro');
    const middle = (starts[i] as number) + lengthOf(i) / 2 > bars / 2;
    if (once(i) && middle && returning.length === 2 && bridges.length === 1) return msg('Bridge');
    return letterOf(group);
  });
}

/** A to Z, then AA, AB and so on. */
export function letterOf(group: number): string {
  const last = String.fromCharCode(65 + (group % 26));
  return group < 26 ? last : letterOf(Math.floor(group / 26) - 1) + last;
}
