import { msg, str } from '@lit/localize';
import { clockText } from '../../music/clock-text.js';
import { fold } from '../../model/fold/fold.js';
import { formSentence } from '../../model/form-words.js';
import { formOf } from '../../model/form.js';
import { isIrregular, sectionBars } from '../../model/map-queries.js';
import type { SongMap } from '../../model/song-map.js';
import { numberText } from '../../music/number-text.js';
import type { Seconds } from '../../music/units.js';
import { counted } from '../kit/sentences.js';
import { beatsText } from '../map/map-view/bar-scale.js';

/** One line of the form: a section, or what lies between sections. */
export interface FormRow {
  readonly kind: 'section' | 'gap';
  readonly letter: string;
  readonly name: string;
  readonly bars: string;
  /** How many of its bars have another length: "1 irregular". */
  readonly odd: string;
  readonly beats: string;
  /** "0:12–0:30". */
  readonly span: string;
  readonly swing: string;
  readonly from: Seconds;
  readonly to: Seconds;
  /** Place among the map's sections. */
  readonly section?: number;
}

export interface FormTable {
  readonly rows: readonly FormRow[];
  readonly totals: { readonly bars: string; readonly beats: string; readonly span: string };
  readonly sentence: string;
  /** "46 bars written, 79 played"; that nothing is saved says so. Empty without bars. */
  readonly folded: string;
}

const GAPS = {
  'lead-in': msg('before the first bar'),
  free: msg('free time'),
  tail: msg('after the last bar'),
  outside: msg('left out of the map'),
} as const;

const known = new WeakMap<SongMap, FormTable>();

/** The form of a map as a table; worked out once a map. */
export function formTable(map: SongMap): FormTable {
  const before = known.get(map);
  if (before) return before;
  const { parts, totals } = formOf(map);
  const table: FormTable = {
    // What is over within the same second is no line of its own.
    rows: parts
      .filter((part) => part.kind === 'section' || clockText(part.from) !== clockText(part.to))
      .map((part): FormRow => {
        const shared = { span: `${clockText(part.from)}–${clockText(part.to)}`, from: part.from, to: part.to };
        if (part.kind !== 'section') {
          const name = GAPS[part.kind];
          return { ...shared, kind: 'gap', letter: '', name, bars: '', odd: '', beats: '', swing: '' };
        }
        const swing = map.sections[part.section]?.swing;
        return {
          ...shared,
          kind: 'section',
          letter: part.letter,
          name: part.name,
          bars: String(part.bars),
          odd: oddText(map, part.section),
          beats: beatsText(part.beats),
          swing: swing === undefined ? '' : swing === 1 ? msg('straight') : `${numberText(swing, 2)} : 1`,
          section: part.section,
        };
      }),
    totals: {
      bars: String(totals.bars),
      beats: beatsText(totals.beats),
      span: clockText(totals.seconds),
    },
    sentence: formSentence(map),
    folded: foldedText(map),
  };
  known.set(map, table);
  return table;
}

function oddText(map: SongMap, section: number): string {
  const range = sectionBars(map, section);
  if (!range) return '';
  let odd = 0;
  for (let bar = range.first; bar <= range.last; bar++) if (isIrregular(map, bar)) odd++;
  return odd > 0 ? msg(str`${odd} irregular`) : '';
}

/** How long the chart is with repeats written as such. */
export function foldedText(map: SongMap): string {
  const { written, played } = fold(map);
  if (played === 0) return '';
  return written === played
    ? msg(
        str`${played} bars written, ${played} played: nothing comes again unchanged for long enough to be written as a repeat.`,
      )
    : msg(str`${counted(written, msg('bar'), msg('bars'))} written with repeats, ${played} played.`);
}
