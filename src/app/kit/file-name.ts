import { msg } from '@lit/localize';
import type { SongMap } from '../../model/song-map.js';

/** A name for the disk: the title without what file systems refuse. */
export function fileNameFor(map: Pick<SongMap, 'title'>, ending: string): string {
  const stem = map.title
    // What one file system or another refuses.
    .replace(/[\u0000-\u001f\u007f<>:"/\\|?*]+/g, ' ')
    .replace(/\s+/g, ' ')
    .replace(/^[\s.]+|[\s.]+$/g, '')
    .slice(0, 100);
  return `${stem || msg('song')}${ending}`;
}
