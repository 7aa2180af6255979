import { msg } from '@lit/localize';
import { strumFault, type Strum } from '../../music/strum.js';
import type { BarIndex } from '../../music/units.js';
import { nextId } from '../ids.js';
import { letterFor, namesOnePlace, nextLetter } from '../letters.js';
import { sameTime } from '../lock-holds.js';
import { barStartingAt, barsOf, sectionBars, sectionOfBar, type BarRange } from '../map-queries.js';
import type { Section, SongMap } from '../song-map.js';
import { theBar } from './bars.js';
import { cleanName } from './clean-name.js';
import { EditProblem } from './problem.js';

/**
 * Bars `first` to `last` (both included) are one section of this name; a pickup goes with the bar after it. Sections inside
 * it go; one that reaches into it is cut, and what is left of it behind goes on under its own name. When the bars are a
 * suggested section, or most of one and not much else, the other suggestions of its letter are passes of the same and take
 * the name too, still as suggestions, unless it names one place alone (a solo); what is left of that section is then something else and gets a letter of its own.
 */
export function nameSection(map: SongMap, first: BarIndex, last: BarIndex, name: string): SongMap {
  const clean = cleanName(name);
  theBar(map, first);
  theBar(map, last);
  if (last < first) throw new EditProblem(msg('Select the bars from left to right, at least one.'));
  const from = barsOf(map)[first - 1]?.pickup ? first - 1 : first;
  const { start } = theBar(map, from);
  const before = map.sections.filter((_, i) => (sectionBars(map, i)?.first ?? 0) < from);
  const own = map.sections.find((_, i) => {
    const range = sectionBars(map, i);
    return range !== undefined && range.first === from && range.last <= last;
  });
  const had = own ?? mostlyNamed(map, { first: from, last });
  const id = own?.id ?? nextId('S', map.sections);
  const bare: Section = { id, name: clean, letter: '', start, anchor: start, origin: 'user' };
  const named: Section = {
    ...bare,
    ...(own?.swing === undefined ? {} : { swing: own.swing }),
    ...(own?.strum === undefined ? {} : { strum: own.strum }),
    ...(own?.cue === undefined ? {} : { cue: own.cue }),
  };
  const after = sectionsFrom(map, last + 1, before, id);
  const others = [...before, ...after];
  const alone = standsAlone(clean, had, others);
  const letter = letterFor(clean, alone ? undefined : had?.letter, others);
  const sections = [...before, { ...named, letter }, ...after];
  if (!had) return { ...map, sections };
  const range = sectionBars(map, map.sections.indexOf(had));
  const isLeft = (section: Section): boolean => {
    const bar = barStartingAt(map, section.start);
    return section.id !== id && bar !== undefined && range !== undefined && bar >= range.first && bar <= range.last;
  };
  const apart = setApart(sections, had, isLeft);
  return { ...map, sections: alone ? apart : spreadName(apart, had, { name: clean, letter, id }) };
}

/** The suggested section that is named when bars are: more than half of it, and more than half of the bars. */
function mostlyNamed(map: SongMap, bars: BarRange): Section | undefined {
  return map.sections.find((section, i) => {
    const range = sectionBars(map, i);
    if (section.origin !== 'suggested' || !range) return false;
    const shared = wholeBars(map, Math.max(bars.first, range.first), Math.min(bars.last, range.last));
    return 2 * shared > wholeBars(map, range.first, range.last) && 2 * shared > wholeBars(map, bars.first, bars.last);
  });
}

function wholeBars(map: SongMap, first: BarIndex, last: BarIndex): number {
  return barsOf(map).filter((bar, i) => i >= first && i <= last && !bar.pickup).length;
}

/** What is left of a section after most of it was named is not of its letter any more. */
function setApart(
  sections: readonly Section[],
  had: Section,
  isLeft: (section: Section) => boolean,
): readonly Section[] {
  let all = sections;
  for (const section of sections) {
    if (section.origin !== 'suggested' || section.letter !== had.letter || !isLeft(section)) continue;
    const letter = nextLetter(all);
    const name = section.name === section.letter ? letter : section.name;
    all = all.map((other) => (other === section ? { ...section, letter, name } : other));
  }
  return all;
}

