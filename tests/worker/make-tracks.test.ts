import { spawnSync } from 'node:child_process';
import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { unzipSync } from 'fflate';
import { describe, expect, it } from 'vitest';
import { createEncoder } from 'wasm-media-encoders';
import { decodeBytes } from '../decode/fixtures.js';
import { packedSound } from '../../src/dsp/packed-sound.js';
import { planPlay } from '../../src/model/play-plan.js';
import type { TrackJob } from '../../src/state/ports.js';
import { makeTracks, type TrackSink } from '../../src/worker/make-tracks.js';
import { instantiate } from '../../src/worker/instantiate.js';
import { bars } from '../support/notation.js';

const RATE = 44100;
const map = bars('Verse: 4 4 4 4', { beat: 0.4 });
/** A knock on each beat. */
const sound = Float32Array.from({ length: RATE * 7 }, (_, i) => ((i / RATE) % 0.4 < 0.003 ? 0.7 : 0));

function job(speed: number, format: TrackJob['format']): TrackJob {
  const plan = planPlay(map, [{ from: 0, until: 6.4 }], {
    speed,
    countIn: { bars: 0 },
    spoken: false,
    click: { on: false, parts: 1, firstBarOnly: false },
  });
  const levels = { recording: 0.8, click: 0, count: 0, strum: 0 };
  return { name: `track ${speed}.${format}`, format, plan, cues: [], options: { levels, transpose: 0 } };
}

async function made(jobs: readonly TrackJob[], archive?: string) {
  const files = new Map<string, { pieces: Uint8Array[]; ended: boolean }>();
  const reports: number[] = [];
  const wasm = readFileSync(createRequire(import.meta.url).resolve('wasm-media-encoders/wasm/mp3'));
  makeTracks(
    { pcm: packedSound({ sampleRate: RATE, channels: [sound] }), jobs, archive },
    {
      instantiate,
      mp3: await createEncoder('audio/mpeg', await WebAssembly.compile(wasm)),
      open: (name): TrackSink => {
        const file = { pieces: [] as Uint8Array[], ended: false };
        files.set(name, file);
        return { add: (piece) => void file.pieces.push(piece), end: () => (file.ended = true) };
      },
      report: (done) => reports.push(done),
    },
  );
  return { files, reports };
}

describe('tracks', () => {
  it('go into one archive, in pieces, or each into a file of its own, and say how far they are', async () => {
    const jobs = [job(1, 'wav'), job(0.5, 'wav')];
    const together = await made(jobs, 'all.zip');
    expect([...together.files.keys()]).toEqual(['all.zip']);
    const { pieces, ended } = together.files.get('all.zip')!;
    expect(ended).toBe(true);
    const inside = unzipSync(Buffer.concat(pieces));
    const apart = await made(jobs);
    expect([...apart.files.keys()]).toEqual(jobs.map(({ name }) => name));
    for (const { name } of jobs) {
      const own = apart.files.get(name)!;
      expect(own.ended).toBe(true);
      expect(Buffer.compare(Buffer.concat(own.pieces), inside[name]!)).toBe(0);
    }
    const { reports } = together;
    expect(reports.at(-1)).toBeCloseTo(1);
    expect(reports.every((done, i) => done > (reports[i - 1] ?? 0))).toBe(true);
  });

  it('can be MP3, which two decoders read with the beats in their places', async () => {
    const { files } = await made([job(0.8, 'mp3')]);
    const bytes = Buffer.concat(files.get('track 0.8.mp3')!.pieces);
    expect(bytes.length).toBeLessThan((6.4 / 0.8 + 1.5) * 20_000);
    // mpg123, which this program reads MP3 with; and ffmpeg (Debian) where it is there.
    const ours = await decodeBytes(bytes, 'track.mp3');
    const read = spawnSync('ffmpeg', ['-v', 'error', '-i', '-', '-f', 'f32le', '-ac', '1', '-'], { input: bytes });
    const theirs = read.status === 0 ? new Float32Array(new Uint8Array(read.stdout).buffer) : undefined;
    for (const [samples, rate] of [
      [ours.pcm.channels[0]!, ours.pcm.sampleRate] as const,
      ...(theirs ? [[theirs, RATE] as const] : []),
    ]) {
      const onsets: number[] = [];
      for (let i = 0; i < samples.length; i++) {
        if (Math.abs(samples[i]!) > 0.1 && i / rate - (onsets.at(-1) ?? -1) > 0.2) onsets.push(i / rate);
      }
      expect(onsets).toHaveLength(16);
      onsets.slice(1).forEach((at, i) => expect(at - onsets[i]!).toBeCloseTo(0.5, 1.9));
    }
  });
});
