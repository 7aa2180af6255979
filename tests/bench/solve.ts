import { parseArgs } from 'node:util';
import { readFileSync } from 'node:fs';
import { solveMap } from '../../src/analysis/solve.js';
import type { Evidence } from '../../src/analysis/evidence/evidence.js';
import type { SongMap } from '../../src/model/song-map.js';
import { kept } from '../support/kept.js';
import { analyseSignal, analysisKey, samplePath } from '../support/sample-evidence.js';
import { randomEdit, seeded } from './random-edits.js';
import { limited, type Row } from './row.js';
import { BENCH_SAMPLE, songOfLength } from './songs.js';
import { percentile } from './statistics.js';

const MINUTES = 10;
/** Milliseconds for an edit and the solve after it, at the 95th percentile. */
const AIM = 50;
/** Edits before the song starts afresh, so that locks pile up as they do for a user. */
const EDITS_A_SONG = 20;

/** A ten-minute song, analysed: the bundled sample's signal repeated. */
export async function longSong(): Promise<{ evidence: Evidence; map: SongMap }> {
  const key = analysisKey(readFileSync(samplePath(BENCH_SAMPLE)), String(MINUTES));
  return kept(`${MINUTES}-minutes`, key, async () => {
    const { signal, recording } = await songOfLength(60 * MINUTES);
    return analyseSignal(signal, recording);
  });
}

/** `solve [--edits N] [--seed N]`: the time from an edit to the solved map on a ten-minute song, over random edits. */
export async function solveBench(words: readonly string[]): Promise<Row[]> {
  const { values } = parseArgs({
    args: [...words],
    options: { edits: { type: 'string', default: '600' }, seed: { type: 'string', default: '1' } },
  });
  const { evidence: made, map: first } = await longSong();
  // A copy has nothing remembered of it, as when a song is opened from storage.
  const evidence = structuredClone(made);
  const random = seeded(Number(values.seed));
  const solved: number[] = [];
  const worked: number[] = [];
  const refused: number[] = [];
  const byKind = new Map<string, number[]>();
  const idle = process.cpuUsage();
  solveMap(evidence, randomEdit(first, random).edited);
  const cold = cpu(idle);
  let map = first;
  for (let n = 0; n < Number(values.edits); n++) {
    if (n % EDITS_A_SONG === 0) map = first;
    const from = performance.now();
    const used = process.cpuUsage();
    const { name, edited } = randomEdit(map, random);
    const outcome = solveMap(evidence, edited);
    const took = performance.now() - from;
    (outcome.ok ? solved : refused).push(took);
    if (outcome.ok) worked.push(cpu(used));
    byKind.set(name, [...(byKind.get(name) ?? []), took]);
    if (outcome.ok) map = outcome.map;
  }
  const kinds = [...byKind].map(([name, times]) => ({ name, worst: percentile(times, 0.95), count: times.length }));
  kinds.sort((a, b) => b.worst - a.worst);
  return [
    limited(
      `re-solve after ${solved.length} random edits of a ${MINUTES}-minute song, 95th percentile`,
      percentile(solved, 0.95),
      AIM,
      'ms',
    ),
    {
      what: '  50th percentile, longest',
      measured: `${ms(percentile(solved, 0.5))}, ${ms(percentile(solved, 1))}`,
    },
    {
      what: '  processor time (what it takes where nothing else runs), 50th and 95th percentile, longest',
      measured: `${ms(percentile(worked, 0.5))}, ${ms(percentile(worked, 0.95))}, ${ms(percentile(worked, 1))}`,
    },
    {
      what: `  ${refused.length} refused (locks that cannot all hold), 95th percentile`,
      measured: refused.length > 0 ? ms(percentile(refused, 0.95)) : '-',
    },
    ...kinds
      .slice(0, 3)
      .map(({ name, worst, count }) => ({ what: `  ${name} (${count}), 95th percentile`, measured: ms(worst) })),
    { what: '  the first solve after a song is opened, processor time', measured: ms(cold) },
  ];
}

function ms(value: number): string {
  return `${value.toFixed(1)} ms`;
}

/** Milliseconds of processor time of this process since `from`. */
function cpu(from: NodeJS.CpuUsage): number {
  const { user, system } = process.cpuUsage(from);
  return (user + system) / 1000;
}
