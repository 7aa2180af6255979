import type { Core } from './core.js';
import type { Library } from './library.js';
import type { Loading } from './loading.js';

/** Ending of our own project files. */
export const PROJECT_ENDING = '.barwright';

export interface HandOver {
  saveProject(withAudio: boolean): Promise<void>;
  saveJams(): Promise<void>;
  openProject(file: File): Promise<void>;
}

/** TEMPORARY until src/project and src/export/jams land. */
export function createHandOver(core: Core, _library: Library, _loading: Loading): HandOver {
  const not = async (): Promise<void> => core.say({ kind: 'error', text: 'Not built yet.' });
  return { saveProject: not, saveJams: not, openProject: not };
}
