import type { Dice } from './dice.js';
import { CHANNELS, type BandNote } from './parts.js';

/** General MIDI percussion keys. */
const [KICK, SNARE, HAT, OPEN, CRASH, RIDE, TOM, STICK] = [36, 38, 42, 46, 49, 51, 47, 37] as const;

/** What is struck on each part of each beat of the usual bar. */
export type Groove = readonly (readonly number[])[];

/** A groove for bars of so many beats, each in `parts`. */
export function groove(d: Dice, beats: number, parts: number): Groove {
  const cymbal = d.pick([HAT, HAT, HAT, RIDE]);
  const dense = d.chance(0.7);
  const back = d.pick([SNARE, SNARE, SNARE, STICK]);
  const half = d.chance(0.2) && beats === 4;
  const slots: number[][] = Array.from({ length: beats * parts }, () => []);
  slots.forEach((slot, i) => {
    if (i % parts === 0 || dense) slot.push(cymbal);
    const beat = i / parts;
    if (beat === 0) slot.push(KICK);
    else if (half ? beat === 2 : beats % 2 === 0 ? beat % 2 === 1 : beat === beats - 1 || (beat === 1 && d.chance(0.5)))
      slot.push(back);
    else if (d.chance(i % parts === 0 ? 0.5 : 0.25)) slot.push(KICK);
  });
  return slots;
}

/** A bar of drums; a bar of another length plays the groove's first or repeated beats. */
export function playDrums(
  d: Dice,
  pattern: Groove,
  parts: number,
  barBeat: number,
  beats: number,
  how: { readonly crash: boolean; readonly fill: boolean; readonly level: number },
): BandNote[] {
  const out: BandNote[] = [];
  const add = (beat: number, pitch: number, velocity: number): void => {
    out.push({ channel: CHANNELS.drums, beat, length: 0.2, pitch, velocity: (velocity + d.gauss(5)) * how.level });
  };
  const from = how.fill ? Math.max(1, beats - d.pick([1, 1, 2])) * parts : beats * parts;
  for (let i = 0; i < beats * parts; i++) {
    if (i >= from) {
      add(barBeat + i / parts, d.pick([SNARE, TOM, TOM, 45]), 88);
      continue;
    }
    for (const key of pattern[i % pattern.length] ?? [])
      add(barBeat + i / parts, key, key === KICK || key === SNARE ? 98 : key === OPEN ? 80 : i % parts === 0 ? 74 : 60);
  }
  if (how.crash) add(barBeat, CRASH, 96);
  return out;
}
