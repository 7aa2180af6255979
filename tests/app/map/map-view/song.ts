import type { SongMap } from '../../../../src/model/song-map.js';
import { bars } from '../../../support/notation.js';

/** A map in the tests' notation with 0.5 s a beat, 1 s of lead-in and 2 s of tail; bars numbered in `unsure` are doubtful. */
export function song(notation: string, prevailing = '4/4', unsure: readonly number[] = []): SongMap {
  const map = bars(`-2 ${notation} -4`, { prevailing });
  let number = 0;
  const spans = map.spans.map((span) => {
    if (span.kind !== 'bar') return span;
    number++;
    return unsure.includes(number) ? { ...span, confidence: 0.3 } : span;
  });
  return { ...map, spans };
}
