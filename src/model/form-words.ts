import { beatsOf, meterText, sameMeter, type Meter } from '../music/meter.js';
import { formOf, type FormSection } from './form.js';
import { exceptionWords, lengthWords, numberWords, timesWords } from './length-words.js';
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
}

/**
 * The form in a sentence, as a teacher says it: "Intro 4 + a bar of 2, Verse 8 (7½ the first time), Chorus 8, Verse".
 * A number counts bars. The first pass of a section says how long its passes are, and which of them differ; the others
 * are only named, unless hardly two are alike: then each says its own length. Empty for a map without bars.
 */
export function formSentence(map: SongMap): string {
  const { parts } = formOf(map);
  const passes = new Map<string, Pass[]>();
  const entries: (string | { readonly pass: Pass; count: number })[] = [];
  const pickup = barsOf(map)[0];
  if (pickup?.pickup) entries.push(`Pickup of ${numberWords(beatsOf(pickup.meter), 'beat')}`);
  for (const part of parts) {
    if (part.kind === 'free') entries.push(`free for ${Math.round(part.to - part.from)} s`);
    if (part.kind !== 'section') continue;
    const pass = passOf(map, part);
    passes.set(pass.group, [...(passes.get(pass.group) ?? []), pass]);
    const last = entries.at(-1);
    if (typeof last === 'object' && last.pass.group === pass.group) last.count++;
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
    if (place > 0) return `${label}${timesWords(entry.count)}`;
    const exceptions = exceptionWords(usual, all);
    return `${spoken(usual, entry.count)}${exceptions ? ` (${exceptions})` : ''}`;
  });
  const sentence = texts.join(', ');
  return sentence.startsWith('free') && typeof entries[0] === 'string' ? `F${sentence.slice(1)}` : sentence;
}

function passOf(map: SongMap, section: FormSection): Pass {
  const range = sectionBars(map, section.section);
  const bars = barsOf(map)
    .slice(range?.first, (range?.last ?? -1) + 1)
    .filter((bar) => !bar.pickup);
  const meters = bars.map((bar) => bar.meter);
  const prevailing = prevailingAt(map, section.from);
  const usual = mostly(meters, prevailing);
  const plain = section.name.trim().replace(/\s*\d+$/, '') || section.name;
  const foreign = sameMeter(usual, map.prevailing) ? '' : ` in ${meterText(usual)}`;
  const free = section.free === undefined ? '' : ` + ${Math.round(section.free)} s free`;
  return {
    label: plain,
    group: `${section.letter} ${materialOf(section.name)}`,
    meters,
    usual,
    length: `${lengthWords(meters, usual)}${foreign}${free}`,
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
  const [usual] = [...passes].sort((a, b) => like(b) - like(a) || Number(!isPlain(a)) - Number(!isPlain(b)));
  if (!usual) return undefined;
  const unlike = passes.length - like(usual);
  return unlike <= Math.min(2, like(usual)) ? usual : undefined;
}

function isPlain(pass: Pass): boolean {
  return /^\d+$/.test(pass.length);
}

/** Passes of the same length next to one another, with how many there are. */
function runsOf(passes: readonly Pass[]): [Pass, number][] {
  const runs: [Pass, number][] = [];
  for (const pass of passes) {
    const last = runs.at(-1);
    if (last?.[0].length === pass.length) last[1]++;
    else runs.push([pass, 1]);
  }
  return runs;
}

function spoken({ label, length }: Pass, count: number): string {
  const text = `${label} ${length}`;
  if (count === 1) return text;
  return `${/^\d+$/.test(length) ? text : `(${text})`}${timesWords(count)}`;
}
