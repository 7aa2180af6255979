import { msg, str } from '@lit/localize';
import { setChart, setCue } from '../../model/edits/chart.js';
import { DEFAULT_CHART, type ChartOptions } from '../../model/chart-options.js';
import type { SongMap } from '../../model/song-map.js';
import type { Settings } from '../kit/session.js';
import type { Editing } from '../song/editing.js';

/** How the song's chart is written: as kept with it, else as usual for the user's instrument. */
export function chartOptionsOf(map: SongMap, settings: Settings): ChartOptions {
  // What an older version kept with a song lacks the newer settings.
  return { ...DEFAULT_CHART, instrument: settings.instrument, ...map.chart };
}

/** Writes the song's chart otherwise; `said` names the change: "chart in two columns". */
export async function changeChart(
  session: Editing & { readonly settings: { readonly value: Settings } },
  said: string,
  change: Partial<ChartOptions>,
): Promise<void> {
  const { value: settings } = session.settings;
  await session.edit(msg(str`chart: ${said}`), (map) => setChart(map, { ...chartOptionsOf(map, settings), ...change }));
}

/** A section's line on the chart; nothing takes it away. */
export async function setSectionCue(session: Editing, id: string, line: string): Promise<void> {
  const section = session.song.value?.map.sections.find((each) => each.id === id);
  if (!section || (section.cue ?? '') === line.trim()) return;
  await session.edit(msg(str`${section.name}: line for the chart`), (map) => setCue(map, id, line));
}
