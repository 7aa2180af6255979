import { sameStretch, sectionStretch, stretchBars } from '../../model/play-order.js';
import type { PlayStretch } from '../../model/play-plan.js';
import type { SongMap } from '../../model/song-map.js';
import { tempoSummary } from '../../model/tempo.js';
import type { Cents } from '../../music/units.js';
import { FASTEST, SLOWEST, type Loop } from '../../state/practice.js';
import { barsText } from '../../state/sentences.js';

/** "about 71 bpm; the recording has 94". */
export function speedText(map: SongMap, speed: number): string {
  const tempo = tempoSummary(map)?.median;
  if (!tempo) return '';
  const own = Math.round(tempo);
  return speed === 1
    ? `about ${own} bpm, as recorded`
    : `about ${Math.round(tempo * speed)} bpm; the recording has ${own}`;
}

/** Place of the section that a stretch is; undefined when it is none. */
export function sectionPlace(map: SongMap, stretch: PlayStretch): number | undefined {
  const place = map.sections.findIndex((_, i) => sameStretch(sectionStretch(map, i), stretch));
  return place < 0 ? undefined : place;
}

/** "bars 9 to 16", "bar 5", "bars 9 to 16 and 33 to 40". */
export function loopText(map: SongMap, loop: Loop): string {
  const first = stretchText(map, loop);
  return loop.other ? `${first} and ${stretchText(map, loop.other).replace(/^bars? /, '')}` : first;
}

function stretchText(map: SongMap, stretch: PlayStretch): string {
  const bars = stretchBars(map, stretch);
  return bars ? barsText(map, bars.first, bars.last) : 'a stretch without bars';
}

/** What a player whose instrument stands at A440 has to know; `tuning` is how far the recording lies above it. */
export function retuneText(tuning: Cents): string {
  const cents = Math.round(Math.abs(tuning));
  const way = tuning > 0 ? 'sharp' : 'flat';
  return `The recording is ${cents} ${cents === 1 ? 'cent' : 'cents'} ${way} of A440: tune ${tuning > 0 ? 'up' : 'down'} by as much, or bring it to pitch.`;
}

/** The speeds in a text like "70, 85 100 %": those within bounds, each once, at most eight. */
export function readSpeeds(text: string): readonly number[] {
  const speeds = text.split(/[\s,;%]+/).map((word) => Number(word) / 100);
  return [...new Set(speeds.filter((speed) => speed >= SLOWEST && speed <= FASTEST))].slice(0, 8);
}
