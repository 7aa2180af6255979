import { existsSync, readFileSync, readdirSync } from 'node:fs';
import { basename, extname, join } from 'node:path';
import { parseArgs } from 'node:util';
import { barSlots, beatSlots } from '../../src/analysis/bars/bar-grid.js';
import { findChords } from '../../src/analysis/chords/find-chords.js';
import type { Evidence } from '../../src/analysis/evidence/evidence.js';
import { findSections } from '../../src/analysis/sections/find-sections.js';
import { letterOf } from '../../src/analysis/sections/names.js';
import type { Section, SongMap } from '../../src/model/song-map.js';
import { COMMON_TIME } from '../../src/music/meter.js';
import { keptFormEvidence, knownBars } from './form-evidence.js';
import { judgePasses, type KnownPlant, type PlantTally } from './measures/planted.js';
import { detection, pairwise, spanTo, type Interval } from './measures/segment.js';
import type { KnownSong } from './measures/judge.js';
import { tableText } from './statistics.js';

/** What is known of a song's form, in seconds. */
interface KnownForm extends KnownSong {
  readonly duration: number;
  readonly sections: readonly (readonly [from: number, to: number, label: string])[];
  /** A difference planted into one pass, or several. */
  readonly planted?: KnownPlant | readonly KnownPlant[];
}

interface Found {
  readonly id: string;
  readonly near: number;
  readonly close: number;
  readonly label: number;
  readonly sections: readonly [found: number, known: number];
  readonly plants: PlantTally;
}

/**
 * `form --work DIR --truth DIR [ID…]`: sections and passes of DIR/audio/*.wav, found on the bars that DIR/*.json knows (so that
 * nothing else is measured): boundaries at 0.5 and 3 s and pairwise labels as mir_eval has them, first and last
 * boundary not counted; and with the known sections the planted differences found, and others invented. What was heard
 * stays in DIR/form.
 */
export async function formBench(words: readonly string[], place: (path: string) => string): Promise<string> {
  const { values, positionals } = parseArgs({
    args: [...words],
    allowPositionals: true,
    options: { work: { type: 'string' }, truth: { type: 'string' } },
  });
  if (!values.work || !values.truth) throw new TypeError('form needs --work DIR (with audio/) and --truth DIR');
  const work = place(values.work);
  const truth = place(values.truth);
  const found: Found[] = [];
  for (const file of readdirSync(join(work, 'audio')).sort()) {
    const id = basename(file, '.wav');
    const path = join(truth, `${id}.json`);
    if (extname(file) !== '.wav' || !existsSync(path) || (positionals.length > 0 && !positionals.includes(id)))
      continue;
    const known = JSON.parse(readFileSync(path, 'utf8')) as KnownForm;
    // One section over the whole song says that its form is not known.
    if (!Array.isArray(known.sections) || known.sections.length < 2) continue;
    const evidence = await keptFormEvidence(join(work, 'audio', file), join(work, 'form', `${id}.json`));
    found.push(judgeForm(id, known, evidence));
  }
  if (found.length === 0) throw new TypeError(`no recording in ${work} has sections in ${truth}`);
  return formTable(found);
}

/** Sections and passes of one song on its known bars. */
export function judgeForm(id: string, known: KnownForm, evidence: Evidence): Found {
  const spans = knownBars(known);
  const end = Math.min(evidence.duration, known.judged[1]);
  const bars = barSlots(spans, end);
  const sections = findSections(evidence, bars);
  const claimed = spanTo(intervals(sections, end));
  const true_ = spanTo(known.sections.map(([start, stop, label]) => ({ start, end: stop, label })));
  const last = true_[true_.length - 1]?.end;
  const trimmed = spanTo(claimed, last);
  const plants = known.planted === undefined ? [] : Array.isArray(known.planted) ? known.planted : [known.planted];
  return {
    id,
    near: detection(true_, trimmed, 0.5, true).f,
    close: detection(true_, trimmed, 3, true).f,
    label: pairwise(true_, trimmed).f,
    sections: [sections.length, known.sections.length],
    plants: judgePasses(knownMap(known, evidence, end), evidence, plants as readonly KnownPlant[]),
  };
}

function intervals(sections: readonly Section[], end: number): Interval[] {
  return sections.map(({ start, letter }, i) => ({ start, end: sections[i + 1]?.start ?? end, label: letter }));
}

/** The map a user would have once bars and sections are right: chords as suggested. */
function knownMap(known: KnownForm, evidence: Evidence, end: number): SongMap {
  const spans = knownBars(known);
  const bars = barSlots(spans, end);
  const labels = [...new Set(known.sections.map(([, , label]) => label))];
  const nearest = (time: number): number =>
    bars.reduce((best, { start }) => (Math.abs(start - time) < Math.abs(best - time) ? start : best), Infinity);
  return {
    title: '',
    recording: { fileName: '', duration: evidence.duration, sampleRate: 44100, channels: 2, contentId: '' },
    start: bars[0]?.start ?? 0,
    end,
    spans,
    prevailing: COMMON_TIME,
    tuning: evidence.tuning,
    ...(evidence.key ? { key: evidence.key } : {}),
    sections: known.sections.map(([from, , label], i): Section => {
      return {
        id: `S${i}`,
        name: label,
        letter: letterOf(labels.indexOf(label)),
        start: nearest(from),
        origin: 'user',
      };
    }),
    chords: findChords(evidence, bars, beatSlots(bars), evidence.key),
    locks: [],
    doubts: [],
    analysis: evidence.version,
  };
}

function formTable(found: readonly Found[]): string {
  const rows = [['song', 'F 0.5 s', 'F 3 s', 'label F', 'sections', 'of', 'planted', 'found', 'invented', 'bars']];
  const row = (name: string, songs: readonly Found[]): string[] => {
    const mean = (value: (one: Found) => number): string =>
      (songs.reduce((sum, one) => sum + value(one), 0) / songs.length).toFixed(3);
    const total = (value: (one: Found) => number): number => songs.reduce((sum, one) => sum + value(one), 0);
    return [
      name,
      mean((one) => one.near),
      mean((one) => one.close),
      mean((one) => one.label),
      ...[0, 1].map((i) => String(total((one) => one.sections[i as 0 | 1]))),
      ...(['planted', 'found', 'invented', 'bars'] as const).map((key) => String(total((one) => one.plants[key]))),
    ];
  };
  for (const one of found) rows.push(row(one.id, [one]));
  for (const set of [...new Set(found.map(({ id }) => id.charAt(0)))]) {
    const songs = found.filter(({ id }) => id.startsWith(set));
    rows.push(row(`set ${set}`, songs));
  }
  return tableText(rows) + plantText(found);
}

function plantText(found: readonly Found[]): string {
  const kinds = [...new Set(found.flatMap(({ plants }) => Object.keys(plants.kinds)))].sort();
  if (kinds.length === 0) return '';
  const lines = kinds.map((kind) => {
    const sum = (place: 0 | 1 | 2): number =>
      found.reduce((n, { plants }) => n + (plants.kinds[kind]?.[place] ?? 0), 0);
    return [kind, String(sum(0)), String(sum(1)), String(sum(2))];
  });
  return `\n${tableText([['difference', 'planted', 'found', 'invented'], ...lines])}`;
}
