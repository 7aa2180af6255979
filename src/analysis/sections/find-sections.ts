import { namesOnePlace } from '../../model/letters.js';
import type { Section } from '../../model/song-map.js';
import type { Seconds } from '../../music/units.js';
import type { BarSlot } from '../bars/bar-grid.js';
import type { Evidence } from '../evidence/evidence.js';
import { barLikeness, type BarLikeness } from './bar-likeness.js';
import { groupPassages } from './group.js';
import { letterOf, nameGroups } from './names.js';
import { keepUserSections, withoutRefused, type Kept } from './keep-user-sections.js';
import { segment } from './segment.js';
import { splitDoubles } from './split.js';

/**
 * Sections that tile the bars. The user's of `before` stay, each on the bar line nearest to its anchor and up to the one
 * nearest to its end, and none begins where the user refused one (`refused`, times); the others are suggested: what
 * belongs together by sound and harmony, what returns under one letter. Suggestions that start where one did keep its
 * identity, and take letter and name of the user's section they are alike, unless that is named for its place alone (a solo).
 */
export function findSections(
  evidence: Evidence,
  allBars: readonly BarSlot[],
  before: readonly Section[] = [],
  refused: readonly Seconds[] = [],
): Section[] {
  // A pickup belongs to the section that follows and does not count in its length.
  const bars = allBars.length > 1 && allBars[0]?.bar.pickup ? allBars.slice(1) : allBars;
  const first = allBars[0];
  if (!first) return [];
  const likeness = likenessOf(evidence, bars);
  const { kept, forced, barred } = keepUserSections(before, bars);
  // Taken out and not forbidden: what is refused in one bar would else be suggested three bars on.
  const ideas = splitDoubles(likeness, segment(likeness, { forced, barred }), barred);
  const starts = withoutRefused(ideas, bars, refused, forced);
  const mine = starts.map((bar) => kept.find((k) => k.firstBar === bar));
  const lending = mine.map((k) => (k && !namesOnePlace(k.section.name) ? k : undefined));
  const groups = groupPassages(
    likeness,
    starts,
    lending.map((k) => k?.section.letter || undefined),
  );
  const letters = lettersOf(groups, mine, lending);
  const names = nameGroups(starts, groups, bars.length);
  const used = new Set(before.map((section) => section.id));
  const free = before.filter((section) => section.origin === 'suggested');
  return starts.map((firstBar, i): Section => {
    // The first section starts with the first bar, a pickup too: sections tile the bars.
    const start = firstBar === 0 ? first.start : (bars[firstBar] as BarSlot).start;
    const letter = letters.get(groups[i] as number) as string;
    const user = mine[i]?.section;
    if (user) return { ...user, letter: user.letter || letter, start };
    const known = takeNearest(free, start, bars[firstBar] as BarSlot);
    const namesake = lending.find((k, j) => k !== undefined && groups[j] === groups[i])?.section;
    const idea = { name: namesake?.name ?? (names[i] as string), letter, start, origin: 'suggested' as const };
    if (!known) return { id: newId(used), ...idea };
    const { anchor, swing, strum, cue } = known;
    return {
      id: known.id,
      ...idea,
      ...(anchor === undefined ? {} : { anchor }),
      ...(swing === undefined ? {} : { swing }),
      ...(strum === undefined ? {} : { strum }),
      ...(cue === undefined ? {} : { cue }),
    };
  });
}

/** The likeness of the bars last asked for: most solves leave most bars as they were, many all of them. */
const cache = new WeakMap<Evidence, { readonly key: string; readonly likeness: BarLikeness }>();

function likenessOf(evidence: Evidence, bars: readonly BarSlot[]): BarLikeness {
  const key = bars.map((bar) => `${bar.start},${bar.end}`).join(' ');
  const known = cache.get(evidence);
  if (known?.key === key) return known.likeness;
  const likeness = barLikeness(evidence, bars);
  cache.set(evidence, { key, likeness });
  return likeness;
}

/** The user's letters stay with their groups; the other groups get the next letters that are free, in order. */
function lettersOf(
  groups: readonly number[],
  mine: readonly (Kept | undefined)[],
  lending: readonly (Kept | undefined)[],
): Map<number, string> {
  const letters = new Map<number, string>();
  groups.forEach((group, i) => {
    const letter = lending[i]?.section.letter;
    if (letter) letters.set(group, letter);
  });
  const taken = new Set(mine.flatMap((k) => (k?.section.letter ? [k.section.letter] : [])));
  let next = 0;
  for (const [i, group] of groups.entries()) {
    if (letters.has(group) || mine[i]?.section.letter) continue;
    while (taken.has(letterOf(next))) next += 1;
    letters.set(group, letterOf(next));
    taken.add(letterOf(next));
  }
  return letters;
}

/** Takes out the suggestion that started within half a bar of `start`. */
function takeNearest(free: Section[], start: number, bar: BarSlot): Section | undefined {
  const reach = (bar.end - bar.start) / 2;
  const at = free.findIndex((section) => Math.abs(section.start - start) <= reach);
  return at < 0 ? undefined : free.splice(at, 1)[0];
}

function newId(used: Set<string>): string {
  let n = used.size + 1;
  while (used.has(`s${n}`)) n += 1;
  used.add(`s${n}`);
  return `s${n}`;
}
