import { readFileSync } from 'node:fs';
import { sha256 } from '@noble/hashes/sha2.js';
import { bytesToHex } from '@noble/hashes/utils.js';
import type { Evidence } from '../../src/analysis/evidence.js';
import { firstMap } from '../../src/analysis/solve.js';
import type { Peaks } from '../../src/dsp/peaks.js';
import type { SongMap } from '../../src/model/song-map.js';
import { writeProject } from '../../src/project/write-project.js';
import { wav } from '../decode/signals.js';
import { madeBeats, madeEvidence } from './made-evidence.js';
import { analysedSample, samplePath } from './sample-evidence.js';
import type { GivenFile } from './user.js';

/** Project files that put a song into a browser as the program would keep it, without an analysis in the page. */

/** A bundled recording, analysed in Node once and kept. */
export async function sampleProject(file: string, options: { readonly audio?: boolean } = {}): Promise<GivenFile> {
  const { map, evidence, peaks } = await analysedSample(file);
  const bytes = options.audio ? readFileSync(samplePath(file)) : undefined;
  return projectFile(map, evidence, peaks, bytes);
}

/** Half a minute of clicks all alike, with an odd bar: nothing but the harmony, and little of that, tells the bars. */
export function doubtfulProject(): GivenFile {
  const beats = madeBeats([4, 4, 4, 4, 3, 4, 4, 4, 4, 4, 4, 4, 2, 4], 0.5, 1);
  const duration = 30;
  const rate = 22050;
  const sound = new Float32Array(rate * duration);
  for (const { time } of beats)
    for (let i = 0; i < 0.06 * rate; i++)
      sound[Math.round(time * rate) + i] = 0.6 * Math.exp(-i / 300) * Math.sin((2 * Math.PI * 660 * i) / rate);
  const bytes = wav({ rate, channels: [sound] });
  const evidence = madeEvidence(beats, { duration, plain: true, noHarmony: true });
  const contentId = bytesToHex(sha256(bytes));
  const recording = { fileName: 'lantern road.wav', duration, sampleRate: rate, channels: 1, contentId };
  const peaks = { rate: 200, data: new Int8Array(2 * 200 * duration).fill(40) };
  return projectFile(firstMap(evidence, recording, 'Lantern Road'), evidence, peaks, bytes);
}

function projectFile(map: SongMap, evidence: Evidence, peaks: Peaks, recording?: Uint8Array): GivenFile {
  const pieces = writeProject({
    map,
    evidence,
    peaks,
    ...(recording ? { recording: { name: map.recording.fileName, bytes: recording } } : {}),
  });
  return { name: `${map.title}.barwright`, bytes: Buffer.concat(pieces) };
}
