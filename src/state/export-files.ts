import { msg, str } from '@lit/localize';
import { EXPORT_KINDS, type ExportId } from '../export/export-kinds.js';
import type { PassTable } from '../model/pass-table.js';
import type { Core } from './core.js';
import { fileNameFor } from './file-name.js';

/** What has to look the same anywhere. */
const DRAWN: readonly ExportId[] = ['html', 'svg'];

/** Makes a file of the open song's map and hands it to the user, with a word on what it had no place for. */
export async function exportFile(core: Core, id: ExportId, passes: readonly PassTable[]): Promise<void> {
  const map = core.map.peek();
  const kind = EXPORT_KINDS.find((each) => each.id === id);
  if (!map || !kind) return;
  // The writers of files are loaded by the first one.
  const { makeExport } = await import('../export/make-export.js');
  // Large, and for drawings alone.
  const faces = DRAWN.includes(id) ? (await import('../export/chart/bundled-faces.js')).facesStyle() : undefined;
  const { data, left } = makeExport(id, map, { passes, faces, language: core.ports.language });
  const name = fileNameFor(map, kind.ending);
  core.ports.files.save(name, new Blob([data], { type: kind.type }));
  core.say({ kind: 'info', text: [msg(str`Exported as "${name}".`), ...left].join(' ') });
}
