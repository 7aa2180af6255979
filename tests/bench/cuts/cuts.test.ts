import { describe, expect, it } from 'vitest';
import { judge, type ClaimedBeat } from '../measures/judge.js';
import { seeded } from '../random-edits.js';
import { readWav, writeWav, type Pcm } from '../wav.js';
import { chooseCuts } from './choose-cuts.js';
import { cutSound, FADE, strikesAt } from './cut-sound.js';
import { barPlaces, cutTruth, type SongTruth } from './cut-truth.js';

/** Bars of so many beats, half a second each, after a pickup of one beat at 1 s. */
function song(...lengths: number[]): SongTruth {
  const beats: [number, number][] = [[1, 4]];
  const bars: [number, number][] = [];
  for (const length of lengths) {
    bars.push([1 + 0.5 * beats.length, length]);
    for (let place = 1; place <= length; place++) beats.push([1 + 0.5 * beats.length, place]);
  }
  const end = 1 + 0.5 * beats.length;
  const irregular_bars = lengths.filter((length) => length !== 4).length;
  return { beats, bars, judged: [0.75, end - 0.25], duration: end + 1, tempo: 120, beats_per_bar: 4, irregular_bars };
}

const lengths = ({ bars }: SongTruth): string => bars.map(([, beats]) => beats).join(' ');
const places = ({ beats }: SongTruth): string => beats.map(([, place]) => place).join('');
const times = ({ beats }: SongTruth): number[] => beats.map(([time]) => time);
const ways = (truth: SongTruth): string[] =>
  (truth.either ?? []).flatMap((one) => one.bars.map((way) => way.map(([, beats]) => beats).join('+')));
/** Beat `place` (from 1) of bar `bar` (from 1) among the beats. */
const at = (truth: SongTruth, bar: number, place: number): number => (barPlaces(truth)[bar - 1] as number) + place - 1;

