import { formatHarte, parseHarte } from '../../music/chord.js';
import type { KeyLike } from '../../music/key.js';
import { leadSheetText } from '../../music/lead-sheet.js';
import { shapesOf, type Shape } from '../../music/shapes.js';
import { transposeChord } from '../../music/transpose.js';
import { tuningOf } from '../../music/tuning.js';
import type { ChartOptions } from '../../model/chart-options.js';

/** A chord as it is fingered. */
export interface ChartShape {
  /** As the chart writes it. */
  readonly name: string;
  readonly shape: Shape;
}

const known = new Map<string, Shape | undefined>();

/** The easiest shape of a chord on the chart's instrument, behind its capo; undefined where there is none to show. */
export function chordShape(harte: string, options: ChartOptions, key?: KeyLike): ChartShape | undefined {
  const { transpose, capo, names, instrument } = options;
  const tuning = tuningOf(instrument);
  const heard = tuning.bassMatters ? harte : withoutBass(harte);
  const fingered = transposeChord(heard, transpose - capo, key);
  const place = `${instrument}|${fingered}`;
  if (!known.has(place)) {
    const chord = parseHarte(fingered);
    if (known.size > 2000) known.clear();
    known.set(place, chord && shapesOf(chord, tuning, 1)[0]);
  }
  const shape = known.get(place);
  if (!shape) return undefined;
  return { name: leadSheetText(names === 'shapes' ? fingered : transposeChord(heard, transpose, key)), shape };
}

/** Four strings have no bass of their own: the chord is fingered as it is over any. */
function withoutBass(harte: string): string {
  const chord = parseHarte(harte);
  if (chord?.kind !== 'chord' || chord.bass === undefined) return harte;
  const { bass: _, ...upper } = chord;
  return formatHarte(upper);
}
