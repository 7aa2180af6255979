import { spawnSync } from 'node:child_process';
import { mkdtempSync, readdirSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { basename, extname, join } from 'node:path';
import { parseArgs } from 'node:util';
import { wantedRecording, type Alignment } from '../../src/analysis/fingerprint/same-recording.js';
import { decodeFile } from '../../src/platform/decode/node.js';
import { fingerprint, PRINT_SIGNAL_RATE, type Fingerprint } from '../../src/dsp/fingerprint.js';
import { resample } from '../../src/dsp/resample.js';
import type { Ffts } from '../../src/dsp/spectrum.js';
import { loadFfts } from '../../src/platform/worker/fft-loader.js';
import { dice, type Dice } from './made/dice.js';
import { percentile, tableText } from './statistics.js';

/** Speeds of the files that are made: seconds of the file to one of the recording. */
const SPEEDS = [1, 1, 1003 / 1000, 997 / 1000, 101 / 100, 99 / 100];

/** What ffmpeg makes of a recording, each trimmed at the start. */
const ENCODINGS = [
  ['MP3 64 kbit/s', '-b:a 64k', 'mp3'],
  ['MP3 192 kbit/s, 48 kHz', '-ar 48000 -b:a 192k', 'mp3'],
  ['Ogg Vorbis quality 2, mono', '-ac 1 -c:a libvorbis -q:a 2', 'ogg'],
  ['Opus 48 kbit/s', '-c:a libopus -b:a 48k', 'opus'],
] as const;

interface Group {
  readonly name: string;
  made: number;
  found: number;
  /** Largest error of a time from the beginning to the end of the file, in milliseconds. */
  readonly late: number[];
}

/**
 * `same --work DIR`: takes each recording of DIR/audio/*.wav, trims and resamples it, has it encoded anew, and looks whether it
 * is found and how exactly; then looks whether any recording is taken for another one.
 */
export async function sameBench(words: readonly string[], place: (path: string) => string): Promise<string> {
  const { values, positionals } = parseArgs({
    args: [...words],
    allowPositionals: true,
    options: {
      work: { type: 'string' },
      trims: { type: 'string', default: '12' },
      seed: { type: 'string', default: '1' },
    },
  });
  if (!values.work) throw new TypeError('same needs --work DIR (with audio/)');
  const folder = join(place(values.work), 'audio');
  const random = dice(Number(values.seed));
  const ffts = await loadFfts();
  const groups = new Map<string, Group>();
  const prints: { id: string; print: Fingerprint }[] = [];
  const temporary = mkdtempSync(join(tmpdir(), 'barwright-'));
  try {
    for (const file of readdirSync(folder).sort()) {
      const id = basename(file, '.wav');
      if (extname(file) !== '.wav' || (positionals.length > 0 && !positionals.includes(id))) continue;
      process.stderr.write(`${id} `);
      const { signal } = await decodeFile(join(folder, file));
      const print = fingerprint(signal, ffts);
      for (let n = 0; n < Number(values.trims); n++)
        trial(groups, signal, print, SPEEDS[n % 6] as number, random, ffts);
      for (const encoding of ENCODINGS) {
        await encoded(groups, join(folder, file), temporary, print, encoding, random, ffts);
      }
      prints.push({ id, print });
    }
  } finally {
    rmSync(temporary, { recursive: true });
  }
  process.stderr.write('\n');
  const rows = [...groups.values()].map(({ name, made, found, late }) => [
    name,
    `${found} of ${made}`,
    `${percentile(late, 0.5).toFixed(1)} ms`,
    `${percentile(late, 0.95).toFixed(1)} ms`,
    `${Math.max(...late).toFixed(1)} ms`,
  ]);
  return `${tableText([['made', 'found', 'median', '95 %', 'largest'], ...rows])}\n${strangers(prints)}\n`;
}

/** A stretch of the signal at another speed. */
function trial(
  groups: Map<string, Group>,
  signal: Float32Array,
  known: Fingerprint,
  speed: number,
  random: Dice,
  ffts: Ffts,
): void {
  const from = Math.floor(random.real(0, 0.3) * signal.length);
  const to = Math.floor(random.real(0.6, 1) * signal.length);
  const per = 1000;
  const made = speed === 1 ? signal.slice(from, to) : resample(signal.slice(from, to), per, Math.round(speed * per));
  const start = from / PRINT_SIGNAL_RATE;
  const found = wantedRecording(fingerprint(made, ffts)).find(known);
  const percent = ((speed - 1) * 100).toFixed(1);
  const name = speed === 1 ? 'trimmed' : `trimmed, ${percent} % longer`;
  note(groups, name, found, { offset: -start * speed, speed }, [start, to / PRINT_SIGNAL_RATE]);
}

async function encoded(
  groups: Map<string, Group>,
  source: string,
  temporary: string,
  known: Fingerprint,
  [name, options, ending]: (typeof ENCODINGS)[number],
  random: Dice,
  ffts: Ffts,
): Promise<void> {
  const start = Math.round(random.real(0, 20) * 1000) / 1000;
  const file = join(temporary, `made.${ending}`);
  const args = ['-y', '-loglevel', 'error', '-ss', String(start), '-i', source, ...options.split(' '), file];
  if (spawnSync('ffmpeg', args).status !== 0) return;
  const { signal } = await decodeFile(file);
  const found = wantedRecording(fingerprint(signal, ffts)).find(known);
  note(groups, `${name}, trimmed`, found, { offset: -start, speed: 1 }, [start, known.duration]);
}

function note(
  groups: Map<string, Group>,
  name: string,
  found: Alignment | undefined,
  truth: { readonly offset: number; readonly speed: number },
  times: readonly number[],
): void {
  const group = groups.get(name) ?? { name, made: 0, found: 0, late: [] };
  groups.set(name, group);
  group.made++;
  if (!found) return;
  group.found++;
  const errors = times.map((time) => found.offset - truth.offset + (found.speed - truth.speed) * time);
  group.late.push(1000 * Math.max(...errors.map(Math.abs)));
}

/** Every recording against every other. */
function strangers(prints: readonly { readonly id: string; readonly print: Fingerprint }[]): string {
  const taken: string[] = [];
  const used = process.cpuUsage();
  let pairs = 0;
  for (const given of prints) {
    const wanted = wantedRecording(given.print);
    for (const known of prints) {
      if (known.id === given.id) continue;
      pairs++;
      if (wanted.find(known.print)) taken.push(`${given.id} for ${known.id}`);
    }
  }
  const { user, system } = process.cpuUsage(used);
  const each = (user + system) / 1000 / Math.max(1, pairs);
  return `Taken for another recording: ${taken.length} of ${pairs} pairs ${taken.join(', ')}(${each.toFixed(1)} ms of processor time a pair)`;
}
