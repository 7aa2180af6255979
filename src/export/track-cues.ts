import { barAt, barName, barsOf } from '../model/map-queries.js';
import type { PlayPlan } from '../model/play-plan.js';
import type { SongMap } from '../model/song-map.js';
import { pieceEnd } from '../music/timeline.js';
import type { Cue } from './wav.js';

/** A cue where each section begins, and each bar with `bars` or where there are no sections; in frames at `sampleRate`. */
export function trackCues(map: SongMap, plan: PlayPlan, sampleRate: number, bars = false): readonly Cue[] {
  const sections = map.sections.map(({ start, name }) => ({ start, label: name }));
  const begun = barsOf(map).map(({ start }) => {
    const name = barName(map, barAt(map, start)!);
    const section = sections.find((each) => Math.abs(each.start - start) < 1e-3);
    return { start, label: section ? `${section.label}, ${name}` : name };
  });
  const places = bars || sections.length === 0 ? begun : sections;
  return plan.pieces
    .flatMap((piece) => {
      const inside = places.filter(({ start }) => start >= piece.from - 1e-3 && start < piece.until - 1e-3);
      return inside.map(({ start, label }) => ({ at: piece.at + (start - piece.from) / piece.rate, label }));
    })
    .filter(({ at }) => at < pieceEnd(plan.pieces.at(-1)!))
    .map(({ at, label }) => ({ frame: Math.max(0, Math.round(at * sampleRate)), label }))
    .sort((a, b) => a.frame - b.frame);
}
