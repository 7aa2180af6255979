import { msg, str } from '@lit/localize';
import type { Keeping, SongSummary } from '../kit/ports.js';

/** Titles named one by one; the rest are counted. */
const NAMED = 5;

/** What is said where songs may not last, of those that are in no backup; undefined when nothing has to be said. */
export function reminderText(keeping: Keeping, songs: readonly Pick<SongSummary, 'title'>[]): string | undefined {
  if (keeping === 'kept' || songs.length === 0) return undefined;
  const named = songs.slice(0, NAMED).map(({ title }) => `“${title}”`);
  const more = songs.length - named.length;
  if (more > 0) named.push(msg(str`${more} more`));
  const last = named.pop() ?? '';
  const others = named.join(', ');
  const list = others === '' ? last : msg(str`${others} and ${last}`);
  const why =
    keeping === 'not kept'
      ? msg('Songs here are gone when this page closes.')
      : msg('This browser may clear songs when it runs short of space.');
  return `${why} ${msg(str`Changed since the last backup: ${list}.`)}`;
}