// All of it follows from counting: no source.
describe('the truth of a cut song', () => {
  const four = song(4, 4, 4, 4, 4);

  it('has a shorter bar where beats are taken out of one, and all the rest sooner', () => {
    const cut = cutTruth(four, { action: 'remove', first: at(four, 3, 3), count: 2 });
    expect(lengths(cut)).toBe('4 4 2 4 4');
    expect(places(cut)).toBe('4' + '1234' + '1234' + '12' + '1234' + '1234');
    expect(times(cut)).toEqual(times(four).slice(0, 19));
    expect(cut.bars.map(([start]) => start)).toEqual([1.5, 3.5, 5.5, 6.5, 8.5]);
    expect([cut.judged, cut.duration, cut.irregular_bars]).toEqual([[0.75, 10.25], 11.5, 1]);
    expect(ways(cut)).toEqual([]);
  });

  it('keeps where a bar begins whose first beat goes', () => {
    const cut = cutTruth(four, { action: 'remove', first: at(four, 2, 1), count: 1 });
    expect(lengths(cut)).toBe('4 3 4 4 4');
    expect(cut.bars.map(([start]) => start)).toEqual([1.5, 3.5, 5, 7, 9]);
  });

  it('has one bar, or the two that are left, where a bar line goes', () => {
    const cut = cutTruth(four, { action: 'remove', first: at(four, 2, 4), count: 2 });
    expect(lengths(cut)).toBe('4 6 4 4');
    expect(places(cut)).toBe('4' + '1234' + '123456' + '1234' + '1234');
    expect(ways(cut)).toEqual(['6', '3+3']);
    expect(cut.either?.[0]).toMatchObject({
      from: 3.5,
      to: 6.5,
      bars: [
        [[3.5, 6]],
        [
          [3.5, 3],
          [5, 3],
        ],
      ],
    });
    expect(lengths(cutTruth(four, { action: 'remove', first: at(four, 2, 3), count: 3 }))).toBe('4 5 4 4');
  });

  it('has a longer bar where beats come again, at its end also a whole one and the rest', () => {
    const end = cutTruth(four, { action: 'repeat', first: at(four, 2, 3), count: 2 });
    expect(lengths(end)).toBe('4 6 4 4 4');
    expect(places(end)).toBe('4' + '1234' + '123456' + '1234'.repeat(3));
    expect(times(end)).toEqual(Array.from({ length: 23 }, (_, i) => 1 + 0.5 * i));
    expect(end.duration).toBe(four.duration + 1);
    expect(ways(end)).toEqual(['6', '4+2']);
    const within = cutTruth(four, { action: 'repeat', first: at(four, 2, 2), count: 2 });
    expect([lengths(within), ways(within)]).toEqual(['4 6 4 4 4', []]);
    const start = cutTruth(four, { action: 'repeat', first: at(four, 2, 1), count: 3 });
    expect(ways(start)).toEqual(['7', '3+4']);
  });

  it('follows beats that are not even, and never two of them closer or further than in the song', () => {
    const random = seeded(3);
    const uneven: SongTruth = { ...four, beats: four.beats.map(([t, p]) => [t + 0.05 * random(), p] as const) };
    const truth = {
      ...uneven,
      bars: barPlaces(four).map((i) => [(uneven.beats[i] as readonly [number, number])[0], 4] as const),
    };
    const gaps = (list: readonly number[]): string[] =>
      list.slice(1).map((time, i) => (time - (list[i] as number)).toFixed(4));
    const before = gaps(times(truth));
    const removed = gaps(times(cutTruth(truth, { action: 'remove', first: 10, count: 3 })));
    expect(removed).toEqual([...before.slice(0, 9), before[9], ...before.slice(13)]);
    const repeated = gaps(times(cutTruth(truth, { action: 'repeat', first: 10, count: 2 })));
    expect(repeated).toEqual([...before.slice(0, 12), ...before.slice(10)]);
  });

  it('moves what comes later along with other ways to write it, and leaves such places alone', () => {
    const odd = song(4, 4, 4, 4, 2, 4, 4);
    const either = [
      {
        from: 7.5,
        to: 10.5,
        bars: [
          [
            [7.5, 4],
            [9.5, 2],
          ],
          [[7.5, 6]],
        ] as const,
      },
    ] as const;
    const truth: SongTruth = { ...odd, either };
    const cut = cutTruth(truth, { action: 'remove', first: at(odd, 2, 4), count: 1 });
    expect(cut.either).toEqual([
      {
        from: 7,
        to: 10,
        bars: [
          [
            [7, 4],
            [9, 2],
          ],
          [[7, 6]],
        ],
      },
    ]);
    expect(cut.irregular_bars).toBe(2);
    expect(() => cutTruth(truth, { action: 'remove', first: at(odd, 5, 2), count: 1 })).toThrow(/several ways/);
  });

  it('refuses stretches that no rule covers', () => {
    expect(() => cutTruth(four, { action: 'remove', first: 0, count: 1 })).toThrow(/outside/);
    expect(() => cutTruth(four, { action: 'remove', first: at(four, 2, 1), count: 4 })).toThrow(/nothing is left/);
    expect(() => cutTruth(four, { action: 'repeat', first: at(four, 2, 4), count: 2 })).toThrow(/one bar/);
    expect(() => cutTruth(four, { action: 'remove', first: at(four, 5, 4), count: 3 })).toThrow(/beat after|outside/);
  });

  it('gives full marks to its own ways alone', () => {
    const cut = cutTruth(song(4, 4, 4, 4, 4, 4, 4), { action: 'repeat', first: 15, count: 2 });
    const claim = (...bars: number[]): ClaimedBeat[] => {
      let time = 1;
      return [...bars].flatMap((barBeats) =>
        Array.from({ length: barBeats }, (_, i) => ({ time: (time += 0.5), position: i + 1, barBeats })),
      );
    };
    expect(judge(cut, claim(4, 4, 4, 6, 4, 4, 4)).irregular).toMatchObject({ hits: 1, claimed: 1, actual: 1 });
    expect(judge(cut, claim(4, 4, 4, 4, 2, 4, 4, 4)).bars?.f).toBe(1);
    expect(judge(cut, claim(4, 4, 4, 4, 4, 4, 4, 2)).irregular?.hits).toBe(0);
  });
});

/** Noise in two channels. */
function noise(seconds: number, rate: number): Pcm {
  const random = seeded(2);
  const samples = Int16Array.from({ length: 2 * Math.round(seconds * rate) }, () => 12000 * (random() - random()));
  return { rate, channels: 2, samples };
}

function level(samples: Int16Array): number {
  return 10 * Math.log10(samples.reduce((sum, x) => sum + x * x, 0) / samples.length);
}

function differences(a: Int16Array, b: Int16Array): number {
  return a.reduce((count, x, i) => count + (x === b[i] ? 0 : 1), 0);
}

