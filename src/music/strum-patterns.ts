import { msg } from '@lit/localize';
import { strumBeats, type Stroke, type Strum } from './strum.js';

/** A pattern to start from, with what players would call it. */
export interface UsualStrum {
  readonly name: string;
  readonly strum: Strum;
}

/** Patterns for the bars that songs mostly have, by beats in the bar (common practice, no source). */
const usual = (): Readonly<
  Record<number, readonly (readonly [name: string, parts: Strum['parts'], strokes: string])[]>
> => ({
  2: [
    [msg('down, down'), 1, 'Dd'],
    [msg('down, down-up'), 2, 'd-du'],
    [msg('down-up'), 2, 'dudu'],
  ],
  3: [
    [msg('waltz'), 1, 'Ddd'],
    [msg('down, down-up, down-up'), 2, 'd-dudu'],
    [msg('down-up'), 2, 'dududu'],
  ],
  4: [
    [msg('down on each beat'), 1, 'dddd'],
    [msg('down, down-up, up-down-up'), 2, 'd-du-udu'],
    [msg('down-up'), 2, 'dudududu'],
    [msg('chop on 2 and 4'), 2, 'd-xud-xu'],
    [msg('accents on 2 and 4'), 2, 'duDuduDu'],
    [msg('shuffle'), 3, 'd-ud-ud-ud-u'],
    [msg('sixteenths'), 4, 'd-dud-dud-dud-du'],
  ],
});

/** For beats that divide into three, as in 6/8 (common practice, no source). */
const compounds = (): readonly (readonly [name: string, parts: Strum['parts'], beat: string])[] => [
  [msg('down on each beat'), 1, 'd'],
  [msg('down, then up'), 3, 'd-u'],
  [msg('all three'), 3, 'Ddu'],
];

/** Patterns to start from for a bar of so many beats; `compound` when a beat divides into three. Never empty. */
export function usualStrums(beats: number, compound = false): readonly UsualStrum[] {
  const whole = Math.ceil(beats - 1e-9);
  if (compound)
    return compounds().map(([name, parts, beat]) => ({
      name,
      strum: { parts, strokes: beat.repeat(Math.min(whole, 16)) },
    }));
  const known = Number.isInteger(beats) ? usual()[beats] : undefined;
  if (known) return known.map(([name, parts, strokes]) => ({ name, strum: { parts, strokes } }));
  const halves = Math.max(1, Math.min(64, Math.round(beats * 2)));
  return [
    ...(Number.isInteger(beats)
      ? [{ name: msg('down on each beat'), strum: { parts: 1, strokes: 'd'.repeat(Math.min(64, whole)) } } as const]
      : []),
    { name: msg('down-up'), strum: { parts: 2, strokes: 'du'.repeat(halves).slice(0, halves) } },
  ];
}

/** A pattern without strokes for a bar of so many beats. */
export function emptyStrum(beats: number, parts: Strum['parts']): Strum {
  return { parts, strokes: '-'.repeat(Math.max(1, Math.min(64, Math.round(beats * parts)))) };
}

/** The same pattern with another number of places a beat: strokes stay where there is still a place for them. */
export function withParts(strum: Strum, parts: Strum['parts']): Strum {
  const { strokes } = emptyStrum(strumBeats(strum), parts);
  const moved = [...strokes].map((rest, i) => {
    const place = (i / parts) * strum.parts;
    const near = Math.round(place);
    return Math.abs(place - near) < 1e-6 ? (strum.strokes[near] ?? rest) : rest;
  });
  return { parts, strokes: moved.join('') };
}

/** The pattern with another stroke at a place. */
export function withStroke({ parts, strokes }: Strum, place: number, stroke: Stroke): Strum {
  return { parts, strokes: strokes.slice(0, place) + stroke + strokes.slice(place + 1) };
}

/** How a place is counted: "1", "&", "2"; "e" and "a" around it in sixteenths (common practice, no source). */
export function countedAs(parts: Strum['parts'], place: number): string {
  const part = place % parts;
  if (part === 0) return String(Math.floor(place / parts) + 1);
  return { 1: [''], 2: ['', '&'], 3: ['', '&', 'a'], 4: ['', 'e', '&', 'a'] }[parts][part] ?? '';
}
