import { describe, expect, it } from 'vitest';
import { renderTrack } from '../../src/export/practice-track.js';
import { barsOf } from '../../src/model/map-queries.js';
import { arrangementStretches, itemOf } from '../../src/model/play-order.js';
import { planPlay, type PlayPlan } from '../../src/model/play-plan.js';
import type { SongMap } from '../../src/model/song-map.js';
import { decodeFile } from '../../src/platform/decode/node.js';
import { packedSound } from '../../src/dsp/packed-sound.js';
import type { Pcm } from '../../src/dsp/pcm.js';
import { pieceEnd } from '../../src/music/timeline.js';
import { instantiate } from '../../src/platform/worker/instantiate.js';
import { bars } from '../support/notation.js';
import { analysedSample, samplePath } from '../support/sample-evidence.js';

/** Low, because ten minutes are stretched: the stretcher's windows are seconds long, not samples. */
const RATE = 11025;
const LONG = process.env.BARWRIGHT_LONG === '1';

/** Ten minutes of a band that hurries and drags by 7 % to either side, with bars of 2, 3 and 5 among those of 4. */
function drifting(): SongMap {
  const even = bars(Array.from({ length: 75 }, () => '4 4 4 2 4 4 3 4 5 4').join(' '), { beat: 0.21 });
  const warp = (t: number): number => t + 0.9 * Math.sin(t / 13) + 0.4 * Math.sin(t / 4.1);
  return {
    ...even,
    end: warp(even.end),
    sections: even.sections.map((section) => ({ ...section, start: warp(section.start) })),
    spans: even.spans.map((span) =>
      span.kind === 'bar'
        ? { ...span, start: warp(span.start), beats: span.beats.map(warp) }
        : { ...span, start: warp(span.start) },
    ),
  };
}

function rendered(pcm: Pcm, plan: PlayPlan, levels: { recording: number; click: number }): Float32Array {
  const sound = new Float32Array(Math.ceil((plan.end + 0.6) * pcm.sampleRate));
  let at = 0;
  for (const { left, frames } of renderTrack(packedSound(pcm), plan, instantiate, {
    levels: { ...levels, count: 0, strum: 0 },
    transpose: 0,
  })) {
    sound.set(left.subarray(0, Math.min(frames, sound.length - at)), at);
    at += frames;
  }
  return sound;
}

/** The largest step from one sample to the next between two moments. */
function stepsOf(sound: Float32Array, rate: number): (from: number, until: number) => number {
  const steps = sound.map((x, i) => Math.abs(x - (sound[i - 1] ?? 0)));
  return (from, until) =>
    steps.subarray(Math.round(from * rate), Math.round(until * rate)).reduce((a, b) => Math.max(a, b), 0);
}

/** Where the sound first reaches a third of its height within 60 ms of `due`, in seconds after it. */
function onsetNear(sound: Float32Array, rate: number, due: number): number {
  const from = Math.max(0, Math.round((due - 0.06) * rate));
  const part = sound.subarray(from, Math.round((due + 0.06) * rate)).map(Math.abs);
  const peak = part.reduce((most, x) => Math.max(most, x), 0);
  return (from + part.findIndex((x) => x > peak / 3)) / rate - due;
}

describe('ten minutes of a song whose tempo drifts', () => {
  const map = drifting();
  const beats = barsOf(map).flatMap((bar) => bar.beats);
  const sound = new Float32Array(Math.ceil((map.end + 1) * RATE));
  for (const beat of beats) sound.fill(0.7, Math.round(beat * RATE), Math.round((beat + 0.003) * RATE));
  const pcm = { sampleRate: RATE, channels: [sound] };
  const speeds = LONG ? [0.4, 0.5, 0.7, 0.85, 1, 1.2, 1.3] : [0.5, 1.2];

  it.each(speeds)(
    'has the recording in step with the map and its clicks within 2 ms, to the end, at speed %f',
    (speed) => {
      expect(map.end).toBeGreaterThan(590);
      const plan = planPlay(map, [{ from: 0, until: map.end }], {
        speed,
        countIn: { bars: 0 },
        spoken: false,
        click: { on: true, parts: 1, firstBarOnly: false },
      });
      expect(plan.soundings).toHaveLength(beats.length);
      const recording = rendered(pcm, plan, { recording: 1, click: 0 });
      const clicks = rendered({ ...pcm, channels: [new Float32Array(sound.length)] }, plan, { recording: 0, click: 1 });
      const offs = (of: Float32Array) => plan.soundings.map(({ at }) => Math.abs(onsetNear(of, RATE, at)));
      expect(Math.max(...offs(clicks))).toBeLessThan(0.002);
      // At 40 % the stretcher spreads a stroke over some 30 ms (median of its first third of loudness 8.5 ms, measured).
      expect(Math.max(...offs(recording).slice(0, -1))).toBeLessThan(speed < 0.5 ? 0.035 : 0.01);
    },
  );
});

describe('the joins of an arrangement of a real song', () => {
  it('make no jump above what is around them, and keep the beats in step', async () => {
    const { map } = await analysedSample('kites-over-brennick.ogg');
    const { pcm } = await decodeFile(samplePath('kites-over-brennick.ogg'));
    const items = [3, 1, 5, 2, 4, 1].map((section) => itemOf(map, section)!);
    const stretches = arrangementStretches(map, items);
    const recorded = stepsOf(pcm.channels[0]!, pcm.sampleRate);
    for (const speed of [1, 0.8]) {
      const plan = planPlay(map, stretches, {
        speed,
        countIn: { bars: 0 },
        spoken: false,
        click: { on: true, parts: 1, firstBarOnly: false },
      });
      const sound = rendered(pcm, plan, { recording: 1, click: 0 });
      const largest = stepsOf(sound, pcm.sampleRate);
      const joins = plan.pieces.slice(0, -1).map(pieceEnd);
      expect(joins).toHaveLength(5);
      joins.forEach((join, i) => {
        const [before, after] = [plan.pieces[i]!, plan.pieces[i + 1]!];
        // A beat may be struck at the join: what the recording itself does at the two places is no jump.
        const struck = [before.until, after.from].map((at) => recorded(at - 0.02, at + 0.02));
        expect(largest(join - 0.015, join + 0.003), `at ${join}`).toBeLessThan(
          Math.max(largest(join - 1, join - 0.02), largest(join + 0.01, join + 1), ...struck),
        );
        // The beat before a join is as long as it is in the recording.
        const clicks = plan.soundings.map(({ at }) => at);
        const next = clicks.findIndex((at) => at > join - 0.005);
        expect(Math.abs(clicks[next]! - join)).toBeLessThan(0.005);
        const piece = plan.pieces.find((each) => Math.abs(pieceEnd(each) - join) < 1e-6)!;
        const lastBeat = barsOf(map)
          .flatMap((bar) => bar.beats)
          .filter((beat) => beat < piece.until - 0.005)
          .at(-1)!;
        expect(Math.abs(clicks[next]! - clicks[next - 1]! - (piece.until - lastBeat) / speed)).toBeLessThan(0.005);
      });
    }
  });
});
