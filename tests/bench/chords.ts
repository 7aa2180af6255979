import { existsSync, readFileSync, readdirSync, writeFileSync, mkdirSync } from 'node:fs';
import { basename, extname, join } from 'node:path';
import { parseArgs } from 'node:util';
import { barSlots, beatSlots, type BarSlot } from '../../src/analysis/bars/bar-grid.js';
import { findChords } from '../../src/analysis/chords/find-chords.js';
import type { PassBars } from '../../src/analysis/chords/pass-bars.js';
import { passGroups } from '../../src/analysis/chords/pool-passes.js';
import { findSections } from '../../src/analysis/sections/find-sections.js';
import type { ChordMark, Section } from '../../src/model/song-map.js';
import { parseHarte } from '../../src/music/chord.js';
import { mod12, pitchClassOf } from '../../src/music/pitch.js';
import { keptFormEvidence, knownBars } from './form-evidence.js';
import { chordScores, overlaps, type ChordMeasure } from './measures/chord.js';
import type { KnownSong } from './measures/judge.js';
import type { Interval } from './measures/segment.js';
import { tableText } from './statistics.js';

type Labelled = readonly [from: number, to: number, label: string];

interface KnownChords extends KnownSong {
  readonly duration: number;
  readonly chords?: readonly Labelled[];
  readonly sections?: readonly Labelled[];
  readonly unclear?: readonly { readonly section: number }[];
}

/** Without pooling, pooled over the sections that are suggested, pooled over the known ones. */
const WAYS = ['alone', 'pooled', 'known'] as const;
type Way = (typeof WAYS)[number];
const SHOWN = ['majmin', 'sevenths', 'majmin_inv', 'sevenths_inv'] as const satisfies readonly ChordMeasure[];

interface Found {
  readonly id: string;
  readonly known: readonly Interval[];
  readonly claims: Readonly<Partial<Record<Way, readonly Interval[]>>>;
  /** Known chords in passes that are hard to hear. */
  readonly unclear: readonly Interval[];
}

/**
 * `chords --work DIR --truth DIR [--keep DIR] [ID…]`: chords of DIR/audio/*.wav on the beats and bars that DIR/*.json knows, by
 * mir_eval's measures, song by song and by set; what is taken for what; what pooling over passes changes, also in the passes
 * that are hard to hear. What was heard stays in DIR/form; --keep writes the chords that were found.
 */
export async function chordsBench(words: readonly string[], place: (path: string) => string): Promise<string> {
  const { values, positionals } = parseArgs({
    args: [...words],
    allowPositionals: true,
    options: { work: { type: 'string' }, truth: { type: 'string' }, keep: { type: 'string' } },
  });
  if (!values.work || !values.truth) throw new TypeError('chords needs --work DIR (with audio/) and --truth DIR');
  const work = place(values.work);
  const found: Found[] = [];
  for (const file of readdirSync(join(work, 'audio')).sort()) {
    const id = basename(file, '.wav');
    const path = join(place(values.truth), `${id}.json`);
    if (extname(file) !== '.wav' || !existsSync(path) || (positionals.length > 0 && !positionals.includes(id)))
      continue;
    const known = JSON.parse(readFileSync(path, 'utf8')) as KnownChords;
    if (!known.chords) continue;
    found.push(await judgeSong(id, join(work, 'audio', file), join(work, 'form', `${id}.json`), known));
  }
  if (found.length === 0) throw new TypeError(`no recording in ${join(work, 'audio')} has known chords`);
  if (values.keep) keep(found, place(values.keep));
  return `${scoreTable(found)}\n${unclearText(found)}\n${confusionTable(found)}`;
}

async function judgeSong(id: string, audio: string, cache: string, known: KnownChords): Promise<Found> {
  const evidence = await keptFormEvidence(audio, cache);
  const spans = knownBars(known);
  const chords = intervals(known.chords ?? []);
  const end = Math.min(known.duration, chords[chords.length - 1]?.end ?? known.duration);
  const bars = barSlots(spans, end);
  const beats = beatSlots(bars);
  const key = evidence.key && evidence.key.confidence >= 0.5 ? evidence.key : undefined;
  const chordsOf = (passes: readonly (readonly PassBars[])[]): Interval[] =>
    claimed(findChords(evidence, bars, beats, key, passes), end);
  const truth = known.sections && known.sections.length > 1 ? known.sections : undefined;
  return {
    id,
    known: chords,
    claims: {
      alone: chordsOf([]),
      pooled: chordsOf(passGroups(findSections(evidence, bars), bars)),
      ...(truth ? { known: chordsOf(knownGroups(truth, bars)) } : {}),
    },
    unclear: (known.unclear ?? []).flatMap(({ section }) => {
      const [from, to] = (known.sections ?? [])[section] ?? [0, 0];
      return within(chords, from, to);
    }),
  };
}

function knownGroups(sections: readonly Labelled[], bars: readonly BarSlot[]): PassBars[][] {
  const named = sections.map(([start, , label], i): Section => {
    return { id: String(i), name: label, letter: label, start, origin: 'user' };
  });
  return passGroups(named, bars);
}

