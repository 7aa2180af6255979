import { nearestBeat } from '../../model/map-queries.js';
import type { SongMap } from '../../model/song-map.js';
import type { BarIndex, Seconds } from '../../music/units.js';
import { barNear } from './places.js';
import type { Session } from '../kit/session.js';
import type { Command } from '../kit/session.js';

/** True when a song is open. */
export function hasSong(session: Session): boolean {
  return session.map.value !== undefined;
}

/** True when the open song has bars. */
export function hasBars(session: Session): boolean {
  return mapOf(session)?.spans.some((span) => span.kind === 'bar') ?? false;
}

export function hasSelection(session: Session): boolean {
  return hasBars(session) && session.view.selection.value !== undefined;
}

export function mapOf(session: Session): SongMap | undefined {
  return session.map.value;
}

/** The moment commands act on: where the sound is, else the cursor. */
export function placeOf(session: Session): Seconds {
  return session.playing.value ? session.position() : session.view.cursor.value;
}

/** The beat commands act on: the one nearest to the sound or the cursor; that place itself where there are no beats. */
export function beatPlace(session: Session): Seconds {
  const map = mapOf(session);
  const place = placeOf(session);
  return (map && nearestBeat(map, place)?.start) ?? place;
}

/** The selected bars, else the bar at the sound or the cursor. */
export function barsMeant(session: Session): { first: BarIndex; last: BarIndex } | undefined {
  const { selection } = session.view;
  if (selection.value) return selection.value;
  const map = mapOf(session);
  const bar = map && barNear(map, placeOf(session));
  return bar === undefined ? undefined : { first: bar, last: bar };
}

/** What commands share that act on bars of the map: where their keys count, and that there have to be bars. */
export function onBars<G extends Command['group']>(group: G) {
  return { scope: 'map', group, allowed: hasBars } as const;
}
