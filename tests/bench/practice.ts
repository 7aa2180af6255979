import { statSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { chromium, type Page } from 'playwright-core';
import { packedSound } from '../../src/dsp/packed-sound.js';
import type { Pcm } from '../../src/dsp/pcm.js';
import { Playback } from '../../src/dsp/playback.js';
import { NO_SOUNDINGS } from '../../src/dsp/voices.js';
import { renderTrack, trackFrames } from '../../src/export/practice-track.js';
import { toPcm16, wavHeader } from '../../src/export/wav.js';
import { planPlay } from '../../src/model/play-plan.js';
import { decodeFile } from '../../src/platform/decode/node.js';
import { instantiate } from '../../src/platform/worker/instantiate.js';
import { QUIET_BROWSER, withBuiltPage } from '../support/built-page.js';
import { analysedSample, samplePath } from '../support/sample-evidence.js';
import { mapShown, openKept } from '../support/user.js';
import { largestPage } from './memory.js';
import { limited, type Row } from './row.js';
import { BENCH_SAMPLE } from './songs.js';

/** Seconds of real-time playing that are weighed. */
const PLAYED = 60;
const MINUTES = 10;
const GIGABYTE = 2 ** 30;

/**
 * `practice`: rendering of practice tracks over their length, processor time of playing at half speed, both in Node; then in
 * Chromium the blocks missed while the page stalls and a solve runs, and the memory that three tracks of ten minutes take.
 */
export async function practiceBench(): Promise<Row[]> {
  const { map } = await analysedSample(BENCH_SAMPLE);
  const { pcm } = await decodeFile(samplePath(BENCH_SAMPLE));
  const plan = planPlay(map, [{ from: map.start, until: map.end }], {
    speed: 0.7,
    countIn: { bars: 1 },
    spoken: false,
    click: { on: true, parts: 1, firstBarOnly: false },
  });
  const levels = { recording: 0.8, click: 0.6, count: 0.6, strum: 0 };
  const began = process.cpuUsage();
  for (const { left, right, frames } of renderTrack(packedSound(pcm), plan, instantiate, { levels, transpose: 0 }))
    toPcm16(left, right, frames);
  const times = trackFrames(plan, pcm.sampleRate) / pcm.sampleRate / seconds(process.cpuUsage(began));
  return [
    {
      what: 'rendering a track at 70 % with its click, over its length',
      measured: `${times.toFixed(0)} x`,
      aim: 'at least 20 x',
      met: times >= 20,
    },
    limited('audio thread, playing at 50 %, share of a core', 100 * playingLoad(pcm), 8, '%'),
    ...(await inBrowser(pcm)),
  ];
}

function seconds({ user, system }: NodeJS.CpuUsage): number {
  return (user + system) / 1e6;
}

/** Processor time of the engine, block by block as the audio thread asks for them, over the time it plays. */
function playingLoad(pcm: Pcm): number {
  const playback = new Playback(pcm.sampleRate, instantiate, () => {});
  playback.load(packedSound(pcm));
  playback.setLevels([0.5, 0, 0, 0]);
  const pieces = [{ at: 0.012, from: 5, until: 5 + PLAYED / 2, rate: 0.5 }];
  playback.play(1, { pieces, soundings: NO_SOUNDINGS, end: PLAYED });
  const [left, right] = [new Float32Array(128), new Float32Array(128)];
  const run = (until: number, from: number): void => {
    for (let frame = from; frame < until; frame += 128) playback.render(left, right, 128, frame);
  };
  run(pcm.sampleRate, 0);
  const began = process.cpuUsage();
  run(PLAYED * pcm.sampleRate, pcm.sampleRate);
  return seconds(process.cpuUsage(began)) / (PLAYED - 1);
}

async function inBrowser(pcm: Pcm): Promise<Row[]> {
  return withBuiltPage(async ({ site, executablePath }, folder) => {
    const file = join(folder, 'ten-minutes.wav');
    writeFileSync(file, tenMinutes(pcm));
    const context = await chromium.launchPersistentContext(join(folder, 'profile'), {
      executablePath,
      acceptDownloads: true,
      args: QUIET_BROWSER,
    });
    try {
      await context.addInitScript(keepNodes);
      const page = context.pages()[0] ?? (await context.newPage());
      await page.goto(site);
      const chooser = page.waitForEvent('filechooser');
      await page.locator('[data-act=choose]').click();
      await (await chooser).setFiles(file);
      await page.locator('bw-map-view').waitFor({ timeout: 600_000 });
      await page.waitForFunction(() => document.querySelector('bw-app')!.session.song.value?.audible);
      await page.getByRole('tab', { name: 'Play' }).click();
      const missed = await missedBlocks(page);
      return [
        limited('blocks missed, page stalled for 500 ms twice while a solve runs', missed.missed, 0, '', 0),
        { what: '  blocks played meanwhile', measured: String(missed.played) },
        ...(await memory(page, folder, 'the song analysed in this page')),
        ...(await memory(await openedAgain(page), folder, 'the song opened again')),
      ];
    } finally {
      await context.close();
    }
  });
}

/** Keeps the worklet nodes that the page makes, so that the player's can be asked. */
function keepNodes(): void {
  const kept = window as unknown as { nodes: AudioWorkletNode[] };
  kept.nodes = [];
  const Plain = window.AudioWorkletNode;
  window.AudioWorkletNode = class extends Plain {
    constructor(...args: ConstructorParameters<typeof AudioWorkletNode>) {
      super(...args);
      kept.nodes.push(this);
    }
  };
}

async function missedBlocks(page: Page): Promise<{ missed: number; played: number }> {
  await page.getByRole('button', { name: 'Slower' }).first().click({ clickCount: 10 });
  await page.getByRole('button', { name: 'Play', exact: true }).click();
  await page.getByRole('button', { name: 'Stop', exact: true }).waitFor();
  const told = await page.evaluate(async () => {
    const { session } = document.querySelector('bw-app')!;
    const node = (window as unknown as { nodes: AudioWorkletNode[] }).nodes.at(-1)!;
    const ask = (id: number) =>
      new Promise<{ missed: number; frame: number }>((resolve) => {
        const hear = ({ data }: MessageEvent<{ kind: string; id: number; missed: number; frame: number }>): void => {
          if (data.kind !== 'synced' || data.id !== id) return;
          node.port.removeEventListener('message', hear);
          resolve(data);
        };
        node.port.addEventListener('message', hear);
        node.port.postMessage({ kind: 'sync', id });
      });
    const stall = (): void => {
      const end = performance.now() + 500;
      while (performance.now() < end);
    };
    await new Promise((done) => setTimeout(done, 1000));
    const before = await ask(1);
    const { duration } = session.song.value!.map.recording;
    const solved = session.lock('tempo', [{ kind: 'tempo', period: 0.315, from: duration / 2, to: duration }]);
    stall();
    await new Promise((done) => setTimeout(done, 100));
    stall();
    await solved;
    const after = await ask(2);
    session.stop();
    return { missed: after.missed - before.missed, frames: after.frame - before.frame };
  });
  return { missed: told.missed, played: Math.round(told.frames / 128) };
}

/** The page loaded anew, the song opened from those kept. */
async function openedAgain(page: Page): Promise<Page> {
  const { title } = await mapShown(page);
  await page.reload();
  await openKept(page, title);
  await page.waitForFunction(() => document.querySelector('bw-app')!.session.song.value?.audible);
  await page.getByRole('tab', { name: 'Play' }).click();
  return page;
}

async function memory(page: Page, folder: string, when: string): Promise<Row[]> {
  let most = 0;
  const sample = (): void => {
    most = Math.max(most, largestPage(join(folder, 'profile')));
  };
  sample();
  const open = most;
  const timer = setInterval(sample, 100);
  const began = Date.now();
  const download = page.waitForEvent('download', { timeout: 600_000 });
  await page.getByLabel('Speeds in percent').fill('70 85 100');
  await page.getByRole('button', { name: 'Make 3 tracks' }).click();
  const path = join(folder, 'tracks.zip');
  await (await download).saveAs(path);
  clearInterval(timer);
  const mega = (bytes: number): string => `${Math.round(bytes / 2 ** 20)} MB`;
  return [
    {
      what: `memory of the page, most while ${MINUTES} minutes become three tracks, ${when}`,
      measured: mega(most),
      aim: `at most ${mega(GIGABYTE)}`,
      met: most > 0 && most <= GIGABYTE,
    },
    { what: '  before, the song being open', measured: mega(open) },
    {
      what: `  tracks made, decoding included`,
      measured: `${mega(statSync(path).size)} in ${Math.round((Date.now() - began) / 1000)} s`,
    },
  ];
}

/** The sample again and again for ten minutes, as a stereo WAV file. */
function tenMinutes({ channels, sampleRate }: Pcm): Uint8Array {
  const frames = MINUTES * 60 * sampleRate;
  const left = channels[0]!;
  const right = channels[1] ?? left;
  const parts: Uint8Array[] = [wavHeader({ sampleRate, channels: 2, frames })];
  for (let at = 0; at < frames; at += left.length) parts.push(toPcm16(left, right, Math.min(left.length, frames - at)));
  return Buffer.concat(parts);
}
