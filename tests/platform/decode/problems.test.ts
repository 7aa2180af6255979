import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { decodeSound } from '../../../src/platform/decode/decode-sound.js';
import { pieceHasher } from '../../../src/platform/decode/hash.js';
import { decodeFile } from '../../../src/platform/decode/node.js';
import type { RecordingProblem } from '../../../src/platform/decode/problem.js';
import type { ByteSource } from '../../../src/platform/decode/source.js';
import { decodeBytes, EXACT, fixture, problemWith } from './fixtures.js';
import { clicks, firstAttack, wav } from './signals.js';

const text = (words: string) => new TextEncoder().encode(words);

/** A silent WAV file that is nowhere in memory; `known`: its header tells its size. */
function silence(seconds: number, known: boolean): { source: ByteSource; furthest: () => number } {
  const size = 44 + seconds * 22050 * 2;
  const claimedSize = known ? size - 44 : 0;
  const header = wav({ rate: 22050, channels: [new Float32Array(0)], claimedSize });
  let furthest = 0;
  const read = (start: number, end: number) => {
    furthest = Math.max(furthest, Math.min(end, size));
    const piece = new Uint8Array(Math.max(0, Math.min(end, size) - start));
    if (start < 44) piece.set(header.subarray(start, Math.min(44, end)));
    return Promise.resolve(piece);
  };
  return { source: { size, read }, furthest: () => furthest };
}

/** The start of a file with zeros behind it that are nowhere in memory. */
function thenZeros(head: Uint8Array, size: number): { source: ByteSource; got: () => number } {
  let got = 0;
  const read = (start: number, end: number) => {
    const piece = new Uint8Array(Math.max(0, Math.min(end, size) - start));
    piece.set(head.subarray(start, Math.max(start, Math.min(end, head.length))));
    got += piece.length;
    return Promise.resolve(piece);
  };
  return { source: { size, read }, got: () => got };
}

async function outcomeOf(source: ByteSource): Promise<RecordingProblem> {
  const end = decodeSound(source, 'long', { hasher: pieceHasher() });
  return (await end.catch((error: unknown) => error)) as RecordingProblem;
}

async function expectProblem(bytes: Uint8Array, kind: RecordingProblem['kind'], message: RegExp): Promise<void> {
  const problem = await problemWith(bytes);
  expect({ kind: problem.kind, message: problem.message }).toEqual({ kind, message: expect.stringMatching(message) });
}

