import { cutAt, pieceEnd } from '../music/timeline.js';
import type { Seconds } from '../music/units.js';
import { barStartingAt } from './map-queries.js';
import {
  barsBegunIn,
  planPlay,
  type CountIn,
  type CountMark,
  type PlayPlan,
  type PlayStretch,
  type PlayWish,
} from './play-plan.js';
import type { SongMap } from './song-map.js';

/** One time through what is played. */
export interface Round {
  readonly stretches: readonly PlayStretch[];
  readonly speed: number;
  readonly countIn: CountIn;
}

/** What round `round` (from 0) is; undefined when none is left. */
export type Rounds = (round: number) => Round | undefined;

/** A change of what is played: from second `at` of the timeline on it is `plan`. */
export interface Replan {
  readonly at: Seconds;
  readonly plan: PlayPlan;
}

interface Planned extends Round {
  /** Its number, from 0: a round that was changed while it played is planned in two. */
  readonly round: number;
  readonly plan: PlayPlan;
  readonly barsBefore: number;
  /** Where on the timeline its first piece begins. */
  readonly begins: Seconds;
}

/** Seconds that are planned beyond what sounds: a page that stalls for long is heard through. */
const AHEAD = 20;
/** A loop without end is planned no more than this many rounds at once. */
const MOST_ROUNDS = 200;

/**
 * Something that is being played, round after round, planned ahead of what sounds.
 *
 * Pure but for what it remembers of its own plans; time comes in as seconds of the timeline.
 */
export class PlayRun {
  private planned: readonly Planned[] = [];
  private next = 0;

  constructor(
    private map: SongMap,
    private wish: Omit<PlayWish, 'speed' | 'countIn'>,
    private rounds: Rounds,
    /** The first round as it sounds already, when it was begun before there was a map. */
    begun?: PlayPlan,
  ) {
    const first = rounds(0);
    if (!begun || !first) return;
    this.planned = [{ ...first, round: 0, plan: begun, barsBefore: 0, begins: begun.pieces[0]?.at ?? 0 }];
    this.next = 1;
  }

  /** All counted beats planned so far. */
  get counts(): readonly CountMark[] {
    return this.planned.flatMap(({ plan }) => plan.counts);
  }

  /** Where in the recording the piece that sounds at `time` ends, and where the next one goes on; undefined before the last has an end. */
  jumpAfter(time: Seconds): { readonly until: Seconds; readonly from: Seconds } | undefined {
    const pieces = this.planned.flatMap(({ plan }) => cutAt(plan.pieces, plan.end));
    const here = pieces.findIndex((piece) => time < pieceEnd(piece));
    const [piece, next] = [pieces[here], pieces[here + 1]];
    return piece && next ? { until: piece.until, from: next.from } : undefined;
  }

  /** The round, from 0, that sounds or is counted in at `time`, and its speed; the last one after the end. */
  roundAt(time: Seconds): { readonly round: number; readonly speed: number } | undefined {
    return this.planned.find(({ plan }) => time < plan.end) ?? this.planned.at(-1);
  }

  get end(): Seconds {
    return this.planned.at(-1)?.plan.end ?? 0;
  }

  /** The plan to begin with. */
  begin(): PlayPlan {
    return merged(this.plan(0, AHEAD));
  }

  /** What follows, when less than a good while is planned beyond `now`; undefined when there is enough or no more. */
  more(now: Seconds): Replan | undefined {
    const { end } = this;
    if (end - now >= AHEAD) return undefined;
    const plans = this.plan(end, now + 2 * AHEAD);
    return plans.length > 0 ? { at: end, plan: merged(plans) } : undefined;
  }

  /**
   * Goes on from `at` with another map, other wishes or other rounds: the round under way from the place where it is, then
   * those that follow. A count-in under way is counted out as it was. Undefined when nothing is left to change.
   */
  again(
    at: Seconds,
    change: { readonly map?: SongMap; readonly wish?: Omit<PlayWish, 'speed' | 'countIn'>; readonly rounds?: Rounds },
  ): Replan | undefined {
    this.map = change.map ?? this.map;
    this.wish = change.wish ?? this.wish;
    this.rounds = change.rounds ?? this.rounds;
    const index = this.planned.findIndex(({ plan }) => at < plan.end);
    const under = this.planned[index];
    if (!under) return undefined;
    const from = Math.max(at, under.begins, under.plan.counts.at(-1)?.until ?? 0);
    const stretches = restOf(under, from);
    const { round } = under;
    const speed = this.rounds(round)?.speed ?? under.speed;
    const plan = planPlay(
      this.map,
      stretches,
      { ...this.wish, speed, countIn: { bars: 0 } },
      { at: from, flowing: true, barsBefore: barsBegun(this.map, under, from) },
    );
    this.planned = [
      ...this.planned.slice(0, index),
      // What has sounded of it stays; times before `from` come from there.
      { ...under, plan: { ...under.plan, end: from } },
      { ...under, speed, stretches, plan, begins: from, barsBefore: plan.bars },
    ];
    this.next = round + 1;
    const later = this.plan(plan.end, at + AHEAD);
    return { at: from, plan: merged([plan, ...later]) };
  }

  private plan(from: Seconds, until: Seconds): readonly PlayPlan[] {
    const plans: PlayPlan[] = [];
    let at = from;
    for (let i = 0; i < MOST_ROUNDS && (at < until || plans.length === 0); i++) {
      const round = this.rounds(this.next);
      if (!round) break;
      const barsBefore = this.planned.at(-1)?.plan.bars ?? 0;
      const plan = planPlay(this.map, round.stretches, { ...this.wish, ...round }, { at, flowing: at > 0, barsBefore });
      const number = this.next++;
      if (plan.pieces.length === 0) break;
      this.planned = [...this.planned, { ...round, round: number, plan, barsBefore, begins: plan.pieces[0]!.at }];
      plans.push(plan);
      at = plan.end;
    }
    return plans;
  }
}

/** What is left of a round at `at` of the timeline. */
function restOf(planned: Planned, at: Seconds): readonly PlayStretch[] {
  let played = Math.max(0, at - planned.begins) * planned.speed;
  return planned.stretches.flatMap(({ from, until }) => {
    const start = Math.min(until, from + played);
    played = Math.max(0, played - (until - from));
    return until - start > 1e-6 ? [{ from: start, until }] : [];
  });
}

/** Bars begun before `at`, the one that sounds there not counted: going on counts it again. */
function barsBegun(map: SongMap, planned: Planned, at: Seconds): number {
  let left = Math.max(0, at - planned.begins) * planned.speed;
  let begun = planned.barsBefore;
  for (const { from, until } of planned.stretches) {
    const place = Math.min(until, from + left);
    begun += barsBegunIn(map, { from, until: place });
    if (place < until)
      return begun - (barsBegunIn(map, { from, until: place }) > 0 && barStartingAt(map, place) === undefined ? 1 : 0);
    left -= until - from;
  }
  return begun;
}

function merged(plans: readonly PlayPlan[]): PlayPlan {
  return {
    pieces: plans.flatMap(({ pieces }) => pieces),
    soundings: plans.flatMap(({ soundings }) => soundings),
    counts: plans.flatMap(({ counts }) => counts),
    bars: plans.at(-1)?.bars ?? 0,
    end: plans.at(-1)?.end ?? 0,
  };
}
