import { msg, str } from '@lit/localize';
import { barOf, prevailingAt } from '../../model/map-queries.js';
import { meterText, parseMeter } from '../../music/meter.js';
import type { BarIndex } from '../../music/units.js';
import { setTimeSignature } from './bar-actions.js';
import { barsText } from '../kit/sentences.js';
import type { Session } from '../kit/session.js';
import { faultOf } from '../kit/words.js';
import { ask } from '../kit/ask.js';
import { mapOf } from './targets.js';

/** Signatures offered as they are (common practice, no source). */
const OFFERED = ['4/4', '3/4', '2/4', '6/8', '12/8', '5/4', '7/8 (2+2+3)'];

/** Asks for the time signature of the bars, or of the whole song. */
export function askTimeSignature(
  session: Session,
  range: { readonly first: BarIndex; readonly last: BarIndex } | undefined,
): void {
  const map = mapOf(session);
  if (!map) return;
  const first = range && barOf(map, range.first);
  const one = range && range.first === range.last;
  ask(session, {
    kind: 'time-signature',
    label: range
      ? msg(str`Time signature of ${barsText(map, range.first, range.last)}`)
      : msg('Time signature of the song'),
    value: meterText(first && one ? first.meter : first ? prevailingAt(map, first.start) : map.prevailing),
    hint: msg('Like 4/4, 6/8 or 7/8 (2+2+3). Bars of another length stay possible.'),
    choices: OFFERED,
    bar: range?.first,
    check: (text) => faultOf(() => parseMeter(text)),
    take: (text) => setTimeSignature(session, range, parseMeter(text)),
  });
}
