import { readFileSync } from 'node:fs';
import { basename, extname } from 'node:path';
import { analyse } from '../../src/analysis/analyse.js';
import type { Evidence } from '../../src/analysis/evidence/evidence.js';
import { SILENT_PROGRESS } from '../../src/analysis/progress.js';
import type { AnalysisSignal } from '../../src/analysis/evidence/signal.js';
import { firstMap } from '../../src/analysis/solve.js';
import { SAMPLES } from '../../src/app/library/samples.js';
import { decodeFile } from '../../src/platform/decode/node.js';
import type { Peaks } from '../../src/dsp/peaks.js';
import type { Recording, SongMap } from '../../src/model/song-map.js';
import { loadTools } from '../../src/platform/worker/tools-loader.js';
import { kept, sourceKey } from './kept.js';

/** A recording analysed as the program does it, nothing locked. */
export interface Analysed {
  readonly evidence: Evidence;
  readonly map: SongMap;
  readonly peaks: Peaks;
}

/** What an analysis depends on, besides the recording. */
const SOURCES = ['src/music', 'src/dsp', 'src/model', 'src/platform/decode', 'src/analysis'];
let sources: string | undefined;

/** All that a kept analysis of these bytes depends on. */
export function analysisKey(...bytes: readonly (string | Uint8Array)[]): readonly (string | Uint8Array)[] {
  sources ??= sourceKey(SOURCES);
  return [sources, readFileSync('package-lock.json'), ...bytes];
}

/** Path of a bundled recording. */
export function samplePath(file: string): string {
  return `samples/public/samples/${file}`;
}

/** A bundled recording ("kites-over-brennick.ogg"), analysed once until the sources or the recording change. */
export function analysedSample(file: string): Promise<Analysed> {
  const sample = SAMPLES.find((one) => one.file === file);
  if (!sample) throw new RangeError(`analysedSample: "${file}" is not bundled; see src/app/library/samples.ts`);
  const path = samplePath(file);
  return kept(file, analysisKey(readFileSync(path)), async () => {
    const { signal, recording, peaks } = await decodeFile(path);
    return { ...(await analyseSignal(signal, recording, sample.title)), peaks };
  });
}

/** Evidence and first map of a signal at ANALYSIS_RATE, made anew. */
export async function analyseSignal(
  signal: AnalysisSignal,
  recording: Recording,
  title = basename(recording.fileName, extname(recording.fileName)),
): Promise<{ evidence: Evidence; map: SongMap }> {
  const evidence = await analyse(signal, await loadTools(), SILENT_PROGRESS);
  return { evidence, map: firstMap(evidence, recording, title) };
}
