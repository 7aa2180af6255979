import {
  ALL_FORMATS,
  BufferSource,
  EncodedPacketSink,
  Input,
  type InputAudioTrack,
  type InputVideoTrack,
} from 'mediabunny';
import type { Page } from 'playwright-core';
import { afterAll, expect, it } from 'vitest';
import { CLIP_SIZES, clipMarks } from '../../src/export/clip/clip-marks.js';
import { barsOf, beatTimes } from '../../src/model/map-queries.js';
import type { SongMap } from '../../src/model/song-map.js';
import type { Scene } from '../../src/export/clip/clip-scene.js';
import { visit, type Visit } from '../support/browser.js';
import { lanternProject } from '../support/seed.js';
import { audible, chooseButton, chooseFile, downloaded, fromMenu, mapShown, said, songShown } from '../support/user.js';

/** A frame of 30 a second. */
const FRAME = 1 / 30;
let here: Visit | undefined;
afterAll(() => here?.context.close());

interface Packet {
  readonly data: string;
  readonly key: boolean;
  readonly time: number;
}

/** A track's packets as an independent reader takes them out, and how they are decoded. */
async function packetsOf(track: InputVideoTrack | InputAudioTrack): Promise<{ config: unknown; packets: Packet[] }> {
  const packets: Packet[] = [];
  for await (const packet of new EncodedPacketSink(track).packets())
    packets.push({
      data: Buffer.from(packet.data).toString('base64'),
      key: packet.type === 'key',
      time: packet.timestamp,
    });
  const { description, ...config } = (await track.getDecoderConfig()) as { description?: Uint8Array };
  return { config: { ...config, ...(description ? { description: [...new Uint8Array(description)] } : {}) }, packets };
}

/** When the colour at a place of the picture was dark, frame by frame, as the browser decodes the video. */
function darkness(
  page: Page,
  video: Awaited<ReturnType<typeof packetsOf>>,
  places: readonly [number, number][],
): Promise<{ time: number; dark: boolean[] }[]> {
  return page.evaluate(
    async ({ video: { config, packets }, places: at }) => {
      const seen: { time: number; dark: boolean[] }[] = [];
      const canvas = new OffscreenCanvas(1, 1);
      const decoder = new VideoDecoder({
        output: (frame) => {
          [canvas.width, canvas.height] = [frame.displayWidth, frame.displayHeight];
          const context = canvas.getContext('2d', { willReadFrequently: true })!;
          context.drawImage(frame, 0, 0);
          const dark = at.map(([x, y]) => context.getImageData(x, y, 1, 1).data[0]! < 100);
          seen.push({ time: frame.timestamp / 1e6, dark });
          frame.close();
        },
        error: (error) => {
          throw error;
        },
      });
      decoder.configure(config as VideoDecoderConfig);
      for (const { data, key, time } of packets) {
        const bytes = Uint8Array.from(atob(data), (letter) => letter.charCodeAt(0));
        decoder.decode(new EncodedVideoChunk({ type: key ? 'key' : 'delta', timestamp: time * 1e6, data: bytes }));
      }
      await decoder.flush();
      return seen;
    },
    { video, places: places as [number, number][] },
  );
}

/** Where the sound begins to be loud after silence, in seconds, as the browser decodes it. */
function attacks(page: Page, sound: Awaited<ReturnType<typeof packetsOf>>): Promise<number[]> {
  return page.evaluate(async ({ config, packets }) => {
    const found: number[] = [];
    let quiet = 1;
    const decoder = new AudioDecoder({
      output: (data) => {
        const samples = new Float32Array(data.numberOfFrames);
        data.copyTo(samples, { planeIndex: 0, format: 'f32-planar' });
        samples.forEach((sample, i) => {
          if (Math.abs(sample) < 0.1) quiet += 1 / data.sampleRate;
          else {
            if (quiet > 0.15) found.push(data.timestamp / 1e6 + i / data.sampleRate);
            quiet = 0;
          }
        });
        data.close();
      },
      error: (error) => {
        throw error;
      },
    });
    const { description, ...rest } = config as AudioDecoderConfig & { description?: number[] };
    decoder.configure({ ...rest, ...(description ? { description: Uint8Array.from(description) } : {}) });
    for (const { data, time } of packets) {
      const bytes = Uint8Array.from(atob(data), (letter) => letter.charCodeAt(0));
      decoder.decode(new EncodedAudioChunk({ type: 'key', timestamp: time * 1e6, data: bytes }));
    }
    await decoder.flush();
    return found;
  }, sound);
}

