import { existsSync, mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { dirname } from 'node:path';
import type { Evidence, Track } from '../../src/analysis/evidence/evidence.js';
import { harmonyTracks } from '../../src/analysis/evidence/harmony-evidence.js';
import { harmonySpectra, type HarmonySpectra } from '../../src/analysis/evidence/harmony-spectra.js';
import { ANALYSIS_RATE, type AnalysisSignal } from '../../src/analysis/evidence/signal.js';
import { findKey } from '../../src/analysis/evidence/tonality.js';
import { decodeFile } from '../../src/platform/decode/node.js';
import type { Ffts } from '../../src/dsp/spectrum.js';
import { tuningOf } from '../../src/dsp/tuning.js';
import type { Bar } from '../../src/model/song-map.js';
import { loadEssentia } from '../../src/platform/worker/essentia-loader.js';
import { loadFfts } from '../../src/platform/worker/fft-loader.js';
import type { KnownSong } from './measures/judge.js';

const NONE: Track = { rate: 100, width: 1, data: new Uint8Array(0) };

/** Evidence of harmony and timbre alone: what sections and chords are found from when the bars are given. */
export function formEvidence(signal: AnalysisSignal, ffts: Ffts, tuning: number): Evidence {
  return evidenceOf(signal, harmonySpectra(signal, ffts), tuning, undefined);
}

function evidenceOf(signal: AnalysisSignal, spectra: HarmonySpectra, tuning: number, key: Evidence['key']): Evidence {
  const tracks = harmonyTracks(spectra, tuning);
  return {
    version: 'form',
    duration: signal.length / ANALYSIS_RATE,
    tuning,
    ...(key ? { key } : {}),
    tracks: { ...tracks, beat: NONE, downbeat: NONE, onset: NONE, level: NONE },
  };
}

/** The same of a recording, kept in the file `cache` for the next time. */
export async function keptFormEvidence(audio: string, cache: string): Promise<Evidence> {
  if (existsSync(cache)) return revived(readFileSync(cache, 'utf8'));
  const { signal } = await decodeFile(audio);
  const spectra = harmonySpectra(signal, await loadFfts());
  const tuning = tuningOf(spectra.peaks);
  const evidence = evidenceOf(signal, spectra, tuning, findKey(signal, tuning, await loadEssentia()));
  mkdirSync(dirname(cache), { recursive: true });
  writeFileSync(cache, written(evidence));
  return evidence;
}

const KEPT = ['chroma', 'bass', 'timbre'] as const;

function written(evidence: Evidence): string {
  const { tracks, ...rest } = evidence;
  const text = KEPT.map((name) => ({ ...tracks[name], data: Buffer.from(tracks[name].data).toString('base64') }));
  return JSON.stringify({ ...rest, tracks: text });
}

function revived(text: string): Evidence {
  const saved = JSON.parse(text) as Omit<Evidence, 'tracks'> & {
    tracks: { rate: number; width: number; data: string }[];
  };
  const [chroma = NONE, bass = NONE, timbre = NONE] = saved.tracks.map((track): Track => {
    return { ...track, data: new Uint8Array(Buffer.from(track.data, 'base64')) };
  });
  return { ...saved, tracks: { chroma, bass, timbre, beat: NONE, downbeat: NONE, onset: NONE, level: NONE } };
}

/** The known bars as the solver would give them; what comes before the first beat 1 is a pickup. */
export function knownBars(known: Pick<KnownSong, 'beats'>): Bar[] {
  const bars: { beats: number[]; pickup: boolean }[] = [];
  for (const [time, position] of known.beats) {
    const last = bars[bars.length - 1];
    if (position === 1 || !last) bars.push({ beats: [time], pickup: position !== 1 });
    else last.beats.push(time);
  }
  return bars.map(({ beats, pickup }) => ({
    kind: 'bar',
    start: beats[0] as number,
    beats,
    meter: { count: beats.length, unit: 4, beatUnits: 1 },
    ...(pickup ? { pickup: true as const } : {}),
    confidence: 1,
  }));
}
