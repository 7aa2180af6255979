import type { KeyLike } from '../../../src/music/key.js';
import type { Dice } from './dice.js';
import { progression, type Colour, type PlacedTone, type ToneChord } from './harmony.js';

/** A bar of the plan. */
export interface PlannedBar {
  readonly beats: number;
  readonly chords: readonly PlacedTone[];
}

/** What all passes of a section share. */
export interface Material {
  readonly label: string;
  readonly bars: readonly PlannedBar[];
}

/** One pass. */
export interface PlannedSection {
  readonly material: number;
  readonly label: string;
  readonly bars: readonly PlannedBar[];
  /** Semitones above the song's key. */
  readonly shift: number;
}

export const PLANTS = ['length', 'chord', 'bar', 'key'] as const;
export type PlantKind = (typeof PLANTS)[number];

/** The one way in which one pass differs from the others of its section. */
export interface Planted {
  readonly kind: PlantKind;
  /** The pass that differs and the first of the same section, by place among the sections. */
  readonly section: number;
  readonly against: number;
  /** Bar in the pass, from 0, where the difference begins; of a dropped bar: where it would stand. */
  readonly bar: number;
  /** Beats more or less, bars more (1) or less (-1), semitones; 0 for a chord. */
  readonly by: number;
}

export interface Form {
  readonly materials: readonly Material[];
  readonly sections: readonly PlannedSection[];
  readonly planted?: Planted;
}

/** Forms as section labels in order; common practice, no source. */
const FORMS: readonly (readonly [string, number])[] = [
  ['intro verse chorus verse chorus bridge chorus outro', 3],
  ['intro verse prechorus chorus verse prechorus chorus solo chorus', 2],
  ['intro verse verse chorus verse chorus chorus outro', 2],
  ['verse verse bridge verse verse bridge verse', 2],
  ['intro verse verse bridge verse bridge verse outro', 1],
  ['verse refrain verse refrain verse refrain', 2],
  ['chorus verse chorus verse chorus', 1],
  ['intro chorus chorus chorus chorus outro', 1],
  ['verse verse refrain refrain verse verse refrain refrain', 1],
  ['intro theme verse theme verse bridge theme outro', 1],
  ['intro verse chorus interlude verse chorus interlude chorus', 2],
  ['verse chorus verse chorus bridge verse chorus', 1],
  ['intro theme theme bridge theme solo theme', 1],
  ['verse interlude verse bridge interlude verse', 1],
  ['intro verse prechorus chorus interlude verse prechorus chorus bridge chorus chorus', 1],
];
const SIZES: Readonly<Record<string, readonly number[]>> = {
  intro: [2, 4, 4, 8],
  outro: [2, 4, 4, 6],
  interlude: [2, 4, 4, 6],
  prechorus: [4, 4, 6],
};
const USUAL = [8, 8, 8, 8, 8, 12, 16, 7, 9, 10, 6];

/**
 * A form: materials, their passes in order, at most about `maxBars` bars. With `plant` one pass of a section that returns
 * differs from the others in that one way.
 */
export function planForm(
  d: Dice,
  mode: KeyLike['mode'],
  perBar: number,
  colour: Colour,
  maxBars: number,
  plant?: PlantKind,
): Form {
  const labels = d.weighted(FORMS).split(' ');
  const names = [...new Set(labels)];
  const odd = plant ? 0 : 0.12;
  const materials = names.map((label): Material => {
    const count = d.pick(SIZES[label] ?? USUAL);
    const beats = Array.from({ length: count }, () => perBar);
    if (d.chance(odd)) beats[d.chance(0.6) ? count - 1 : d.int(0, count - 1)] = oddLength(d, perBar);
    return { label, bars: barsOf(beats, progression(d, mode, beats, colour)) };
  });
  // A solo is the verse again; an introduction often is the first bars of what follows.
  const solo = names.indexOf('solo');
  const verse = Math.max(names.indexOf('verse'), names.indexOf('theme'));
  if (solo >= 0 && verse >= 0) materials[solo] = { label: 'solo', bars: (materials[verse] as Material).bars };
  const sections: PlannedSection[] = [];
  let total = 0;
  for (const label of labels) {
    const material = names.indexOf(label);
    const { bars } = materials[material] as Material;
    if (sections.length > 3 && total + bars.length > maxBars) break;
    total += bars.length;
    sections.push({ material, label, bars, shift: 0 });
  }
  if (!plant) return { materials, sections };
  return planted(d, { materials, sections }, plant, perBar);
}

function barsOf(beats: readonly number[], chords: readonly (readonly PlacedTone[])[]): PlannedBar[] {
  return beats.map((count, i) => ({ beats: count, chords: chords[i] ?? [] }));
}

function oddLength(d: Dice, perBar: number): number {
  const lengths = perBar === 4 ? [2, 2, 3, 6, 5] : perBar === 3 ? [2, 4, 6] : [1, 3, 4];
  return d.pick(lengths.filter((n) => n !== perBar));
}

function planted(d: Dice, form: Form, kind: PlantKind, perBar: number): Form {
  const later = form.sections.flatMap(({ material }, i) => {
    const first = form.sections.findIndex((other) => other.material === material);
    return first < i ? [{ section: i, against: first }] : [];
  });
  const { section, against } = d.pick(later);
  const pass = form.sections[section] as PlannedSection;
  const bars = [...pass.bars];
  const bar = d.int(1, bars.length - 2);
  const old = bars[bar] as PlannedBar;
  let by = 0;
  let shift = 0;
  let at = bar;
  if (kind === 'length') {
    const beats = oddLength(d, perBar);
    by = beats - perBar;
    bars[bar] = { beats, chords: old.chords.filter(({ beat }) => beat < beats) };
  } else if (kind === 'chord') {
    const next = bars[bar + 1]?.chords[0]?.chord;
    bars[bar] = { ...old, chords: [{ beat: 0, chord: otherChord(d, old.chords[0]?.chord, next) }] };
  } else if (kind === 'bar') {
    by = d.pick([1, -1]);
    if (by === 1) {
      bars.splice(bar + 1, 0, { ...old, chords: old.chords.slice(-1).map(({ chord }) => ({ beat: 0, chord })) });
      at = bar + 1;
    } else bars.splice(bar, 1);
  } else {
    by = d.pick([1, 2, 2, -2]);
    shift = by;
    at = 0;
  }
  const sections = form.sections.map((one, i) => (i === section ? { ...one, bars, shift } : one));
  return { ...form, sections, planted: { kind, section, against, bar: at, by } };
}

/** A plain triad of another root than the bar's own and the next bar's chord, that shares at most one note with the former. */
function otherChord(d: Dice, old: ToneChord | undefined, next: ToneChord | undefined): ToneChord {
  const notes = (root: number, third: number): number[] => [root % 12, (root + third) % 12, (root + 7) % 12];
  const minor = old?.kind.startsWith('min') || old?.kind.startsWith('hdim') || old?.kind.startsWith('dim');
  const own = old ? notes(old.root, minor ? 3 : 4) : [];
  const roots = [0, 2, 4, 5, 7, 9, 10].flatMap((root) => [
    { root, third: 4 },
    { root, third: 3 },
  ]);
  const far = roots.filter(
    ({ root, third }) => root !== next?.root && notes(root, third).filter((n) => own.includes(n)).length <= 1,
  );
  const { root, third } = d.pick(far);
  return { root, kind: third === 4 ? 'maj' : 'min', bass: root };
}
