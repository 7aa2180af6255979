import assert from 'node:assert/strict';
import type { JSHandle, Page } from 'playwright-core';
import { BROWSER_ONLY, EXACT, fixture } from '../platform/decode/fixtures.js';
import { CLICK_TIMES, clicks, wav } from '../platform/decode/signals.js';

/** What a file came to, in the browser or in Node. */
export interface Heard {
  readonly format?: string;
  /** Seconds to the first sample at half of the largest, in the sound for playing and in that for analysing. */
  readonly attack?: number;
  readonly analysed?: number;
  readonly duration?: number;
  readonly channels?: number;
  readonly contentId?: string;
  readonly steps?: number;
  readonly warning?: string;
  readonly problem?: string;
  readonly message?: string;
  /** Longest time that the page's own thread was held up, in ms. */
  readonly held?: number;
  readonly reports?: number;
  readonly ms?: number;
}

type DecoderModule = typeof import('../../src/platform/decode/browser.js');

/**
 * Decodes files in a real browser through the page's own decoder. `module` is the address of
 * src/platform/decode/browser.ts as built or served; `bytes` are handed over as a file of that name.
 */
export async function decodeInBrowser(page: Page, module: string, name: string, bytes: Uint8Array): Promise<Heard> {
  const given = new URL('given', module).href;
  await page.route(given, (route) => route.fulfill({ body: Buffer.from(bytes) }));
  const heard = await page.evaluate(
    async ({ module, given, name }) => {
      const file = await (await fetch(given)).blob();
      let held = 0;
      let reports = 0;
      let last = performance.now();
      const began = last;
      const pulse = setInterval(() => {
        const now = performance.now();
        held = Math.max(held, now - last - 4);
        last = now;
      }, 4);
      try {
        const decoded = await module.browserDecoder().decode(file, name, { report: () => void reports++ });
        const attack = (signal: Float32Array, rate: number) => {
          let peak = 0;
          for (const x of signal) peak = Math.max(peak, Math.abs(x));
          return signal.findIndex((x) => Math.abs(x) >= peak / 2) / rate;
        };
        const { pcm, signal, recording, format, peaks, warning } = decoded;
        return {
          ms: performance.now() - began,
          format,
          attack: attack(Float32Array.from(pcm.channels[0]!), pcm.sampleRate),
          analysed: attack(signal, 22050),
          duration: recording.duration,
          channels: pcm.channels.length,
          contentId: recording.contentId,
          steps: peaks.data.length / 2,
          warning,
          held,
          reports,
        };
      } catch (error) {
        const { kind, message } = error as { kind?: string; message: string };
        return { problem: kind ?? String(error), message };
      } finally {
        clearInterval(pulse);
      }
    },
    { module: await decoderOf(page, module), given, name },
  );
  await page.unroute(given);
  return heard;
}

// As text: the test runner would turn an import in a function into one of its own.
function decoderOf(page: Page, module: string): Promise<JSHandle<DecoderModule>> {
  return page.evaluateHandle(`import('${module}')`) as Promise<JSHandle<DecoderModule>>;
}

/** The same clicks are heard at the same moment whatever the format, as on the command line (`node`). */
export async function decodeChecks(
  page: Page,
  module: string,
  node: (name: string, bytes: Uint8Array) => Promise<Heard>,
): Promise<Map<string, Heard>> {
  const all = new Map<string, Heard>();
  const files = new Map(
    [...Object.keys(EXACT), ...BROWSER_ONLY, 'headerless.mp3'].map((name) => [name, fixture(name)]),
  );
  files.set('clicks.wav', wav({ rate: 44100, channels: [clicks(44100)] }));
  for (const [name, bytes] of files) {
    const heard = await decodeInBrowser(page, module, name, bytes);
    all.set(name, heard);
    assert.equal(heard.problem, undefined, `${name}: ${heard.message}`);
    const expected = name === 'headerless.mp3' ? (await node(name, bytes)).attack! : CLICK_TIMES[0]!;
    for (const time of [heard.attack!, heard.analysed!])
      assert.ok(Math.abs(time - expected) < 0.001, `first attack of ${name} at ${time} s, due at ${expected} s`);
    if (BROWSER_ONLY.includes(name)) continue;
    const { format, duration, channels, contentId, steps } = heard;
    const same = await node(name, bytes);
    assert.deepEqual(
      { format, duration, channels, contentId, steps },
      pick(same),
      `${name} in the browser and in Node`,
    );
  }
  for (const [name, problem] of [
    ['no-sound.mp4', 'not-audio'],
    ['silent.flac', 'silent'],
    ['short.mp3', 'too-short'],
  ] as const)
    assert.equal((await decodeInBrowser(page, module, name, fixture(name))).problem, problem, name);
  // Packets that the browser's decoder refuses become silence: what follows keeps its time.
  const damaged = fixture('stereo.m4a').fill(0xff, 1500, 1800);
  const { duration, warning } = await decodeInBrowser(page, module, 'stereo.m4a', damaged);
  assert.equal(duration, all.get('stereo.m4a')!.duration, 'length of a damaged file');
  assert.match(warning ?? '', /Part of this file is damaged/);
  await callingOffEndsTheWorker(page, module);
  return all;
}

function pick({ format, duration, channels, contentId, steps }: Heard): Heard {
  return { format, duration, channels, contentId, steps };
}

async function callingOffEndsTheWorker(page: Page, module: string): Promise<void> {
  const outcome = await page.evaluate(
    async (module) => {
      const stop = new AbortController();
      // Ten minutes of noise; the first report calls it off.
      const rate = 44100;
      const noise = Int16Array.from({ length: 600 * rate }, (_, i) => (i * 7919) % 4001);
      const head = new DataView(new ArrayBuffer(44));
      [...'RIFF'].forEach((c, i) => head.setUint8(i, c.charCodeAt(0)));
      [...'WAVEfmt '].forEach((c, i) => head.setUint8(8 + i, c.charCodeAt(0)));
      [...'data'].forEach((c, i) => head.setUint8(36 + i, c.charCodeAt(0)));
      head.setUint32(16, 16, true);
      head.setUint16(20, 1, true);
      head.setUint16(22, 1, true);
      head.setUint32(24, rate, true);
      head.setUint16(32, 2, true);
      head.setUint16(34, 16, true);
      head.setUint32(40, noise.byteLength, true);
      return module
        .browserDecoder()
        .decode(new Blob([head, noise]), 'noise.wav', {
          signal: stop.signal,
          report: () => stop.abort(),
        })
        .then(
          () => 'finished',
          (error: Error) => error.name,
        );
    },
    await decoderOf(page, module),
  );
  assert.equal(outcome, 'AbortError', 'calling off');
}
