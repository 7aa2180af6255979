import { spawnSync } from 'node:child_process';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { DOMParser, type Element } from '@xmldom/xmldom';

/** Whether xmllint (Debian's libxml2-utils) is there to check schemas with. */
export const hasXmllint = spawnSync('xmllint', ['--version']).error === undefined;

/** What xmllint finds wrong with MusicXML files by the W3C schema; empty when nothing is. Nothing is fetched. */
export function schemaFaults(files: readonly string[]): string {
  const folder = mkdtempSync(join(tmpdir(), 'musicxml-'));
  try {
    const names = files.map((text, i) => {
      writeFileSync(join(folder, `${i}.musicxml`), text);
      return join(folder, `${i}.musicxml`);
    });
    const words = ['--nonet', '--noout', '--schema', 'tests/standards/musicxml/musicxml.xsd', ...names];
    const { status, stderr } = spawnSync('xmllint', words, { encoding: 'utf8', maxBuffer: 1e8 });
    return status === 0 ? '' : stderr.replaceAll(/^.* validates\n/gm, '') || `xmllint ended with ${status}`;
  } finally {
    rmSync(folder, { recursive: true });
  }
}

export function rootOf(text: string): Element {
  const problems: string[] = [];
  const onError = (level: string, message: unknown): void => {
    // It warns of U+FFFD, which is what we write for half a character.
    if (level !== 'warning') problems.push(`${level}: ${String(message)}`);
  };
  const parser = new DOMParser({ onError });
  const root = parser.parseFromString(text, 'text/xml').documentElement;
  if (!root || problems.length > 0) throw new Error(problems.join('\n') || 'no document');
  return root;
}

/** All elements of a name under another, in order. */
export function all(under: Element, name: string): Element[] {
  return Array.from(under.getElementsByTagName(name));
}

export function valueOf(under: Element, name: string): string | undefined {
  return all(under, name)[0]?.textContent ?? undefined;
}

function children(of: Element): Element[] {
  return Array.from(of.childNodes).filter((node): node is Element => node.nodeType === 1);
}

/** A measure as it is played. */
export interface PlayedMeasure {
  readonly number: string;
  /** "4/4" as last set; "" without a time signature. */
  readonly time: string;
  /** In quarters, by its notes. */
  readonly length: number;
  /** By quarters from its start. */
  readonly chords: readonly { readonly sound: string; readonly at: number }[];
}

interface Read {
  readonly measure: PlayedMeasure;
  readonly forward: boolean;
  readonly ending: { readonly from: readonly number[] | undefined; readonly stops: boolean };
  readonly backward: { readonly times: number; readonly afterJump: boolean } | undefined;
  readonly sounds: readonly Readonly<Record<string, string>>[];
}

/**
 * The measures of a score in the order they are played, by what the documentation in the W3C schema of MusicXML 4.0 says of
 * `repeat`, `ending` and `sound`:
 *
 * - a backward repeat outside an ending is played `times` times (2), after a jump once unless it is `after-jump`;
 * - an ending is played at the times in its number, its backward repeat taken while there is an ending for the next time;
 *   at later times (after a jump, where repeats are not taken) the last one is (common practice, no source);
 * - `dacapo` and `dalsegno` jump the first time through, `tocoda` the second, other times by `time-only`; `fine` ends the
 *   music at the time it is for, after a jump.
 */
