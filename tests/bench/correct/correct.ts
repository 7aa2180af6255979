import { existsSync, readFileSync, readdirSync } from 'node:fs';
import { basename, join } from 'node:path';
import { parseArgs } from 'node:util';
import { inOrder } from '../../../src/cli/in-order.js';
import type { KnownSong } from '../measures/judge.js';
import { percentile, tableText } from '../statistics.js';
import { partsOf, type Part } from '../without.js';
import {
  calibrationText,
  claims,
  placesText,
  rankedPlaces,
  type Claim,
  type RankedPlace,
} from './doubts-and-confidence.js';
import { naively, play, type Played, type Way } from './play.js';
import { SolverProcess } from './solver-process.js';

interface Result {
  readonly id: string;
  readonly played: Readonly<Partial<Record<Way, Played>>>;
  readonly naive: number;
  readonly places: readonly RankedPlace[];
  readonly claims: readonly Claim[];
}

/**
 * `correct --work DIR --truth DIR [--by bars|doubts] [--jobs N] [--only ID]… [--trace]`: what it costs a simulated user to put
 * maps right, going through the bars, going down the doubts, or (without --by) both.
 */
export async function correctBench(words: readonly string[], place: (path: string) => string): Promise<string> {
  const { values } = parseArgs({
    args: [...words],
    options: {
      work: { type: 'string' },
      truth: { type: 'string' },
      by: { type: 'string' },
      jobs: { type: 'string', default: '1' },
      only: { type: 'string', multiple: true, default: [] },
      without: { type: 'string', multiple: true, default: [] },
      trace: { type: 'boolean', default: false },
    },
  });
  if (!values.work || !values.truth) throw new TypeError('correct needs --work DIR (with audio/) and --truth DIR');
  if (values.by !== undefined && values.by !== 'bars' && values.by !== 'doubts')
    throw new TypeError('--by takes bars or doubts');
  const ways: readonly Way[] = values.by ? [values.by] : ['bars', 'doubts'];
  const [audio, truth] = [join(place(values.work), 'audio'), place(values.truth)];
  const songs = readdirSync(audio)
    .filter((name) => name.endsWith('.wav'))
    .map((name) => basename(name, '.wav'))
    .filter((id) => existsSync(join(truth, `${id}.json`)))
    .filter((id) => values.only.length === 0 || values.only.some((some) => id.startsWith(some)))
    .map((id) => ({ id, known: JSON.parse(readFileSync(join(truth, `${id}.json`), 'utf8')) as KnownSong }))
    .sort((a, b) => (a.id < b.id ? -1 : 1));
  const barred = songs.filter(({ known }) => known.bars);
  if (barred.length === 0) throw new TypeError(`no recording in ${audio} has bars in ${truth}`);
  const without = partsOf(values.without);
  const results: Result[] = [];
  await inOrder(
    barred,
    Math.max(1, Number(values.jobs) || 1),
    ({ id, known }) => correctSong(id, join(audio, `${id}.wav`), known, ways, without),
    (result) => {
      results.push(result);
      for (const way of ways) {
        const { locks, right, set } = result.played[way] as Played;
        process.stderr.write(`  ${result.id} by ${way}: ${locks} locks${right ? '' : ', not right'}\n`);
        if (values.trace)
          for (const { kind, time, value } of set)
            process.stderr.write(`    ${kind} at ${time.toFixed(3)}${value === undefined ? '' : ` ${value}`}\n`);
      }
    },
  );
  const left = songs.filter(({ known }) => !known.bars).map(({ id }) => id);
  const note = left.length > 0 ? `not judged, as their bars are not known: ${left.join(', ')}\n` : '';
  return `${report(results, ways)}${note}`;
}

async function correctSong(
  id: string,
  audio: string,
  known: KnownSong,
  ways: readonly Way[],
  without: readonly Part[],
): Promise<Result> {
  const solver = new SolverProcess();
  try {
    const { map: first, refused } = await solver.ask({ audio, without });
    if (!first) throw new Error(`${id}: no map; ${refused ?? ''}`);
    const played: Partial<Record<Way, Played>> = {};
    for (const way of ways) {
      await solver.ask({ restart: true });
      played[way] = await play(known, first, way, (correction) => solver.ask({ correct: correction }));
    }
    const { places } = (played.bars ?? played.doubts) as Played;
    return {
      id,
      played,
      naive: naively(known, first),
      places: rankedPlaces(first, places),
      claims: claims(first, known),
    };
  } finally {
    solver.close();
  }
}

function report(results: readonly Result[], ways: readonly Way[]): string {
  const sets = [...new Set(results.map(({ id }) => id[0] as string))];
  const tables = ways.map((way) => wayTable(results, sets, way));
  return [
    ...tables,
    placesText(results.flatMap(({ places }) => places)),
    calibrationText(results.flatMap((result) => result.claims)),
  ].join('\n');
}

/** One line a song, one a set and one for all: the middle song and the 90th percentile, failed ones counting as such. */
function wayTable(results: readonly Result[], sets: readonly string[], way: Way): string {
  const of = (result: Result): Played => result.played[way] as Played;
  const numbers = (result: Result): number[] => {
    const { locks, doubts, bars } = of(result);
    return [locks, ...(way === 'doubts' ? [doubts] : []), bars, result.naive];
  };
  const line = (name: string, cells: readonly string[], failed: string): string[] => [
    name,
    cells[0] as string,
    failed,
    ...cells.slice(1),
  ];
  const songs = results.map((result) => line(result.id, numbers(result).map(String), of(result).right ? '' : 'FAILED'));
  const rows = [...sets, ''].map((set) => {
    const own = results.filter(({ id }) => id.startsWith(set));
    const columns = numbers(own[0] as Result).map((_, i) => own.map((result) => numbers(result)[i] as number));
    const failed = own.filter((result) => !of(result).right).length;
    return line(
      set ? `set ${set}: median / 90 %` : 'all: median / 90 %',
      columns.map((values) => `${percentile(values, 0.5)} / ${percentile(values, 0.9)}`),
      failed > 0 ? `${failed} of ${own.length}` : '',
    );
  });
  const heads =
    way === 'doubts'
      ? ['locks', '', 'doubts heard', 'bars heard besides', 'edits without solving']
      : ['locks', '', 'bars heard', 'edits without solving'];
  return tableText([[`by ${way}`, ...heads], ...songs, ...rows]);
}
