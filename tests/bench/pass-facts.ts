/**
 * What bars of two passes that stand in one column sound like beside each other, for src/training/fit_passes.py:
 * `pass-facts.js OUT.json SONG_DIR` over the songs of training/form_songs.py. The alignment is the known one: a column is the bar of the
 * first pass of a section that was never changed, so that only chords are judged.
 */
import { readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { basename, extname, join } from 'node:path';
import { barSlots } from '../../src/analysis/bars/bar-grid.js';
import { heardSounds, transposed, type BarSound } from '../../src/analysis/passes/bar-sounds.js';
import { chordFacts } from '../../src/analysis/passes/chord-facts.js';
import { keptFormEvidence, knownBars } from './form-evidence.js';
import type { KnownSong } from './measures/judge.js';
import type { KnownPlant } from './measures/planted.js';

interface FormSong extends KnownSong {
  readonly sections: readonly (readonly [from: number, to: number, letter: string])[];
  readonly shifts: readonly number[];
  readonly planted: readonly (KnownPlant & { readonly beats: number })[];
}

interface Row {
  /** Place of the section. */
  readonly s: number;
  /** 1 where another chord was planted. */
  readonly d: 0 | 1;
  readonly x: readonly number[];
}

async function rowsOf(folder: string, id: string): Promise<Row[]> {
  const known = JSON.parse(readFileSync(join(folder, `${id}.json`), 'utf8')) as FormSong;
  const evidence = await keptFormEvidence(join(folder, `${id}.wav`), join(folder, 'form', `${id}.json`));
  const bars = barSlots(knownBars(known), known.judged[1]);
  const sounds = heardSounds(evidence, bars).map((beatwise, i): BarSound => {
    return { beats: bars[i]?.bar.beats.length ?? 0, beatwise };
  });
  const firsts = known.sections.map(([from]) => bars.findIndex(({ start }) => Math.abs(start - from) < 0.01));
  return known.sections.flatMap(([, , letter], section) => {
    const model = known.sections.findIndex(([, , other]) => other === letter);
    const planted = known.planted.filter((plant) => plant.section === section);
    const bar = (place: number): number => firsts[place] ?? bars.length;
    if (model === section) return [];
    let column = bar(model);
    const rows: Row[] = [];
    for (let i = 0; i < bar(section + 1) - bar(section); i++) {
      if (planted.some(({ kind, bar: at, beats }) => kind === 'added' && i >= at && i < at + beats)) continue;
      if (planted.some(({ kind, bar: at }) => kind === 'dropped' && bar(model) + at === column)) column += 1;
      const [a, b] = [sounds[column], sounds[bar(section) + i]];
      column += 1;
      const facts = a && b && chordFacts(transposed(a, known.shifts[section] ?? 0), b);
      const differs = planted.some(({ kind, bar: at }) => kind === 'chord' && at === i);
      if (facts) rows.push({ s: section, d: differs ? 1 : 0, x: facts });
    }
    return rows;
  });
}

const [out = '', folder = ''] = process.argv.slice(2);
const songs: { id: string; rows: readonly Row[] }[] = [];
for (const file of readdirSync(folder).sort()) {
  if (extname(file) !== '.wav') continue;
  const id = basename(file, '.wav');
  songs.push({ id, rows: await rowsOf(folder, id) });
}
writeFileSync(out, JSON.stringify(songs.filter(({ rows }) => rows.length > 0)));
