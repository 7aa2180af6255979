import { meterText } from '../../music/meter.js';
import type { Cents } from '../../music/units.js';
import { keyText } from '../../music/key.js';
import type { SongMap } from '../../model/song-map.js';
import { barList } from '../bar-list.js';

/** Beats over which a tempo is taken: about two bars, so that one hurried beat is no other tempo. */
const STRETCH = 8;

/** What is known of a song, each as a musician says it: "92–97 bpm", "4/4", "D major", "+28 cents". */
export function songFacts(map: SongMap): readonly string[] {
  const facts = [tempoText(map), meterText(map.prevailing)];
  if (map.key) facts.push(keyText(map.key));
  facts.push(tuningText(map.tuning));
  return facts.filter((fact) => fact !== '');
}

/** "94 bpm" for a steady song, "92–97 bpm" otherwise: 5th and 95th percentile over stretches of eight beats. */
export function tempoText(map: SongMap): string {
  const tempi = stretchTempi(map).sort((a, b) => a - b);
  if (tempi.length === 0) return '';
  const at = (share: number): number => Math.round(tempi[Math.round(share * (tempi.length - 1))] ?? 0);
  const [low, high] = [at(0.05), at(0.95)];
  return low === high ? `${low} bpm` : `${low}–${high} bpm`;
}

function stretchTempi(map: SongMap): number[] {
  const tempi: number[] = [];
  let run: number[] = [];
  const close = (): void => {
    const span = Math.min(STRETCH, run.length - 1);
    for (let i = 0; span > 0 && i + span < run.length; i += 1) {
      tempi.push((60 * span) / ((run[i + span] ?? 0) - (run[i] ?? 0)));
    }
    run = [];
  };
  let end: number | undefined;
  for (const item of barList(map)) {
    // A bar whose last beat is cut short does not end on a beat of the same length.
    const whole = item.bar.meter.count % item.bar.meter.beatUnits === 0;
    if (end !== undefined && Math.abs(end - item.start) > 1e-6) close();
    run.push(...item.bar.beats);
    end = item.end;
    if (!whole) close();
  }
  if (end !== undefined) run.push(end);
  close();
  return tempi;
}

/** "+28 cents", "−12 cents"; nothing within 3 cents of A 440, which nobody hears beside another instrument. */
export function tuningText(tuning: Cents): string {
  const cents = Math.round(tuning);
  if (Math.abs(cents) < 3) return '';
  return `${cents > 0 ? '+' : '−'}${Math.abs(cents)} cents`;
}
