import type { Stats } from 'node:fs';
import { realpath, stat } from 'node:fs/promises';
import { basename, dirname, extname, join, resolve } from 'node:path';
import { EXPORT_KINDS } from '../export/export-kinds.js';
import { PROJECT_ENDING } from '../project/project.js';
import type { Request } from './arguments.js';

/** What {name} in an option stands for: the recording's name without its ending. */
export function nameOf(file: string): string {
  return basename(file, extname(file));
}

/** The path that an option names for a recording. */
export function pathFor(template: string, file: string): string {
  return template.replaceAll('{name}', nameOf(file));
}

interface Named {
  /** As a sentence names it: "--jams maps/a.jams". */
  readonly words: string;
  readonly path: string;
}

/**
 * Why the files that are asked for must not be written: one of them is read as well, two would be written on one path, or
 * a folder is there. A sentence that names the paths; undefined when nothing is in the way. Paths are compared as files:
 * through symbolic links, and without upper and lower case where the file system has none.
 */
export async function outputFault(request: Request): Promise<string | undefined> {
  const read = new Map<string, string>();
  for (const { words, path } of inputsOf(request)) {
    const key = await fileKey(path);
    if (!read.has(key)) read.set(key, words);
  }
  const written = new Map<string, { words: string; file: string }>();
  for (const { option, template, ending } of outputsOf(request)) {
    for (const file of request.files) {
      const path = pathFor(template, file);
      const words = `--${option} ${path}`;
      if (/[/\\]$/.test(path) || (await statOf(path))?.isDirectory())
        return `${words}: this is a folder; name a file in it, as in --${option} "${join(template, `{name}${ending}`)}"`;
      const key = await fileKey(path);
      const source = read.get(key);
      if (source !== undefined)
        return `${words} would overwrite ${source}, which is read; write to another file. Nothing was done`;
      const other = written.get(key);
      if (other && other.file !== file)
        return `${words} would be written for ${other.file} and for ${file}: give them different names, or map them one after another. Nothing was done`;
      if (other)
        return other.words === words
          ? `${words} would be written twice, because ${file} is named twice. Nothing was done`
          : `${other.words} and ${words} are one file; give each a name of its own. Nothing was done`;
      written.set(key, { words, file });
    }
  }
  return undefined;
}

function inputsOf({ files, locks, times }: Request): Named[] {
  const also = (option: string, template: string | undefined): Named[] =>
    template === undefined
      ? []
      : files.map((file) => ({ words: `--${option} ${pathFor(template, file)}`, path: pathFor(template, file) }));
  return [...files.map((file) => ({ words: file, path: file })), ...also('locks', locks), ...also('times', times)];
}

function outputsOf({ exports, project }: Request): { option: string; template: string; ending: string }[] {
  const kinds = EXPORT_KINDS.flatMap(({ id, ending }) => {
    const template = exports[id];
    return template === undefined || template === '-' ? [] : [{ option: id, template, ending: ending.trim() }];
  });
  return project === undefined ? kinds : [...kinds, { option: 'project', template: project, ending: PROJECT_ENDING }];
}

/** The same text for paths of the same file, whether it exists or not. */
async function fileKey(path: string): Promise<string> {
  const found = await statOf(path);
  if (found) return `${found.dev}:${found.ino}`;
  const missing: string[] = [];
  let folder = resolve(path);
  for (;;) {
    missing.unshift(basename(folder));
    const parent = dirname(folder);
    const real = await realpath(parent).catch(() => undefined);
    if (real !== undefined) {
      const rest = missing.join('/').normalize();
      return `${real}/${(await ignoresCase(real)) ? rest.toLowerCase() : rest}`;
    }
    if (parent === folder) return folder;
    folder = parent;
  }
}

/** True when a folder that exists is found by its name in the other case too. */
async function ignoresCase(folder: string): Promise<boolean> {
  const name = basename(folder);
  const swapped = name === name.toUpperCase() ? name.toLowerCase() : name.toUpperCase();
  if (swapped === name) return dirname(folder) !== folder && ignoresCase(dirname(folder));
  const [one, other] = [await statOf(folder), await statOf(join(dirname(folder), swapped))];
  return other !== undefined && one?.ino === other.ino && one.dev === other.dev;
}

function statOf(path: string): Promise<Stats | undefined> {
  return stat(path).catch(() => undefined);
}
