import { msg, str } from '@lit/localize';
import { beatsOf, meterText, sameMeter, type Meter } from '../music/meter.js';
import { formOf, type FormSection } from './form.js';
import { beatsWords, exceptionWords, lengthWords, timesWords } from './length-words.js';
import { materialOf } from './letters.js';
import { barsOf, prevailingAt, sectionBars } from './map-queries.js';
import type { SongMap } from './song-map.js';

/** A pass of a section as it is said. */
interface Pass {
  readonly label: string;
  /** Shared by the passes of one section. */
  readonly group: string;
  readonly meters: readonly Meter[];
  readonly usual: Meter;
  /** Its length: "8", "4 + a bar of 2". */
  readonly length: string;
  readonly lengthWithin: string;
  /** Nothing but the number of its bars is to be said. */
  readonly plain: boolean;
}

/**
 * The form in a sentence, as a teacher says it: "Intro 4 + a bar of 2, Verse 8 (7½ the first time), Chorus 8, Verse".
 * A number counts bars. The first pass of a section says how long its passes are, and which of them differ; the others
 * are only named, unless hardly two are alike: then each says its own length. Names stay as
 * they were typed. Empty for a map without bars.
 */
export function formSentence(map: SongMap): string {
  const { parts } = formOf(map);
  const passes = new Map<string, Pass[]>();
  const entries: (string | { readonly pass: Pass; count: number })[] = [];
  const pickup = barsOf(map)[0];
  if (pickup?.pickup) {
    const beats = beatsWords(beatsOf(pickup.meter));
    entries.push(msg(str`Pickup of ${beats}`));
  }
  for (const part of parts) {
    if (part.kind === 'free') {
      const seconds = Math.round(part.to - part.from);
      entries.push(entries.length === 0 ? msg(str`Free for ${seconds} s`) : msg(str`free for ${seconds} s`));
    }
    if (part.kind !== 'section') continue;
    const pass = passOf(map, part);
    passes.set(pass.group, [...(passes.get(pass.group) ?? []), pass]);
    const last = entries.at(-1);
    if (typeof last === 'object' && sameWords(last.pass, pass)) last.count++;
    else entries.push({ pass, count: 1 });
  }
  const places = new Map<string, number>();
  const texts = entries.flatMap((entry) => {
    if (typeof entry === 'string') return entry;
    const { group, label } = entry.pass;
    const all = passes.get(group) as Pass[];
    const place = places.get(group) ?? 0;
    places.set(group, place + entry.count);
    const usual = usualPass(all);
    if (!usual) return runsOf(all.slice(place, place + entry.count)).map(([pass, count]) => spoken(pass, count));
    if (place > 0) return times(label, entry.count);
    const exceptions = exceptionWords(usual, all);
    return `${spoken(usual, entry.count)}${exceptions ? ` (${exceptions})` : ''}`;
  });
  return texts.join(', ');
}

function passOf(map: SongMap, section: FormSection): Pass {
  const range = sectionBars(map, section.section);
  const bars = barsOf(map)
    .slice(range?.first, (range?.last ?? -1) + 1)
    .filter((bar) => !bar.pickup);
  const meters = bars.map((bar) => bar.meter);
  const prevailing = prevailingAt(map, section.from);
  const usual = mostly(meters, prevailing);
  const [meter, seconds] = [meterText(usual), Math.round(section.free ?? 0)];
  const more = [
    ...(sameMeter(usual, map.prevailing) ? [] : [msg(str`in ${meter}`)]),
    ...(section.free === undefined ? [] : [msg(str`+ ${seconds} s free`)]),
  ];
  return {
    label: section.name,
    group: `${section.letter} ${materialOf(section.name)}`,
    meters,
    usual,
    length: [lengthWords(meters, usual), ...more].join(' '),
    lengthWithin: [lengthWords(meters, usual, 'brackets'), ...more].join(' '),
    plain: more.length === 0 && meters.every((meter) => sameMeter(meter, usual)),
  };
}

/** The measure of more than half of the bars; else the prevailing one. */
function mostly(meters: readonly Meter[], prevailing: Meter): Meter {
  const most = meters.find((meter) => 2 * meters.filter((other) => sameMeter(other, meter)).length > meters.length);
  return most ?? prevailing;
}

/** The pass that most others are like, the plainest of several; undefined when more than two are unlike it and than like it. */
function usualPass(passes: readonly Pass[]): Pass | undefined {
  const like = (pass: Pass): number => passes.filter((other) => other.length === pass.length).length;
  const [usual] = [...passes].sort((a, b) => like(b) - like(a) || Number(!a.plain) - Number(!b.plain));
  if (!usual) return undefined;
  const unlike = passes.length - like(usual);
  return unlike <= Math.min(2, like(usual)) ? usual : undefined;
}

/** True where both passes of a section go by the same name. */
function sameWords(a: Pass, b: Pass): boolean {
  return a.group === b.group && a.label === b.label;
}

/** Passes of the same length next to one another, with how many there are. */
function runsOf(passes: readonly Pass[]): [Pass, number][] {
  const runs: [Pass, number][] = [];
  for (const pass of passes) {
    const last = runs.at(-1);
    if (last?.[0].length === pass.length && sameWords(last[0], pass)) last[1]++;
    else runs.push([pass, 1]);
  }
  return runs;
}

function spoken({ label, length, plain }: Pass, count: number): string {
  // A name that ends with a number of its own is kept apart from the number of bars.
  const text = `${label}${/\d$/.test(label) ? ':' : ''} ${length}`;
  return times(count === 1 || plain ? text : `(${text})`, count);
}

function times(text: string, count: number): string {
  return count === 1 ? text : `${text} ${timesWords(count)}`;
}
