import { existsSync, mkdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { parseArgs } from 'node:util';
import { compose } from './compose.js';
import { PLANTS } from './forms.js';
import { renderSong } from './render.js';

/** Songs of the two sets: m without, d with one planted difference each. Together other seeds than those the chord model was fitted on. */
export const MADE_SEEDS = { m: 1000, d: 2000 } as const;

/**
 * `make --work DIR [--count N] [--planted] [--seed N]`: composes songs whose beats, bars, chords and sections are known and plays them
 * with fluidsynth: DIR/audio/*.wav, DIR/truth/*.json. What is there already stays.
 */
export async function makeSongs(words: readonly string[], place: (path: string) => string): Promise<string> {
  const { values } = parseArgs({
    args: [...words],
    options: {
      work: { type: 'string' },
      count: { type: 'string', default: '48' },
      planted: { type: 'boolean', default: false },
      seed: { type: 'string' },
    },
  });
  if (!values.work) throw new TypeError('make needs --work DIR');
  const work = place(values.work);
  const audio = join(work, 'audio');
  const truth = join(work, 'truth');
  mkdirSync(audio, { recursive: true });
  mkdirSync(truth, { recursive: true });
  const set = values.planted ? 'd' : 'm';
  const first = values.seed === undefined ? MADE_SEEDS[set] : Number(values.seed);
  const count = Number(values.count);
  if (!Number.isInteger(first) || !Number.isInteger(count) || count < 1)
    throw new TypeError('make: --count and --seed are whole numbers');
  let seconds = 0;
  for (let i = 1; i <= count; i++) {
    const id = `${set}${String(i).padStart(2, '0')}`;
    const plant = values.planted ? PLANTS[(i - 1) % PLANTS.length] : undefined;
    const song = compose(id, first + i, plant ? { plant } : {});
    seconds += song.truth.duration;
    const path = join(audio, `${id}.wav`);
    writeFileSync(join(truth, `${id}.json`), `${JSON.stringify(song.truth)}\n`);
    if (existsSync(path)) continue;
    process.stderr.write(`${id} …\n`);
    await renderSong(song, path);
  }
  return `${count} songs, ${Math.round(seconds / 60)} minutes, in ${work}\n`;
}
