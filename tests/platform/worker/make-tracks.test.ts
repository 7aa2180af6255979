import { spawnSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { unzipSync } from 'fflate';
import { describe, expect, it } from 'vitest';
import { ALL_FORMATS, BufferSource, Input, type MetadataTags } from 'mediabunny';
import { createEncoder } from 'wasm-media-encoders';
import { decodeBytes } from '../decode/fixtures.js';
import { packedSound } from '../../../src/dsp/packed-sound.js';
import { trackCues } from '../../../src/export/track-cues.js';
import type { TrackTags } from '../../../src/export/track-tags.js';
import { planPlay } from '../../../src/model/play-plan.js';
import type { TrackJob } from '../../../src/app/kit/ports.js';
import { makeTracks, type TrackSink } from '../../../src/platform/worker/make-tracks.js';
import { instantiate } from '../../../src/platform/worker/instantiate.js';
import { bars } from '../../support/notation.js';

const RATE = 44100;
const map = bars('Verse: 4 4 4 4', { beat: 0.4 });
/** A knock on each beat. */
const sound = Float32Array.from({ length: RATE * 7 }, (_, i) => ((i / RATE) % 0.4 < 0.003 ? 0.7 : 0));

const TAGS: TrackTags = {
  title: 'Žluťoučký kůň, 80 percent',
  artist: 'The Lantern Keepers',
  bpm: 119.6,
  key: { tonic: 'F#', mode: 'minor' },
  speed: 0.8,
};

function job(speed: number, format: TrackJob['format']): TrackJob {
  const plan = planPlay(
    map,
    [{ from: 0, until: 6.4 }],
    { speed, countIn: { bars: 0 }, spoken: false, click: { on: false, parts: 1, firstBarOnly: false } },
    { flowing: true },
  );
  const levels = { recording: 0.8, click: 0, count: 0, strum: 0 };
  const cues = trackCues(map, plan, RATE, true);
  return { name: `track ${speed}.${format}`, format, plan, cues, tags: TAGS, options: { levels, transpose: 0 } };
}

/** When each knock begins. */
function knocks(samples: Float32Array, rate: number): number[] {
  const onsets: number[] = [];
  for (let i = 0; i < samples.length; i++)
    if (Math.abs(samples[i]!) > 0.1 && i / rate - (onsets.at(-1) ?? -1) > 0.2) onsets.push(i / rate);
  return onsets;
}

/** What ffmpeg (Debian) reads of a file, both sides as one; undefined where it is not there. It trims the end of files alone. */
function readByFfmpeg(bytes: Uint8Array): Float32Array | undefined {
  const folder = mkdtempSync(join(tmpdir(), 'tracks-'));
  const file = join(folder, 'track.mp3');
  writeFileSync(file, bytes);
  const args = ['-v', 'error', '-i', file, '-f', 'f32le', '-ac', '1', '-'];
  const { status, stdout } = spawnSync('ffmpeg', args, { maxBuffer: 2 ** 26 });
  rmSync(folder, { recursive: true });
  return status === 0 ? new Float32Array(new Uint8Array(stdout).buffer) : undefined;
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
    const theirs = readByFfmpeg(bytes);
    for (const [samples, rate] of [
      [ours.pcm.channels[0]!, ours.pcm.sampleRate] as const,
      ...(theirs ? [[theirs, RATE] as const] : []),
    ]) {
      const onsets = knocks(samples, rate);
      expect(onsets).toHaveLength(16);
      onsets.slice(1).forEach((at, i) => expect(at - onsets[i]!).toBeCloseTo(0.5, 1.9));
    }
  });

  it('begin with the first frame that is played when nothing is counted, in MP3 as in WAV, and are as long', async () => {
    const { files } = await made([job(1, 'wav'), job(1, 'mp3')]);
    const wav = await decodeBytes(Buffer.concat(files.get('track 1.wav')!.pieces), 'track.wav');
    const bytes = Buffer.concat(files.get('track 1.mp3')!.pieces);
    const inWav = knocks(wav.pcm.channels[0]!, RATE);
    expect(inWav).toHaveLength(16);
    expect(inWav[0]).toBeLessThan(0.001);
    // mpg123 and, where it is there, ffmpeg (Debian): both honour the info tag's delay and padding.
    const ours = await decodeBytes(bytes, 'track.mp3');
    const theirs = readByFfmpeg(bytes);
    for (const samples of [ours.pcm.channels[0]!, ...(theirs ? [theirs] : [])]) {
      expect(samples.length).toBe(wav.pcm.channels[0]!.length);
      const inMp3 = knocks(samples, RATE);
      expect(inMp3).toHaveLength(16);
      inMp3.forEach((at, i) => expect(Math.abs(at - inWav[i]!)).toBeLessThan(0.001));
    }
  });

  it('say what they are: title, artist, tempo, key and speed, as another reader finds them', async () => {
    const { files } = await made([job(0.8, 'wav'), job(0.8, 'mp3')]);
    const tagsOf = async (name: string): Promise<MetadataTags> => {
      const source = new BufferSource(Buffer.concat(files.get(name)!.pieces));
      const input = new Input({ formats: ALL_FORMATS, source });
      return input.getMetadataTags();
    };
    // mediabunny reads ID3 and RIFF INFO by itself.
    const mp3 = await tagsOf('track 0.8.mp3');
    expect(mp3).toMatchObject({ title: TAGS.title, artist: TAGS.artist, beatsPerMinute: 120 });
    expect(mp3.raw).toMatchObject({ TKEY: 'F#m' });
    expect(JSON.stringify(mp3.raw)).toContain('80 %');
    const wav = await tagsOf('track 0.8.wav');
    // RIFF names no encoding; the reader takes each byte for a letter, where what is written is UTF-8.
    expect(Buffer.from(wav.title!, 'latin1').toString('utf8')).toBe(TAGS.title);
    expect(wav.artist).toBe(TAGS.artist);
    expect(wav.raw).toMatchObject({ ICMT: '120 bpm, F# minor, speed 80 %' });
  });

  it('mark bars as chapters in MP3 (ID3v2 chapter frame addendum 1.0, id3.org)', async () => {
    const { files } = await made([job(1, 'mp3')]);
    const bytes = Buffer.concat(files.get('track 1.mp3')!.pieces);
    const starts: number[] = [];
    for (let at = bytes.indexOf('CHAP'); at >= 0; at = bytes.indexOf('CHAP', at + 4)) {
      // Frame header of ten bytes, the element's name ended by a zero, then the start in milliseconds.
      starts.push(bytes.readUInt32BE(bytes.indexOf(0, at + 10) + 1));
    }
    expect(starts).toEqual([0, 1600, 3200, 4800]);
  });
});
