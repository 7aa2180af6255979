import { spawn } from 'node:child_process';
import { existsSync, mkdtempSync, readFileSync, readdirSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { basename, extname, join } from 'node:path';
import { parseArgs } from 'node:util';
import { inOrder } from '../../src/cli/in-order.js';
import { toJams } from '../../src/export/jams.js';
import { SolverProcess } from './correct/solver-process.js';
import { judge, type Judgement, type KnownSong } from './measures/judge.js';
import { jamsBeats, jamsTempo } from './measures/read-jams.js';
import { median, tableText } from './statistics.js';
import { partsOf, type Part } from './without.js';

/** A song as judged. */
export interface Case {
  readonly id: string;
  readonly judgement: Judgement;
  readonly tempoRight: boolean;
}

/** Where the songs lie and how they are mapped. */
export interface Task {
  /** Folders with ID.wav and ID.json. */
  readonly audio: string;
  readonly truth: string;
  readonly jobs: string;
  readonly without: readonly Part[];
  /** Folder for what the command line writes. */
  readonly keep?: string;
}

/**
 * `map --work DIR --truth DIR [--jobs N] [--keep DIR] [--without PART]… [ID…]`: runs the command line over DIR/audio/*.wav and
 * judges what it writes against DIR/*.json of the same names (see KnownSong for what such a file says), song by song and
 * by set, the first letter of the name. Without tables of other tools: our own measures.
 */
export async function mapBench(words: readonly string[], place: (path: string) => string): Promise<string> {
  const { values, positionals } = parseArgs({
    args: [...words],
    allowPositionals: true,
    options: {
      work: { type: 'string' },
      truth: { type: 'string' },
      jobs: { type: 'string', default: '1' },
      keep: { type: 'string' },
      without: { type: 'string', multiple: true, default: [] },
    },
  });
  if (!values.work || !values.truth) throw new TypeError('map needs --work DIR (with audio/) and --truth DIR');
  const audio = join(place(values.work), 'audio');
  const truth = place(values.truth);
  const ids = readdirSync(audio)
    .filter((name) => extname(name) === '.wav')
    .map((name) => basename(name, '.wav'))
    .filter((id) => existsSync(join(truth, `${id}.json`)) && (positionals.length === 0 || positionals.includes(id)))
    .sort();
  if (ids.length === 0) throw new TypeError(`no recording in ${audio} has a truth in ${truth}`);
  const keep = values.keep && { keep: place(values.keep) };
  return caseTable(
    await judgeSongs(ids, { audio, truth, jobs: values.jobs, without: partsOf(values.without), ...keep }),
  );
}

/** Maps the songs and judges each; one that cannot be mapped has found nothing. */
export async function judgeSongs(ids: readonly string[], task: Task): Promise<Case[]> {
  const out = task.keep ?? mkdtempSync(join(tmpdir(), 'map-bench-'));
  const truth = (id: string): string => join(task.truth, `${id}.json`);
  try {
    if (task.without.length > 0) return await judgeWithout(ids, task);
    await runMap(
      ids.map((id) => join(task.audio, `${id}.wav`)),
      join(out, '{name}.jams'),
      task.jobs,
    );
    return ids.map((id) => {
      const jams = join(out, `${id}.jams`);
      return judged(id, truth(id), existsSync(jams) ? readFileSync(jams, 'utf8') : undefined);
    });
  } finally {
    if (!task.keep) rmSync(out, { recursive: true, force: true });
  }
}

/** The command line as users run it. A recording it cannot do is missing from the folder afterwards. */
function runMap(files: readonly string[], jams: string, jobs: string): Promise<void> {
  return new Promise((resolve, reject) => {
    const words = ['src/scripts/map.mjs', '--quiet', '--jams', jams, '--jobs', jobs, ...files];
    const child = spawn(process.execPath, words, { stdio: ['ignore', 'ignore', 'inherit'] });
    child.on('error', reject);
    child.on('close', () => resolve());
  });
}

/** The same in processes of our own, as no user can leave out a part. */
async function judgeWithout(ids: readonly string[], { audio, truth, jobs, without }: Task): Promise<Case[]> {
  const cases: Case[] = [];
  await inOrder(
    ids,
    Math.max(1, Number(jobs) || 1),
    async (id) => {
      const solver = new SolverProcess();
      try {
        const { map } = await solver.ask({ audio: join(audio, `${id}.wav`), without });
        return judged(id, join(truth, `${id}.json`), map && toJams(map).text);
      } finally {
        solver.close();
      }
    },
    (one) => {
      cases.push(one);
      process.stderr.write(`  ${one.id}\n`);
    },
  );
  return cases;
}

function judged(id: string, truth: string, jams: string | undefined): Case {
  const known = JSON.parse(readFileSync(truth, 'utf8')) as KnownSong & { readonly tempo: number };
  if (jams === undefined) return { id, judgement: judge(known, []), tempoRight: false };
  return {
    id,
    judgement: judge(known, jamsBeats(jams)),
    tempoRight: Math.abs(jamsTempo(jams) / known.tempo - 1) <= 0.04,
  };
}

/** One line a song, one a set, and their mean. */
export function caseTable(cases: readonly Case[]): string {
  const sets = [...new Set(cases.map(({ id }) => id[0] as string))];
  const rows = sets.map((set) => {
    const own = cases.filter(({ id }) => id.startsWith(set));
    return { name: `set ${set}`, ...meanRow(own) };
  });
  const whole = {
    name: 'all sets alike',
    beat: mean(rows.map((row) => row.beat)),
    cmlt: mean(rows.map((row) => row.cmlt)),
    amlt: mean(rows.map((row) => row.amlt)),
    down: mean(rows.map((row) => row.down)),
    bar: mean(rows.map((row) => row.bar)),
    tempo: mean(rows.map((row) => row.tempo)),
    late: mean(rows.map((row) => row.late)),
    off: mean(rows.map((row) => row.off)),
    irregularF: NaN,
    irregular: '',
  };
  const lines = [...cases.map((one) => ({ name: one.id, ...meanRow([one]) })), ...rows, whole];
  return tableText([
    [
      'song',
      'beat F',
      'CMLt',
      'AMLt',
      'downbeat F',
      'bar F',
      'tempo',
      'late ms',
      'off ms',
      'irregular F',
      'found/claimed/true',
    ],
    ...lines.map(({ name, beat, cmlt, amlt, down, bar, tempo, late, off, irregularF, irregular }) => [
      name,
      ...[beat, cmlt, amlt, down, bar, tempo].map((value) => shown(value, 3)),
      ...[late, off].map((value) => shown(1000 * value, 1)),
      shown(irregularF, 3),
      irregular,
    ]),
  ]);
}

function shown(value: number, digits: number): string {
  return Number.isNaN(value) ? '-' : value.toFixed(digits);
}

/** Means over songs (of the beats' lateness and distance: of medians, seconds); irregular bars counted together. */
export function meanRow(cases: readonly Case[]) {
  const all = cases.map(({ judgement }) => judgement);
  const irregular = all.flatMap((one) => (one.irregular ? [one.irregular] : []));
  const sum = (of: 'hits' | 'claimed' | 'actual'): number => irregular.reduce((total, one) => total + one[of], 0);
  return {
    beat: mean(all.map((one) => one.beatF)),
    cmlt: mean(all.map((one) => one.continuity.cmlt)),
    amlt: mean(all.map((one) => one.continuity.amlt)),
    down: mean(all.map((one) => one.downbeatF)),
    bar: mean(all.map((one) => one.bars?.f)),
    tempo: mean(cases.map(({ tempoRight }) => Number(tempoRight))),
    late: mean(all.map(({ late }) => median(late))),
    off: mean(all.map(({ late }) => median(late.map(Math.abs)))),
    irregularF: (2 * sum('hits')) / (sum('claimed') + sum('actual')),
    irregular: irregular.length > 0 ? `${sum('hits')}/${sum('claimed')}/${sum('actual')}` : '-',
  };
}

/** Of the numbers that are there; NaN of none. */
function mean(values: readonly (number | undefined)[]): number {
  const there = values.filter((value) => value !== undefined && !Number.isNaN(value)) as number[];
  return there.reduce((sum, value) => sum + value, 0) / there.length;
}
