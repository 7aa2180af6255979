import { readFileSync } from 'node:fs';
import { sha256 } from '@noble/hashes/sha2.js';
import { bytesToHex } from '@noble/hashes/utils.js';
import type { Evidence } from '../../src/analysis/evidence/evidence.js';
import { firstMap } from '../../src/analysis/solve.js';
import type { Peaks } from '../../src/dsp/peaks.js';
import type { SongMap } from '../../src/model/song-map.js';
import { writeProject } from '../../src/project/write-project.js';
import { wav } from '../platform/decode/signals.js';
import { madeBeats, madeEvidence } from './made-evidence.js';
import { analysedSample, samplePath } from './sample-evidence.js';
import type { GivenFile } from './user.js';

/** Project files that put a song into a browser as the program would keep it, without an analysis in the page. */

/** A bundled recording, analysed in Node once and kept. */
export async function sampleProject(file: string, options: { readonly audio?: boolean } = {}): Promise<GivenFile> {
  const { map, evidence, peaks } = await analysedSample(file);
  const bytes = options.audio ? readFileSync(samplePath(file)) : undefined;
  return songProject(map, evidence, peaks, bytes);
}

/** Half a minute of clicks all alike with two odd bars: nothing tells the bars, so that many are in doubt. */
export const LANTERN_ROAD = 'Lantern Road';
const CLICKS = madeBeats([4, 4, 4, 4, 3, 4, 4, 4, 4, 4, 4, 4, 2, 4], 0.5, 1);
const SECONDS = 30;
const RATE = 22050;

/** The recording of LANTERN_ROAD. */
export function lanternRecording(): GivenFile {
  const sound = new Float32Array(RATE * SECONDS);
  for (const { time } of CLICKS)
    for (let i = 0; i < 0.06 * RATE; i++)
      sound[Math.round(time * RATE) + i] = 0.6 * Math.exp(-i / 300) * Math.sin((2 * Math.PI * 660 * i) / RATE);
  return { name: 'lantern road.wav', bytes: wav({ rate: RATE, channels: [sound] }) };
}

/** LANTERN_ROAD with its recording, as solved at first. */
export function lanternProject(): GivenFile {
  const { name, bytes } = lanternRecording();
  const evidence = madeEvidence(CLICKS, { duration: SECONDS, plain: true, noHarmony: true });
  const contentId = bytesToHex(sha256(bytes));
  const recording = { fileName: name, duration: SECONDS, sampleRate: RATE, channels: 1, contentId };
  const peaks = { rate: 200, data: new Int8Array(2 * 200 * SECONDS).fill(40) };
  return songProject(firstMap(evidence, recording, LANTERN_ROAD), evidence, peaks, bytes);
}

/** A project file of a song with this evidence and outline, with its recording where that is given. */
export function songProject(map: SongMap, evidence: Evidence, peaks: Peaks, recording?: Uint8Array): GivenFile {
  const pieces = writeProject({
    map,
    evidence,
    peaks,
    ...(recording ? { recording: { name: map.recording.fileName, bytes: recording } } : {}),
  });
  return { name: `${map.title}.barwright`, bytes: Buffer.concat(pieces) };
}
