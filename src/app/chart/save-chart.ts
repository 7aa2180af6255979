import { msg, str } from '@lit/localize';
import { layOutChart, type ChartLayout } from '../../export/chart/layout.js';
import { layOutPoster } from '../../export/chart/poster.js';
import type { ChartOptions } from '../../model/chart-options.js';
import type { PassTable } from '../../model/pass-table.js';
import type { SongMap } from '../../model/song-map.js';
import { chartOptionsOf } from './chart-actions.js';
import type { Core } from '../song/core.js';
import { fileNameFor } from '../kit/file-name.js';
import type { PageFormat, PageKind } from '../kit/ports.js';

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
  const { files, unset } = await core.ports.pages.make(layout, format);
  const name = fileNameFor(map, files.length > 1 ? ` ${kind}.zip` : ` ${kind}.${format}`);
  const [first = new Blob()] = files;
  core.ports.files.save(name, files.length > 1 ? await archiveOf(map, kind, format, files) : first);
  const pages = msg(str`It holds ${files.length} pictures, one of each page.`);
  core.say({
    kind: 'info',
    text: [msg(str`Saved as "${name}".`), ...(files.length > 1 ? [pages] : []), ...unsetSentence(unset)].join(' '),
  });
}

/** A browser asks before it takes several files one after another; an archive comes in one piece. */
async function archiveOf(map: SongMap, kind: PageKind, format: PageFormat, files: readonly Blob[]): Promise<Blob> {
  const { zipSync } = await import('fflate');
  const entries = await Promise.all(
    files.map(async (file, page) => {
      const number = String(page + 1).padStart(String(files.length).length, '0');
      const name = fileNameFor(map, ` ${kind} ${number}.${format}`);
      return [name, new Uint8Array(await file.arrayBuffer())] as const;
    }),
  );
  // Pictures are packed already.
  return new Blob([zipSync(Object.fromEntries(entries), { level: 0 })], { type: 'application/zip' });
}

function unsetSentence(unset: readonly string[]): readonly string[] {
  if (unset.length === 0) return [];
  const letters = unset.slice(0, 20).join(' ') + (unset.length > 20 ? ' …' : '');
  return [
    msg(
      str`This machine has no typeface for ${letters}: boxes stand in their place. Install one, or write these letters in another script.`,
    ),
  ];
}
