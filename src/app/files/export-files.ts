import { msg, str } from '@lit/localize';
import { EXPORT_KINDS, type ExportId } from '../../export/export-kinds.js';
import type { Brought } from '../../export/make-export.js';
import type { PassTable } from '../../model/pass-table.js';
import type { SongMap } from '../../model/song-map.js';
import type { Core } from '../song/core.js';
import { fileNameFor } from '../kit/file-name.js';

/** Makes a file of the open song's map and hands it to the user, with a word on what it had no place for. */
export async function exportFile(core: Core, id: ExportId, passes: readonly PassTable[]): Promise<void> {
  const map = core.map.peek();
  const kind = EXPORT_KINDS.find((each) => each.id === id);
  if (!map || !kind) return;
  // The writers of files are loaded by the first one.
  const { makeExport } = await import('../../export/make-export.js');
  const { data, left } = makeExport(id, map, {
    passes,
    language: core.ports.language,
    ...(await drawn(core, id, map)),
  });
  const name = fileNameFor(map, kind.ending);
  core.ports.files.save(name, new Blob([data], { type: kind.type }));
  core.say({ kind: 'info', text: [msg(str`Exported as "${name}".`), ...left].join(' ') });
}

/** What has to look the same anywhere brings its letters along; they are large. */
async function drawn({ ports }: Core, id: ExportId, map: SongMap): Promise<Brought> {
  // Every text that a drawing may hold, and more.
  const texts = JSON.stringify(map);
  if (id === 'html') return { faces: await (await import('../../export/chart/bundled-faces.js')).facesStyle(texts) };
  return id === 'svg' ? { outlines: await ports.pages.outlines(texts) } : {};
}
