import { msg } from '@lit/localize';
import type { Session } from '../kit/session.js';
import type { Command } from '../kit/session.js';
import { hasSong, mapOf, placeOf } from '../map/targets.js';

/** Each press of the zoom key makes the close-up this much closer. */
const ZOOM = 1.6;
/** Shortest stretch the close-up shows, in seconds. */
const CLOSEST = 0.5;

export const VIEW_COMMANDS: readonly Command[] = [
  {
    id: 'next-workspace',
    label: msg('Next workspace'),
    key: { key: 'w' },
    scope: 'everywhere',
    group: 'view',
    allowed: hasSong,
    run: ({ view }) => {
      const here = WORKSPACES.findIndex((each) => each === view.workspace.value);
      view.workspace.value = WORKSPACES[(here + 1) % WORKSPACES.length]!;
    },
  },
  zoom('zoom-in', msg('Closer'), false, 1 / ZOOM),
  zoom('zoom-out', msg('Wider'), true, ZOOM),
  workspace('map', msg('Map'), msg('the bars, to check and correct them')),
  workspace('passes', msg('Passes'), msg('the passes of a section under one another, and the form')),
  workspace('play', msg('Play'), msg('bars large enough for a music stand')),
  workspace('chart', msg('Chart'), msg('the page to hand out')),
  {
    id: 'help-page',
    label: msg('Help'),
    key: { key: 'F1', shift: true },
    scope: 'everywhere',
    group: 'view',
    allowed: () => true,
    run: ({ view }) => {
      view.helpPage.value = !view.helpPage.value;
    },
  },
  {
    id: 'help',
    label: msg('Table of keys'),
    key: { key: 'F1' },
    scope: 'everywhere',
    group: 'view',
    allowed: () => true,
    run: ({ view }) => {
      view.help.value = !view.help.value;
    },
  },
];

/** The workspaces that there are, in their order. */
export const WORKSPACES = ['map', 'passes', 'play', 'chart'] as const;

function workspace(name: (typeof WORKSPACES)[number], label: string, what: string): Command {
  return {
    id: `show-${name}`,
    label: `${label}: ${what}`,
    scope: 'everywhere',
    group: 'view',
    allowed: hasSong,
    run: ({ view }) => {
      view.workspace.value = name;
    },
  };
}

function zoom(id: string, label: string, shift: boolean, factor: number): Command {
  return {
    id,
    label,
    key: { key: 'z', shift },
    repeats: true,
    scope: 'map',
    group: 'view',
    allowed: hasSong,
    run: (session) => zoomAround(session, placeOf(session), factor),
  };
}

/** Makes the close-up show `factor` times as much, `place` staying where it is on the screen. */
function zoomAround(session: Session, place: number, factor: number): void {
  const map = mapOf(session);
  if (!map) return;
  const { window } = session.view;
  const { from, span } = window.value;
  const length = map.recording.duration;
  const wider = Math.min(Math.max(span * factor, CLOSEST), Math.max(length, CLOSEST));
  const share = place >= from && place <= from + span ? (place - from) / span : 0.5;
  const start = place - share * wider;
  window.value = { from: Math.max(0, Math.min(start, length - wider)), span: wider };
}
