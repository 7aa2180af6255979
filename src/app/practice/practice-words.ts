import { msg, str } from '@lit/localize';
import { barNumber, barOf } from '../../model/map-queries.js';
import { sameStretch, sectionStretch, stretchBars } from '../../model/play-order.js';
import type { PlayStretch } from '../../model/play-plan.js';
import type { SongMap } from '../../model/song-map.js';
import { tempoSummary } from '../../model/tempo.js';
import type { Cents } from '../../music/units.js';
import { FASTEST, SLOWEST, type Loop } from '../kit/practice.js';
import { barsText, counted } from '../kit/sentences.js';
import type { Session } from '../kit/session.js';

/** "about 71 bpm; the recording has 94". */
export function speedText(map: SongMap, speed: number): string {
  const tempo = tempoSummary(map)?.median;
  if (!tempo) return '';
  const own = Math.round(tempo);
  return speed === 1
    ? msg(str`about ${own} bpm, as recorded`)
    : msg(str`about ${Math.round(tempo * speed)} bpm; the recording has ${own}`);
}

/** "round 2 of 6, 75 %" of a loop that plays at another speed each round; '' of any other, or while nothing plays. */
export function roundText({ practice, round }: Session): string {
  const { loop } = practice.peek();
  const sounding = round();
  if (!loop?.ladder || !sounding) return '';
  // Two passes in turn are played at one speed.
  const number = Math.floor(sounding.round / (loop.other ? 2 : 1)) + 1;
  const percent = Math.round(100 * sounding.speed);
  const { rounds } = loop.ladder;
  return number <= rounds
    ? msg(str`round ${number} of ${rounds}, ${percent} %`)
    : msg(str`round ${number}, ${percent} %`);
}

/** Place of the section that a stretch is; undefined when it is none. */
export function sectionPlace(map: SongMap, stretch: PlayStretch): number | undefined {
  const place = map.sections.findIndex((_, i) => sameStretch(sectionStretch(map, i), stretch));
  return place < 0 ? undefined : place;
}

/** "bars 9 to 16", "bar 5", "bars 9 to 16 and 33 to 40". */
export function loopText(map: SongMap, loop: Loop): string {
  const first = stretchText(map, loop);
  return loop.other ? msg(str`${first} and ${numbersText(map, loop.other)}`) : first;
}

function stretchText(map: SongMap, stretch: PlayStretch): string {
  const bars = stretchBars(map, stretch);
  return bars ? barsText(map, bars.first, bars.last) : msg('a stretch without bars');
}

/** "33 to 40", "5"; in words where it has no bars or is a pickup. */
function numbersText(map: SongMap, stretch: PlayStretch): string {
  const bars = stretchBars(map, stretch);
  if (!bars) return stretchText(map, stretch);
  const [first, last] = [barNumber(map, bars.first), barNumber(map, bars.last)];
  if (bars.first !== bars.last) return msg(str`${first} to ${last}`);
  return barOf(map, bars.first)?.pickup ? stretchText(map, stretch) : `${first}`;
}

/** What a player whose instrument stands at A440 has to know; `tuning` is how far the recording lies above it. */
export function retuneText(tuning: Cents): string {
  const cents = counted(Math.round(Math.abs(tuning)), msg('cent'), msg('cents'));
  return tuning > 0
    ? msg(str`The recording is ${cents} sharp of A440: tune up by as much, or bring it to pitch.`)
    : msg(str`The recording is ${cents} flat of A440: tune down by as much, or bring it to pitch.`);
}

/** The speeds in a text like "70, 85 100 %": those within bounds, each once, at most eight. */
export function readSpeeds(text: string): readonly number[] {
  const speeds = text.split(/[\s,;%]+/).map((word) => Number(word) / 100);
  return [...new Set(speeds.filter((speed) => speed >= SLOWEST && speed <= FASTEST))].slice(0, 8);
}
