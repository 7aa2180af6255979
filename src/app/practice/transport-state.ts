import { msg, str } from '@lit/localize';
import { effect, untracked } from '@preact/signals-core';
import { addLocks } from '../../model/edits/add-locks.js';
import { beatAt } from '../../model/map-queries.js';
import { arrangementStretches, ladderSpeed, loopTurn, onBarLines } from '../../model/play-order.js';
import type { CountMark, PlayPlan, PlayStretch } from '../../model/play-plan.js';
import { PlayRun, type Rounds } from '../../model/play-run.js';
import type { Doubt, SongMap } from '../../model/song-map.js';
import { JOIN } from '../../music/timeline.js';
import type { Seconds } from '../../music/units.js';
import type { Core } from '../song/core.js';
import { doubtStretch } from '../doubts/doubts-state.js';
import { countInOf, strumShift, wishOf } from '../song/practice-state.js';
import { PLAIN } from '../kit/practice.js';

/** Playing: what the player hears of the map, the settings and the user. */
export interface Transport {
  position(): Seconds;
  counting(): CountMark | undefined;
  round(): { readonly round: number; readonly speed: number } | undefined;
  jump(): { readonly until: Seconds; readonly from: Seconds } | undefined;
  play(from?: Seconds, until?: Seconds): Promise<void>;
  playStretches(stretches: readonly PlayStretch[]): Promise<void>;
  /** Plays a plan that is not of the song. */
  playPlan(plan: PlayPlan): Promise<void>;
  stop(): void;
  /** Puts the cursor where the sound stopped: on the beat that sounded, as actions land on beats; a doubt keeps its own place. */
  land(): void;
  hearDoubt(index: number, reading?: 'keep' | 'other'): Promise<void>;
  dispose(): void;
}

/** What was asked for. */
interface Asked {
  readonly from: Seconds;
  readonly until?: Seconds;
  readonly counted: boolean;
  /** The loop is kept to, when there is one. */
  readonly looped: boolean;
  /** Its beats are clicked instead of those shown, until an edit is made. */
  readonly map?: SongMap;
  /** These one after another, instead of what lies between `from` and `until`. */
  readonly stretches?: readonly PlayStretch[];
}

/** Seconds that a change is planned ahead of what the audio thread has: time for the message, and for the stretcher to turn. */
const LEAD = 0.12;
/** Milliseconds between two looks whether more has to be planned. */
const LOOK = 1000;

