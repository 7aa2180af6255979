import { readFileSync, readdirSync } from 'node:fs';
import { basename, extname, join } from 'node:path';
import { parseArgs } from 'node:util';
import { fold } from '../../src/model/fold/fold.js';
import { unfold } from '../../src/model/fold/unfold.js';
import { nextLetter } from '../../src/model/letters.js';
import type { Section, SongMap } from '../../src/model/song-map.js';
import { COMMON_TIME, withBeats } from '../../src/music/meter.js';
import { bars } from '../support/notation.js';
import { linesOfMap, linesOfPlayed } from '../support/played.js';
import { seeded } from '../support/random-charts.js';
import { percentile, tableText } from './statistics.js';

/** What is known of a song's form, in seconds; without sections it is one. */
interface KnownForm {
  readonly duration: number;
  readonly beats: readonly (readonly [time: number, position: number])[];
  readonly bars?: readonly (readonly [start: number, beats: number])[];
  readonly chords?: readonly (readonly [from: number, to: number, harte: string])[];
  readonly sections?: readonly (readonly [from: number, to: number, name: string])[];
}

const LONG_SONG = 300;
const SONGS = 40;

/** Songs that fold in many ways, which is what takes long. */
export const KINDS: readonly (readonly [string, (random: () => number) => SongMap])[] = [
  ['sections that come again', sectionsAgain],
  ['the same, every section changed at a bar', (random) => sectionsAgain(random, 1)],
  ['one long section of three chords at random', (random) => bars(atRandom(random, ['4:C', '4:F', '4:G'], LONG_SONG))],
  ['two short sections in any order', shortSections],
  ['one chord throughout, a section every four bars', oneChord],
  ['one chord throughout, in one section', () => bars(Array(LONG_SONG).fill('4:C').join(' '))],
];

/**
 * `fold [--truth DIR]`: processor time of folding songs of 300 bars, and for the songs of DIR/*.json whose bars and
 * chords are known how many bars are written, and whether unfolding gives the song back.
 */
export function foldBench(words: readonly string[], place: (path: string) => string): string {
  const { values } = parseArgs({ args: [...words], options: { truth: { type: 'string' } } });
  const rows = [[`songs of ${LONG_SONG} bars`, 'median', 'longest', 'written', 'given back']];
  for (const [name, make] of KINDS) {
    const done = Array.from({ length: SONGS }, (_, seed) => folded(make(seeded(seed + 1))));
    const times = done.map(({ took }) => took);
    rows.push([
      name,
      `${percentile(times, 0.5).toFixed(0)} ms`,
      `${percentile(times, 1).toFixed(0)} ms`,
      percentile(
        done.map(({ written }) => written),
        0.5,
      ).toFixed(0),
      `${done.filter(({ same }) => same).length} of ${done.length}`,
    ]);
  }
  if (!values.truth) return tableText(rows);
  const songs = [['song', 'played', 'written', 'plain repeats', 'given back']];
  const folder = place(values.truth);
  for (const file of readdirSync(folder).filter((name) => extname(name) === '.json')) {
    const known = JSON.parse(readFileSync(join(folder, file), 'utf8')) as KnownForm;
    if (!known.bars || !known.chords) continue;
    const map = mapOf(known);
    const { written, played, same } = folded(map);
    const plain = fold(map, { folding: 'plain', jumps: false }).written;
    songs.push([basename(file, '.json'), `${played}`, `${written}`, `${plain}`, same ? 'yes' : 'NO']);
  }
  return `${tableText(rows)}\n${tableText(songs)}`;
}

function folded(map: SongMap): { took: number; written: number; played: number; same: boolean } {
  // Processor time: on a busy machine the clock says little.
  const used = process.cpuUsage();
  const chart = fold(map);
  const { user, system } = process.cpuUsage(used);
  const took = (user + system) / 1000;
  const same = linesOfPlayed(unfold(chart)).join('\n') === linesOfMap(map).join('\n');
  return { took, written: chart.written, played: chart.played, same };
}

function atRandom(random: () => number, from: readonly string[], count: number): string {
  return Array.from({ length: count }, () => from[Math.floor(random() * from.length)]).join(' ');
}

/** Five sections of eight to sixteen bars in any order; each time so many of their bars are changed. */
function sectionsAgain(random: () => number, changes = 0): SongMap {
  const chords = ['4:C', '4:F', '4:G', '4:A:min', '4:C,G@3', '4:D:min'];
  const materials = ['Verse', 'Chorus', 'Bridge', 'Solo', 'Tag'].map((name) => ({
    name,
    own: atRandom(random, chords, 8 + 4 * Math.floor(random() * 3)).split(' '),
  }));
  const words: string[] = [];
  for (let count = 0; count < LONG_SONG;) {
    const { name, own } = materials[Math.floor(random() * materials.length)] as (typeof materials)[number];
    const now = [...own];
    for (let i = 0; i < changes; i++) now[Math.floor(random() * now.length)] = '2:D';
    words.push(`${name}: ${now.join(' ')}`);
    count += now.length;
  }
  return bars(words.join(' | '));
}

function shortSections(random: () => number): SongMap {
  const lines = ['A: 4:C 4:F 4:C 4:G', 'B: 4:F 4:F 4:C 4:G', 'A: 4:C 4:F 4:C 4:C'];
  return bars(
    atRandom(random, lines, LONG_SONG / 4)
      .replaceAll(' A', ' | A')
      .replaceAll(' B', ' | B'),
  );
}

function oneChord(): SongMap {
  return bars(
    Array(LONG_SONG / 4)
      .fill('Verse: 4:C 4:C 4:C 4:C')
      .join(' | '),
  );
}

function mapOf(known: KnownForm): SongMap {
  const empty = bars('4');
  const starts = known.bars ?? [];
  const end = known.duration;
  const sections: Section[] = [];
  for (const [from, , name] of known.sections ?? [[starts[0]?.[0] ?? 0, end, 'Song'] as const]) {
    const start = starts.reduce((best, [at]) => (Math.abs(at - from) < Math.abs(best - from) ? at : best), Infinity);
    if (start <= (sections.at(-1)?.start ?? -1)) continue;
    const letter = sections.find((section) => section.name === name)?.letter ?? nextLetter(sections);
    sections.push({ id: `S${sections.length}`, name, letter, start, origin: 'suggested' });
  }
  const spans: SongMap['spans'] = starts.map(([start, count], i) => {
    const next = starts[i + 1]?.[0] ?? end;
    const inside = known.beats.map(([time]) => time).filter((time) => time > start + 0.01 && time < next - 0.01);
    const beats = [start, ...inside].slice(0, count);
    return { kind: 'bar', start, beats, meter: withBeats(COMMON_TIME, beats.length), confidence: 1 };
  });
  const chords = (known.chords ?? []).map(([time, , harte]) => {
    return { time, harte, origin: 'suggested', confidence: 1 } as const;
  });
  return { ...empty, start: starts[0]?.[0] ?? 0, end, spans, sections, chords };
}