describe('the sound of a cut song', () => {
  const rate = 44100;
  const whole = noise(8, rate);

  it('is the song up to the cut and from the other side on, to the sample', () => {
    for (const [out, into] of [
      [3, 4.5],
      [4.5, 3],
    ] as const) {
      const { samples } = cutSound(whole, out, into);
      const jump = Math.round((into - out) * rate);
      expect(samples.length).toBe(whole.samples.length - 2 * jump);
      const half = Math.round((FADE * rate) / 2);
      const joint = Math.round(out * rate);
      expect(differences(samples.slice(0, 2 * (joint - half)), whole.samples)).toBe(0);
      expect(differences(samples.slice(2 * (joint + half)), whole.samples.slice(2 * (joint + half + jump)))).toBe(0);
    }
  });

  it('keeps its level through the fade', () => {
    const middles: number[] = [];
    for (let i = 0; i < 40; i++) {
      const { samples } = cutSound(whole, 2 + 0.05 * i, 5 + 0.05 * i);
      const joint = Math.round((2 + 0.05 * i) * rate);
      middles.push(level(samples.slice(2 * (joint - 220), 2 * (joint + 220))));
    }
    const mean = middles.reduce((sum, value) => sum + value, 0) / middles.length;
    expect(Math.abs(mean - level(whole.samples))).toBeLessThan(0.3);
  });

  it('is refused too near the ends', () => {
    expect(() => cutSound(whole, 0.005, 2)).toThrow(RangeError);
    expect(() => cutSound(whole, 2, 7.995)).toThrow(RangeError);
  });

  it('lies in a WAV file as it is', () => {
    const { samples, ...read } = readWav(writeWav(whole));
    expect(read).toEqual({ rate, channels: 2 });
    expect([samples.length, differences(samples, whole.samples)]).toEqual([whole.samples.length, 0]);
    expect(() => readWav(Buffer.from('no sound at all, just words in a file'))).toThrow(TypeError);
  });
});

describe('where songs are cut', () => {
  const truth = song(...Array<number>(60).fill(4));
  const rate = 22050;
  // A sharp attack 4 ms after each beat, hardly any on the beats 3.
  const samples = new Int16Array(Math.round(truth.duration * rate));
  truth.beats.forEach(([time, place]) => {
    const start = Math.round((time + 0.004) * rate);
    for (let i = 0; i < 2000; i++) samples[start + i] = (place === 3 ? 30 : 9000) * Math.cos(i) * Math.exp(-i / 300);
  });
  for (let i = 0; i < samples.length; i++) samples[i] = (samples[i] as number) + 20 * Math.cos(1.7 * i * i);
  const strikes = strikesAt({ rate, channels: 1, samples }, times(truth));

  it('is on attacks, the fade over before what comes in', () => {
    strikes.forEach(({ time }, i) => {
      if (truth.beats[i]?.[1] !== 3) expect(Math.abs(time - (times(truth)[i] as number) - 0.004)).toBeLessThan(0.005);
    });
    for (const cut of chooseCuts(truth, strikes, 1)) {
      const into = times(truth)[cut.action === 'remove' ? cut.first + cut.count : cut.first] as number;
      expect(into + 0.004 - cut.into).toBeGreaterThan(FADE / 2);
      expect(into + 0.004 - cut.into).toBeLessThan(FADE / 2 + 0.008);
      expect([truth.beats[cut.first]?.[1], truth.beats[cut.first + cut.count]?.[1]]).not.toContain(3);
    }
  });

  it('is the same for the same seed, and in all five ways in five parts of the song, whatever the seed', () => {
    expect(chooseCuts(truth, strikes, 7)).toEqual(chooseCuts(truth, strikes, 7));
    expect(chooseCuts(truth, strikes, 7)).not.toEqual(chooseCuts(truth, strikes, 8));
    for (let seed = 0; seed < 50; seed++) {
      const cuts = chooseCuts(truth, strikes, seed);
      expect(new Set(cuts.map(({ action, where }) => `${action} ${where}`)).size).toBe(5);
      // 52 of the 60 bars, numbers 5 to 56, in five parts.
      cuts.forEach(({ bar }, part) => {
        expect(bar - 5).toBeGreaterThanOrEqual(Math.floor((52 * part) / 5));
        expect(bar - 5).toBeLessThan(Math.floor((52 * (part + 1)) / 5));
      });
      for (const cut of cuts) {
        const made = cutTruth(truth, cut);
        expect(made.irregular_bars).toBe(1);
        expect(cut.count).toBeLessThanOrEqual(3);
        expect(made.bars.reduce((sum, [, beats]) => sum + beats, 1)).toBe(made.beats.length);
      }
    }
  });

  it('needs bars to choose from', () => {
    expect(() => chooseCuts(song(4, 4, 4), strikes, 1)).toThrow(/too few/);
  });
});
