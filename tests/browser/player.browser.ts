import assert from 'node:assert/strict';
import type { JSHandle, Page } from 'playwright-core';
import { ACCENT_PITCH, BEAT_PITCH, CLICK_LENGTH } from '../../src/dsp/click.js';
import type { PlayPlan } from '../../src/model/play-plan.js';
import { JOIN, type Sounding } from '../../src/music/timeline.js';
import { inFirefox } from '../support/browser.js';

const TONE = 220;

interface Take {
  readonly sampleRate: number;
  /** Rate of the recording; a tone of 220 Hz. */
  readonly sourceRate?: number;
  readonly seconds: number;
  readonly levels: { readonly recording: number; readonly click: number };
  readonly from: number;
  readonly until: number;
  /** Played instead of the recording from `from` to `until` at its own speed. */
  readonly plan?: PlayPlan;
  /** The recording knocks at these seconds instead of sounding its tone. */
  readonly knocks?: readonly number[];
  /** When the stop request is sent. */
  readonly stopAt?: number;
}

/** Beats as people play them: uneven, bars of 4, 3 and 4. */
const BEATS = [0.31, 0.802, 1.288, 1.79, 2.305, 2.811, 3.29, 3.777, 4.281, 4.79, 5.301];
const ONES = [0, 4, 7];

/** The recording from `from` to `until`, beginning at once, with its clicks. */
function planOf(from: number, until: number): PlayPlan {
  const soundings = BEATS.flatMap((time, i): Sounding[] =>
    time >= from && time < until
      ? [{ at: JOIN + time - from, sound: ONES.includes(i) ? 'one' : 'beat', gain: 1, bus: 'click' }]
      : [],
  );
  return { pieces: [{ at: JOIN, from, until, rate: 1 }], soundings, counts: [], bars: 0, end: JOIN + until - from };
}

/**
 * The player in a real browser: its worklet rendered offline and measured, then the whole player on a live context.
 * `baseUrl` is a Vite development server whose root is src, ending in a slash. Throws on the first thing amiss.
 */
export async function playerChecks(page: Page, baseUrl: string): Promise<void> {
  await page.route(`${baseUrl}blank`, (route) =>
    route.fulfill({ contentType: 'text/html', body: '<button>Play</button>' }),
  );
  await page.goto(`${baseUrl}blank`);
  const nodes = (await page.evaluateHandle(
    `import('${baseUrl}platform/audio/player-node.ts')`,
  )) as JSHandle<NodeModule>;
  await clicksFallOnTheirBeats(page, nodes);
  await seekingAndEndingAreExact(page, nodes);
  // Firefox cannot pause an OfflineAudioContext.
  if (!inFirefox()) await stoppingIsSilentAtOnce(page, nodes);
  await anotherRateKeepsTimeAndPitch(page, nodes);
  await everySpeedKeepsTheBeats(page, nodes);
  await livePlayer(page, baseUrl);
}

type NodeModule = typeof import('../../src/platform/audio/player-node.js');
type PlayerModule = typeof import('../../src/platform/audio/player.js');

/** Left channel of what the player makes of a tone of 220 Hz, level 0.5. */
async function rendered(page: Page, nodes: JSHandle<NodeModule>, take: Take): Promise<Float32Array> {
  const text = await page.evaluate(
    async ({ module, take, tone, plan }) => {
      const context = new OfflineAudioContext(2, take.seconds * take.sampleRate, take.sampleRate);
      let answer = () => {};
      const node = await module.PlayerNode.create(context, (report) => report.kind === 'synced' && answer());
      const synced = () => {
        const answered = new Promise<void>((resolve) => (answer = resolve));
        node.send({ kind: 'sync', id: 1 });
        return answered;
      };
      const rate = take.sourceRate ?? take.sampleRate;
      const unit = 2 ** -15;
      const sound = new Int16Array(rate * 6);
      if (take.knocks) {
        for (const at of take.knocks) sound.fill(0.7 / unit, Math.round(at * rate), Math.round((at + 0.002) * rate));
      } else {
        for (let i = 0; i < sound.length; i++)
          sound[i] = Math.round((0.5 / unit) * Math.sin((2 * Math.PI * tone * i) / rate));
      }
      node.load({ sampleRate: rate, channels: [sound], unit });
      node.setLevels({ ...take.levels, count: 0, strum: 0 });
      node.play(1, plan);
      await synced();
      if (take.stopAt !== undefined) {
        void context.suspend(take.stopAt).then(async () => {
          node.send({ kind: 'stop' });
          await synced();
          await context.resume();
        });
      }
      const buffer = await context.startRendering();
      // As text: an array of numbers takes seconds to come over.
      const bytes = new Uint8Array(buffer.getChannelData(0).buffer);
      const parts: string[] = [];
      for (let i = 0; i < bytes.length; i += 8192) parts.push(String.fromCharCode(...bytes.subarray(i, i + 8192)));
      return btoa(parts.join(''));
    },
    { module: nodes, take, tone: TONE, plan: take.plan ?? planOf(take.from, take.until) },
  );
  return new Float32Array(Uint8Array.from(Buffer.from(text, 'base64')).buffer);
}

