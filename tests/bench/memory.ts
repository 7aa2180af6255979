import { readdirSync, readFileSync } from 'node:fs';

/** The process that was started with a user profile at `profile`, and all that descend from it (Linux: /proc). */
function family(profile: string): number[] {
  const parents = new Map<number, number>();
  const found: number[] = [];
  for (const name of readdirSync('/proc')) {
    if (!/^\d+$/.test(name)) continue;
    try {
      const stat = readFileSync(`/proc/${name}/stat`, 'utf8');
      // The name in brackets may hold spaces: the state and the parent follow the last bracket.
      parents.set(Number(name), Number(stat.slice(stat.lastIndexOf(')') + 2).split(' ')[1]));
      if (readFileSync(`/proc/${name}/cmdline`, 'utf8').includes(`--user-data-dir=${profile}`))
        found.push(Number(name));
    } catch {
      // It ended meanwhile.
    }
  }
  for (const one of found)
    for (const [child, parent] of parents) if (parent === one && !found.includes(child)) found.push(child);
  return found;
}

/** Proportional set size of a browser, in megabytes: pages that its processes share count once among them. */
export function proportionalSize(profile: string): number {
  let kilobytes = 0;
  for (const pid of family(profile)) {
    try {
      kilobytes += Number(/^Pss:\s+(\d+) kB/m.exec(readFileSync(`/proc/${pid}/smaps_rollup`, 'utf8'))?.[1] ?? 0);
    } catch {
      // It ended meanwhile.
    }
  }
  return kilobytes / 1024;
}
