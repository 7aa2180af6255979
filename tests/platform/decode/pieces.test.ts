import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { fold } from '../../../src/platform/decode/fold.js';
import { Growing } from '../../../src/platform/decode/growing.js';
import { kindOf } from '../../../src/platform/decode/kind.js';
import { checkIndex } from '../../../src/platform/decode/mp4-check.js';
import { findMpeg, mpegHeader, vbrHeader } from '../../../src/dsp/mpeg-header.js';
import { oggPages, type OggPage } from '../../../src/platform/decode/ogg-pages.js';
import { opusDuration } from '../../../src/platform/decode/packets.js';
import { deinterleave } from '../../../src/platform/decode/pcm-bytes.js';
import { Sink } from '../../../src/platform/decode/sink.js';
import { bytesSource } from '../../../src/platform/decode/source.js';
import { fixture, problemWith } from './fixtures.js';
import { clicks } from './signals.js';

describe('fold', () => {
  const one = (x: number) => Float32Array.of(x);

  it('keeps one and two channels, and mixes more by ITU-R BS.775 with weights that sum to 1', () => {
    expect(fold([one(0.5)], 'wave')).toEqual([one(0.5)]);
    expect(fold([one(0.5), one(-1)], 'vorbis')).toEqual([one(0.5), one(-1)]);
    const share = Math.SQRT1_2;
    const sum = 1 + 2 * share;
    // Left, right, centre, low, left and right surround; Vorbis keeps the centre second and the low channel last.
    const wave = fold([1, 0, 0.5, 1, 0.25, 0].map(one), 'wave').map((channel) => channel[0]);
    const vorbis = fold([1, 0.5, 0, 0.25, 0, 1].map(one), 'vorbis').map((channel) => channel[0]);
    expect(wave[0]).toBeCloseTo((1 + share * 0.5 + share * 0.25) / sum, 6);
    expect(wave[1]).toBeCloseTo((share * 0.5) / sum, 6);
    expect(vorbis).toEqual(wave);
  });

  it('never goes beyond full scale, and takes the mean of channels in no known order', () => {
    for (let count = 1; count <= 12; count++)
      for (const order of ['wave', 'vorbis', 'unknown'] as const) {
        const full = fold(Array(count).fill(one(1)), order);
        expect(full.length).toBe(count === 1 || count > 8 || order === 'unknown' ? 1 : 2);
        for (const channel of full) expect(channel[0]).toBeCloseTo(1, 6);
      }
  });
});

describe('deinterleave', () => {
  it('reads G.711 as the standard tells: extremes, steps and signs', () => {
    const layout = { bytes: 1, littleEndian: true, channels: 1 } as const;
    const values = (coding: 'alaw' | 'ulaw', ...codes: number[]) =>
      [...deinterleave(Uint8Array.from(codes), { ...layout, coding })[0]!].map((x) => x * 32768);
    // ITU-T G.711 tables 1 and 2: the largest values are 4032 of 4096 and 8031 of 8159, on 16 bits 32256 and 32124.
    expect(values('alaw', 0xaa, 0x2a, 0xd5, 0x55)).toEqual([32256, -32256, 8, -8]);
    expect(values('ulaw', 0x80, 0x00, 0xff, 0x7f)).toEqual([32124, -32124, 0, -0]);
  });

  it('reads big-endian and unsigned samples', () => {
    const read = (bytes: number[], coding: 'signed' | 'unsigned', littleEndian: boolean, size: number) =>
      deinterleave(Uint8Array.from(bytes), { coding, littleEndian, bytes: size, channels: 1 })[0]![0];
    expect(read([0x40, 0, 0], 'signed', false, 3)).toBe(0.5);
    expect(read([0, 0, 0xc0], 'signed', true, 3)).toBe(-0.5);
    expect(read([0xc0, 0, 0], 'unsigned', false, 3)).toBe(0.5);
    expect(read([0xc0, 0], 'signed', false, 2)).toBe(-0.5);
    expect(read([0x40], 'unsigned', false, 1)).toBe(-0.5);
    expect(read([0xe0, 0, 0, 0], 'signed', false, 4)).toBe(-0.25);
  });

  it('leaves an unfinished frame out', () => {
    const layout = { coding: 'signed', bytes: 2, littleEndian: true, channels: 2 } as const;
    expect(deinterleave(new Uint8Array(11), layout).map((channel) => channel.length)).toEqual([2, 2]);
  });
});

