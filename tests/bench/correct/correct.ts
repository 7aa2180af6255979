import { existsSync, readFileSync, readdirSync } from 'node:fs';
import { basename, join } from 'node:path';
import { parseArgs } from 'node:util';
import { inOrder } from '../../../src/cli/in-order.js';
import type { Bar, SongMap } from '../../../src/model/song-map.js';
import type { KnownSong } from '../measures/judge.js';
import { percentile, tableText } from '../statistics.js';
import { SolverProcess } from './solver-process.js';
import { correctionAt, editNaively, judgedBars, seenBars, wrongBars, type SeenBeat } from './user.js';

/** Locks after which a song counts as failed. */
const MOST = 40;
const MOST_NAIVE = 1000;

/** Where a lock was needed; a wrong level is one place, wherever it is put right. */
interface Place {
  readonly time: number;
  readonly ofLevel: boolean;
}

interface Result {
  readonly id: string;
  readonly locks: number;
  readonly right: boolean;
  readonly heard: number;
  readonly naive: number;
  /** For each place the rank of the first doubt within one bar of it, from 1; Infinity without. */
  readonly ranks: readonly number[];
  readonly listed: number;
  /** Confidence of each judged bar of the first map, and whether it was right. */
  readonly claims: readonly (readonly [confidence: number, right: boolean])[];
}

/** `correct --work DIR --truth DIR [--by doubts] [--jobs N] [--only ID]…`: what it costs a simulated user to put maps right. */
export async function correctBench(words: readonly string[], place: (path: string) => string): Promise<string> {
  const { values } = parseArgs({
    args: [...words],
    options: {
      work: { type: 'string' },
      truth: { type: 'string' },
      by: { type: 'string', default: 'bars' },
      jobs: { type: 'string', default: '1' },
      only: { type: 'string', multiple: true, default: [] },
    },
  });
  if (!values.work || !values.truth) throw new TypeError('correct needs --work DIR (with audio/) and --truth DIR');
  if (values.by !== 'bars' && values.by !== 'doubts') throw new TypeError('--by takes bars or doubts');
  const [audio, truth, byDoubts] = [join(place(values.work), 'audio'), place(values.truth), values.by === 'doubts'];
  const songs = readdirSync(audio)
    .filter((name) => name.endsWith('.wav'))
    .map((name) => basename(name, '.wav'))
    .filter((id) => existsSync(join(truth, `${id}.json`)) && (values.only.length === 0 || values.only.includes(id)))
    .map((id) => ({ id, known: JSON.parse(readFileSync(join(truth, `${id}.json`), 'utf8')) as KnownSong }))
    .filter(({ known }) => known.bars);
  if (songs.length === 0) throw new TypeError(`no recording in ${audio} has bars in ${truth}`);
  const results: Result[] = [];
  await inOrder(
    songs,
    Math.max(1, Number(values.jobs) || 1),
    ({ id, known }) => play(id, join(audio, `${id}.wav`), known, byDoubts),
    (result) => {
      results.push(result);
      process.stderr.write(`  ${result.id}: ${result.locks} locks${result.right ? '' : ', not right'}\n`);
    },
  );
  return report(results);
}

async function play(id: string, audio: string, known: KnownSong, byDoubts: boolean): Promise<Result> {
  const solver = new SolverProcess();
  try {
    let { map } = await solver.ask({ audio });
    if (!map) throw new Error(`${id}: no map`);
    const first = map;
    const places: Place[] = [];
    let [locks, heard, at] = [0, 0, 0];
    for (;;) {
      const seen = seenBeats(map);
      const wrong = wrongBars(known, seen);
      if (wrong.length === 0 || locks >= MOST) break;
      const bar = (byDoubts ? doubted(map, known, wrong) : undefined) ?? (wrong[0] as number);
      heard += byDoubts ? 1 : Math.max(1, bar - at + 1);
      at = bar;
      const correction = correctionAt(known, seen, bar);
      const ofLevel = correction.kind === 'half' || correction.kind === 'double';
      places.push({ time: judgedBars(known, seen)[bar]?.start as number, ofLevel });
      const answer = await solver.ask({ correct: correction });
      locks += answer.lifted ? 2 : 1;
      // The same map gets the same correction, so nothing more would come.
      if (!answer.map) locks = MOST;
      else map = answer.map;
    }
    if (locks < MOST && !byDoubts) heard += Math.max(0, judgedBars(known, seenBeats(map)).length - at - 1);
    const right = wrongBars(known, seenBeats(map)).length === 0;
    return {
      id,
      locks: right ? locks : MOST,
      right,
      heard,
      naive: naively(known, first),
      ...listed(first, known, places),
    };
  } finally {
    solver.close();
  }
}

function seenBeats(map: SongMap): SeenBeat[] {
  const bars = map.spans.filter((span): span is Bar => span.kind === 'bar');
  return bars.flatMap((bar) => bar.beats.map((time, i) => ({ time, starts: i === 0 && !bar.pickup })));
}

