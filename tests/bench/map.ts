import { spawn } from 'node:child_process';
import { existsSync, mkdtempSync, readFileSync, readdirSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { basename, extname, join } from 'node:path';
import { parseArgs } from 'node:util';
import { judge, type Judgement, type KnownSong } from './measures/judge.js';
import { jamsBeats, jamsTempo } from './measures/read-jams.js';
import { tableText } from './statistics.js';

interface Case {
  readonly id: string;
  readonly judgement: Judgement;
  readonly tempoRight: boolean;
}

/**
 * `map --work DIR --truth DIR [--jobs N] [--keep DIR] [ID…]`: runs the command line over DIR/audio/*.wav and
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
    },
  });
  if (!values.work || !values.truth) throw new Error('map needs --work DIR (with audio/) and --truth DIR');
  const audio = join(place(values.work), 'audio');
  const truth = place(values.truth);
  const ids = readdirSync(audio)
    .filter((name) => extname(name) === '.wav')
    .map((name) => basename(name, '.wav'))
    .filter((id) => existsSync(join(truth, `${id}.json`)) && (positionals.length === 0 || positionals.includes(id)))
    .sort();
  if (ids.length === 0) throw new Error(`no recording in ${audio} has a truth in ${truth}`);
  const out = values.keep ? place(values.keep) : mkdtempSync(join(tmpdir(), 'map-bench-'));
  try {
    await runMap(
      ids.map((id) => join(audio, `${id}.wav`)),
      join(out, '{name}.jams'),
      values.jobs,
    );
    return table(ids.map((id) => judged(id, join(truth, `${id}.json`), join(out, `${id}.jams`))));
  } finally {
    if (!values.keep) rmSync(out, { recursive: true, force: true });
  }
}

/** The command line as users run it. A recording it cannot do is missing from the folder afterwards. */
function runMap(files: readonly string[], jams: string, jobs: string): Promise<void> {
  return new Promise((resolve, reject) => {
    const words = ['src/setup/map.mjs', '--quiet', '--jams', jams, '--jobs', jobs, ...files];
    const child = spawn(process.execPath, words, { stdio: ['ignore', 'ignore', 'inherit'] });
    child.on('error', reject);
    child.on('close', () => resolve());
  });
}

function judged(id: string, truth: string, jams: string): Case {
  const known = JSON.parse(readFileSync(truth, 'utf8')) as KnownSong & { readonly tempo: number };
  if (!existsSync(jams)) return { id, judgement: judge(known, []), tempoRight: false };
  const text = readFileSync(jams, 'utf8');
  return {
    id,
    judgement: judge(known, jamsBeats(text)),
    tempoRight: Math.abs(jamsTempo(text) / known.tempo - 1) <= 0.04,
  };
}

function table(cases: readonly Case[]): string {
  const sets = [...new Set(cases.map(({ id }) => id[0] as string))];
  const rows = sets.map((set) => {
    const own = cases.filter(({ id }) => id.startsWith(set));
    return { name: `set ${set}`, ...means(own) };
  });
  const whole = {
    name: 'all sets alike',
    beat: mean(rows.map((row) => row.beat)),
    cmlt: mean(rows.map((row) => row.cmlt)),
    amlt: mean(rows.map((row) => row.amlt)),
    down: mean(rows.map((row) => row.down)),
    bar: mean(rows.map((row) => row.bar)),
    tempo: mean(rows.map((row) => row.tempo)),
    irregular: '',
  };
  const lines = [...cases.map((one) => ({ name: one.id, ...means([one]) })), ...rows, whole];
  return tableText([
    ['song', 'beat F', 'CMLt', 'AMLt', 'downbeat F', 'bar F', 'tempo', 'irregular found/claimed/true'],
    ...lines.map(({ name, beat, cmlt, amlt, down, bar, tempo, irregular }) => [
      name,
      ...[beat, cmlt, amlt, down, bar, tempo].map((value) => (Number.isNaN(value) ? '-' : value.toFixed(3))),
      irregular,
    ]),
  ]);
}

function means(cases: readonly Case[]) {
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
    irregular: irregular.length > 0 ? `${sum('hits')}/${sum('claimed')}/${sum('actual')}` : '-',
  };
}

/** Of the numbers that are there; NaN of none. */
function mean(values: readonly (number | undefined)[]): number {
  const there = values.filter((value) => value !== undefined && !Number.isNaN(value)) as number[];
  return there.reduce((sum, value) => sum + value, 0) / there.length;
}
