import { msg, str } from '@lit/localize';
import { DEFAULT_CHART, type ChartOptions } from '../../model/chart-options.js';
import { fold } from '../../model/fold/fold.js';
import { endingText, jumpText, type WrittenChart, type WrittenItem } from '../../model/fold/written-chart.js';
import type { SongMap } from '../../model/song-map.js';
import { element, plain, type Xml } from './xml.js';

/** The names that jumps go by; a chart has one of each at most. */
const SEGNO = 'segno';
const CODA = 'coda';

/** How a score is written where the song's chart has no settings yet: without jumps, which readers understand least. */
export const DEFAULT_SCORE: ChartOptions = { ...DEFAULT_CHART, jumps: false };

/** The chart of a score: written out, or with the repeats and the jump that all readers play alike. */
export function scoreChart(map: SongMap, { folded, jumps }: Pick<ChartOptions, 'folded' | 'jumps'>): WrittenChart {
  return fold(map, { folding: folded ? 'plain' : 'off', jumps });
}

/** Bar line, bracket and repeat before an item. */
export function leftBarline(item: WrittenItem): Xml[] {
  const ending = item.ending?.begins ? bracket(item, 'start') : undefined;
  if (!item.repeatStart && !ending) return [];
  const style = item.repeatStart ? plain('bar-style', 'heavy-light') : undefined;
  const repeat = item.repeatStart ? element('repeat', { direction: 'forward' }) : undefined;
  return [element('barline', { location: 'left' }, style, ending, repeat)];
}

/** Bar line, bracket and repeat behind an item. */
export function rightBarline(chart: WrittenChart, place: number, sectionEnds: boolean): Xml[] {
  const item = chart.items[place] as WrittenItem;
  const { repeatEnd } = item;
  const ending = item.ending?.ends ? bracket(item, repeatEnd ? 'stop' : 'discontinue') : undefined;
  const isLast = place === chart.items.length - 1;
  const style = repeatEnd || isLast || item.fine ? 'light-heavy' : item.jump || sectionEnds ? 'light-light' : undefined;
  if (style === undefined && !ending) return [];
  return [
    element(
      'barline',
      { location: 'right' },
      style === undefined ? undefined : plain('bar-style', style),
      ending,
      repeatEnd ? element('repeat', repeatSign(chart, place)) : undefined,
    ),
  ];
}

function repeatSign({ items }: WrittenChart, place: number): Xml['attributes'] {
  const { ending, repeatEnd } = items[place] as WrittenItem;
  // How often a repeat with brackets is played, the brackets say.
  if (ending || !repeatEnd) return { direction: 'backward' };
  const coda = items.findIndex((item) => item.coda);
  const again = coda >= 0 && place >= coda;
  return { direction: 'backward', times: repeatEnd.times, ...(again ? { 'after-jump': 'yes' } : {}) };
}

function bracket(item: WrittenItem, type: string): Xml {
  const { passes } = item.ending as NonNullable<WrittenItem['ending']>;
  const number = passes.join(', ');
  const text = type === 'start' ? endingText({ passes }) : undefined;
  return element('ending', { number, type }, text);
}

/** Signs that stand at the beginning of an item: segno, coda. */
export function signsBefore(item: WrittenItem): Xml[] {
  const sign = (name: string, attribute: string, value: string): Xml =>
    element(
      'direction',
      { placement: 'above' },
      plain('direction-type', plain(name)),
      element('sound', { [attribute]: value }),
    );
  return [...(item.segno ? [sign('segno', 'segno', SEGNO)] : []), ...(item.coda ? [sign('coda', 'coda', CODA)] : [])];
}

/** Words at the end of an item: how often it is repeated, To Coda, Fine, the jump. */
export function signsBehind(item: WrittenItem): Xml[] {
  const { jump, repeatEnd, ending } = item;
  const times = repeatEnd?.times ?? 0;
  const back = jump?.to === 'start' ? { dacapo: 'yes' } : { dalsegno: SEGNO };
  return [
    ...(times > 2 && !ending ? [words(msg(str`play ${times} times`))] : []),
    ...(item.toCoda ? [words(msg('To Coda'), { tocoda: CODA })] : []),
    ...(item.fine ? [words(msg('Fine'), { fine: 'yes' })] : []),
    ...(jump ? [words(jumpText(jump), { ...back })] : []),
  ];
}

/** Words over the staff, with what they mean to a program that plays. */
export function words(text: string, sound?: Xml['attributes'], ...inside: readonly Xml[]): Xml {
  return element(
    'direction',
    { placement: 'above' },
    plain('direction-type', plain('words', text)),
    sound ? element('sound', sound, ...inside) : undefined,
  );
}