/** The wrong bar that the first wrong doubt is at. */
function doubted(map: SongMap, known: KnownSong, wrong: readonly number[]): number | undefined {
  const bars = judgedBars(known, seenBeats(map));
  for (const { time } of map.doubts) {
    const bar = wrong.find(
      (i) => time >= (bars[i]?.start ?? 0) - 0.07 && time < (bars[i + 1]?.start ?? Infinity) - 0.07,
    );
    if (bar !== undefined) return bar;
  }
  return undefined;
}

function naively(known: KnownSong, map: SongMap): number {
  let seen: readonly SeenBeat[] = seenBeats(map);
  for (let edits = 0; edits < MOST_NAIVE; edits++) {
    const [wrong] = wrongBars(known, seen);
    if (wrong === undefined) return edits;
    seen = editNaively(seen, correctionAt(known, seen, wrong));
  }
  return MOST_NAIVE;
}

function listed(map: SongMap, known: KnownSong, places: readonly Place[]): Pick<Result, 'ranks' | 'listed' | 'claims'> {
  const seen = seenBeats(map);
  const lines = seenBars(seen).map(({ start }) => start);
  const barOf = (time: number): number => lines.filter((start) => start <= time + 0.07).length;
  const ranks = places.map((place) => {
    const rank = map.doubts.findIndex(
      ({ time, kind }) =>
        (kind === 'level') === place.ofLevel && (place.ofLevel || Math.abs(barOf(time) - barOf(place.time)) <= 1),
    );
    return rank < 0 ? Infinity : rank + 1;
  });
  const truth = judgedBars(known, seen);
  const [from, to] = [(truth[0]?.start ?? 0) - 0.07, (truth.at(-1)?.start ?? 0) + 0.07];
  const bars = map.spans.filter((span): span is Bar => span.kind === 'bar' && !span.pickup);
  const claims = bars
    .filter(({ start }) => start >= from && start <= to)
    .map(({ start, beats, confidence }) => {
      const right = truth.some((bar) => Math.abs(bar.start - start) <= 0.07 && bar.beats === beats.length);
      return [confidence, right] as const;
    });
  return { ranks, listed: Math.max(5, Math.ceil(bars.length / 10)), claims };
}

function report(results: readonly Result[]): string {
  const sets = [...new Set(results.map(({ id }) => id[0] as string))];
  const songs = results.map((r) => [r.id, String(r.locks), r.right ? '' : 'FAILED', String(r.heard), String(r.naive)]);
  const rows = [...sets, ''].map((set) => {
    const own = results.filter(({ id }) => id.startsWith(set));
    const both = (values: readonly number[]): string => `${percentile(values, 0.5)} / ${percentile(values, 0.9)}`;
    const failed = own.filter(({ right }) => !right).length;
    return [
      set ? `set ${set}: median / 90 %` : 'all: median / 90 %',
      both(own.map((r) => r.locks)),
      failed > 0 ? `${failed} of ${own.length}` : '',
      both(own.map((r) => r.heard)),
      both(own.map((r) => r.naive)),
    ];
  });
  const all = results.flatMap((r) => r.ranks.map((rank) => ({ rank, near: rank <= r.listed })));
  const share = (n: number): string => (n / Math.max(1, all.length)).toFixed(2);
  const curve = [1, 2, 3, 5, 8, 12, 20].map((k) => `${k}: ${share(all.filter(({ rank }) => rank <= k).length)}`);
  return [
    tableText([['song', 'locks', '', 'bars heard', 'edits without solving'], ...songs, ...rows]),
    `places: ${all.length}; within one bar of the first max(5, bars/10) doubts: ${share(all.filter((p) => p.near).length)}`,
    `places found by doubts heard: ${curve.join(', ')}`,
    calibration(results.flatMap((r) => r.claims)),
  ].join('\n');
}

/** Expected calibration error over ten bins of equal width (Guo et al. 2017), with the reliability table. */
function calibration(claims: Result['claims']): string {
  let error = 0;
  const lines = Array.from({ length: 10 }, (_, bin) => {
    const own = claims.filter(([confidence]) => Math.min(9, Math.floor(10 * confidence)) === bin);
    const claimed = own.reduce((sum, [confidence]) => sum + confidence, 0) / own.length;
    const right = own.filter(([, is]) => is).length / own.length;
    if (own.length > 0) error += (own.length / claims.length) * Math.abs(claimed - right);
    const shown = own.length > 0 ? [claimed.toFixed(2), right.toFixed(2)] : ['-', '-'];
    return [`${(bin / 10).toFixed(1)} to ${((bin + 1) / 10).toFixed(1)}`, String(own.length), ...shown];
  });
  return `${tableText([['confidence', 'bars', 'mean', 'right'], ...lines])}expected calibration error: ${error.toFixed(3)}\n`;
}