export function createTransport(core: Core): Transport {
  const { ports, view, settings, practice } = core;
  const { player } = ports;
  let asked: Asked | undefined;
  let run: PlayRun | undefined;
  let begun: PlayPlan | undefined;
  let stopLooking = (): void => {};
  /** What the plan was made from. */
  let planned: { readonly map: SongMap | undefined; readonly as: string } = { map: undefined, as: '' };

  const roundsOf = (map: SongMap, { from, until, counted, looped, stretches }: Asked): Rounds => {
    const { speed, loop } = practice.value;
    const none = { bars: 0 } as const;
    const countIn = counted ? countInOf(settings.value) : none;
    const { countEachRound } = settings.value;
    if (stretches) return (round) => (round === 0 ? { stretches, speed, countIn } : undefined);
    if (loop && looped) {
      const turns = [onBarLines(map, loop), ...(loop.other ? [onBarLines(map, loop.other)] : [])];
      return (round) => {
        const { stretch, step } = loopTurn(turns, round);
        return {
          stretches: [round === 0 && from > stretch.from && from < stretch.until ? { ...stretch, from } : stretch],
          speed: loop.ladder ? ladderSpeed(loop.ladder, step) : speed,
          countIn: round === 0 ? countIn : countEachRound ? countInOf(settings.value) : none,
        };
      };
    }
    const arranged = looped ? arrangedFrom(map, practice.value.arrangement, from) : undefined;
    if (arranged) return (round) => (round === 0 ? { stretches: arranged, speed, countIn } : undefined);
    const end = Math.min(until ?? Infinity, map.recording.duration);
    return (round) => (round === 0 ? { stretches: [{ from, until: end }], speed, countIn } : undefined);
  };

  const begin = async (request: Asked): Promise<void> => {
    const song = core.desk.value?.song.value;
    if (song && !song.audible) {
      core.say({
        kind: 'info',
        text: song.hasAudio
          ? msg('The sound is still being read; it can be played in a moment.')
          : msg(str`The recording "${song.map.recording.fileName}" is not here. Choose it to hear the song.`),
      });
      return;
    }
    if (core.ports.withheld !== undefined) {
      core.say({ kind: 'error', text: core.ports.withheld });
      return;
    }
    const map = request.map ?? core.map.value;
    asked = request;
    run = map && new PlayRun(map, wishOf(settings.value, strumShift(practice.value, map)), roundsOf(map, request));
    begun = run ? undefined : bare(request.from, request.until ?? player.duration());
    try {
      await player.play(begun ?? run!.begin());
    } catch (error) {
      core.sayError(error);
    }
  };

  const hearDoubt: Transport['hearDoubt'] = async (index, reading = 'keep') => {
    const map = core.map.value;
    const doubt = map?.doubts[index];
    const stretch = map && doubtStretch(map, index);
    if (!map || !doubt || !stretch) return;
    view.cursor.value = doubt.time;
    view.doubt.value = index;
    const other = reading === 'other' ? await readOtherwise(doubt) : undefined;
    if (reading === 'other' && !other) return;
    view.reading.value = reading;
    await begin({ ...stretch, map: other, counted: false, looped: false });
  };

  /** The map as the other reading has it, or undefined when it cannot be heard; the reason was said then. */
  const readOtherwise = async (doubt: Doubt): Promise<SongMap | undefined> => {
    try {
      const map = await core.desk.value?.preview((now) => addLocks(now, doubt.other));
      if (!map) core.say({ kind: 'info', text: msg('The other reading cannot be heard: locks are in its way.') });
      // Whoever has gone elsewhere meanwhile wants to hear that.
      return view.cursor.peek() === doubt.time ? map : undefined;
    } catch (error) {
      core.sayError(error);
      return undefined;
    }
  };

  const land = (): void => {
    const map = core.map.value;
    const place = player.position();
    if (map && asked && view.doubt.value === undefined) view.cursor.value = beatAt(map, place)?.start ?? place;
  };

  /** Takes over what has changed while it plays. */
  const again = (change: Parameters<PlayRun['again']>[1]): void => {
    if (!core.playing.peek()) return;
    const replan = run?.again(player.rendered() + LEAD, change);
    if (replan) player.replace(replan.at, replan.plan);
  };

  const look = (): void => {
    const more = run?.more(player.rendered());
    if (more) player.replace(more.at, more.plan);
    stopLooking = ports.clock.after(LOOK, look);
  };

  const endings = [
    player.onChange((playing) => {
      core.playing.value = playing;
      stopLooking();
      if (playing) stopLooking = ports.clock.after(LOOK, look);
    }),
    effect(() => {
      const map = core.map.value;
      const wish = wishOf(settings.value, map && strumShift(practice.value, map));
      const { speed, loop, arrangement } = practice.value;
      const { countEachRound } = settings.value;
      // A level, say, changes nothing of what is planned.
      const now = JSON.stringify([wish, speed, loop, arrangement, countInOf(settings.value), countEachRound]);
      untracked(() => {
        const sameMap = map === planned.map;
        const same = sameMap && now === planned.as;
        planned = { map, as: now };
        if (same || !map || !asked || !core.playing.peek()) return;
        // After an edit what is shown is heard again.
        if (!sameMap) asked = { ...asked, map: undefined };
        const heard = asked.map ?? map;
        const rounds = roundsOf(heard, asked);
        // Playing began before there was a map: from here on its clicks come with it.
        run ??= begun && new PlayRun(heard, wish, rounds, begun);
        again({ map: heard, wish, rounds });
      });
    }),
    effect(() => {
      const { recordingLevel, recordingOn, clickLevel, clickOn, countLevel, countOn, strumLevel } = settings.value;
      // A doubt is judged by its click, so the click sounds there even when it is off elsewhere.
      const click = clickOn || view.doubt.value !== undefined ? clickLevel : 0;
      player.setLevels({
        recording: recordingOn ? recordingLevel : 0,
        click,
        count: countOn ? countLevel : 0,
        strum: strumLevel,
      });
    }),
    effect(() => player.setDelay(settings.value.soundDelay / 1000)),
    effect(() => {
      const { transpose, cents, sides } = practice.value;
      player.setTone({ transpose: transpose + cents / 100, sides });
    }),
    effect(() => {
      // Another song is practised in its own way.
      void core.desk.value?.id;
      untracked(() => (practice.value = PLAIN));
    }),
    effect(() => {
      // Whoever goes elsewhere has left the doubt.
      const cursor = view.cursor.value;
      const map = core.map.peek();
      const doubt = view.doubt.peek();
      if (doubt !== undefined && map?.doubts[doubt]?.time !== cursor) view.doubt.value = undefined;
    }),
    effect(() => ports.settings.write(settings.value)),
  ];

  return {
    position: () => (core.playing.value && asked ? player.position() : view.cursor.value),
    counting: () => {
      if (!core.playing.value || !run) return undefined;
      const now = player.elapsed();
      return run.counts.find(({ at, until }) => at <= now && now < until);
    },
    round: () => (core.playing.value ? run?.roundAt(player.elapsed()) : undefined),
    jump: () => (core.playing.value ? run?.jumpAfter(player.elapsed()) : undefined),
    hearDoubt,
    play: async (from, until) => {
      const map = core.map.value;
      const doubt = view.doubt.value;
      if (from === undefined && doubt !== undefined) return hearDoubt(doubt);
      const place = from ?? (map ? view.cursor.value : player.position());
      const start = map && place >= map.end - 0.05 ? map.start : place;
      const { loop } = practice.value;
      // Whoever points at a place outside the loop wants to hear that place.
      const looped =
        until === undefined && (from === undefined || (!!loop && start > loop.from - 0.05 && start < loop.until));
      // Whoever goes elsewhere while it plays is in time already.
      await begin({ from: start, until, counted: !core.playing.value, looped });
    },
    playStretches: async (stretches) => {
      const [first] = stretches;
      if (first) await begin({ ...first, counted: false, looped: false, stretches });
    },
    playPlan: async (plan) => {
      asked = undefined;
      run = undefined;
      try {
        await player.play(plan);
      } catch (error) {
        core.sayError(error);
      }
    },
    stop: () => {
      if (!core.playing.value) return;
      player.stop();
      land();
    },
    land,
    dispose: () => {
      stopLooking();
      player.stop();
      for (const end of endings) end();
    },
  };
}

/** The stretches of an arrangement from the one on that holds `from`, else all of them; undefined when there is no such arrangement. */
function arrangedFrom(map: SongMap, id: string | undefined, from: Seconds): readonly PlayStretch[] | undefined {
  const arrangement = map.arrangements?.find((one) => one.id === id);
  const stretches = arrangement && arrangementStretches(map, arrangement.items);
  if (!stretches || stretches.length === 0) return undefined;
  const here = stretches.findIndex((stretch) => from >= stretch.from - 0.05 && from < stretch.until);
  const [first, ...rest] = stretches.slice(Math.max(0, here));
  return here < 0 || !first ? stretches : [{ ...first, from: Math.max(first.from, from) }, ...rest];
}

/** The recording alone, before there is a map. */
function bare(from: Seconds, until: Seconds): PlayPlan {
  const pieces = until > from ? [{ at: JOIN, from, until, rate: 1 }] : [];
  return { pieces, soundings: [], counts: [], bars: 0, end: pieces.length > 0 ? JOIN + until - from : 0 };
}