export function unrollMusicXml(text: string): readonly PlayedMeasure[] {
  const measures = readPart(text);
  const played: PlayedMeasure[] = [];
  const visits = measures.map(() => 0);
  const groupTimes = new Map<number, number>();
  let jumped = false;
  let start = 0;
  let pass = 1;
  let at = 0;
  const goTo = (kind: 'segno' | 'coda', name: string | undefined): number => {
    const found = measures.findIndex(({ sounds }) => sounds.some((sound) => sound[kind] === name));
    if (found < 0) throw new Error(`no ${kind} "${name}"`);
    return found;
  };
  while (at < measures.length) {
    if (played.length > 20_000) throw new Error('the score does not end');
    const here = measures[at] as Read;
    if (here.forward && start !== at) [start, pass] = [at, 1];
    if (here.ending.from) {
      const group = groupOf(measures, at);
      if (at === group) groupTimes.set(group, (groupTimes.get(group) ?? 0) + 1);
      const time = groupTimes.get(group) as number;
      const own = brackets(measures, group);
      const most = Math.max(...own.flatMap((place) => measures[place]?.ending.from ?? []));
      if (!here.ending.from.includes(Math.min(time, most))) {
        at = endOfBracket(measures, at) + 1;
        continue;
      }
    }
    const visit = (visits[at] = (visits[at] as number) + 1);
    played.push(here.measure);
    const acts = (sound: Readonly<Record<string, string>>, usual: number): boolean =>
      (sound['time-only']?.split(',').map(Number) ?? [usual]).includes(visit);
    const sound = here.sounds.find(
      (one) =>
        ((one.dacapo ?? one.dalsegno) !== undefined && acts(one, 1)) || (one.tocoda !== undefined && acts(one, 2)),
    );
    if (jumped && here.sounds.some((one) => one.fine !== undefined && acts(one, 2))) break;
    if (sound?.tocoda !== undefined) {
      at = goTo('coda', sound.tocoda);
      [start, pass] = [at, 1];
      continue;
    }
    if (sound) {
      jumped = true;
      at = sound.dacapo ? 0 : goTo('segno', sound.dalsegno);
      [start, pass] = [at, 1];
      continue;
    }
    const bracket = bracketOf(measures, at);
    if (here.backward && bracket !== undefined) {
      const group = groupOf(measures, bracket);
      const next = (groupTimes.get(group) as number) + 1;
      if (brackets(measures, group).some((place) => measures[place]?.ending.from?.includes(next))) {
        at = start;
        continue;
      }
    } else if (here.backward && (!jumped || here.backward.afterJump) && pass < here.backward.times) {
      pass++;
      at = start;
      continue;
    }
    // Behind the last bracket that is played the next ones are for other times.
    at++;
    if (here.backward || here.ending.stops) [start, pass] = [at, 1];
  }
  return played;
}

/** The measures of a score as they are written. */
export function writtenMeasures(text: string): readonly PlayedMeasure[] {
  return readPart(text).map(({ measure }) => measure);
}

function readPart(text: string): readonly Read[] {
  const part = all(rootOf(text), 'part')[0];
  if (!part) throw new Error('no part');
  return readMeasures(children(part));
}

/** First measure of the brackets that stand directly behind one another, around a measure under one. */
function groupOf(measures: readonly Read[], at: number): number {
  let group = at;
  while (group > 0 && bracketOf(measures, group - 1) !== undefined) group--;
  return group;
}

/** Where the brackets of a group begin. */
function brackets(measures: readonly Read[], group: number): number[] {
  const found: number[] = [];
  for (let at = group; at < measures.length && bracketOf(measures, at) !== undefined; at++)
    if (measures[at]?.ending.from) found.push(at);
  return found;
}

/** The beginning of the bracket that a measure lies under. */
function bracketOf(measures: readonly Read[], at: number): number | undefined {
  for (let place = at; place >= 0; place--) {
    if (measures[place]?.ending.from) return place;
    if (measures[place - 1]?.ending.stops) return undefined;
  }
  return undefined;
}

function endOfBracket(measures: readonly Read[], at: number): number {
  let end = at;
  while (!measures[end]?.ending.stops) if (++end >= measures.length) throw new Error('a bracket does not end');
  return end;
}

function readMeasures(elements: readonly Element[]): Read[] {
  let time = '';
  let divisions = NaN;
  return elements.map((measure): Read => {
    let now = 0;
    const chords: { sound: string; at: number }[] = [];
    for (const child of children(measure)) {
      if (child.tagName === 'attributes') {
        divisions = Number(valueOf(child, 'divisions') ?? divisions);
        if (all(child, 'senza-misura').length > 0) time = '';
        else if (all(child, 'time').length > 0) time = `${valueOf(child, 'beats')}/${valueOf(child, 'beat-type')}`;
      }
      if (child.tagName === 'note') now += Number(valueOf(child, 'duration'));
      if (child.tagName === 'harmony')
        chords.push({ sound: soundOf(child), at: (now + Number(valueOf(child, 'offset') ?? 0)) / divisions });
    }
    const barlines = all(measure, 'barline');
    const repeats = barlines.flatMap((line) => all(line, 'repeat'));
    const back = repeats.find((repeat) => repeat.getAttribute('direction') === 'backward');
    const endings = barlines.flatMap((line) => all(line, 'ending'));
    const starts = endings.find((ending) => ending.getAttribute('type') === 'start');
    return {
      measure: { number: measure.getAttribute('number') ?? '', time, length: now / divisions, chords },
      forward: repeats.some((repeat) => repeat.getAttribute('direction') === 'forward'),
      ending: {
        from: starts?.getAttribute('number')?.split(',').map(Number),
        stops: endings.some((ending) => ending.getAttribute('type') !== 'start'),
      },
      backward: back && {
        times: Number(back.getAttribute('times') ?? 2),
        afterJump: back.getAttribute('after-jump') === 'yes',
      },
      sounds: all(measure, 'sound').map((sound) =>
        Object.fromEntries(Array.from(sound.attributes).map(({ name, value }) => [name, value])),
      ),
    };
  });
}

