import { describe, expect, it } from 'vitest';
import { PlayRun, type Rounds } from '../../src/model/play-run.js';
import { JOIN, placeAt } from '../../src/music/timeline.js';
import { bars } from '../support/notation.js';

const map = bars('4 4 4 4 4 4 4 4');
const WISH = { spoken: false, click: { on: true, parts: 1, firstBarOnly: false } } as const;
const loop =
  (from: number, until: number, speed = 1): Rounds =>
  () => ({ stretches: [{ from, until }], speed, countIn: { bars: 0 } });
const once =
  (from: number, until: number, speed = 1): Rounds =>
  (round) =>
    round === 0 ? { stretches: [{ from, until }], speed, countIn: { bars: 0 } } : undefined;

describe('a run', () => {
  it('plans rounds ahead and more when they are needed', () => {
    const run = new PlayRun(map, WISH, loop(2, 6));
    const plan = run.begin();
    expect(plan.pieces.length).toBe(5);
    expect(run.more(0)).toBeUndefined();
    const more = run.more(8)!;
    expect(more.at).toBe(plan.end);
    expect(more.plan.pieces[0]).toMatchObject({ at: plan.end, from: 2, until: 6 });
    expect(run.roundAt(5)).toMatchObject({ round: 1 });
  });

  it('ends after its last round', () => {
    const run = new PlayRun(map, WISH, once(0, 4));
    expect(run.begin().end).toBeCloseTo(4 + JOIN);
    expect(run.more(3.9)).toBeUndefined();
  });

  it('goes on from where it is when the speed changes, clicks included', () => {
    const run = new PlayRun(map, WISH, once(0, 16));
    const first = run.begin();
    const { at, plan } = run.again(3, { rounds: once(0, 16, 0.5) })!;
    expect(at).toBe(3);
    expect(plan.pieces).toHaveLength(1);
    expect(plan.pieces[0]!.from).toBeCloseTo(placeAt(first.pieces, 3));
    expect(plan.pieces[0]).toMatchObject({ at: 3, until: 16, rate: 0.5 });
    const beats = plan.soundings.map((each) => each.at);
    expect(beats[1]! - beats[0]!).toBeCloseTo(1);
    const { plan: back } = run.again(5, { rounds: once(0, 16) })!;
    expect(back.pieces[0]!.from).toBeCloseTo(placeAt(plan.pieces, 5));
  });

  it('takes over another round at its turn, and the rest of the one under way at its new speed', () => {
    const run = new PlayRun(map, WISH, loop(0, 4));
    run.begin();
    const { plan } = run.again(5, { rounds: loop(0, 4, 0.5) })!;
    expect(plan.pieces[0]!.until).toBe(4);
    expect(plan.pieces[1]!.at - plan.pieces[0]!.at).toBeCloseTo((4 - plan.pieces[0]!.from) / 0.5);
  });

  it('counts out a count-in that is under way', () => {
    const counted: Rounds = () => ({ stretches: [{ from: 0, until: 4 }], speed: 1, countIn: { bars: 1 } });
    const run = new PlayRun(map, WISH, counted);
    expect(run.begin().pieces[0]!.at).toBe(2);
    const { at, plan } = run.again(1, { wish: { ...WISH, spoken: true } })!;
    expect(at).toBe(2);
    expect(plan.pieces[0]).toMatchObject({ at: 2, from: 0, until: 4 });
    // Under the count what comes before the first beat is heard already.
    const led = new PlayRun(bars('-1 4 4'), WISH, counted);
    expect(led.begin().pieces[0]!.at).toBe(1.5);
    const later = led.again(1.7, { wish: { ...WISH, spoken: true } })!;
    expect(later.at).toBe(2);
    expect(later.plan.pieces[0]).toMatchObject({ at: 2, from: 0.5, until: 4 });
  });

  it('counts bars over rounds and changes, for clicks that drop out', () => {
    const dropping = { spoken: false, click: { ...WISH.click, dropOut: { sound: 1, of: 2 } } };
    const run = new PlayRun(map, dropping, loop(0, 6));
    const ones = run.begin().soundings.filter(({ sound }) => sound === 'one');
    expect(ones.slice(0, 4).map(({ at }) => Math.round(at - JOIN))).toEqual([0, 4, 8, 12]);
    const after = run.again(5, {})!.plan.soundings.filter(({ sound }) => sound === 'one');
    expect(after.slice(0, 2).map(({ at }) => Math.round(at - JOIN))).toEqual([8, 12]);
  });
});
