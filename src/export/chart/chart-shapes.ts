import { formatHarte, parseHarte } from '../../music/chord.js';
import { leadSheetText } from '../../music/lead-sheet.js';
import type { Shape } from '../../music/shapes.js';
import { transposeChord } from '../../music/transpose.js';
import { hasBass, type Tuning } from '../../music/tuning.js';
import { shownChord, shownShift } from '../../model/shown-chords.js';
import type { SongMap } from '../../model/song-map.js';
import { songShape } from '../../model/song-shapes.js';

/** A chord as it is fingered. */
export interface ChartShape {
  /** As the chart writes it. */
  readonly name: string;
  readonly shape: Shape;
}

/**
 * How a chord that sounds is fingered behind the song's capo: the shape chosen, else the easiest; undefined where there is none
 * to show.
 */
export function chordShape(map: SongMap, harte: string, tuning: Tuning): ChartShape | undefined {
  const { fingered = {}, key } = map;
  const held = transposeChord(harte, shownShift({ ...fingered, sounding: undefined }), key);
  const chosen = songShape(map, held, tuning);
  // Four strings have no bass of their own: the chord is fingered as it is over any.
  const plain = hasBass(tuning) || chosen.chosen ? undefined : withoutBass(held);
  const shape = (plain === undefined ? chosen : songShape(map, plain, tuning)).shape;
  if (!shape) return undefined;
  const shown = shownChord(map, harte);
  return { name: leadSheetText(plain === undefined ? shown : (withoutBass(shown) ?? shown)), shape };
}

function withoutBass(harte: string): string | undefined {
  const chord = parseHarte(harte);
  if (chord?.kind !== 'chord' || chord.bass === undefined) return undefined;
  const { bass: _, ...upper } = chord;
  return formatHarte(upper);
}
