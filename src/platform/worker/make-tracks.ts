import { Zip, ZipPassThrough } from 'fflate';
import type { Instantiate } from '../../dsp/stretch.js';
import { mp3File } from '../../export/mp3.js';
import { renderTrack, trackFrames, type TrackBlock } from '../../export/practice-track.js';
import { toPcm16, wavHeader } from '../../export/wav.js';
import { joined } from '../../project/stored-zip.js';
import type { TrackJob } from '../../app/kit/ports.js';
import type { TracksRequest } from './tracks-messages.js';

/** Bytes that are gathered before they are handed to a sink. */
const PIECE = 4 * 2 ** 20;

/** Takes a file's bytes, in order. */
export interface TrackSink {
  add(piece: Uint8Array<ArrayBuffer>): void;
  end(): void;
}

/** An encoder for one track after another; what it returns holds until the next call. */
export interface TrackEncoder {
  configure(params: { readonly sampleRate: number; readonly channels: 2; readonly bitrate: 160 }): void;
  encode(sides: readonly Float32Array[]): Uint8Array;
  finalize(): Uint8Array;
}

export interface Making {
  readonly instantiate: Instantiate;
  /** Called for each file: the archive where all tracks go into one, else each track. */
  readonly open: (name: string) => TrackSink;
  /** For the jobs that are to be MP3. */
  readonly mp3?: TrackEncoder;
  /** Share that is done, 0 to 1. */
  readonly report: (done: number) => void;
}

/**
 * Renders the tracks one after another, each into a file of its own or all into a ZIP archive called `archive`, stored as they
 * are. Files come out in pieces, so that no more than one piece is in memory here.
 */
export function makeTracks(
  { pcm, jobs, speech, archive }: TracksRequest,
  { instantiate, open, mp3, report }: Making,
): void {
  const all = jobs.reduce((sum, { plan }) => sum + trackFrames(plan, pcm.sampleRate), 0);
  let made = 0;
  const whole = archive === undefined ? undefined : new Gathered(open(archive));
  const zip = whole && new Zip((error, chunk) => (error ? raise(error) : whole.add(chunk)));
  for (const job of jobs) {
    const entry = zip && new ZipPassThrough(job.name);
    if (entry) zip.add(entry);
    const own = entry ? undefined : new Gathered(open(job.name));
    const put = (bytes: Uint8Array): void => {
      if (bytes.length > 0)
        (entry ? (part: Uint8Array) => entry.push(part) : (part: Uint8Array) => own!.add(part))(bytes);
    };
    const writer = job.format === 'mp3' ? mp3Writer(pcm.sampleRate, job, mp3) : wavWriter(pcm.sampleRate, job);
    put(writer.head);
    for (const block of renderTrack(pcm, job.plan, instantiate, job.options, speech)) {
      put(writer.write(block));
      made += block.frames;
      report(made / all);
    }
    for (const piece of writer.tail()) put(piece);
    entry?.push(new Uint8Array(0), true);
    own?.end();
  }
  zip?.end();
  whole?.end();
}

interface Writer {
  readonly head: Uint8Array;
  write(block: TrackBlock): Uint8Array;
  tail(): readonly Uint8Array[];
}

const NOTHING = new Uint8Array(0);

function wavWriter(sampleRate: number, { plan, cues, tags }: TrackJob): Writer {
  return {
    head: wavHeader({ sampleRate, channels: 2, frames: trackFrames(plan, sampleRate) }, cues, tags),
    write: ({ left, right, frames }) => toPcm16(left, right, frames),
    tail: () => [],
  };
}

/** The first frame tells the length of all, so the whole file is kept until its end: 1.2 MB a minute. */
function mp3Writer(sampleRate: number, { plan, cues, tags }: TrackJob, encoder: TrackEncoder | undefined): Writer {
  if (!encoder) throw new Error('makeTracks: found a track that is to be MP3; give an encoder');
  encoder.configure({ sampleRate, channels: 2, bitrate: 160 });
  const coded: Uint8Array[] = [];
  return {
    head: NOTHING,
    write: ({ left, right, frames }) => {
      coded.push(encoder.encode([left.subarray(0, frames), right.subarray(0, frames)]).slice());
      return NOTHING;
    },
    tail: () => {
      coded.push(encoder.finalize().slice());
      return mp3File({ coded: joined(coded), samples: trackFrames(plan, sampleRate), sampleRate }, tags, cues);
    },
  };
}

class Gathered {
  private chunks: Uint8Array[] = [];
  private size = 0;

  constructor(private readonly sink: TrackSink) {}

  add(chunk: Uint8Array): void {
    this.chunks.push(chunk);
    this.size += chunk.length;
    if (this.size >= PIECE) this.hand();
  }

  end(): void {
    this.hand();
    this.sink.end();
  }

  private hand(): void {
    if (this.size > 0) this.sink.add(joined(this.chunks));
    this.chunks = [];
    this.size = 0;
  }
}

function raise(error: Error): never {
  throw error;
}