describe('a file that cannot be used', () => {
  it('is named for what it is', async () => {
    await expectProblem(new Uint8Array(0), 'empty', /empty \(0 bytes\)\. Copy or download it again/);
    await expectProblem(text('Verse 1\nG Em C D\n'.repeat(50)), 'not-audio', /a text file, not a recording\. Choose/);
    await expectProblem(text('<!DOCTYPE html><html><body>Not found</body>'), 'not-audio', /a web page/);
    await expectProblem(text('%PDF-1.7\n%\x80\x81 ...'), 'not-audio', /a PDF document/);
    await expectProblem(text('MThd\0\0\0\x06\0\x01\0\x02\0\x60MTrk'), 'not-audio', /MIDI file, which holds notes/);
    await expectProblem(text('RIFF\x10\0\0\0RMIDdata'), 'not-audio', /MIDI file/);
    await expectProblem(new Uint8Array([0x89, 0x50, 0x4e, 0x47, 13, 10, 26, 10]), 'not-audio', /a PNG picture/);
    await expectProblem(new Uint8Array(5000), 'not-audio', /nothing but zeros/);
    await expectProblem(text('\x01'), 'not-audio', /unknown kind/);
    await expectProblem(text('wvpk\0\0\0\0'), 'no-decoder', /a WavPack file, which is not read here\. Convert it/);
    await expectProblem(fixture('no-sound.mp4'), 'not-audio', /This video has no sound track/);
    await expectProblem(fixture('lossless.m4a'), 'no-decoder', /The command line cannot decode/);
  });

  it('is a tag without sound', async () => {
    const tag = new Uint8Array(10 + 500);
    tag.set([0x49, 0x44, 0x33, 4, 0, 0, 0, 0, 1, 0x74]);
    await expectProblem(new Uint8Array([...tag, ...text('nothing here')]), 'not-audio', /title tag but no sound/);
  });

  it('is noise, even where single bytes look like the start of an MP3 frame', async () => {
    let state = 1;
    const noise = Uint8Array.from({ length: 300_000 }, () => (state = (state * 48271) % 2147483647) & 255);
    await expectProblem(noise, 'not-audio', /unknown kind/);
  });

  it('is silent', async () => {
    await expectProblem(fixture('silent.flac'), 'silent', /silent from start to end \(0:05/);
    const hum = Float32Array.from({ length: 8000 * 6 }, (_, i) => 5e-5 * Math.sin(i));
    await expectProblem(wav({ rate: 8000, channels: [hum], coding: 'f32' }), 'silent', /nothing above -80 dB/);
    const faint = hum.map((x) => 4 * x);
    expect((await decodeBytes(wav({ rate: 8000, channels: [faint], coding: 'f32' }))).recording.duration).toBe(6);
  });

  it('is shorter than 5 seconds', async () => {
    await expectProblem(fixture('short.mp3'), 'too-short', /lasts 2\.0 seconds; at least 5 seconds are needed/);
    const edge = clicks(8000, 5);
    expect((await decodeBytes(wav({ rate: 8000, channels: [edge] }))).recording.duration).toBe(5);
    await expectProblem(wav({ rate: 8000, channels: [edge.subarray(1)] }), 'too-short', /5 seconds are needed/);
  });

  it('is longer than 20 minutes, told by its header before any of it is decoded', async () => {
    const long = silence(34 * 60 + 12, true);
    const problem = await outcomeOf(long.source);
    expect(problem.kind).toBe('too-long');
    expect(problem.message).toMatch(/lasts 34:12; up to 20 minutes can be mapped/);
    expect(long.furthest()).toBeLessThan(1 << 20);
  });

  it('is longer than 20 minutes without saying so, and 20 minutes are not too long', async () => {
    const long = silence(40 * 60, false);
    const problem = await outcomeOf(long.source);
    expect(problem.kind).toBe('too-long');
    expect(problem.message).toMatch(/more than 20 minutes/);
    expect(long.furthest()).toBeLessThan(long.source.size * 0.51);
    expect((await outcomeOf(silence(20 * 60, true).source)).kind).toBe('silent');
  });

  it('holds nothing but zeros behind its head, for gigabytes', async () => {
    for (const name of ['mono.mp3', 'layer2.mp2', 'stereo.flac', 'stereo.ogg', 'stereo.opus', 'flac.oga']) {
      const whole = fixture(name);
      const file = thenZeros(whole.subarray(0, whole.length * 0.3), 4e9);
      const problem = await outcomeOf(file.source);
      expect(problem.message, name).toMatch(/holds 64 MB in a row without sound\. Copy, download or export it again/);
      expect(file.got(), name).toBeLessThan(80e6);
    }
  });

  it('has gigabytes of zeros behind a sound that would be long enough', async () => {
    const file = thenZeros(fixture('mono.mp3'), 4e9);
    expect((await outcomeOf(file.source)).message).toMatch(/64 MB in a row without sound/);
    expect(file.got()).toBeLessThan(80e6);
  });

  it('claims what cannot be', async () => {
    const good = wav({ rate: 8000, channels: [clicks(8000)] });
    const changed = (at: number, value: number, bytes: 2 | 4) => {
      const copy = good.slice();
      const view = new DataView(copy.buffer);
      if (bytes === 2) view.setUint16(at, value, true);
      else view.setUint32(at, value, true);
      return copy;
    };
    await expectProblem(changed(24, 0, 4), 'broken', /sample rate is 0 Hz/);
    await expectProblem(changed(24, 3_000_000_000, 4), 'broken', /sample rate is 3000000000 Hz/);
    await expectProblem(changed(22, 0, 2), 'broken', /0 channels/);
    await expectProblem(changed(22, 65535, 2), 'broken', /65535 channels/);
    await expectProblem(changed(20, 2, 2), 'no-decoder', /coding 2\)\. Export it as 16 or 24 bit WAV/);
    await expectProblem(good.subarray(0, 36), 'broken', /holds no sound data/);
    await expectProblem(good.subarray(0, 44), 'truncated', /breaks off/);
  });

  it('breaks off before 5 seconds', async () => {
    for (const name of ['mono.mp3', 'stereo.flac', 'stereo.ogg', 'stereo.opus', 'video.webm']) {
      const whole = fixture(name);
      const problem = await problemWith(whole.subarray(0, Math.floor(whole.length * 0.8)));
      expect(problem.kind, `${name}: ${problem.message}`).toBe('truncated');
      expect(problem.message).toMatch(/breaks off/);
    }
    await expectProblem(fixture('stereo.m4a').subarray(0, 4000), 'truncated', /index of this file is missing/);
  });
});

