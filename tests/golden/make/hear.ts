import { spawnSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { analyse } from '../../../src/analysis/analyse.js';
import { SILENT_PROGRESS } from '../../../src/analysis/progress.js';
import { ANALYSIS_RATE } from '../../../src/analysis/evidence/signal.js';
import { decodeFile } from '../../../src/platform/decode/node.js';
import { loadTools } from '../../../src/platform/worker/tools-loader.js';
import { chooseCuts } from '../../bench/cuts/choose-cuts.js';
import { cutSound, strikesAt } from '../../bench/cuts/cut-sound.js';
import { compose } from '../../bench/made/compose.js';
import { damaged } from '../../bench/made/damage.js';
import { dice } from '../../bench/made/dice.js';
import { renderSong } from '../../bench/made/render.js';
import { readWav, writeWav } from '../../bench/wav.js';
import type { Kept } from '../evidence-file.js';
import type { GoldenRecording, MadeSource } from '../sources.js';
import { BANDS } from './bands.js';

const RATE = 44100;

/**
 * Makes the sound of a recording anew and hears it as the program does. Throws TypeError with what is missing where fluidsynth,
 * Python or a sound font is not there.
 */
export async function hear({ id, from }: GoldenRecording): Promise<Kept> {
  // Without a file between, as none can be silent.
  if (from.by === 'band') return heard(BANDS[from.band](), id);
  const folder = mkdtempSync(join(tmpdir(), 'golden-'));
  try {
    const wav = join(folder, `${id}.wav`);
    const path = from.by === 'sample' ? join('samples', 'public', 'samples', from.file) : wav;
    if (from.by === 'made') await playMade(id, from, wav);
    if (from.by === 'training') playTraining([from.generator, from.seed, from.seconds ?? 0], wav);
    const { signal, recording } = await decodeFile(path);
    return { recording, evidence: await analyse(signal, await loadTools(), SILENT_PROGRESS) };
  } finally {
    rmSync(folder, { recursive: true });
  }
}

async function heard(signal: Float32Array, id: string): Promise<Kept> {
  const duration = signal.length / ANALYSIS_RATE;
  const recording = { fileName: `${id}.wav`, duration, sampleRate: ANALYSIS_RATE, channels: 1, contentId: id };
  return { recording, evidence: await analyse(signal, await loadTools(), SILENT_PROGRESS) };
}

/** A song of tests/bench/made, perhaps cut, begun late or damaged. */
async function playMade(id: string, from: MadeSource, wav: string): Promise<void> {
  const { seed, plant, maxBars } = from;
  const song = compose(id, seed, { ...(plant && { plant }), ...(maxBars && { maxBars }) });
  await renderSong(song, wav, RATE);
  const pcm = readWav(readFileSync(wav));
  if (from.cut !== undefined) {
    const strikes = strikesAt(
      pcm,
      song.truth.beats.map(([time]) => time),
    );
    const cut = chooseCuts(
      { ...song.truth, beats_per_bar: song.truth.beats_per_bar ?? 4, bars: song.truth.bars ?? [] },
      strikes,
      seed,
    )[from.cut];
    if (!cut) throw new RangeError(`playMade: found no cut ${from.cut}; there are five`);
    process.stderr.write(`${id}: ${cut.action} ${cut.count} beats ${cut.where} bar ${cut.bar}\n`);
    writeFileSync(wav, writeWav(cutSound(pcm, cut.out, cut.into)));
  }
  if (from.fromBeat !== undefined) {
    const [time] = song.truth.beats[from.fromBeat] as readonly [number, number];
    const first = Math.round((time - 0.05) * pcm.rate) * pcm.channels;
    writeFileSync(wav, writeWav({ ...pcm, samples: pcm.samples.slice(first) }));
  }
  if (from.damage !== undefined) {
    const { samples, channels } = pcm;
    const signal = Float32Array.from(
      { length: samples.length / channels },
      (_, i) => (samples[i * channels] as number) / 32768,
    );
    writeFileSync(wav, mono(damaged(dice(from.damage), signal, pcm.rate), pcm.rate));
  }
}

function playTraining(words: readonly (string | number)[], wav: string): void {
  const script = join('tests', 'golden', 'make', 'play.py');
  const { status, stderr } = spawnSync('python3', [script, ...words.map(String), wav], { encoding: 'utf8' });
  if (status !== 0) throw new TypeError(`python3 ${script} ended with ${status}: ${stderr}`);
}

function mono(signal: Float32Array, rate: number): Buffer {
  const peak = signal.reduce((most, value) => Math.max(most, Math.abs(value)), 0);
  const scale = 32767 * Math.min(1, 0.98 / Math.max(1e-9, peak));
  return writeWav({ rate, channels: 1, samples: Int16Array.from(signal, (value) => Math.round(scale * value)) });
}
