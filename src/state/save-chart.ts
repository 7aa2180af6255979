import { msg, str } from '@lit/localize';
import { layOutChart, type ChartLayout } from '../export/chart/layout.js';
import { layOutPoster } from '../export/chart/poster.js';
import type { ChartOptions } from '../model/chart-options.js';
import type { PassTable } from '../model/pass-table.js';
import type { SongMap } from '../model/song-map.js';
import { chartOptionsOf } from './actions/chart.js';
import type { Core } from './core.js';
import { fileNameFor } from './file-name.js';
import type { PageFormat, PageKind } from './ports.js';

/** What the song's chart or poster looks like. */
export function pagesOf(
  map: SongMap,
  options: ChartOptions,
  passes: readonly PassTable[],
  kind: PageKind,
): ChartLayout {
  return kind === 'poster' ? layOutPoster(map, options) : layOutChart(map, options, passes);
}

/** Hands the chart or the poster of the open song to the user. */
export async function saveChart(
  core: Core,
  passes: readonly PassTable[],
  kind: PageKind,
  format: PageFormat,
): Promise<void> {
  const map = core.map.peek();
  if (!map) return;
  const layout = pagesOf(map, chartOptionsOf(map, core.settings.peek()), passes, kind);
  const blob = await core.ports.pages.make(layout, format);
  const name = fileNameFor(map, ` ${kind}.${format}`);
  core.ports.files.save(name, blob);
  core.say({ kind: 'info', text: msg(str`Saved as "${name}".`) });
}