describe('MPEG headers', () => {
  it('tell size, rate and channels', () => {
    // 128 kbit/s, 44.1 kHz: 417 bytes, a padded frame 418 (ISO/IEC 11172-3, 2.4.3.1).
    expect(mpegHeader(Uint8Array.of(0xff, 0xfb, 0x90, 0x64), 0)).toMatchObject({
      size: 417,
      samples: 1152,
      channels: 2,
    });
    expect(mpegHeader(Uint8Array.of(0xff, 0xfb, 0x92, 0xc4), 0)).toMatchObject({ size: 418, channels: 1, layer: 3 });
    expect(mpegHeader(Uint8Array.of(0xff, 0xf3, 0x48, 0xc4), 0)).toMatchObject({ sampleRate: 16000, samples: 576 });
    expect(mpegHeader(Uint8Array.of(0xff, 0xfb, 0xf0, 0x64), 0)).toBeUndefined();
    expect(mpegHeader(Uint8Array.of(0xff, 0xfb, 0x90), 0)).toBeUndefined();
  });

  it('are found three in a row, and the table of the first tells the length', () => {
    const mp3 = fixture('headerless.mp3');
    expect(findMpeg(mp3, true)).toBe(0);
    expect(findMpeg(new Uint8Array([1, 2, 0xff, 0xfb, 0x90, 0x64, ...mp3]), true)).toBe(6);
    expect(vbrHeader(mp3, 0)).toBeUndefined();
    const tagged = fixture('mono.mp3');
    expect(vbrHeader(tagged, findMpeg(tagged, true)!)).toEqual({ samples: 5.5 * 44100 });
  });
});

describe('Ogg pages', () => {
  async function pagesOf(bytes: Uint8Array): Promise<OggPage[]> {
    const pages: OggPage[] = [];
    for await (const page of oggPages(bytesSource(bytes), 0)) pages.push(page);
    return pages;
  }

  it('come in order with their packets, whatever lies between them, without one whose checksum is wrong', async () => {
    const bytes = fixture('stereo.opus');
    const pages = await pagesOf(bytes);
    expect(pages.map((page) => page.sequence)).toEqual(pages.map((_, i) => i));
    expect(pages[0]).toMatchObject({ first: true, last: false });
    expect(pages.at(-1)).toMatchObject({ first: false, last: true });
    // RFC 7845: the last position is pre-skip and all samples; packets of 20 ms cover it.
    const samples = pages.flatMap((page) => page.packets.slice(page.sequence < 2 ? 9 : 0)).map(opusDuration);
    expect(samples.reduce((sum, x) => sum + x, 0)).toBeGreaterThanOrEqual(pages.at(-1)!.granule!);
    const junk = await pagesOf(new Uint8Array([...Buffer.from('OggS junk OggS'), ...bytes, ...Buffer.from('OggS')]));
    expect(junk).toEqual(pages);
    const broken = bytes.slice();
    broken[broken.length - 5]! ^= 1;
    expect(await pagesOf(broken)).toEqual(pages.slice(0, -1));
  });
});