describe('a file that is only in part there', () => {
  it('is opened as far as it goes, with a warning', async () => {
    const whole = wav({ rate: 8000, channels: [clicks(8000)] });
    const { recording, warning } = await decodeBytes(whole.subarray(0, whole.length - 4000));
    expect(recording.duration).toBe(5.25);
    expect(warning).toMatch(/breaks off at 0:05\. What is there was opened/);
    const mp3 = fixture('mono.mp3');
    const part = await decodeBytes(mp3.subarray(0, mp3.length - 2000));
    expect(part.recording.duration).toBeLessThan(5.5);
    expect(part.warning).toBeUndefined();
  });

  it('is opened where a hundred megabytes without sound follow', async () => {
    const { source } = thenZeros(fixture('stereo.flac'), 1e8);
    const { recording, warning } = await decodeSound(source, 'a.flac', { hasher: pieceHasher() });
    // All 5.5 s but the last frame, whose end shows in nothing that follows.
    expect(recording.duration).toBeGreaterThan(5.4);
    expect(warning).toMatch(/breaks off at 0:05\. What is there was opened/);
  });

  it('keeps its time where a page of an Ogg file is damaged', async () => {
    for (const name of ['stereo.opus', 'flac.oga']) {
      const bytes = fixture(name).slice();
      const pages = [...bytes.keys()].filter(
        (i) => bytes[i] === 0x4f && String.fromCharCode(...bytes.subarray(i, i + 4)) === 'OggS',
      );
      // The page that holds the second or so after the start, where a click is.
      bytes[pages[3]! + 100]! ^= 0xff;
      const decoded = await decodeBytes(bytes, name);
      const whole = await decodeBytes(fixture(name), name);
      expect(decoded.warning, name).toMatch(/damaged; the sound may have gaps/);
      expect(decoded.recording.duration, name).toBe(whole.recording.duration);
      const last = (signal: Float32Array) => firstAttack(signal.slice(-18000), 22050);
      expect(Math.abs(last(decoded.signal) - last(whole.signal)), name).toBeLessThan(0.001);
    }
  });
});

describe('decodeFile', () => {
  it('tells folders and missing files from recordings', async () => {
    await expect(decodeFile(tmpdir())).rejects.toThrow(/not a file but a folder/);
    await expect(decodeFile('/nowhere/at-all.wav')).rejects.toMatchObject({ code: 'ENOENT' });
  });

  it('reads the same as from memory, says how far it is, and stops when called off', async () => {
    const folder = mkdtempSync(join(tmpdir(), 'decode-'));
    try {
      const path = join(folder, 'clicks.wav');
      writeFileSync(path, wav({ rate: 44100, channels: [clicks(44100)] }));
      const reports: number[] = [];
      const decoded = await decodeFile(path, { report: (done) => reports.push(done) });
      const { recording, pcm } = await decodeBytes(wav({ rate: 44100, channels: [clicks(44100)] }), 'clicks.wav');
      expect(decoded.recording).toEqual(recording);
      expect(decoded.pcm.channels[0]).toEqual(pcm.channels[0]);
      expect(reports.at(-1)).toBe(1);
      expect(reports).toEqual([...reports].sort((a, b) => a - b));
      const stop = new AbortController();
      const stopped = decodeFile(path, { signal: stop.signal, report: () => stop.abort() });
      await expect(stopped).rejects.toMatchObject({ name: 'AbortError' });
    } finally {
      rmSync(folder, { recursive: true });
    }
  });
});

describe('damaged files', () => {
  const LONG = process.env.BARWRIGHT_LONG === '1';
  const names = [...Object.keys(EXACT), 'headerless.mp3', 'bare.aac', 'stereo.m4a', 'mp3.mka'];

  // Changes, cuts and holes at random; with its seed each can be made again.
  it.each(names)(
    'of %s are decoded or refused with a sentence, and nothing else',
    async (name) => {
      const whole = fixture(name);
      for (let seed = 1; seed <= (LONG ? 200 : 4); seed++) {
        const bytes = damaged(whole, seed);
        const outcome = await decodeBytes(bytes, name).catch((error: Error) => error);
        if (outcome instanceof Error) {
          expect(outcome.name, `seed ${seed}: ${outcome.stack}`).toBe('RecordingProblem');
          expect(outcome.message, `seed ${seed}`).toMatch(/\. [A-Z]\w+,? .*\.$/);
          continue;
        }
        const { pcm, signal, recording } = outcome;
        for (const channel of [...pcm.channels, signal])
          expect(
            channel.every((x) => Math.abs(x) <= 8),
            `seed ${seed}`,
          ).toBe(true);
        expect(Math.abs(signal.length / 22050 - recording.duration), `seed ${seed}`).toBeLessThan(0.001);
      }
    },
    600_000,
  );
});

function damaged(whole: Uint8Array, seed: number): Uint8Array {
  let state = seed * 7919;
  const below = (limit: number) => Math.floor(((state = (state * 48271) % 2147483647) / 2147483647) * limit);
  const bytes = whole.slice();
  const at = below(bytes.length);
  const length = Math.min(below(5000), bytes.length - at);
  switch (seed % 5) {
    case 0:
      return bytes.subarray(0, at);
    case 1:
      for (let i = 0; i < 20; i++) bytes[below(Math.min(600, bytes.length))] = below(256);
      return bytes;
    case 2:
      for (let i = at; i < at + length; i++) bytes[i] = below(256);
      return bytes;
    case 3:
      bytes.copyWithin(at, at + length);
      return bytes.subarray(0, bytes.length - length);
    default:
      for (let i = 0; i < 50; i++) bytes[below(bytes.length)] = [0, 127, 128, 255][below(4)]!;
      return bytes;
  }
}