const STEPS: Readonly<Record<string, number>> = { C: 0, D: 2, E: 4, F: 5, G: 7, A: 9, B: 11 };
/** Semitones above the root. Source: the documentation of `kind-value` in the W3C schema of MusicXML 4.0. */
const KINDS: Readonly<Record<string, readonly number[]>> = {
  major: [0, 4, 7],
  minor: [0, 3, 7],
  augmented: [0, 4, 8],
  diminished: [0, 3, 6],
  dominant: [0, 4, 7, 10],
  'major-seventh': [0, 4, 7, 11],
  'minor-seventh': [0, 3, 7, 10],
  'diminished-seventh': [0, 3, 6, 9],
  'augmented-seventh': [0, 4, 8, 10],
  'half-diminished': [0, 3, 6, 10],
  'major-minor': [0, 3, 7, 11],
  'major-sixth': [0, 4, 7, 9],
  'minor-sixth': [0, 3, 7, 9],
  'dominant-ninth': [0, 4, 7, 10, 14],
  'major-ninth': [0, 4, 7, 11, 14],
  'minor-ninth': [0, 3, 7, 10, 14],
  'dominant-11th': [0, 4, 7, 10, 14, 17],
  'major-11th': [0, 4, 7, 11, 14, 17],
  'minor-11th': [0, 3, 7, 10, 14, 17],
  'dominant-13th': [0, 4, 7, 10, 14, 17, 21],
  'major-13th': [0, 4, 7, 11, 14, 17, 21],
  'minor-13th': [0, 3, 7, 10, 14, 17, 21],
  'suspended-second': [0, 2, 7],
  'suspended-fourth': [0, 5, 7],
  power: [0, 7],
  other: [],
};
/** Of a dominant chord's degrees, from which an added one is counted (the documentation of `degree-alter`). */
const DEGREES = [0, 2, 4, 5, 7, 9, 10, 12, 14, 16, 17, 19, 21];

/** A chord symbol by its sound: pitch classes over the bass; what has no pitches by its text. */
export function soundOf(harmony: Element): string {
  const kind = valueOf(harmony, 'kind') ?? '';
  const text = all(harmony, 'kind')[0]?.getAttribute('text') ?? '';
  const rootStep = all(harmony, 'root-step')[0];
  if (rootStep?.getAttribute('text') === '') return text;
  const pitch = (name: string): number | undefined => {
    const step = valueOf(harmony, `${name}-step`);
    return step === undefined ? undefined : (STEPS[step] as number) + Number(valueOf(harmony, `${name}-alter`) ?? 0);
  };
  const root = pitch('root') ?? NaN;
  const notes = new Set((KINDS[kind] ?? []).map((interval) => mod12(interval)));
  for (const degree of all(harmony, 'degree')) {
    const number = Number(valueOf(degree, 'degree-value'));
    const alter = Number(valueOf(degree, 'degree-alter'));
    const plain = DEGREES[number - 1] as number;
    const type = valueOf(degree, 'degree-type');
    const own = [0, -1, 1, -2].map((by) => mod12(plain + by)).find((note) => notes.has(note));
    if (type === 'add') notes.add(mod12(plain + alter));
    else if (own === undefined) throw new Error(`degree ${number} of a chord without it`);
    else {
      notes.delete(own);
      if (type === 'alter') notes.add(mod12(own + alter));
    }
  }
  const bass = pitch('bass') ?? root;
  return soundText(
    [...notes].map((note) => mod12(root + note)),
    mod12(bass),
  );
}

/** Pitch classes over a bass, as compared. */
export function soundText(pitches: readonly number[], bass: number | undefined): string {
  return `${[...pitches].sort((a, b) => a - b).join('.')}/${bass}`;
}

function mod12(n: number): number {
  return ((n % 12) + 12) % 12;
}