/** The places of the beats' discs in a bar of so many beats. */
function discPlaces(beats: number): [number, number][] {
  const current = { name: 'bar 1', beats, chords: [], strokes: [] };
  const scene: Scene = { key: '', title: '', left: '', beat: 0, current };
  return clipMarks(scene, '1:1', 'plain').flatMap((mark) =>
    mark.kind === 'disc' ? [[Math.round(mark.x), Math.round(mark.y)] as [number, number]] : [],
  );
}

async function askClip(page: Page, choices: Readonly<Record<string, string>>): Promise<void> {
  await fromMenu(page, 'Export and import…');
  const group = page.getByRole('group', { name: 'Clip of the play view' });
  for (const [label, choice] of Object.entries(choices)) await group.getByLabel(label).selectOption(choice);
  await group.getByRole('button', { name: 'Make the clip' }).click();
}

it('makes a clip whose picture and sound are within a frame of the beat, and says what it cannot make', async () => {
  here = await visit();
  const { page } = here;
  await chooseFile(page, chooseButton(page), lanternProject());
  await songShown(page);
  await audible(page);
  const map: SongMap = await mapShown(page);

  const file = await downloaded(page, () => askClip(page, { Shape: '1:1, square' }));
  expect(file.name).toBe('Lantern Road 1 by 1 clip.webm');
  await said(page, 'The clip is saved as').waitFor();
  const input = new Input({ formats: ALL_FORMATS, source: new BufferSource(file.bytes) });
  const [video, audio] = [await input.getPrimaryVideoTrack(), await input.getPrimaryAudioTrack()];
  expect([video?.codec, video?.displayWidth, video?.displayHeight, audio?.codec]).toEqual([
    'vp9',
    CLIP_SIZES['1:1'].width,
    CLIP_SIZES['1:1'].height,
    'opus',
  ]);
  expect(await input.computeDuration()).toBeCloseTo(map.recording.duration, 0);

  const four = discPlaces(4);
  const frames = await darkness(page, await packetsOf(video!), four);
  expect(frames.length).toBeGreaterThan(28 * map.recording.duration);
  let compared = 0;
  for (const bar of barsOf(map)) {
    if (bar.meter.count !== 4) continue;
    bar.beats.forEach((beat, i) => {
      const lit = frames.find(({ time, dark }) => time >= beat - 0.2 && dark[i] && dark.filter(Boolean).length === 1);
      expect(Math.abs(lit!.time - beat), `beat ${i + 1} at ${beat}`).toBeLessThanOrEqual(FRAME + 1e-3);
      compared++;
    });
  }
  expect(compared).toBeGreaterThan(30);

  // The recording is a click on each beat.
  const heard = await attacks(page, await packetsOf(audio!));
  const beats = beatTimes(map);
  expect(heard.length).toBeGreaterThan(0.8 * beats.length);
  for (const time of heard) {
    const nearest = Math.min(...beats.map((beat) => Math.abs(beat - time)));
    expect(nearest, `sound at ${time}`).toBeLessThan(FRAME);
  }

  // This Chromium encodes no AAC; one that does makes the file.
  const aac = await page.evaluate(async () => {
    const config = { codec: 'mp4a.40.2', numberOfChannels: 2, sampleRate: 48_000 };
    return (await AudioEncoder.isConfigSupported(config)).supported === true;
  });
  if (!aac) {
    // Said before it is chosen, and it cannot be.
    await fromMenu(page, 'Export and import…');
    const group = page.getByRole('group', { name: 'Clip of the play view' });
    await group.getByText(/cannot write (sound|pictures) for MP4\. Choose WebM/).waitFor();
    expect(await group.getByRole('option', { name: 'MP4' }).isDisabled()).toBe(true);
    await page.keyboard.press('Escape');
  } else {
    await askClip(page, { File: 'MP4' });
    await said(page, 'The clip is saved as').waitFor();
  }

  // Called off, nothing is handed over and the panel can be used again.
  await askClip(page, {
    File: 'WebM',
    Shape: '9:16, upright',
    'In step with': 'a practice track as set',
    Background: 'green, to be keyed out',
  });
  await page.getByRole('button', { name: 'Cancel' }).click();
  await page.getByRole('button', { name: 'Cancel' }).waitFor({ state: 'detached' });
  expect(here.faults).toEqual([]);
  expect(here.strangers).toEqual([]);
});
