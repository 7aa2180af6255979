/**
 * What chords sound like to the program, for src/training/fit_chords.py: `chord-facts.js OUT.jsonl FIRST_SEED COUNT`
 * composes and plays songs of seeds that no benchmark uses; a line a song: the mean chroma and bass of each beat, the chord that is
 * known there, and its place in the bar.
 */
import { appendFileSync, mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { barSlots, beatSlots } from '../../src/analysis/bars/bar-grid.js';
import { beatHarmony } from '../../src/analysis/chords/beat-harmony.js';
import { ANALYSIS_RATE } from '../../src/analysis/evidence/signal.js';
import { decodeFile } from '../../src/platform/decode/node.js';
import { loadFfts } from '../../src/platform/worker/fft-loader.js';
import { formEvidence, knownBars } from './form-evidence.js';
import { compose } from './made/compose.js';
import { damaged } from './made/damage.js';
import { dice } from './made/dice.js';
import { CHANNELS } from './made/parts.js';
import { renderSong } from './made/render.js';

const [out = '', first = '', count = ''] = process.argv.slice(2);
const ffts = await loadFfts();
const folder = mkdtempSync(join(tmpdir(), 'chord-facts-'));
try {
  for (let seed = Number(first); seed < Number(first) + Number(count); seed++) {
    const d = dice(seed + 3);
    const made = compose('f', seed, { maxBars: 36 });
    // The tune is sometimes in the background, sometimes all that is clear.
    const lead = d.real(0.6, 1.4);
    const song = {
      ...made,
      notes: made.notes.map((note) =>
        note.channel === CHANNELS.lead ? { ...note, velocity: Math.min(127, Math.round(lead * note.velocity)) } : note,
      ),
    };
    const path = join(folder, 'song.wav');
    await renderSong(song, path, 22050);
    const { signal } = await decodeFile(path);
    // The tuning is found to within a few cents.
    const evidence = formEvidence(damaged(d, signal, ANALYSIS_RATE), ffts, song.cents + d.gauss(3));
    const { truth } = song;
    const bars = barSlots(knownBars(truth), truth.sections[truth.sections.length - 1]?.[1] ?? truth.duration);
    const beats = beatSlots(bars);
    const values = beatHarmony(evidence, beats);
    const chords = beats.map(({ time, end }) => {
      const middle = (time + end) / 2;
      return truth.chords.find(([from, to]) => middle >= from && middle < to)?.[2] ?? 'N';
    });
    const line = {
      seed,
      beats: beats.length,
      places: beats.map(({ place }) => place),
      chords,
      values: Buffer.from(values.buffer, values.byteOffset, values.byteLength).toString('base64'),
    };
    appendFileSync(out, `${JSON.stringify(line)}\n`);
    process.stderr.write(`${seed} `);
  }
} finally {
  rmSync(folder, { recursive: true, force: true });
}
