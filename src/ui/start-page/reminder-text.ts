import type { Keeping, SongSummary } from '../../state/ports.js';

/** Titles named one by one; the rest are counted. */
const NAMED = 5;

/** What is said where songs may not last, of those that are in no backup; undefined when nothing has to be said. */
export function reminderText(keeping: Keeping, songs: readonly Pick<SongSummary, 'title'>[]): string | undefined {
  if (keeping === 'kept' || songs.length === 0) return undefined;
  const named = songs.slice(0, NAMED).map(({ title }) => `“${title}”`);
  const more = songs.length - named.length;
  if (more > 0) named.push(`${more} more`);
  const list = named.length > 1 ? `${named.slice(0, -1).join(', ')} and ${named.at(-1)}` : named[0];
  const why =
    keeping === 'not kept'
      ? 'Songs here are gone when this page closes.'
      : 'This browser may clear songs when it runs short of space.';
  return `${why} Changed since the last backup: ${list}.`;
}
