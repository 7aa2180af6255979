import { Zip, ZipPassThrough } from 'fflate';
import type { Instantiate } from '../dsp/stretch.js';
import { renderTrack, trackFrames } from '../export/practice-track.js';
import { wavHeader } from '../export/wav.js';
import type { TracksRequest } from './tracks-messages.js';

/** Bytes that are gathered before they are handed to `keep`. */
const PIECE = 8 * 2 ** 20;

/**
 * Renders the tracks one after another: one WAV file, or a ZIP archive of several, stored as they are. The file comes out in
 * pieces through `keep`, in order, so that no more than one is in memory here. `report`: 0 to 1.
 */
export function makeTracks(
  { pcm, jobs }: TracksRequest,
  instantiate: Instantiate,
  keep: (piece: Uint8Array<ArrayBuffer>) => void,
  report: (done: number) => void,
): void {
  const all = jobs.reduce((sum, { plan }) => sum + trackFrames(plan, pcm.sampleRate), 0);
  let made = 0;
  const gathered = new Gathered(keep);
  const archive = jobs.length > 1 ? new Zip((error, chunk) => (error ? raise(error) : gathered.add(chunk))) : undefined;
  for (const { name, plan, cues, options } of jobs) {
    const entry = archive && new ZipPassThrough(name);
    if (entry) archive.add(entry);
    const put = (bytes: Uint8Array): void => (entry ? entry.push(bytes) : gathered.add(bytes));
    const frames = trackFrames(plan, pcm.sampleRate);
    put(wavHeader({ sampleRate: pcm.sampleRate, channels: 2, frames }, cues));
    for (const block of renderTrack(pcm, plan, instantiate, options)) {
      put(block);
      made += block.length / 4;
      report(made / all);
    }
    entry?.push(new Uint8Array(0), true);
  }
  archive?.end();
  gathered.end();
}

class Gathered {
  private chunks: Uint8Array[] = [];
  private size = 0;

  constructor(private readonly keep: (piece: Uint8Array<ArrayBuffer>) => void) {}

  add(chunk: Uint8Array): void {
    this.chunks.push(chunk);
    this.size += chunk.length;
    if (this.size >= PIECE) this.end();
  }

  end(): void {
    const piece = new Uint8Array(this.size);
    let at = 0;
    for (const chunk of this.chunks) {
      piece.set(chunk, at);
      at += chunk.length;
    }
    if (this.size > 0) this.keep(piece);
    this.chunks = [];
    this.size = 0;
  }
}

function raise(error: Error): never {
  throw error;
}
