import { readdirSync, readFileSync } from 'node:fs';

/** A file of /proc (Linux); empty where the process has ended meanwhile. */
function read(pid: number, file: string): string {
  try {
    return readFileSync(`/proc/${pid}/${file}`, 'utf8');
  } catch {
    return '';
  }
}

/** The browser's processes: the one with this number, or those with their user profile at this path, and all that descend from them. */
function family(browser: number | string): number[] {
  const all = readdirSync('/proc').map(Number).filter(Number.isInteger);
  const parents = new Map(
    all.map((pid) => {
      const stat = read(pid, 'stat');
      // The name in brackets may hold spaces: the state and the parent follow the last bracket.
      return [pid, Number(stat.slice(stat.lastIndexOf(')') + 2).split(' ')[1])];
    }),
  );
  const found = all.filter((pid) =>
    typeof browser === 'number' ? pid === browser : read(pid, 'cmdline').includes(`--user-data-dir=${browser}`),
  );
  for (const one of found)
    for (const [child, parent] of parents) if (parent === one && !found.includes(child)) found.push(child);
  return found;
}

/** Proportional set size of a browser, in megabytes: pages that its processes share count once among them. */
export function proportionalSize(browser: number | string): number {
  const sizes = family(browser).map((pid) => Number(/^Pss:\s+(\d+) kB/m.exec(read(pid, 'smaps_rollup'))?.[1] ?? 0));
  return sizes.reduce((sum, kilobytes) => sum + kilobytes, 0) / 1024;
}

/** Bytes of the largest page of a browser that are its own: what it maps from files is not counted. */
export function largestPage(browser: number | string): number {
  const pages = family(browser).filter((pid) => read(pid, 'cmdline').includes('--type=renderer'));
  return Math.max(0, ...pages.map((pid) => 1024 * Number(/RssAnon:\s+(\d+) kB/.exec(read(pid, 'status'))?.[1] ?? 0)));
}
