import { barAt, barName, barsOf } from '../model/map-queries.js';
import type { PlayPlan } from '../model/play-plan.js';
import type { SongMap } from '../model/song-map.js';
import { pieceEnd } from '../music/timeline.js';
import type { Cue } from './wav.js';

/** A cue where each section begins, or the bars where there are no sections; in frames at `sampleRate`. */
export function trackCues(map: SongMap, plan: PlayPlan, sampleRate: number): readonly Cue[] {
  const places =
    map.sections.length > 0
      ? map.sections.map(({ start, name }) => ({ start, label: name }))
      : barsOf(map).map((bar) => ({ start: bar.start, label: barName(map, barAt(map, bar.start)!) }));
  return plan.pieces
    .flatMap((piece) => {
      const inside = places.filter(({ start }) => start >= piece.from - 1e-3 && start < piece.until - 1e-3);
      return inside.map(({ start, label }) => ({ at: piece.at + (start - piece.from) / piece.rate, label }));
    })
    .filter(({ at }) => at < pieceEnd(plan.pieces.at(-1)!))
    .map(({ at, label }) => ({ frame: Math.max(0, Math.round(at * sampleRate)), label }))
    .sort((a, b) => a.frame - b.frame);
}
