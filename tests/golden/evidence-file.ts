import { gunzipSync, gzipSync, strFromU8, strToU8 } from 'fflate';
import type { Evidence, Recording } from './solve.js';

/** What is kept of a recording: the recording's own facts and all that the solvers know of it. */
export interface Kept {
  readonly recording: Recording;
  readonly evidence: Evidence;
}

type Tracks = Evidence['tracks'];
type Head = {
  readonly recording: Recording;
  readonly evidence: Omit<Evidence, 'tracks'>;
  readonly tracks: readonly {
    readonly name: string;
    readonly rate: number;
    readonly width: number;
    readonly length: number;
  }[];
};

/** The file's bytes: gzip of a line of JSON, which says what follows, and of the tracks' bytes one after another. */
export function packEvidence({ recording, evidence: { tracks, ...evidence } }: Kept): Uint8Array {
  const entries = Object.entries(tracks).flatMap(([name, track]) => (track ? [{ name, ...track }] : []));
  const head: Head = {
    recording,
    evidence,
    tracks: entries.map(({ name, rate, width, data }) => ({ name, rate, width, length: data.length })),
  };
  const parts = [strToU8(`${JSON.stringify(head)}\n`), ...entries.map(({ data }) => data)];
  const bytes = new Uint8Array(parts.reduce((sum, { length }) => sum + length, 0));
  let at = 0;
  for (const part of parts) {
    bytes.set(part, at);
    at += part.length;
  }
  return gzipSync(bytes, { level: 9, mtime: 0 });
}

/** Reads what packEvidence wrote; throws RangeError when the tracks are not as long as the first line says. */
export function unpackEvidence(packed: Uint8Array): Kept {
  const bytes = gunzipSync(packed);
  const end = bytes.indexOf('\n'.charCodeAt(0));
  const { recording, evidence, tracks } = JSON.parse(strFromU8(bytes.subarray(0, end))) as Head;
  let at = end + 1;
  const read = tracks.map(({ name, rate, width, length }) => {
    const data = bytes.slice(at, (at += length));
    if (data.length !== length)
      throw new RangeError(`unpackEvidence: found ${data.length} bytes of ${name}, not ${length}`);
    return [name, { rate, width, data }] as const;
  });
  return { recording, evidence: { ...evidence, tracks: Object.fromEntries(read) as unknown as Tracks } };
}

/** The evidence of the same sound played again and again up to so many seconds. */
export function repeatedEvidence({ recording, evidence }: Kept, seconds: number): Kept {
  const { duration } = evidence;
  const tracks = Object.entries(evidence.tracks).flatMap(([name, track]) => {
    if (!track) return [];
    const { rate, width, data } = track;
    const frames = Math.floor(data.length / width);
    const out = new Uint8Array(Math.floor(seconds * rate) * width);
    for (let i = 0; i * width < out.length; i++) {
      const from = Math.min(frames - 1, Math.round(((i / rate) % duration) * rate));
      out.set(data.subarray(from * width, (from + 1) * width), i * width);
    }
    return [[name, { rate, width, data: out }] as const];
  });
  return {
    recording: { ...recording, duration: seconds },
    evidence: { ...evidence, duration: seconds, tracks: Object.fromEntries(tracks) as unknown as Tracks },
  };
}
