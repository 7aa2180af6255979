import { msg, str } from '@lit/localize';
import type { Seconds } from '../../music/units.js';
import { timeText } from '../describe-lock.js';
import { withSpans } from '../follow.js';
import { TIME_TOLERANCE } from '../lock-holds.js';
import { indexOf } from '../map-index.js';
import { spanEnd } from '../map-queries.js';
import type { SongMap, Span } from '../song-map.js';
import { addLocks } from './add-locks.js';
import { LEAST_BEAT } from './beats.js';
import { EditProblem } from './problem.js';

/**
 * The first or the last moment of the map. Bars outside go; what is left of one that the edge cuts becomes lead-in or
 * tail until the map is solved again. Typed chords outside stay, out of sight. Throws EditProblem outside the recording.
 */
export function setEdge(map: SongMap, edge: 'start' | 'end', time: Seconds): SongMap {
  const inside =
    edge === 'start'
      ? time >= 0 && time <= map.end - LEAST_BEAT
      : time >= map.start + LEAST_BEAT && time <= map.recording.duration;
  if (!inside) {
    const place = timeText(time);
    throw new EditProblem(
      edge === 'start'
        ? msg(str`The map cannot start at ${place}: choose a place inside the recording.`)
        : msg(str`The map cannot end at ${place}: choose a place inside the recording.`),
    );
  }
  const cut =
    edge === 'start'
      ? withSpans(map, { spans: spansFrom(map, time), start: time, end: map.end })
      : withSpans(map, { spans: spansUpTo(map, time), start: map.start, end: time });
  return addLocks(cut, [{ kind: 'edge', edge, time }]);
}

/** The map up to the recording's own start or end, what is new there as lead-in or tail. */
export function openEdge(map: SongMap, edge: 'start' | 'end'): SongMap {
  const { duration } = map.recording;
  if (edge === 'start') return withSpans(map, { spans: spansFrom(map, 0), start: 0, end: map.end });
  return withSpans(map, { spans: spansUpTo(map, duration), start: map.start, end: duration });
}

/** The map between two moments: what is outside goes, as with setEdge, but nothing is locked. */
export function cutTo(map: SongMap, from: Seconds, to: Seconds): SongMap {
  const start = Math.max(from, map.start);
  const end = Math.min(to, map.end);
  // Sections without a bar inside would otherwise crowd on the bars at the edge.
  const { bars, ends } = indexOf(map);
  const left = bars.filter((bar, i) => bar.start >= start && (ends[i] ?? end) <= end + TIME_TOLERANCE);
  const sections = map.sections.filter(({ start: from }, i) => {
    const next = map.sections[i + 1]?.start ?? Infinity;
    return left.some((bar) => bar.start > from - TIME_TOLERANCE && bar.start < next - TIME_TOLERANCE);
  });
  const inside = { ...map, sections };
  const late = withSpans(inside, { spans: spansFrom(map, start), start, end: map.end });
  return withSpans(late, { spans: spansUpTo(late, end), start, end });
}

function spansFrom(map: SongMap, start: Seconds): readonly Span[] {
  if (start === map.start) return map.spans;
  const kept = map.spans.filter((span) => span.start >= start && span.kind !== 'lead-in');
  const cut = map.spans.find((span, i) => span.start < start && spanEnd(map, i) > start);
  const first = kept[0]?.start ?? map.end;
  if (first === start) return kept;
  // A free stretch or a tail stays what it is, however short.
  const kind = cut?.kind === 'free' || cut?.kind === 'tail' ? cut.kind : 'lead-in';
  return withoutLonePickup([{ kind, start }, ...kept]);
}

function spansUpTo(map: SongMap, end: Seconds): readonly Span[] {
  if (end === map.end) return map.spans;
  const inside = map.spans.filter((span) => span.start < end - TIME_TOLERANCE);
  const last = inside[inside.length - 1];
  if (last === undefined) return [{ kind: 'lead-in', start: map.start }];
  if (end > map.end) return last.kind === 'tail' ? inside : [...inside, { kind: 'tail', start: map.end }];
  const isCut = last.kind === 'bar' && spanEnd(map, inside.length - 1) > end + TIME_TOLERANCE;
  return withoutLonePickup(isCut ? [...inside.slice(0, -1), { kind: 'tail', start: last.start }] : inside);
}

/** A pickup leads into a bar; without one it is part of what lies before it. Only the last of all can have lost its bar. */
function withoutLonePickup(spans: readonly Span[]): readonly Span[] {
  const at = spans.findIndex((span, i) => span.kind === 'bar' && span.pickup && spans[i + 1]?.kind !== 'bar');
  const pickup = spans[at];
  if (!pickup) return spans;
  const rest = spans.slice(at + 1);
  return at === 0 ? [{ kind: 'lead-in', start: pickup.start }, ...rest] : [...spans.slice(0, at), ...rest];
}