describe('Growing', () => {
  it('gives back what was put in, whatever was expected', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 0, max: 5000 }),
        fc.array(fc.integer({ min: 0, max: 2000 }), { maxLength: 6 }),
        (expected, lengths) => {
          const growing = new Growing(expected);
          const all: number[] = [];
          for (const length of lengths) {
            const piece = Float32Array.from({ length }, (_, i) => all.length + i);
            all.push(...piece);
            growing.push(piece);
          }
          expect(growing.length).toBe(all.length);
          expect([...growing.take()]).toEqual(all);
        },
      ),
      { numRuns: 50 },
    );
    const long = new Growing(10);
    for (let i = 0; i < 25; i++) long.push(new Float32Array(100_003).fill(i));
    const taken = long.take();
    expect([taken.length, taken[0], taken[1_200_036], taken.at(-1)]).toEqual([2_500_075, 0, 12, 24]);
  });
});

describe('Sink', () => {
  it('keeps the same however the sound is cut, its outline step by step', () => {
    const sound = clicks(48000).map((x, i) => x + 0.1 * Math.sin(i / 50));
    const whole = new Sink(6);
    whole.push({ sampleRate: 48000, channels: [sound], order: 'wave' });
    const due = whole.finish();
    const cut = new Sink(0);
    const steps: number[] = [];
    for (let from = 0, n = 1; from < sound.length; from += n, n = (n * 31) % 7919) {
      cut.push({ sampleRate: 48000, channels: [sound.subarray(from, from + n)], order: 'wave' });
      steps.push(...cut.outline(steps.length / 2));
    }
    const got = cut.finish();
    expect(got.pcm.channels[0]).toEqual(due.pcm.channels[0]);
    expect(got.signal).toEqual(due.signal);
    expect(got.peaks).toEqual(due.peaks);
    expect(steps).toEqual([...due.peaks.data.subarray(0, steps.length)]);
    for (const step of [0, 137, 200, 999]) {
      const part = sound.subarray(step * 240, (step + 1) * 240);
      expect(due.peaks.data[2 * step]).toBe(Math.round(127 * Math.max(-1, Math.min(...part))));
      expect(due.peaks.data[2 * step + 1]).toBe(Math.round(127 * Math.min(1, Math.max(...part))));
    }
  });

  it('keeps its rate and channels when the sound changes them on the way', () => {
    const sink = new Sink(0);
    const tone = (rate: number) =>
      Float32Array.from({ length: rate }, (_, i) => 0.5 * Math.sin((2 * Math.PI * 440 * i) / rate));
    sink.push({ sampleRate: 44100, channels: [tone(44100), tone(44100)], order: 'wave' });
    sink.push({ sampleRate: 32000, channels: [tone(32000)], order: 'wave' });
    sink.push({ sampleRate: 96000, channels: [tone(96000), tone(96000)], order: 'wave' });
    const { pcm, signal } = sink.finish();
    expect(pcm.sampleRate).toBe(44100);
    expect(pcm.channels.map((channel) => channel.length)).toEqual([3 * 44100, 3 * 44100]);
    expect(signal.length).toBe(3 * 22050);
    for (const second of [0, 1, 2]) {
      const at = second * 44100 + 10000;
      expect(pcm.channels[1]![at]).toBeCloseTo(0.5 * Math.sin((2 * Math.PI * 440 * 10000) / 44100), 3);
    }
  });
});

describe('kindOf', () => {
  it('answers for any bytes', () => {
    fc.assert(
      fc.property(fc.uint8Array({ maxLength: 300 }), fc.boolean(), (bytes, complete) => {
        const kind = kindOf(bytes, complete);
        expect('sound' in kind || kind.other.length > 0).toBe(true);
      }),
    );
  });
});

describe('the index of an MP4 file', () => {
  it('is refused when it puts more samples in a chunk than there are, before anything counts through them', async () => {
    const good = fixture('flac.mp4');
    await checkIndex(bytesSource(good));
    const bad = good.slice();
    const at = Buffer.from(bad).indexOf('stsc') + 4 + 8;
    expect(new DataView(bad.buffer).getUint32(at)).toBe(1);
    new DataView(bad.buffer).setUint32(at + 4, 0x7fffffff);
    await expect(checkIndex(bytesSource(bad))).rejects.toThrow(/index of this file is damaged\. Copy, download/);
    expect((await problemWith(bad)).kind).toBe('broken');
  });
});
