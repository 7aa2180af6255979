import { msg, str } from '@lit/localize';
import type { Meter } from '../../music/meter.js';
import type { Seconds } from '../../music/units.js';

/** What was worked out elsewhere, in seconds of the recording. */
export interface Imported {
  /** What it was read from: "JAMS", "MIDI file", "list of beats". */
  readonly from: string;
  /** Beats in runs without a gap, ascending, and those of them that begin a bar; empty where only bar lines are known. */
  readonly runs: readonly { readonly beats: readonly Seconds[]; readonly downbeats: readonly Seconds[] }[];
  /** Bar lines where no beats are known: the starts of bars, perhaps the end of the last. */
  readonly barLines: readonly Seconds[];
  /** The commonest bar, where it is known. */
  readonly usual?: Meter;
  /** Bars that end amid a beat: where they start. */
  readonly meters: readonly { readonly time: Seconds; readonly meter: Meter }[];
  /** Stretches said to have no steady beat. */
  readonly free: readonly { readonly from: Seconds; readonly to: Seconds }[];
  readonly chords: readonly { readonly time: Seconds; readonly harte: string }[];
  readonly sections: readonly { readonly time: Seconds; readonly name: string }[];
  /** What the file has and is not taken, in a sentence. */
  readonly left?: string;
}

export const NOTHING: Omit<Imported, 'from'> = {
  runs: [],
  barLines: [],
  meters: [],
  free: [],
  chords: [],
  sections: [],
};

/** A file or text of times that cannot be used; the message says what was found and what to do. */
export class ImportProblem extends Error {
  constructor(message: string) {
    super(message);
    this.name = 'ImportProblem';
  }
}

/** How a plain list of times is meant; `guess` takes times further apart than a slow beat for bar lines. */
export type ListMeaning = 'guess' | 'beats' | 'bars';

/** Beats closer together than this cannot be told apart. */
export const LEAST_APART: Seconds = 0.06;
/** Most times that are read. */
export const MOST_TIMES = 20_000;

/** Runs of beats, cut where a beat is more than two and a half times the usual away. */
export function runsOf(beats: readonly Seconds[], downbeats: readonly Seconds[]): Imported['runs'] {
  const gaps = beats.slice(1).map((beat, i) => beat - (beats[i] as number));
  const usual = [...gaps].sort((a, b) => a - b)[Math.floor(gaps.length / 2)] ?? 0;
  const runs: Seconds[][] = [];
  beats.forEach((beat, i) => {
    if (i === 0 || (gaps[i - 1] as number) > 2.5 * usual) runs.push([]);
    runs.at(-1)?.push(beat);
  });
  const lines = new Set(downbeats);
  return runs.map((run) => ({ beats: run, downbeats: run.filter((beat) => lines.has(beat)) }));
}

/** Throws unless the times ascend, far enough apart. `place` names an entry: "line 7". */
export function checkAscending(times: readonly Seconds[], place: (index: number) => string): void {
  const back = times.findIndex((time, i) => i > 0 && time - (times[i - 1] as number) < LEAST_APART);
  if (back < 0) return;
  const [before, time] = [times[back - 1] as number, times[back] as number];
  const what = time < before ? msg('which is earlier') : msg('which is closer than beats can be');
  throw new ImportProblem(
    msg(
      str`${place(back)}: ${shown(time)} comes after ${shown(before)}, ${what}. Write times in seconds that rise, each once.`,
    ),
  );
}

export function shown(time: Seconds): string {
  return String(Math.round(time * 1000) / 1000);
}

/** The commonest of the bars' meters; undefined without any. */
export function usualOf(meters: readonly Meter[]): Meter | undefined {
  const counts = new Map<string, { meter: Meter; count: number }>();
  for (const meter of meters) {
    const key = `${meter.count}/${meter.unit} ${meter.beatUnits}`;
    counts.set(key, { meter, count: (counts.get(key)?.count ?? 0) + 1 });
  }
  return [...counts.values()].sort((a, b) => b.count - a.count)[0]?.meter;
}