/** The sections from a bar on; the one that is under way there goes on from it, its edge now the user's. */
function sectionsFrom(map: SongMap, bar: BarIndex, before: readonly Section[], namedId: string): readonly Section[] {
  const start = barsOf(map)[bar]?.start;
  const place = sectionOfBar(map, bar);
  if (start === undefined || place === undefined) return [];
  const [under, ...later] = map.sections.slice(place);
  if (!under) return [];
  const cut = before.includes(under);
  const id = cut ? nextId('S', [...map.sections, { id: namedId }]) : under.id;
  // The line for the chart belongs to where the section begins.
  const { cue, ...bare } = under;
  const kept = cut || cue === undefined ? bare : under;
  return [{ ...kept, id, start, anchor: under.start === start ? (under.anchor ?? start) : start }, ...later];
}

/** Suggestions of the letter that a section had before the user named it are passes of the same: they take its name and letter. */
function spreadName(
  sections: readonly Section[],
  had: Section,
  { name, letter, id }: Pick<Section, 'name' | 'letter' | 'id'>,
): readonly Section[] {
  // The user may have called another section of this letter by its name: then they belong to that.
  const isTaken = sections.some(
    (section) => section.origin === 'user' && section.id !== id && section.letter === had.letter,
  );
  if (isTaken && letter !== had.letter) return sections;
  return sections.map((section) => {
    const isPass = section.origin === 'suggested' && section.id !== id && section.letter === had.letter;
    return isPass ? { ...section, name, letter } : section;
  });
}

/** The user agrees with a suggested section. */
export function acceptSection(map: SongMap, id: string): SongMap {
  theSection(map, id);
  return withSections(map, (section) => (section.id === id ? accepted(section) : section));
}

/** The user agrees with all suggested sections. */
export function acceptAllSections(map: SongMap): SongMap {
  return withSections(map, accepted);
}

function accepted(section: Section): Section {
  if (section.origin === 'user' && section.anchor !== undefined) return section;
  return { ...section, origin: 'user', anchor: section.anchor ?? section.start };
}

/**
 * A section starts at another bar, between the starts of its neighbours (it stops one bar short of them). The first
 * section always starts with the first bar: moving it throws EditProblem.
 */
export function moveSectionEdge(map: SongMap, id: string, bar: BarIndex): SongMap {
  const place = theSection(map, id);
  if (place === 0) throw new EditProblem(msg('The first section starts with the first bar: move its end instead.'));
  const low = (sectionBars(map, place - 1)?.first ?? 0) + 1;
  const high = sectionBars(map, place)?.last ?? low;
  const start = theBar(map, Math.min(Math.max(bar, low), high)).start;
  return withSections(map, (section, i) => {
    return i === place ? { ...section, start, anchor: start, origin: 'user' } : section;
  });
}

/** Cuts the section that holds a bar in two before that bar; both parts keep the name. */
export function splitSection(map: SongMap, bar: BarIndex): SongMap {
  const { start } = theBar(map, bar);
  const place = sectionOfBar(map, bar);
  const section = place === undefined ? undefined : map.sections[place];
  if (place === undefined || !section || sectionBars(map, place)?.first === bar) {
    throw new EditProblem(msg('A section starts with this bar already: choose a bar inside it.'));
  }
  const { cue: _, ...bare } = section;
  const second: Section = { ...bare, id: nextId('S', map.sections), start, anchor: start, origin: 'user' };
  const first: Section = accepted(section);
  return { ...map, sections: [...map.sections.slice(0, place), first, second, ...map.sections.slice(place + 1)] };
}

