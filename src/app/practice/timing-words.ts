import { msg, str } from '@lit/localize';
import { barNumber } from '../../model/map-queries.js';
import type { SongMap } from '../../model/song-map.js';
import { CLOSE, worstBars, type Lateness, type TimingReport } from '../../model/timing.js';
import type { Seconds } from '../../music/units.js';
import { counted } from '../kit/sentences.js';

/** "12 ms early", "on the beat", "40 ms late". */
export function offText(off: Seconds): string {
  const ms = Math.round(Math.abs(off) * 1000);
  if (ms < 3) return msg('on the beat');
  return off < 0 ? msg(str`${ms} ms early`) : msg(str`${ms} ms late`);
}

/** A timing check in plain sentences. */
export function timingSentences(map: SongMap, report: TimingReport): readonly string[] {
  const { strokes, mean, spread, early, late, stray } = report;
  const close = strokes.length - early - late;
  const heard = strokesText(strokes.length);
  const bars = counted(report.bars.length, msg('bar'), msg('bars'));
  const lines = [
    msg(str`${heard} in ${bars}: on average ${offText(mean)}, spread ${Math.round(spread * 1000)} ms.`),
    msg(str`${close} within ${CLOSE * 1000} ms of the beat, ${early} early, ${late} late.`),
  ];
  if (stray > 0) lines.push(msg(str`${strokesText(stray)} fell near no beat.`));
  const worst = worstBars(report, 3);
  if (worst.length > 0) {
    const named = worst.map(({ bar, mean }) => msg(str`bar ${barNumber(map, bar)} (${offText(mean)})`));
    lines.push(msg(str`Worth a loop: ${named.join(', ')}.`));
  }
  return lines;
}

function strokesText(count: number): string {
  return counted(count, msg('stroke'), msg('strokes'));
}

/** "Your taps came 84 ms after the click (spread 12 ms, 36 taps)." */
export function latenessText({ late, spread, taps }: Lateness): string {
  const ms = Math.round(Math.abs(late) * 1000);
  const about = Math.round(spread * 1000);
  return late < 0
    ? msg(str`They came ${ms} ms before the click (spread ${about} ms, ${taps} counted).`)
    : msg(str`They came ${ms} ms after the click (spread ${about} ms, ${taps} counted).`);
}
