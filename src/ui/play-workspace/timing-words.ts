import { msg } from '@lit/localize';
import { barNumber } from '../../model/map-queries.js';
import type { SongMap } from '../../model/song-map.js';
import { CLOSE, worstBars, type Lateness, type TimingReport } from '../../model/timing.js';
import type { Seconds } from '../../music/units.js';
import { counted } from '../../state/sentences.js';

/** "12 ms early", "on the beat", "40 ms late". */
export function offText(off: Seconds): string {
  const ms = Math.round(Math.abs(off) * 1000);
  return ms < 3 ? 'on the beat' : `${ms} ms ${off < 0 ? 'early' : 'late'}`;
}

/** A timing check in plain sentences. */
export function timingSentences(map: SongMap, report: TimingReport): readonly string[] {
  const { strokes, mean, spread, early, late, stray } = report;
  const close = strokes.length - early - late;
  const played = counted(strokes.length, msg('stroke'), msg('strokes'));
  const bars = counted(report.bars.length, msg('bar'), msg('bars'));
  const lines = [
    `${played} in ${bars}: on average ${offText(mean)}, spread ${Math.round(spread * 1000)} ms.`,
    `${close} within ${CLOSE * 1000} ms of the beat, ${early} early, ${late} late.`,
  ];
  const far = counted(stray, msg('stroke'), msg('strokes'));
  if (stray > 0) lines.push(`${far} fell near no beat.`);
  const worst = worstBars(report, 3);
  if (worst.length > 0) {
    const named = worst.map(({ bar, mean }) => `bar ${barNumber(map, bar)} (${offText(mean)})`);
    lines.push(`Worth a loop: ${named.join(', ')}.`);
  }
  return lines;
}

/** "Your taps came 84 ms after the click (spread 12 ms, 36 taps)." */
export function latenessText({ late, spread, taps }: Lateness): string {
  const ms = Math.round(Math.abs(late) * 1000);
  return `They came ${ms} ms ${late < 0 ? 'before' : 'after'} the click (spread ${Math.round(spread * 1000)} ms, ${taps} counted).`;
}
