import type { ClaimedBeat, KnownSong } from './judge.js';

interface Observation {
  readonly time: number;
  readonly duration: number;
  readonly value: unknown;
}

interface BeatValue {
  readonly position: number;
  readonly measure: number;
  readonly num_beats: number;
}

/** The observations of a JAMS file's first annotation in a namespace, ascending; throws an Error when there is none. */
function observations(text: string, namespace: string): readonly Observation[] {
  const { annotations } = JSON.parse(text) as { annotations: { namespace: string; data: Observation[] }[] };
  const found = annotations.find((one) => one.namespace === namespace);
  if (!found) throw new Error(`the JAMS file holds no ${namespace}`);
  return [...found.data].sort((a, b) => a.time - b.time);
}

/** The beats of a JAMS file (namespace beat_position). */
export function jamsBeats(text: string): ClaimedBeat[] {
  return observations(text, 'beat_position').map(({ time, value }) => {
    const { position, num_beats } = value as BeatValue;
    return { time, position, barBeats: num_beats };
  });
}

/** The tempo a JAMS file states for the longest stretch, in beats a minute. */
export function jamsTempo(text: string): number {
  return observations(text, 'tempo').reduce((a, b) => (b.duration > a.duration ? b : a)).value as number;
}

/** A truth written as JAMS: bars as its measures count them, a pickup (measure 0) being none. */
export function jamsTruth(text: string): KnownSong {
  const beats = observations(text, 'beat_position').map(({ time, duration, value }) => ({
    time,
    duration,
    ...(value as BeatValue),
  }));
  const bars = new Map<number, [number, number]>();
  for (const { time, measure } of beats) {
    if (measure === 0) continue;
    const bar = bars.get(measure);
    if (bar) bar[1] += 1;
    else bars.set(measure, [time, 1]);
  }
  const [first, last] = [beats[0], beats[beats.length - 1]];
  if (!first || !last) throw new Error('the JAMS file holds no beats');
  return {
    beats: beats.map(({ time, position }) => [time, position]),
    bars: [...bars.values()],
    judged: [first.time - first.duration / 2, last.time + last.duration / 2],
  };
}
