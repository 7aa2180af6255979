import { exportKind, type ExportId } from '../export/export-kinds.js';
import type { Core } from './core.js';
import { fileNameFor } from './hand-over.js';

/** Makes a file of the open song's map and hands it to the user, with a word on what it had no place for. */
export function exportFile(core: Core, id: ExportId): void {
  const map = core.map.peek();
  if (!map) return;
  const kind = exportKind(id);
  const { data, left } = kind.make(map);
  const name = fileNameFor(map, kind.ending);
  core.ports.files.save(name, new Blob([data], { type: kind.type }));
  core.say({ kind: 'info', text: [`Exported as "${name}".`, ...left].join(' ') });
}