/** The sections from one to another become one, with the name of the first. */
export function mergeSections(map: SongMap, firstId: string, lastId: string): SongMap {
  const a = theSection(map, firstId);
  const b = theSection(map, lastId);
  const [first, last] = a < b ? [a, b] : [b, a];
  if (first === last) throw new EditProblem(msg('Choose at least two sections to merge.'));
  return {
    ...map,
    sections: map.sections
      .filter((_, i) => i <= first || i > last)
      .map((section, i) => {
        if (i === first) return accepted(section);
        // Where the merged one ends is a decision as well.
        return i === first + 1 ? { ...section, anchor: section.anchor ?? section.start } : section;
      }),
  };
}

/** Another name for a section; its letter follows (see letterFor), as do the suggestions of its letter, unless it names one place alone. */
export function renameSection(map: SongMap, id: string, name: string): SongMap {
  const clean = cleanName(name);
  const section = map.sections[theSection(map, id)];
  if (!section) return map;
  const others = map.sections.filter((other) => other.id !== id);
  const alone = standsAlone(clean, section, others);
  const letter = letterFor(clean, alone ? undefined : section.letter, others);
  const renamed = map.sections.map((other) => {
    return other.id === id ? { ...accepted(section), name: clean, letter } : other;
  });
  return { ...map, sections: alone ? renamed : spreadName(renamed, section, { name: clean, letter, id }) };
}

/** A name for one place, given to a pass of what comes elsewhere too: the other passes stay what they are. */
function standsAlone(name: string, had: Section | undefined, others: readonly Section[]): boolean {
  return namesOnePlace(name) && others.some((section) => section.letter === had?.letter);
}

/**
 * The user disagrees with a section: its bars go to the one before it, or for the first one to the one after. The map
 * remembers where it began, so that no later analysis suggests it again.
 */
export function refuseSection(map: SongMap, id: string): SongMap {
  const place = theSection(map, id);
  const rest = map.sections.filter((section) => section.id !== id);
  const start = barsOf(map)[0]?.start;
  if (rest.length === 0 || start === undefined) {
    throw new EditProblem(msg('This is the only section: give it another name instead.'));
  }
  const gone = map.sections[Math.max(place, 1)]?.start ?? start;
  const refused = [...(map.refused ?? []).filter((time) => !sameTime(time, gone)), gone].sort((a, b) => a - b);
  if (place > 0) return { ...map, sections: rest, refused };
  const [next, ...later] = rest;
  if (!next) return map;
  const anchor = next.anchor === undefined ? {} : { anchor: start };
  return { ...map, sections: [{ ...next, start, ...anchor }, ...later], refused };
}

/** Swing of a section: ratio of long to short eighth, 1 (straight) to 3; undefined takes it away. */
export function setSwing(map: SongMap, id: string, ratio: number | undefined): SongMap {
  theSection(map, id);
  if (ratio !== undefined && !(ratio >= 1 && ratio <= 3)) {
    throw new EditProblem(msg('Swing is the ratio of the long to the short eighth: from 1 (straight) to 3.'));
  }
  return withSections(map, (section) => {
    if (section.id !== id) return section;
    const { swing: _, ...straight } = section;
    return ratio === undefined ? straight : { ...straight, swing: ratio };
  });
}

/** How a section and the other passes of its letter are strummed; undefined takes it away. */
export function setStrum(map: SongMap, id: string, strum: Strum | undefined): SongMap {
  const letter = map.sections[theSection(map, id)]?.letter;
  const fault = strum && strumFault(strum);
  if (fault) throw new EditProblem(fault);
  return withSections(map, (section) => {
    if (section.letter !== letter) return section;
    const { strum: _, ...plain } = section;
    return strum === undefined ? plain : { ...plain, strum };
  });
}

function withSections(map: SongMap, change: (section: Section, place: number) => Section): SongMap {
  return { ...map, sections: map.sections.map(change) };
}

function theSection(map: SongMap, id: string): number {
  const place = map.sections.findIndex((section) => section.id === id);
  if (place < 0) throw new EditProblem(msg('That section is not on the map any more: choose one that is.'));
  return place;
}