async function clicksFallOnTheirBeats(page: Page, nodes: JSHandle<NodeModule>): Promise<void> {
  for (const sampleRate of [44100, 48000]) {
    for (const recording of [0, 0.8]) {
      const take = { sampleRate, seconds: 6, levels: { recording, click: 0.7 }, from: 0, until: 6 };
      const sound = await rendered(page, nodes, take);
      // The tone itself begins with a bend.
      const onsets = clickOnsets(sound, sampleRate).filter((onset) => onset > 0.1);
      assert.equal(onsets.length, BEATS.length, `clicks heard at ${sampleRate} Hz, recording at ${recording}`);
      for (const [i, onset] of onsets.entries()) {
        assert.ok(Math.abs(onset - JOIN - BEATS[i]!) < 0.002, `click ${i} at ${onset} s, its beat at ${BEATS[i]} s`);
        const at = Math.round((JOIN + BEATS[i]!) * sampleRate);
        const ring = sound.subarray(at, at + Math.round(CLICK_LENGTH * sampleRate));
        const high = power(ring, sampleRate, ACCENT_PITCH) > power(ring, sampleRate, BEAT_PITCH);
        assert.equal(high, ONES.includes(i), `pitch of click ${i}`);
      }
      if (recording > 0)
        assert.ok(Math.abs(loudness(sound) - recording * 0.5 * Math.SQRT1_2) < 0.02, 'level of the recording');
    }
  }
}

async function seekingAndEndingAreExact(page: Page, nodes: JSHandle<NodeModule>): Promise<void> {
  const sampleRate = 44100;
  const take = { sampleRate, seconds: 4, levels: { recording: 1, click: 0 }, from: 2.5, until: 4.5 };
  const sound = await rendered(page, nodes, take);
  const lead = Math.round(JOIN * sampleRate);
  const wrong = [...sound.subarray(lead, 2 * sampleRate - 441)].findIndex(
    (x, i) => Math.abs(x - 0.5 * Math.sin((2 * Math.PI * TONE * (i + 2.5 * sampleRate)) / sampleRate)) > 1e-3,
  );
  assert.equal(wrong, -1, 'the recording from 2.5 s on, sample for sample');
  assert.ok(
    sound.subarray(lead + 2 * sampleRate).every((x) => x === 0),
    'silence after the end',
  );
  const clicks = await rendered(page, nodes, { ...take, levels: { recording: 0, click: 1 } });
  const due = BEATS.filter((beat) => beat >= 2.5 && beat < 4.5).map((beat) => beat - 2.5);
  const onsets = clickOnsets(clicks, sampleRate);
  assert.equal(onsets.length, due.length, 'clicks between 2.5 and 4.5 s');
  due.forEach((time, i) =>
    assert.ok(Math.abs(onsets[i]! - JOIN - time) < 0.002, `click at ${onsets[i]} s, due at ${time} s`),
  );
}

async function stoppingIsSilentAtOnce(page: Page, nodes: JSHandle<NodeModule>): Promise<void> {
  const sampleRate = 48000;
  const stopAt = 1.28;
  const levels = { recording: 1, click: 0 };
  const take = { sampleRate, seconds: 2, levels, from: 0, until: 6, stopAt };
  const sound = await rendered(page, nodes, take);
  const at = stopAt * sampleRate;
  assert.ok(loudness(sound.subarray(at - 4800, at)) > 0.3, 'sound until the stop');
  assert.ok(
    sound.subarray(at + 480).every((x) => x === 0),
    'silence 10 ms after the stop',
  );
  const steepest = 0.5 * ((2 * Math.PI * TONE) / sampleRate + 1 / (0.005 * sampleRate));
  const jump = Math.max(...sound.subarray(1).map((x, i) => Math.abs(x - sound[i]!)));
  assert.ok(jump <= steepest, `the largest step is ${jump}; a fade allows ${steepest}`);
}

async function anotherRateKeepsTimeAndPitch(page: Page, nodes: JSHandle<NodeModule>): Promise<void> {
  const take = { seconds: 2, from: 1, until: 3, levels: { recording: 1, click: 0 } };
  const sound = await rendered(page, nodes, { ...take, sampleRate: 48000, sourceRate: 22050 });
  const wrong = [...sound.subarray(JOIN * 48000 + 4, 95000)].findIndex(
    (x, i) => Math.abs(x - 0.5 * Math.sin((2 * Math.PI * TONE * (i + 4 + 48000)) / 48000)) > 2e-3,
  );
  assert.equal(wrong, -1, 'a recording of 22.05 kHz in a context of 48 kHz');
}

