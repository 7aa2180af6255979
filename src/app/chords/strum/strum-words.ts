import { msg, str } from '@lit/localize';
import { barsOf, sectionBars, sectionOfBar } from '../../../model/map-queries.js';
import type { Section, SongMap } from '../../../model/song-map.js';
import { beatsOf } from '../../../music/meter.js';
import { countedAs } from '../../../music/strum-patterns.js';
import { strumBeats, type Stroke, type Strum } from '../../../music/strum.js';
import type { Seconds } from '../../../music/units.js';
import { numberText } from '../../../music/number-text.js';
import { barNear } from '../../map/places.js';

/** The section whose strum is meant, and what its bars are like. */
export interface StrumTarget {
  readonly section: Section;
  /** Sections of its letter: all of them are strummed alike. */
  readonly passes: number;
  /** Beats that most bars of these sections have. */
  readonly beats: number;
  /** A beat divides into three. */
  readonly compound: boolean;
  /** Beats of all their whole bars. */
  readonly lengths: readonly number[];
}

/** The section at `time` as the strum editor needs it; undefined in a map without sections. */
export function strumTargetOf(map: SongMap, time: Seconds): StrumTarget | undefined {
  const bar = barNear(map, time);
  const section = map.sections[(bar === undefined ? undefined : sectionOfBar(map, bar)) ?? 0];
  if (!section) return undefined;
  const all = barsOf(map);
  const bars = map.sections.flatMap(({ letter }, i) => {
    const range = letter === section.letter ? sectionBars(map, i) : undefined;
    return range ? all.slice(range.first, range.last + 1).filter(({ pickup }) => !pickup) : [];
  });
  const lengths = bars.map(({ meter }) => beatsOf(meter));
  const beats = mostCommon(lengths) ?? beatsOf(map.prevailing);
  const usual = bars.find(({ meter }) => beatsOf(meter) === beats)?.meter ?? map.prevailing;
  return {
    section,
    passes: map.sections.filter(({ letter }) => letter === section.letter).length,
    beats,
    compound: usual.beatUnits === 3,
    lengths,
  };
}

function mostCommon(values: readonly number[]): number | undefined {
  const counts = new Map<number, number>();
  for (const value of values) counts.set(value, (counts.get(value) ?? 0) + 1);
  return [...counts].sort((a, b) => b[1] - a[1])[0]?.[0];
}

/** "B Verse"; the letter alone where that is the name. */
export function sectionText({ letter, name }: Section): string {
  return name === letter ? letter : `${letter} ${name}`;
}

const STROKE_NAMES: Readonly<Record<Stroke, string>> = {
  '-': msg('none'),
  d: msg('down'),
  u: msg('up'),
  D: msg('down, accented'),
  U: msg('up, accented'),
  x: msg('muted'),
};

/** What a cell of the grid is: "beat 2: down", "beat 2 &: up". */
export function cellWords({ parts, strokes }: Strum, place: number): string {
  const beat = Math.floor(place / parts) + 1;
  const stroke = STROKE_NAMES[strokes[place] as Stroke];
  return place % parts === 0
    ? msg(str`beat ${beat}: ${stroke}`)
    : msg(str`beat ${beat} ${countedAs(parts, place)}: ${stroke}`);
}

/** How a pattern fits the bars of its section; undefined where there is nothing to say. */
export function fitWords(strum: Strum, { beats, lengths }: StrumTarget): string | undefined {
  const length = strumBeats(strum);
  const fits = (bar: number) => bar >= length - 1e-6 && Math.abs(bar / length - Math.round(bar / length)) < 1e-6;
  const odd = lengths.filter((bar) => !fits(bar)).length;
  const plain = msg('a down stroke on each beat');
  if (!fits(beats))
    return msg(
      str`The pattern lasts ${beatsText(length)}, the bars ${beatsText(beats)}: they are played with ${plain}.`,
    );
  const times = Math.round(beats / length);
  const often =
    times < 2
      ? ''
      : times === 2
        ? msg('It is played twice in a bar.')
        : msg(str`It is played ${times} times in a bar.`);
  const rest =
    odd === 0
      ? ''
      : odd === 1
        ? msg(str`One bar of another length has ${plain}.`)
        : msg(str`${odd} bars of another length have ${plain}.`);
  return `${often} ${rest}`.trim() || undefined;
}

function beatsText(beats: number): string {
  return beats === 1 ? msg('1 beat') : msg(str`${numberText(beats, 2)} beats`);
}