function intervals(list: readonly Labelled[]): Interval[] {
  return list.map(([start, end, label]) => ({ start, end, label }));
}

function claimed(marks: readonly ChordMark[], end: number): Interval[] {
  return marks.map(({ time, harte }, i) => ({ start: time, end: marks[i + 1]?.time ?? end, label: harte }));
}

function within(list: readonly Interval[], from: number, to: number): Interval[] {
  return list.flatMap((one) => {
    const cut = { ...one, start: Math.max(one.start, from), end: Math.min(one.end, to) };
    return cut.end > cut.start ? [cut] : [];
  });
}

function scoreTable(found: readonly Found[]): string {
  const sets = [...new Set(found.map(({ id }) => id.charAt(0)))];
  const rows = found.map((one) => ({ name: one.id, scores: scoresOf(one) }));
  const means = sets.map((set) => {
    const own = rows.filter(({ name }) => name.startsWith(set)).map(({ scores }) => scores);
    return { name: `set ${set} (${own.length})`, scores: (own[0] ?? []).map((_, i) => mean(own.map((row) => row[i]))) };
  });
  const titles = SHOWN.flatMap((measure) => WAYS.map((way) => (way === 'alone' ? measure : way)));
  return tableText([
    ['song', ...titles],
    ...[...rows, ...means].map(({ name, scores }) => [name, ...scores.map(text)]),
  ]);
}

function scoresOf({ known, claims }: Found): (number | undefined)[] {
  const all = WAYS.map((way) => {
    const own = claims[way];
    return own && chordScores(known, own);
  });
  return SHOWN.flatMap((measure) => all.map((scores) => scores?.[measure]));
}

function unclearText(found: readonly Found[]): string {
  const hard = found.filter(({ unclear }) => unclear.length > 0);
  if (hard.length === 0) return '';
  const means = WAYS.map((way) => {
    const scores = hard.map(({ unclear, claims }) => {
      const judged = unclear.map((one) => ({ one, score: chordScores([one], claims[way] ?? []).majmin }));
      const counted = judged.filter(({ score }) => !Number.isNaN(score));
      const seconds = ({ one }: (typeof judged)[number]): number => one.end - one.start;
      return (
        counted.reduce((sum, each) => sum + each.score * seconds(each), 0) /
        counted.reduce((sum, each) => sum + seconds(each), 0)
      );
    });
    return `${way} ${text(mean(scores))}`;
  });
  return `majmin in the passes that are hard to hear (${hard.length} songs): ${means.join(', ')}\n`;
}

/** What is said where a kind of chord is known, pooled over suggested sections, in shares of its time; the largest five. */
function confusionTable(found: readonly Found[]): string {
  const seconds = new Map<string, Map<string, number>>();
  for (const { known, claims } of found) {
    for (const { seconds: long, known: truth, claimed: claim } of overlaps(known, claims.pooled ?? [])) {
      const row = seconds.get(kindOf(truth)) ?? new Map<string, number>();
      seconds.set(kindOf(truth), row);
      const said = relative(truth, claim);
      row.set(said, (row.get(said) ?? 0) + long);
    }
  }
  const total = (row: ReadonlyMap<string, number>): number => [...row.values()].reduce((sum, n) => sum + n, 0);
  const rows = [...seconds].sort((a, b) => total(b[1]) - total(a[1])).slice(0, 24);
  return tableText([
    ['known', 'minutes', 'said'],
    ...rows.map(([kind, row]) => {
      const said = [...row].sort((a, b) => b[1] - a[1]).slice(0, 5);
      const all = total(row);
      return [kind, (all / 60).toFixed(1), said.map(([name, n]) => `${name} ${(n / all).toFixed(2)}`).join('  ')];
    }),
  ]);
}

function kindOf(harte: string): string {
  return harte.replace(/^[A-G][b#]*:?/, '') || (/^[A-G]/.test(harte) ? 'maj' : harte);
}

/** A claim seen from a known chord: its kind, and how many semitones its root lies above when that is another. */
function relative(truth: string, claim: string): string {
  const [a, b] = [parseHarte(truth), parseHarte(claim)];
  if (a?.kind !== 'chord' || b?.kind !== 'chord') return kindOf(claim);
  const up = mod12(pitchClassOf(b.root) - pitchClassOf(a.root));
  return up === 0 ? kindOf(claim) : `+${up} ${kindOf(claim)}`;
}

function keep(found: readonly Found[], folder: string): void {
  mkdirSync(folder, { recursive: true });
  for (const { id, known, claims } of found)
    writeFileSync(join(folder, `${id}.json`), `${JSON.stringify({ known, claims })}\n`);
}

function mean(values: readonly (number | undefined)[]): number | undefined {
  const there = values.filter((value) => value !== undefined && !Number.isNaN(value)) as number[];
  return there.length > 0 ? there.reduce((sum, value) => sum + value, 0) / there.length : undefined;
}

function text(value: number | undefined): string {
  return value === undefined || Number.isNaN(value) ? '-' : value.toFixed(3);
}
