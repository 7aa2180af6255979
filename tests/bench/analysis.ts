import { parseArgs } from 'node:util';
import { analyseSignal } from '../support/sample-evidence.js';
import { referenceTracker } from '../support/reference-beats.js';
import { limited, type Row } from './row.js';
import { songFromFile, songOfLength, type BenchSong } from './songs.js';
import { median } from './statistics.js';

const MINUTES = 4;
/** The whole analysis may take this share of the time that the reference takes for beats alone. */
const AIM = 0.25;

/**
 * `analysis [--rounds N] [FILE…]`: the whole analysis of a decoded song (signal to evidence to first map) against
 * essentia.js RhythmExtractor2013 'multifeature' alone on the same song, in turns in one process. Without a file, the
 * bundled sample repeated to four minutes. Decoding is in neither.
 */
export async function analysisBench(words: readonly string[], place: (path: string) => string): Promise<Row[]> {
  const { values, positionals } = parseArgs({
    args: [...words],
    allowPositionals: true,
    options: { rounds: { type: 'string', default: '3' } },
  });
  const rounds = Math.max(1, Number(values.rounds) || 1);
  const songs =
    positionals.length > 0 ? positionals.map((path) => songFromFile(place(path))) : [songOfLength(60 * MINUTES)];
  const rows: Row[] = [];
  for (const song of songs) rows.push(...(await compare(await song, rounds)));
  return rows;
}

async function compare(song: BenchSong, rounds: number): Promise<Row[]> {
  const track = await referenceTracker();
  const ours: Spent[] = [];
  const theirs: Spent[] = [];
  // The first seconds compile the code of both; that is not what is compared.
  await analyseSignal(song.signal.slice(0, 20 * 22050), { ...song.recording, duration: 20 });
  track(song.reference.slice(0, 20 * 44100), 'multifeature');
  for (let round = 0; round < rounds; round++) {
    ours.push(await spentBy(() => analyseSignal(song.signal, song.recording)));
    theirs.push(await spentBy(() => track(song.reference, 'multifeature')));
    process.stderr.write(
      `  round ${round + 1} of ${rounds}: ${seconds(ours.at(-1)?.wall)} against ${seconds(theirs.at(-1)?.wall)}\n`,
    );
  }
  const ratio = (of: keyof Spent): number => median(ours.map((spent, i) => spent[of] / (theirs[i] as Spent)[of]));
  const middle = (some: readonly Spent[], of: keyof Spent): string => seconds(median(some.map((spent) => spent[of])));
  return [
    limited(`whole analysis of ${song.name}, over the reference's beats alone`, ratio('wall'), AIM, '', 2),
    {
      what: '  the analysis, the reference (medians)',
      measured: `${middle(ours, 'wall')}, ${middle(theirs, 'wall')}`,
    },
    // Each runs on one thread; this does not count what other programs took of it.
    limited('  the same in seconds of the processor', ratio('processor'), AIM, '', 2),
    {
      what: '  the analysis, the reference (medians)',
      measured: `${middle(ours, 'processor')}, ${middle(theirs, 'processor')}`,
    },
  ];
}

/** Milliseconds by the clock and of the processor (all threads). */
interface Spent {
  readonly wall: number;
  readonly processor: number;
}

async function spentBy(work: () => unknown): Promise<Spent> {
  const began = performance.now();
  const before = process.cpuUsage();
  await work();
  const { user, system } = process.cpuUsage(before);
  return { wall: performance.now() - began, processor: (user + system) / 1000 };
}

function seconds(milliseconds = NaN): string {
  return `${(milliseconds / 1000).toFixed(1)} s`;
}