/** The recording's own attacks and the clicks on them, stretched: within 5 ms of where the timeline has them. */
async function everySpeedKeepsTheBeats(page: Page, nodes: JSHandle<NodeModule>): Promise<void> {
  const sampleRate = 44100;
  for (const rate of [0.5, 0.7, 0.85, 1.2]) {
    const times = BEATS.map((beat) => JOIN + beat / rate);
    const plan: PlayPlan = {
      pieces: [{ at: JOIN, from: 0, until: 5.9, rate }],
      soundings: times.map((at): Sounding => ({ at, sound: 'beat', gain: 1, bus: 'click' })),
      counts: [],
      bars: 0,
      end: JOIN + 5.9 / rate,
    };
    for (const levels of [
      { recording: 1, click: 0 },
      { recording: 0, click: 0.7 },
    ]) {
      const take = { sampleRate, seconds: Math.ceil(6 / rate), levels, from: 0, until: 5.9, plan, knocks: BEATS };
      const sound = await rendered(page, nodes, take);
      const limit = levels.click > 0 ? 0.002 : 0.005;
      for (const [i, due] of times.entries()) {
        const from = Math.max(0, Math.round((due - 0.08) * sampleRate));
        const part = sound.subarray(from, from + Math.round(0.16 * sampleRate)).map(Math.abs);
        const peak = Math.max(...part);
        assert.ok(peak > 0.05, `something is heard on beat ${i} at ${rate}`);
        const off = (from + part.findIndex((x) => x > peak / 3)) / sampleRate - due;
        assert.ok(
          Math.abs(off) < limit,
          `beat ${i} at speed ${rate} is ${off} s off, levels ${JSON.stringify(levels)}`,
        );
      }
    }
  }
}

async function livePlayer(page: Page, baseUrl: string): Promise<void> {
  const module = (await page.evaluateHandle(`import('${baseUrl}platform/audio/player.ts')`)) as JSHandle<PlayerModule>;
  await page.getByRole('button').click();
  const plans = [planOf(1, 1.4), planOf(0.5, 3), { ...planOf(0, 0), pieces: [], end: 0 }];
  const seen = await page.evaluate(
    async ({ module, plans: [short, long, none] }) => {
      const player = new module.Player();
      const changes: boolean[] = [];
      player.onChange((playing) => changes.push(playing));
      const sound = new Int16Array(32000 * 3).fill(300);
      await player.load({ sampleRate: 32000, channels: [sound, sound.slice()], unit: 2 ** -15 });
      const ended = new Promise<void>((resolve) => player.onChange((playing) => playing || resolve()));
      const places: number[] = [];
      await player.play(short!);
      let over = false;
      void ended.then(() => (over = true));
      while (!over) {
        places.push(player.position());
        await new Promise(requestAnimationFrame);
      }
      const end = player.position();
      await player.play(long!);
      while (player.position() < 0.6) await new Promise(requestAnimationFrame);
      player.stop();
      const stopped = player.position();
      await new Promise(requestAnimationFrame);
      const rested = player.position();
      await player.play(none!);
      const beyond = player.position();
      player.unload();
      const refused = await player.play(short!).catch((error: Error) => error.message);
      return { changes, places, end, stopped, rested, beyond, refused, left: sound.length };
    },
    { module, plans },
  );
  assert.deepEqual(seen.changes, [true, false, true, false]);
  assert.ok(
    seen.places.every((place, i) => place >= (seen.places[i - 1] ?? 1) && place <= 1.4),
    `places ${seen.places.join()}`,
  );
  assert.ok(new Set(seen.places).size > 3, 'the place moves while it plays');
  assert.equal(seen.end, 1.4);
  assert.ok(seen.stopped >= 0.6 && seen.stopped < 3 && seen.rested === seen.stopped, 'it rests where it was stopped');
  assert.equal(seen.beyond, seen.stopped, 'an empty plan plays nothing');
  assert.match(String(seen.refused), /no recording is loaded/);
  assert.equal(seen.left, 0, 'the sound was handed over, not copied');
}

/** Seconds at which clicks begin: where the second difference, in which 220 Hz all but vanishes, leaves quiet. */
function clickOnsets(sound: Float32Array, sampleRate: number): number[] {
  const onsets: number[] = [];
  let quiet = Infinity;
  for (let i = 2; i < sound.length; i++) {
    const bend = Math.abs(sound[i]! - 2 * sound[i - 1]! + sound[i - 2]!);
    if (bend > 0.008 * (44100 / sampleRate) ** 2) {
      if (quiet > 0.1 * sampleRate) onsets.push(i / sampleRate);
      quiet = 0;
    } else quiet++;
  }
  return onsets;
}

function loudness(sound: Float32Array): number {
  return Math.sqrt(sound.reduce((sum, x) => sum + x * x, 0) / sound.length);
}

/** Power of one frequency in the sound (Goertzel 1958). */
function power(sound: Float32Array, sampleRate: number, hertz: number): number {
  const turn = 2 * Math.cos((2 * Math.PI * hertz) / sampleRate);
  let [a, b] = [0, 0];
  for (const sample of sound) [a, b] = [sample + turn * a - b, a];
  return a * a + b * b - turn * a * b;
}
