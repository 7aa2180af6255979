/**
 * Chords and sections on the true beats and bars of a set of songs, evidence kept on disk, for work on both:
 * `dev-form.js AUDIO_DIR TRUTH_DIR CACHE_DIR OUT_DIR [ID ...]`. Writes {id}.json with chords and sections.
 */
import { existsSync, mkdirSync, readFileSync, readdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { barSlots, beatSlots } from '../../src/analysis/bars/bar-grid.js';
import { CHORD_MODEL, findChords } from '../../src/analysis/chords/find-chords.js';
import type { Evidence, Track } from '../../src/analysis/evidence/evidence.js';
import { harmonyTracks } from '../../src/analysis/evidence/harmony-evidence.js';
import { harmonySpectra } from '../../src/analysis/evidence/harmony-spectra.js';
import { findSections } from '../../src/analysis/sections/find-sections.js';
import { GROUP_MODEL } from '../../src/analysis/sections/group.js';
import { SEGMENT_MODEL } from '../../src/analysis/sections/segment.js';
import { findKey } from '../../src/analysis/evidence/tonality.js';
import { tuningOf } from '../../src/dsp/tuning.js';
import type { Bar } from '../../src/model/song-map.js';
import { loadEssentia } from '../../src/platform/worker/essentia-loader.js';
import { loadFfts } from '../../src/platform/worker/fft-loader.js';

interface Truth {
  readonly beats: readonly (readonly [number, number])[];
  readonly duration: number;
  readonly chords?: unknown;
}

/** Mono at 22.05 kHz from a 16-bit WAV at 44.1 kHz: channels averaged, halved with a 63-tap half-band filter. */
function readSignal(path: string): Float32Array {
  const bytes = readFileSync(path);
  const channels = bytes.readUInt16LE(22);
  let at = 12;
  while (bytes.toString('latin1', at, at + 4) !== 'data') at += 8 + bytes.readUInt32LE(at + 4);
  const count = Math.floor((bytes.length - at - 8) / 2 / channels);
  const mono = new Float32Array(count);
  for (let i = 0; i < count; i++) {
    for (let c = 0; c < channels; c++)
      mono[i]! += bytes.readInt16LE(at + 8 + 2 * (i * channels + c)) / channels / 32768;
  }
  const taps = Array.from({ length: 63 }, (_, i) => {
    const k = i - 31;
    return (k === 0 ? 0.5 : Math.sin((Math.PI * k) / 2) / (Math.PI * k)) * (0.5 + 0.5 * Math.cos((Math.PI * k) / 32));
  });
  return Float32Array.from({ length: count >> 1 }, (_, i) => {
    let sum = 0;
    for (let k = 0; k < 63; k++) sum += taps[k]! * (mono[2 * i + k - 31] ?? 0);
    return sum;
  });
}

async function evidenceOf(audio: string, cache: string): Promise<Evidence> {
  if (existsSync(cache)) {
    const saved = JSON.parse(readFileSync(cache, 'utf8')) as Evidence;
    const revive = (track: Track): Track => ({
      ...track,
      data: new Uint8Array(Buffer.from(track.data as unknown as string, 'base64')),
    });
    const { chroma, bass, timbre } = saved.tracks;
    return {
      ...saved,
      tracks: { ...saved.tracks, chroma: revive(chroma), bass: revive(bass), timbre: revive(timbre) },
    };
  }
  const signal = readSignal(audio);
  const t0 = performance.now();
  const spectra = harmonySpectra(signal, await loadFfts());
  const tuning = tuningOf(spectra.peaks);
  const key = findKey(signal, tuning, await loadEssentia());
  const tonality = { tuning, ...(key ? { key } : {}) };
  const t1 = performance.now();
  const tracks = harmonyTracks(spectra, tuning);
  const t2 = performance.now();
  console.log(
    audio,
    tonality,
    `tonality ${Math.round(t1 - t0)} ms, harmony ${Math.round(t2 - t1)} ms for ${Math.round(signal.length / 22050)} s`,
  );
  const none: Track = { rate: 100, width: 1, data: new Uint8Array(0) };
  const evidence: Evidence = {
    version: 'dev',
    duration: signal.length / 22050,
    ...tonality,
    tracks: { ...tracks, beat: none, downbeat: none, onset: none, level: none },
  };
  const text = (track: Track): unknown => ({ ...track, data: Buffer.from(track.data).toString('base64') });
  const saved = { chroma: text(tracks.chroma), bass: text(tracks.bass), timbre: text(tracks.timbre) };
  writeFileSync(cache, JSON.stringify({ ...evidence, tracks: { ...evidence.tracks, ...saved } }));
  return evidence;
}

function trueBars(truth: Truth): Bar[] {
  const bars: { beats: number[]; pickup: boolean }[] = [];
  for (const [time, position] of truth.beats) {
    if (position === 1 || bars.length === 0) bars.push({ beats: [time], pickup: position !== 1 });
    else bars.at(-1)!.beats.push(time);
  }
  return bars.map(({ beats, pickup }) => ({
    kind: 'bar',
    start: beats[0]!,
    beats,
    meter: { count: beats.length, unit: 4, beatUnits: 1 },
    ...(pickup ? { pickup: true as const } : {}),
    confidence: 1,
  }));
}

Object.assign(CHORD_MODEL, JSON.parse(process.env['CHORD_MODEL'] ?? '{}'));
Object.assign(SEGMENT_MODEL, JSON.parse(process.env['SEGMENT_MODEL'] ?? '{}'));
Object.assign(GROUP_MODEL, JSON.parse(process.env['GROUP_MODEL'] ?? '{}'));
const [audio = '', truths = '', cache = '', out = '', ...only] = process.argv.slice(2);
mkdirSync(cache, { recursive: true });
mkdirSync(out, { recursive: true });
for (const file of readdirSync(truths)) {
  const id = file.replace('.json', '');
  if (only.length > 0 ? !only.includes(id) : !/^[pt]/.test(id)) continue;
  const truth = JSON.parse(readFileSync(join(truths, file), 'utf8')) as Truth;
  const evidence = await evidenceOf(join(audio, `${id}.wav`), join(cache, file));
  const spans = trueBars(truth);
  const end = Math.min(truth.duration, spans.at(-1)!.beats.at(-1)! + 1);
  const bars = barSlots(spans, end);
  const t0 = performance.now();
  const sections = findSections(evidence, bars);
  const t1 = performance.now();
  const chords = findChords(evidence, bars, beatSlots(bars), evidence.key);
  const t2 = performance.now();
  writeFileSync(join(out, file), JSON.stringify({ sections, chords, end, ms: [t1 - t0, t2 - t1] }));
}
