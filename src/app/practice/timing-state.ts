import { effect, signal, untracked } from '@preact/signals-core';
import { judgeStrokes, latenessOf } from '../../model/timing.js';
import type { PlayPlan } from '../../model/play-plan.js';
import type { Sounding } from '../../music/timeline.js';
import type { Seconds } from '../../music/units.js';
import type { StrokeSource, Timing, TimingCheck } from '../kit/timing.js';
import type { Core } from '../song/core.js';
import { MAX_DELAY } from '../kit/settings.js';

/** Clicks of a measurement, and seconds between them. */
const CLICKS = 48;
const PERIOD = 0.6;
const FIRST = 0.5;
const clickTimes = Array.from({ length: CLICKS }, (_, i) => FIRST + i * PERIOD);

/** Even clicks alone. */
export const DELAY_PLAN: PlayPlan = {
  pieces: [],
  soundings: clickTimes.map((at, i): Sounding => ({ at, sound: i % 4 === 0 ? 'one' : 'beat', gain: 1, bus: 'click' })),
  counts: [],
  bars: 0,
  end: FIRST + CLICKS * PERIOD,
};

export function createTiming(
  core: Core,
  sound: { play(): Promise<void>; playPlan(plan: PlayPlan): Promise<void>; stop(): void },
): Timing {
  const { player } = core.ports;
  const check = signal<TimingCheck | undefined>(undefined);
  let parts: 1 | 2 | 3 | 4 = 1;
  let letGo = (): void => {};
  /** A microphone that is given when something else has been asked for since, or the song was closed, is let go at once. */
  let asked = 0;

  const add = (at: Seconds): void => {
    const now = check.peek();
    if (now?.running) check.value = { ...now, strokes: [...now.strokes, at] };
  };
  const start = async (of: TimingCheck['of'], source: StrokeSource, play: () => Promise<void>): Promise<void> => {
    sound.stop();
    letGo();
    letGo = () => {};
    const turn = ++asked;
    try {
      if (source === 'microphone') {
        const late = of === 'delay' ? 0 : core.settings.peek().microphoneDelay / 1000;
        const free = await player.listen(late, add);
        if (turn !== asked) return free();
        letGo = free;
      }
    } catch (error) {
      core.sayError(error);
      return;
    }
    check.value = { of, source, running: true, strokes: [] };
    await play();
    // Nothing could be played: the reason has been said.
    if (!core.playing.peek()) end();
  };
  const end = (): void => {
    const now = check.peek();
    letGo();
    letGo = () => {};
    const map = core.map.peek();
    if (!now?.running) return;
    const report = now.of === 'song' && map ? judgeStrokes(map, player.timeline(), now.strokes, parts) : undefined;
    const lateness = now.of === 'delay' ? latenessOf(clickTimes, now.strokes) : undefined;
    check.value = {
      ...now,
      running: false,
      ...(report ? { report } : {}),
      ...(lateness ? { lateness } : {}),
    };
  };

  const endings = [
    effect(() => {
      const playing = core.playing.value;
      untracked(() => {
        if (!playing && check.peek()?.running) end();
      });
    }),
    effect(() => {
      void core.desk.value?.id;
      untracked(() => {
        asked += 1;
        check.value = undefined;
      });
    }),
  ];

  return {
    check,
    checkSong: (source, wanted) => {
      parts = wanted;
      return start('song', source, () => sound.play());
    },
    measureDelay: (source) => start('delay', source, () => sound.playPlan(DELAY_PLAN)),
    stroke: (ago) => {
      if (core.playing.peek()) add(player.elapsed() - ago / 1000);
    },
    useDelay: () => {
      const { lateness, source } = check.peek() ?? {};
      if (!lateness) return;
      const settings = core.settings.peek();
      const key = source === 'microphone' ? 'microphoneDelay' : 'soundDelay';
      // Strokes by the microphone are told without any delay of its own taken off; taps with the one in use.
      const whole = Math.round(1000 * lateness.late) + (key === 'soundDelay' ? settings.soundDelay : 0);
      core.settings.value = { ...settings, [key]: Math.min(MAX_DELAY, Math.max(-MAX_DELAY, whole)) };
      check.value = undefined;
    },
    forget: () => {
      if (!check.peek()?.running) check.value = undefined;
    },
    dispose: () => {
      asked += 1;
      letGo();
      for (const end of endings) end();
    },
  };
}
